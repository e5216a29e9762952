"""When a falling line reaches a target: the line's band, read sideways.

Fieller 1954, J. R. Stat. Soc. B 16:175: the values of x at which the band of a + b x holds the
target. They form one interval where the slope's own interval leaves out nought (g < 1); otherwise
the band never leaves the target behind, and there is no date to give.
"""

from dataclasses import dataclass
from typing import Literal

from tarebook.analysis.like_for_like import Course


@dataclass(frozen=True, slots=True)
class Ratio:
    """a / b with its interval; without ends where g is 1 or more and the interval is unbounded."""

    value: float
    low: float | None
    high: float | None
    g: float

    @property
    def bounded(self) -> bool:
        """Whether the interval has ends."""
        return self.low is not None


def fieller(
    a: float, b: float, var_a: float, var_b: float, covariance: float, critical: float
) -> Ratio:
    """The ratio a / b by Fieller's theorem; critical is the quantile of the normal or t law.

    Raises ZeroDivisionError where b is 0.
    """
    square = critical * critical
    g = square * var_b / (b * b)
    if g >= 1:
        return Ratio(a / b, None, None, g)
    lead = b * b - square * var_b
    middle = a * b - square * covariance
    root = max(middle * middle - lead * (a * a - square * var_a), 0.0) ** 0.5
    return Ratio(a / b, (middle - root) / lead, (middle + root) / lead, g)


@dataclass(frozen=True, slots=True)
class Target:
    """When base weight reaches a target, in years as the trips' starts are.

    ``state``: reached (the line is there already at the last trip), on_the_way (``when`` with its
    ends), or not_at_this_rate (the slope's interval reaches nought, or the weight rises).
    ``now_g`` is the line at the last trip.
    """

    target_g: float
    state: Literal["reached", "on_the_way", "not_at_this_rate"]
    now_g: float
    when: float | None = None
    earliest: float | None = None
    latest: float | None = None


def reach(course: Course, target_g: float, last: float) -> Target:
    """When the line reaches the target; ``last`` is the start of the last trip, in years."""
    now = course.at(last).value
    if now <= target_g:
        return Target(target_g, "reached", now)
    here = course.row(last)
    step = tuple(float(i == 0) for i in range(len(here)))
    slope = course.line.at(step)
    if slope.high >= 0:
        return Target(target_g, "not_at_this_rate", now)
    ratio = fieller(
        now - target_g,
        -slope.value,
        course.line.covariance(here, here),
        course.line.covariance(step, step),
        -course.line.covariance(here, step),
        course.line.critical(),
    )
    if ratio.low is None or ratio.high is None:
        return Target(target_g, "not_at_this_rate", now)
    return Target(
        target_g, "on_the_way", now, last + ratio.value, last + ratio.low, last + ratio.high
    )
