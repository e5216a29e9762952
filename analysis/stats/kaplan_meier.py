"""How long things last: Kaplan & Meier's estimate, with Greenwood's variance.

Kaplan & Meier 1958, J Am Stat Assoc 53: 457; the band is Greenwood's on the log(-log) scale
(Kalbfleisch & Prentice 1980), the interval of the median is read off that band (Brookmeyer &
Crowley 1982, Biometrics 38: 29); all from memory.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

LEVEL = 0.90


@dataclass(frozen=True, slots=True)
class Step:
    """A time at which something failed: how many were at risk and failed, and what share is left.

    ``low`` to ``high`` is the 90 % band; missing where nothing is left.
    """

    time: float
    at_risk: int
    failed: int
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
    steps: tuple[Step, ...]
    median: float | None
    median_low: float | None
    median_high: float | None
    level: float = LEVEL
    method: str = "Kaplan-Meier, Greenwood on the log(-log) scale"

    def share_at(self, time: float) -> float:
        """The share that lasts longer than a time."""
        return next((s.share for s in reversed(self.steps) if s.time <= time), 1.0)


def kaplan_meier(times: Sequence[float], failed: Sequence[bool], level: float = LEVEL) -> Survival:
    """The estimate from times to failure, or to where watching ended (``failed`` is false).

    What leaves at a time is at risk at it. Raises ValueError without a time.
    """
    if not times:
        raise ValueError("times: expected at least one, got none")
    z = NormalDist().inv_cdf((1 + level) / 2)
    share, spread = 1.0, 0.0
    steps: list[Step] = []
    pairs = list(zip(times, failed, strict=True))
    for time in sorted({t for t, gone in pairs if gone}):
        at_risk = sum(t >= time for t, _ in pairs)
        gone = sum(t == time and lost for t, lost in pairs)
        share *= (at_risk - gone) / at_risk
        if at_risk > gone:
            spread += gone / (at_risk * (at_risk - gone))
            half = z * math.sqrt(spread) / math.log(share)
            low, high = share ** math.exp(-half), share ** math.exp(half)
        else:
            low = high = None
        steps.append(Step(time, at_risk, gone, share, low, high))
    return Survival(
        n=len(pairs),
        failed=sum(gone for _, gone in pairs),
        longest=max(times),
        steps=tuple(steps),
        median=next((s.time for s in steps if s.share <= 0.5), None),
        median_low=next((s.time for s in steps if s.low is None or s.low <= 0.5), None),
        median_high=next((s.time for s in steps if s.high is None or s.high <= 0.5), None),
        level=level,
    )
