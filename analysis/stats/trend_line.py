"""A straight line through trips whose errors may last from one trip to the next.

Generalised least squares under each process of `error_process`, with the usual flat priors for the
coefficients and the logarithm of the error: given the process the coefficients have a multivariate
t distribution (Box & Tiao 1973, Bayesian Inference in Statistical Analysis, ch. 2, from memory).
Which process it is, is not known from a dozen trips, so all of them are mixed by how well they
explain the weights; intervals are the mixture's own quantiles.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from .error_process import WALK_PRIOR, processes

if TYPE_CHECKING:
    from numpy.typing import NDArray

CONFIDENCE = 0.9
LEAST_FREEDOM = 2
_FLAT = 1e-9
_HALVINGS = 60


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value with the ends of its interval, all in the same unit."""

    value: float
    low: float
    high: float

    @property
    def told(self) -> bool:
        """Whether the interval leaves out nought, so that the sign can be told."""
        return self.low > 0 or self.high < 0


@dataclass(frozen=True, slots=True, eq=False)
class Line:
    """Coefficients with their joint uncertainty: a mixture of multivariate t distributions.

    One part a process: its ``weight``, the ``means`` (parts, columns) and ``scales`` (parts,
    columns, columns) of the coefficients, all of ``freedom`` degrees; ``n`` values went in. ``rho``
    is the mean correlation from one trip to the next where errors fade, ``walk`` the chance that
    they wander instead.
    """

    weight: "NDArray[Any]"
    means: "NDArray[Any]"
    scales: "NDArray[Any]"
    freedom: int
    n: int
    rho: float
    walk: float

    @property
    def columns(self) -> int:
        """How many coefficients."""
        return int(self.means.shape[1])

    def value(self, row: Sequence[float]) -> float:
        """The value of the line at one row of a design."""
        import numpy as np

        return float(self.weight @ (self.means @ np.asarray(row, float)))

    def at(self, row: Sequence[float], confidence: float = CONFIDENCE) -> Estimate:
        """The value of the line at one row of a design, with its interval."""
        half = (1 - confidence) / 2
        return Estimate(self.value(row), self._quantile(row, half), self._quantile(row, 1 - half))

    def p_value(self, row: Sequence[float]) -> float:
        """Twice the smaller of the chances that the value at a row is above and below nought."""
        middle, scale = self._parts(row)
        below = _below(0.0, self.weight, middle, scale, self.freedom)
        return min(1.0, 2 * min(below, 1 - below))

    def _parts(self, row: Sequence[float]) -> tuple["NDArray[Any]", "NDArray[Any]"]:
        import numpy as np

        at = np.asarray(row, float)
        square = np.einsum("i,gij,j->g", at, self.scales, at)
        return self.means @ at, np.sqrt(np.maximum(square, 0.0))

    def _quantile(self, row: Sequence[float], chance: float) -> float:
        from scipy.special import stdtrit  # type: ignore[import-untyped]

        middle, scale = self._parts(row)
        # The mixture's quantile lies between the least and the greatest of its parts' quantiles.
        ends = middle + float(stdtrit(self.freedom, chance)) * scale
        low, high = float(ends.min()), float(ends.max())
        for _ in range(_HALVINGS):
            if high - low <= 1e-10 * (1 + abs(low)):
                break
            between = (low + high) / 2
            if _below(between, self.weight, middle, scale, self.freedom) < chance:
                low = between
            else:
                high = between
        return (low + high) / 2


def _below(
    value: float, weight: "NDArray[Any]", middle: "NDArray[Any]", scale: "NDArray[Any]", free: int
) -> float:
    """The chance that the mixture lies under a value; half of what has no spread and lies on it."""
    import numpy as np
    from scipy.special import stdtr

    off = value - middle
    sharp = scale <= 0
    part = stdtr(free, off / np.where(sharp, 1.0, scale))
    part = np.where(sharp, (np.sign(off) + 1) / 2, part)
    return float(weight @ part)


def fit_line(
    design: Sequence[Sequence[float]], y: Sequence[float], walk_prior: float = WALK_PRIOR
) -> Line | None:
    """Fit y on the columns of design, a row a trip in the order of time.

    walk_prior: the chance, before any trip, that errors wander (0: they fade or are independent).
    None where fewer than two degrees of freedom are left, or where one column follows from the
    others, so that their parts cannot be told apart.
    """
    import numpy as np

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
    weight = weighed(
        grid.log_prior - half_log - np.linalg.slogdet(inner)[1] / 2 - (n - p) / 2 * np.log(square)
    )
    scales = inverse * (square / (n - p))[:, None, None]
    fading = weight[: grid.rho.size]
    return Line(
        weight,
        means,
        scales,
        n - p,
        n,
        float(fading @ grid.rho / max(float(fading.sum()), 1e-12)),
        float(weight[grid.rho.size :].sum()),
    )


def independent(x: "NDArray[Any]") -> bool:
    """Whether no column is nought throughout or follows from the others."""
    import numpy as np

    norms = np.linalg.norm(x, axis=0)
    return bool(norms.all()) and int(np.linalg.matrix_rank(x / norms, tol=1e-6)) == x.shape[1]


def least_square(y: "NDArray[Any]") -> float:
    """The least sum of squares: gear that never changes leaves none, and logarithms want one."""
    import numpy as np

    return float((_FLAT * (1 + np.abs(y).max())) ** 2)


def weighed(logs: "NDArray[Any]") -> "NDArray[Any]":
    """Weights that sum to 1, from their logarithms."""
    import numpy as np

    weight = np.exp(logs - logs.max())
    shares: NDArray[Any] = weight / weight.sum()
    return shares
