"""The table cold_by_set: every sleep set owned on a trip to come, from what came before it."""

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import pytest
from store_drawing import carried, empty_store, gear, trip
from tarebook.analysis.cold.limit import cold_limits
from tarebook.analysis.cold.trips import cold_forecasts
from tarebook.analysis.display.cautions import AHEAD_CARE
from tarebook.analysis.store.trip_choice import choose_past_trip, choose_trip
from tarebook.analysis.tables import entry
from tarebook.tripdata.errors import QuestionError
from test_cold_answers import BAG, HERE, LOWS, MAT, TODAY, Tables, joined, nights_in, plan, put

OTHER = gear("other", "sleep", 700_000, rated_low_c=5.0, rated_as="limit")
SILK = gear("silk", "sleep", 150_000)


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def rows_of(store: Any, **options: Any) -> list[dict[str, Any]]:
    relation = entry("cold_by_set").relation(store, **{"today": TODAY, **options})
    return [dict(zip(relation.columns, row, strict=True)) for row in relation.fetchall()]


def remarks_of(store: Any, **options: Any) -> tuple[str, ...]:
    return entry("cold_by_set").answer(store, **{"today": TODAY, **options})[1]


def test_each_set_slept_in_and_each_rated_thing_never_slept_in(store: Any) -> None:
    put(
        store,
        joined(
            nights_in([BAG, MAT], LOWS, 3.2),
            nights_in([BAG, MAT, SILK], LOWS[:2], 3.2, ago=-14),
            {"gear": [OTHER]},
            plan("bag", "mat"),
        ),
    )
    rows = rows_of(store)
    assert [row["sleep_system"] for row in rows] == ["Bag;Mat", "Bag;Mat;Silk", "Mat;Other;Silk"]
    assert {row["trip"] for row in rows} == {"plan"}
    assert [row["weight_g"] for row in rows] == [1400.0, 1550.0, 1250.0]
    assert [row["basis"] for row in rows] == ["own", "own", "rated"]
    assert [row["nights"] for row in rows] == [len(LOWS), 2, 0]
    assert [row["on_list"] for row in rows] == [True, False, False]
    for row in rows:
        assert 0 <= row["p_cold_low"] < row["p_cold"] < row["p_cold_high"] <= 1
    assert AHEAD_CARE in remarks_of(store)
    # Of a plan after all trips it is the answer that pages give.
    (page,) = cold_forecasts(store, [choose_trip(store, "plan")], cold_limits(store))
    by_name = {";".join(one.limit.system.names): one for one in page.sets}
    for row in rows:
        chance = by_name[row["sleep_system"]].chance
        assert chance is not None
        assert row["p_cold"] == chance.p_any.value


def test_nothing_from_after_the_start_counts(store: Any) -> None:
    before = nights_in([BAG, MAT], LOWS, 3.2, ago=700)
    start = TODAY - timedelta(400)
    asked: Tables = {
        "trip": [trip("asked", start, 2, mode="foot", **HERE)],
        "carried": [carried("asked", "bag"), carried("asked", "mat")],
        "weighings": [
            {"item": "bag", "weighed_on": start - timedelta(1), "weight_mg": 1_100_000},
            {"item": "bag", "weighed_on": start + timedelta(1), "weight_mg": 900_000},
        ],
    }
    put(store, joined(before, asked))
    known = rows_of(store, trip="asked")
    assert [row["weight_g"] for row in known] == [1500.0]
    assert known[0]["nights"] == len(LOWS)
    # Warm nights later, other gear bought later, the trip's own nights: none of them was known.
    late = {**OTHER, "bought_on": start + timedelta(1)}
    own: Tables = {
        "weather": [{"trip": "asked", "day": start, "low_c": -9.0}],
        "comfort": [
            {"trip": "asked", "day": start, "aspect": "sleep", "score": 5, "warmth": 3},
        ],
    }
    put(store, joined(before, asked, own, nights_in([BAG, MAT, late], LOWS, -30.0)))
    assert rows_of(store, trip="asked") == known
    assert len(cold_limits(store).nights) > known[0]["nights"]


def test_a_trip_that_ends_on_the_day_it_begins_counts_and_one_that_does_not_does_not(
    store: Any,
) -> None:
    tables = nights_in([BAG, MAT], LOWS[:4], 3.2)
    last = max(row["end_on"] for row in tables["trip"])
    for start, nights in ((last, 4), (last - timedelta(1), 2)):
        asked: Tables = {
            "trip": [trip("asked", start, 1, mode="foot", **HERE)],
            "carried": [carried("asked", "bag"), carried("asked", "mat")],
        }
        put(store, joined(tables, asked))
        (row,) = rows_of(store, trip="asked")
        assert row["nights"] == nights


def test_what_was_given_up_borrowed_or_not_yet_bought_is_in_no_set(store: Any) -> None:
    gone = gear("gone", "sleep", rated_low_c=0.0, retired_on=date(2027, 4, 10))
    lent = gear("lent", "sleep", rated_low_c=0.0, owner="Somebody")
    later = gear("later", "sleep", rated_low_c=0.0, bought_on=date(2027, 4, 11))
    put(store, {"gear": [BAG, gone, lent, later, MAT], **plan("bag", "gone")})
    assert [row["sleep_system"] for row in rows_of(store)] == ["Bag"]
    assert rows_of(store)[0]["on_list"] is True


def test_without_normals_chances_are_missing_and_sets_stand(store: Any) -> None:
    put(store, joined(nights_in([BAG, MAT], LOWS, 3.2), plan("bag")))
    store.execute("DELETE FROM normals")
    store.execute("UPDATE trip SET latitude = NULL, longitude = NULL")
    (row,) = rows_of(store)
    assert row["sleep_system"] == "Bag;Mat"
    assert (row["p_cold"], row["p_cold_low"], row["p_cold_high"]) == (None, None, None)
    assert row["basis"] == "own"
    assert row["on_list"] is False


def test_a_day_out_an_unweighed_thing_and_a_plan_that_is_over(store: Any) -> None:
    things = [BAG, {**MAT, "weight_mg": None}]
    put(store, joined(nights_in(things, LOWS[:2], 3.2), plan(nights=0)))
    (row,) = rows_of(store)
    assert row["weight_g"] is None
    assert row["p_cold"] is None
    assert rows_of(store, today=date(2028, 1, 1)) == []
    none = "No plan lies ahead: name a trip, or give one in trip.csv plan = yes."
    assert none in remarks_of(store, today=date(2028, 1, 1))
    assert len(rows_of(store, trip="plan", today=date(2028, 1, 1))) == 1


def test_an_empty_logbook_and_an_unknown_trip(store: Any) -> None:
    put(store, {"gear": [], "trip": []})
    assert rows_of(store) == []
    with pytest.raises(QuestionError, match='trip: expected a trip of this logbook, got "nowhere"'):
        rows_of(store, trip="nowhere")


def test_who_asks_to_look_back_on_a_plan_is_sent_ahead(store: Any) -> None:
    put(store, {"gear": [], **plan()})
    with pytest.raises(QuestionError) as refused:
        choose_past_trip(store, "plan")
    assert str(refused.value) == (
        'trip: expected a trip that took place, got the plan "plan"; `tarebook report before_trip '
        "--trip plan` looks ahead to it. Once it is over, set plan to no in trip.csv"
    )


def test_bags_that_never_went_along_together_are_no_one_set(store: Any) -> None:
    """A bag or quilt without a rating goes with no second one to a set."""
    names = ("Bag", "Old quilt", "Ember 400", "Cloud nine")
    warm = gear("warm", "sleep", 1_600_000, rated_low_c=-12.0, rated_as="limit", name="Winter bag")
    things = [gear(n, "sleep", 900_000, name=n) for n in names]
    pillow = gear("pillow", "sleep", 80_000, name="Pillow")
    for summer in things:
        # What neither word nor column tells is the cover of a bed of which the mat is told.
        slept = [summer, MAT, pillow, SILK]
        put(store, joined(nights_in(slept, LOWS, 4.2), {"gear": [warm]}, plan(summer["item"])))
        (row,) = rows_of(store)
        assert row["sleep_system"] == "Mat;Pillow;Silk;Winter bag"
        assert row["weight_g"] == sum(t["weight_mg"] for t in (MAT, pillow, SILK, warm)) / 1000
        # On a list it is in the place of the other.
        put(
            store,
            joined(nights_in(slept, LOWS, 4.2), plan("warm", "mat", "silk"), {"gear": [warm]}),
        )
        (ahead,) = cold_forecasts(store, [choose_trip(store, "plan")])
        assert (ahead.lacking, ahead.told is not None) == ((), True)
        # A liner with a rating is no bag: it goes with one.
        liner = {**warm, "name": "Bag liner"}
        put(store, joined(nights_in(slept, LOWS, 4.2), {"gear": [liner]}, plan(summer["item"])))
        assert summer["name"] in rows_of(store)[0]["sleep_system"].split(";")
    # Those that did go together may go so again.
    both = nights_in([things[0], MAT, {**warm, "retired_on": None}], LOWS[:2], 4.2, ago=900)
    put(store, joined(both, nights_in([things[0], MAT], LOWS, 4.2), plan("mat")))
    assert "Bag;Mat;Winter bag" in [row["sleep_system"] for row in rows_of(store)]
