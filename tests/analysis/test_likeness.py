"""Which past trips are like the one ahead: worked by hand, and nothing from after its start."""

import math
from pathlib import Path

import pytest
from tarebook.analysis.ahead.likeness import like_trips
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.store.trip_choice import choose_trip
from tarebook.tripdata.store import load_logbook, store_path

HEAD = "trip,start_on,end_on,mode,plan,latitude"
PLAN = "ahead,2027-07-01,2027-07-04,foot,yes,"


def like(folder: Path, *rows: str, plan: str = PLAN) -> dict[str, float]:
    (folder / "gear.csv").write_text("item,system,weight_g\ntarp,shelter,400\n")
    (folder / "trip.csv").write_text("\n".join([HEAD, plan, *rows]) + "\n")
    load_logbook(folder)
    with open_store(store_path(folder)) as store:
        return {t.trip: t.likeness for t in like_trips(store, choose_trip(store, "ahead"))}


def tricube(share: float) -> float:
    return float((1 - share**3) ** 3)


def test_the_same_trip_a_year_before_is_as_like_as_can_be(tmp_path: Path) -> None:
    assert like(tmp_path, "a,2026-07-01,2026-07-04,foot,,") == {"a": 1.0}


@pytest.mark.parametrize(
    ("row", "alike"),
    [
        ("a,2026-07-01,2026-07-04,mixed,,", 0.5),
        ("a,2026-07-01,2026-07-04,,,", 0.5),
        ("a,2026-05-02,2026-05-05,foot,,", tricube(60 / 120)),
        ("a,2026-07-01,2026-07-07,foot,,", tricube(math.log(2) / math.log(8))),
        # The year's other end: 1 July less half a year is 30 December, here 182 days off.
        ("a,2025-12-31,2026-01-03,foot,,-40", tricube(0.25 / 120)),
    ],
)
def test_what_differs_makes_it_less_alike(tmp_path: Path, row: str, alike: float) -> None:
    assert like(tmp_path, row)["a"] == pytest.approx(alike, abs=1e-5)


@pytest.mark.parametrize(
    "row",
    [
        "a,2026-07-01,2026-07-04,bike,,",
        "a,2026-01-01,2026-01-04,foot,,",
        "a,2026-07-01,2026-07-01,foot,,",
        "a,2026-07-01,2026-07-04,foot,yes,",
        "a,2027-06-29,2027-07-02,foot,,",
        "a,2027-07-10,2027-07-13,foot,,",
    ],
)
def test_other_ways_seasons_days_out_plans_and_later_trips_are_none(
    tmp_path: Path, row: str
) -> None:
    assert like(tmp_path, row) == {}


def test_a_trip_that_ends_on_the_day_of_departure_counts_and_the_latest_is_last(
    tmp_path: Path,
) -> None:
    rows = ("z,2026-07-01,2026-07-04,foot,,", "a,2027-06-28,2027-07-01,foot,,")
    assert list(like(tmp_path, *rows)) == ["z", "a"]


def test_a_journey_of_400_days_is_as_long_as_any_over_two_weeks(tmp_path: Path) -> None:
    plan = "ahead,2027-07-01,2028-08-04,foot,yes,"
    alike = like(tmp_path, "a,2027-01-01,2027-01-29,foot,,", plan=plan)
    assert alike == {"a": 1.0}
    assert like(tmp_path, "a,2027-01-01,2027-01-02,foot,,", plan=plan) == {}
