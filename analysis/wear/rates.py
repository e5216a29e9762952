"""How often a thing fails: failures per 100 nights, pooled within its system and exact.

Model: k failures in n hundreds of nights, k ~ Poisson(n x rate); within a system the rates are
Gamma with mean m per 100 nights and a shape, log m ~ N(log .7, 1.5), log shape ~ N(log 1.5, .8).
Both are summed over a grid, so that a thing's posterior is a mixture of Gammas: no plug-in, and few
nights stay uncertain. Pooling of Poisson rates through a Gamma is common practice (Gaver &
O'Muircheartaigh 1987, Technometrics 29: 1, from memory).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

LEVEL = 0.90
_NIGHTS = 100
FEWEST_NIGHTS = 20
"""Under so many nights carried no rate and no bound is shown: after one night a bare bound would be
300 in 100."""
FEWEST_KM = 200
"""Under so many km no rate per 1000 km is shown."""
TOO_FEW_NIGHTS = "too few nights to tell"
MEAN_LOG_MEAN, MEAN_LOG_SD = math.log(0.7), 1.5
SHAPE_LOG_MEAN, SHAPE_LOG_SD = math.log(1.5), 0.8
_MEANS, _SHAPES, _REACH_SD = 45, 15, 4.0
_NEGLIGIBLE = 1e-7
_STEPS, _CLOSE, _TINY = 100, 1e-7, 1e-300


@dataclass(frozen=True, slots=True)
class FailureRate:
    """Failures per 100 nights carried.

    ``per_100`` is what was seen, missing without a night. ``pooled`` is the posterior mean within
    the system, ``low`` to ``high`` its 90 % interval: between tails of 5 % each, and where nothing
    failed from 0 to what 90 % lies under. ``exact_low`` to ``exact_high`` is the thing's own 90 %
    interval, missing without a night; it is ``low`` to ``high``, too, where the pooled one would
    leave out what was seen. Whether there are nights ``enough`` to show any of it is said apart.
    """

    nights: int
    failures: int
    per_100: float | None
    pooled: float
    low: float
    high: float
    exact_low: float | None
    exact_high: float | None
    level: float = LEVEL
    method: str = "Gamma-Poisson, pooled within the system; exact: Garwood"

    @property
    def enough(self) -> bool:
        """Whether there are nights enough to tell."""
        return self.nights >= FEWEST_NIGHTS


def garwood_interval(
    failures: int, exposure: float, level: float = LEVEL
) -> tuple[float | None, float | None]:
    """Interval of a Poisson rate from its own count alone, never too short: Garwood 1936.

    Biometrika 28: 437 (from memory). ``exposure`` in the unit the rate is to be told by; both ends
    are missing where it is 0.
    """
    from scipy.special import gammaincinv  # type: ignore[import-untyped]

    if not exposure > 0:
        return None, None
    tail = (1 - level) / 2
    low = float(gammaincinv(failures, tail)) / exposure if failures else 0.0
    return low, float(gammaincinv(failures + 1, 1 - tail)) / exposure


@cache
def _grid() -> "tuple[Floats, Floats, Floats]":
    """Shape and rate of the Gamma, and the logarithm of their prior weight, one entry a point."""
    import numpy as np

    z = np.linspace(-_REACH_SD, _REACH_SD, _MEANS)
    y = np.linspace(-_REACH_SD, _REACH_SD, _SHAPES)
    mean = np.exp(MEAN_LOG_MEAN + MEAN_LOG_SD * z)
    shape = np.exp(SHAPE_LOG_MEAN + SHAPE_LOG_SD * y)
    log_weight = np.add.outer(-(z**2) / 2, -(y**2) / 2)
    shapes = np.broadcast_to(shape, log_weight.shape)
    return shapes.ravel(), (shapes / mean[:, None]).ravel(), log_weight.ravel()


class FailurePool:
    """What the things of one system tell together: a posterior over its Gamma, on the grid."""

    def __init__(self, failures: Sequence[int], nights: Sequence[int]) -> None:
        """Take counts and nights of the things; those without a night tell nothing."""
        import numpy as np
        from scipy.special import gammaln

        shape, rate, log_weight = _grid()
        pairs = np.array(
            [(k, n / _NIGHTS) for k, n in zip(failures, nights, strict=True) if n], dtype=float
        )
        if len(pairs):
            kinds, times = np.unique(pairs, axis=0, return_counts=True)
            k, n = kinds[:, :1], kinds[:, 1:]
            log_weight = log_weight + times @ (
                gammaln(shape + k)
                - gammaln(shape)
                - shape * np.log1p(n / rate)
                - k * np.log(rate + n)
            )
        weight = np.exp(log_weight - log_weight.max())
        counts = weight > _NEGLIGIBLE
        self._shape, self._rate = shape[counts], rate[counts]
        self._weight = weight[counts] / weight[counts].sum()

    def rates(self, failures: Sequence[int], nights: Sequence[int]) -> list[FailureRate]:
        """The rate of each thing, equal things worked once; one without a night is a new one."""
        import numpy as np

        kinds = sorted({(k if n else 0, n) for k, n in zip(failures, nights, strict=True)})
        if not kinds:
            return []
        k = np.array([k for k, _ in kinds], dtype=float)[:, None]
        n = np.array([n / _NIGHTS for _, n in kinds])[:, None]
        mean, low, high = self._summed(self._shape + k, self._rate + n, k[:, 0] > 0)
        place = {pair: at for at, pair in enumerate(kinds)}
        return [
            self._rate_of(k, n, *(float(of[place[k if n else 0, n]]) for of in (mean, low, high)))
            for k, n in zip(failures, nights, strict=True)
        ]

    def whole(self, failures: Sequence[int], nights: Sequence[int]) -> FailureRate:
        """The rate of the system: its things' rates, weighted by their nights.

        At every point of the grid the weighted sum of Gammas is taken as the Gamma with its mean
        and variance.
        """
        import numpy as np

        pairs = [(k, n / _NIGHTS) for k, n in zip(failures, nights, strict=True) if n]
        in_all, failed = sum(nights), sum(failures)
        if not pairs:
            new = self.rates([0], [0])[0]
            return self._rate_of(failed, 0, new.pooled, new.low, new.high)
        k, n = (np.array(part, dtype=float)[:, None] for part in zip(*pairs, strict=True))
        share = n / n.sum()
        mean = (share * (self._shape + k) / (self._rate + n)).sum(0)
        variance = (share**2 * (self._shape + k) / (self._rate + n) ** 2).sum(0)
        shape, rate = (mean**2 / variance)[None, :], (mean / variance)[None, :]
        ends = self._summed(shape, rate, np.array([failed > 0]))
        return self._rate_of(failed, in_all, *(float(of[0]) for of in ends))

    @staticmethod
    def _rate_of(failures: int, nights: int, mean: float, low: float, high: float) -> FailureRate:
        exact_low, exact_high = garwood_interval(failures, nights / _NIGHTS)
        seen = failures * _NIGHTS / nights if nights else None
        if seen is not None and exact_low is not None and exact_high is not None:
            # A record that its system does not explain stands for itself.
            low, high = (low, high) if low <= seen <= high else (exact_low, exact_high)
        return FailureRate(
            nights=nights,
            failures=failures,
            per_100=seen,
            pooled=mean,
            low=low,
            high=high,
            exact_low=exact_low,
            exact_high=exact_high,
        )

    def _summed(
        self, shape: "Floats", rate: "Floats", failed: "NDArray[np.bool_]"
    ) -> "tuple[Floats, Floats, Floats]":
        """Mean and both ends of mixtures of Gammas, one row of components each."""
        import numpy as np

        tail = (1 - LEVEL) / 2
        mean = (shape / rate) @ self._weight
        low = np.zeros(len(mean))
        low[failed] = self._quantile(np.full(failed.sum(), tail), shape[failed], rate[failed])
        return mean, low, self._quantile(np.where(failed, 1 - tail, LEVEL), shape, rate)

    def _quantile(self, share: "Floats", shape: "Floats", rate: "Floats") -> "Floats":
        """By Newton's method on the logarithm, within a bracket that halves where it leaves."""
        import numpy as np
        from scipy.special import gammainc, gammaln

        x = np.log((shape / rate) @ self._weight)
        low, high = np.full(len(x), -90.0), np.full(len(x), 30.0)
        log_constant = shape * np.log(rate) - gammaln(shape)
        open_ = np.arange(len(x))
        for _ in range(_STEPS):
            at, a, b = x[open_], shape[open_], rate[open_]
            value = np.exp(at)[:, None]
            gap = gammainc(a, b * value) @ self._weight - share[open_]
            low[open_] = np.where(gap < 0, at, low[open_])
            high[open_] = np.where(gap < 0, high[open_], at)
            slope = np.exp(log_constant[open_] + a * at[:, None] - b * value) @ self._weight
            step = at - gap / np.maximum(slope, _TINY)
            inside = (step > low[open_]) & (step < high[open_])
            x[open_] = np.where(inside, step, (low[open_] + high[open_]) / 2)
            open_ = open_[np.abs(x[open_] - at) >= _CLOSE]
            if not len(open_):
                break
        quantile: Floats = np.exp(x)
        return quantile
