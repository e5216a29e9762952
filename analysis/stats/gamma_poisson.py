"""How often a thing happens: one rate per thing, pooled within its group, with its interval.

Model: k events in an exposure n, k ~ Poisson(n x rate); within a group the rates are Gamma with a
mean and a shape whose logarithms are normal. Both are summed over a grid, so that a thing's
posterior is a mixture of Gammas: no plug-in, and little exposure stays uncertain. Pooling of
Poisson rates through a Gamma is common practice (Gaver & O'Muircheartaigh 1987, Technometrics
29: 1, from memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from scipy.special import gammainc, gammaln  # type: ignore[import-untyped]

from .arrays import Array, Codes, Flags
from .constants import LEVEL, TAILS
from .estimate import Estimate
from .quantile import mixture_quantiles

_MEANS, _SHAPES, _REACH_SD = 45, 15, 4.0
_NEGLIGIBLE = 1e-7
_CLOSE = 1e-7  # on the logarithm


@dataclass(frozen=True, slots=True)
class GammaPrior:
    """What is known of a group's Gamma beforehand, on the logarithm: of its mean and its shape."""

    mean_log: float
    mean_log_sd: float
    shape_log: float
    shape_log_sd: float


@cache
def _grid(prior: GammaPrior) -> tuple[Array, Array, Array]:
    """Shape and rate of the Gamma, and the logarithm of their prior weight, one entry a point."""
    z = np.linspace(-_REACH_SD, _REACH_SD, _MEANS)
    y = np.linspace(-_REACH_SD, _REACH_SD, _SHAPES)
    mean = np.exp(prior.mean_log + prior.mean_log_sd * z)
    shape = np.exp(prior.shape_log + prior.shape_log_sd * y)
    log_weight = np.add.outer(-(z**2) / 2, -(y**2) / 2)
    shapes = np.broadcast_to(shape, log_weight.shape)
    return shapes.ravel(), (shapes / mean[:, None]).ravel(), log_weight.ravel()


class GammaPool:
    """What the things of one group tell together: a posterior over its Gamma, on the grid.

    Events and exposures are of equal length; a thing without exposure tells nothing. An interval
    lies between tails of 5 % each, and where there was no event goes from 0 to what 90 % lies
    under.
    """

    def __init__(
        self, prior: GammaPrior, events: Sequence[int], exposures: Sequence[float]
    ) -> None:
        """Take the record of the things."""
        shape, rate, log_weight = _grid(prior)
        told = [pair for pair in zip(events, exposures, strict=True) if pair[1]]
        kinds, times = np.unique(np.reshape(told, (-1, 2)), axis=0, return_counts=True)
        k, n = kinds[:, :1], kinds[:, 1:]
        seen = gammaln(shape + k) - gammaln(shape) - shape * np.log1p(n / rate)
        log_weight = log_weight + times @ (seen - k * np.log(rate + n))
        weight = np.exp(log_weight - log_weight.max())
        likely = weight > _NEGLIGIBLE
        self.shape, self.rate = shape[likely], rate[likely]
        self.weight = weight[likely] / weight[likely].sum()

    def rates(self, events: Sequence[int], exposures: Sequence[float]) -> list[Estimate]:
        """The rate of each thing, equal things worked once; one without exposure is a new one."""
        wanted = [(k if n else 0, n) for k, n in zip(events, exposures, strict=True)]
        kinds = sorted(set(wanted))
        if not kinds:
            return []
        k, n = (np.array(part, dtype=float)[:, None] for part in zip(*kinds, strict=True))
        rates = self._summed(self.shape + k, self.rate + n, k[:, 0] > 0)
        of_kind = dict(zip(kinds, rates, strict=True))
        return [of_kind[pair] for pair in wanted]

    def whole(self, events: Sequence[int], exposures: Sequence[float]) -> Estimate:
        """The rate of the group: its things' rates, weighted by their exposure.

        At every point of the grid the weighted sum of Gammas is taken as the Gamma with its mean
        and variance. Without exposure it is that of a new thing.
        """
        pairs = [pair for pair in zip(events, exposures, strict=True) if pair[1]]
        if not pairs:
            return self.rates([0], [0])[0]
        k, n = (np.array(part, dtype=float)[:, None] for part in zip(*pairs, strict=True))
        share = n / n.sum()
        mean = (share * (self.shape + k) / (self.rate + n)).sum(0)
        variance = (share**2 * (self.shape + k) / (self.rate + n) ** 2).sum(0)
        shape, rate = (mean**2 / variance)[None, :], (mean / variance)[None, :]
        return self._summed(shape, rate, np.array([sum(events) > 0]))[0]

    def _summed(self, shape: Array, rate: Array, happened: Flags) -> list[Estimate]:
        """Mean and both ends of mixtures of Gammas, one row of components each."""
        mean, low = (shape / rate) @ self.weight, np.zeros(len(shape))
        low[happened] = self._quantile(TAILS[0], shape[happened], rate[happened])
        high = self._quantile(np.where(happened, TAILS[1], LEVEL), shape, rate)
        ends = zip(mean.tolist(), low.tolist(), high.tolist(), strict=True)
        return [Estimate(*of_one, LEVEL) for of_one in ends]

    def _quantile(self, share: float | Array, shape: Array, rate: Array) -> Array:
        log_constant = shape * np.log(rate) - gammaln(shape)

        def below(at: Array, which: Codes) -> tuple[Array, Array]:
            a, b, value = shape[which], rate[which], np.exp(at)[:, None]
            density = np.exp(log_constant[which] + a * at[:, None] - b * value)
            return gammainc(a, b * value) @ self.weight, density @ self.weight

        start = np.log((shape / rate) @ self.weight)
        return np.exp(mixture_quantiles(share, below, start, (-90.0, 30.0), _CLOSE))
