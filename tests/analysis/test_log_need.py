"""The need a day: against lifelines' censored fit, a plain sum over a dense box, and simulation."""

import math
from collections.abc import Sequence

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import log_ndtr, ndtr
from tarebook.analysis.stats.log_need import DAY_SCALE, TRIP_SCALE, LogNeed, log_need

SHARES = (0.05, 0.5, 0.9, 0.95)
Trips = tuple[list[float], list[int], list[bool]]
CASES: dict[str, tuple[Trips, float]] = {
    "no trip": (([], [], []), 0.5),
    "one": (([2600.0], [3], [False]), 0.5),
    "one used up": (([2600.0], [3], [True]), 0.5),
    "three, one used up": (([2100.0, 3300.0, 1300.0], [3, 5, 2], [False, True, False]), 1.0),
    "all used up": (([900.0, 1900.0, 2500.0, 4000.0], [1, 2, 4, 7], [True] * 4), 0.5),
    "one to nine days": (
        ([700.0, 1500.0, 1900.0, 2900.0, 3300.0, 6600.0], [1, 2, 3, 4, 5, 9], [False, True] * 3),
        1.0,
    ),
}


def plain_sum(trips: Trips, centre: float, spread: float, days: int) -> tuple[list[float], float]:
    """The same model, summed over a box of mu and both spreads without any cunning."""
    amounts, lengths, gone = trips
    x = [math.log(c / d) for c, d in zip(amounts, lengths, strict=True)]
    centre = math.log(centre)
    mu = np.linspace(min([centre - 5 * spread, *x]), max([centre + 5 * spread, *x]), 300)
    node, weight = np.polynomial.legendre.leggauss(40)
    trip_sd, day_sd = ((node + 1) / 2 * 4 * scale for scale in (TRIP_SCALE, DAY_SCALE))
    log_weight = (
        np.log(weight)[:, None, None]
        + np.log(weight)[None, :, None]
        - 0.5 * (trip_sd[:, None, None] / TRIP_SCALE) ** 2
        - 0.5 * (day_sd[None, :, None] / DAY_SCALE) ** 2
        - 0.5 * ((mu - centre) / spread) ** 2
    )
    for at, length, used_up in zip(x, lengths, gone, strict=True):
        sd = np.sqrt(trip_sd[:, None, None] ** 2 + day_sd[None, :, None] ** 2 / length)
        off = (mu - at) / sd
        log_weight = log_weight + (log_ndtr(off) if used_up else -0.5 * off**2 - np.log(sd))
    share = np.exp(log_weight - log_weight.max())
    share /= share.sum()
    of_mu = share.sum((0, 1))
    middle = of_mu @ mu
    sd = np.sqrt(trip_sd[:, None, None] ** 2 + day_sd[None, :, None] ** 2 / days)
    many = share > 1e-8 * share.max()
    sds, mus = np.broadcast_to(sd, share.shape)[many], np.broadcast_to(mu, share.shape)[many]
    shares = share[many]

    def below(at: float) -> float:
        return float(shares @ ndtr((at - mus) / sds) / shares.sum())

    ends = [brentq(lambda at, p=p: below(at) - p, mu[0] - 5, mu[-1] + 5) for p in SHARES]
    return [math.exp(at) * days for at in ends], float(of_mu @ (mu - middle) ** 2) / spread**2


@pytest.mark.parametrize("days", [1, 6])
@pytest.mark.parametrize("name", CASES)
def test_quantiles_chances_and_share_are_those_of_a_plain_sum(name: str, days: int) -> None:
    trips, spread = CASES[name]
    fit = log_need(*trips, centre=700, spread=spread)
    expected, prior_share = plain_sum(trips, 700, spread, days)
    # What the module promises.
    assert fit.quantiles(SHARES, days) == pytest.approx(expected, rel=0.005)
    for amount, share in zip(expected, SHARES, strict=True):
        assert fit.chance(amount, days) == pytest.approx(share, abs=0.002)
    if trips[0]:
        assert fit.prior_share == pytest.approx(prior_share, rel=0.01)
    assert (fit.trips, fit.used_up) == (len(trips[0]), sum(trips[2]))
    assert fit.weights.sum() == pytest.approx(1)


def test_without_a_trip_it_is_the_prior_from_which_draws_come() -> None:
    # Drawn, not summed: 400,000 draws, four standard errors of a quantile's share.
    rng = np.random.default_rng(3)
    size = 400_000
    mu = rng.normal(math.log(700), 0.5, size)
    trip_sd, day_sd = (abs(rng.normal(0, scale, size)) for scale in (TRIP_SCALE, DAY_SCALE))
    drawn = 4 * np.exp(mu + np.sqrt(trip_sd**2 + day_sd**2 / 4) * rng.standard_normal(size))
    fit = log_need([], [], [], centre=700)
    for share, amount in zip(SHARES, fit.quantiles(SHARES, 4), strict=True):
        error = 4 * (share * (1 - share) / size) ** 0.5
        assert np.mean(drawn <= amount) == pytest.approx(share, abs=error + 0.002)
    assert fit.prior_share == 1
    assert fit.quantiles([0.5], 4) == pytest.approx([2800], rel=1e-3)


@pytest.mark.outside(
    "implementation",
    "lifelines' LogNormalFitter, maximum likelihood with right-censoring",
    "the need a day of 400 trips, half and 9 in 10, within a hundredth",
)
def test_the_middle_is_that_of_a_censored_log_normal_fit() -> None:
    # Equal days and a flat prior of mu: what is left of ours is the priors of the spreads, which
    # 400 trips outweigh; standard error of mu about .35 / sqrt(250) = .02, here far less apart.
    import lifelines

    rng = np.random.default_rng(8)
    need = np.exp(rng.normal(math.log(650), 0.35, 400)) * 4
    taken = np.exp(rng.normal(math.log(700), 0.2, 400)) * 4
    gone = need >= taken
    amounts = np.minimum(need, taken)
    fit = log_need(amounts, [4] * 400, gone, centre=700, spread=50)
    theirs = lifelines.LogNormalFitter().fit(amounts / 4, event_observed=~gone)
    middle, nine = fit.quantiles([0.5, 0.9], 4)
    assert middle / 4 == pytest.approx(math.exp(theirs.mu_), rel=0.01)
    assert nine / 4 == pytest.approx(math.exp(theirs.mu_ + 1.2816 * theirs.sigma_), rel=0.01)
    assert 120 < gone.sum() < 280


def test_nine_in_ten_intervals_hold_and_used_up_is_no_need() -> None:
    # Truths drawn from the priors, so that the promise is exact: 500 logbooks of 6 trips, three
    # standard errors of .9 are .040. Taking what was used up for the need runs short more often.
    rng = np.random.default_rng(11)
    inside, short, short_naive = 0, 0, 0
    for _ in range(500):
        mu = rng.normal(math.log(700), 0.5)
        trip_sd, day_sd = abs(rng.normal(0, (TRIP_SCALE, DAY_SCALE)))
        days = rng.integers(1, 10, 7)
        a_day = mu + np.sqrt(trip_sd**2 + day_sd**2 / days) * rng.standard_normal(7)
        need = days * np.exp(a_day)
        taken = days * np.exp(mu + rng.normal(0, 0.3, 7))
        gone = (need >= taken)[:6]
        amounts = np.minimum(need, taken)[:6]
        fit = log_need(amounts, days[:6], gone, centre=700)
        low, generous, high = fit.quantiles([0.05, 0.9, 0.95], float(days[6]))
        inside += low <= need[6] <= high
        short += need[6] > generous
        naive = log_need(amounts, days[:6], [False] * 6, centre=700)
        short_naive += need[6] > naive.quantiles([0.9], float(days[6]))[0]
    assert 0.86 <= inside / 500 <= 0.94
    assert 0.06 <= short / 500 <= 0.14
    assert short_naive > 1.5 * short


def test_more_trips_leave_less_to_the_prior() -> None:
    rng = np.random.default_rng(5)
    amounts = np.exp(rng.normal(6.5, 0.2, 20)) * 3
    shares = [
        log_need(amounts[:n], [3] * n, [False] * n, centre=700).prior_share for n in (0, 1, 5, 20)
    ]
    assert shares == sorted(shares, reverse=True)
    assert shares[-1] < 0.1


def test_trips_that_hardly_differ_are_no_certainty() -> None:
    fit = log_need([1500.0, 1500.0, 1500.0], [2, 2, 2], [False] * 3, centre=700)
    low, middle, high = fit.quantiles([0.05, 0.5, 0.95], 2)
    assert middle == pytest.approx(1500, rel=0.01)
    assert low < 0.97 * middle
    assert high > 1.03 * middle


def widths(fit: LogNeed, days: Sequence[int]) -> list[float]:
    ends = [fit.quantiles([0.05, 0.95], length) for length in days]
    return [math.log(high / low) for low, high in ends]


def test_a_long_trip_is_surer_by_day_than_a_short_one_and_400_days_can_be_asked() -> None:
    fit = log_need([2000.0, 3500.0, 900.0], [3, 5, 1], [False] * 3, centre=700)
    assert widths(fit, [1, 3, 10, 400]) == sorted(widths(fit, [1, 3, 10, 400]), reverse=True)
    assert all(math.isfinite(amount) for amount in fit.quantiles(SHARES, 400))


def test_nothing_is_never_enough_and_a_great_deal_is() -> None:
    fit = log_need([2000.0], [3], [False], centre=700)
    assert fit.chance(0, 3) == 0
    assert fit.chance(1e9, 3) == pytest.approx(1)
    amounts = [500.0, 1500.0, 2500.0, 5000.0]
    chances = [fit.chance(amount, 3) for amount in amounts]
    assert chances == sorted(chances)


@pytest.mark.parametrize("factor", [0.001, 1000.0])
def test_a_prior_far_off_or_a_far_outlier_comes_out_finite(factor: float) -> None:
    fit = log_need([2000.0, 2100.0 * factor], [3, 3], [True, True], centre=700 * factor)
    amounts = fit.quantiles(SHARES, 3)
    assert all(math.isfinite(amount) and amount > 0 for amount in amounts)
    assert amounts == sorted(amounts)
