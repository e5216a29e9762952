"""Trends that no single odd value can bend: Theil-Sen, Mann-Kendall, seasonal Kendall.

Sources: Helsel, Hirsch, Ryberg, Archfield & Gilroy 2020, Statistical Methods in Water Resources,
USGS Techniques and Methods 4-A3, chapters 10 and 12; Sen 1968, J. Am. Stat. Assoc. 63:1379;
Hirsch, Slack & Smith 1982, Water Resour. Res. 18:107; Kendall 1975, Rank Correlation Methods. All
three take the values to be independent of each other once the trend is known.

Where values belong to groups that are no one quantity (ways of travelling), each is compared
within its own group only: pairs, scores and variances are summed over the groups, as seasonal
Kendall does.
"""

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations
from statistics import NormalDist, median
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from numpy.typing import NDArray

CONFIDENCE = 0.9
FEWEST = 4
"""Values from which there is a test at all: of three, chance gives any order once in six."""
EXACT_UP_TO = 10
_FEWEST_ORDERS = 20
"""Orders of the values from which a 90 % interval has ends: 2 of 20 are one in ten."""


@dataclass(frozen=True, slots=True)
class Slope:
    """A median slope, y per x, with its interval, and the line through the middle of the points.

    ``centre_x`` and ``centre_y`` are the medians of x and y, through which the line is drawn.
    """

    value: float
    low: float
    high: float
    n: int
    centre_x: float
    centre_y: float

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
    """Seasonal Kendall test, with the median slope of all pairs within a season and its interval.

    ``seasons`` counts those with two years or more; only they can tell anything.
    """

    test: KendallTest
    slope: float
    low: float
    high: float
    seasons: int


def theil_sen(
    x: Sequence[float],
    y: Sequence[float],
    confidence: float = CONFIDENCE,
    groups: Sequence[str] | None = None,
) -> Slope | None:
    """The median of all pairwise slopes, with the ranks of ``scipy.stats.theilslopes``.

    groups: the group of each value; only pairs within one are counted. None under four values, or
    where all x are alike.
    """
    import numpy as np

    parts = _grouped(x, y, groups)
    if parts is None:
        return None
    slopes, spread = [], 0.0
    for at, value in parts:
        one, other = np.triu_indices(len(at), 1)
        step = np.asarray(at)[other] - np.asarray(at)[one]
        apart = step != 0
        slopes.append((np.asarray(value)[other] - np.asarray(value)[one])[apart] / step[apart])
        ties = _ties(at), _ties(value)
        own = (_cubes([len(at)]) - _cubes(ties[0]) - _cubes(ties[1])) / 18
        # So many ties of both may go below nought that they must be counted together.
        spread += own if own >= 0 else max(_variance(len(at), *ties), 0.0)
    every = np.sort(np.concatenate(slopes))
    if not every.size:
        return None
    low, high = _ranked(every, math.sqrt(spread), confidence)
    n = sum(len(at) for at, _ in parts)
    return Slope(float(np.median(every)), low, high, n, median(x), median(y))


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
    if parts is None:
        return None
    sizes = [len(at) for at, _ in parts]
    n, s, variance, tied = sum(sizes), 0, 0.0, False
    for at, value in parts:
        ties_x, ties_y = _ties(at), _ties(value)
        s += _score(at, value)
        variance += _variance(len(at), ties_x, ties_y)
        tied = tied or bool(ties_x or ties_y)
    if exact is None:
        exact = n <= EXACT_UP_TO and not tied
    return _tested(s, variance, n, sizes if exact else None)


def _grouped(
    x: Sequence[float], y: Sequence[float], groups: Sequence[str] | None
) -> list[tuple[list[float], list[float]]] | None:
    """The values of each group that has two or more; None where all of them are too few."""
    names = ["" for _ in x] if groups is None else list(groups)
    parts: dict[str, tuple[list[float], list[float]]] = {}
    for at, value, name in zip(x, y, names, strict=True):
        part = parts.setdefault(name, ([], []))
        part[0].append(at)
        part[1].append(value)
    several = [part for _, part in sorted(parts.items()) if len(part[0]) > 1]
    if sum(len(at) for at, _ in several) < FEWEST:
        return None
    orders = math.prod(math.factorial(min(len(at), FEWEST)) for at, _ in several)
    return several if orders >= _FEWEST_ORDERS else None


def seasonal_kendall(
    values: Iterable[tuple[str, int, float]], confidence: float = CONFIDENCE
) -> SeasonalKendall | None:
    """Test for a trend that all seasons share, each compared with itself only.

    values: season, year, value; several values of one season and year count as their median. Slopes
    are per year. The seasons are taken as independent of each other (Hirsch, Slack & Smith 1982);
    the form that allows for their dependence (Hirsch & Slack 1984) wants some ten years of values.
    None where fewer than four values stand in seasons that have two years or more.
    """
    import numpy as np

    told = [by_year for by_year in _medians(values).values() if len(by_year) > 1]
    n = sum(map(len, told))
    if n < FEWEST:
        return None
    s, variance, slopes, tied = 0, 0.0, [], False
    for by_year in told:
        years, found = list(by_year), list(by_year.values())
        ties = _ties(found)
        tied = tied or bool(ties)
        s += _score(years, found)
        variance += _variance(len(years), [], ties)
        slopes += [
            (later - earlier) / (year - before)
            for (before, earlier), (year, later) in combinations(by_year.items(), 2)
        ]
    exact = n <= EXACT_UP_TO and not tied
    test = _tested(s, variance, n, [len(by_year) for by_year in told] if exact else None)
    low, high = _ranked(np.sort(np.array(slopes)), math.sqrt(variance), confidence)
    return SeasonalKendall(test, median(slopes), low, high, len(told))


def _medians(values: Iterable[tuple[str, int, float]]) -> Mapping[str, dict[int, float]]:
    gathered: dict[str, dict[int, list[float]]] = {}
    for season, year, value in values:
        gathered.setdefault(season, {}).setdefault(year, []).append(value)
    return {
        season: {year: float(median(by_year[year])) for year in sorted(by_year)}
        for season, by_year in sorted(gathered.items())
    }


def _score(x: Sequence[float], y: Sequence[float]) -> int:
    """Pairs that rise less pairs that fall; pairs tied in either count for nothing."""
    import numpy as np

    one, other = np.triu_indices(len(x), 1)
    at, value = np.asarray(x, float), np.asarray(y, float)
    return int((np.sign(at[other] - at[one]) * np.sign(value[other] - value[one])).sum())


def _ties(values: Sequence[float]) -> list[int]:
    return [count for count in Counter(values).values() if count > 1]


def _cubes(counts: Iterable[int]) -> int:
    return sum(t * (t - 1) * (2 * t + 5) for t in counts)


def _variance(n: int, ties_x: Sequence[int], ties_y: Sequence[int]) -> float:
    found = (_cubes([n]) - _cubes(ties_x) - _cubes(ties_y)) / 18
    pairs = [sum(t * (t - 1) for t in ties) for ties in (ties_x, ties_y)]
    triples = [sum(t * (t - 1) * (t - 2) for t in ties) for ties in (ties_x, ties_y)]
    if n > 2:
        found += pairs[0] * pairs[1] / (2 * n * (n - 1))
        found += triples[0] * triples[1] / (9 * n * (n - 1) * (n - 2))
    return found


def _tested(s: int, variance: float, n: int, exact: Sequence[int] | None) -> KendallTest:
    """exact: the sizes of the groups whose orders are counted; None takes the normal law."""
    z = 0.0 if not s or variance <= 0 else (s - math.copysign(1, s)) / math.sqrt(variance)
    if exact is None:
        p = min(1.0, 2 * NormalDist().cdf(-abs(z)))
        return KendallTest(s, variance, z, p, n, "normal")
    ways = _orders(tuple(sorted(exact)))
    far = sum(count for score, count in ways if abs(score) >= abs(s))
    return KendallTest(s, variance, z, far / sum(c for _, c in ways), n, "exact")


@cache
def _orders(sizes: tuple[int, ...]) -> tuple[tuple[int, int], ...]:
    """How many orders of untied values give each S, for several groups added up.

    The k-th value placed among the others makes 0 to k - 1 of its pairs fall, the rest rise.
    """
    ways = Counter({0: 1})
    for size in sizes:
        for others in range(1, size):
            grown: Counter[int] = Counter()
            for score, count in ways.items():
                for falling in range(others + 1):
                    grown[score + others - 2 * falling] += count
            ways = grown
    return tuple(sorted(ways.items()))


def _ranked(slopes: "NDArray[Any]", sigma: float, confidence: float) -> tuple[float, float]:
    """The slopes between which the true one lies, by their ranks; as SciPy rounds them."""
    import numpy as np

    half = NormalDist().inv_cdf((1 + confidence) / 2) * sigma
    count = len(slopes)
    upper = min(round(float(np.round((count + half) / 2))), count - 1)
    lower = max(round(float(np.round((count - half) / 2))) - 1, 0)
    return float(slopes[lower]), float(slopes[upper])
