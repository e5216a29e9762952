"""A rule for a posterior of three spreads that many days have made narrow: about its peak.

In logarithms of the spreads such a posterior is nearly normal, also where a spread may be next to
nothing. A quadratic through ten points gives peak and curvature, again from there until the peak
stays; Gauss and Hermite's rule in the directions of the curvature, weighed by the density itself,
then integrates with a tenth of the points of a product over a box (Naylor & Smith 1982, J. R. Stat.
Soc. C 31: 214, from memory).
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from ..arrays import Array

ROUNDS = 40
_STAYS = 1.0  # standard deviations by which the last round may move the peak
_FARTHEST = 1.0  # by which one step may move a logarithm
_FLAT, _SHARP = 0.1, 30.0  # curvatures are taken to lie between, against the last round's
_WIDEST = 0.7  # standard deviation of a logarithm

LogDensity = Callable[[Array], Array]


@dataclass(frozen=True, slots=True, eq=False)
class Peak:
    """Where a density of d logarithms is greatest, and a root (d, d) of its covariance there.

    ``log_total``: the log of its integral, were it normal.
    """

    centre: Array
    root: Array
    log_total: float


def peak_of(
    log_density: LogDensity, centre: Array, root: Array, most: Array, rounds: int = ROUNDS
) -> Peak:
    """The peak of a density, by quadratics, from a first guess.

    ``log_density`` takes points (j, d), logarithms, and returns (j). ``most`` (d): beyond which
    the peak is not looked for. After so many ``rounds`` it is taken to be where it then is.
    """
    d = len(centre)
    design = _design(d)
    pairs = [(a, b) for a in range(d) for b in range(a, d)]
    terms = np.column_stack(
        [np.ones(len(design)), design, *(design[:, a] * design[:, b] for a, b in pairs)]
    )
    peak = Peak(centre, root, -math.inf)
    for _ in range(rounds):
        found = np.linalg.solve(terms, log_density(peak.centre + design @ peak.root.T))
        slope, bend = found[1 : d + 1], np.zeros((d, d))
        for (a, b), value in zip(pairs, found[d + 1 :], strict=True):
            bend[a, b] -= value
            bend[b, a] -= value
        sharp, turn = np.linalg.eigh(bend)
        sharp = np.clip(sharp, _FLAT, _SHARP)
        along = turn.T @ slope
        step = peak.root @ turn @ (along / sharp)
        gained = float(along**2 @ (1 / sharp))
        step /= max(float(np.abs(step).max()) / _FARTHEST, 1.0)
        wide = peak.root @ turn / np.sqrt(sharp)
        wide /= np.maximum(np.linalg.norm(wide, axis=0) / _WIDEST, 1.0)
        scale = float(np.log(np.abs(np.linalg.det(wide))))
        total = float(found[0]) + 0.5 * gained + 0.5 * d * math.log(2 * math.pi) + scale
        peak = Peak(np.minimum(peak.centre + step, most), wide, total)
        if gained < _STAYS**2:
            break
    return peak


def peak_rule(peak: Peak, nodes: int) -> tuple[Array, Array]:
    """Points (j, d), logarithms, and weights (j) for an integral over them."""
    at, share = np.polynomial.hermite_e.hermegauss(nodes)
    share = share * np.exp(at**2 / 2)
    d = len(peak.centre)
    places = np.stack(np.meshgrid(*[at] * d, indexing="ij"), axis=-1).reshape(-1, d)
    weights = np.stack(np.meshgrid(*[share] * d, indexing="ij"), axis=-1).reshape(-1, d)
    volume = abs(float(np.linalg.det(peak.root)))
    return peak.centre + places @ peak.root.T, volume * weights.prod(1)


def _design(d: int) -> Array:
    """As many points as a quadratic of d variables has numbers."""
    own = np.eye(d)
    both = [own[a] + own[b] for a in range(d) for b in range(a + 1, d)]
    return np.vstack([np.zeros((1, d)), own, -own, *both])
