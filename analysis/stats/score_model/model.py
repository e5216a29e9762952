"""What everything that came along added to a score: a hierarchical model, integrated in full.

A score is a mean, the gain of everything that was along, slopes on what the day was like, an effect
that the days of a trip share, and noise. Gains of single items are Normal(0, tau^2), of a bundle of
m items that always travelled together Normal(0, m tau^2). Tau and the trips' spread are half-normal
with scale .5, the noise half-normal with scale 1, in points of the score; all three are summed over
a grid, so that no plugged-in variance makes an interval surer than the days were.

Three things go beyond that. Scores are whole numbers: rounding adds a variance of 1/12 to the noise
(Sheppard's correction, 1898, Proc. Lond. Math. Soc. 29: 353, from memory). Scores at the ends of
the scale are one-sided (`comfort_ends`): of gains drawn from the priors, 90 % intervals from plain
numbers held 83 % at 12 trips and 78 % at 40, these hold 90 and 89. Things carried for comfort and
the rest may have gains of different spread (`comfort_points.CONTRASTS`).
"""

from dataclasses import dataclass

import numpy as np

from ..normal_mixture import mixture_quantiles, mixture_share_above
from .grid import ROUNDING_SD, Array, ComfortData, Priors
from .points import Points, posterior_points

LEVEL = 0.9
"""Of every interval: from the 5 % to the 95 % quantile."""
TAILS = ((1 - LEVEL) / 2, (1 + LEVEL) / 2)
_LIKELY = 24


@dataclass(frozen=True, slots=True)
class Spread:
    """Posterior mean and 90 % interval of a standard deviation or a slope, in points."""

    mean: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, eq=False)
class ComfortFit:
    """Posterior of the gains of p bundles, in points, and of what stands around them.

    ``low`` and ``high`` enclose 90 % of the posterior; ``p_helps`` is the probability of a gain
    above 0; ``covariance`` (p, p) is over everything unknown. ``prior_share`` is what is left of
    the prior's variance: 1 where the days said nothing. ``slopes`` are those of the covariates.
    ``likely`` (24, 4) holds equally likely sets of spreads, of single comfort things, single other
    things, trips and days (rounding included), for questions about days to come.
    """

    gain: Array
    low: Array
    high: Array
    p_helps: Array
    prior_share: Array
    covariance: Array
    slopes: tuple[Spread, ...]
    comfort_sd: Spread
    rest_sd: Spread
    trip_sd: Spread
    noise_sd: Spread
    n: int
    trips: int
    likely: Array


def fit_comfort(data: ComfortData, priors: Priors | None = None) -> ComfortFit:
    """The posterior of the gains of every bundle.

    Raises ValueError where there is no scored day. Without a bundle (p = 0) the gains are empty.
    """
    if data.scores.size == 0:
        raise ValueError("scores: expected at least one scored day, got none")
    found = posterior_points(data, priors or Priors())
    centre = found.weight @ found.mean
    between = (found.mean * found.weight[:, None]).T @ found.mean - np.outer(centre, centre)
    doubts = np.zeros(len(centre)) if data.doubts is None else data.doubts
    sd = np.sqrt(found.variance + doubts**2)
    low, high = (mixture_quantiles(t, found.mean, sd, found.weight) for t in TAILS)
    rounding = ROUNDING_SD if data.ends is not None else 0.0
    noise = np.sqrt(np.maximum(found.spreads[:, 3] ** 2 - rounding**2, 0))
    return ComfortFit(
        gain=centre,
        low=low,
        high=high,
        p_helps=mixture_share_above(0.0, found.mean, sd, found.weight),
        prior_share=np.minimum(found.prior_share, 1.0),
        covariance=found.within + between + np.diag(doubts**2),
        slopes=_slopes(found),
        comfort_sd=_spread(found.spreads[:, 0], found.weight),
        rest_sd=_spread(found.spreads[:, 1], found.weight),
        trip_sd=_spread(found.spreads[:, 2], found.weight),
        noise_sd=_spread(noise, found.weight),
        n=len(data.scores),
        trips=len(np.unique(data.trips)),
        likely=_likely(found),
    )


def _slopes(found: Points) -> tuple[Spread, ...]:
    low, high = (mixture_quantiles(t, found.fixed, found.fixed_sd, found.weight) for t in TAILS)
    means = found.weight @ found.fixed
    triples = zip(means[1:], low[1:], high[1:], strict=True)
    return tuple(Spread(float(m), float(a), float(b)) for m, a, b in triples)


def _spread(values: Array, weight: Array) -> Spread:
    order = np.argsort(values)
    reached = np.cumsum(weight[order]) - weight[order] / 2
    low, high = np.interp(TAILS, reached, values[order])
    return Spread(float(weight @ values), float(low), float(high))


def _likely(found: Points) -> Array:
    """Sets of spreads, evenly spaced in posterior weight along the spread of comfort gains."""
    order = np.argsort(found.spreads[:, 0], kind="stable")
    reached = np.cumsum(found.weight[order])
    places = np.searchsorted(reached, (np.arange(_LIKELY) + 0.5) / _LIKELY)
    chosen: Array = found.spreads[order[np.minimum(places, len(order) - 1)]]
    return chosen
