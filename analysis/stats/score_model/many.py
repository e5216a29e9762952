"""The posterior at given spreads where days are many: one point at a time, by Cholesky factors.

The same normal law and the same fixed point of expectation propagation as `ends.EndsProblem.at`, in
a form whose cost does not grow with the days but by the first power. Of m days at an end and w
gains and fixed effects, sweeps are worked on the smaller of the two: on levels of days (m by m), or
on the effects (w by w), where site precisions S make the precision K = P + X' S X less what the
trips' own effects take of it (Woodbury's identity; Rasmussen & Williams 2006, Gaussian Processes
for Machine Learning, A.3 and 3.6.3).
"""

from dataclasses import dataclass

import numpy as np
from scipy.linalg import cholesky, solve_triangular  # type: ignore[import-untyped]
from scipy.linalg.lapack import dpotri, dtrtri  # type: ignore[import-untyped]

from ..arrays import Array, Codes
from . import ends
from .ends import EndsProblem, Reader, Sites, SpreadPosterior
from .grid import ScoreProblem

_SWEEPS = 60
SETTLED, NEARLY_SETTLED = 0.01, 0.02
"""Points by which a level still moves, where a point counts, and on the way there."""
_USUAL = 5  # sweeps from the sites of a point nearby
_GROUPS = 12  # numbers of days a trip for which products are kept
_WEAK = 1e-3  # a site's precision, against that of a level without it


def work_at(effects: int, at_end: int) -> float:
    """Multiplications of one point: of w gains and fixed effects, and m days at an end."""
    w, m = effects, at_end
    read = w**3 / 2 + w**2 * m / 2
    if not m:
        return w**3 / 6 + read
    by_days = (w**2 * m + m**2 * w) / 2 + _USUAL * m**3 / 3
    by_effects = _USUAL * (w**2 * m + w**3 / 6)
    return w**3 / 6 + read + (by_days if m < w else by_effects)


@dataclass(frozen=True, slots=True, eq=False)
class _State:
    """Levels (m) with the sites: means, variances; log det of I + S^1/2 B S^1/2."""

    at: Array
    variance: Array
    log_det: float


class ManyDays:
    """A problem of many days. ``ends`` is None where scores at the ends are plain numbers."""

    def __init__(self, plain: ScoreProblem, ends: EndsProblem | None = None) -> None:
        self.plain = plain
        self._ends = ends if ends is not None and len(ends.rows) else None
        counts, trips = np.unique(plain.days[plain.days > 0], return_counts=True)
        self._counts: Array = np.sort(counts[np.argsort(-trips, kind="stable")[:_GROUPS]])
        self._products = []
        for number in self._counts:
            some = plain.sums[plain.days == number]
            self._products.append(some.T @ some)
        rest = (plain.days > 0) & ~np.isin(plain.days, self._counts)
        self._rest, self._rest_days = plain.sums[rest], plain.days[rest]

    def at(
        self,
        trip_ratio: Array,
        gain_ratio: Array,
        own: Array,
        sites: Sites | None = None,
        reader: Reader | None = None,
    ) -> SpreadPosterior:
        """As `EndsProblem.at`."""
        logs, found, read = [], [], []
        for point in zip(trip_ratio.tolist(), gain_ratio.tolist(), own.tolist(), strict=True):
            log, own_sites, kept = self._at(*point, sites, reader)
            logs.append(log)
            found.append(own_sites)
            read.append(kept)
        parts = tuple(np.concatenate(part) for part in zip(*read, strict=True))
        return SpreadPosterior(np.array(logs), parts, found[int(np.argmax(logs))])

    def _at(
        self,
        trip_ratio: float,
        gain_ratio: float,
        own: float,
        sites: Sites | None,
        reader: Reader | None,
    ) -> tuple[float, Sites | None, tuple[Array, ...]]:
        plain = self.plain
        noise = float(np.hypot(own, plain.floor))
        w = plain.p + plain.fixed
        cross = self._cross(trip_ratio) / noise**2
        prior = np.append(np.full(plain.p, (gain_ratio * noise) ** -2.0), plain.precision)
        precision, push = cross[:w, :w], cross[:w, w]
        precision[range(w), range(w)] += prior
        root = _factor(precision)
        mean = _solved(root, push)
        log_density = float(
            plain.log_prior(np.array(noise), np.array(gain_ratio), trip_ratio)
        ) - 0.5 * float(
            2 * plain.n * np.log(noise)
            + _log_det(root)
            - np.log(prior).sum()
            + np.log1p(trip_ratio**2 * plain.days).sum()
            + cross[w, w]
            - push @ mean
        )
        found: Sites | None = None
        if self._ends is not None:
            trips = _Levels(self._ends, trip_ratio, noise)
            law: _OfDays | _OfEffects
            if len(trips.rows) < w:
                law = _OfDays(trips, root, mean)
            else:
                law = _OfEffects(trips, precision, push, root)
            level = trips.rows @ mean + trips.offset
            close = NEARLY_SETTLED if reader is None else SETTLED
            share, found = _settled(self._ends, law, level, own, sites, close)
            log_density += share
            if reader is not None:
                precision, push = trips.joined(precision, push, *found)
                root = _factor(precision)
                mean = _solved(root, push)
        read = (
            reader(mean[None], _inverse(root)[None], np.array([gain_ratio * noise]))
            if reader
            else ()
        )
        return log_density, found, read

    def _cross(self, trip_ratio: float) -> Array:
        """Cross products of the plain days, less what the trips take of them."""
        square = trip_ratio**2
        cross = self.plain.products.copy()
        for number, products in zip(self._counts, self._products, strict=True):
            cross -= (square / (1 + square * number)) * products
        pull = square / (1 + square * self._rest_days)
        if len(pull):
            cross -= (self._rest.T * pull) @ self._rest
        return cross


class _Levels:
    """Days at the ends, given the plain days: rows (m, w), offsets, and what their trips share."""

    def __init__(self, problem: EndsProblem, trip_ratio: float, noise: float) -> None:
        plain, of_trip = problem.plain, problem.of_trip
        w = plain.p + plain.fixed
        held = trip_ratio**2 / (1 + trip_ratio**2 * plain.days[of_trip])
        self.rows: Array = problem.rows - held[:, None] * plain.sums[of_trip, :w]
        self.offset: Array = held * plain.sums[of_trip, w]
        self.shared: Array = held * noise**2
        self.of_trip: Codes = of_trip
        numbers, self._first, self.group = np.unique(
            of_trip, return_index=True, return_inverse=True
        )
        self._order = np.argsort(of_trip, kind="stable")
        self._starts = np.searchsorted(of_trip[self._order], numbers)

    def summed(self, values: Array) -> Array:
        """Sums by trip of values by days at an end."""
        total: Array = np.add.reduceat(values[self._order], self._starts, axis=0)
        return total

    def left(self, site: Array) -> tuple[Array, Array, float]:
        """Variance of each trip's effect with the sites, sums of rows by trip, and a log det."""
        shared, total = self.shared[self._first], self.summed(site)
        kept = shared / (1 + shared * total)
        return kept, self.summed(site[:, None] * self.rows), float(np.log1p(shared * total).sum())

    def joined(self, precision: Array, push: Array, site: Array, natural: Array) -> Sites:
        """Precision (w, w) and push (w) of the effects with the sites."""
        kept, sums, _ = self.left(site)
        # Of each trip S - k s s' is a square: of S^1/2 less its part along S^1/2 1.
        part = kept / (1 + np.sqrt(np.maximum(1 - kept * self.summed(site), 0.0)))
        scaled = (part[:, None] * sums)[self.group]
        np.subtract(self.rows, scaled, out=scaled)
        scaled *= np.sqrt(site)[:, None]
        away = natural - site * self.offset
        return (
            precision + scaled.T @ scaled,
            push + self.rows.T @ away - sums.T @ (kept * self.summed(away)),
        )


class _OfEffects:
    """Sweeps by the precision of the effects (w, w)."""

    def __init__(self, levels: _Levels, precision: Array, push: Array, root: Array) -> None:
        self._levels, self._precision, self._push = levels, precision, push
        self._log_det = _log_det(root)

    def __call__(self, site: Array, natural: Array) -> _State:
        levels = self._levels
        kept, sums, log_det = levels.left(site)
        precision, push = levels.joined(self._precision, self._push, site, natural)
        root = _factor(precision)
        mean = _solved(root, push)
        rows = levels.rows - (kept[:, None] * sums)[levels.group]
        effect = kept * levels.summed(natural - site * levels.offset)
        reach = _lower(root, rows.T)
        return _State(
            levels.offset + rows @ mean + effect[levels.group],
            np.einsum("wm,wm->m", reach, reach) + kept[levels.group],
            _log_det(root) - self._log_det + log_det,
        )


class _OfDays:
    """Sweeps by the covariance of the levels (m, m)."""

    def __init__(self, levels: _Levels, root: Array, mean: Array) -> None:
        self._level: Array = levels.rows @ mean + levels.offset
        reach = _lower(root, levels.rows.T)
        self._between: Array = np.asfortranarray(reach.T @ reach)
        same = levels.of_trip[:, None] == levels.of_trip
        self._between += same * levels.shared[:, None]

    def __call__(self, site: Array, natural: Array) -> _State:
        between, half = self._between, np.sqrt(site)
        scaled = half[:, None] * between
        inside = scaled * half
        inside[range(len(half)), range(len(half))] += 1.0
        root = _factor(inside, overwrite=True)
        pushed = self._level + between @ natural
        at = pushed - scaled.T @ _solved(root, half * pushed)
        # A variance is that beforehand less what days take of it, or what is left of a site's own.
        # The second wants a third of the work, but is a small rest of 1 where a site is weak.
        alone = np.diag(between)
        weak = np.flatnonzero(site * alone < _WEAK)
        variance = np.empty(len(site))
        if len(weak) < len(site):
            left = _root_inverse(root)
            variance = (1 - np.einsum("ab,ab->b", left, left)) / site
        if len(weak):
            reach = _lower(root, scaled[:, weak])
            variance[weak] = alone[weak] - np.einsum("ab,ab->b", reach, reach)
        return _State(at, variance, _log_det(root))


def _settled(
    problem: EndsProblem,
    law: _OfEffects | _OfDays,
    level: Array,
    own: float,
    sites: Sites | None,
    close: float,
) -> tuple[float, Sites]:
    """Log probability that all levels are beyond their edges; the sites that stand for it."""
    site, natural = sites or (np.full(len(level), ends.LEAST_SITE), np.zeros(len(level)))
    state = law(site, natural)
    for _ in range(_SWEEPS):
        at = state.at
        tilted = ends.tilted(problem.side, problem.edge, own, site, natural, at, state.variance)
        site, natural = tilted.step(site, natural)
        state = law(site, natural)
        if np.abs(state.at - at).max() <= close:
            break
    tilted = ends.tilted(problem.side, problem.edge, own, site, natural, state.at, state.variance)
    off = natural / site
    away = float((off - level) @ (natural - site * state.at))
    share = float(tilted.log_share(site, off)) - 0.5 * state.log_det - 0.5 * away
    return share, (site, natural)


def _factor(matrix: Array, *, overwrite: bool = False) -> Array:
    root: Array = cholesky(matrix, lower=True, overwrite_a=overwrite, check_finite=False)
    return root


def _lower(root: Array, right: Array) -> Array:
    solved: Array = solve_triangular(root, right, lower=True, check_finite=False)
    return solved


def _solved(root: Array, right: Array) -> Array:
    half = _lower(root, right)
    solved: Array = solve_triangular(root, half, lower=True, trans=1, check_finite=False)
    return solved


def _inverse(root: Array) -> Array:
    lower, failed = dpotri(root, lower=1)
    if failed:
        raise np.linalg.LinAlgError("a precision is singular")
    # What lies above the diagonal of a root is 0, and is left so.
    inverse: Array = lower + lower.T
    inverse[range(len(root)), range(len(root))] /= 2
    return inverse


def _root_inverse(root: Array) -> Array:
    """The inverse of a lower triangular root, itself lower triangular."""
    lower, failed = dtrtri(root, lower=1)
    if failed:
        raise np.linalg.LinAlgError("a root is singular")
    inverse: Array = lower
    return inverse


def _log_det(root: Array) -> float:
    return 2 * float(np.log(np.diag(root)).sum())
