"""How likely such a trip has each thing along, from the trips that are like it."""

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from ..stats.beta_binomial import Pool
from ..store.rows import Record
from .packing import heirs_at_hand
from .results import LikeTrip
from .unlike import weight_of

OWN_HABIT, HABIT_WEIGHT = 2, 1.5
"""From so many like trips on, and so much likeness of them all, the owner's habit speaks: huts have
beds. Two that are hardly like it are no habit for such trips."""
RARELY_TOGETHER = 0.2
"""One for another: at most on so many of the trips with the one the other came along, too."""
BY_CHANCE = 0.05
"""And so few together would come about by chance on fewer than so many logbooks."""


@dataclass(frozen=True, slots=True)
class Along:
    """One thing at hand on the like trips that have a list.

    ``had``: on so many of ``of`` trips it came along, or what it took over from did; ``of`` are
    those on which one of them was at hand. ``inherited`` of ``had``: what it took over from alone
    did. ``chance``: posterior mean of its share. ``weight_had`` and ``weight_of`` are what that
    rests on, each trip by its likeness.
    """

    item: str
    had: int
    of: int
    inherited: int
    weight_had: float
    weight_of: float
    chance: float


class LikeLists:
    """The lists of like trips, and what they tell of each thing at hand when the trip begins.

    A share is pooled within its system by the Beta-binomial of `stats.beta_binomial`; a trip counts
    by its likeness, as a part of a trip. What is no longer at hand hands its trips to what took
    over from it. A trip counts from the day of purchase on; where that is blank, after the first
    trip of all that had the thing along, since before that it may not have been there (of the first
    trip of the log it was, and a thing that never came along was there all the time).
    """

    def __init__(
        self,
        gear: Mapping[str, Record],
        like: Sequence[LikeTrip],
        lists: Mapping[str, Collection[str]],
        before: Sequence[tuple[str, date]],
    ) -> None:
        """Take ``gear``: rows of ``ahead/gear_then`` by item; ``like``: the like trips.

        ``lists``: what each trip before had along, by trip; ``before``: those trips, the latest
        last, with the day on which each began.
        """
        self._gear = gear
        self._lists = {trip: frozenset(items) for trip, items in lists.items()}
        self.like = tuple(trip for trip in like if trip.listed)
        self._logged = logged = [(trip, on) for trip, on in before if lists.get(trip)]
        self._begins = logged[0][1] if logged else date.max
        self._first: dict[str, tuple[str, date]] = {}
        for trip, on in logged:
            for item in lists[trip]:
                self._first.setdefault(item, (trip, on))
        self.before_it: dict[str, frozenset[str]] = {i: frozenset() for i in gear}
        for old, heirs in heirs_at_hand(gear).items():
            for item in heirs:
                self.before_it[item] |= {old}
        self.at_hand = {item for item, row in gear.items() if row["at_hand"]}
        counted = {item: self._count(item) for item in sorted(self.at_hand)}
        self._pools = {
            system: Pool([c[3] for c in of_system], [c[4] for c in of_system])
            for system in sorted({gear[i]["system"] for i in self.at_hand})
            for of_system in [[c for i, c in counted.items() if gear[i]["system"] == system]]
        }
        self.of = {i: Along(i, *c, self._chance(i, c[3], c[4])) for i, c in counted.items()}

    @property
    def is_habit(self) -> bool:
        """Whether like trips are enough, and enough alike, to say that such a trip does without."""
        return len(self.like) >= OWN_HABIT and weight_of(self.like) >= HABIT_WEIGHT

    def heirs(self, item: str) -> list[str]:
        """What of the things at hand took over from one that is not."""
        return [heir for heir in sorted(self.at_hand) if item in self.before_it[heir]]

    def _chance(self, item: str, had: float, of: float) -> float:
        return float(self._pools[self._gear[item]["system"]].mean(had, of)[0])

    def _count(self, item: str) -> tuple[int, int, int, float, float]:
        """`Along` without item and chance."""
        line = {item, *self.before_it[item]}
        had, of, inherited = 0, 0, 0
        weight_had, weight_of = 0.0, 0.0
        for trip in self.like:
            there = line & self._lists[trip.trip]
            if not there and not any(self._was_there(i, trip.start_on) for i in line):
                continue
            had, of = had + bool(there), of + 1
            inherited += bool(there) and item not in there
            if not self._is_first(line, trip):
                weight_had += trip.likeness if there else 0.0
                weight_of += trip.likeness
        return had, of, inherited, weight_had, weight_of

    def _was_there(self, item: str, on: date) -> bool:
        row = self._gear[item]
        if row["retired_on"] is not None and row["retired_on"] <= on:
            return False
        if row["bought_on"] is not None:
            return bool(row["bought_on"] <= on)
        return item not in self._first or self._first[item][1] <= on

    def on_record(self, item: str) -> tuple[int, int, int]:
        """On how many trips it came along, or what it took over from; of how many; of all.

        Of all trips before with a list, like the one ahead or not; the second counts those on which
        one of them was at hand.
        """
        line = {item, *self.before_it[item]}
        had = sum(bool(line & self._lists[trip]) for trip, _ in self._logged)
        there = sum(
            bool(line & self._lists[trip]) or any(self._was_there(i, on) for i in line)
            for trip, on in self._logged
        )
        return had, there, len(self._logged)

    def _is_first(self, line: Collection[str], trip: LikeTrip) -> bool:
        """Whether the trip is the one by which alone it is known that the thing was there."""
        if any(self._gear[i]["bought_on"] is not None for i in line):
            return False
        firsts = [self._first[i] for i in line if i in self._first]
        first = min(firsts, key=lambda one: one[1], default=("", self._begins))
        return first[0] == trip.trip and first[1] > self._begins

    def either(self, items: Collection[str]) -> tuple[int, int, float]:
        """On how many of the like trips any of the things came along, and the chance of that.

        The things are of one system; the chance is pooled in it like a thing's own.
        """
        lines = set(items).union(*(self.before_it[i] for i in items))
        had = [trip for trip in self.like if lines & self._lists[trip.trip]]
        weight = sum(trip.likeness for trip in self.like)
        chance = self._chance(min(items), sum(trip.likeness for trip in had), weight)
        return len(had), len(self.like), chance

    def one_for_another(self, item: str, other: str) -> bool:
        """Whether two things of a system stand in for each other: hardly ever are both along.

        ``other`` itself, not what it took over from, was along without ``item`` on a trip at least.
        With it along, ``item`` came along on a fifth of the trips at most, of all before and
        of the like ones, and of all less often than without it by more than chance (one-sided
        binomial, 5 %; its share without the other with half a trip added to either side).
        """
        if item == other or self._gear[item]["system"] != self._gear[other]["system"]:
            return False
        mine, its = ({i, *self.before_it[i]} for i in (item, other))
        if not any(other in one and mine.isdisjoint(one) for one in self._lists.values()):
            return False
        like = [self._lists[trip.trip] for trip in self.like]
        for lists in (list(self._lists.values()), like):
            with_other = [bool(mine & set(one)) for one in lists if its & set(one)]
            if sum(with_other) > RARELY_TOGETHER * len(with_other):
                return False
        every = [(bool(mine & set(one)), bool(its & set(one))) for one in self._lists.values()]
        with_other = [had for had, other_had in every if other_had]
        alone = [had for had, other_had in every if not other_had]
        share = (sum(alone) + 0.5) / (len(alone) + 1)
        return _at_most(sum(with_other), len(with_other), share) < BY_CHANCE

    def with_any(self, items: Collection[str]) -> tuple[int, float]:
        """On how many like trips any of the things came along, and on what share by likeness."""
        had = [trip for trip in self.like if not self._lists[trip.trip].isdisjoint(items)]
        whole = sum(trip.likeness for trip in self.like)
        return len(had), sum(trip.likeness for trip in had) / whole if whole else 0.0

    def share_beside(self, items: Collection[str], others: Collection[str]) -> tuple[int, float]:
        """How many like trips had any of the others, and what share of them any of the things."""
        of = [trip for trip in self.like if not self._lists[trip.trip].isdisjoint(others)]
        whole = sum(trip.likeness for trip in of)
        had = (t.likeness for t in of if not self._lists[t.trip].isdisjoint(items))
        return len(of), sum(had) / whole if whole else 0.0

    def had_system(self, system: str) -> int:
        """On how many of the like trips anything of a system came along."""
        return sum(
            any(self._gear[i]["system"] == system for i in self._lists[trip.trip])
            for trip in self.like
        )

    def system_share(self, system: str) -> float:
        """The share of the like trips, each by its likeness, on which anything of it came along."""
        whole = sum(trip.likeness for trip in self.like)
        had = sum(
            trip.likeness
            for trip in self.like
            if any(self._gear[i]["system"] == system for i in self._lists[trip.trip])
        )
        return had / whole if whole else 0.0


def _at_most(k: int, n: int, share: float) -> float:
    """P(at most k of n), each with that share."""
    return sum(math.comb(n, i) * share**i * (1 - share) ** (n - i) for i in range(k + 1))
