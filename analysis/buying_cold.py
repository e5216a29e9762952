"""How another sleep system would have done on one's own nights, and would in a year to come."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

import duckdb
from tarebook.analysis.buying_results import Candidate, ColdReplay, ColdYear, ComfortExpected
from tarebook.analysis.frames import ask
from tarebook.analysis.season_spread import PLAIN, SeasonSpread, season_of_night

if TYPE_CHECKING:
    from tarebook.analysis.cold_limit import ColdLimits

TOO_COLD_VOTE = -2


@dataclass(frozen=True, slots=True)
class SleptNight:
    """A night with the sleep gear that was there: rating by item, missing where not rated."""

    trip: str
    night: date
    start_on: date
    low_c: float | None
    normal_low_c: float | None
    sd_c: float | None
    warmth: int | None
    ratings: Mapping[str, float | None]
    season: SeasonSpread = PLAIN

    @property
    def rated_c(self) -> float | None:
        """The lowest rating among the gear."""
        return lowest(self.ratings.values())

    @property
    def too_cold(self) -> bool:
        """Whether it was voted so."""
        return self.warmth is not None and self.warmth <= TOO_COLD_VOTE


def lowest(ratings: Iterable[float | None]) -> float | None:
    """The lowest known rating."""
    return min((r for r in ratings if r is not None), default=None)


def slept_nights(connection: duckdb.DuckDBPyConnection) -> tuple[SleptNight, ...]:
    """Every night with sleep gear of every trip that took place, in order."""
    found: dict[tuple[str, date], list[dict[str, Any]]] = defaultdict(list)
    for row in ask(connection, "bedding_nights"):
        found[row["trip"], row["night"]].append(row)
    return tuple(
        SleptNight(
            trip, night, rows[0]["start_on"], rows[0]["low_c"], rows[0]["normal_low_c"],
            rows[0]["normal_low_sd_c"], rows[0]["warmth"],
            {row["item"]: row["rated_low_c"] for row in rows},
            season_of_night(night, rows[0]["station_latitude"]),
        )
        for (trip, night), rows in found.items()
    )  # fmt: skip


class Swap:
    """A candidate in the place of what it replaces, night by night."""

    def __init__(self, candidate: Candidate, nights: Sequence[SleptNight]) -> None:
        self.candidate = candidate
        self.nights = tuple(n for n in nights if self.comes_along(n))

    def comes_along(self, night: SleptNight) -> bool:
        """Where something it replaces was there; always where it replaces nothing."""
        replaces = self.candidate.replaces
        return not replaces or any(item in night.ratings for item in replaces)

    def rated_c(self, night: SleptNight) -> float | None:
        """The lowest rating with the candidate."""
        kept = (r for i, r in night.ratings.items() if i not in self.candidate.replaces)
        return lowest((*kept, self.candidate.rated_low_c))

    def items(self, night: SleptNight) -> tuple[str, ...]:
        """The sleep system with the candidate, by item."""
        kept = (i for i in night.ratings if i not in self.candidate.replaces)
        return (*kept, self.candidate.candidate)


def replay(swap: Swap, limits: "ColdLimits") -> ColdReplay | None:
    """The nights again; None where the candidate would have been there on no known night."""
    judged = [n for n in swap.nights if n.low_c is not None]
    both = [n for n in judged if n.rated_c is not None]
    if not judged:
        return None
    low, own, high = own_limit(limits, swap.candidate.rated_low_c or 0.0)
    votes = [n for n in judged if n.warmth is not None]
    cold = [n for n in votes if n.too_cold]
    # In a set that has something warmer still, the candidate's own limit is no worse than its.
    within = {limit: [n for n in cold if _low(n) >= limit - _warmer(swap, n)]
              for limit in (low, own, high)}  # fmt: skip
    avoided = within[own]
    flipped = [n for n in both if _inside(n, n.rated_c) != _inside(n, swap.rated_c(n))]
    now = {limits.number_of(tuple(n.ratings)) for n in swap.nights}
    known = [limits.limits[k] for k in now if k < len(limits.limits)]
    most = max(known, key=lambda x: x.nights, default=None)
    return ColdReplay(
        nights=len(both or judged),
        inside_now=sum(_inside(n, n.rated_c) for n in both) if both else None,
        inside_then=sum(_inside(n, swap.rated_c(n)) for n in both or judged),
        votes=len(votes),
        cold_votes=len(cold),
        avoided=len(avoided),
        avoided_least=len(within[high]),
        avoided_most=len(within[low]),
        changed=tuple(sorted({n.night for n in (*flipped, *avoided)})),
        own_limit_c=own,
        own_limit_low_c=low,
        own_limit_high_c=high,
        limit_now_c=most.own_limit_c if most else None,
        rated_now_c=lowest(n.rated_c for n in swap.nights),
    )


def own_limit(limits: "ColdLimits", rated_low_c: float) -> tuple[float, float, float]:
    """Lower end, median and upper end of the own limit in a system that was never slept in."""
    from tarebook.analysis.cold_limit import TAILS, limit_above_c, weighted_quantiles

    above, weight = limit_above_c(limits.fit), limits.fit.weight[-1].ravel()
    low, middle, high = weighted_quantiles(above, weight, (TAILS[0], 0.5, TAILS[1]))
    return rated_low_c + low, rated_low_c + middle, rated_low_c + high


def cold_year(swap: Swap, nights: Sequence[SleptNight], limits: "ColdLimits") -> ColdYear | None:
    """The year with each; ``nights`` are those of the last twelve months. None without normals.

    Normals of a date are the same a year on.
    """
    by_trip: dict[str, list[SleptNight]] = defaultdict(list)
    for night in nights:
        by_trip[night.trip].append(night)
    known = {t: ns for t, ns in by_trip.items() if all(map(_foreseen, ns))}
    if not known:
        return None

    def now(night: SleptNight) -> tuple[int, float]:
        return limits.number_of(tuple(night.ratings)), night.rated_c or 0.0

    def then(night: SleptNight) -> tuple[int, float]:
        if not swap.comes_along(night):
            return now(night)
        return limits.number_of(swap.items(night)), swap.rated_c(night) or 0.0

    return ColdYear(
        now=_year(known.values(), now, limits),
        then=_year(known.values(), then, limits),
        trips=len(known),
        nights=sum(map(len, known.values())),
        left_out=len(by_trip) - len(known),
    )


def _year(
    trips: Iterable[Sequence[SleptNight]],
    system: Callable[[SleptNight], tuple[int, float]],
    limits: "ColdLimits",
) -> float:
    """Trips in one sleep system share what is not known of it; systems are taken as independent."""
    from tarebook.analysis.cold_chance import NIGHT_TO_NIGHT, NightAhead, chance_by_point

    spared: dict[int, Any] = {}
    for nights in trips:
        first = system(nights[0])
        ahead = [NightAhead(n.normal_low_c or 0.0, n.sd_c or 0.0, n.season) for n in nights]
        none = 1 - chance_by_point(limits.fit, first[1], ahead, NIGHT_TO_NIGHT, 0.0)
        spared[first[0]] = spared.get(first[0], 1.0) * none
    chance = 1.0
    for number, none in spared.items():
        chance *= float((limits.fit.weight[number] * none).sum())
    return 1 - chance


def comfort_expected(swap: Swap, connection: duckdb.DuckDBPyConnection) -> ComfortExpected | None:
    """What being so much better inside the rating did for the sleep score, on the nights replayed.

    The interval also holds what a thing never slept in may bring beyond its rating, and what the
    one it replaces brought, where the log can tell that apart. None where it has no such slope.
    """
    import math

    from tarebook.analysis.comfort_days import MILDER_STEP_C, comfort_days
    from tarebook.analysis.comfort_gain import gains_of

    days = next((d for d in comfort_days(connection) if d.aspect == "sleep"), None)
    pairs = [(n.rated_c, swap.rated_c(n)) for n in swap.nights]
    warmer = [now - then for now, then in pairs if now is not None and then is not None]
    if days is None or not warmer:
        return None
    found = gains_of(days)
    slope = dict(found.slopes).get("milder")
    if slope is None:
        return None
    step = sum(warmer) / len(warmer) / MILDER_STEP_C
    gain, variance = step * slope.mean, (step * (slope.high - slope.low) / _WIDTH) ** 2
    variance += found.fit.rest_sd.mean**2
    for one in found.gains:
        if {t.item for t in one.bundle.things} == set(swap.candidate.replaces):
            gain -= one.gain.value
            variance += ((one.gain.high - one.gain.low) / _WIDTH) ** 2
    half = math.sqrt(variance) * _WIDTH / 2
    return ComfortExpected(gain, gain - half, gain + half, len(warmer))


_WIDTH = 3.28971  # of a 90 % interval of the normal distribution, in standard deviations


def _low(night: SleptNight) -> float:
    assert night.low_c is not None
    return night.low_c


def _warmer(swap: Swap, night: SleptNight) -> float:
    rated = swap.rated_c(night)
    own = swap.candidate.rated_low_c
    return own - rated if rated is not None and own is not None else 0.0


def _inside(night: SleptNight, rated_c: float | None) -> bool:
    return rated_c is not None and _low(night) >= rated_c


def _foreseen(night: SleptNight) -> bool:
    return None not in (night.normal_low_c, night.sd_c, night.rated_c)
