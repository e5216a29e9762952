"""Intervals from a record alone, at least as sure as they say: of a share, and of a rate."""

from scipy.special import betaincinv, gammaincinv  # type: ignore[import-untyped]

from .constants import LEVEL


def clopper_pearson(hits: int, n: int, level: float = LEVEL) -> tuple[float, float]:
    """Of a share of which ``hits`` of n were seen: Clopper & Pearson 1934, Biometrika 26: 404.

    From memory; SciPy's `binomtest(...).proportion_ci(method="exact")` finds the same by trial.
    """
    tail = (1 - level) / 2
    low = float(betaincinv(hits, n - hits + 1, tail)) if hits else 0.0
    return low, float(betaincinv(hits + 1, n - hits, 1 - tail)) if hits < n else 1.0


def garwood(
    events: int, exposure: float, level: float = LEVEL
) -> tuple[float, float] | tuple[None, None]:
    """Of a Poisson rate of which so many events were seen: Garwood 1936, Biometrika 28: 437.

    From memory. ``exposure`` in the unit the rate is of; both ends are missing where it is 0.
    """
    if not exposure > 0:
        return None, None
    tail = (1 - level) / 2
    low = float(gammaincinv(events, tail)) / exposure if events else 0.0
    return low, float(gammaincinv(events + 1, 1 - tail)) / exposure
