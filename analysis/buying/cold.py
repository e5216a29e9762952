"""How another sleep system would have done on one's own nights, and would in a year to come.

Ratings are on the limit scale throughout (`cold_ratings`), so that one bag entered by two figures
is one bag.
"""

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING, Any

import duckdb

from ...tripdata.contract import TOO_COLD_VOTE
from ..climate.season_spread import PLAIN, SeasonSpread, season_of_night
from ..cold.ratings import MAKER, as_limit_c
from ..stats.ar1_chain import NIGHT_TO_NIGHT
from ..stats.constants import LEVEL, NINE_IN_TEN_SD
from ..stats.estimate import Estimate
from ..store.rows import ask
from .results import AtHome, Candidate, ColdReplay, ColdYear

if TYPE_CHECKING:
    from ..cold.limit import ColdLimits, SleepSystem


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
        return lowest(self.ratings.values())

    @property
    def too_cold(self) -> bool:
        """Whether it was voted so."""
        return self.warmth is not None and self.warmth <= TOO_COLD_VOTE

    @property
    def system(self) -> "SleepSystem | None":
        """The gear as a sleep system; None where none of it is rated."""
        return _system(self.ratings, self.kinds)


def lowest(ratings: Iterable[float | None]) -> float | None:
    """The lowest known rating."""
    return min((r for r in ratings if r is not None), default=None)


def slept_nights(connection: duckdb.DuckDBPyConnection) -> tuple[SleptNight, ...]:
    """Every night with sleep gear of every trip that took place, in order."""
    by_night: dict[tuple[str, date], list[dict[str, Any]]] = defaultdict(list)
    for row in ask(connection, "buying/bedding_nights"):
        by_night[row["trip"], row["night"]].append(row)
    return tuple(
        SleptNight(
            trip,
            night,
            rows[0]["start_on"],
            rows[0]["low_c"],
            rows[0]["normal_low_c"],
            rows[0]["normal_low_sd_c"],
            rows[0]["warmth"],
            {row["item"]: row["as_limit_c"] for row in rows},
            {row["item"]: row["rated_as"] for row in rows if row["rated_as"] is not None},
            rows[0]["set_apart"],
            season_of_night(night, rows[0]["station_latitude"]),
        )
        for (trip, night), rows in by_night.items()
    )


class Swap:
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
        return lowest(self._with_it(night).values())

    def system(self, night: SleptNight) -> "SleepSystem | None":
        """The sleep system with the candidate."""
        kinds = {**night.kinds, self._item: self.candidate.rated_as}
        return _system(self._with_it(night), kinds)

    def _with_it(self, night: SleptNight) -> dict[str, float | None]:
        kept = {i: r for i, r in night.ratings.items() if i not in self.candidate.replaces}
        return {**kept, self._item: _rated(self.candidate)}


def replay(
    swap: Swap, limits: "ColdLimits", owned: Sequence["SleepSystem"] = ()
) -> ColdReplay | None:
    """The nights again; None where the candidate would have been there on no known night.

    Nights on which sleep or shelter gear had failed are left out: a new quilt mends no flat mat.
    ``owned``: the sleep sets that are at home already.
    """
    judged = [n for n in swap.whole if n.low_c is not None]
    both = [n for n in judged if n.rated_c is not None]
    if not judged:
        return None
    votes = [n for n in judged if n.warmth is not None]
    cold = [n for n in votes if n.too_cold]
    least, avoided, most = spared(cold, swap.system, limits)
    low, own, high = own_limit(limits, swap.candidate)
    now = {n.system for n in swap.whole}
    known = [limits.limit_of(system) for system in now if system is not None]
    usual = max(known, key=lambda x: (x.nights, x.system.items), default=None)
    return ColdReplay(
        nights=len(both or judged),
        inside_now=sum(_inside(n, n.rated_c) for n in both) if both else None,
        inside_then=sum(_inside(n, swap.rated_c(n)) for n in both or judged),
        votes=len(votes),
        cold_votes=len(cold),
        avoided=avoided,
        avoided_least=least,
        avoided_most=most,
        own_limit_c=own,
        own_limit_low_c=low,
        own_limit_high_c=high,
        limit_now_c=usual.own_limit_c if usual is not None and usual.nights else None,
        set_apart=len([n for n in swap.nights if n.set_apart]),
        rated_as=tuple(sorted({system.rated_as for system in now if system is not None})),
        at_home=_at_home(cold, limits, owned),
    )


def spared(
    cold: Sequence[SleptNight],
    instead: Callable[[SleptNight], "SleepSystem | None"],
    limits: "ColdLimits",
) -> tuple[int, int, int]:
    """How many of some too cold nights would not have been, in another sleep system.

    Least, about how many, most: expected numbers, rounded. Each night was too cold as it was; that
    it would not have been is worked from how much lower the other is rated, on one scale (where
    both have judged nights: from how much lower its own limit is), and from what is known of the
    sleeper. Rated no lower, it spares nothing. The range is that of 90 % of what the two limits may
    be off against each other.
    """
    counts = [0.0, 0.0, 0.0]
    apart: dict[tuple[SleepSystem, SleepSystem], tuple[float, float]] = {}
    for night in cold:
        now, then = night.system, instead(night)
        if then is None:
            continue
        if now is None:
            # Without a rating of what was there, all that is known is the other's own limit.
            chance = 1 - _too_cold(limits, then, _low(night))
            counts = [count + chance for count in counts]
            continue
        if now.rated_item == then.rated_item:
            continue
        if (now, then) not in apart:
            apart[now, then] = _apart(limits, now, then)
        lower, off = apart[now, then]
        for place, shift in enumerate((NINE_IN_TEN_SD * off, 0.0, -NINE_IN_TEN_SD * off)):
            counts[place] += _spared(limits, now, _low(night), lower + shift)
    least, about, most = (round(count) for count in counts)
    return least, about, most


def _apart(limits: "ColdLimits", now: "SleepSystem", then: "SleepSystem") -> tuple[float, float]:
    """How much higher even odds lie in one system than in another, and how far that may be off.

    The latter is a standard deviation: that of both limits, taken as independent.
    """
    first, second = limits.limit_of(now), limits.limit_of(then)
    widths = [one.own_limit_high_c - one.own_limit_low_c for one in (first, second)]
    off = math.hypot(*widths) / (2 * NINE_IN_TEN_SD)
    if first.basis == second.basis == "own":
        return second.own_limit_c - first.own_limit_c, off
    return then.as_limit_c - now.as_limit_c, off


def _spared(limits: "ColdLimits", system: "SleepSystem", low_c: float, lower_c: float) -> float:
    """P(not too cold where even odds lie ``lower_c`` higher | too cold as it was)."""
    import numpy as np
    from scipy.special import log_ndtr  # type: ignore[import-untyped]

    if lower_c >= 0:
        return 0.0
    fit = limits.fit
    spread = np.hypot(fit.spread_c[:, None], fit.trip_spread_c)[..., None]
    colder = system.as_limit_c + fit.above_c - low_c
    left = np.exp(log_ndtr((colder + lower_c) / spread) - log_ndtr(colder / spread))
    return float((fit.weight[limits.place_of(system)] * (1 - left)).sum())


def _too_cold(limits: "ColdLimits", system: "SleepSystem", low_c: float) -> float:
    import numpy as np

    return float(limits.curve(system, np.array([low_c])).chance[0])


def _at_home(
    cold: Sequence[SleptNight], limits: "ColdLimits", owned: Sequence["SleepSystem"]
) -> AtHome | None:
    """The owned set that would have spared most of these nights, first those that were judged."""
    found = []
    for system in owned:
        limit = limits.limit_of(system)
        least, about, most = spared(cold, lambda _, system=system: system, limits)  # type: ignore[misc]
        if about:
            found.append(
                AtHome(
                    system.names,
                    system.rated_name,
                    about,
                    least,
                    most,
                    limit.own_limit_c,
                    limit.basis,
                )
            )
    return min(found, key=lambda one: (one.basis != "own", -one.avoided, one.names), default=None)


def own_limit(limits: "ColdLimits", candidate: Candidate) -> tuple[float, float, float]:
    """Lower end, median and upper end of the own limit in a system with nothing but a candidate."""
    alone = _system({"candidate": _rated(candidate)}, {"candidate": candidate.rated_as})
    assert alone is not None
    limit = limits.limit_of(alone)
    return limit.own_limit_low_c, limit.own_limit_c, limit.own_limit_high_c


def cold_year(swap: Swap, nights: Sequence[SleptNight], limits: "ColdLimits") -> ColdYear | None:
    """The year with each; ``nights`` are those of the last twelve months. None without normals.

    Normals of a date are the same a year on. A candidate rated no lower, on one scale, than what it
    replaces is not taken to make cold nights less likely: that what is owned sleeps colder than its
    rating says nothing of another thing.
    """
    by_trip: dict[str, list[SleptNight]] = defaultdict(list)
    for night in nights:
        by_trip[night.trip].append(night)
    known = {t: ns for t, ns in by_trip.items() if all(map(_foreseen, ns))}
    if not known:
        return None

    def now(night: SleptNight) -> "SleepSystem":
        system = night.system
        assert system is not None
        return system

    def then(night: SleptNight) -> "SleepSystem":
        system = swap.system(night) if swap.comes_along(night) else None
        return system if system is not None else now(night)

    warmer = any(then(n).as_limit_c < now(n).as_limit_c for ns in known.values() for n in ns)
    as_it_is, with_it = _year(known.values(), now, limits), _year(known.values(), then, limits)
    return ColdYear(
        now=as_it_is,
        then=with_it if warmer else max(as_it_is, with_it),
        trips=len(known),
        nights=sum(map(len, known.values())),
        left_out=len(by_trip) - len(known),
    )


def _year(
    trips: Iterable[Sequence[SleptNight]],
    system: Callable[[SleptNight], "SleepSystem"],
    limits: "ColdLimits",
) -> float:
    """Trips in one sleep system share what is not known of it; systems are taken as independent."""
    from ..cold.chance import NightAhead, chance_by_point

    spared: dict[int, Any] = {}
    for nights in trips:
        first = system(nights[0])
        place = limits.place_of(first)
        ahead = [NightAhead(n.normal_low_c or 0.0, n.sd_c or 0.0, n.season) for n in nights]
        none = 1 - chance_by_point(limits.fit, first.as_limit_c, ahead, NIGHT_TO_NIGHT, 0.0)
        spared[place] = spared.get(place, 1.0) * none
    chance = 1.0
    for place, none in spared.items():
        chance *= float((limits.fit.weight[place] * none).sum())
    return 1 - chance


def comfort_expected(swap: Swap, connection: duckdb.DuckDBPyConnection) -> Estimate | None:
    """What being so much better inside the rating did for the sleep score, on the nights replayed.

    The interval also holds what a thing never slept in may bring beyond its rating, and what the
    one it replaces brought, where the log can tell that apart. None where it has no such slope.
    """
    from ..comfort.days import MILDER_STEP_C, comfort_days
    from ..comfort.gain import gains_of

    days = next((d for d in comfort_days(connection) if d.aspect == "sleep"), None)
    pairs = [(n.rated_c, swap.rated_c(n)) for n in swap.whole]
    warmer = [now - then for now, then in pairs if now is not None and then is not None]
    if days is None or not warmer:
        return None
    found = gains_of(days)
    slope = dict(found.slopes).get("milder")
    if slope is None:
        return None
    step = sum(warmer) / len(warmer) / MILDER_STEP_C
    gain, width = step * slope.value, 2 * NINE_IN_TEN_SD
    variance = (step * (slope.high - slope.low) / width) ** 2
    variance += found.fit.rest_sd.value**2
    for one in found.gains:
        if {t.item for t in one.bundle.things} == set(swap.candidate.replaces):
            gain -= one.gain.value
            variance += ((one.gain.high - one.gain.low) / width) ** 2
    half = math.sqrt(variance) * NINE_IN_TEN_SD
    return Estimate(gain, gain - half, gain + half, LEVEL, len(warmer))


def _rated(candidate: Candidate) -> float | None:
    if candidate.rated_low_c is None:
        return None
    return as_limit_c(candidate.rated_low_c, candidate.rated_as)


def _system(ratings: Mapping[str, float | None], kinds: Mapping[str, str]) -> "SleepSystem | None":
    from ..cold.limit import SleepSystem

    rated = [(rating, item) for item, rating in ratings.items() if rating is not None]
    if not rated:
        return None
    lowest_c, item = min(rated)
    items = tuple(sorted(ratings))
    return SleepSystem(items, items, item, item, lowest_c, kinds.get(item, MAKER), lowest_c)


def _low(night: SleptNight) -> float:
    assert night.low_c is not None
    return night.low_c


def _inside(night: SleptNight, rated_c: float | None) -> bool:
    return rated_c is not None and _low(night) >= rated_c


def _foreseen(night: SleptNight) -> bool:
    return None not in (night.normal_low_c, night.sd_c, night.rated_c)
