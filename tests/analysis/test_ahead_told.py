"""What a trip to come is told where its own record is silent, or was of other months and trips."""

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import pytest
from before_trip_reading import notices, plain, points
from store_drawing import carried, empty_store, fill, gear, trip
from tarebook.analysis.ahead.page import words
from tarebook.analysis.ahead.page.page import BeforeTripPage, read_before_trip
from tarebook.analysis.display.words import Display
from tarebook.analysis.tables import entry
from test_unlike import ALL, JANUARY, JULY, TODAY, summers, with_plan


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def page_of(store: Any) -> BeforeTripPage:
    return read_before_trip(store, "next", today=TODAY, display=Display())


def in_months(*months: int) -> dict[str, Any]:
    """Four trips of two nights in each of these months, and their bread."""
    made = summers(4 * len(months), *ALL[:4])
    for n, row in enumerate(made["trip"]):
        start = date(2026 - n // len(months), months[n % len(months)], 5)
        row |= {"start_on": start, "end_on": start + timedelta(2)}
    return made


def unlike(store: Any) -> bool:
    return any("No trip before was like" in line for line in notices(page_of(store)))


@pytest.mark.parametrize(
    ("months", "start", "outside"),
    [
        ((6, 8), date(2027, 7, 10), False),
        ((12, 2), date(2027, 1, 10), False),
        ((8, 10), date(2027, 9, 10), False),
        ((6,), date(2027, 7, 10), True),
        ((6, 9), date(2027, 7, 10), True),
        ((6, 8), date(2027, 9, 10), True),
        ((6, 8), date(2027, 1, 10), True),
    ],
)
def test_a_month_between_two_that_were_seen_is_inside(
    store: Any, months: tuple[int, ...], start: date, outside: bool
) -> None:
    fill(store, with_plan(in_months(*months), start, *ALL))
    assert unlike(store) is outside


def test_food_of_which_nothing_came_home_is_told_as_common_practice(store: Any) -> None:
    """All was eaten on every trip: each needed that much or more, and none says how much more."""
    tables = with_plan(summers(5, *ALL[:4]), JULY, *ALL)
    for row in tables["carried"]:
        if row["item"] == "bread" and row["trip"] != "next":
            row["brought_home_mg"] = 0
    fill(store, tables)
    told = points(page_of(store))["How much food"]
    assert told.startswith("Common practice, and what you took: about ")
    assert (
        "Your own record cannot tell yet: nothing of it came home from any of your 5 trips, so "
        "each took that much or more."
    ) in told
    assert "nine" not in told
    rows = plain(str(page_of(store).amounts().table.rows[0]["take"]))
    assert rows.startswith("seldom over ")
    remarks = entry("trip_needs").frame(store, today=TODAY).attrs["remarks"]
    assert any("nothing of “Bread” came home from any trip" in line for line in remarks)


def test_food_without_any_record_names_no_share_of_trips(store: Any) -> None:
    fill(store, with_plan({"gear": summers(1)["gear"], "trip": [], "carried": []}, JULY, *ALL))
    told = points(page_of(store))["How much food"]
    assert told.startswith("Common practice: about 2.10 kg, seldom over ")
    assert "Your own record cannot tell yet: no trip says what was taken" in told
    assert "trips in ten" not in told
    assert "nine" not in told


def test_how_many_trips_an_amount_goes_by_is_told(store: Any) -> None:
    fill(store, with_plan(summers(12, *ALL[:4]), JULY, *ALL))
    assert "nine such trips in ten, going by 12 trips" in points(page_of(store))["How much food"]


def test_the_price_of_leaving_is_of_the_trips_that_it_rests_on(store: Any) -> None:
    book = gear("book", "leisure", 300_000)
    for start in (JULY, JANUARY):
        tables = with_plan(summers(22, *ALL[:4]), start, *ALL, "book")
        tables["gear"] = [*tables["gear"], book]
        tables["carried"] += [carried(f"t{n:02}", "book", used=0) for n in range(22)]
        fill(store, tables)
        page = page_of(store)
        assert page.data is not None
        assert page.data.home.items == {"book"}
        price = plain(words.leaving_price(page.data.home, page.data.ahead))
        before = "On trips like those before (22 trips, July) you would want it about once in"
        assert price.startswith(before) is (start == JANUARY)
        assert ("how often on one like this is not known" in price) is (start == JANUARY)


def test_without_a_like_trip_no_chance_of_being_along_is_told(store: Any) -> None:
    """A winter plan by boat after summers on foot: nothing says what such a trip has along."""
    tables = with_plan(summers(4, *ALL[:4]), JANUARY, "tent", "mug", mode="paddle")
    tables["gear"] = [
        {**row, "needs": ["bread"]} if row["item"] == "mug" else row for row in tables["gear"]
    ]
    fill(store, tables)
    relation = entry("forgotten").relation(store, today=TODAY)
    rows = [dict(zip(relation.columns, row, strict=True)) for row in relation.fetchall()]
    named = {row["item"]: row for row in rows}
    assert {"quilt", "mat", "bread"} <= named.keys()
    for item in ("quilt", "mat"):
        assert (named[item]["p_along"], named[item]["expected_regret"]) == (None, None)
        assert named[item]["p_needed"] == 1
    assert (named["bread"]["p_along"], named["bread"]["why"]) == (1, "needed_by")
    assert [row["rank"] for row in rows] == list(range(1, len(rows) + 1))


def test_distances_of_like_trips_stand_beside_the_forecast_of_the_battery(store: Any) -> None:
    bike = gear("bike", "bike", 20_000_000, carried_as="vehicle", capacity_wh=500.0)
    trips = [trip(f"t{n}", date(2026 - n, 7, 1), 2, mode="ebike") for n in range(3)]
    coming = trip("next", JULY, 2, mode="ebike", plan=True)
    legs = [
        {"trip": row["trip"], "day": row["start_on"] + timedelta(k), "distance_mm": km * 1_000_000}
        for row, days in zip(trips, ((30, 40, 50), (45, 55), (60,)), strict=True)
        for k, km in enumerate(days)
    ]
    rows = [carried(row["trip"], "bike") for row in (*trips, coming)]
    tables = {"gear": [bike], "trip": [*trips, coming], "carried": rows, "distances": legs}
    fill(store, tables)
    told = points(page_of(store))["Battery"]
    assert "Each day is taken as 50 km: 6 days of 3 like trips were 30 to 60 km." in told
    note = plain(page_of(store).battery().notes[0])
    assert "6 days of 3 like trips were 30 to 60 km." in note
    days = [JULY + timedelta(k) for k in range(3)]
    own = [{"trip": "next", "day": day, "distance_mm": 35_000_000} for day in days]
    fill(store, {**tables, "distances": [*legs, *own]})
    told = points(page_of(store))["Battery"]
    assert "Its days are 35 km; 6 days of 3 like trips were 30 to 60 km." in told
