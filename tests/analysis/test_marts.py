"""Every analysis table against a second computation, and against what its columns say of it."""

from typing import Any

import marts_by_hand
import pandas as pd
import pytest
from hypothesis import given, settings
from marts_by_hand import Book
from store_drawing import Row, Tables, empty_store, fill, logbooks
from tarebook.analysis.catalogue.views import ENTRIES
from tarebook.analysis.store import opening as store
from tarebook.analysis.store.rows import to_frame
from tarebook.analysis.tables import entry
from tarebook.tripdata.errors import QuestionError

TYPES = {
    "text": "VARCHAR",
    "whole": ("INTEGER", "BIGINT"),
    "number": "DOUBLE",
    "flag": "BOOLEAN",
    "date": "DATE",
}


@pytest.fixture(scope="module")
def declared() -> Any:
    with empty_store(declared=True) as made:
        yield made


@pytest.fixture(scope="module")
def connection() -> Any:
    with empty_store() as made:
        yield made


def rows_of(relation: Any) -> list[Row]:
    return [dict(zip(relation.columns, row, strict=True)) for row in relation.fetchall()]


def same(found: list[Row], expected: list[Row]) -> None:
    assert len(found) == len(expected)
    for got, want in zip(found, expected, strict=True):
        assert got.keys() >= want.keys()
        for column, value in want.items():
            if column == "hauled_kg_km" and value is not None:
                assert got[column] == pytest.approx(value, rel=1e-15), column
            else:
                assert got[column] == value, (column, got, want)


@settings(
    max_examples=25,
)
@given(logbooks())
def test_tables_equal_a_second_computation_to_the_milligram(declared: Any, tables: Tables) -> None:
    fill(declared, tables)
    book = Book(tables)
    found = {table.name: rows_of(table.relation(declared)) for table in ENTRIES}
    for name, rows in found.items():
        expected = getattr(marts_by_hand, name)(book)
        same(rows, expected)
        columns = entry(name).column_names
        assert all(tuple(row) == columns for row in (*rows[:1], *expected[:1]))
        for term in entry(name).columns:
            assert term.nullable or all(row[term.name] is not None for row in rows), term
    hauled = dict(declared.view("item_hauls").fetchall())
    for item, along in marts_by_hand.past_rows(book).groupby("item"):
        assert hauled[item] == marts_by_hand.hauled_mg_mm(book, along)
    for view in ("trip_days", "trip_item_use"):
        rows = rows_of(declared.view(view))
        expected = getattr(marts_by_hand, view)(book)
        same(sorted(rows, key=lambda r: tuple(r.values())[:2]), expected)
    systems_sum_to_trips(found["trips"], found["trip_systems"])


def systems_sum_to_trips(trips: list[Row], systems: list[Row]) -> None:
    for trip in trips:
        mine = [s for s in systems if s["trip"] == trip["trip"]]
        assert sum(s["items"] for s in mine) == trip["items_carried"]
        for kind in ("base_g", "worn_g", "consumable_g", "vehicle_g"):
            known = [s[kind] for s in mine if s[kind] is not None]
            assert sum(known) == pytest.approx(trip[kind] or 0, abs=1e-9)


def test_columns_types_and_blanks_are_those_of_its_terms(connection: Any) -> None:
    for table in ENTRIES:
        relation = table.relation(connection)
        assert tuple(relation.columns) == table.column_names, table.name
        for term, kind in zip(table.columns, relation.types, strict=True):
            assert str(kind) in TYPES[term.kind], (table.name, term.name, kind)


@settings(max_examples=6)
@given(logbooks())
def test_frames_keep_whole_numbers_flags_and_blanks(connection: Any, tables: Tables) -> None:
    fill(connection, tables)
    types = {
        "text": "string",
        "whole": "Int64",
        "number": "float64",
        "flag": "boolean",
        "date": "datetime64[s]",
    }
    for table in ENTRIES:
        frame = table.frame(connection)
        assert tuple(frame.columns) == table.column_names
        for term in table.columns:
            assert str(frame[term.name].dtype) == types[term.kind], term
        key = [tuple(r) for r in frame.iloc[:, : table.sorted_by].itertuples(index=False)]
        assert key == sorted(key)
        blanks = sum(v is None for r in rows_of(table.relation(connection)) for v in r.values())
        assert frame.isna().sum().sum() == blanks


def test_every_meaning_stands_in_one_place() -> None:
    for table in ENTRIES:
        assert table.grain
        for term in table.columns:
            assert term.meaning
            assert term.kind != "number" or term.unit


def test_units_in_names_are_those_of_the_terms() -> None:
    suffixes = {
        "_g": "g",
        "_kg_km": "kg km",
        "_km": "km",
        "_m": "m",
        "_c": "°C",
        "_percentile": "%",
        "latitude": "°",
        "longitude": "°",
    }
    for table in ENTRIES:
        for term in table.columns:
            if term.kind == "number":
                suffix = max((s for s in suffixes if term.name.endswith(s)), key=len)
                assert term.unit == suffixes[suffix]


def test_a_table_is_found_by_a_loosely_typed_name_and_a_wrong_one_names_the_nearest() -> None:
    assert entry("Trip systems").name == "trip_systems"
    with pytest.raises(QuestionError, match=r'got "trip"; did you mean "trips"\?$'):
        entry("trip")


def test_every_view_names_its_grain_or_source_and_sorts_where_it_comes_out() -> None:
    shown = {"known_normals", "set_aside_rows"} | {
        table.name for table in ENTRIES if table.name in store.views()
    }
    for name, text in store.views().items():
        first = text.splitlines()[0]
        assert first.startswith("-- One row a" if name.startswith("stg_") else "-- Grain: "), name
        assert ("\nORDER BY" in text) == (name in shown), name


def test_a_frame_of_no_rows_keeps_its_types(connection: Any) -> None:
    frame = to_frame(entry("nights").relation_of(connection, []))
    assert list(frame.columns) == list(entry("nights").column_names)
    assert isinstance(frame["warmth"].dtype, pd.Int64Dtype)
