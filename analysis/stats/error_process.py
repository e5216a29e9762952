"""How errors may last from one trip to the next: a fading likeness, or a kit that wanders.

Two families, equally likely beforehand, since a dozen trips cannot tell which one it is:

- AR(1): what was unusual on one trip fades by the factor rho from trip to trip (rho 0: independent
  trips); its prior is 2 (1 - rho) on 0 to 0.9.
- local level (Harvey 1989, Forecasting, Structural Time Series Models and the Kalman Filter, ch. 2,
  from memory): the kit itself is a random walk, and each trip has an error of its own besides. Of
  the variance of the difference between neighbouring trips the walk has the share lambda; its prior
  is uniform on 0 to 1, with a third of the whole on 1, the walk alone.

Whitening turns values with such errors into independent ones of variance 1 (times the square of one
scale: of AR(1)'s innovation, or of the difference between neighbouring trips), column by column,
and gives the logarithm of the root of the covariance's determinant.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np

from .arrays import Array

LARGEST_RHO = 0.9
WALK_PRIOR = 0.5
_RHOS = 37
_SHARES = 20
_WALK_ALONE = 1 / 3
LEAST_NOISE = 1e-6


@dataclass(frozen=True, slots=True)
class Processes:
    """The grid of processes: those of ``rho`` first, then those of ``walk`` (lambda).

    ``log_prior`` has one value a process, rho first.
    """

    rho: Array
    walk: Array
    log_prior: Array

    def whitened(self, columns: Array) -> tuple[Array, Array]:
        """Columns (trips, m) made independent under each process, and half its log determinant.

        Shapes: (processes, trips, m) and (processes,).
        """
        parts = _fading(columns, self.rho), _wandering(columns, self.walk)
        white, half_log = map(np.concatenate, zip(*parts, strict=True))
        return white, half_log


@cache
def processes(walk_prior: float = WALK_PRIOR) -> Processes:
    """The grid; walk_prior is the chance of the local level before any trip (0: AR(1) alone)."""
    rho = np.linspace(0, LARGEST_RHO, _RHOS)
    fading = 1 - rho
    fading[[0, -1]] /= 2  # trapezoid
    fading /= fading.sum()
    if not walk_prior:
        return Processes(rho, np.zeros(0), np.log(fading))
    shares = (np.arange(_SHARES) + 0.5) / _SHARES
    walk = np.append(shares, 1.0)
    wandering = np.append(np.full(_SHARES, (1 - _WALK_ALONE) / _SHARES), _WALK_ALONE)
    prior = np.concatenate([(1 - walk_prior) * fading, walk_prior * wandering])
    return Processes(rho, walk, np.log(prior))


def _fading(columns: Array, rho: Array) -> tuple[Array, Array]:
    """Differences that make AR(1) errors independent, the first trip kept (Prais & Winsten)."""
    first = np.sqrt(1 - rho**2)
    kept, rest = first[:, None, None] * columns[:1], columns[1:] - rho[:, None, None] * columns[:-1]
    return np.concatenate([kept, rest], axis=1), -np.log(first)


def _wandering(columns: Array, walk: Array) -> tuple[Array, Array]:
    """One-step-ahead errors of a level that walks, by the Kalman filter; it starts at nought.

    The level at the first trip belongs to the design, whose column of ones takes it up.
    """
    trips, wide = columns.shape
    noise = np.maximum((1 - walk) / 2, LEAST_NOISE)
    level, variance = np.zeros((len(walk), wide)), np.zeros(len(walk))
    made, half_log = np.empty((len(walk), trips, wide)), np.zeros(len(walk))
    for trip in range(trips):
        if trip:
            variance = variance + walk
        ahead = variance + noise
        error = columns[trip] - level
        made[:, trip] = error / np.sqrt(ahead)[:, None]
        gain = variance / ahead
        level = level + gain[:, None] * error
        variance = variance - gain * variance
        half_log += np.log(ahead) / 2
    return made, half_log
