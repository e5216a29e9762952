"""Trends that no single odd value can bend: Theil-Sen, Mann-Kendall, seasonal Kendall.

Sources: Helsel, Hirsch, Ryberg, Archfield & Gilroy 2020, Statistical Methods in Water Resources,
USGS Techniques and Methods 4-A3, chapters 10 and 12; Sen 1968, J. Am. Stat. Assoc. 63:1379;
Hirsch, Slack & Smith 1982, Water Resour. Res. 18:107; Kendall 1975, Rank Correlation Methods. All
three take the values to be independent of each other once the trend is known.

Where values belong to groups that are no one quantity (ways of travelling), each is compared
within its own group only: pairs, scores and variances are summed over the groups, as seasonal
Kendall does. SciPy and pymannkendall know no such groups; without them the numbers are theirs.
"""

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from statistics import median
from typing import Literal

import numpy as np
from scipy.special import ndtr, ndtri  # type: ignore[import-untyped]

from .arrays import Array
from .constants import LEVEL
from .estimate import Estimate

FEWEST_VALUES = 4
"""Values from which there is a test at all: of three, chance gives any order once in six."""
EXACT_UP_TO = 10
_FEWEST_ORDERS = 20
"""Orders of the values from which a 90 % interval has ends: 2 of 20 are one in ten."""
_Group = tuple[list[float], list[float]]
"""x and y of the values that are compared with each other."""


@dataclass(frozen=True, slots=True)
class Slope(Estimate):
    """A median slope, y per x, with its interval, and the line through the middle of the points.

    ``centre_x`` and ``centre_y`` are the medians of x and y, through which the line is drawn.
    """

    centre_x: float = 0.0
    centre_y: float = 0.0

    def at(self, x: float) -> tuple[float, float, float]:
        """The line at x, and the lowest and highest of the lines that the interval allows."""
        ends = [self.centre_y + slope * (x - self.centre_x) for slope in (self.low, self.high)]
        return self.centre_y + self.value * (x - self.centre_x), min(ends), max(ends)


@dataclass(frozen=True, slots=True)
class KendallTest:
    """A test of no trend: Kendall's S, its variance, and the two-sided p.

    ``z`` is S with its continuity correction over its standard deviation; ``method`` says where p
    is from: exact, counted over all orders, or normal, from z.
    """

    s: int
    variance: float
    z: float
    p: float
    n: int
    method: Literal["exact", "normal"]


@dataclass(frozen=True, slots=True)
class SeasonalKendall:
    """Seasonal Kendall test, with the median slope of all pairs within a season.

    ``seasons`` counts those with two years or more; only they can tell anything.
    """

    test: KendallTest
    slope: Estimate
    seasons: int


def theil_sen(
    x: Sequence[float],
    y: Sequence[float],
    level: float = LEVEL,
    groups: Sequence[str] | None = None,
) -> Slope | None:
    """The median of all pairwise slopes, with the ranks of ``scipy.stats.theilslopes``.

    groups: the group of each value; only pairs within one are counted. None under four values, or
    where all x are alike.
    """
    parts = _grouped(x, y, groups)
    slope = _median_slope(parts, level) if parts else None
    if slope is None:
        return None
    return Slope(slope.value, slope.low, slope.high, level, slope.n, median(x), median(y))


def mann_kendall(
    x: Sequence[float],
    y: Sequence[float],
    *,
    exact: bool | None = None,
    groups: Sequence[str] | None = None,
) -> KendallTest | None:
    """Test that y neither rises nor falls with x.

    exact: None counts all orders of up to ten values without ties, and takes the normal
    approximation with ties and beyond; True or False ask for the one or the other. Ties of both x
    and y are in the variance (Kendall 1975). groups: as in `theil_sen`. None under four values.
    """
    parts = _grouped(x, y, groups)
    return _tested(parts, exact) if parts else None


def seasonal_kendall(
    values: Iterable[tuple[str, int, float]], level: float = LEVEL
) -> SeasonalKendall | None:
    """Test for a trend that all seasons share, each compared with itself only.

    values: season, year, value; several values of one season and year count as their median. Slopes
    are per year. The seasons are taken as independent of each other (Hirsch, Slack & Smith 1982);
    the form that allows for their dependence (Hirsch & Slack 1984) wants some ten years of values.
    None where fewer than four values stand in seasons that have two years or more.
    """
    by_season: dict[str, dict[int, list[float]]] = {}
    for season, year, value in values:
        by_season.setdefault(season, {}).setdefault(year, []).append(value)
    parts: list[_Group] = [
        ([float(year) for year in sorted(years)], [float(median(years[y])) for y in sorted(years)])
        for _, years in sorted(by_season.items())
        if len(years) > 1
    ]
    slope = _median_slope(parts, level) if _values(parts) >= FEWEST_VALUES else None
    return None if slope is None else SeasonalKendall(_tested(parts, None), slope, len(parts))


def _grouped(
    x: Sequence[float], y: Sequence[float], groups: Sequence[str] | None
) -> list[_Group] | None:
    """The values of each group that has two or more; None where all of them are too few."""
    names = ["" for _ in x] if groups is None else list(groups)
    by_name: dict[str, _Group] = {}
    for at, value, name in zip(x, y, names, strict=True):
        group = by_name.setdefault(name, ([], []))
        group[0].append(at)
        group[1].append(value)
    parts = [group for _, group in sorted(by_name.items()) if len(group[0]) > 1]
    orders = math.prod(math.factorial(min(len(at), FEWEST_VALUES)) for at, _ in parts)
    return parts if _values(parts) >= FEWEST_VALUES and orders >= _FEWEST_ORDERS else None


def _values(parts: Sequence[_Group]) -> int:
    return sum(len(at) for at, _ in parts)


def _steps(part: _Group) -> tuple[Array, Array]:
    """Differences of x and of y, of all pairs."""
    one, other = np.triu_indices(len(part[0]), 1)
    at, value = (np.asarray(side, float) for side in part)
    return at[other] - at[one], value[other] - value[one]


def _median_slope(parts: Sequence[_Group], level: float) -> Estimate | None:
    """The ends are the slopes of the ranks between which the true one lies, as SciPy rounds them.

    None where all x of each group are alike.
    """
    steps = [_steps(part) for part in parts]
    slopes = np.sort(np.concatenate([rise[run != 0] / run[run != 0] for run, rise in steps]))
    count = slopes.size
    if not count:
        return None
    half = float(ndtri((1 + level) / 2)) * math.sqrt(sum(map(_spread, parts)))
    upper = min(round(float(np.round((count + half) / 2))), count - 1)
    lower = max(round(float(np.round((count - half) / 2))) - 1, 0)
    value, low, high = np.median(slopes), slopes[lower], slopes[upper]
    return Estimate(float(value), float(low), float(high), level, _values(parts))


def _ties(values: Sequence[float]) -> list[int]:
    return [count for count in Counter(values).values() if count > 1]


def _cubes(counts: Iterable[int]) -> int:
    return sum(t * (t - 1) * (2 * t + 5) for t in counts)


def _spread(part: _Group) -> float:
    """Variance of S as SciPy's slopes take it, without ties of both.

    So many of them may take it below nought that they must be counted together.
    """
    of_x, of_y = map(_ties, part)
    variance = (_cubes([len(part[0])]) - _cubes(of_x) - _cubes(of_y)) / 18
    return variance if variance >= 0 else max(_variance(part), 0.0)


def _variance(part: _Group) -> float:
    """Variance of S with ties of x, of y and of both (Kendall 1975)."""
    n, ties = len(part[0]), [_ties(side) for side in part]
    variance = (_cubes([n]) - _cubes(ties[0]) - _cubes(ties[1])) / 18
    if n > 2:
        pairs = math.prod(sum(t * (t - 1) for t in side) for side in ties)
        triples = math.prod(sum(t * (t - 1) * (t - 2) for t in side) for side in ties)
        variance += pairs / (2 * n * (n - 1)) + triples / (9 * n * (n - 1) * (n - 2))
    return variance


def _tested(parts: Sequence[_Group], exact: bool | None) -> KendallTest:
    n, variance = _values(parts), sum(map(_variance, parts))
    s = sum(int((np.sign(run) * np.sign(rise)).sum()) for run, rise in map(_steps, parts))
    z = 0.0 if not s or variance <= 0 else (s - math.copysign(1, s)) / math.sqrt(variance)
    if exact is None:
        exact = n <= EXACT_UP_TO and not any(_ties(side) for part in parts for side in part)
    if not exact:
        return KendallTest(s, variance, z, min(1.0, 2 * float(ndtr(-abs(z)))), n, "normal")
    ways = _orders(tuple(sorted(len(at) for at, _ in parts)))
    scores = len(ways) - 1 - 2 * np.arange(len(ways))
    p = float(ways[np.abs(scores) >= abs(s)].sum() / ways.sum())
    return KendallTest(s, variance, z, p, n, "exact")


@cache
def _orders(sizes: tuple[int, ...]) -> Array:
    """How many orders of untied values have 0, 1, ... falling pairs, in several groups together.

    The k-th value placed among the others makes 0 to k - 1 of its pairs fall, the rest rise.
    """
    ways: Array = np.ones(1)
    for size in sizes:
        for k in range(2, size + 1):
            ways = np.convolve(ways, np.ones(k))
    return ways
