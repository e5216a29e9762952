"""Intervals from a record alone, at least as sure as they say: of a share, and of a rate."""

from scipy.special import betaincinv, gammaincinv  # type: ignore[import-untyped]

from .constants import LEVEL
from .estimate import Estimate


def clopper_pearson(hits: int, n: int, level: float = LEVEL) -> tuple[float, float]:
    """Of a share of which ``hits`` of n were seen: Clopper & Pearson 1934, Biometrika 26: 404.

    From memory; SciPy's `binomtest(...).proportion_ci(method="exact")` finds the same by trial.
    """
    tail = (1 - level) / 2
    low = float(betaincinv(hits, n - hits + 1, tail)) if hits else 0.0
    return low, float(betaincinv(hits + 1, n - hits, 1 - tail)) if hits < n else 1.0


def garwood(events: int, exposure: float, level: float = LEVEL, *, per: int = 1) -> Estimate | None:
    """The events seen, as a Poisson rate: Garwood 1936, Biometrika 28: 437 (from memory).

    ``per`` so much exposure; missing where there was none.
    """
    if not exposure > 0:
        return None
    tail, units = (1 - level) / 2, exposure / per
    low = float(gammaincinv(events, tail)) / units if events else 0.0
    high = float(gammaincinv(events + 1, 1 - tail)) / units
    return Estimate(events * per / exposure, low, high, level)
