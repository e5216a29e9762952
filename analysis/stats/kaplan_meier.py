"""How long things last: Kaplan & Meier's estimate, with Greenwood's variance.

Kaplan & Meier 1958, J Am Stat Assoc 53: 457; the band is Greenwood's on the log(-log) scale
(Kalbfleisch & Prentice 1980), the interval of the median is read off that band (Brookmeyer &
Crowley 1982, Biometrics 38: 29); all from memory. Curve and band are SciPy's.
"""

import warnings
from collections.abc import Sequence
from dataclasses import dataclass

from .constants import LEVEL

_HALF = 0.5 + 1e-12
"""Half, but for the rounding of a product of shares."""


@dataclass(frozen=True, slots=True)
class SurvivalStep:
    """A time at which something failed, and what share is left.

    ``low`` to ``high`` is the 90 % band; missing where nothing is left.
    """

    time: float
    share: float
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class Survival:
    """The share of ``n`` things that lasts so long; ``longest`` is the longest time watched.

    ``median`` is the time at which half are gone, missing where it is not reached; so are the ends
    of its interval.
    """

    n: int
    failed: int
    longest: float
    steps: tuple[SurvivalStep, ...]
    median: float | None
    median_low: float | None
    median_high: float | None

    @property
    def share_left(self) -> float:
        """The share that lasts longer than the longest time watched."""
        return self.steps[-1].share if self.steps else 1.0


def kaplan_meier(times: Sequence[float], failed: Sequence[bool], level: float = LEVEL) -> Survival:
    """The estimate from times to failure, or to where watching ended (``failed`` is false).

    What leaves at a time is at risk at it. Raises ValueError without a time.
    """
    if not times:
        raise ValueError("times: expected at least one, got none")
    import numpy as np
    from scipy.stats import CensoredData, ecdf  # type: ignore[import-untyped]

    lost = [t for t, gone in zip(times, failed, strict=True) if gone]
    still_in_use = [t for t, gone in zip(times, failed, strict=True) if not gone]
    curve = ecdf(CensoredData(uncensored=lost, right=still_in_use)).sf
    with warnings.catch_warnings():
        # Before the first failure and where nothing is left there is no band.
        warnings.simplefilter("ignore", RuntimeWarning)
        band = curve.confidence_interval(level, method="log-log")
    shares = (curve.probabilities, band.low.probabilities, band.high.probabilities)
    rows = zip(curve.quantiles.tolist(), np.transpose(shares).tolist(), strict=True)
    steps = tuple(
        SurvivalStep(time, share, *(ends if share else (None, None)))
        for time, (share, *ends) in rows
        if time in set(lost)
    )
    return Survival(
        n=len(times),
        failed=len(lost),
        longest=max(times),
        steps=steps,
        median=next((s.time for s in steps if s.share <= _HALF), None),
        median_low=next((s.time for s in steps if s.low is None or s.low <= _HALF), None),
        median_high=next((s.time for s in steps if s.high is None or s.high <= _HALF), None),
    )
