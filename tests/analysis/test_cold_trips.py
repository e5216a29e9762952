"""The chance of a cold night ahead, against simulation and the outlook's own chance."""

from datetime import date
from typing import Any

import numpy as np
import pytest
from tarebook.analysis.climate.outlook import Outlook
from tarebook.analysis.cold.chance import NIGHT_TO_NIGHT, NightAhead, chance_of_cold_night
from tarebook.analysis.cold.limit import cold_limits
from tarebook.analysis.cold.model import ColdFit, ColdNights, fit_cold
from tarebook.analysis.cold.trips import cold_trips_ahead
from tarebook.analysis.stats.ar1_chain import any_below
from tarebook.tripdata.errors import QuestionError


@pytest.fixture(scope="module")
def fit() -> ColdFit:
    rng = np.random.default_rng(3)
    low = rng.normal(7, 4, 30)
    return fit_cold(
        ColdNights(
            np.zeros(30, dtype=np.intp),
            np.repeat(np.arange(10), 3),
            low,
            (rng.normal(low, 2.5) < 5).astype(float),
            np.array([3.0]),
        )
    )


def simulated(
    fit: ColdFit,
    number: int,
    rated_c: float,
    nights: list[NightAhead],
    n: int,
    doubt_c: float = 0.0,
) -> float:
    """Share of simulated trips with a too cold night: lows by AR(1), one effect a trip.

    All normals of a trip are off together, by a standard deviation of ``doubt_c``.
    """
    rng = np.random.default_rng(12)
    weight = fit.weight[number]
    s, t, h = np.unravel_index(rng.choice(weight.size, n, p=weight.ravel()), weight.shape)
    shift = rng.normal(0, 1, n) * fit.trip_spread_c[t] - doubt_c * rng.normal(0, 1, n)
    z = rng.normal(0, 1, n)
    cold = np.zeros(n, dtype=bool)
    for night in nights:
        low = night.low_c(z)
        cold |= rng.normal(low, fit.spread_c[s]) < rated_c + fit.above_c[h] + shift
        z = NIGHT_TO_NIGHT * z + np.sqrt(1 - NIGHT_TO_NIGHT**2) * rng.normal(0, 1, n)
    return float(cold.mean())


@pytest.mark.parametrize("number", [0, 1])
@pytest.mark.parametrize("nights", [1, 3, 7])
def test_it_agrees_with_simulation(fit: ColdFit, number: int, nights: int) -> None:
    ahead = [NightAhead(9 - 0.5 * n, 2.8 + 0.1 * n) for n in range(nights)]
    found = chance_of_cold_night(fit, number, 3.0, ahead)
    n = 200_000
    share = simulated(fit, number, 3.0, ahead, n)
    error = np.sqrt(share * (1 - share) / n)
    assert abs(found.p_any.value - share) < 4 * error + 0.002, (found.p_any.value, share)
    assert found.p_any.low < found.p_any.value < found.p_any.high
    assert len(found.p_each) == nights
    assert max(found.p_each) <= found.p_any.value + 1e-9
    assert found.p_any.value <= sum(found.p_each) + 1e-9


def test_what_all_nights_may_be_off_is_integrated_and_widens_the_range(fit: ColdFit) -> None:
    ahead = [NightAhead(9.0, 2.8), NightAhead(8.5, 2.8), NightAhead(8.0, 3.0)]
    sure, found = (chance_of_cold_night(fit, 0, 3.0, ahead, doubt) for doubt in (0.0, 1.5))
    n = 200_000
    share = simulated(fit, 0, 3.0, ahead, n, 1.5)
    assert abs(found.p_any.value - share) < 4 * np.sqrt(share * (1 - share) / n) + 0.002
    assert found.p_any.value > sure.p_any.value
    assert found.p_any.low < sure.p_any.low
    assert found.p_any.high > sure.p_any.high
    for each, night in zip(found.p_each, ahead, strict=True):
        alone = simulated(fit, 0, 3.0, [night], n, 1.5)
        assert abs(each - alone) < 4 * np.sqrt(alone * (1 - alone) / n) + 0.002


def test_alike_nights_are_cold_together(fit: ColdFit) -> None:
    ahead = [NightAhead(8.0, 3.0)] * 5
    found = chance_of_cold_night(fit, 0, 3.0, ahead)
    independent = 1 - np.prod([1 - p for p in found.p_each])
    assert found.p_any.value < independent - 0.03


def test_a_limit_that_is_known_gives_the_outlooks_chance() -> None:
    # A sleeper without doubt and a sharp limit at 4 °C: the chance of a low below it, as
    # ar1_chain has it by another quadrature.
    above, spread = np.arange(-24, 24.125, 0.25), np.array([0.4])
    weight = np.zeros((1, 1, 1, len(above)))
    weight[0, 0, 0, np.argmin(np.abs(above - 2.0))] = 1.0
    sharp = ColdFit(above, spread, np.array([0.05]), weight)
    ahead = [NightAhead(8.0, 2.5), NightAhead(7.5, 2.5), NightAhead(7.0, 2.6)]
    found = chance_of_cold_night(sharp, 0, 2.0, ahead)
    gaps = [(4.0 - n.normal_low_c) / n.sd_c for n in ahead]
    assert found.p_any.value == pytest.approx(any_below(gaps), abs=0.01)
    assert found.p_any.low < any_below(gaps) < found.p_any.high


def test_a_trip_without_a_night_is_refused(fit: ColdFit) -> None:
    with pytest.raises(ValueError, match="at least one"):
        chance_of_cold_night(fit, 0, 3.0, [])


def test_the_plan_of_the_demo_joins_limit_normals_and_height(demo: Any) -> None:
    store = demo
    limits = cold_limits(store)
    without_mat, ahead = cold_trips_ahead(store, limits, "", date(2026, 11, 25))
    # Nobody slept without the mat: its list lacks it, and the rating speaks alone.
    assert without_mat.basis == "rated"
    assert [(each.thing.item, each.why) for each in without_mat.lacking] == [
        ("sleeping-mat", "left_out")
    ]
    assert ahead.lacking == ()
    assert isinstance(ahead.outlook, Outlook)
    assert ahead.bedding is not None
    assert ahead.chance is not None
    assert ahead.camps is not None
    place = limits.place_of(ahead.bedding)

    def share(off_c: float, doubt_c: float) -> float:
        assert isinstance(ahead.outlook, Outlook)
        assert ahead.bedding is not None
        nights = [
            NightAhead(n.normal_low_c + off_c, n.sd_c or 0.0, n.season)
            for n in ahead.outlook.nights
        ]
        return simulated(limits.fit, place, ahead.bedding.as_limit_c, nights, 200_000, doubt_c)

    # Camps of the demo lie about 1.9 °C below the normals, and the answer goes by that.
    assert -1.9 < ahead.camps.taken_c < -1.6
    there = share(ahead.camps.taken_c, ahead.camps.doubt_c)
    assert ahead.chance.p_any.value == pytest.approx(there, abs=0.004)
    assert ahead.by_normals == pytest.approx(share(0.0, 0.0), abs=0.004)
    assert ahead.basis == "own"
    assert ahead.judged_nights == limits.limit_of(ahead.bedding).nights > 0
    # The height of the camp is in the normals: 6.5 K a kilometre.
    station = ahead.outlook.station
    assert station.adjustment_c == pytest.approx(-0.0065 * (station.height_difference_m or 0))
    assert cold_trips_ahead(store, limits, "", date(2028, 1, 1)) == ()
    (past,) = cold_trips_ahead(store, limits, "2026-11-fernhollow", date(2028, 1, 1))
    assert past.chance is not None
    with pytest.raises(QuestionError, match="expected a trip of this logbook"):
        cold_trips_ahead(store, limits, "nowhere", date(2026, 11, 25))
