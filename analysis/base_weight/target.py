"""When a falling line reaches a target: the line's band, read sideways.

The ends are the days on which the band's lower and upper edge meet the target; for a single error
process that is the interval of Fieller 1954, J. R. Stat. Soc. B 16:175. Nothing is read beyond as
many years as the log is long: so far ahead a straight line is a guess. And a base weight shows on
trips only, so an interval is at least as long as trips are apart.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from .like_for_like import Course

SHORTEST_INTERVAL_YEARS = 31 / 365.25


@dataclass(frozen=True, slots=True)
class Target:
    """When base weight reaches a target, in years as the trips' starts are.

    ``state``: reached (the line is there already at the last trip), on_the_way (``when`` with its
    ends), beyond (later than as many years as the log is long) or not_at_this_rate (the slope's
    interval reaches nought, or the weight rises). ``now_g`` is the line at the last trip.
    ``earliest`` is not before the last trip; ``latest`` is None where it lies beyond.
    """

    target_g: float
    state: Literal["reached", "on_the_way", "beyond", "not_at_this_rate"]
    now_g: float
    when: float | None = None
    earliest: float | None = None
    latest: float | None = None


def reach(course: Course, target_g: float, first: float, last: float, trips: int) -> Target:
    """When the line reaches the target; first and last are the starts of those trips, in years."""
    now = course.at(last).value
    if now <= target_g:
        return Target(target_g, "reached", now)
    slope = course.line.coefficient(0)
    if slope.high >= 0:
        return Target(target_g, "not_at_this_rate", now)
    horizon = last + (last - first)
    when = last + (now - target_g) / -slope.value
    if when > horizon:
        return Target(target_g, "beyond", now)
    least = max((last - first) / max(trips - 1, 1), SHORTEST_INTERVAL_YEARS) / 2
    earliest = _falls_to(lambda t: course.at(t).low, target_g, last, when)
    latest = None
    if when + least <= horizon and course.at(horizon).high <= target_g:
        latest = max(_falls_to(lambda t: course.at(t).high, target_g, when, horizon), when + least)
    return Target(target_g, "on_the_way", now, when, min(earliest, when - least), latest)


def _falls_to(edge: Callable[[float], float], target_g: float, low: float, high: float) -> float:
    """Where a falling edge meets the target; low where it lies under it there already."""
    from scipy.optimize import brentq  # type: ignore[import-untyped]

    if edge(low) <= target_g or edge(high) >= target_g:
        return low if edge(low) <= target_g else high
    return float(brentq(lambda t: edge(t) - target_g, low, high))
