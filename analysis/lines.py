"""A straight line through trips whose errors may last from one trip to the next.

Generalised least squares with first-order autoregressive errors, trip by trip in their order. The
correlation of neighbouring trips, rho, is not known from a dozen trips, so it is integrated out on
a grid over its prior 2 (1 - rho) on 0 to 0.9, with the usual flat priors for the coefficients and
the logarithm of the error: for each rho the coefficients have a multivariate t distribution (Box &
Tiao 1973, Bayesian Inference in Statistical Analysis, ch. 2, from memory), and the mixture is told
by its mean and scale with the same degrees of freedom. Its 90 % interval is 1 to 3 % wider than the
mixture's own and covers a little more often (`tests/benchmarks/bench_trend.py` prints the figures).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from numpy.typing import NDArray

CONFIDENCE = 0.9
LARGEST_RHO = 0.9
LEAST_FREEDOM = 2
_STEPS = 46
_FLAT = 1e-9


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


@dataclass(frozen=True, slots=True)
class Line:
    """Coefficients with their joint uncertainty: a multivariate t of ``freedom`` degrees.

    ``mean`` has one value a column of the design, ``scale`` their scale matrix; ``n`` values went
    in; ``rho`` is the posterior mean of the correlation from one trip to the next.
    """

    mean: tuple[float, ...]
    scale: tuple[tuple[float, ...], ...]
    freedom: int
    n: int
    rho: float

    def critical(self, confidence: float = CONFIDENCE) -> float:
        """How many scales either side of the mean the interval reaches."""
        from scipy.special import stdtrit  # type: ignore[import-untyped]

        return float(stdtrit(self.freedom, (1 + confidence) / 2))

    def value(self, row: Sequence[float]) -> float:
        """The value of the line at one row of a design."""
        return sum(a * b for a, b in zip(row, self.mean, strict=True))

    def at(self, row: Sequence[float], confidence: float = CONFIDENCE) -> Estimate:
        """The value of the line at one row of a design, with its interval."""
        value = self.value(row)
        half = self.critical(confidence) * max(self.covariance(row, row), 0.0) ** 0.5
        return Estimate(value, value - half, value + half)

    def covariance(self, one: Sequence[float], other: Sequence[float]) -> float:
        """The scale that the line's values at two rows share."""
        return sum(a * b * self.scale[i][j] for i, a in enumerate(one) for j, b in enumerate(other))

    def p_value(self, row: Sequence[float]) -> float:
        """Twice the smaller of the chances that the value at a row is above and below nought."""
        from scipy.special import stdtr

        value = self.value(row)
        scale = max(self.covariance(row, row), 0.0) ** 0.5
        if scale == 0:
            return float(value == 0)
        return min(1.0, 2 * float(stdtr(self.freedom, -abs(value) / scale)))


def fit_line(design: Sequence[Sequence[float]], y: Sequence[float]) -> Line | None:
    """Fit y on the columns of design, a row a trip in the order of time.

    None where fewer than two degrees of freedom are left, or where one column follows from the
    others, so that their parts cannot be told apart.
    """
    import numpy as np

    x, value = np.asarray(design, float), np.asarray(y, float)
    n, p = x.shape
    norms = np.linalg.norm(x, axis=0)
    if n - p < LEAST_FREEDOM or not norms.all():
        return None
    if np.linalg.matrix_rank(x / norms, tol=1e-6) < p:
        return None
    rho = np.linspace(0, LARGEST_RHO, _STEPS)
    weight, means, scales = _by_rho(x, value, rho)
    mean = weight @ means
    off = means - mean
    scale = np.einsum("g,gij->ij", weight, scales + off[:, :, None] * off[:, None, :])
    return Line(
        tuple(mean.tolist()),
        tuple(map(tuple, scale.tolist())),
        n - p,
        n,
        float(weight @ rho),
    )


def _by_rho(
    x: "NDArray[Any]", y: "NDArray[Any]", rho: "NDArray[Any]"
) -> tuple["NDArray[Any]", "NDArray[Any]", "NDArray[Any]"]:
    """The weight of each rho after the data, and the coefficients with their scale given it."""
    import numpy as np

    n, p = x.shape
    first = np.sqrt(1 - rho**2)
    # Differences that make the errors independent, the first trip kept (Prais & Winsten 1954).
    rows = np.concatenate(
        [first[:, None, None] * x[:1], x[1:] - rho[:, None, None] * x[:-1]], axis=1
    )
    values = np.concatenate([first[:, None] * y[:1], y[1:] - rho[:, None] * y[:-1]], axis=1)
    inner = np.einsum("gni,gnj->gij", rows, rows)
    inverse = np.linalg.inv(inner)
    means = np.einsum("gij,gj->gi", inverse, np.einsum("gnj,gn->gj", rows, values))
    rest = values - np.einsum("gni,gi->gn", rows, means)
    # Gear that never changes fits without any rest; the floor keeps its logarithm finite.
    square = np.maximum((rest**2).sum(axis=1), (_FLAT * (1 + np.abs(y).max())) ** 2)
    log_weight = (
        np.log1p(-rho)
        + np.log(first)
        - np.linalg.slogdet(inner)[1] / 2
        - (n - p) / 2 * np.log(square)
    )
    weight = np.exp(log_weight - log_weight.max())
    scales = inverse * (square / (n - p))[:, None, None]
    return weight / weight.sum(), means, scales
