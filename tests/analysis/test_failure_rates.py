"""Failure rates against published intervals, a second computation, and truths that are known."""

import numpy as np
import pytest
from failure_worlds import WORLDS, covered, mean_and_error, simulate
from scipy.stats import chi2, gamma, nbinom, poisson
from tarebook.analysis.stats.exact_intervals import garwood
from tarebook.analysis.wear.rates import FailurePool

LOGBOOKS = 60


@pytest.mark.outside(
    "published",
    "exact limits of a Poisson count, Garwood 1936, Biometrika 28: 437; as R's epitools "
    "(pois.exact) prints 0 and tables have 10",
    "95 %: 0: 0 3.6889, 1: .0253 5.5716, 5: 1.6235 11.6683, 10: 4.7954 18.3904",
)
@pytest.mark.parametrize(
    ("failures", "low", "high"),
    [(0, 0, 3.6889), (1, 0.0253, 5.5716), (5, 1.6235, 11.6683), (10, 4.7954, 18.3904)],
)
def test_exact_limits_are_the_published_ones(failures: int, low: float, high: float) -> None:
    exact = garwood(failures, 1.0, 0.95)
    assert (exact.value, exact.low, exact.high) == pytest.approx((failures, low, high), abs=5e-5)


@pytest.mark.outside(
    "published",
    "R's poisson.test, as a course's notes print it (Statistical Inference, Johns Hopkins)",
    "5 in 94.32: .01721254 .12371005",
)
def test_exact_limits_of_a_rate_as_r_prints_them() -> None:
    exact = garwood(5, 94.32, 0.95)
    assert exact is not None
    assert (exact.low, exact.high) == pytest.approx((0.01721254, 0.12371005), abs=5e-9)


@pytest.mark.outside(
    "implementation",
    "SciPy's poisson: as many or fewer at the upper end, as many or more at the lower one",
    "90 %: 0: 0 2.9957, 1: .0513 4.7439, 5: 1.9701 10.5130, 10: 5.4254 16.9622",
)
@pytest.mark.parametrize(
    ("failures", "low", "high"),
    [(0, 0, 2.9957), (1, 0.0513, 4.7439), (5, 1.9701, 10.5130), (10, 5.4254, 16.9622)],
)
def test_exact_limits_at_nine_in_ten_leave_a_twentieth_on_either_side(
    failures: int, low: float, high: float
) -> None:
    exact = garwood(failures, 1.0)
    assert exact is not None
    assert (exact.low, exact.high) == pytest.approx((low, high), abs=6e-5)
    assert poisson.cdf(failures, exact.high) == pytest.approx(0.05, abs=1e-12)
    if failures:
        assert poisson.sf(failures - 1, exact.low) == pytest.approx(0.05, abs=1e-12)


@pytest.mark.outside(
    "implementation",
    "SciPy's chi2",
    "1 to 11 failures at 90 %",
)
def test_exact_limits_are_those_of_chi_squared() -> None:
    for k in range(1, 12):
        ends = chi2.ppf(0.05, 2 * k) / 2, chi2.ppf(0.95, 2 * k + 2) / 2
        exact = garwood(k, 2.5)
        assert (exact.low, exact.high) == pytest.approx(tuple(e / 2.5 for e in ends), rel=1e-9)
    assert garwood(3, 0.0) is None


def by_brute_force(
    failures: list[int], nights: list[int], of: int, top: float = 0.95
) -> tuple[float, float, float]:
    """Mean and both ends for one thing on a finer grid, rate by rate, by summing densities."""
    mean = np.exp(np.log(0.7) + 1.5 * np.linspace(-5, 5, 161))
    shape = np.exp(np.log(1.5) + 0.8 * np.linspace(-5, 5, 61))
    m, a = (x.ravel() for x in np.meshgrid(mean, shape, indexing="ij"))
    prior = np.add.outer(-(np.linspace(-5, 5, 161) ** 2) / 2, -(np.linspace(-5, 5, 61) ** 2) / 2)
    log_weight = prior.ravel()
    for k, n in zip(failures, nights, strict=True):
        rate = a / m
        log_weight = log_weight + nbinom.logpmf(k, a, rate / (rate + n / 100))
    weight = np.exp(log_weight - log_weight.max())
    kept = weight > 1e-9
    weight, a, m = weight[kept] / weight[kept].sum(), a[kept], m[kept]
    k, n = failures[of], nights[of] / 100
    x = np.exp(np.linspace(np.log(1e-6), np.log(1e3), 4001))
    below = sum(
        w * gamma.cdf(x, s + k, scale=1 / (s / t + n)) for w, s, t in zip(weight, a, m, strict=True)
    )
    average = float((weight * (a + k) / (a / m + n)).sum())
    return average, float(np.interp(0.05, below, x)), float(np.interp(top, below, x))


@pytest.mark.outside(
    "implementation",
    "SciPy's nbinom and gamma, summed over a finer grid",
    "means and ends of pooled rates of four things",
)
def test_pooled_rates_equal_those_of_a_second_computation() -> None:
    failures, nights = [0, 3, 1, 0], [40, 68, 12, 0]
    found = FailurePool(failures, nights).rates(failures, nights)
    for of in (1, 2):
        mean, low, high = by_brute_force(failures, nights, of)
        assert found[of].value == pytest.approx(mean, rel=2e-3)
        assert (found[of].low, found[of].high) == pytest.approx((low, high), rel=4e-3)
    never = found[0]  # nothing failed: 90 % lie under its upper end
    assert never.low == 0
    assert never.high == pytest.approx(by_brute_force(failures, nights, 0, 0.9)[2], rel=4e-3)
    assert never.exact.value == 0
    new = found[3]
    assert new.exact is None
    assert new.high > never.high


def test_a_system_is_the_weighted_sum_of_its_things() -> None:
    # Against draws: the moment-matched sum of Gammas is good to a few per cent.
    failures, nights = [2, 0, 1], [60, 20, 45]
    whole = FailurePool(failures, nights)
    pool = whole.pool
    rng = np.random.default_rng(1)
    at = rng.choice(len(pool.weight), size=40_000, p=pool.weight)
    drawn = sum(
        n * rng.gamma(pool.shape[at] + k, 1 / (pool.rate[at] + n / 100))
        for k, n in zip(failures, nights, strict=True)
    ) / sum(nights)
    found = whole.whole(failures, nights)
    assert found.value == pytest.approx(drawn.mean(), rel=0.02)
    assert (found.low, found.high) == pytest.approx(
        tuple(np.quantile(drawn, (0.05, 0.95))), rel=0.04
    )
    assert (found.failures, found.nights) == (3, 125)
    assert found.exact.value == pytest.approx(2.4)


def test_pooling_draws_towards_the_system() -> None:
    calm, rough = FailurePool([0] * 6, [60] * 6), FailurePool([4] * 6, [60] * 6)
    assert calm.rates([1], [10])[0].value < rough.rates([1], [10])[0].value
    assert calm.rates([0], [60])[0].high < garwood(0, 0.6).high


@pytest.mark.parametrize("trips", [12, 40])
@pytest.mark.parametrize("world", WORLDS)
def test_intervals_are_as_wide_as_they_say(world: str, trips: int) -> None:
    # Pooled 87 to 93 %, exact at least 90 %; tests/benchmarks/bench_failures.py prints the whole.
    rng = np.random.default_rng(trips)
    found = [covered(simulate(world, trips, rng)) for _ in range(LOGBOOKS)]
    pooled, exact, whole = (mean_and_error([f[i] for f in found]) for i in range(3))
    assert 0.87 - 2 * pooled[1] < pooled[0] < 0.93 + 2 * pooled[1], pooled
    assert exact[0] > 0.90 - 2 * exact[1], exact
    assert 0.87 - 2 * whole[1] < whole[0] < 0.93 + 2 * whole[1], whole
