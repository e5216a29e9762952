"""How often a thing is used: one rate per item, pooled within its system, with its interval.

Model: k of n chances used, k ~ Binomial(n, p); within a system p ~ Beta(a, b) with mean
a / (a + b) ~ U(0, 1) and log(a + b) ~ N(log 5, 1). Mean and strength are summed over a grid, so
that an item's posterior is a mixture of Betas: no plug-in, and few chances stay uncertain.
The empirical Bayes idea is that of Efron & Morris (1977, Scientific American 236(5): 119, from
memory); the full summing over what they plug in is common practice.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

LEVEL = 0.90
STRENGTH_LOG_MEAN = math.log(5)
STRENGTH_LOG_SD = 1.0
_MEANS, _STRENGTHS, _REACH_SD = 20, 17, 3.0
_NEGLIGIBLE = 1e-6
_STEPS, _CLOSE, _TINY = 100, 1e-6, 1e-300


@dataclass(frozen=True, slots=True)
class Rate:
    """Share of chances on which a thing is used: posterior mean and 90 % interval.

    ``n`` chances, ``used`` of them with a use. ``low`` is 0 where there was no use. ``bare_bound``
    is the one-sided 95 % bound of a never-used thing taken by itself, missing where it was used.
    """

    n: int
    used: int
    mean: float
    low: float
    high: float
    bare_bound: float | None
    level: float = LEVEL
    method: str = "Beta-binomial, pooled within the system, summed over its two unknowns"


def bare_bound(n: int) -> float:
    """The highest rate that n chances without a use leave credible: one-sided 95 %.

    1 - .05^(1/n), about 3/n: the "rule of three" (Hanley & Lippman-Hand 1983, JAMA 249: 1743, from
    memory). 1 where there was no chance.
    """
    return 1 - 0.05 ** (1 / n) if n else 1.0


def exact_interval(used: int, n: int, level: float = LEVEL) -> tuple[float, float]:
    """A rate's interval from its own record alone, never too short: Clopper & Pearson 1934.

    Biometrika 26: 404 (from memory).
    """
    from scipy.special import betaincinv  # type: ignore[import-untyped]

    tail = (1 - level) / 2
    low = float(betaincinv(used, n - used + 1, tail)) if used else 0.0
    return low, float(betaincinv(used + 1, n - used, 1 - tail)) if used < n else 1.0


def chances_to_tell(limit: float) -> int:
    """How many chances without a use bring the bare bound under a limit above 0."""
    if limit >= 1:
        return 1
    n = max(1, math.floor(math.log(0.05) / math.log1p(-limit)) - 1)
    while bare_bound(n) >= limit:
        n += 1
    return n


@cache
def _grid() -> "tuple[Floats, Floats, Floats]":
    """Beta parameters a and b, and the logarithm of their prior weight, one entry a grid point.

    Means by Gauss-Legendre, closer together near 0 and 1, where small rates are told apart.
    """
    import numpy as np

    node, weight = np.polynomial.legendre.leggauss(_MEANS)
    mean, log_mean_weight = (node + 1) / 2, np.log(weight / 2)
    z = np.linspace(-_REACH_SD, _REACH_SD, _STRENGTHS)
    strength, log_strength_weight = np.exp(STRENGTH_LOG_MEAN + STRENGTH_LOG_SD * z), -(z**2) / 2
    a = np.outer(mean, strength).ravel()
    b = np.outer(1 - mean, strength).ravel()
    return a, b, np.add.outer(log_mean_weight, log_strength_weight).ravel()


class Pool:
    """What the items of one system tell together: a posterior over its Beta, on the grid."""

    def __init__(self, used: Sequence[int], n: Sequence[int]) -> None:
        """Take uses and chances of the items, of equal length; items without a chance tell none."""
        import numpy as np
        from scipy.special import betaln

        a, b, log_weight = _grid()
        pairs = np.array([(k, m) for k, m in zip(used, n, strict=True) if m], dtype=float)
        if len(pairs):
            kinds, times = np.unique(pairs, axis=0, return_counts=True)
            k, m = kinds[:, :1], kinds[:, 1:]
            log_weight = log_weight + times @ (betaln(a + k, b + m - k) - betaln(a, b))
        self._weigh(log_weight)

    def _weigh(self, log_weight: "Floats") -> None:
        import numpy as np

        a, b, _ = _grid()
        weight = np.exp(log_weight - log_weight.max())
        kept = weight > _NEGLIGIBLE
        self._log_weight = log_weight
        self._a, self._b = a[kept], b[kept]
        self._weight = weight[kept] / weight[kept].sum()

    def instead(self, used: int, n: int, then_used: int, then_n: int) -> "Pool":
        """The pool as it would be if one of its items had other uses and chances."""
        from scipy.special import betaln

        a, b, _ = _grid()
        gained = betaln(a + then_used, b + then_n - then_used) - betaln(a + used, b + n - used)
        other = object.__new__(Pool)
        other._weigh(self._log_weight + gained)
        return other

    def mean(self, used: Any, n: Any) -> "Floats":
        """The posterior mean of items with these uses and chances."""
        a, b, _, _ = self._betas(used, n)
        found: Floats = (a / (a + b)) @ self._weight
        return found

    def quantile(self, share: float, used: Any, n: Any) -> "Floats":
        """The point below which so large a share of each item's posterior lies.

        By Newton's method on the logit, from the quantile of the Beta with the same mean and
        variance, within a bracket that halves where a step would leave it.
        """
        import numpy as np
        from scipy.special import betainc, betaincinv, betaln, expit, logit

        a, b, k, _ = self._betas(used, n)
        mean = (a / (a + b)) @ self._weight
        square = (a * (a + 1) / ((a + b) * (a + b + 1))) @ self._weight
        strength = mean * (1 - mean) / np.maximum(square - mean**2, _TINY) - 1
        start = betaincinv(mean * strength, (1 - mean) * strength, share)
        x = np.clip(logit(np.clip(start, 1e-30, 1 - 1e-15)), -60.0, 30.0)
        low, high = np.full(len(k), -80.0), np.full(len(k), 40.0)
        log_constant = betaln(a, b)
        open_ = np.arange(len(k))
        for _ in range(_STEPS):
            at, a_, b_ = x[open_], a[open_], b[open_]
            p = expit(at)
            gap = betainc(a_, b_, p[:, None]) @ self._weight - share
            low[open_] = np.where(gap < 0, at, low[open_])
            high[open_] = np.where(gap < 0, high[open_], at)
            log_p, log_q = -np.logaddexp(0, -at)[:, None], -np.logaddexp(0, at)[:, None]
            slope = np.exp(a_ * log_p + b_ * log_q - log_constant[open_]) @ self._weight
            step = at - gap / np.maximum(slope, _TINY)
            inside = (step > low[open_]) & (step < high[open_])
            x[open_] = np.where(inside, step, (low[open_] + high[open_]) / 2)
            open_ = open_[np.abs(x[open_] - at) >= _CLOSE]
            if not len(open_):
                break
        found: Floats = expit(x)
        return found

    def draw(self, rng: "np.random.Generator", used: Any, n: Any, size: int) -> "Floats":
        """Draws of the items' rates, one row a draw; the system's Beta is shared within a draw."""
        import numpy as np

        a, b, _, _ = self._betas(used, n)
        at = rng.choice(len(self._weight), size=size, p=self._weight)
        drawn: Floats = rng.beta(a[:, at].T, b[:, at].T)
        return np.clip(drawn, 0, 1)

    def _betas(self, used: Any, n: Any) -> "tuple[Floats, Floats, Floats, Floats]":
        import numpy as np

        k, m = np.atleast_1d(np.asarray(used, float)), np.atleast_1d(np.asarray(n, float))
        return self._a + k[:, None], self._b + (m - k)[:, None], k, m

    def rates(self, used: Sequence[int], n: Sequence[int]) -> list[Rate]:
        """Mean and interval of each item, equal items worked once."""
        import numpy as np

        kinds = sorted(set(zip(used, n, strict=True)))
        k, m = [k for k, _ in kinds], [m for _, m in kinds]
        if not kinds:
            return []
        tail = (1 - LEVEL) / 2
        mean, high = self.mean(k, m), self.quantile(1 - tail, k, m)
        some = [place for place, u in enumerate(k) if u]
        low = np.zeros(len(kinds))
        if some:
            low[some] = self.quantile(tail, [k[p] for p in some], [m[p] for p in some])
        by_kind = {
            (u, t): Rate(
                t,
                u,
                float(mean[p]),
                float(low[p]),
                float(high[p]),
                None if u or not t else bare_bound(t),
            )
            for p, (u, t) in enumerate(kinds)
        }
        return [by_kind[pair] for pair in zip(used, n, strict=True)]
