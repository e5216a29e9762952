"""Chances over a row of nights: worked values, a second implementation, simulation."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import multivariate_normal, norm
from tarebook.analysis.stats.ar1_chain import any_below, mean_spread
from tarebook.analysis.stats.quantile import normal_density

TABLE = [
    # nights, threshold in standard deviations, AR(1) with .68, independent: worked beforehand by
    # integrating the multivariate normal distribution, to five places.
    (3, -1.5, 0.14168, 0.18733),
    (3, -2.0, 0.05317, 0.06671),
    (3, -3.0, 0.00360, 0.00404),
    (7, -1.5, 0.26235, 0.38369),
    (7, -2.0, 0.10731, 0.14878),
]


@pytest.mark.parametrize(("nights", "threshold", "alike", "independent"), TABLE)
def test_the_worked_values(nights: int, threshold: float, alike: float, independent: float) -> None:
    assert round(any_below([threshold] * nights), 4) == round(alike, 4)
    assert any_below([threshold] * nights) == pytest.approx(alike, abs=6e-6)
    assert any_below([threshold] * nights, 0.0) == pytest.approx(independent, abs=6e-6)
    product = 1 - (1 - norm.cdf(threshold)) ** nights
    assert any_below([threshold] * nights, 0.0) == pytest.approx(product, abs=1e-12)


def chain(nights: int, draws: int, correlation: float, seed: int) -> np.ndarray:
    rng = np.random.default_rng(seed)
    steps = rng.standard_normal((draws, nights))
    found = steps.copy()
    for k in range(1, nights):
        found[:, k] = correlation * found[:, k - 1] + np.sqrt(1 - correlation**2) * steps[:, k]
    return found


@pytest.mark.parametrize(("nights", "threshold"), [(3, -1.5), (3, -2.0), (7, -1.5), (7, -2.0)])
def test_a_simulation_of_a_million_agrees(nights: int, threshold: float) -> None:
    draws = 1_000_000
    share = (chain(nights, draws, 0.68, seed=nights) < threshold).any(axis=1).mean()
    error = np.sqrt(share * (1 - share) / draws)
    found = any_below([threshold] * nights)
    print(f"{nights} nights under {threshold}: {found:.5f}, simulated {share:.5f} ± {error:.5f}")
    assert abs(found - share) < 4 * error


@pytest.mark.outside(
    "implementation",
    "SciPy's multivariate_normal",
    "the chance of any of one to five nights under thresholds, six correlations",
)
@pytest.mark.parametrize("correlation", [0.0, 0.3, 0.6, 0.68, 0.75, 0.9])
@pytest.mark.parametrize(
    "thresholds", [[-1.2], [0.4, -0.7], [-1.5, -1.2, -2.2], [-2, 1, -3, -0.5, -1.1]]
)
def test_scipy_integrates_to_the_same(thresholds: list[float], correlation: float) -> None:
    n = len(thresholds)
    like = correlation ** abs(np.subtract.outer(range(n), range(n)))
    # P(all above) of a symmetric distribution is P(all below the negated thresholds).
    all_above = multivariate_normal(np.zeros(n), like, maxpts=2_000_000, abseps=1e-7).cdf(
        [-t for t in thresholds]
    )
    assert any_below(thresholds, correlation) == pytest.approx(1 - all_above, abs=2e-5)


thresholds = st.lists(st.floats(-4, 4), min_size=1, max_size=8)


@settings(max_examples=25)
@given(thresholds)
def test_alike_nights_are_safer_than_independent_ones_and_riskier_than_the_worst(
    given_: list[float],
) -> None:
    # Slepian's inequality: the more alike, the smaller the chance of any.
    chances = [any_below(given_, c) for c in (0.0, 0.6, 0.68, 0.75, 0.9)]
    assert all(a >= b - 1e-9 for a, b in itertools.pairwise(chances))
    assert chances[-1] >= max(norm.cdf(t) for t in given_) - 1e-9
    assert all(0 <= c <= 1 for c in chances)


def test_ends() -> None:
    assert any_below([]) == 0.0
    assert any_below([-60.0, -40.0]) == pytest.approx(0.0, abs=1e-12)
    assert any_below([-60.0, 12.0]) == 1.0
    assert any_below([-2.0, float("-1e6")]) == pytest.approx(norm.cdf(-2.0), abs=1e-10)
    assert any_below([-2.0] * 400) < 1
    with pytest.raises(ValueError, match="expected 0 to less than 1"):
        any_below([0.0], 1.0)


@pytest.mark.outside(
    "implementation",
    "SciPy's norm",
    "the normal density from -8 to 8",
)
def test_the_density_is_scipys() -> None:
    deviations = np.linspace(-8, 8, 161)
    assert normal_density(deviations) == pytest.approx(norm.pdf(deviations), rel=1e-12)


def test_the_mean_of_alike_nights_strays_farther_than_that_of_independent_ones() -> None:
    # Two nights of spread 3: variance (9 + 9 + 2 x .68 x 9) / 4.
    assert mean_spread([3.0, 3.0], [1, 2]) == pytest.approx(np.sqrt(9 * (2 + 1.36) / 4))
    assert mean_spread([3.0, 3.0], [1, 4]) == pytest.approx(np.sqrt(9 * (2 + 2 * 0.68**3) / 4))
    found = chain(5, 200_000, 0.68, seed=1).mean(axis=1).std()
    assert mean_spread([1.0] * 5, list(range(5))) == pytest.approx(found, rel=0.01)
    assert mean_spread([4.0], [0]) == 4.0
