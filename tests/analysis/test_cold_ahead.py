"""The chance of cold on trips to come, from the normals of their places."""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from tarebook.analysis.climate.outlook import Outlook, outlook_of_trip
from tarebook.analysis.cold.camps import camps_off
from tarebook.analysis.cull.page import page as cull_page
from tarebook.analysis.cull.page.trips_to_come import weather_source
from tarebook.analysis.cull.results import Wish
from tarebook.analysis.display.words import Display
from tarebook.analysis.stats.estimate import Estimate
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.store.scope import Scope
from tarebook.analysis.tables import TABLES
from tarebook.analysis.usage.cold_odds import trips_ahead
from tarebook.tripdata.errors import QuestionError
from tarebook.tripdata.store import store_path

TODAY = date(2026, 11, 25)
PLAN = "2027-04-old-weir-meadow"


@pytest.fixture(scope="module")
def other(demo: Any) -> str:
    """A trip of the demo that took place, of more than a night."""
    found = demo.sql("SELECT trip FROM trips WHERE NOT plan AND nights > 1 ORDER BY trip LIMIT 1")
    return str(found.fetchall()[0][0])


def test_none_is_named(demo: Any) -> None:
    assert trips_ahead(demo, " ; ") is None
    assert weather_source(None).startswith("How likely a wet or cold trip is comes from your log")


def test_the_chance_is_that_of_the_outlook(demo: Any, other: str) -> None:
    ahead = trips_ahead(demo, PLAN.upper())
    assert ahead is not None
    assert [t.trip for t in ahead.served] == [PLAN]
    assert ahead.cold is not None
    # The camps of the demo were colder than the normals: by so much the nights are taken to be.
    camps = camps_off(demo, ahead.served[0].start_on)
    assert camps is not None
    for below_c in (-10.0, 3.0, 5.0, 9.0):
        told = outlook_of_trip(demo, PLAN, below_c - camps.taken_c)
        assert isinstance(told, Outlook)
        odds = ahead.cold(below_c)
        if not told.rare:
            assert told.sum_odds == told.p_any
        assert odds == told.sum_odds
        assert odds.low <= odds.value <= odds.high
        assert told.rare == (below_c == -10.0)
    both = trips_ahead(demo, f"{PLAN}; {other},{PLAN}")
    assert both is not None
    assert [t.trip for t in both.served] == [other, PLAN]
    assert both.cold is not None
    second = outlook_of_trip(demo, other, 5.0)
    assert isinstance(second, Outlook)
    assert second.p_any is not None
    mean = (ahead.cold(5.0).value + second.p_any.value) / 2
    assert both.cold(5.0).value == pytest.approx(mean, abs=1e-12)
    assert "each as likely to be the next" in weather_source(both)


def test_a_day_out_has_no_cold_night(demo: Any) -> None:
    day = demo.sql("SELECT trip FROM trips WHERE nights = 0 AND NOT plan LIMIT 1").fetchall()[0][0]
    ahead = trips_ahead(demo, day)
    assert ahead is not None
    assert ahead.cold is not None
    assert ahead.cold(10.0) == Estimate(0.0, 0.0, 0.0)


def test_an_unknown_trip_is_named_with_its_nearest(demo: Any) -> None:
    with pytest.raises(QuestionError, match=f'did you mean "{PLAN}"'):
        trips_ahead(demo, "2027-04-old-weir-medow")


def test_only_what_is_meant_for_cold_is_needed_otherwise(demo: Any) -> None:
    """Beside that, what the trip asks beyond a record holds more back, and no more is left."""
    by_log = TABLES["usage"].rows(demo, today=TODAY)
    by_normals = TABLES["usage"].rows(demo, today=TODAY, coming=PLAN)
    changed = {
        a["item"]
        for a, b in zip(by_log, by_normals, strict=True)
        if a["p_used_next"] != b["p_used_next"]
    }
    cold = {
        row[0]
        for row in demo.sql(
            "SELECT item FROM stg_gear WHERE list_contains(meant_for, 'cold')"
        ).fetchall()
    }
    assert changed
    assert changed <= cold
    judged = {"p_used_next": 0, "verdict": "", "reason": "", "reversal": "", "held_back": ""}
    for a, b in zip(by_log, by_normals, strict=True):
        assert a | judged == b | judged
        assert b["verdict"] != "leave" or a["verdict"] == "leave"
        assert a["held_back"] is None or b["held_back"] is not None


def test_the_page_says_where_cold_comes_from(demo: Any) -> None:
    page = cull_page.read_cull(demo, Scope(), Wish(), today=TODAY, display=Display(), coming=PLAN)
    assert page.opening().lines[-1] == (
        "Cold nights to come by the climate normals and how much colder your camps were, for “First"
        " gravel of spring”, 23\u201325 April 2027"
    )
    assert (
        page.by_kind()
        .notes[1]
        .startswith(
            "How likely cold nights are comes from the climate normals and how much colder your "
            "camps were, for “First gravel of spring”: "
        )
    )
    assert "on “First gravel of spring”: " in page.opening().points[0].answer
    sheet = page.checklist().text()
    leave = sheet.split("Leave at home\n")[1]
    assert "Down booties" not in leave
    assert "Down booties" in sheet


def test_places_without_normals_leave_it_to_the_log(logbook: Callable[[str], Path]) -> None:
    with open_store(store_path(logbook("lakes"))) as store:
        trip = store.sql("SELECT trip, title FROM stg_trips WHERE nights > 0 ORDER BY trip")
        name, title = trip.fetchall()[0]
        ahead = trips_ahead(store, name)
        assert ahead is not None
        assert (ahead.served, ahead.cold) == ((), None)
        page = cull_page.read_cull(
            store, Scope(), Wish(), today=TODAY, display=Display(), coming=name
        )
        assert page.opening().notices[-1] == (
            f"No normals tell of the nights of “{title}”: your log tells of cold instead. "
            "`tarebook normals` lists what is at hand and how far it is."
        )
        plain = cull_page.read_cull(store, Scope(), Wish(), today=TODAY, display=Display())
        assert (plain.data.answer, plain.data.frontier) == (page.data.answer, page.data.frontier)
