"""What bags hold, left against right, and the owner's own limits beside it."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from ...tripdata.names import folded, slug
from .guarding import guards
from .results import WeighUp

_FEW = 3
_SIDES = {"left": "right", "port": "starboard"}
_HIGH = frozenset(("top", "lid", "bar", "handlebar", "handlebars", "deck", "upper", "roof"))
"""Words of bags that sit high or far out (common practice, no published source)."""


@dataclass(frozen=True, slots=True)
class BagLoad:
    """One bag: what it holds, what it weighs itself where it is a thing on the list, the limit.

    ``unweighed`` counts the items in it that are not weighed. ``limit_mg`` is its owner's.
    ``heaviest`` names the heaviest thing in it. ``may_move``: its heaviest things by name and mg
    that keep nobody safe, dry, warm, lit or afloat, so that they need not be at hand.
    """

    name: str
    items: int
    contents_mg: int
    unweighed: int
    itself_mg: int | None = None
    limit_mg: int | None = None
    heaviest: str = ""
    heaviest_mg: int | None = None
    may_move: tuple[tuple[str, int], ...] = ()

    @property
    def over_mg(self) -> int | None:
        """How much it holds more than the limit, its own weight not counted; None where it is not.

        Where it is over by its own weight alone, `over_with_itself` says so.
        """
        if self.limit_mg is None or self.contents_mg <= self.limit_mg:
            return None
        return self.contents_mg - self.limit_mg

    @property
    def over_with_itself(self) -> bool:
        """Whether only its own weight makes it more than the limit."""
        if self.limit_mg is None or self.itself_mg is None or self.over_mg is not None:
            return False
        return self.contents_mg + self.itself_mg > self.limit_mg

    @property
    def high(self) -> bool:
        """Whether its name says that it sits high or far out."""
        return not _HIGH.isdisjoint(re.split(r"\W+", folded(self.name)))


@dataclass(frozen=True, slots=True)
class VehicleLoad:
    """What may be packed on a bike or boat, and its owner's limit.

    ``itself`` names what is taken for the bike or boat and does not count, blank where nothing is.
    """

    vehicle: str
    itself: str
    packed_mg: int
    limit_mg: int


@dataclass(frozen=True, slots=True)
class Bags:
    """The bags of a list, heaviest first; ``pairs`` are those of two sides, left and right.

    ``unused_limits`` names limits of bags that are not on the list.
    """

    loads: tuple[BagLoad, ...]
    pairs: tuple[tuple[BagLoad, BagLoad], ...]
    vehicles: tuple[VehicleLoad, ...]
    unused_limits: tuple[str, ...]


def bags_of(weighed: WeighUp, limits: Mapping[str, float]) -> Bags:
    """The bags of a list against limits by name in g."""
    own = {folded(name): round(grams * 1000) for name, grams in limits.items()}
    itself: dict[str, int | None] = {}
    for row in weighed.rows:
        for name in (row.item, row.name):
            itself[folded(slug(name))] = row.row_mg
    loads = tuple(
        BagLoad(
            each.name,
            each.items,
            each.carried_mg,
            each.unweighed,
            itself.get(folded(slug(each.name))),
            own.get(folded(each.name)),
            *_heaviest(weighed, each.name),
            _may_move(weighed, each.name),
        )
        for each in weighed.by("bag")
        if each.name
    )
    # Nobody carries everything at once: a bike's or boat's limit is for the list of a trip.
    limited = ("bike", "boat") if weighed.trip is not None and weighed.rows else ()
    vehicles = tuple(_vehicle(weighed, name, own[name]) for name in limited if name in own)
    there = {folded(load.name) for load in loads} | {"bike", "boat"}
    unused = tuple(name for name in limits if folded(name) not in there)
    return Bags(loads, tuple(_pairs(loads)), vehicles, unused)


def _heaviest(weighed: WeighUp, bag: str) -> tuple[str, int | None]:
    """The heaviest row in a bag by name and weight."""
    inside = [row for row in weighed.rows if row.bag and folded(row.bag) == folded(bag)]
    top = max(inside, key=lambda row: (row.row_mg or 0, row.name))
    return top.name, top.row_mg


def _may_move(weighed: WeighUp, bag: str) -> tuple[tuple[str, int], ...]:
    """The few heaviest weighed things in a bag that guard nothing, the heaviest first."""
    found: dict[str, int] = {}
    for row in weighed.rows:
        if row.bag and folded(row.bag) == folded(bag) and row.row_mg and not guards(row):
            found[row.name] = found.get(row.name, 0) + row.row_mg
    return tuple(sorted(found.items(), key=lambda each: (-each[1], each[0]))[:_FEW])


def _vehicle(weighed: WeighUp, vehicle: str, limit_mg: int) -> VehicleLoad:
    """All that is not worn, but for the heaviest of the vehicle's things of that system.

    Rather too much than too little counts: spare batteries and locks, which ride along, do.
    """
    packed = [row for row in weighed.rows if row.carried_as != "worn"]
    own = [row for row in packed if row.carried_as == "vehicle" and row.system == vehicle]
    itself = max(own, key=lambda row: row.row_mg or 0, default=None)
    load_mg = sum(row.row_mg or 0 for row in packed if row is not itself)
    return VehicleLoad(vehicle, itself.name if itself else "", load_mg, limit_mg)


def _pairs(loads: tuple[BagLoad, ...]) -> list[tuple[BagLoad, BagLoad]]:
    """Bags whose names differ in their side alone."""
    by_name = {folded(load.name): load for load in loads}
    pairs = []
    for name, load in sorted(by_name.items()):
        for side, other in _SIDES.items():
            across = re.sub(rf"\b{side}\b", other, name)
            if across != name and across in by_name:
                pairs.append((load, by_name[across]))
    return pairs
