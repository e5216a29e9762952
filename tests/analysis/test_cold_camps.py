"""Camps that were colder than the normals, and the chance if they are so again."""

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import pytest
from scipy import stats
from store_drawing import empty_store
from tarebook.analysis.cold import words
from tarebook.analysis.cold.camps import cold_camps
from tarebook.analysis.cold.trips import ColdAhead, cold_forecasts
from tarebook.analysis.display.words import Display
from tarebook.analysis.store.trip_choice import choose_trip
from test_cold_answers import BAG, MAT, TODAY, Tables, joined, nights_in, plan, put

NORMAL_C = 7.0
COLDER = [-3.0, -2.0, -1.0, -2.5, -1.5, -2.0]


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def trips_off(*off_c: float) -> Tables:
    """A trip of two nights for each, that far off their normal on average, and a plan."""
    lows = [NORMAL_C + off + step for off in off_c for step in (-0.5, 0.5)]
    return joined(nights_in([BAG, MAT], lows, 3.2), plan("bag", "mat"))


def forecast(store: Any) -> ColdAhead:
    (ahead,) = cold_forecasts(store, [choose_trip(store, "plan")])
    return ahead


def test_the_offset_is_a_mean_over_trips_with_student_s_interval(store: Any) -> None:
    put(store, trips_off(*COLDER), NORMAL_C)
    camps = cold_camps(store, TODAY)
    assert camps is not None
    # Second implementation: scipy's interval of a mean.
    low, high = stats.t.interval(0.9, 5, loc=stats.tmean(COLDER), scale=stats.sem(COLDER))
    assert camps.offset_c.value == pytest.approx(-2.0)
    assert (camps.offset_c.low, camps.offset_c.high) == pytest.approx((low, high))
    assert (camps.offset_c.n, camps.nights) == (6, 12)
    # Only trips over by then count; of five the last four are too few.
    assert cold_camps(store, TODAY - timedelta(30 + 28 * 2 - 1)) is None


@pytest.mark.parametrize(
    "off_c",
    [
        pytest.param(COLDER[:4], id="four trips"),
        pytest.param([2.0, 3.0, 2.0, 1.0, 2.5], id="milder"),
        pytest.param([-6.0, 3.0, -5.0, 2.0, -4.0], id="now so, now so"),
        pytest.param([-0.4, -0.5, -0.3, -0.4, -0.6], id="hardly"),
        pytest.param([], id="no trip"),
    ],
)
def test_nothing_is_said_of(store: Any, off_c: list[float]) -> None:
    tables = trips_off(*off_c) if off_c else joined({"gear": [BAG, MAT]}, plan("bag", "mat"))
    put(store, tables, NORMAL_C)
    assert cold_camps(store, date(2027, 4, 10)) is None
    assert words.camps_sentence(forecast(store), Display()) == ""


def test_if_so_again_it_is_the_chance_in_nights_as_much_colder(store: Any) -> None:
    put(store, trips_off(*COLDER), NORMAL_C)
    ahead = forecast(store)
    assert ahead.camps is not None
    assert ahead.camps.chance is not None
    assert ahead.chance is not None
    assert ahead.camps.chance.p_any.value > ahead.chance.p_any.value
    sentence = words.camps_sentence(ahead, Display()).replace("\u202f", " ")
    assert sentence.startswith(
        "If your camps are again colder than the normals, the chance of a too cold night is about "
    )
    assert sentence.endswith(
        ". They were about 2.0 °C colder than such normals, on 12 nights of 6 trips (very likely "
        "1.4 to 2.6 °C)."
    )
    imperial = words.camps_sentence(ahead, Display("oz", "f", "mi"))
    assert "about 3.6\u202f°F colder" in imperial


def test_without_bedding_the_offset_stands_alone(store: Any) -> None:
    tables = trips_off(*COLDER)
    tables["carried"] = [row for row in tables["carried"] if row["trip"] != "plan"]
    put(store, tables, NORMAL_C)
    assert words.camps_sentence(forecast(store), Display()).endswith("°C).")
