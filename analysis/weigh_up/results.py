"""What a weigh-up finds: rows on the list, sums of groups of them, totals with a name."""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date

from ...tripdata.names import folded
from ..store.trip_choice import TripChoice
from ..store.weight_class import weight_class
from ..usage.guard_words import keeps_a_boat_safe, means_safety
from .unmarked import unmarked_words

OF_VEHICLES = ("boat", "bike")
"""Systems of vehicles, whose things may be base weight or the vehicle's."""


WITHOUT_VEHICLES = "All but bike and boat"
"""The name of what of all that is owned is left without them."""
_WORN_TO_RIDE = "helmet"


def certain_class(base_g: float) -> str | None:
    """The class of at least so many g where more cannot change it; None below the last line."""
    reached = weight_class(base_g)
    return reached if reached == weight_class(math.inf) else None


@dataclass(frozen=True, slots=True)
class LoadRow:
    """One row of the list, all its pieces together; ``row_mg`` is missing where it is not weighed.

    ``added``: it is not on the list itself and was asked for besides. ``marked``: it is insurance
    or essential.
    """

    item: str
    name: str
    system: str
    kit: str | None
    bag: str | None
    carried_as: str
    row_mg: int | None
    added: bool = False
    marked: bool = False


@dataclass(frozen=True, slots=True)
class GroupSum:
    """What the rows of one system, kit, bag, way of carrying or item weigh.

    Sums are over what is weighed; ``unweighed`` counts the items that are not. ``share`` is of all
    that is carried, missing where nothing is weighed. ``base_without_mg`` is the base weight
    without these rows, ``class_without`` its class, missing where that is nothing or a base thing
    that is left in it is not weighed. ``name`` is blank for what stands in no kit or bag.
    """

    group: str
    name: str
    items: int
    base_mg: int
    worn_mg: int
    consumable_mg: int
    vehicle_mg: int
    carried_mg: int
    unweighed: int
    share: float | None
    base_without_mg: int
    class_without: str | None

    def kind_mg(self, kind: str) -> int:
        """The sum of one way of carrying."""
        mg: int = getattr(self, f"{kind}_mg")
        return mg


def protects_on_the_move(row: LoadRow) -> bool:
    """Whether a boat's or bike's thing keeps its crew safe: no part of the vehicle, by its names.

    A buoyancy vest, a bailer, a throw line, a helmet: whatever is made of the vehicle, they come
    along.
    """
    names = row.item, row.name
    helmet = any(_WORN_TO_RIDE in folded(name) for name in names)
    return row.system in OF_VEHICLES and (
        helmet or keeps_a_boat_safe(*names) or means_safety(*names)
    )


def _has_camp(rows: Iterable[LoadRow]) -> bool:
    return {row.system for row in rows} >= {"shelter", "sleep"}


@dataclass(frozen=True, slots=True)
class Total:
    """A sum with a name, of the rows of some ways of carrying; ``unweighed``: items not in it."""

    name: str
    mg: int
    unweighed: int

    @property
    def grams(self) -> float:
        """The sum in g."""
        return self.mg / 1000

    @property
    def class_name(self) -> str | None:
        """Its class as a base weight; missing where nothing weighs anything, or may change it."""
        if not self.mg:
            return None
        return self.certain_class if self.unweighed else weight_class(self.grams)

    @property
    def certain_class(self) -> str | None:
        """The class that more weight cannot change: the heaviest, once it is reached."""
        return certain_class(self.grams)


@dataclass(frozen=True, slots=True)
class WeighUp:
    """A list weighed up.

    trip: whose list it is, None for everything in gear.csv that is owned on ``today``: not given
    up, bought by then and not borrowed; ``borrowed`` is what is at hand and somebody else's.
    rows: what counts, ``left_out`` what was on the list and does not, by the asker's wish.
    unread: carried records of the trip that could not be loaded. remarks: what to know of the
    wishes, a sentence each.
    """

    trip: TripChoice | None
    today: date
    rows: tuple[LoadRow, ...]
    left_out: tuple[LoadRow, ...]
    groups: tuple[GroupSum, ...]
    unread: int
    remarks: tuple[str, ...] = ()
    borrowed: tuple[LoadRow, ...] = ()

    @property
    def has_class(self) -> bool:
        """Whether its base weight has a class: the list of a trip on which shelter and sleep are.

        Nobody carries all that they own, half a list is light for what it lacks, and what is eaten
        or worn and not marked so is no base weight.
        """
        return self.trip is not None and not self.lacks_camp and not self.unmarked

    @property
    def unmarked(self) -> str:
        """That food, fuel or worn clothes are not marked and count as base; blank where not."""
        return unmarked_words(self.rows)

    @property
    def at_least(self) -> bool:
        """Whether sums are lower bounds."""
        return self.unread > 0 or any(row.row_mg is None for row in self.rows)

    @property
    def unweighed(self) -> tuple[str, ...]:
        """Names of the things that are not weighed."""
        return tuple(dict.fromkeys(row.name for row in self.rows if row.row_mg is None))

    @property
    def lacks_camp(self) -> bool:
        """Whether it has no shelter or nothing to sleep in, so that no class tells of it."""
        return not _has_camp(self.rows)

    def lacks_camp_without(self, group: GroupSum) -> bool:
        """The same of what is left without the rows of a group."""

        def stays(row: LoadRow) -> bool:
            return (getattr(row, group.group) or "") != group.name

        return not _has_camp(filter(stays, self.rows))

    def by(self, group: str) -> tuple[GroupSum, ...]:
        """The sums of one way of grouping, heaviest first, what has no name last."""
        sums = [each for each in self.groups if each.group == group]
        return tuple(sorted(sums, key=lambda each: (not each.name, -each.carried_mg, each.name)))

    def _total(self, name: str, counts: Callable[[LoadRow], bool]) -> Total:
        rows = [row for row in self.rows if counts(row)]
        return Total(
            name,
            sum(row.row_mg or 0 for row in rows),
            len({row.item for row in rows if row.row_mg is None}),
        )

    @property
    def base(self) -> Total:
        """The base weight."""
        return self._total("Base weight", lambda row: row.carried_as == "base")

    @property
    def without_vehicles(self) -> Total | None:
        """All but bike and boat of everything that is owned; None where that cannot be told.

        Where nothing is marked as a vehicle's, that says nothing of how a bike or boat is carried:
        it then goes by their systems, and where all is of the system other, by nothing.
        """
        if any(row.carried_as == "vehicle" for row in self.rows):
            return self.skin_out
        if all(row.system == "other" for row in self.rows):
            return None
        return self._total(WITHOUT_VEHICLES, lambda row: row.system not in OF_VEHICLES)

    @property
    def carried(self) -> Total:
        """All of it, the vehicle's included."""
        return self._total("All, bike and boat included", lambda row: True)

    @property
    def without_bags(self) -> Total:
        """Base weight without what is of the system bags."""
        return self._total(
            "Base weight without bags",
            lambda row: row.carried_as == "base" and row.system != "bags",
        )

    @property
    def skin_out(self) -> Total:
        """All but the vehicle's."""
        return self._total("From the skin out", lambda row: row.carried_as != "vehicle")

    def of_base(self, system: str) -> Total | None:
        """What a system has carried as base; None where there is nothing of it."""
        if not any(row.carried_as == "base" and row.system == system for row in self.rows):
            return None
        return self._total(system, lambda row: row.carried_as == "base" and row.system == system)

    def without_system(self, system: str) -> Total | None:
        """Base weight without the boat or bike and its things; None where none of them is base."""
        if self.of_base(system) is None:
            return None
        return self._total(
            f"Base weight without the {system} and its things",
            lambda row: row.carried_as == "base" and row.system != system,
        )

    def counted(self, system: str) -> Total | None:
        """Base weight, were the vehicle's things of a system base; None where there are none.

        Nor where some of them are borrowed: without the boat itself it would mean little. What
        keeps safe (`protects_on_the_move`) is the vehicle's no more than its crew, and stays as it
        is carried.
        """

        def is_of(row: LoadRow) -> bool:
            own = row.system == system and not protects_on_the_move(row)
            return row.carried_as == "vehicle" and own

        if not any(map(is_of, self.rows)) or any(map(is_of, self.borrowed)):
            return None
        return self._total(
            f"Base weight if the {system} counted",
            lambda row: row.carried_as == "base" or is_of(row),
        )

    def crew_safety(self, system: str) -> tuple[LoadRow, ...]:
        """What is carried as vehicle with the boat or bike and keeps its crew safe."""
        rows = (r for r in self.rows if r.carried_as == "vehicle" and r.system == system)
        return tuple(filter(protects_on_the_move, rows))

    def telling_totals(self) -> tuple[Total, ...]:
        """The same without what repeats another: no bags as base, nothing of a vehicle's."""
        fixed = any(row.carried_as == "vehicle" for row in self.rows)
        bags = any(row.carried_as == "base" and row.system == "bags" for row in self.rows)
        totals = list(self.fair_totals())
        if self.trip is None:
            # Nobody carries all that they own, so that nothing of it is from the skin out.
            fixed = fixed or any(row.system in OF_VEHICLES for row in self.rows)
            left = self.without_vehicles
            totals[-2:-1] = [left] if left else []
        repeats = {self.without_bags.name: not bags, self.carried.name: not fixed}
        return tuple(total for total in totals if not repeats.get(total.name, False))

    def fair_totals(self) -> tuple[Total, ...]:
        """The totals that are told, each under its name, base weight first, all of it last."""
        of_vehicles = (
            total(system) for system in OF_VEHICLES for total in (self.without_system, self.counted)
        )
        return (
            self.base,
            self.without_bags,
            *(total for total in of_vehicles if total),
            self.skin_out,
            self.carried,
        )
