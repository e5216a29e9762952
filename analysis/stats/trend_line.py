"""A straight line through a series whose errors may last from one value to the next.

Generalised least squares under each process of `error_process`, with the usual flat priors for the
coefficients and the logarithm of the error: given the process the coefficients have a multivariate
t distribution (Box & Tiao 1973, Bayesian Inference in Statistical Analysis, ch. 2, from memory).
Which process it is, is not known from a dozen values, so all of them are mixed by how well they
explain the series; intervals are the mixture's own quantiles.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import gammaln, softmax, stdtr, stdtrit  # type: ignore[import-untyped]

from .arrays import Array, Codes
from .constants import LEVEL
from .error_process import WALK_PRIOR, processes
from .estimate import Estimate
from .quantile import mixture_quantiles

LEAST_FREEDOM = 2
_FLAT = 1e-9
_CLOSE = 1e-10
_LEAST_SQUARE = 1e-280  # of a scale: what has no spread is a step all the same


@dataclass(frozen=True, slots=True, eq=False)
class TrendLine:
    """Coefficients with their joint uncertainty: a mixture of multivariate t distributions.

    One part a process: its ``weight``, the ``means`` (parts, columns) and ``scales`` (parts,
    columns, columns) of the coefficients, all of ``freedom`` degrees; ``n`` values went in. ``rho``
    is the mean correlation from one trip to the next where errors fade, ``walk`` the chance that
    they wander instead.
    """

    weight: Array
    means: Array
    scales: Array
    freedom: int
    n: int
    rho: float
    walk: float

    def value(self, row: Sequence[float]) -> float:
        """The value of the line at one row of a design."""
        return float(self.weight @ (self.means @ np.asarray(row, float)))

    def at(self, row: Sequence[float], level: float = LEVEL) -> Estimate:
        """The value of the line at one row of a design, with its interval."""
        tail = (1 - level) / 2
        low, high = (self._quantile(row, share) for share in (tail, 1 - tail))
        return Estimate(self.value(row), low, high, level, self.n)

    def coefficient(self, place: int) -> Estimate:
        """One of the coefficients, with its interval."""
        return self.at(np.eye(self.means.shape[1])[place])

    def p_value(self, row: Sequence[float]) -> float:
        """Twice the smaller of the chances that the value at a row is above and below nought."""
        middle, scale = self._parts(row)
        below = float(self.weight @ stdtr(self.freedom, -middle / scale))
        return min(1.0, 2 * min(below, 1 - below))

    def _parts(self, row: Sequence[float]) -> tuple[Array, Array]:
        at = np.asarray(row, float)
        square = np.einsum("i,gij,j->g", at, self.scales, at)
        return self.means @ at, np.sqrt(np.maximum(square, _LEAST_SQUARE))

    def _quantile(self, row: Sequence[float], share: float) -> float:
        free, (middle, scale) = self.freedom, self._parts(row)
        constant = gammaln((free + 1) / 2) - gammaln(free / 2) - np.log(free * np.pi) / 2

        def below(at: Array, _: Codes) -> tuple[Array, Array]:
            off = (at - middle[:, None]) / scale[:, None]
            density = np.exp(constant - (free + 1) / 2 * np.log1p(off**2 / free)) / scale[:, None]
            return self.weight @ stdtr(free, off), self.weight @ density

        # The mixture's quantile lies between the least and the greatest of its parts' quantiles.
        ends = middle + float(stdtrit(free, share)) * scale
        low, high = ends.min(), ends.max()
        start, close = np.array([self.weight @ ends]), _CLOSE * (1 + abs(low))
        return float(mixture_quantiles(share, below, start, (low, high), close)[0])


def fit_line(
    design: Sequence[Sequence[float]], y: Sequence[float], walk_prior: float = WALK_PRIOR
) -> TrendLine | None:
    """Fit y on the columns of design, a row a trip in the order of time.

    walk_prior: the chance, before any trip, that errors wander (0: they fade or are independent).
    None where fewer than two degrees of freedom are left, or where one column follows from the
    others, so that their parts cannot be told apart.
    """
    x, value = np.asarray(design, float), np.asarray(y, float)
    n, p = x.shape
    if n - p < LEAST_FREEDOM or not independent(x):
        return None
    grid = processes(walk_prior)
    white, half_log = grid.whitened(np.column_stack([x, value]))
    rows, values = white[:, :, :p], white[:, :, p]
    inner = np.einsum("gni,gnj->gij", rows, rows)
    inverse = np.linalg.inv(inner)
    means = np.einsum("gij,gj->gi", inverse, np.einsum("gni,gn->gi", rows, values))
    rest = values - np.einsum("gni,gi->gn", rows, means)
    square = np.maximum((rest**2).sum(axis=1), least_square(value))
    weight = softmax(
        grid.log_prior - half_log - np.linalg.slogdet(inner)[1] / 2 - (n - p) / 2 * np.log(square)
    )
    scales = inverse * (square / (n - p))[:, None, None]
    fading, wandering = np.split(weight, [grid.rho.size])
    rho = float(fading @ grid.rho / max(float(fading.sum()), 1e-12))
    return TrendLine(weight, means, scales, n - p, n, rho, float(wandering.sum()))


def independent(x: Array) -> bool:
    """Whether no column is nought throughout or follows from the others."""
    norms = np.linalg.norm(x, axis=0)
    return bool(norms.all()) and int(np.linalg.matrix_rank(x / norms, tol=1e-6)) == x.shape[1]


def least_square(y: Array) -> float:
    """The least sum of squares: gear that never changes leaves none, and logarithms want one."""
    return float((_FLAT * (1 + np.abs(y).max())) ** 2)
