"""What a cull answers: the set to leave, its frontier, the same by kind of trip.

Misses and grams are those of a trip on which all that is left would have come along. Only base
weight is saved: what is worn, eaten or bolted on is no part of it.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from ..catalogue.options import check_together
from ..stats.zero_one import LeftSet
from ..store.typed import read_grams, where_named
from ..usage.conditions import TripKind
from ..usage.items import Usage
from ..usage.keep_rules import NOTHING_KNOWN, Circumstances
from ..usage.verdicts import Judged, only_beside


@dataclass(frozen=True, slots=True)
class Wish:
    """How much is to be saved, in g; at most one of the two. Neither: what the verdicts leave.

    ``undecided`` asks in what had no chance or too few of them yet.
    """

    target_g: float | None = None
    save_g: float | None = None
    undecided: bool = False

    @property
    def grams(self) -> bool:
        """Whether so many grams are asked for."""
        return self.target_g is not None or self.save_g is not None

    def __post_init__(self) -> None:
        check_together({"target_g": self.target_g, "save_g": self.save_g})
        for name, grams in (("target_g", self.target_g), ("save_g", self.save_g)):
            if grams is not None:
                where_named(name, grams, read_grams)


@dataclass(frozen=True, slots=True)
class LeftItem:
    """One thing to leave. ``weight_g``: all of it that is usually carried as base.

    ``p_needed``: on the next trip. ``regret``: its part of the expected regret of the whole set.
    ``inclusion``: share of the answers that have it, over draws of all that is uncertain.
    """

    item: str
    name: str
    weight_g: float
    p_needed: float
    cost: float
    regret: float
    inclusion: float


@dataclass(frozen=True, slots=True)
class Answer:
    """The set to leave. ``wanted_g`` was to be saved; ``most_g`` is all that may be left."""

    wanted_g: float
    most_g: float
    left: tuple[LeftItem, ...]
    point: LeftSet

    @property
    def reached(self) -> bool:
        """Whether so much may be left."""
        return self.point.saved_g >= self.wanted_g


@dataclass(frozen=True, slots=True)
class KindOfTrip:
    """The same for one kind of trip.

    ``answer``: the most that may be left on it at no more regret than that of the answer for any
    trip. ``add``: what goes along on it of what may stay at home on a dry and warm trip. ``meant``:
    what is meant for it of all that goes along anyway.
    """

    kind: TripKind
    frontier: tuple[LeftSet, ...]
    answer: LeftSet
    add: tuple[str, ...]
    meant: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class BaseWeight:
    """What one usually carries: the median base weight of the scope's trips with a night.

    ``grams`` is missing where no such trip is weighed; ``at_least``: none is weighed in full.
    """

    grams: float | None
    trips: int
    at_least: bool


@dataclass(frozen=True, slots=True)
class Cull:
    """Everything that the page of a season shows.

    ``loads_g``: what things usually weigh as base, of what is weighed. ``unweighed``: names of what
    could be left but has no weight. ``around``: what bears on leaving beside the counts.
    """

    usage: Usage
    judged: tuple[Judged, ...]
    wish: Wish
    base: BaseWeight
    answer: Answer
    frontier: tuple[LeftSet, ...]
    by_kind: tuple[KindOfTrip, ...]
    loads_g: Mapping[str, float]
    unweighed: tuple[str, ...]
    around: Circumstances = NOTHING_KNOWN

    @property
    def by_item(self) -> dict[str, Judged]:
        """What was judged, by item."""
        return {judged.about.item: judged for judged in self.judged}

    def only_beside(self, items: Iterable[str]) -> dict[str, str]:
        """Of things left at home, beside what each may be left alone: names, by item."""
        return only_beside(items, self.judged)
