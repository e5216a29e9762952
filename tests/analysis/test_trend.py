"""Theil-Sen, Mann-Kendall and seasonal Kendall by published rules and other implementations."""

import math
from itertools import permutations

import numpy as np
import pymannkendall
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import kendalltau, theilslopes
from tarebook.analysis.stats.rank_trend import mann_kendall, seasonal_kendall, theil_sen

TEN = (1, 3, 2, 5, 4, 7, 6, 9, 8, 10)
SEASONS = ((1, 2, 3), (2, 2, 5), (4, 3, 6), (5, 6, 9))


def by_season(rows: tuple[tuple[int, ...], ...]) -> list[tuple[str, int, float]]:
    return [(f"s{j}", i, float(v)) for i, row in enumerate(rows) for j, v in enumerate(row)]


@pytest.mark.outside(
    "implementation",
    "pymannkendall 1.4.3 (original_test) and SciPy (theilslopes)",
    "1 3 2 5 4 7 6 9 8 10: S 37, variance 125, z 3.21994, p .0012822; slope 1, 95 % .7143 to 1.2",
)
def test_ten_values_worked_beforehand() -> None:
    theirs = pymannkendall.original_test(TEN)
    assert (theirs.s, theirs.var_s) == (37, 125)
    test = mann_kendall(range(10), TEN, exact=False)
    assert test is not None
    assert (test.s, test.variance, test.method) == (37, 125, "normal")
    assert test.z == pytest.approx(3.21994, abs=5e-6)
    assert test.p == pytest.approx(0.0012822, abs=5e-8)
    slope = theil_sen(range(10), TEN, 0.95)
    assert slope is not None
    assert (slope.value, slope.high) == (1, 1.2)
    assert slope.low == pytest.approx(0.7143, abs=5e-5)


@pytest.mark.outside(
    "implementation",
    "pymannkendall 1.4.3 (seasonal_test)",
    "three seasons of four years: S 17, variance 25, z 3.2, p .00137426, slope 1.5",
)
def test_three_seasons_of_four_years_worked_beforehand() -> None:
    theirs = pymannkendall.seasonal_test(np.array(SEASONS).ravel(), period=3)
    assert (theirs.s, theirs.var_s, theirs.slope) == (17, 25, 1.5)
    found = seasonal_kendall(by_season(SEASONS))
    assert found is not None
    assert (found.test.s, found.test.variance, found.test.z) == (17, 25, 3.2)
    assert found.test.p == pytest.approx(0.00137426, abs=5e-8)
    assert (found.slope.value, found.seasons) == (1.5, 3)


@pytest.mark.outside(
    "published",
    "R's statpsych, documentation of ci.theil (Hollander & Wolfe 1999)",
    "fifteen pairs with ties: slope .5, 95 % .3243243 to .75",
)
def test_a_slope_with_ties_and_its_interval_as_documented() -> None:
    y = (21, 4, 9, 12, 35, 18, 10, 22, 24, 1, 6, 8, 13, 16, 19)
    x = (67, 28, 30, 28, 52, 40, 25, 37, 44, 10, 14, 20, 28, 40, 51)
    slope = theil_sen(x, y, 0.95)
    assert slope is not None
    assert (slope.value, slope.high) == (0.5, 0.75)
    assert slope.low == pytest.approx(0.3243243, abs=5e-8)


@pytest.mark.outside(
    "published",
    "R's cor.test, its example (Hollander & Wolfe 1973)",
    "nine pairs: T 26 of 36, tau .4444444, exact p .1194",
)
def test_nine_pairs_by_the_exact_law_as_documented() -> None:
    x = (44.4, 45.9, 41.9, 53.3, 44.7, 44.1, 50.7, 45.2, 60.1)
    y = (2.6, 3.1, 2.5, 5.0, 3.6, 4.0, 5.2, 2.8, 3.8)
    test = mann_kendall(x, y)
    assert test is not None
    # 26 pairs that agree of 36: S is 16, tau .4444444.
    assert (test.s, test.method) == (16, "exact")
    assert test.p == pytest.approx(0.1194, abs=5e-5)


@pytest.mark.outside(
    "memory",
    "Helsel & Hirsch, Statistical Methods in Water Resources, ch. 10, from memory",
    "1 2 3 4 5 16 7: slope 1, least squares 1.714",
)
def test_one_wild_value_does_not_bend_the_slope() -> None:
    x, y = range(1, 8), (1, 2, 3, 4, 5, 16, 7)
    slope = theil_sen(x, y)
    assert slope is not None
    assert slope.value == 1
    assert np.polyfit(x, y, 1)[0] == pytest.approx(1.714, abs=5e-4)


_few = st.integers(0, 8).map(float)
_pairs = st.lists(st.tuples(st.integers(0, 25).map(float), _few), min_size=4, max_size=30)


@pytest.mark.outside(
    "implementation",
    "SciPy's theilslopes",
    "slope and interval of random pairs with ties",
)
@settings(max_examples=80)
@given(_pairs, st.sampled_from((0.8, 0.9, 0.95)))
def test_theil_sen_is_that_of_scipy_with_ties_of_dates_and_weights(
    pairs: list[tuple[float, float]], confidence: float
) -> None:
    x, y = zip(*pairs, strict=True)
    ours = theil_sen(x, y, confidence)
    if len(set(x)) == 1:
        assert ours is None
        return
    with np.errstate(invalid="ignore"):
        theirs = theilslopes(y, x, confidence)
    assert ours is not None
    if math.isnan(theirs.low_slope):  # so many ties that SciPy's variance falls below nought
        assert ours.low <= ours.value <= ours.high
        return
    assert (ours.value, ours.low, ours.high) == pytest.approx(
        (theirs.slope, theirs.low_slope, theirs.high_slope), abs=1e-12
    )
    value, low, high = ours.at(ours.centre_x + 1)
    assert low <= value <= high
    assert value == pytest.approx(theirs.intercept + theirs.slope * (ours.centre_x + 1), abs=1e-9)


@pytest.mark.outside(
    "implementation",
    "pymannkendall's original_test",
    "S, variance and p of random series with ties",
)
@settings(max_examples=80)
@given(st.lists(_few, min_size=4, max_size=40))
def test_mann_kendall_is_that_of_pymannkendall_with_ties(values: list[float]) -> None:
    ours = mann_kendall(range(len(values)), values, exact=False)
    theirs = pymannkendall.original_test(values)
    assert ours is not None
    assert (ours.s, ours.variance) == pytest.approx((theirs.s, theirs.var_s))
    assert ours.p == pytest.approx(theirs.p)


@pytest.mark.outside(
    "implementation",
    "SciPy's kendalltau, asymptotic",
    "the variance where dates and weights are tied",
)
@settings(max_examples=60)
@given(_pairs)
def test_ties_of_both_are_in_the_variance_as_scipy_has_it(
    pairs: list[tuple[float, float]],
) -> None:
    x, y = zip(*pairs, strict=True)
    ours = mann_kendall(x, y, exact=False)
    assert ours is not None
    if len(set(x)) == 1 or len(set(y)) == 1:
        assert ours.p == 1
        return
    # SciPy makes no continuity correction.
    p = math.erfc(abs(ours.s) / math.sqrt(2 * ours.variance))
    assert p == pytest.approx(kendalltau(x, y, method="asymptotic").pvalue)


@pytest.mark.outside(
    "implementation",
    "pymannkendall's seasonal_test",
    "S, variance, slope and p of random seasons",
)
@settings(max_examples=60)
@given(st.lists(st.lists(_few, min_size=3, max_size=3), min_size=3, max_size=9))
def test_seasonal_kendall_is_that_of_pymannkendall(rows: list[list[float]]) -> None:
    ours = seasonal_kendall([(f"s{j}", i, v) for i, r in enumerate(rows) for j, v in enumerate(r)])
    theirs = pymannkendall.seasonal_test(np.array(rows).ravel(), period=3)
    assert ours is not None
    assert (ours.test.s, ours.test.variance) == pytest.approx((theirs.s, theirs.var_s))
    assert ours.slope.value == pytest.approx(theirs.slope)
    if ours.test.method == "normal":
        assert ours.test.p == pytest.approx(theirs.p)


@pytest.mark.parametrize("n", [4, 5, 6, 7])
def test_the_exact_p_is_that_of_all_orders(n: int) -> None:
    scores = [
        sum(np.sign(b - a) for i, a in enumerate(order) for b in order[i + 1 :])
        for order in permutations(range(n))
    ]
    for order in list(permutations(range(n)))[:: max(1, math.factorial(n) // 60)]:
        found = mann_kendall(range(n), order)
        assert found is not None
        assert found.method == "exact"
        far = sum(abs(s) >= abs(found.s) for s in scores)
        assert found.p == pytest.approx(far / len(scores))


@pytest.mark.outside(
    "implementation",
    "SciPy's kendalltau, exact",
    "exact p of 280 random orders of 4 to 10",
)
def test_the_exact_p_up_to_ten_is_that_of_scipy() -> None:
    rng = np.random.default_rng(8)
    for n in (4, 5, 6, 7, 8, 9, 10) * 40:
        y = rng.permutation(n).astype(float)
        found = mann_kendall(range(n), y.tolist())
        assert found is not None
        assert found.p == pytest.approx(kendalltau(range(n), y, method="exact").pvalue)


def test_the_exact_p_of_seasons_is_that_of_all_orders_of_each() -> None:
    found = seasonal_kendall(by_season(((1, 3, 6), (2, 1, 4), (3, 2, 5))))
    assert found is not None
    assert (found.test.method, found.test.n) == ("exact", 9)
    one = [
        sum(np.sign(b - a) for i, a in enumerate(o) for b in o[i + 1 :])
        for o in permutations(range(3))
    ]
    sums = [a + b + c for a in one for b in one for c in one]
    far = sum(abs(s) >= abs(found.test.s) for s in sums)
    assert found.test.p == pytest.approx(far / len(sums))


def test_eleven_values_or_ties_take_the_normal_law() -> None:
    eleven, tied = mann_kendall(range(11), range(11)), mann_kendall(range(5), (1, 2, 2, 3, 4))
    assert eleven is not None
    assert tied is not None
    assert eleven.method == tied.method == "normal"


@pytest.mark.parametrize("n", range(4))
def test_under_four_values_there_is_nothing_to_say(n: int) -> None:
    assert theil_sen(range(n), range(n)) is None
    assert mann_kendall(range(n), range(n)) is None
    assert seasonal_kendall([("summer", year, 1.0) for year in range(n)]) is None


def test_the_interval_of_four_values_holds_eleven_times_in_twelve() -> None:
    """With four values the 90 % interval is all six slopes: exact cover 1 - 2/24."""
    held = 0
    orders = list(permutations((0.0, 1.0, 3.0, 7.0)))
    for order in orders:
        slope = theil_sen(range(4), order)
        assert slope is not None
        held += slope.low <= 0 <= slope.high
    assert held / len(orders) == pytest.approx(22 / 24)


def test_seasons_with_one_year_and_medians_of_several_trips() -> None:
    values = [
        ("summer", 2024, 5.0),
        ("summer", 2024, 9.0),
        ("summer", 2024, 6.0),
        ("summer", 2025, 5.0),
        ("winter", 2024, 9.0),
        ("spring", 2025, 1.0),
        ("spring", 2027, 0.0),
    ]
    found = seasonal_kendall(values)
    assert found is not None
    assert (found.test.n, found.seasons) == (4, 2)
    assert found.slope.value == pytest.approx((-1.0 - 0.5) / 2)
    # Gaps of years count as years.
    assert (found.slope.low, found.slope.high) == (-1.0, -0.5)


def test_weights_that_never_change_have_no_trend() -> None:
    slope, test = theil_sen(range(8), [5.0] * 8), mann_kendall(range(8), [5.0] * 8)
    assert slope is not None
    assert test is not None
    assert (slope.value, slope.low, slope.high) == (0, 0, 0)
    assert (test.s, test.p) == (0, 1)
