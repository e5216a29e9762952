"""The chance of a too cold night on a trip to come, from one's own limit and the nights' normals.

Lows stray from their normal as the season has it, each night like the one before by AR(1). A night
is too cold with the probit's chance; the nights of the trip share its effect. All is integrated:
the lows by quadrature carried from night to night, the rest over the posterior.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..climate.outlook import NORMALS_OFF_SD
from ..climate.season_spread import PLAIN, SeasonSpread
from ..stats.ar1_chain import NIGHT_TO_NIGHT, NIGHT_TO_NIGHT_RANGE
from ..stats.arrays import Array, Codes
from ..stats.constants import LEVEL, TAILS
from ..stats.estimate import Estimate
from ..stats.quantile import normal_density, weighted_quantiles
from ..stats.warmth_probit import shift_kernel
from .model import ColdFit

_NODES = 61
_REACH = 5.0  # standard deviations


@dataclass(frozen=True, slots=True)
class NightAhead:
    """What is usual for one night at the place: normal of the low and spread of single nights.

    ``season``: how lows stray from their normal, in units of ``sd_c``.
    """

    normal_low_c: float
    sd_c: float
    season: SeasonSpread = PLAIN

    def low_c(self, scores: Array) -> Array:
        """The low of the night at normal scores."""
        low: Array = self.normal_low_c + self.sd_c * self.season.deviations(scores)
        return low


@dataclass(frozen=True, slots=True)
class TooColdChance:
    """Chance that at least one night of a trip is too cold, and that each is (``p_each``).

    The 90 % range holds what is not known of the own limit, how much alike neighbouring nights are
    (.6 to .75) and normals that are off by .3 standard deviations either way.
    """

    p_any: Estimate
    p_each: tuple[float, ...]


def chance_of_cold_night(
    fit: ColdFit,
    place: int,
    as_limit_c: float,
    nights: Sequence[NightAhead],
    doubt_c: float = 0.0,
) -> TooColdChance:
    """The chance for a sleep system of that place in the fit, its rating on the limit scale.

    ``doubt_c``: standard deviation by which all normals of the trip may be off together; the chance
    is integrated over it, and the range is wider by it. Raises ValueError where there is no night.
    """
    if not nights:
        raise ValueError("nights: expected at least one, got none")
    weight, grid = fit.weight[place], _Grid.of(fit)
    seen = sum(weight[:, t] @ kernel for t, kernel in enumerate(grid.shared(doubt_c)))
    chances = _chances(grid, as_limit_c, tuple(nights), doubt_c)
    each = tuple(float((seen * night).sum()) for night in chances.each)
    low, high = weighted_quantiles(
        chances.ends, np.tile(weight.ravel(), chances.sides), TAILS, chances.order
    )
    mean = float((seen * chances.any_).sum())
    return TooColdChance(Estimate(mean, low, high, LEVEL), each)


@dataclass(frozen=True, slots=True)
class _Grid:
    """The points of a fit, by which what is worked out at them is remembered."""

    above_c: tuple[float, ...]
    spread_c: tuple[float, ...]
    trip_spread_c: tuple[float, ...]

    @classmethod
    def of(cls, fit: ColdFit) -> "_Grid":
        grid = (fit.above_c, fit.spread_c, fit.trip_spread_c)
        return cls(*(tuple(places.tolist()) for places in grid))

    def shared(self, doubt_c: float) -> tuple[Array, ...]:
        spreads = np.hypot(np.array(self.trip_spread_c), doubt_c)
        return _kernels(self.above_c, tuple(spreads.tolist()))


@dataclass(frozen=True, slots=True, eq=False)
class _Chances:
    """Chances at every point of the grid: all that sets of one rating share on the same nights.

    Of any too cold night ``any_`` (s, h) and of each (``each``), before what a trip's nights share;
    ``ends``: of any, with that, at so many ``sides`` of what is not known, flat, and their order.
    """

    any_: Array
    each: tuple[Array, ...]
    ends: Array
    sides: int
    order: Codes


@lru_cache(maxsize=2)
def _chances(
    grid: _Grid, as_limit_c: float, nights: tuple[NightAhead, ...], doubt_c: float
) -> _Chances:
    z, even_odds_c = _scores(), as_limit_c + np.array(grid.above_c)
    spread_c = np.array(grid.spread_c)
    each: list[Array] = []

    def expected() -> Iterator[Array]:
        for night in nights:
            warm = _warm(spread_c, even_odds_c, night.low_c(z))
            each.append(1 - warm @ _bell())
            yield warm

    (none,) = _none(expected(), (NIGHT_TO_NIGHT,))
    every = [_with_trip(1 - none, grid.shared(doubt_c))]
    for side in (-1, 1):
        lows = (n.low_c(z) + side * math.hypot(NORMALS_OFF_SD * n.sd_c, doubt_c) for n in nights)
        off = (_warm(spread_c, even_odds_c, low) for low in lows)
        others = _none(off, NIGHT_TO_NIGHT_RANGE)
        every += [_with_trip(1 - other, grid.shared(0.0)) for other in others]
    ends = np.concatenate([chance.ravel() for chance in every])
    order = np.argsort(ends, kind="stable")
    return _Chances(1 - none, tuple(each), ends, len(every), order)


def chance_alone(
    fit: ColdFit,
    place: int,
    as_limit_c: float,
    nights: Sequence[NightAhead],
    doubt_c: float = 0.0,
) -> float:
    """The chance of any too cold night of `chance_of_cold_night` without its range."""
    return float((fit.weight[place] * chance_by_point(fit, as_limit_c, nights, doubt_c)).sum())


def chance_by_point(
    fit: ColdFit, as_limit_c: float, nights: Sequence[NightAhead], doubt_c: float = 0.0
) -> Array:
    """Chance (s, t, h) of at least one too cold night at every point of the grid."""
    return _by_point(_Grid.of(fit), as_limit_c, tuple(nights), doubt_c)


@lru_cache(maxsize=2)
def _by_point(
    grid: _Grid, as_limit_c: float, nights: tuple[NightAhead, ...], doubt_c: float
) -> Array:
    z, even_odds_c = _scores(), as_limit_c + np.array(grid.above_c)
    warm = (_warm(np.array(grid.spread_c), even_odds_c, night.low_c(z)) for night in nights)
    (none,) = _none(warm, (NIGHT_TO_NIGHT,))
    return _with_trip(1 - none, grid.shared(doubt_c))


def _with_trip(cold: Array, shared: Sequence[Array]) -> Array:
    """A chance (s, h) averaged over what nights of a trip share: (s, t, h)."""
    return np.stack([cold @ kernel.T for kernel in shared], axis=1)


@lru_cache(maxsize=8)
def _kernels(above: tuple[float, ...], trip_spreads: tuple[float, ...]) -> tuple[Array, ...]:
    return tuple(shift_kernel(np.array(above), spread) for spread in trip_spreads)


def _scores() -> Array:
    return np.linspace(-_REACH, _REACH, _NODES)


def _bell() -> Array:
    bell = normal_density(_scores())
    scaled: Array = bell / bell.sum()
    return scaled


def _onward(alike: float) -> Array:
    """How a night's score comes from the one before (after, before)."""
    z = _scores()
    onward = np.exp(-0.5 * ((z[:, None] - alike * z) / math.sqrt(1 - alike**2)) ** 2)
    scaled: Array = onward / onward.sum(0)
    return scaled


def _warm(spread_c: Array, even_odds_c: Array, low_c: Array) -> Array:
    """Chance (s, h, z) that a night of these lows is not too cold, were there no trip effect."""
    from scipy.special import ndtr  # type: ignore[import-untyped]

    warm: Array = ndtr((low_c - even_odds_c[:, None]) / spread_c[:, None, None])
    return warm


def _none(nights: Iterable[Array], alikes: Sequence[float]) -> list[Array]:
    """Chance (s, h) that no night is too cold, for each likeness of neighbouring nights.

    The density of the standardised low, with no cold night so far, is carried from night to night.
    """
    onwards = [_onward(alike).T for alike in alikes]
    so_far: list[Array] = []
    for warm in nights:
        if so_far:
            carried = [one @ onward for one, onward in zip(so_far, onwards, strict=True)]
        else:
            carried = [_bell()] * len(alikes)
        so_far = [one * warm for one in carried]
    return [one.sum(-1) for one in so_far]
