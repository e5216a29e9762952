"""A rule for a posterior of three spreads that many days have made narrow: about its peak.

A quadratic by thirteen points gives peak and curvature in logarithms of the spreads, again from
there until the peak stays. Along a spread that is well known Gauss and Hermite's rule, weighed by
the density itself, then integrates with a tenth of the points of a product over a box (Naylor &
Smith 1982, J. R. Stat. Soc. C 31: 214, from memory). A spread that may be next to nothing has a law
with one long side, which that rule misses: along it the density's own profile is taken, and the
rule of Gauss that belongs to it, exact for powers of the spread (Golub & Welsch 1969, Math. Comp.
23: 221, from memory; of a law on a grid by Lanczos' recurrence).
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from ..arrays import Array

ROUNDS, ROUND = 40, 13
"""To the peak at the most, and points of each of three spreads."""
_STAYS = 1.0  # standard deviations by which the last round may move the peak
_FARTHEST = 1.0  # by which one step may move a logarithm
_ALIKE = 4.0  # curvature, against the last round's, up to which the peak is about as narrow
_FLAT, _SHARP = 0.1, 30.0  # curvatures are taken to lie between, against the last round's
_WIDEST = 0.7  # standard deviation of a logarithm
_CLOSE = 1e-2  # to the peak, and of its density's logarithm, where it is climbed to

LogDensity = Callable[[Array], Array]


_WELL_KNOWN = 0.1
"""Standard deviation of a logarithm up to which its law is as good as normal."""
_NEARBY = np.array([-2.0, -0.9, 0.0, 0.8, 1.6, 2.6])  # standard deviations
_TO_NOTHING = np.array([-4.5, -2.9, -1.6])  # logarithms, or so many halves of a standard deviation
PROFILED = len(_NEARBY) + len(_TO_NOTHING)
"""Points of the profile of a spread that is not well known."""
_CENTRE = len(_TO_NOTHING) + 2  # of them, the peak itself
MOVES = 2
"""To another peak at the most, where a profile shows a higher one."""
_HIGHER = 0.7  # log density from which a place elsewhere is no mere skewness of the peak
_FLANK = 1.0  # logarithms that a law may go beyond the most that a peak is looked for at
_FALLS = 0.5  # log density by logarithm, at least, beyond the ends of a profile
_FINE, _BEYOND = 600, 2.0  # points of a profile's grid, and how far it goes beyond, in logarithms


@dataclass(frozen=True, slots=True, eq=False)
class Peak:
    """Where a density of d logarithms is greatest, and a root (d, d) of its covariance there.

    The root is lower triangular. ``log_total``: the log of its integral, were it normal.
    ``climbed``: quadratics did not settle, so that it was climbed to step by step.
    """

    centre: Array
    root: Array
    log_total: float
    climbed: bool = False


def peak_of(log_density: LogDensity, centre: Array, root: Array, most: Array) -> Peak:
    """The peak of a density, by quadratics, from a first guess.

    ``log_density`` takes points (j, d), logarithms, and returns (j). ``most`` (d): beyond which
    the peak is not looked for. Where quadratics do not settle on a peak in so many rounds, it is
    climbed to by Nelder and Mead's simplex, and the last quadratic lies about that.
    """
    peak = Peak(centre, root, -math.inf)
    for _ in range(ROUNDS):
        peak, settled = _next(log_density, peak, most)
        if settled:
            return peak
    from scipy.optimize import minimize  # type: ignore[import-untyped]

    top = minimize(
        lambda at: -float(log_density(np.minimum(at, most)[None])[0]),
        peak.centre,
        method="Nelder-Mead",
        options={"xatol": _CLOSE, "fatol": _CLOSE},
    )
    climbed = np.minimum(top.x, most)
    last, _ = _next(log_density, Peak(climbed, peak.root, -math.inf), most)
    return Peak(climbed, last.root, last.log_total, climbed=True)


def _next(log_density: LogDensity, peak: Peak, most: Array) -> tuple[Peak, bool]:
    """The peak of the quadratic about a peak, and whether it is hardly elsewhere nor narrower."""
    d = len(peak.centre)
    design = _design(d)
    pairs = [(a, b) for a in range(d) for b in range(a, d)]
    terms = np.column_stack(
        [np.ones(len(design)), design, *(design[:, a] * design[:, b] for a, b in pairs)]
    )
    found = np.linalg.pinv(terms) @ log_density(peak.centre + design @ peak.root.T)
    slope, bend = found[1 : d + 1], np.zeros((d, d))
    for (a, b), value in zip(pairs, found[d + 1 :], strict=True):
        bend[a, b] -= value
        bend[b, a] -= value
    sharp, turn = np.linalg.eigh(bend)
    root_stays = float(sharp.max()) < _ALIKE
    sharp = np.clip(sharp, _FLAT, _SHARP)
    along = turn.T @ slope
    step = peak.root @ turn @ (along / sharp)
    gained = float(along**2 @ (1 / sharp))
    step /= max(float(np.abs(step).max()) / _FARTHEST, 1.0)
    any_root = peak.root @ turn / np.sqrt(sharp)
    root = np.linalg.cholesky(any_root @ any_root.T)
    root /= np.maximum(np.linalg.norm(root, axis=1, keepdims=True) / _WIDEST, 1.0)
    scale = float(np.log(np.diag(root)).sum())
    total = float(found[0]) + 0.5 * gained + 0.5 * d * math.log(2 * math.pi) + scale
    settled = root_stays and gained < _STAYS**2
    return Peak(np.minimum(peak.centre + step, most), root, total), settled


def peak_rule(log_density: LogDensity, peak: Peak, nodes: int, most: Array) -> tuple[Array, Array]:
    """Points (j, d), logarithms, and weights (j) for an integral over them.

    So many ``nodes`` along each spread that is not well known, one fewer along others. No peak is
    beyond ``most`` (d), and no point beyond its flank. Where a profile is higher elsewhere, the
    rule lies about the peak there.
    """
    flank = most + _FLANK
    for _ in range(MOVES):
        places, profiles = _profiles(log_density, peak, flank)
        best = int(np.argmax(profiles)) if profiles.size else 0
        if not profiles.size or profiles.flat[best] < profiles[0, _CENTRE] + _HIGHER:
            break
        peak = peak_of(log_density, places[best], peak.root, most)
    else:
        places, profiles = _profiles(log_density, peak, flank)
    sds = np.diag(peak.root)
    d, wide = len(sds), np.flatnonzero(sds > _WELL_KNOWN)
    rules = [_normal_rule(max(2, nodes - 1))] * d
    for axis, profile in zip(wide, profiles, strict=True):
        farthest = float(flank[axis] - peak.centre[axis])
        rules[axis] = _own_rule(profile, float(sds[axis]), nodes, farthest)
    at, share = ([rule[part] for rule in rules] for part in (0, 1))
    places = np.stack(np.meshgrid(*at, indexing="ij"), axis=-1).reshape(-1, d)
    weights = np.stack(np.meshgrid(*share, indexing="ij"), axis=-1).reshape(-1, d)
    volume = float(sds.prod())
    return np.minimum(_moved(peak, places), flank), volume * weights.prod(1)


def _profiles(log_density: LogDensity, peak: Peak, most: Array) -> tuple[Array, Array]:
    """Along the spreads that are not well known: places (w * PROFILED, d), densities (w, ...)."""
    sds = np.diag(peak.root)
    d, wide = len(sds), np.flatnonzero(sds > _WELL_KNOWN)
    if not wide.size:
        return np.empty((0, d)), np.empty((0, PROFILED))
    away = np.zeros((len(wide), PROFILED, d))
    for row, axis in enumerate(wide):
        away[row, :, axis] = _profiled(sds[axis]) / sds[axis]
    places = np.minimum(_moved(peak, away.reshape(-1, d)), most)
    return places, log_density(places).reshape(-1, PROFILED)


def _moved(peak: Peak, away: Array) -> Array:
    """Logarithms (j, d) so many standard deviations away from the peak.

    What goes along with a spread follows the spread itself, not its logarithm: towards nothing it
    comes to rest.
    """
    own = np.diag(peak.root)
    shear = np.tril(peak.root, -1) / own
    moved: Array = peak.centre + away * own + np.expm1(away * own) @ shear.T
    return moved


def _normal_rule(nodes: int) -> tuple[Array, Array]:
    at, share = np.polynomial.hermite_e.hermegauss(nodes)
    return at, share * np.exp(at**2 / 2)


def _profiled(sd: float) -> Array:
    """Logarithms, less that of the peak, at which a profile is taken: close by, and far below."""
    below = -2 * sd + (_TO_NOTHING + 1) * (1 - sd / 2)
    return np.concatenate([below, _NEARBY * sd])


def _own_rule(log_profile: Array, sd: float, nodes: int, farthest: float) -> tuple[Array, Array]:
    """Gauss' rule for a law known at the points of the profile, in powers of the spread.

    Places in standard deviations, and weights over the density there. Nothing lies beyond
    ``farthest``, a logarithm.
    """
    from scipy.interpolate import CubicSpline  # type: ignore[import-untyped]

    known = _profiled(sd)
    spline = CubicSpline(known, log_profile - log_profile.max())
    ends = known[[0, -1]]
    fine = np.linspace(ends[0] - _BEYOND, min(ends[1] + sd * _BEYOND, farthest), _FINE)

    def log_law(at: Array) -> Array:
        inside = np.clip(at, *ends)
        # On from the ends as straight lines that fall.
        falls = np.maximum(spline(ends[0], 1), _FALLS), np.minimum(spline(ends[1], 1), -_FALLS)
        slope = np.where(at < 0, *falls)
        law: Array = spline(inside) + (at - inside) * slope
        return law

    law = np.exp(log_law(fine))
    total = float(law.sum()) * (fine[1] - fine[0]) / sd
    spread = np.exp(fine)
    diagonal, beside, vectors = [], [], [np.sqrt(law / law.sum())]
    for _ in range(nodes):
        onward = spread * vectors[-1]
        diagonal.append(float(vectors[-1] @ onward))
        for vector in (*vectors, *vectors):
            onward -= (vector @ onward) * vector
        beside.append(float(np.linalg.norm(onward)))
        vectors.append(onward / beside[-1])
    near = np.diag(beside[:-1], 1)
    at, first = np.linalg.eigh(np.diag(diagonal) + near + near.T)
    places = np.log(at)
    return places / sd, first[0] ** 2 * total / np.exp(log_law(places))


def _design(d: int) -> Array:
    """Points for a quadratic of d variables, on both sides in each, and in each two together."""
    own = np.eye(d)
    both = [own[a] + own[b] for a in range(d) for b in range(a + 1, d)]
    return np.vstack([np.zeros((1, d)), own, -own, *both, *(-one for one in both)])
