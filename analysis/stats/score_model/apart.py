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
from .grid import ComfortData, Priors, fixed_precision, trip_sums

NOT_APART = 0.8
"""Share from which on a thing cannot be told from ease and time."""
_LEAST_LEFT = 0.05


def explained_shares(data: ComfortData, trip_sd: float, noise_sd: float) -> Array:
    """For each bundle (p), 0 to 1. ``noise_sd``: rounding included, above 0."""
    p, q = data.along.shape[1], data.covariates.shape[1]
    if not p or not q:
        return np.zeros(p)
    days = np.bincount(data.trips).astype(float)
    ratio = (trip_sd / noise_sd) ** 2
    pull = ratio / (1 + ratio * days)
    presence = (data.along - data.along.mean(0)) * np.sqrt(data.sizes)
    ease = np.hstack([np.ones((len(presence), 1)), data.covariates - data.covariates.mean(0)])
    by_trip, ease_by_trip = (trip_sums(table, data.trips, len(days)) for table in (presence, ease))
    own = ((presence**2).sum(0) - pull @ by_trip**2) / noise_sd**2
    reach = (presence.T @ ease - (by_trip.T * pull) @ ease_by_trip) / noise_sd**2
    slopes = (ease.T @ ease - (ease_by_trip.T * pull) @ ease_by_trip) / noise_sd**2
    # The level is no part of ease: it is taken out of presences and slopes alike.
    at_level, level = reach[:, 0], slopes[0]
    own = own - at_level**2 / level[0]
    reach = (reach - np.outer(at_level, level) / level[0])[:, 1:]
    slopes = (slopes - np.outer(level, level) / level[0])[1:, 1:]
    held = np.linalg.inv(slopes + np.diag(fixed_precision(data, Priors())[1:]))
    taken = np.einsum("pi,ij,pj->p", reach, held, reach)
    # What slopes explain of a presence by trips that has nothing to do with them, on average.
    by_accident = min(float(np.trace(held @ slopes)) / max(len(days) - 1, 1), 1.0)
    share = taken / np.maximum(own, 1e-12)
    left = np.maximum(1 - by_accident, _LEAST_LEFT)
    explained: Array = np.clip(1 - (1 - share) / left, 0.0, 1.0)
    return explained
