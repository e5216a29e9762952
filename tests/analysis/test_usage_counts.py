"""Every count behind usage and culling against a second computation over random logbooks."""

from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from marts_by_hand import Book
from season_drawing import seasons
from store_drawing import Tables, carried, empty_store, fill, gear, trip
from tarebook.analysis.store.rows import ask
from tarebook.analysis.store.scope import Scope, choose
from tarebook.analysis.usage.conditions import Meaning
from tarebook.analysis.usage.items import usage
from tarebook.tripdata.errors import QuestionError
from usage_by_hand import Season

RANDOM = settings(
    max_examples=25,
)
DAYS = st.none() | st.dates(date(2019, 11, 15), date(2020, 3, 15))
# A period that ends before it begins is refused, which has a test of its own below.
PERIODS = st.tuples(DAYS, DAYS).map(lambda ends: ends if None in ends else tuple(sorted(ends)))
SCOPES = st.builds(
    lambda period, mode, season: Scope(*period, mode, season),
    PERIODS,
    st.sampled_from((None, None, "foot", "bike")),
    st.sampled_from((None, None, None, "2020 winter", "2020 summer")),
)


@pytest.fixture(scope="module")
def store() -> Any:
    with empty_store() as made:
        yield made


@RANDOM
@given(seasons(), SCOPES)
def test_counts_equal_a_second_computation(store: Any, tables: Tables, scope: Scope) -> None:
    fill(store, tables)
    season = Season(Book(tables), scope)
    trips = [
        row["trip"]
        for row in ask(
            store,
            "store/scope_trips",
            since=scope.since,
            until=scope.until,
            mode=scope.mode,
            season=scope.season,
        )
    ]
    assert sorted(trips) == season.trips
    found, expected = ask(store, "usage/usage_counts", trips=trips), season.counts()
    assert [row["item"] for row in found] == [row["item"] for row in expected]
    for got, want in zip(found, expected, strict=True):
        for column, value in want.items():
            if column.startswith(("hauled", "kg_km")) and value is not None:
                assert got[column] == pytest.approx(value, rel=1e-14), (column, got)
            else:
                assert got[column] == value, (column, got, want)
    meant = {
        (
            frozenset(row["meant_for"]),
            row["cold_below_c"] if "cold" in row["meant_for"] else None,
        ): tuple(row[f"{of}{n}"] for of in ("", "warm_", "other_") for n in ("known", "met"))
        for row in ask(store, "usage/meant_counts", trips=trips)
    }
    assert meant == season.meant()
    assert ask(store, "cull/base_loads", trips=trips) == season.base_loads()
    services = {
        (r["item"], r["system"]): r["trips"] for r in ask(store, "usage/services", trips=trips)
    }
    assert services == {key: len(names) for key, names in season.served().items()}
    credits = {
        (r["item"], r["stand_in"]): r["credit"]
        for r in ask(store, "cull/stand_in_credits", trips=trips)
    }
    assert credits == pytest.approx(season.credits(), abs=1e-6)


@settings(parent=RANDOM, max_examples=8)
@given(seasons())
def test_usage_adds_up(store: Any, tables: Tables) -> None:
    fill(store, tables)
    try:
        found = usage(store)
    except QuestionError:
        assert all(t["plan"] for t in tables["trip"])
        return
    items = {row["item"]: row for row in ask(store, "usage/usage_counts", trips=found.scoped.names)}
    assert [i.about.item for i in found.items] == sorted(items)
    for one in found.items:
        counts = one.counts
        assert 0 <= counts.chances_used <= counts.chances
        assert counts.wished <= counts.chances_used
        assert 0 <= counts.used_besides <= counts.besides
        assert counts.not_known >= counts.carried - counts.logged
        assert (
            counts.carried == counts.chances - counts.wished + counts.no_chance + counts.not_known
        )
        assert 0 <= one.rate.low <= one.rate.value <= one.rate.high <= 1
        assert 0 <= one.need() <= 1
        if not counts.used_besides:
            assert one.need() == pytest.approx(one.p_condition * one.rate.value)


def nine_trips(conditions: list[Any], **more: Any) -> Tables:
    """A trip of one night a row, with one weather row a day where the word is not None."""
    names = [f"t{n}" for n in range(len(conditions))]
    starts = [date(2026, 5, 1 + 3 * n) for n in range(len(conditions))]
    tables: Tables = {
        "gear": [gear("cape", "rain", 180_000, meant_for=["wet"])],
        "trip": [trip(n, s, 1, mode="foot") for n, s in zip(names, starts, strict=True)],
        "carried": [carried(n, "cape", used=0) for n in names],
        "weather": [
            {"trip": n, "day": day, "wet": wet}
            for n, s, wet in zip(names, starts, conditions, strict=True)
            for day in (s, date(2026, 5, s.day + 1))
            if wet is not None
        ],
    }
    return tables | more


def only(store: Any, tables: Tables, scope: Scope | None = None) -> Any:
    fill(store, tables)
    (found,) = usage(store, scope).items
    return found


def test_a_trip_without_weather_tells_neither_way(store: Any) -> None:
    found = only(store, nine_trips([True, True, False, None]))
    counts = found.counts
    assert (counts.carried, counts.chances, counts.no_chance, counts.not_known) == (4, 2, 1, 1)
    assert found.p_condition == pytest.approx(2.5 / 4)  # Jeffreys: 2 of 3 known


def test_one_day_of_rain_is_a_chance_only_while_it_came_along(store: Any) -> None:
    tables = nine_trips([False])
    day = tables["trip"][0]["end_on"]
    tables["weather"][1]["wet"] = True
    assert only(store, tables).counts.chances == 1
    tables["carried"] = [carried("t0", "cape", until_day=tables["trip"][0]["start_on"], used=0)]
    assert only(store, tables).counts.no_chance == 1
    tables["carried"].append(carried("t0", "cape", from_day=day))
    assert only(store, tables).counts.chances == 1


def test_carried_without_a_record_of_use_is_never_unused(store: Any) -> None:
    tables = nine_trips([True, True, True])
    tables["trip"][0]["use_record"] = "none"
    tables["trip"][1]["use_record"] = "partial"
    tables["carried"][1]["used"] = None
    counts = only(store, tables).counts
    assert (counts.carried, counts.chances, counts.not_known, counts.used) == (3, 1, 2, 0)


def test_what_was_missed_at_home_is_a_chance_and_a_use(store: Any) -> None:
    tables = nine_trips([True, False])
    tables["carried"] = [carried("t0", "cape", used=0)]
    tables["gear"].append(gear("mug", "cook"))
    tables["carried"].append(carried("t1", "mug", used=1))
    tables["wished"] = [
        {"trip": "t1", "item": "cape", "how_much": "much"},
        {"trip": "t1", "item": "cape", "how_much": "badly"},
        {"trip": "t0", "item": "cape"},
    ]
    fill(store, tables)
    cape = usage(store).items[0]
    assert (cape.counts.chances, cape.counts.chances_used, cape.counts.wished) == (2, 1, 1)


def test_plans_are_no_history(store: Any) -> None:
    tables = nine_trips([True, True])
    tables["trip"][1]["plan"] = True
    tables["wished"] = [{"trip": "t1", "item": "cape"}]
    assert only(store, tables).counts.chances == 1


def test_cold_is_a_matter_of_nights(store: Any) -> None:
    tables = nine_trips([None])
    tables["gear"][0] |= {"meant_for": ["cold"], "cold_below_c": 2.0}
    start = tables["trip"][0]["start_on"]
    assert only(store, tables).counts.not_known == 1
    tables["weather"] = [{"trip": "t0", "day": start, "low_c": 1.9}]
    assert only(store, tables).counts.chances == 1
    tables["weather"] = [{"trip": "t0", "day": start, "low_c": 2.0}]
    assert only(store, tables).counts.no_chance == 1
    tables["gear"][0]["cold_below_c"] = None
    assert only(store, tables).counts.not_known == 1
    tables["trip"][0]["end_on"] = start
    tables["gear"][0]["cold_below_c"] = 2.0
    tables["weather"] = []
    assert only(store, tables).counts.no_chance == 1, "no night, no cold night"


def test_scopes_are_read_and_refused_in_words(store: Any) -> None:
    fill(store, nine_trips([True, False]))
    assert Scope.of("2026-05-02", "", "FOOT", " ") == Scope(date(2026, 5, 2), None, "foot", None)
    assert (
        choose(store, Scope.of(season="spring 2026")).text == "2 trips of 2026 spring, 1–5 May 2026"
    )
    assert choose(store, Scope.of(since="2026-05-02", mode="foot")).names == ["t1"]
    for given_, told in (
        ({"since": "2.5.2026"}, 'since: expected a day as YYYY-MM-DD, got "2.5.2026"'),
        (
            {"until": "2026-02-30"},
            'until: expected a day as YYYY-MM-DD, got "2026-02-30"; there is no such day',
        ),
        (
            {"since": "2026-05-02", "until": "2026-05-01"},
            "until: expected a day from 2026-05-02 on, got 2026-05-01; swap the two",
        ),
        (
            {"mode": "bikes"},
            "mode: expected one of foot, bike, ebike, paddle, mixed, "
            'got "bikes"; did you mean "bike"?',
        ),
        (
            {"mode": "bike"},
            "expected a trip that took place (mode bike), found none; the logbook has 2 from "
            "2026-05-01 to 2026-05-04, by foot",
        ),
        (
            {"season": "2026 sprung"},
            'season: expected one of this logbook, e.g. "2026 spring", got "2026 sprung"; did you '
            'mean "2026 spring"?',
        ),
    ):
        with pytest.raises(QuestionError) as raised:
            choose(store, Scope.of(**given_))
        assert str(raised.value) == told
    fill(store, {"gear": [gear("cape", "rain")], "trip": []})
    with pytest.raises(QuestionError, match="expected a logbook with a trip that took place"):
        choose(store, Scope())


def test_meanings_are_what_the_row_says() -> None:
    assert Meaning.of(["any"], 3.0) == Meaning.of([], None) == Meaning()
    assert Meaning.of(["wet"], 3.0) == Meaning(frozenset({"wet"}))
    assert Meaning.of(["cold", "wet"], 3.0) == Meaning(frozenset({"wet", "cold"}), 3.0)
