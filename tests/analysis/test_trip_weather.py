"""The picture of a trip's days shows rain and wind where they are noted, and nothing else."""

import json
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from store_drawing import carried, empty_store, fill, gear, trip
from tarebook.analysis.debrief.page.page import DebriefPage, read_debrief
from tarebook.analysis.debrief.page.trip_frame import TripFrame
from tarebook.analysis.debrief.page.weather_panel import has_weather, weather_panel
from tarebook.analysis.display.theme import NARROW, WIDE, Layout
from tarebook.analysis.display.words import SPACE, Display

START = date(2026, 5, 1)
METRIC, MILES = Display(), Display("oz", "f", "mi")
STORE = empty_store()
Noted = tuple[bool | None, float | None, float | None]
DRY: Noted = (None, 0.0, None)
NOTHING: Noted = (None, None, None)


def page(days: list[Noted], display: Display = METRIC) -> DebriefPage:
    nights = len(days) - 1
    weather = [
        {"trip": "t", "day": START + timedelta(n), "wet": wet, "rain_mm": rain, "wind_kmh": wind}
        for n, (wet, rain, wind) in enumerate(days)
    ]
    ways = [
        {"trip": "t", "day": START + timedelta(n), "mode": None, "distance_mm": 7_000_000}
        for n in range(len(days))
    ]
    tables: dict[str, Any] = {
        "gear": [gear("tarp", "shelter")],
        "trip": [trip("t", START, nights, mode="foot")],
        "carried": [carried("t", "tarp")],
        "distances": ways,
        "weather": weather,
    }
    fill(STORE, tables)
    return read_debrief(STORE, "t", today=START + timedelta(60), display=display)


def drawn(shown: DebriefPage, layout: Layout = WIDE) -> list[dict[str, Any]]:
    figure = shown.story().figure
    assert figure is not None
    datasets = figure.spec(layout)["datasets"].values()
    return next((rows for rows in datasets if rows and "rain" in rows[0]), [])


def titles(shown: DebriefPage) -> str:
    figure = shown.story().figure
    assert figure is not None
    return json.dumps(figure.spec(WIDE, validate=True), ensure_ascii=False)


def test_rain_and_wind_stand_at_their_days_with_units() -> None:
    shown = page([(None, 11.4, 8.0), NOTHING, (None, 0.0, 15.0), (True, None, None)])
    assert [(row["rain"], row["wind"]) for row in drawn(shown)] == [
        ("11.4", "8"), ("0", "15"), ("wet", ""),
    ]  # fmt: skip
    assert "Rain (bars, mm) and wind (figures on top, km/h)" in titles(shown)
    # 11.4 mm are 0.449 in, 8 km/h 4.97 mph (25.4 mm and 1.609344 km, exact).
    shown = page([(None, 11.4, 8.0), (None, 2.0, None)], MILES)
    assert [(row["rain"], row["wind"]) for row in drawn(shown)] == [("0.45", "5"), ("0.08", "")]
    assert "Rain (bars, in) and wind (figures on top, mph)" in titles(shown)
    assert f"the wettest day was Fri 1 May, 0.45{SPACE}in" in shown.story().answer[0]


@pytest.mark.parametrize("days", [[NOTHING, NOTHING], [DRY, DRY, NOTHING]])
def test_without_rain_or_wind_there_is_no_row(days: list[Noted]) -> None:
    shown = page(days)
    assert drawn(shown) == []
    assert "Rain" not in titles(shown)
    figure = shown.story().figure
    assert figure is not None
    told = "No rain on the 2 days of which it is noted." in figure.caption
    assert told == (DRY in days)


def test_one_kind_alone_has_its_own_title() -> None:
    assert "Wind (km/h)" in titles(page([(None, None, 8.0), NOTHING]))
    assert "Rain (mm)" in titles(page([(True, 3.0, None), DRY]))


def test_on_a_long_trip_the_wettest_and_the_windiest_day_have_figures() -> None:
    days: list[Noted] = [(None, float(n % 5), float(n)) for n in range(30)]
    rows = drawn(page(days), NARROW)
    assert len(rows) == 30
    assert [row["rain"] for row in rows if row["rain"]] == ["4"]
    assert [row["wind"] for row in rows if row["wind"]] == ["29"]


NOTED = st.tuples(
    st.none() | st.booleans(),
    st.none() | st.integers(0, 400).map(lambda tenths: tenths / 10),
    st.none() | st.integers(0, 90).map(float),
)


@settings(max_examples=40)
@given(st.lists(NOTED, min_size=2, max_size=6))
def test_what_is_not_noted_is_not_shown_as_dry(days: list[Noted]) -> None:
    weather = [
        {"day": START + timedelta(n), "wet": wet, "rain_mm": rain, "wind_kmh": wind}
        for n, (wet, rain, wind) in enumerate(days)
    ]
    if not has_weather(weather):
        assert not any(wet or rain or wind is not None for wet, rain, wind in days)
        return
    panel = weather_panel(weather, METRIC, TripFrame(len(days) - 1, START, WIDE))
    rows = next(rows for rows in panel.to_dict()["datasets"].values() if "rain" in rows[0])
    for row, (wet, rain, wind) in zip(rows, days, strict=True):
        assert bool(row["rain"]) == (wet is not None or rain is not None)
        assert bool(row["wind"]) == (wind is not None)
        assert row["rain"] not in ("0", "dry") or wet is False or rain == 0
