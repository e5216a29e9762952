"""How much of what a bundle's days could say, ease and time could say as well.

Of the information on a gain, with the spreads as they are, the share that is gone once the slopes
on ease and time are free to move as far as their priors let them: 1 - x' V^-1 x / x' V0^-1 x, where
V0 is the covariance of the days by trips and noise alone, V with the slopes. That is the explained
share of the variance of a presence x, with what priors and noise forbid the slopes left out.

Slopes explain some of any presence by accident, on 12 trips most of it. As in the adjusted R² of a
regression, what they explain of a presence that has nothing to do with them is taken off.
"""

import numpy as np

from ..arrays import Array
from .grid import ComfortData, Priors, ScoreProblem

NOT_APART = 0.8
"""Share from which on a thing cannot be told from ease and time."""
_LEAST_LEFT = 0.05


def explained_shares(data: ComfortData, trip_sd: float, noise_sd: float) -> Array:
    """For each bundle (p), 0 to 1. ``noise_sd``: rounding included, above 0."""
    problem = ScoreProblem(data, Priors())
    p, f = problem.p, problem.fixed
    if not p or f < 2:
        return np.zeros(p)
    ratio = (trip_sd / noise_sd) ** 2
    pull = ratio / (1 + ratio * problem.days)
    cross = (problem.products - (problem.sums.T * pull) @ problem.sums) / noise_sd**2
    # The level is no part of ease: it is taken out of presences and slopes alike.
    level = cross[p, : p + f]
    cross = cross[: p + f, : p + f] - np.outer(level, level) / level[p]
    own = np.diag(cross)[:p]
    slopes, reach = cross[p + 1 :, p + 1 :], cross[:p, p + 1 :]
    held = np.linalg.inv(slopes + np.diag(problem.precision[1:]))
    taken = np.einsum("pi,ij,pj->p", reach, held, reach)
    # What slopes explain of a presence by trips that has nothing to do with them, on average.
    by_accident = min(float(np.trace(held @ slopes)) / max(problem.trips - 1, 1), 1.0)
    share = taken / np.maximum(own, 1e-12)
    left = np.maximum(1 - by_accident, _LEAST_LEFT)
    explained: Array = np.clip(1 - (1 - share) / left, 0.0, 1.0)
    return explained
