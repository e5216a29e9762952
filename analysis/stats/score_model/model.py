"""What everything that came along added to a score: a hierarchical model, integrated in full.

A score is a mean, the gain of everything that was along, slopes on what the day was like, an effect
that the days of a trip share, and noise. Gains of single items are Normal(0, tau^2), of a bundle of
m items that always travelled together Normal(0, m tau^2). Tau and the trips' spread are half-normal
with scale .5, the noise half-normal with scale 1, in points of the score; all three are summed over
a grid, so that no plugged-in variance makes an interval surer than the days were.

Three things go beyond that. Scores are whole numbers: rounding adds a variance of 1/12 to the noise
(Sheppard's correction, 1898, Proc. Lond. Math. Soc. 29: 353, from memory). Scores at the ends of
the scale are one-sided (`score_model.ends`): of gains drawn from the priors, 90 % intervals from
plain numbers held 83 % at 12 trips and 78 % at 40, these hold 90 and 89. Things carried for comfort
and the rest may have gains of different spread (`points.CONTRASTS`).
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr  # type: ignore[import-untyped]

from ..arrays import Array, Codes
from ..constants import LEVEL, TAILS
from ..estimate import Estimate
from ..quantile import normal_mixture_quantiles, weighted_quantiles
from .grid import ROUNDING_SD, ComfortData, Priors
from .points import Points, posterior_points

_LIKELY = 24
_HELD = 1_000_000
"""Numbers of one array of gains by points, as they are read off."""


@dataclass(frozen=True, slots=True, eq=False)
class ComfortFit:
    """Posterior of the gains of p bundles, in points, and of what stands around them.

    ``low`` and ``high`` enclose 90 % of the posterior; ``p_helps`` is the probability of a gain
    above 0; ``covariance`` (c, c) is that of the gains of the c bundles that were asked for, over
    everything unknown. ``prior_share`` is what is left of
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
    slopes: tuple[Estimate, ...]
    comfort_sd: Estimate
    rest_sd: Estimate
    trip_sd: Estimate
    noise_sd: Estimate
    n: int
    trips: int
    likely: Array


def fit_comfort(
    data: ComfortData, priors: Priors | None = None, together: Codes | None = None
) -> ComfortFit:
    """The posterior of the gains of every bundle.

    ``together`` (c): of which bundles the covariance is wanted; None for what is carried for
    comfort. It alone grows with the square of a number of bundles.

    Raises ValueError where there is no scored day. Without a bundle (p = 0) the gains are empty.
    """
    if data.scores.size == 0:
        raise ValueError("scores: expected at least one scored day, got none")
    chosen = np.flatnonzero(data.comforts) if together is None else together
    posterior = posterior_points(data, priors or Priors(), chosen)
    weight, n = posterior.weight, len(data.scores)

    def spread(values: Array) -> Estimate:
        low, high = weighted_quantiles(values, weight, TAILS)
        return Estimate(float(weight @ values), low, high, LEVEL, n)

    p = data.along.shape[1]
    doubts = np.zeros(p) if data.doubts is None else data.doubts
    step = max(1, _HELD // len(weight))
    read = [_read(posterior, slice(first, first + step), doubts) for first in range(0, p, step)]
    gain, low, high, p_helps, left = np.concatenate([np.zeros((5, 0)), *read], axis=1)
    mean, _, _ = posterior.moments(chosen)
    centre = gain[chosen]
    between = (mean * weight[:, None]).T @ mean - np.outer(centre, centre)
    fixed = (posterior.fixed, posterior.fixed_sd, weight)
    ends = (normal_mixture_quantiles(t, *fixed) for t in TAILS)
    slopes = np.column_stack([weight @ posterior.fixed, *ends]).tolist()
    rounding = ROUNDING_SD if data.ends is not None else 0.0
    noise = np.sqrt(np.maximum(posterior.spreads[:, 3] ** 2 - rounding**2, 0))
    return ComfortFit(
        gain=gain,
        low=low,
        high=high,
        p_helps=p_helps,
        prior_share=np.minimum(left, 1.0),
        covariance=posterior.within + between + np.diag(doubts[chosen] ** 2),
        slopes=tuple(Estimate(mean, a, b, LEVEL, n) for mean, a, b in slopes[1:]),
        comfort_sd=spread(posterior.spreads[:, 0]),
        rest_sd=spread(posterior.spreads[:, 1]),
        trip_sd=spread(posterior.spreads[:, 2]),
        noise_sd=spread(noise),
        n=n,
        trips=len(np.unique(data.trips)),
        likely=_likely(posterior),
    )


def _read(posterior: Points, columns: slice, doubts: Array) -> Array:
    """Mean, ends, chance to help and share of the prior left of some gains (5, c)."""
    mean, variance, left = posterior.moments(columns)
    weight = posterior.weight
    sd = np.sqrt(variance + doubts[columns] ** 2)
    low, high = (normal_mixture_quantiles(t, mean, sd, weight) for t in TAILS)
    return np.stack([weight @ mean, low, high, weight @ ndtr(mean / sd), left])


def _likely(posterior: Points) -> Array:
    """Sets of spreads, evenly spaced in posterior weight along the spread of comfort gains."""
    order = np.argsort(posterior.spreads[:, 0], kind="stable")
    reached = np.cumsum(posterior.weight[order])
    places = np.searchsorted(reached, (np.arange(_LIKELY) + 0.5) / _LIKELY)
    chosen: Array = posterior.spreads[order[np.minimum(places, len(order) - 1)]]
    return chosen
