"""Shares of the members of a group: each its own, pooled within the group, with its interval.

Model: k of n occasions taken, k ~ Binomial(n, p); within a group p ~ Beta(a, b) with mean
a / (a + b) ~ U(0, 1) and log(a + b) ~ N(log 5, 1). Mean and strength are summed over a grid, so
that a member's posterior is a mixture of Betas: no plug-in, and few occasions stay uncertain.
Items of a system and how often each is used are such members.
The empirical Bayes idea is that of Efron & Morris (1977, Scientific American 236(5): 119, from
memory); the full summing over what they plug in is common practice.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from scipy.special import betainc, betaincinv, betaln, expit, logit  # type: ignore[import-untyped]

from .arrays import Array, Codes
from .constants import LEVEL, TAILS
from .estimate import Estimate
from .quantile import mixture_quantiles

STRENGTH_LOG_MEAN = math.log(5)
STRENGTH_LOG_SD = 1.0
_MEANS, _STRENGTHS, _REACH_SD = 20, 17, 3.0
_NEGLIGIBLE = 1e-6
_CLOSE = 1e-6  # on the logit
_TINY = 1e-300


@dataclass(frozen=True, slots=True)
class Rate(Estimate):
    """Share of chances on which a thing is used: posterior mean and interval.

    ``n`` chances, ``used`` of them with a use. ``low`` is 0 where there was no use. ``bare_bound``
    is the one-sided 95 % bound of a never-used thing taken by itself, missing where it was used.
    """

    n: int = 0
    used: int = 0
    bare_bound: float | None = None


def bare_bound(n: int) -> float:
    """The highest rate that n chances without a use leave credible: one-sided 95 %.

    1 - .05^(1/n), about 3/n: the "rule of three" (Hanley & Lippman-Hand 1983, JAMA 249: 1743, from
    memory). 1 where there was no chance.
    """
    return 1 - 0.05 ** (1 / n) if n else 1.0


def chances_to_tell(limit: float) -> int:
    """How many chances without a use bring the bare bound under a limit above 0."""
    if limit >= 1:
        return 1
    n = max(1, math.floor(math.log(0.05) / math.log1p(-limit)) - 1)
    while bare_bound(n) >= limit:
        n += 1
    return n


@cache
def _grid() -> tuple[Array, Array, Array]:
    """Beta parameters a and b, and the logarithm of their prior weight, one entry a grid point.

    Means by Gauss-Legendre, closer together near 0 and 1, where small rates are told apart.
    """
    node, weight = np.polynomial.legendre.leggauss(_MEANS)
    mean, log_mean_weight = (node + 1) / 2, np.log(weight / 2)
    z = np.linspace(-_REACH_SD, _REACH_SD, _STRENGTHS)
    strength, log_strength_weight = np.exp(STRENGTH_LOG_MEAN + STRENGTH_LOG_SD * z), -(z**2) / 2
    a = np.outer(mean, strength).ravel()
    b = np.outer(1 - mean, strength).ravel()
    return a, b, np.add.outer(log_mean_weight, log_strength_weight).ravel()


class Pool:
    """What the items of one system tell together: a posterior over its Beta, on the grid."""

    def __init__(self, used: Sequence[float], n: Sequence[float]) -> None:
        """Take uses and chances of the items, of equal length; items without a chance tell none.

        A chance may count in part, and a use with it.
        """
        a, b, log_weight = _grid()
        told = [pair for pair in zip(used, n, strict=True) if pair[1]]
        kinds, times = np.unique(np.reshape(told, (-1, 2)), axis=0, return_counts=True)
        k, m = kinds[:, :1], kinds[:, 1:]
        log_weight = log_weight + times @ (betaln(a + k, b + m - k) - betaln(a, b))
        self._weigh(log_weight)

    def _weigh(self, log_weight: Array) -> None:
        a, b, _ = _grid()
        weight = np.exp(log_weight - log_weight.max())
        likely = weight > _NEGLIGIBLE
        self._log_weight = log_weight
        self._a, self._b = a[likely], b[likely]
        self._weight = weight[likely] / weight[likely].sum()

    def instead(self, used: int, n: int, then_used: int, then_n: int) -> "Pool":
        """The pool as it would be if one of its items had other uses and chances."""
        a, b, _ = _grid()
        gained = betaln(a + then_used, b + then_n - then_used) - betaln(a + used, b + n - used)
        other = object.__new__(Pool)
        other._weigh(self._log_weight + gained)
        return other

    def mean(self, used: Any, n: Any) -> Array:
        """The posterior mean of items with these uses and chances."""
        a, b = self._betas(used, n)
        means: Array = (a / (a + b)) @ self._weight
        return means

    def quantile(self, share: float, used: Any, n: Any) -> Array:
        """The point below which so large a share of each item's posterior lies.

        Worked on the logit, from the quantile of the Beta with the same mean and variance.
        """
        a, b = self._betas(used, n)
        log_constant = betaln(a, b)

        def below(at: Array, which: Codes) -> tuple[Array, Array]:
            a_, b_ = a[which], b[which]
            log_p, log_q = -np.logaddexp(0, -at)[:, None], -np.logaddexp(0, at)[:, None]
            density = np.exp(a_ * log_p + b_ * log_q - log_constant[which])
            return betainc(a_, b_, expit(at)[:, None]) @ self._weight, density @ self._weight

        mean = (a / (a + b)) @ self._weight
        square = (a * (a + 1) / ((a + b) * (a + b + 1))) @ self._weight
        strength = mean * (1 - mean) / np.maximum(square - mean**2, _TINY) - 1
        start = betaincinv(mean * strength, (1 - mean) * strength, share)
        start = np.clip(logit(np.clip(start, 1e-30, 1 - 1e-15)), -60.0, 30.0)
        quantiles: Array = expit(mixture_quantiles(share, below, start, (-80.0, 40.0), _CLOSE))
        return quantiles

    def draw(
        self,
        rng: np.random.Generator,
        used: Any,
        n: Any,
        size: int,
        own: Sequence[np.random.Generator] | None = None,
    ) -> Array:
        """Draws of the items' rates, one row a draw; the system's Beta is shared within a draw.

        ``own``: a generator for each item, so that its draws do not depend on which others there
        are; by default all are drawn from ``rng``.
        """
        a, b = self._betas(used, n)
        at = rng.choice(len(self._weight), size=size, p=self._weight)
        if own is None:
            return np.clip(rng.beta(a[:, at].T, b[:, at].T), 0, 1)
        every = [
            one.beta(a_[at], b_[at])
            for one, a_, b_ in zip(own, *np.broadcast_arrays(a, b), strict=True)
        ]
        drawn: Array = np.clip(np.stack(every, axis=1), 0, 1)
        return drawn

    def _betas(self, used: Any, n: Any) -> tuple[Array, Array]:
        k, m = (np.atleast_1d(np.asarray(counts, float))[:, None] for counts in (used, n))
        return self._a + k, self._b + (m - k)

    def rates(self, used: Sequence[int], n: Sequence[int]) -> list[Rate]:
        """Mean and interval of each item, equal items worked once."""
        kinds = sorted(set(zip(used, n, strict=True)))
        if not kinds:
            return []
        k, m = zip(*kinds, strict=True)
        low, high = (self.quantile(tail, k, m).tolist() for tail in TAILS)
        by_kind = {
            # From nought up to the upper end: one tail less is left out.
            (k, m): Rate(mean, low, high, LEVEL, m, k)
            if k
            else Rate(mean, 0.0, high, TAILS[1], m, k, bare_bound(m) if m else None)
            for (k, m), mean, low, high in zip(
                kinds, self.mean(k, m).tolist(), low, high, strict=True
            )
        }
        return [by_kind[pair] for pair in zip(used, n, strict=True)]
