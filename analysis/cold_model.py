"""How cold is too cold: a probit model of warmth votes, integrated in full.

P(too cold | low) = Phi((rating + offset + deviation of the sleep system + trip effect - low) / s).
Too cold is a warmth vote of -2 or -3 (ISO 7730 counts votes beyond +-1 as dissatisfied). In degrees
Celsius: offset Normal(0, 5), deviations Normal(0, 2), log s Normal(log 3, .5), and nights of a trip
share an effect whose standard deviation is half-normal with scale 2. Without that effect the limits
are too sure of themselves: 90 % intervals hold 80 to 85 % where it is 2 to 4 °C, with it 89 to 94.

Everything is summed over a grid. Where two sleep systems were used on one trip, each has a trip
effect of its own, which says a little less than one shared by both.
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

OFFSET_SD_C = 5.0
DEVIATION_SD_C = 2.0
SPREAD_C = 3.0
SPREAD_LOG_SD = 0.5
TRIP_SD_C = 2.0
TOO_COLD_VOTE = -2
"""Votes from here down are too cold."""
_STEP_C = 0.25
_REACH_C = 24.0
_SPREADS = 19
_TRIP_SPREADS = 12
_FAR = 3.2  # standard deviations of a prior, or scales of a half-normal one

Array = np.ndarray[Any, np.dtype[np.float64]]
Codes = np.ndarray[Any, np.dtype[np.intp]]


@dataclass(frozen=True, slots=True, eq=False)
class ColdNights:
    """Judged nights, n of them, and k sleep systems.

    ``system`` and ``trip`` (n) number the night's sleep system and trip from 0; ``low_c`` (n);
    ``too_cold`` (n) is 1 where the vote says so; ``rated_c`` (k). A system may have no night.
    """

    system: Codes
    trip: Codes
    low_c: Array
    too_cold: Array
    rated_c: Array


@dataclass(frozen=True, slots=True, eq=False)
class ColdFit:
    """Posterior over a grid: where even odds lie above the rating (h), of one night's spread (s)
    and of the trips' (t), in degrees Celsius.

    ``weight`` (k + 1, s, t, h): one for each sleep system, summing to 1, and last that of a system
    never slept in.
    """

    above_c: Array
    spread_c: Array
    trip_spread_c: Array
    weight: Array


def fit_cold(nights: ColdNights) -> ColdFit:
    """The posterior of every sleep system, and of one never slept in."""
    above = np.arange(-_REACH_C, _REACH_C + _STEP_C / 2, _STEP_C)
    deviates = np.linspace(-_FAR, _FAR, _SPREADS)
    spreads = SPREAD_C * np.exp(SPREAD_LOG_SD * deviates)
    at, share = np.polynomial.legendre.leggauss(_TRIP_SPREADS)
    trip_spreads = (at + 1) / 2 * _FAR * TRIP_SD_C
    log_prior = np.log(share) - 0.5 * deviates[:, None] ** 2 - 0.5 * (trip_spreads / TRIP_SD_C) ** 2
    log_likelihood = _by_system(nights, above, spreads, trip_spreads)
    peak = log_likelihood.max(3)
    likelihood = np.exp(log_likelihood - peak[..., None])
    nearby = _density((above[:, None] - above) / DEVIATION_SD_C)  # (offset, h)
    by_offset = np.log(np.maximum(likelihood @ nearby.T, 1e-300))
    offset = (peak.sum(0) + log_prior)[..., None] - 0.5 * (above / OFFSET_SD_C) ** 2
    offset = offset + by_offset.sum(0)
    offset -= offset.max()
    # What each offset is worth to a system: what its own nights said of it is not counted twice.
    slept = likelihood * (np.exp(offset - by_offset) @ nearby)
    weight = np.concatenate([slept, (np.exp(offset) @ nearby)[None]])
    return ColdFit(above, spreads, trip_spreads, weight / weight.sum((1, 2, 3), keepdims=True))


def trip_kernel(above: Array, sd_c: float) -> Array:
    """Matrix that averages a function on the grid over a normal shift of its argument.

    Exact for a function that is straight between grid points and flat beyond the grid.
    """
    from scipy.special import ndtr  # type: ignore[import-untyped]

    step = above[1] - above[0]
    apart = above[:, None] - above

    def ramp(by: Array) -> Array:
        """Mean of the positive part of ``by`` plus the shift."""
        z = by / sd_c
        found: Array = by * ndtr(z) + sd_c * _density(z)
        return found

    rising = (ramp(apart + step) - ramp(apart)) / step
    falling = (ramp(apart) - ramp(apart - step)) / step
    kernel: Array = rising - falling
    kernel[:, 0] = 1 - falling[:, 0]
    kernel[:, -1] = rising[:, -1]
    return kernel


def _by_system(nights: ColdNights, above: Array, spreads: Array, trip_spreads: Array) -> Array:
    """Log likelihood (k, s, t, h) of the nights of each system, trip effects averaged over."""
    from scipy.special import log_ndtr

    shape = len(nights.rated_c), len(spreads), len(trip_spreads), len(above)
    found = np.zeros(shape)
    if not len(nights.low_c):
        return found
    _, group = np.unique(np.stack([nights.trip, nights.system]), axis=1, return_inverse=True)
    group = np.ravel(group)
    order = np.argsort(group, kind="stable")
    starts = np.flatnonzero(np.diff(group[order], prepend=-1))
    colder = (nights.rated_c[nights.system] - nights.low_c)[order, None] + above
    sign = np.where(nights.too_cold[order] > 0, 1.0, -1.0)[:, None]
    of_group = nights.system[order][starts]
    kernels = [trip_kernel(above, float(t)) for t in trip_spreads]
    for place, spread in enumerate(spreads):
        votes = np.add.reduceat(log_ndtr(sign * colder / spread), starts, axis=0)
        peak = votes.max(1, keepdims=True)
        shares = np.exp(votes - peak)
        for other, kernel in enumerate(kernels):
            averaged = np.log(np.maximum(shares @ kernel.T, 1e-300)) + peak
            np.add.at(found[:, place, other], of_group, averaged)
    return found


def _density(z: Array) -> Array:
    found: Array = np.exp(-0.5 * z**2) / math.sqrt(2 * math.pi)
    return found
