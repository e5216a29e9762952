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
    weight = fit.weight[place]
    z, even_odds_c = _scores(), as_limit_c + fit.above_c
    shared = _shared(fit, doubt_c)
    seen = sum(weight[:, t] @ kernel for t, kernel in enumerate(shared))
    each: list[float] = []

    def expected() -> Iterator[Array]:
        for night in nights:
            warm = _warm(fit, even_odds_c, night.low_c(z))
            each.append(float((seen * (1 - warm @ _bell())).sum()))
            yield warm

    (none,) = _none(expected(), (NIGHT_TO_NIGHT,))
    every = [_with_trip(1 - none, shared)]
    for side in (-1, 1):
        lows = (n.low_c(z) + side * math.hypot(NORMALS_OFF_SD * n.sd_c, doubt_c) for n in nights)
        off = (_warm(fit, even_odds_c, low) for low in lows)
        others = _none(off, NIGHT_TO_NIGHT_RANGE)
        every += [_with_trip(1 - other, _shared(fit, 0.0)) for other in others]
    low, high = weighted_quantiles(
        np.concatenate([chance.ravel() for chance in every]),
        np.tile(weight.ravel(), len(every)),
        TAILS,
    )
    mean = float((seen * (1 - none)).sum())
    return TooColdChance(Estimate(mean, low, high, LEVEL), tuple(each))


def chance_by_point(
    fit: ColdFit, as_limit_c: float, nights: Sequence[NightAhead], doubt_c: float = 0.0
) -> Array:
    """Chance (s, t, h) of at least one too cold night at every point of the grid."""
    z, even_odds_c = _scores(), as_limit_c + fit.above_c
    warm = (_warm(fit, even_odds_c, night.low_c(z)) for night in nights)
    (none,) = _none(warm, (NIGHT_TO_NIGHT,))
    return _with_trip(1 - none, _shared(fit, doubt_c))


def _with_trip(cold: Array, shared: Sequence[Array]) -> Array:
    """A chance (s, h) averaged over what nights of a trip share: (s, t, h)."""
    return np.stack([cold @ kernel.T for kernel in shared], axis=1)


def _shared(fit: ColdFit, doubt_c: float) -> tuple[Array, ...]:
    spreads = np.hypot(fit.trip_spread_c, doubt_c)
    return _kernels(tuple(fit.above_c.tolist()), tuple(spreads.tolist()))


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


def _warm(fit: ColdFit, even_odds_c: Array, low_c: Array) -> Array:
    """Chance (s, h, z) that a night of these lows is not too cold, were there no trip effect."""
    from scipy.special import ndtr  # type: ignore[import-untyped]

    warm: Array = ndtr((low_c - even_odds_c[:, None]) / fit.spread_c[:, None, None])
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
