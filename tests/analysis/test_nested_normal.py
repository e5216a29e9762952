"""The level behind values in groups, against the joint normal law of all values at once."""

import math

import numpy as np
import pytest
from scipy import stats
from tarebook.analysis.stats.nested_normal import nested_normal

GROUPS = [[0.31, 0.12, 0.44], [-0.05], [0.6, 0.72], [0.2, -0.1, 0.15, 0.4]]
CENTRE, SPREAD, GROUP, WITHIN = 0.1, 0.4, 0.3, 0.5


@pytest.mark.outside(
    "implementation",
    "SciPy's multivariate_normal and halfnorm, at every pair of spreads (the model: Gelman et "
    "al., Bayesian Data Analysis, 3rd ed., 5.4)",
    "how likely each pair of spreads is after ten values in four groups",
)
def test_weights_and_level_are_those_of_the_joint_normal_law() -> None:
    # All values are jointly normal given the spreads; the level by regression on them.
    fit = nested_normal(GROUPS, CENTRE, SPREAD, GROUP, WITHIN)
    values = np.concatenate(GROUPS)
    of = np.repeat(np.arange(len(GROUPS)), [len(group) for group in GROUPS])
    log_weights = []
    for at in range(len(fit.weights)):
        s_group, s_within = fit.group_sds[at], fit.within_sds[at]
        law = SPREAD**2 + s_group**2 * (of[:, None] == of) + s_within**2 * np.eye(len(of))
        log_weights.append(
            stats.multivariate_normal(np.full(len(of), CENTRE), law).logpdf(values)
            + stats.halfnorm(scale=GROUP).logpdf(s_group)
            + stats.halfnorm(scale=WITHIN).logpdf(s_within)
            # The points lie evenly on the logarithm of either spread.
            + np.log(s_group * s_within)
        )
        pull = np.linalg.solve(law, np.full(len(of), SPREAD**2))
        assert fit.means[at] == pytest.approx(CENTRE + pull @ (values - CENTRE), rel=1e-9)
        assert fit.variances[at] == pytest.approx(SPREAD**2 - pull.sum() * SPREAD**2, rel=1e-6)
    expected = np.exp(np.array(log_weights) - max(log_weights))
    assert fit.weights == pytest.approx(expected / expected.sum(), rel=1e-8, abs=1e-14)
    assert (fit.values, fit.groups) == (10, 4)


def test_without_a_group_it_is_the_prior() -> None:
    fit = nested_normal([], CENTRE, SPREAD, GROUP, WITHIN)
    assert fit.prior_share == pytest.approx(1)
    level, within = fit.draw(np.random.default_rng(1), 200_000)
    # Variances add: of a half-normal of scale s the mean square is s^2.
    assert np.mean(level) == pytest.approx(CENTRE, abs=4 * np.std(level) / 200_000**0.5)
    assert np.std(level) == pytest.approx((SPREAD**2 + GROUP**2) ** 0.5, rel=0.02)
    assert np.mean(within**2) == pytest.approx(WITHIN**2, rel=0.03)


def test_intervals_of_a_new_group_hold_nine_in_ten() -> None:
    # Levels and spreads are drawn from the prior, so that the promise is exact; the bounds are
    # three standard errors of 400 trials: 3 * sqrt(.9 * .1 / 400) = .045.
    rng = np.random.default_rng(20)
    held = 0
    for _ in range(400):
        level = rng.normal(CENTRE, SPREAD)
        s_group, s_within = abs(rng.normal(0, (GROUP, WITHIN)))

        days = [4, 1, 5, 2, 1]
        trips = [
            level + rng.normal(0, s_group) + rng.normal(0, s_within, number) for number in days
        ]
        *past, new = (list(trip) for trip in trips)
        fit = nested_normal(past, CENTRE, SPREAD, GROUP, WITHIN)
        levels, within = fit.draw(rng, 3000)
        low, high = np.quantile(levels + within * rng.standard_normal(3000), (0.05, 0.95))
        held += low <= new[0] <= high
    assert 0.855 <= held / 400 <= 0.945


def test_more_days_leave_less_to_the_prior() -> None:
    rng = np.random.default_rng(5)
    groups = [list(rng.normal(0.5, 0.1, 4)) for _ in range(20)]
    shares = [
        nested_normal(groups[:n], CENTRE, SPREAD, GROUP, WITHIN).prior_share for n in (0, 2, 6, 20)
    ]
    assert shares == sorted(shares, reverse=True)
    assert shares[-1] < 0.05


def test_values_that_hardly_differ_have_the_spread_they_have() -> None:
    """Nine days within 2 % of each other: the total of four days of a new trip, 5 to 95 %.

    Second computation: importance sampling, spreads from their priors, the level from its law given
    the spreads, 2 million draws weighted by the likelihood of the values.
    """
    values = [math.log(wh / 300) for wh in (270, 280, 290)]
    fit = nested_normal([values] * 3, math.log(0.8), 0.4, 0.3, 0.5)
    rng = np.random.default_rng(7)
    levels, within = fit.draw(rng, 200_000)
    days = levels[:, None] + within[:, None] * rng.standard_normal((200_000, 4))
    low, high = np.quantile(300 * np.exp(days).sum(1), (0.05, 0.95))

    size = 2_000_000
    s_group, s_within = abs(rng.normal(0, 0.3, size)), abs(rng.normal(0, 0.5, size))
    level, squares = np.mean(values), 9 * float(np.var(values))
    # Nine alike days in three groups: the sums of squares are all that the values tell.
    of_mean = s_group**2 / 3 + s_within**2 / 9
    a = rng.normal(level, np.sqrt(of_mean))
    log_weight = (
        -0.5 * ((a - math.log(0.8)) / 0.4) ** 2
        - 6 * np.log(s_within)
        - 0.5 * squares / s_within**2
        - np.log(s_group**2 + s_within**2 / 3)
    )
    weight = np.exp(log_weight - log_weight.max())
    assert weight.sum() ** 2 / (weight**2).sum() > 2000, "enough draws count"
    at = rng.choice(size, 200_000, p=weight / weight.sum())
    new = a[at] + s_group[at] * rng.standard_normal(200_000)
    drawn = new[:, None] + s_within[at][:, None] * rng.standard_normal((200_000, 4))
    expected = np.quantile(300 * np.exp(drawn).sum(1), (0.05, 0.95))
    assert (low, high) == pytest.approx(tuple(expected), rel=0.01)
