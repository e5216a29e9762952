"""The pooled rate against other ways to the same numbers, and against published values."""

import math

import numpy as np
import pytest
from numpy.polynomial.legendre import leggauss
from scipy import stats
from scipy.integrate import quad
from scipy.special import betainc, betaln
from tarebook.analysis.stats.beta_binomial import Pool, bare_bound, chances_to_tell
from tarebook.analysis.stats.exact_intervals import clopper_pearson

USED, N = [0, 0, 5, 12, 3, 1], [12, 8, 12, 12, 10, 25]


def brute(used: list[int], n: list[int]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Weights over a grid twenty times as dense, by SciPy's betabinom."""
    node, weight = leggauss(200)
    mean = (node + 1) / 2
    z = np.linspace(-5, 5, 301)
    strength = 5 * np.exp(z)
    a, b = np.outer(mean, strength), np.outer(1 - mean, strength)
    log_w = np.log(weight)[:, None] + stats.norm.logpdf(z)[None, :]
    for k, m in zip(used, n, strict=True):
        log_w = log_w + stats.betabinom.logpmf(k, m, a, b)
    w = np.exp(log_w - log_w.max())
    return a.ravel(), b.ravel(), (w / w.sum()).ravel()


@pytest.mark.outside(
    "implementation",
    "SciPy's betabinom, summed over a grid twenty times as dense",
    "means and ends of pooled rates of six things",
)
def test_rates_equal_brute_force_integration() -> None:
    a, b, w = brute(USED, N)
    kept = w > 1e-12
    a, b, w = a[kept], b[kept], w[kept]
    for rate, k, n in zip(Pool(USED, N).rates(USED, N), USED, N, strict=True):
        assert rate.value == pytest.approx(w @ ((a + k) / (a + b + n)), abs=5e-4)
        below = w @ betainc(a + k, b + n - k, rate.high)
        assert below == pytest.approx(0.95, abs=2e-3)
        if k:
            assert w @ betainc(a + k, b + n - k, rate.low) == pytest.approx(0.05, abs=2e-3)
        else:
            assert rate.low == 0
        assert rate.bare_bound == (None if k else bare_bound(n))


def test_one_item_alone_against_a_double_integral() -> None:
    """P(p < x | k, n) with both unknowns integrated by adaptive quadrature, no grid at all."""
    k, n, x = 2, 9, 0.35

    def over_mean(z: float, upto: float | None) -> float:
        s = 5 * math.exp(z)

        def inner(m: float) -> float:
            a, b = m * s, (1 - m) * s
            like = math.exp(betaln(a + k, b + n - k) - betaln(a, b))
            return like * (1 if upto is None else betainc(a + k, b + n - k, upto))

        return stats.norm.pdf(z) * quad(inner, 0, 1, limit=100)[0]

    whole = quad(lambda z: over_mean(z, None), -4, 4, limit=60)[0]
    part = quad(lambda z: over_mean(z, x), -4, 4, limit=60)[0]
    pool = Pool([k], [n])
    assert float(pool.quantile(part / whole, k, n)[0]) == pytest.approx(x, abs=2e-3)


@pytest.mark.outside(
    "implementation",
    "SciPy's betabinom",
    "how likely 3 of 10 are at each point of the grid",
)
def test_the_weights_are_those_of_the_betabinomial() -> None:
    pool = Pool([3], [10])
    a, b, w = pool._a, pool._b, pool._weight
    flat = Pool([], [])
    prior = {(x, y): p for x, y, p in zip(flat._a, flat._b, flat._weight, strict=True)}
    expected = np.array([prior[x, y] for x, y in zip(a, b, strict=True)])
    expected = expected * stats.betabinom.pmf(3, 10, a, b)
    assert w == pytest.approx(expected / expected.sum(), rel=1e-5)


def test_quantiles_are_where_the_mixture_says_whatever_the_counts() -> None:
    rng = np.random.default_rng(11)
    for _ in range(40):
        m = rng.integers(1, 400, 6)
        k = rng.binomial(m, rng.beta(0.3, 0.3))
        pool = Pool(list(k), list(m))
        for share in (0.05, 0.5, 0.95):
            x = pool.quantile(share, k, m)
            a, b = pool._a + k[:, None], pool._b + (m - k)[:, None]
            got = betainc(a, b, x[:, None]) @ pool._weight
            inner = (x > 1e-12) & (x < 1 - 1e-12)
            assert got[inner] == pytest.approx(share, abs=1e-6)


def test_draws_follow_the_posterior() -> None:
    pool = Pool(USED, N)
    drawn = pool.draw(np.random.default_rng(3), USED, N, 20_000)
    assert drawn.mean(axis=0) == pytest.approx(pool.mean(USED, N), abs=0.004)
    for place, rate in enumerate(pool.rates(USED, N)):
        assert (drawn[:, place] <= rate.high).mean() == pytest.approx(0.95, abs=0.006)


@pytest.mark.outside(
    "published",
    "the rule of three (Jovanovic & Levy 1997, Am Stat 51: 137; Hanley & Lippman-Hand 1983, "
    "JAMA 249: 1743)",
    "none of n: about 3/n; 1 - .05^(1/n) is .2589, .0950, .0295 at 10, 30, 100",
)
def test_the_bare_bound() -> None:
    # 1 - .05^(1/n), computed with bc to four digits; the rule is 3/n.
    expected = ((10, 0.2589), (30, 0.0950), (100, 0.0295))
    for n, value in expected:
        assert bare_bound(n) == pytest.approx(value, abs=5e-5)
        assert bare_bound(n) == pytest.approx(3 / n, rel=0.16)
        assert clopper_pearson(0, n, 0.90)[1] == pytest.approx(bare_bound(n), rel=1e-12)
    assert bare_bound(0) == 1.0


def test_how_many_chances_tell() -> None:
    # Limits 1 / (3 x cost): an annoyance from 8 chances, a spoilt night from 26.
    assert chances_to_tell(1 / 3) == 8
    assert chances_to_tell(1 / 9) == 26
    for limit in (0.9, 0.5, 0.25, 1 / 30, 0.01):
        n = chances_to_tell(limit)
        assert bare_bound(n) < limit
        assert n == 1 or bare_bound(n - 1) >= limit


@pytest.mark.outside(
    "published",
    "NIST/SEMATECH e-Handbook of Statistical Methods, exact limits of small samples (7.2.4)",
    "4 of 20 at 90 %: .071354 .401029",
)
@pytest.mark.outside(
    "published",
    "Newcombe 1998, Stat Med 17: 857, table I, method 5, as public tests hold it (R's ratesci)",
    "95 %: 81/263 .2527 .3676, 15/148 .0578 .1617, 0/20 0 .1684, 1/29 .0009 .1776",
)
def test_exact_intervals_against_published_ones() -> None:
    for k, n, low, high in (
        (81, 263, 0.2527, 0.3676),
        (15, 148, 0.0578, 0.1617),
        (0, 20, 0, 0.1684),
        (1, 29, 0.0009, 0.1776),
    ):
        assert clopper_pearson(k, n, 0.95) == pytest.approx((low, high), abs=5e-5)
    # The handbook's are found by trial, so that the last digit is one off.
    assert clopper_pearson(4, 20, 0.90) == pytest.approx((0.071354, 0.401029), abs=1.5e-6)


@pytest.mark.outside(
    "published",
    "R's binom.confint, as statsmodels' own tests hold it (results_proportion), and binom.test",
    "9/24 .1879929 .5940636, 542/3611 at 90 % .1403939 .1602214, 1/1497 at 90 % .0000342635 "
    ".003164954, and all cases of the former",
)
def test_exact_intervals_as_r_prints_them() -> None:
    from statsmodels.stats.tests.results.results_proportion import res_binom, res_binom_methods

    exact = res_binom_methods.index("exact")
    assert len(res_binom) >= 5
    for (k, n), theirs in res_binom.items():
        found = clopper_pearson(k, n, 0.95)
        assert found == pytest.approx((theirs.ci_low[exact], theirs.ci_upp[exact]), abs=1e-7)
    # binom.test itself: 9 of 24; 542 of 3611 and 1 of 1497 at 90 %.
    assert clopper_pearson(9, 24, 0.95) == pytest.approx((0.1879929, 0.5940636), abs=5e-8)
    assert clopper_pearson(542, 3611, 0.90) == pytest.approx((0.1403939, 0.1602214), abs=5e-8)
    assert clopper_pearson(1, 1497, 0.90) == pytest.approx((3.426347e-5, 3.164954e-3), rel=5e-7)


@pytest.mark.outside(
    "implementation",
    "SciPy's binomtest and statsmodels' proportion_confint",
    "240 random counts at 80, 90 and 95 %",
)
def test_exact_intervals_are_those_of_scipy_and_statsmodels() -> None:
    from statsmodels.stats.proportion import proportion_confint

    rng = np.random.default_rng(4)
    for n in (1, 2, 3, 19, 80, 400) * 40:
        k, level = int(rng.integers(0, n + 1)), float(rng.choice([0.8, 0.9, 0.95]))
        ours = clopper_pearson(k, n, level)
        theirs = stats.binomtest(k, n).proportion_ci(level, "exact")
        # SciPy seeks its limits by brentq, which stops within 2e-12 (its default xtol); of all k of
        # these n, at the three levels, none is farther from ours than 5e-13.
        assert ours == pytest.approx((theirs.low, theirs.high), abs=2e-12)
        third = proportion_confint(k, n, 1 - level, "beta")
        assert ours == pytest.approx(tuple(np.nan_to_num(third, nan=k / n)), abs=1e-12)


HITS = (18, 17, 16, 15, 14, 14, 13, 12, 11, 11, 10, 10, 10, 10, 10, 9, 8, 7)


@pytest.mark.outside(
    "published",
    "Efron & Morris 1977, Sci. Am. 236(5): 119",
    "hits of 18 batters in 45: mean .2654, the first's .400 drawn in to .294",
)
def test_pooling_draws_in_extremes_as_the_textbook_case_does() -> None:
    """Eighteen batters' first 45 times at bat; their normal model draws the first to .294."""
    ours = Pool(HITS, [45] * 18).mean(HITS, [45] * 18)
    # Another model and a prior for wider spreads: it draws in less, but always towards the mean.
    assert ours.mean() == pytest.approx(0.2654, abs=0.01)
    assert 0.294 - 0.01 < ours[0] < 0.400
    assert 0.156 < ours[-1] < 0.2654
    assert np.all(np.diff(ours) <= 1e-12)


def test_siblings_tell_and_without_them_a_record_stands_for_itself() -> None:
    alone = Pool([0], [5]).rates([0], [5])[0]
    among_idle = Pool([0, 0, 0, 1], [5, 20, 20, 20]).rates([0], [5])[0]
    among_used = Pool([0, 20, 19, 20], [5, 20, 20, 20]).rates([0], [5])[0]
    assert among_idle.high < alone.high < among_used.high
    nothing = Pool([0, 18, 19], [0, 20, 20]).rates([0], [0])[0]
    assert nothing.value > 0.8, "without a chance of its own, its system's others speak for it"
    assert nothing.bare_bound is None


def test_a_pool_in_which_one_item_had_other_counts() -> None:
    ours = Pool(USED, N).instead(5, 12, 7, 20)
    plain = Pool([0, 0, 7, 12, 3, 1], [12, 8, 20, 12, 10, 25])
    assert ours.quantile(0.95, 7, 20) == pytest.approx(plain.quantile(0.95, 7, 20), abs=1e-6)
    assert ours.mean(0, 12) == pytest.approx(plain.mean(0, 12), abs=1e-9)
