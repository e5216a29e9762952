"""What to take along: the trip's own list, else what like trips had along, by bag.

Where the trip has no list of its own, at least half of the like trips, each by its likeness, must
have had a thing along; what was given up stands in by what took over from it. Where most of them
had something of a system, or of what a thing needs, but nothing of it so often, it is the
likeliest. Where there is no like trip with a list either, everything owned is listed.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from ...tripdata.contract import SYSTEMS
from ...tripdata.names import folded, slug
from ..store.rows import Record, Store, ask
from ..usage.conditions import Meaning
from .results import LikeTrip, ListedThing, TripAhead

LIKE_SHARE = 0.5
"""A thing is on the list where so much of the like trips' weight had it along."""
Source = Literal["list", "like", "gear"]
"""Where a list comes from: the trip's own rows, like trips, or everything that is owned."""
GroupKind = Literal["worn", "bag", "loose", "system", "vehicle", "other"]


@dataclass(frozen=True, slots=True)
class PackedThing:
    """A row of the list and what to know of it.

    ``in_place_of``: the name of what it took over from, where like trips had that. ``given_up``:
    the day on which what is on the list was given up, by the trip's start. ``owner``: whose it is,
    where it is borrowed. ``checked_on``, ``insurance`` and ``capacity_wh`` as gear.csv has them.
    """

    thing: ListedThing
    meaning: Meaning
    insurance: bool
    capacity_wh: float | None
    checked_on: date | None
    owner: str | None
    given_up: date | None = None
    in_place_of: str | None = None
    from_like_trips: bool = False

    @property
    def row_g(self) -> float | None:
        """What all its pieces weigh."""
        mg = self.thing.weight_mg
        return None if mg is None else self.thing.quantity * mg / 1000

    @property
    def is_amount_open(self) -> bool:
        """Whether how much of it to take is another question: what like trips ate or burnt."""
        return self.from_like_trips and self.thing.carried_as == "consumable"

    @property
    def is_own_load(self) -> bool:
        """Whether nobody else carries it."""
        return self.thing.carried_by is None


@dataclass(frozen=True, slots=True)
class PackedGroup:
    """What goes into one place, the heaviest first.

    ``kind``: worn, a bag of that name, loose (in no bag), what is of a system where no bag is
    named, the vehicle's, or in the load of another person of that name.
    """

    kind: GroupKind
    name: str
    things: tuple[PackedThing, ...]


@dataclass(frozen=True, slots=True)
class Packing:
    """What to take. ``like``: the trips behind it where it is from like trips, the latest last."""

    source: Source
    things: tuple[PackedThing, ...]
    like: tuple[LikeTrip, ...] = ()

    @property
    def items(self) -> frozenset[str]:
        """The items on it."""
        return frozenset(each.thing.item for each in self.things)

    def groups(self) -> tuple[PackedGroup, ...]:
        """What is worn, each bag by its name, what is in no bag, the vehicle's, others' loads.

        A bag that is a thing on the list itself stands first among what it holds.
        """
        bags: dict[str, str] = {}
        for each in self.things:
            if each.thing.bag and each.is_own_load:
                bags.setdefault(_key(each.thing.bag), each.thing.bag)
        groups: dict[tuple[GroupKind, str], list[PackedThing]] = {}
        for each in self.things:
            kind, name = _place(each, bags)
            groups.setdefault((kind, name), []).append(each)
        order = list(GroupKind.__args__)  # type: ignore[attr-defined]
        places = sorted(groups, key=lambda g: (order.index(g[0]), _in_order(g), g[1]))
        return tuple(
            PackedGroup(
                kind,
                bags[name] if kind == "bag" else name,
                _heaviest_first(groups[kind, name], name if kind == "bag" else None),
            )
            for kind, name in places
        )


def packing_of(store: Store, ahead: TripAhead, without: Collection[str] = ()) -> Packing:
    """What to take on a trip, from what was known when it begins.

    ``without``: what the record would leave at home for it. It is not drawn from like trips; what
    the trip's own list has stays on it.
    """
    gear: dict[str, Record] = {
        row["item"]: row for row in ask(store, "ahead/gear_then", trip=ahead.trip.trip)
    }
    if ahead.listed:
        return Packing("list", tuple(_packed(thing, gear[thing.item]) for thing in ahead.listed))
    like = tuple(trip for trip in ahead.like if trip.listed)
    usual = _usual(store, like, gear)
    things = tuple(each for each in usual if each.thing.item not in without)
    if things:
        return Packing("like", things, like)
    owned = (row for row in gear.values() if row["at_hand"] and row["owner"] is None)
    return Packing("gear", tuple(_packed(_listed(row, row), row) for row in owned))


def _usual(
    store: Store, like: Sequence[LikeTrip], gear: Mapping[str, Record]
) -> Iterable[PackedThing]:
    """What at least half of the like trips had along, as the latest of them carried it."""
    whole = sum(trip.likeness for trip in like)
    heirs = heirs_at_hand(gear)
    rows: dict[str, list[Record]] = {trip.trip: [] for trip in like}
    for row in ask(store, "ahead/lists_of", trips=list(rows)) if rows else ():
        rows[row["trip"]].append(row)
    share: dict[str, float] = {}
    latest: dict[str, list[Record]] = {}
    for trip in like:
        had: dict[str, list[Record]] = {}
        for carried in rows[trip.trip]:
            own = carried["item"] if gear[carried["item"]]["at_hand"] else None
            for item in [own] if own else heirs.get(carried["item"], ()):
                had.setdefault(item, []).append(carried)
        for item, of_item in had.items():
            share[item] = share.get(item, 0.0) + trip.likeness
            # Where a thing came along beside what it took over from, its own rows say how.
            items = {each["item"] for each in of_item}
            teller = item if item in items else of_item[0]["item"]
            latest[item] = [each for each in of_item if each["item"] == teller]
    usual = {item for item in share if share[item] >= LIKE_SHARE * whole - 1e-9}
    usual |= _for_gaps(usual, share, gear, like, rows)
    for item in sorted(share):
        if item in usual:
            for carried in latest[item]:
                instead = gear[carried["item"]]["name"] if carried["item"] != item else None
                thing = _packed(_listed(gear[item], carried), gear[item])
                yield replace(thing, in_place_of=instead, from_like_trips=True)


def _for_gaps(
    usual: Collection[str],
    share: Mapping[str, float],
    gear: Mapping[str, Record],
    like: Sequence[LikeTrip],
    rows: Mapping[str, Sequence[Record]],
) -> set[str]:
    """The likeliest thing of each system that most like trips had, where none of it is usual.

    Three shelters in turn are each along on a third of the trips, and yet one of them is needed. So
    it is with what a usual thing needs, of which none is usual.
    """
    whole = sum(trip.likeness for trip in like)
    gaps: set[str] = set()

    def add_likeliest(items: Iterable[str]) -> None:
        known = [item for item in items if item in share]
        if known and not {*usual, *gaps} & set(known):
            gaps.add(min(known, key=lambda item: (-share[item], item)))

    for system in SYSTEMS:
        had = sum(
            trip.likeness
            for trip in like
            if any(gear[row["item"]]["system"] == system for row in rows[trip.trip])
        )
        if had >= LIKE_SHARE * whole - 1e-9 and had > 0:
            add_likeliest(item for item in share if gear[item]["system"] == system)
    for item in sorted(usual):
        add_likeliest(gear[item]["needs"])
    return gaps


def heirs_at_hand(gear: Mapping[str, Record]) -> dict[str, list[str]]:
    """By thing that is not at hand, what of the things at hand took over from it.

    ``gear``: rows of ``ahead/gear_then`` by item.
    """
    heirs: dict[str, list[str]] = {}
    for item, row in sorted(gear.items()):
        seen, left = {item}, list(row["replaces"]) if row["at_hand"] else []
        while left:
            before = left.pop()
            # A predecessor that is still at hand goes along itself.
            if before in seen or before not in gear or gear[before]["at_hand"]:
                continue
            seen.add(before)
            heirs.setdefault(before, []).append(item)
            left += gear[before]["replaces"]
    return heirs


def _listed(about: Record, row: Record) -> ListedThing:
    """A thing as it was carried, by a row of a list, or as gear.csv has it."""
    consumable = row["carried_as"] == "consumable"
    return ListedThing(
        item=about["item"],
        name=about["name"],
        system=about["system"],
        kit=about["kit"],
        bag=row.get("bag"),
        carried_as=row["carried_as"],
        carried_by=row.get("carried_by"),
        quantity=1 if consumable else row.get("quantity", 1),
        weight_mg=None if consumable and "trip" in row else about["weight_mg"],
    )


def _packed(thing: ListedThing, about: Record) -> PackedThing:
    return PackedThing(
        thing=thing,
        meaning=Meaning.of(about["meant_for"], about["cold_below_c"]),
        insurance=about["insurance"],
        capacity_wh=about["capacity_wh"],
        checked_on=about["checked_on"],
        owner=about["owner"],
        given_up=None if about["at_hand"] else about["retired_on"],
    )


def _key(name: str | None) -> str:
    return folded(slug(name)) if name else ""


def _place(each: PackedThing, bags: Mapping[str, str]) -> tuple[GroupKind, str]:
    """Where a thing goes: the kind of group, and its name or a bag's key."""
    thing = each.thing
    if thing.carried_by is not None:
        return "other", thing.carried_by
    if thing.bag:
        return "bag", _key(thing.bag)
    itself = next((key for key in (_key(thing.item), _key(thing.name)) if key in bags), None)
    if itself is not None:
        return "bag", itself
    if thing.carried_as in ("worn", "vehicle"):
        return ("worn" if thing.carried_as == "worn" else "vehicle"), ""
    return ("loose", "") if bags else ("system", thing.system)


def _in_order(group: tuple[GroupKind, str]) -> int:
    return SYSTEMS.index(group[1]) if group[0] == "system" else 0


def _heaviest_first(things: Iterable[PackedThing], bag: str | None) -> tuple[PackedThing, ...]:
    def order(each: PackedThing) -> tuple[bool, float, str]:
        itself = not each.thing.bag and bag in (_key(each.thing.item), _key(each.thing.name))
        return not itself, -(each.row_g or 0.0), each.thing.name

    return tuple(sorted(things, key=order))
