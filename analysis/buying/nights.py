"""The nights with sleep gear, as they were and with a candidate in the place of what it replaces.

Ratings are on the limit scale throughout (`cold.ratings`), so that one bag entered by two figures
is one bag.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING, Any

from ...tripdata.contract import TOO_COLD_VOTE
from ..climate.season_spread import PLAIN, SeasonSpread, season_of_night
from ..cold.ratings import MAKER, as_limit_c
from ..store.rows import Store, ask
from .results import Candidate

if TYPE_CHECKING:
    from ..cold.limit import SleepSystem


@dataclass(frozen=True, slots=True)
class SleptNight:
    """A night with the sleep gear that was there: rating by item, missing where not rated.

    ``ratings`` are on the limit scale, ``kinds`` says by item whose figures they were (the maker's,
    where it says nothing). ``set_apart``: sleep or shelter gear had failed.
    """

    trip: str
    night: date
    start_on: date
    low_c: float | None
    normal_low_c: float | None
    sd_c: float | None
    warmth: int | None
    ratings: Mapping[str, float | None]
    kinds: Mapping[str, str] = field(default_factory=dict)
    set_apart: bool = False
    season: SeasonSpread = PLAIN

    @property
    def rated_c(self) -> float | None:
        """The lowest rating among the gear."""
        return _lowest(self.ratings.values())

    @property
    def too_cold(self) -> bool:
        """Whether it was voted so."""
        return self.warmth is not None and self.warmth <= TOO_COLD_VOTE

    @property
    def system(self) -> "SleepSystem | None":
        """The gear as a sleep system; None where none of it is rated."""
        return sleep_system(self.ratings, self.kinds)


def _lowest(ratings: Iterable[float | None]) -> float | None:
    return min((r for r in ratings if r is not None), default=None)


def slept_nights(store: Store) -> tuple[SleptNight, ...]:
    """Every night with sleep gear of every trip that took place, in order."""
    by_night: dict[tuple[str, date], list[dict[str, Any]]] = defaultdict(list)
    for row in ask(store, "buying/bedding_nights"):
        by_night[row["trip"], row["night"]].append(row)
    return tuple(_slept_night(rows) for rows in by_night.values())


def _slept_night(rows: Sequence[Mapping[str, Any]]) -> SleptNight:
    """From one row a thing that was there."""
    night = rows[0]
    return SleptNight(
        night["trip"],
        night["night"],
        night["start_on"],
        night["low_c"],
        night["normal_low_c"],
        night["normal_low_sd_c"],
        night["warmth"],
        {row["item"]: row["as_limit_c"] for row in rows},
        {row["item"]: row["rated_as"] for row in rows if row["rated_as"] is not None},
        night["set_apart"],
        season_of_night(night["night"], night["station_latitude"]),
    )


class BeddingSwap:
    """A candidate in the place of what it replaces, night by night.

    ``nights`` are those on which it would have been there; `whole` those of them on which no sleep
    or shelter gear had failed, from which alone something can be learnt of it.
    """

    def __init__(self, candidate: Candidate, nights: Sequence[SleptNight]) -> None:
        self.candidate = candidate
        self.nights = tuple(n for n in nights if self.comes_along(n))
        # A short name has no blank: no owned thing is taken for it.
        self._item = f"candidate {candidate.candidate}"

    @cached_property
    def whole(self) -> tuple[SleptNight, ...]:
        """The nights on which nothing had failed."""
        return tuple(n for n in self.nights if not n.set_apart)

    def comes_along(self, night: SleptNight) -> bool:
        """Where something it replaces was there; always where it replaces nothing."""
        replaces = self.candidate.replaces
        return not replaces or any(item in night.ratings for item in replaces)

    def rated_c(self, night: SleptNight) -> float | None:
        """The lowest rating with the candidate."""
        return _lowest(self._with_it(night).values())

    def system(self, night: SleptNight) -> "SleepSystem | None":
        """The sleep system with the candidate."""
        kinds = {**night.kinds, self._item: self.candidate.rated_as}
        return sleep_system(self._with_it(night), kinds)

    def _with_it(self, night: SleptNight) -> dict[str, float | None]:
        others = {i: r for i, r in night.ratings.items() if i not in self.candidate.replaces}
        return {**others, self._item: rated_as_limit_c(self.candidate)}


def rated_as_limit_c(candidate: Candidate) -> float | None:
    """Its rating on the limit scale."""
    if candidate.rated_low_c is None:
        return None
    return as_limit_c(candidate.rated_low_c, candidate.rated_as)


def sleep_system(
    ratings: Mapping[str, float | None], kinds: Mapping[str, str]
) -> "SleepSystem | None":
    """Things as a sleep system, by their ratings and their kinds; None where none is rated."""
    from ..cold.limit import SleepSystem

    rated = [(rating, item) for item, rating in ratings.items() if rating is not None]
    if not rated:
        return None
    lowest_c, item = min(rated)
    items = tuple(sorted(ratings))
    return SleepSystem(items, items, item, item, lowest_c, kinds.get(item, MAKER), lowest_c)
