"""How often a thing fails: failures per 100 nights, pooled within its system and exact.

The numerics are `stats.gamma_poisson`'s. Within a system the rates are Gamma with mean m per 100
nights and a shape, log m ~ N(log .7, 1.5), log shape ~ N(log 1.5, .8); no published source.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ..stats.constants import LEVEL
from ..stats.estimate import Estimate
from ..stats.exact_intervals import garwood
from ..stats.gamma_poisson import GammaPool, GammaPrior

_NIGHTS = 100
FEWEST_NIGHTS = 20
"""Under so many nights carried no rate and no bound is shown: after one night a bare bound would be
300 in 100."""
FEWEST_KM = 200
"""Under so many km no rate per 1000 km is shown."""
TOO_FEW_NIGHTS = "too few nights to tell"
PRIOR = GammaPrior(math.log(0.7), 1.5, math.log(1.5), 0.8)


@dataclass(frozen=True, slots=True)
class FailureRate(Estimate):
    """Failures per 100 nights carried, of which there are ``n``, pooled within the system.

    ``exact`` is what was seen, with the thing's own 90 % interval, missing without a night; that is
    ``low`` to ``high``, too, where the pooled one would leave out what was seen. Whether there are
    nights ``enough`` to show any of it is said apart.
    """

    n: int = 0
    failures: int = 0
    exact: Estimate | None = None

    @property
    def nights(self) -> int:
        """Nights carried."""
        return self.n

    @property
    def enough(self) -> bool:
        """Whether there are nights enough to tell."""
        return self.nights >= FEWEST_NIGHTS


class FailurePool:
    """What the things of one system tell together, from failures and nights of each."""

    def __init__(self, failures: Sequence[int], nights: Sequence[int]) -> None:
        """Take counts and nights of the things; those without a night tell nothing."""
        self.pool = GammaPool(PRIOR, failures, _hundreds(nights))

    def rates(self, failures: Sequence[int], nights: Sequence[int]) -> list[FailureRate]:
        """The rate of each thing; one without a night is a new one."""
        pooled = self.pool.rates(failures, _hundreds(nights))
        return [_rate_of(*of_one) for of_one in zip(pooled, failures, nights, strict=True)]

    def whole(self, failures: Sequence[int], nights: Sequence[int]) -> FailureRate:
        """The rate of the system: its things' rates, weighted by their nights."""
        pooled = self.pool.whole(failures, _hundreds(nights))
        return _rate_of(pooled, sum(failures), sum(nights))


def _hundreds(nights: Sequence[int]) -> list[float]:
    return [n / _NIGHTS for n in nights]


def _rate_of(pooled: Estimate, failures: int, nights: int) -> FailureRate:
    exact = garwood(failures, nights, per=_NIGHTS)
    ends = pooled
    if exact is not None and not pooled.low <= exact.value <= pooled.high:
        ends = exact  # a record that its system does not explain stands for itself
    return FailureRate(pooled.value, ends.low, ends.high, LEVEL, nights, failures, exact)
