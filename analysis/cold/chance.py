"""The chance of a too cold night on a trip to come, from one's own limit and the nights' normals.

Lows stray from their normal as the season has it, each night like the one before by AR(1). A night
is too cold with the probit's chance; the nights of the trip share its effect. All is integrated:
the lows by quadrature carried from night to night, the rest over the posterior.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..climate.outlook import NORMALS_OFF_SD
from ..climate.season_spread import PLAIN, SeasonSpread
from ..stats.ar1_chain import NIGHT_TO_NIGHT, NIGHT_TO_NIGHT_RANGE
from ..stats.arrays import Array
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


@dataclass(frozen=True, slots=True)
class TooColdChance:
    """Chance that at least one night of a trip is too cold, and that each is (``p_each``).

    The 90 % range holds what is not known of the own limit, how much alike neighbouring nights are
    (.6 to .75) and normals that are off by .3 standard deviations either way.
    """

    p_any: Estimate
    p_each: tuple[float, ...]


def chance_of_cold_night(
    fit: ColdFit, place: int, as_limit_c: float, nights: Sequence[NightAhead]
) -> TooColdChance:
    """The chance for a sleep system of that place in the fit, its rating on the limit scale.

    Raises ValueError where there is no night.
    """
    if not nights:
        raise ValueError("nights: expected at least one, got none")
    weight = fit.weight[place]
    central = chance_by_point(fit, as_limit_c, nights, NIGHT_TO_NIGHT, 0.0)
    settings = [(r, o) for r in NIGHT_TO_NIGHT_RANGE for o in (-NORMALS_OFF_SD, NORMALS_OFF_SD)]
    others = [chance_by_point(fit, as_limit_c, nights, r, o) for r, o in settings]
    every = np.concatenate([chance.ravel() for chance in (central, *others)])
    low, high = weighted_quantiles(every, np.tile(weight.ravel(), 1 + len(others)), TAILS)
    each = [chance_by_point(fit, as_limit_c, [night], NIGHT_TO_NIGHT, 0.0) for night in nights]
    mean = float((weight * central).sum())
    return TooColdChance(
        Estimate(mean, low, high, LEVEL), tuple(float((weight * e).sum()) for e in each)
    )


def chance_by_point(
    fit: ColdFit, as_limit_c: float, nights: Sequence[NightAhead], alike: float, off_sd: float
) -> Array:
    """Chance (s, t, h) of at least one too cold night at every point of the grid."""
    cold = 1 - _none(fit, as_limit_c, nights, alike, off_sd)
    kernels = _kernels(tuple(fit.above_c.tolist()), tuple(fit.trip_spread_c.tolist()))
    return np.stack([cold @ kernel.T for kernel in kernels], axis=1)


@lru_cache(maxsize=4)
def _kernels(above: tuple[float, ...], trip_spreads: tuple[float, ...]) -> tuple[Array, ...]:
    return tuple(shift_kernel(np.array(above), spread) for spread in trip_spreads)


def _none(
    fit: ColdFit, as_limit_c: float, nights: Sequence[NightAhead], alike: float, off_sd: float
) -> Array:
    """Chance (s, h) that no night is too cold, were there no trip effect.

    The density of the standardised low, with no cold night so far, is carried from night to night.
    """
    from scipy.special import ndtr  # type: ignore[import-untyped]

    z = np.linspace(-_REACH, _REACH, _NODES)
    step = z[1] - z[0]
    bell = normal_density(z) * step
    apart = (z[:, None] - alike * z) / math.sqrt(1 - alike**2)
    onward = np.exp(-0.5 * apart**2)
    onward /= onward.sum(0)  # (after, before)
    even_odds_c = as_limit_c + fit.above_c
    density = np.broadcast_to(bell / bell.sum(), (len(fit.spread_c), len(even_odds_c), _NODES))
    for place, night in enumerate(nights):
        if place:
            density = density @ onward.T
        low_c = _low_c(night, z, off_sd)
        warm = ndtr((low_c - even_odds_c[:, None]) / fit.spread_c[:, None, None])
        density = density * warm
    chance: Array = density.sum(-1)
    return chance


def _low_c(night: NightAhead, z: Array, off_sd: float) -> Array:
    """The low of a night at normal scores, where normals are off by so many standard deviations."""
    low: Array = night.normal_low_c + night.sd_c * (night.season.deviations(z) + off_sd)
    return low
