"""What a trip to come is told where its own record is silent, or was of other months and trips."""

import math
from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import numpy as np
import pandas as pd
import pytest
from before_trip_reading import lists_of, notices, plain, points, text_of
from scipy.special import ndtr  # type: ignore[import-untyped]
from store_drawing import carried, empty_store, fill, gear, trip
from tarebook.analysis.ahead.page import words
from tarebook.analysis.ahead.page.amount_words import SNOW_TAKES_MORE
from tarebook.analysis.ahead.page.page import BeforeTripPage, read_before_trip
from tarebook.analysis.display.words import Display
from tarebook.analysis.stats.log_need import DAY_SCALE, SPREAD, TRIP_SCALE, log_need
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


def test_food_of_which_nothing_came_home_is_at_least_what_was_taken(store: Any) -> None:
    """All was eaten on every trip: each needed that much or more, and none says how much more.

    1.8 kg for three days went on four of the trips, 2.0 kg on one; nobody knows an upper end.
    """
    tables = with_plan(summers(5, *ALL[:4]), JULY, *ALL)
    for row in tables["carried"]:
        if row["item"] == "bread" and row["trip"] != "next":
            row["brought_home_mg"] = 0
            row["weight_mg"] = 2_000_000 if row["trip"] == "t02" else 1_800_000
    fill(store, tables)
    page = page_of(store)
    told = points(page)["How much food"]
    assert told.startswith("Take more than 2.00 kg (666 g per day). How much would be enough is ")
    assert (
        "How much would be enough is not known: nothing of it came home from any of your 5 trips, "
        "so each took that much or more. The list has 500 g, which is not more than that."
    ) in told
    section = page.amounts()
    for text in (told, section.text()):
        for claim in ("nine", "seldom", "ommon practice", "very likely"):
            assert claim not in text
    assert section.figure is None
    assert section.table is not None
    (row,) = section.table.rows
    assert plain(str(row["take"])) == "more than 2.00 kg"
    keys = ["name", "take", "list", "trips", "used_up"]
    assert [column.key for column in section.table.columns] == keys
    assert lists_of(page.before_leaving())["Take more than the list has"] == [
        "Bread | more than 2.00 kg; how much would be enough is not known; the list has 500 g"
    ]
    frame = entry("trip_needs").frame(store, today=TODAY)
    (row,) = frame.to_dict("records")
    assert (row["basis"], row["at_least"], row["used_up"]) == ("at_least", 2000, 5)
    for column in ("expected", "low", "high", "take_for_9_in_10", "chance_enough"):
        assert pd.isna(row[column]), column
    assert any("nothing of “Bread” came home" in line for line in frame.attrs["remarks"])
    # As much as that is not more; what is more may still be too little.
    for grams, told, little in ((2_000, "not more than that", True), (2_400, "more", False)):
        tables["carried"][-1] |= {"weight_mg": 1_000 * grams}
        assert tables["carried"][-1]["item"] == "bread"
        fill(store, tables)
        page = page_of(store)
        assert points(page)["How much food"].endswith(f" kg, which is {told}.")
        assert ("Take more than the list has" in lists_of(page.before_leaving())) is little


def test_three_trips_that_used_all_up_leave_the_upper_end_to_the_priors() -> None:
    """Three days on 700 g each, eaten on three trips, leave 1.6 to 7.9 kg for the next three days.

    That is no fault of the sum: drawn from the priors and weighed by the chance that each trip
    needed more, it comes out alike. So nothing of it is told.
    """
    rng, many = np.random.default_rng(5), 1_000_000
    mu = rng.normal(math.log(700), SPREAD, many)
    trip_sd, day_sd = (abs(rng.normal(0, s, many)) for s in (TRIP_SCALE, DAY_SCALE))
    sd = np.hypot(trip_sd, day_sd / 3**0.5)
    weight = ndtr((mu - math.log(700)) / sd) ** 3
    need = 3 * np.exp(mu + sd * rng.normal(size=many))
    order = np.argsort(need)
    share = np.cumsum(weight[order]) / weight.sum()
    drawn = need[order][np.searchsorted(share, (0.05, 0.5, 0.9, 0.95))]
    fit = log_need([2100.0] * 3, [3.0] * 3, [True] * 3, centre=700.0)
    assert fit.quantiles((0.05, 0.5, 0.9, 0.95), 3) == pytest.approx(list(drawn), rel=0.015)


def test_food_without_any_record_names_no_share_of_trips(store: Any) -> None:
    fill(store, with_plan({"gear": summers(1)["gear"], "trip": [], "carried": []}, JULY, *ALL))
    told = points(page_of(store))["How much food"]
    assert told.startswith("Common practice: about 2.10 kg, seldom over ")
    assert "Your own record cannot tell yet: no trip says what was taken" in told
    assert "trips in ten" not in told
    assert "nine" not in told


def test_summers_claim_no_share_of_winter_trips(store: Any) -> None:
    """Neither page, table nor what to do: what was enough in July is a least in January."""
    gas = gear("gas", "cook", 330_000, name="Gas", carried_as="consumable")
    tables = summers(12, *ALL[:4])
    tables["gear"] = [*tables["gear"], gas]
    tables["carried"] += [carried(f"t{n:02}", "gas", brought_home_mg=270_000) for n in range(12)]
    for start in (JANUARY, JULY):
        outside = start == JANUARY
        fill(store, with_plan(tables, start, *ALL, "gas"))
        page = page_of(store)
        frame = entry("trip_needs").frame(store, today=TODAY)
        for row in frame.to_dict("records"):
            assert row["basis"] == ("before" if outside else "like")
            assert pd.isna(row["take_for_9_in_10"]) is outside
            assert pd.isna(row["chance_enough"]) is (outside or pd.isna(row["on_list"]))
            assert pd.isna(row["at_least"]) is not outside
        section, told = page.amounts(), points(page)
        assert (section.figure is None) is outside
        assert section.table is not None
        for row in section.table.rows:
            assert str(row["take"]).startswith("at least ") is outside
            assert (row.get("range") is None) is outside
        assert ("For nine in ten" in [c.header for c in section.table.columns]) is not outside
        for about in ("How much food", "How much fuel"):
            assert told[about].startswith("Take at least ") is outside
            assert ("cold takes more." in told[about]) is outside
        todo = lists_of(page.before_leaving())["Take more than the list has"]
        assert any("is enough on nine such trips in ten" in line for line in todo) is not outside
        assert any("at least" in line for line in todo) is outside
        if outside:
            # Every share of trips is one of those before, and told as that.
            rest = text_of(page).replace("enough on nine in ten trips like those before", "")
            assert "nine" not in rest.partition("Words used")[0].replace("nine nights", "")
            assert "how often on one like this is not known" in told["How much food"]
            # What cold takes of fuel is physics, and stands beside the amount.
            assert "heating 1 kg from 10 to 100 °C takes 377 kJ" in told["How much fuel"]


@pytest.mark.outside(
    "memory", "constants of water, from memory", "4.186 kJ a kg and degree, 334 kJ to melt a kg"
)
def test_water_from_the_cold_takes_by_so_much_more() -> None:
    """377 kJ from 10 to 100 °C, 419 from 0, 753 from snow."""
    warm, cold = 4.186 * 90, 4.186 * 100
    for kj in (warm, cold, 334.0):
        assert f"{kj:.0f} kJ" in SNOW_TAKES_MORE
    assert cold / warm == pytest.approx(1.1, abs=0.03)
    assert (cold + 334) / warm == pytest.approx(2, abs=0.02)


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
