"""The trip ahead: its own days and list, else the middle day of trips like it."""

from datetime import date, timedelta
from typing import Any

import duckdb
import pytest
from store_drawing import carried, empty_store, fill, gear, trip
from tarebook.analysis.ahead.plan import trip_ahead, trips_ahead_of
from tarebook.analysis.ahead.results import DayAhead, TripAhead
from tarebook.analysis.store.trip_choice import choose_trip
from tarebook.tripdata.errors import QuestionError

MAY = date(2026, 5, 1)
Store = duckdb.DuckDBPyConnection


@pytest.fixture
def store() -> Store:
    return empty_store()


def way(name: str, start: date, *days: tuple[float, float | None], **more: Any) -> list[Any]:
    return [
        {
            "trip": name,
            "day": start + timedelta(n),
            "distance_mm": round(km * 1e6),
            "ascent_mm": None if ascent is None else round(ascent * 1e3),
            **more,
        }
        for n, (km, ascent) in enumerate(days)
    ]


def ahead(store: Store, name: str = "plan") -> TripAhead:
    return trip_ahead(store, choose_trip(store, name))


def kilometres(trip: TripAhead) -> list[float | None]:
    return [day.distance_km for day in trip.way]


def test_own_days_come_first_and_one_without_is_a_like_trips_middle_day(store: Store) -> None:
    plan = trip("plan", MAY, 2, mode="ebike", plan=True, people=2)
    old = trip("old", date(2025, 5, 1), 2, mode="ebike")
    rows = [
        *way("plan", MAY, (40, 300)),
        *way("plan", MAY, (3, None), mode="foot"),
        *way("old", date(2025, 5, 1), (99, 999)),
    ]
    fill(store, {"trip": [plan, old], "distances": rows})
    answer = ahead(store)
    assert (answer.way_from, answer.people, answer.days, answer.nights) == ("partly", 2, 3, 2)
    assert answer.way == (
        DayAhead(MAY, "ebike", 40.0, 300.0),
        DayAhead(MAY, "foot", 3.0, None),
        DayAhead(MAY + timedelta(1), "ebike", 99.0, 999.0, from_like=True),
        DayAhead(MAY + timedelta(2), "ebike", 99.0, 999.0, from_like=True),
    )


@pytest.mark.parametrize("mode", [None, "mixed"])
def test_beside_noted_days_one_travelled_who_knows_how_stays_open(
    store: Store, mode: str | None
) -> None:
    plan = trip("plan", MAY, 1, mode=mode, plan=True)
    old = trip("old", date(2025, 5, 1), 1, mode="ebike")
    rows = [
        *way("plan", MAY, (40, 300), mode="ebike"),
        *way("old", date(2025, 5, 1), (99, 999)),
    ]
    fill(store, {"trip": [plan, old], "distances": rows})
    assert ahead(store).way_from == "own"
    assert kilometres(ahead(store)) == [40.0, None]


def test_a_day_without_a_distance_has_none_where_no_trip_is_like_it(store: Store) -> None:
    plan = trip("plan", MAY, 1, mode="ebike", plan=True)
    fill(store, {"trip": [plan], "distances": way("plan", MAY, (40, 300))})
    assert ahead(store).way_from == "own"
    assert kilometres(ahead(store)) == [40.0, None]


def test_else_the_middle_day_of_like_trips(store: Store) -> None:
    starts = [date(2025, 5, 1), date(2025, 5, 11)]
    fill(
        store,
        {
            "trip": [
                trip("plan", MAY, 2, mode="bike", plan=True),
                *(trip(f"t{n}", start, 2, mode="bike") for n, start in enumerate(starts)),
                trip("boat", starts[0], 2, mode="paddle"),
                trip("later", date(2026, 6, 1), 2, mode="bike"),
                trip("other", date(2026, 4, 1), 2, mode="bike", plan=True),
            ],
            "distances": [
                *way("t0", starts[0], (30, 100), (50, None), (40, 300)),
                *way("t1", starts[1], (20, 250)),
                *way("boat", starts[0], (5, None)),
                *way("later", date(2026, 6, 1), (200, 2000)),
                *way("other", date(2026, 4, 1), (200, 2000)),
            ],
        },
    )
    answer = ahead(store)
    assert answer.way_from == "like"
    assert [each.trip for each in answer.like] == ["t0", "t1"]
    likeness = [each.likeness for each in answer.like]
    # t0's three days share its weight, so that t1's one day counts nearly as much as all of them.
    assert 0 < likeness[1] < likeness[0] <= 1
    assert kilometres(answer) == [30.0] * 3
    assert [day.ascent_m for day in answer.way] == [250.0] * 3
    assert [day.mode for day in answer.way] == ["bike"] * 3


def test_two_days_share_the_middle(store: Store) -> None:
    past = date(2025, 5, 1)
    trips = [trip("plan", MAY, 1, plan=True), trip("old", past, 1)]
    fill(store, {"trip": trips, "distances": way("old", past, (10, None), (20, None))})
    assert kilometres(ahead(store)) == [15.0, 15.0]
    assert [day.ascent_m for day in ahead(store).way] == [None, None]


def test_without_any_distance_there_is_none(store: Store) -> None:
    fill(store, {"trip": [trip("plan", MAY, 0, plan=True), trip("old", date(2025, 5, 1))]})
    answer = ahead(store)
    assert (answer.way_from, answer.days, answer.nights) == ("none", 1, 0)
    assert answer.way == (DayAhead(MAY, None, None, None),)
    assert answer.listed == ()


def test_the_list_has_weights_of_then_and_loads_of_others(store: Store) -> None:
    fill(
        store,
        {
            "gear": [gear("tarp", "shelter", 500_000, kit="Camp"), gear("rice", "food", None)],
            "weighings": [
                {"item": "tarp", "weighed_on": date(2026, 4, 1), "weight_mg": 480_000},
                {"item": "tarp", "weighed_on": date(2026, 5, 2), "weight_mg": 450_000},
            ],
            "trip": [trip("plan", MAY, 1, plan=True)],
            "carried": [
                carried("plan", "tarp", bag="left"),
                carried("plan", "rice", carried_by="Ann", quantity=2, carried_as="consumable"),
                carried("plan", "rice", carried_as="consumable", from_day=date(2026, 5, 2)),
            ],
        },
    )
    rice, more, tarp = sorted(ahead(store).listed, key=lambda each: (each.item, -each.quantity))
    assert (tarp.weight_mg, tarp.bag, tarp.kit, tarp.name) == (480_000, "left", "Camp", "Tarp")
    assert (rice.carried_by, rice.quantity, rice.carried_as) == ("Ann", 2, "consumable")
    assert (more.carried_by, more.weight_mg) == (None, None)


def test_a_year_and_more_on_the_way(store: Store) -> None:
    fill(store, {"trip": [trip("plan", MAY, 399, plan=True)]})
    assert (ahead(store).days, len(ahead(store).way)) == (400, 400)


def test_which_trips_are_ahead(store: Store) -> None:
    fill(
        store,
        {
            "trip": [
                trip("over", date(2026, 4, 1), 2, plan=True),
                trip("under-way", MAY, 2, plan=True),
                trip("next", date(2026, 7, 1), 2, plan=True),
                trip("past", date(2025, 5, 1), 2),
            ]
        },
    )
    names = [each.trip.trip for each in trips_ahead_of(store, "", date(2026, 5, 3))]
    assert names == ["under-way", "next"]
    assert [each.trip.trip for each in trips_ahead_of(store, "Past", MAY)] == ["past"]
    assert trips_ahead_of(store, " ", date(2027, 1, 1)) == ()
    with pytest.raises(QuestionError, match='trip: expected a trip of this logbook, got "nex"'):
        trips_ahead_of(store, "nex", MAY)
