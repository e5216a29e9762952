"""Counts and lives against a second computation, and what the record of a logbook says."""

import re
from datetime import date
from typing import Any

import failures_by_hand
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from marts_by_hand import Book
from store_drawing import Tables, carried, empty_store, fill, gear, logbooks, trip
from tarebook.analysis.buying.page import opening as buying_opening
from tarebook.analysis.store.rows import ask
from tarebook.analysis.tables import TABLES
from tarebook.analysis.wear import sections as failure_page
from tarebook.analysis.wear.failures import failure_book
from tarebook.analysis.wear.outputs import failure_rows, life_rows
from tarebook.analysis.wear.rates import FailurePool
from tarebook.analysis.wear.upkeep import upkeep
from tarebook.analysis.wear.words import failure_record, life_in_words, system_life_in_words
from tarebook.tripdata.contract import SEVERITIES

TODAY = date(2020, 4, 1)


@pytest.fixture(scope="module")
def connection() -> Any:
    with empty_store() as made:
        yield made


@st.composite
def broken(draw: st.DrawFn) -> Tables:
    """A small logbook with failures of every severity, dated or not, and things given up."""
    tables = draw(logbooks())
    owned = [g["item"] for g in tables["gear"]]
    for row in tables["gear"]:
        row["retired_on"] = draw(st.sampled_from((None, None, TODAY, date(2030, 1, 1))))
        row["price"] = draw(st.sampled_from((None, 0.0, 120.0)))
    for row in tables.get("failures", []):
        row["severity"] = draw(st.sampled_from(SEVERITIES))
        row["item"] = draw(st.sampled_from(owned))
        row["day"] = draw(st.sampled_from((None, row["day"])))
    return tables


@settings(
    max_examples=40,
)
@given(broken())
def test_counts_and_lives_equal_a_second_computation(connection: Any, tables: Tables) -> None:
    fill(connection, tables)
    book = Book(tables)
    for question, expected in (
        ("wear/failure_counts", failures_by_hand.failure_counts(book)),
        ("wear/item_lives", failures_by_hand.lives(book)),
    ):
        found = ask(connection, question)
        assert [r["item"] for r in found] == [r["item"] for r in expected]
        for got, want in zip(found, expected, strict=True):
            assert {k: got[k] for k in want} == pytest.approx(want), question
    record = failure_book(connection, TODAY)
    for system in record.systems:
        mine = [f for f in record.items if f.system == system.system]
        assert system.rate.failures == sum(f.rate.failures for f in mine)
        assert system.rate.nights == sum(f.rate.nights for f in mine)
    rates = failure_rows((*record.items, *record.systems))
    for name, rows in (("failure_rates", rates), ("item_life", life_rows(record))):
        TABLES[name].relation_of(connection, rows)
        for row in rows:
            assert all(t.nullable or row[t.name] is not None for t in TABLES[name].columns)


def book_of(connection: Any, failures: list[dict[str, Any]], **more: Any) -> Any:
    """Six things of one system on three trips of four nights, used on each."""
    names = [f"pan-{n}" for n in range(6)]
    trips = [trip(f"t{n}", date(2020, 1, 1 + 10 * n), 4, use_record="full") for n in range(3)]
    fill(
        connection,
        {
            "gear": [gear(n, "cook", price=60.0, currency="EUR", **more) for n in names],
            "trip": trips,
            "carried": [carried(t["trip"], n, used=1) for t in trips for n in names],
            "failures": failures,
        },
    )
    return failure_book(connection, TODAY)


def test_what_never_failed_has_an_upper_bound_and_says_not_reached(connection: Any) -> None:
    found = book_of(connection, [])
    for one in found.items:
        assert one.rate.exact.value == 0
        assert one.rate.high > 0
        # Garwood's upper end of 0 in 12 nights at 90 % is -ln .05 / .12.
        assert one.rate.exact.high == pytest.approx(2.995732 / 0.12, rel=1e-6)
        assert one.worst is None
        assert one.per_1000_km is None
    (system,) = found.system_lives
    assert system.survival is not None
    assert system.survival.median is None
    assert system_life_in_words(system) == (
        "no typical life yet: none of 6 things failed for good in up to 12 nights of use"
    )
    row = life_rows(found)[-1]
    assert (row["life_nights"], row["life_high"], row["share_left"]) == (None, None, 1.0)


def test_life_ends_with_the_first_failure_for_good(connection: Any) -> None:
    failures = [
        {"trip": "t0", "item": "pan-0", "severity": "impaired", "day": date(2020, 1, 2)},
        {"trip": "t1", "item": "pan-0", "severity": "lost_use", "day": date(2020, 1, 12)},
        {"trip": "t2", "item": "pan-0", "severity": "unsafe", "day": date(2020, 1, 22)},
        {"trip": "t1", "item": "pan-1", "severity": "unsafe", "day": None},
    ]
    found = book_of(connection, failures)
    first, second, third = found.lives[:3]
    assert (first.life_nights, first.ended, first.ended_on) == (8, "failed", date(2020, 1, 12))
    assert (second.life_nights, second.ended, second.ended_on) == (8, "failed", date(2020, 1, 11))
    assert (third.life_nights, third.ended, third.ended_on) == (12, "in_use", None)
    assert first.cost_per_night == pytest.approx(60 / 12)
    assert life_in_words(first) == "failed for good after 8 nights of use"
    assert found.items[0].worst == "unsafe"
    assert found.items[0].by_severity == (0, 1, 1, 1)
    (system,) = found.system_lives
    assert system_life_in_words(system) == (
        "no typical life yet: 2 of 6 things failed for good in up to 12 nights of use, "
        "about 67 % last longer"
    )


def afloat(connection: Any, nights: int, failures: int, other_nights: int = 0) -> Any:
    """A boat that failed so often in so many nights, and a paddle beside it."""
    fill(
        connection,
        {
            "gear": [gear("boat", "boat"), gear("paddle", "boat")],
            "trip": [
                trip("t", date(2019, 1, 1), nights),
                trip("u", date(2019, 6, 1), other_nights),
            ],
            "carried": [carried("t", "boat"), carried("u", "paddle")],
            "distances": [{"trip": "t", "day": date(2019, 1, 1), "distance_mm": 9_000_000}],
            "failures": [{"trip": "t", "item": "boat", "severity": "impaired"}] * failures,
        },
    )
    return failure_book(connection, TODAY)


@pytest.mark.parametrize(("nights", "failures"), [(0, 1), (1, 0), (1, 3), (3, 1), (3, 2), (19, 4)])
def test_under_twenty_nights_there_is_no_rate_and_no_bound(
    connection: Any, nights: int, failures: int
) -> None:
    found = afloat(connection, nights, failures)
    for row in failure_rows((*found.items, *found.systems)):
        if row["item"] == "boat" or row["item"] is None:
            assert (row["nights"], row["failures"]) == (nights, failures)
        assert not [n for n in row if n.startswith(("rate", "exact", "km_", "pooled")) if row[n]]
    part, point = failure_page.what_broke_section(found), buying_opening.broken(found)
    told = "".join([part.html(), part.text(), point.text()])
    assert "too few nights to tell" in told
    assert "in 100 nights" not in told.replace("(per 100 nights)", "")
    assert not re.search(r"\b1 (nights|trips|times|failures)\b|at most \d|\d to \d", told)


def test_an_interval_that_is_shown_holds_what_was_seen(connection: Any) -> None:
    for nights in (20, 25, 60):
        for failures in (0, 1, 3, 8):
            found = afloat(connection, nights, failures, 300)
            for row in failure_rows((*found.items, *found.systems)):
                if row["rate_per_100_nights"] is not None:
                    assert row["rate_low"] <= row["rate_per_100_nights"] <= row["rate_high"]
    # Beside nine things of 400 faultless nights each, pooling alone would leave it out.
    pool = FailurePool([1, *[0] * 9], [20, *[400] * 9])
    alone = pool.rates([1], [20])[0]
    assert (alone.low, alone.high) == (alone.exact.low, alone.exact.high)
    assert alone.value < alone.low * 10
    assert alone.low < alone.exact.value == 5 < alone.high


def test_a_record_in_words(connection: Any) -> None:
    found = book_of(
        connection,
        [
            {"trip": "t0", "item": "pan-0", "severity": "nuisance"},
            {"trip": "t1", "item": "pan-0", "severity": "unsafe"},
            {"trip": "t1", "item": "pan-1", "severity": "unsafe"},
            {"trip": "t1", "item": "pan-2", "severity": "lost_use"},
            *[{"trip": "t1", "item": "pan-3", "severity": "impaired"}] * 3,
        ],
    )
    assert [failure_record(f) for f in found.items[:4]] == [
        "twice in 12 nights, once in an unsafe way",
        "once in 12 nights, in an unsafe way",
        "once in 12 nights, for good",
        "3 times in 12 nights",
    ]
    assert "“Pan-0” and “Pan-1” were unsafe" in failure_page.what_broke_section(found).caution


def test_what_was_mended_has_not_failed_for_good(connection: Any) -> None:
    fixed = {"trip": "t0", "item": "pan-0", "severity": "lost_use", "fixed_on": date(2020, 2, 1)}
    found = book_of(connection, [fixed])
    assert {life.ended for life in found.lives} == {"in_use"}
    assert found.system_lives[0].failed == 0
    assert found.items[0].mended == 1
    assert failure_record(found.items[0]) == "once in 12 nights, so that it had to be mended"
    answer = failure_page.what_broke_section(found).answer[0]
    assert answer == (
        "1 failure of 1 thing is on record. After it the thing could no longer be used until it "
        "was fixed."
    )
    lost = {"trip": "t1", "item": "pan-1", "severity": "lost_use"}
    both = failure_page.what_broke_section(book_of(connection, [fixed, lost])).answer[0]
    assert both == (
        "2 failures of 2 things are on record. 1 of them was for good, as far as you noted. After "
        "1 of them the thing could no longer be used until it was fixed."
    )


def test_given_up_without_failing_ends_watching(connection: Any) -> None:
    found = book_of(connection, [], retired_on=date(2020, 3, 1))
    assert {life.ended for life in found.lives} == {"retired"}
    assert found.system_lives[0].failed == 0
    assert "without having failed for good" in life_in_words(found.lives[0])


def test_too_few_lives_are_said_to_be_too_few(connection: Any) -> None:
    fill(
        connection,
        {
            "gear": [gear("pan", "cook")],
            "trip": [trip("t", date(2020, 1, 1), 2, use_record="full")],
            "carried": [carried("t", "pan", used=1)],
        },
    )
    (life,) = failure_book(connection, TODAY).system_lives
    assert life.survival is None
    assert system_life_in_words(life) == (
        "too few to tell: 1 thing was used for a night, 5 are needed"
    )


def test_what_is_open_and_what_failed_again(connection: Any) -> None:
    book_of(
        connection,
        [
            {"trip": "t0", "item": "pan-0", "severity": "nuisance", "what": "Rattles"},
            {"trip": "t1", "item": "pan-0", "severity": "lost_use", "fixed_on": date(2020, 2, 1)},
            {"trip": "t1", "item": "pan-1", "severity": "unsafe", "day": date(2020, 1, 12)},
        ],
    )
    assert [(c.kind, c.item, c.severity, c.times) for c in upkeep(connection, TODAY)] == [
        ("mend", "pan-1", "unsafe", 1),
        ("mend", "pan-0", "nuisance", 2),
    ]
