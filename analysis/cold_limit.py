"""How cold one can sleep in each sleep system, moving from its rating as nights are slept in it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any

import duckdb
import numpy as np
from tarebook.analysis.cold_model import TOO_COLD_VOTE, Array, ColdFit, ColdNights, fit_cold
from tarebook.analysis.frames import ask

COLD_SHARE = 0.2
"""At the own limit one night in five is too cold."""
_COLD_SHARE_DEVIATE = 0.8416  # of the standard normal distribution, exceeded by one in five
TAILS = (0.05, 0.95)


@dataclass(frozen=True, slots=True)
class SleepSystem:
    """Sleep gear that was there together, and the lowest rating among it."""

    items: tuple[str, ...]
    names: tuple[str, ...]
    rated_low_c: float
    rated_as: str
    rated_name: str


@dataclass(frozen=True, slots=True)
class JudgedNight:
    """One night with a low and a warmth vote, and the number of its sleep system."""

    trip: str
    night: date
    low_c: float
    warmth: int
    system: int

    @property
    def too_cold(self) -> bool:
        """Whether the vote is beyond slightly cool."""
        return self.warmth <= TOO_COLD_VOTE


@dataclass(frozen=True, slots=True)
class ColdLimit:
    """The low at which one night in five is too cold, in one sleep system: median, 90 % interval.

    ``nights`` judged nights are behind it, ``cold_nights`` of them too cold; ``coldest_c`` is the
    lowest low among them. ``prior_share``: what is left of the prior's variance, 1 without a night.
    """

    system: SleepSystem
    own_limit_c: float
    own_limit_low_c: float
    own_limit_high_c: float
    nights: int
    cold_nights: int
    coldest_c: float | None
    prior_share: float


@dataclass(frozen=True, slots=True, eq=False)
class ColdCurve:
    """Chance that a night on a new trip is too cold, by its low: mean and 90 % band."""

    low_c: Array
    chance: Array
    chance_low: Array
    chance_high: Array


@dataclass(frozen=True, slots=True, eq=False)
class ColdLimits:
    """Limits of every rated sleep system that was slept in, by its names.

    ``unrated`` nights had sleep gear without a rating, ``unjudged`` ones no low or no vote.
    """

    limits: tuple[ColdLimit, ...]
    nights: tuple[JudgedNight, ...]
    unrated: int
    unjudged: int
    fit: ColdFit

    def number_of(self, items: Sequence[str]) -> int:
        """The number of the sleep system of these items; that of one never slept in, if it is."""
        wanted = tuple(sorted(items))
        known = (n for n, limit in enumerate(self.limits) if limit.system.items == wanted)
        return next(known, len(self.limits))

    def curve(self, number: int, rated_low_c: float, low_c: Array) -> ColdCurve:
        """The chance of a too cold night in a system of that number and rating, at each low."""
        from scipy.special import ndtr  # type: ignore[import-untyped]

        fit = self.fit
        spread = np.hypot(fit.spread_c[:, None], fit.trip_spread_c)[..., None]
        weight = fit.weight[number].ravel()
        chances = [
            ndtr((rated_low_c + fit.above_c - low) / spread).ravel() for low in low_c.tolist()
        ]
        bands = [weighted_quantiles(chance, weight, TAILS) for chance in chances]
        return ColdCurve(
            low_c,
            np.array([float(weight @ chance) for chance in chances]),
            np.array([low for low, _ in bands]),
            np.array([high for _, high in bands]),
        )


def cold_limits(connection: duckdb.DuckDBPyConnection) -> ColdLimits:
    """The limits as the whole logbook has them; plans are no nights."""
    rows = ask(connection, "cold_nights")
    rated = [row for row in rows if row["rated_low_c"] is not None]
    systems = sorted({_system(row) for row in rated}, key=lambda s: (s.names, s.items))
    number = {system.items: place for place, system in enumerate(systems)}
    nights = tuple(
        JudgedNight(r["trip"], r["night"], r["low_c"], r["warmth"], number[tuple(r["items"])])
        for r in rated
        if r["low_c"] is not None and r["warmth"] is not None
    )
    fit = fit_cold(_data(nights, systems))
    limits = tuple(_limit(s, n, nights, fit) for n, s in enumerate(systems))
    return ColdLimits(limits, nights, len(rows) - len(rated), len(rated) - len(nights), fit)


def weighted_quantiles(values: Array, weight: Array, tails: Sequence[float]) -> list[float]:
    """Quantiles of values of some weight each."""
    order = np.argsort(values, kind="stable")
    reached = np.cumsum(weight[order])
    middle = (reached - weight[order] / 2) / reached[-1]
    return [float(x) for x in np.interp(tails, middle, values[order])]


def _system(row: Mapping[str, Any]) -> SleepSystem:
    return SleepSystem(
        tuple(row["items"]), tuple(row["names"]), row["rated_low_c"], row["rated_as"],
        row["rated_name"],
    )  # fmt: skip


def _data(nights: Sequence[JudgedNight], systems: Sequence[SleepSystem]) -> ColdNights:
    trips: dict[str, int] = {}
    return ColdNights(
        system=np.array([n.system for n in nights], dtype=np.intp),
        trip=np.array([trips.setdefault(n.trip, len(trips)) for n in nights], dtype=np.intp),
        low_c=np.array([n.low_c for n in nights], dtype=float),
        too_cold=np.array([n.too_cold for n in nights], dtype=float),
        rated_c=np.array([s.rated_low_c for s in systems], dtype=float),
    )


def limit_above_c(fit: ColdFit) -> Array:
    """How far the own limit lies above the rating, by point of the grid, (s, t, h) flattened."""
    spread = np.hypot(fit.spread_c[:, None], fit.trip_spread_c)[..., None]
    above: Array = (fit.above_c + _COLD_SHARE_DEVIATE * spread).ravel()
    return above


def _limit(
    system: SleepSystem, number: int, nights: Sequence[JudgedNight], fit: ColdFit
) -> ColdLimit:
    own = [night for night in nights if night.system == number]
    above = limit_above_c(fit)
    weight = fit.weight[number].ravel()
    low, middle, high = weighted_quantiles(above, weight, (TAILS[0], 0.5, TAILS[1]))
    return ColdLimit(
        system=system,
        own_limit_c=system.rated_low_c + middle,
        own_limit_low_c=system.rated_low_c + low,
        own_limit_high_c=system.rated_low_c + high,
        nights=len(own),
        cold_nights=sum(night.too_cold for night in own),
        coldest_c=min((night.low_c for night in own), default=None),
        prior_share=min(1.0, _variance(above, weight) / _prior_variance()),
    )


def _variance(values: Array, weight: Array) -> float:
    mean = float(weight @ values)
    return float(weight @ (values - mean) ** 2)


@cache
def _prior_variance() -> float:
    """Variance of the own limit before any night, in square degrees."""
    unslept = fit_cold(_data((), ()))
    return _variance(limit_above_c(unslept), unslept.weight[-1].ravel())
