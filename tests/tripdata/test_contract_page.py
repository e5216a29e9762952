"""The contract stands in one place: its tables as they were agreed on, and nothing drifts from it.

The table below is typed by hand from the documented contract, not drawn from the code.
"""

import re

import duckdb
import kit
import pytest
from tarebook.tripdata import guide, units
from tarebook.tripdata.contract import (
    BY_NAME,
    ESSENTIAL_SYSTEMS,
    INSURANCE_SYSTEMS,
    MAX_TRIP_DAYS,
    SYSTEMS,
    TABLES,
    WET_RAIN_MM,
    Column,
)
from tarebook.tripdata.header import known_headers
from tarebook.tripdata.schema import sql_type, store_ddl
from tarebook.tripdata.sink import typed_columns
from tarebook.tripdata.store import memory_store

# `*` column required, `+` cell required too; (unit) the dimension whose suffix the header carries.
PAGE = {
    "gear": (
        "item",
        "item*+, name, system*+, weight_(mass)*, carried_as, kit, insurance, essential, meant_for, "
        "cold_below_(temp), going_without, price, currency, bought_on, retired_on, checked_on, "
        "rated_low_(temp), rated_as, r_value, capacity_wh, replaces, needs, formerly, owner, note",
    ),
    "weighings": ("item, weighed_on", "item*+, weighed_on*+, weight_(mass)*+, note"),
    "candidates": (
        "candidate",
        "candidate*+, name, system*+, weight_(mass)*+, carried_as, price, currency, replaces, "
        "rated_low_(temp), rated_as, r_value, capacity_wh, expected_nights, note",
    ),
    "trip": (
        "trip",
        "trip*+, title, start_on*+, end_on*+, mode, people, place, latitude, longitude, "
        "elevation_(height), station, use_record, plan, note",
    ),
    "carried": (
        "trip, item, carried_as, bag, from_day",
        "item*+, quantity, weight_(mass), carried_as, carried_by, bag, from_day, until_day, used, "
        "brought_home_(mass), note",
    ),
    "used": ("trip, item, day, used_for", "item*+, day, times, used_for, note"),
    "failures": ("", "item*+, day, severity*+, what, fixed_with, fixed_on, note"),
    "temperatures": ("", "at*+, temperature_(temp)*+, spot"),
    "distances": (
        "trip, day, mode",
        "day*+, mode, distance_(length)*+, ascent_(height), hours, battery_wh",
    ),
    "weather": (
        "trip, day",
        "day*+, wet, rain_(rain), wind_(speed), low_(temp), high_(temp), conditions",
    ),
    "comfort": ("trip, day, aspect", "day*+, aspect, score*+, warmth, note"),
    "wished": ("", "what, item, system, how_much, note"),
}
UNITS = {
    "mass": ("mass", "g kg oz lb"),
    "temp": ("temperature", "c f"),
    "length": ("length", "km mi"),
    "height": ("height", "m ft"),
    "rain": ("rain", "mm in"),
    "speed": ("speed", "kmh mph"),
}
KINDS = {
    "key": "gear.item candidates.candidate trip.trip",
    "item": "weighings.item carried.item used.item failures.item wished.item",
    "names": "gear.formerly",
    "items": "gear.replaces gear.needs candidates.replaces",
    "words": "gear.meant_for weather.conditions",
    "group": "gear.kit carried.bag",
    "flag": "gear.insurance gear.essential trip.plan weather.wet",
    "use": "carried.used",
    "moment": "temperatures.at",
    "date": "gear.bought_on gear.retired_on gear.checked_on weighings.weighed_on trip.start_on "
    "trip.end_on carried.from_day carried.until_day used.day failures.day "
    "failures.fixed_on distances.day weather.day comfort.day",
    "whole": "trip.people carried.quantity used.times comfort.score comfort.warmth",
    "number": "gear.going_without gear.price gear.r_value gear.capacity_wh candidates.price "
    "candidates.r_value candidates.capacity_wh candidates.expected_nights trip.latitude "
    "trip.longitude distances.hours distances.battery_wh",
    "choice": "gear.system gear.carried_as gear.rated_as candidates.system candidates.carried_as "
    "candidates.rated_as trip.mode trip.use_record carried.carried_as used.used_for "
    "failures.severity temperatures.spot distances.mode comfort.aspect wished.system "
    "wished.how_much",
}
ALL_SYSTEMS = (
    "shelter sleep clothing rain bags cook water food first_aid safety repair navigation light "
    "fire hygiene power leisure bike boat other"
)
KINDS_OF_CARRYING = "base worn consumable vehicle"
CHOICES = {
    "system": ALL_SYSTEMS,
    "used_for": ALL_SYSTEMS,
    "carried_as": KINDS_OF_CARRYING,
    "rated_as": "comfort limit maker",
    "mode": "foot bike ebike paddle mixed",
    "use_record": "full all_but partial none",
    "severity": "nuisance impaired lost_use unsafe",
    "spot": "camp shelter trail",
    "aspect": "sleep camp moving fun",
    "how_much": "little much badly",
}
RANGES = {  # in kg, °C, km, m, mm, km/h and as written
    "weight": (0, 100), "brought_home": (0, 100), "temperature": (-60, 60), "low": (-60, 60),
    "high": (-60, 60), "cold_below": (-60, 60), "rated_low": (-60, 60), "distance": (0, 1000),
    "ascent": (0, 10_000), "hours": (0, 24), "rain": (0, 1000), "wind": (0, 300),
    "price": (0, 1e6), "capacity_wh": (0, 1e6), "battery_wh": (0, 1e6), "r_value": (0, 20),
    "expected_nights": (0, 10_000), "times": (0, 1000), "quantity": (1, 1000), "people": (1, 1000),
    "latitude": (-90, 90), "longitude": (-180, 180), "going_without": (0, 10), "score": (1, 5),
    "warmth": (-3, 3), "elevation": (-500, 9000),  # the last is the project's own
}  # fmt: skip
DEFAULTS = {
    ("gear", "carried_as"): "base",
    ("gear", "meant_for"): "any",
    ("gear", "rated_as"): "maker",
    ("candidates", "carried_as"): "base",
    ("candidates", "rated_as"): "maker",
    ("trip", "plan"): "no",
    ("trip", "people"): "1",
    ("carried", "quantity"): "1",
    ("used", "times"): "1",
    ("temperatures", "spot"): "camp",
    ("comfort", "aspect"): "sleep",
}
ROOT_ONLY = ("gear", "weighings", "candidates")
COLUMNS = [(t.name, c) for t in TABLES for c in t.columns]


def page_columns(table: str) -> dict[str, tuple[str, bool, bool]]:
    """Column to its dimension, and whether column and cell are required."""
    found = {}
    for text in PAGE[table][1].split(", "):
        name, dim, star, plus = re.fullmatch(  # type: ignore[union-attr]
            r"(\w+?)(?:_\((\w+)\))?(\*?)(\+?)", text
        ).groups()
        found[name] = (UNITS[dim][0] if dim else "", star == "*", plus == "+")
    return found


def test_every_table_and_its_key() -> None:
    assert set(PAGE) == set(BY_NAME)
    for table in TABLES:
        assert ", ".join(table.key) == PAGE[table.name][0]
        assert table.per_trip is (table.name not in (*ROOT_ONLY, "trip"))
    order = [t.name for t in TABLES]
    assert order[:4] == ["gear", "weighings", "candidates", "trip"]
    assert order.index("carried") < order.index("used")


@pytest.mark.parametrize("table", PAGE)
def test_every_column_its_dimension_and_what_is_required(table: str) -> None:
    wanted = page_columns(table)
    own = [c for c in BY_NAME[table].columns if c.kind != "trip"]
    assert [c.name for c in own] == list(wanted)
    for column in own:
        dimension = column.dimension.name if column.dimension else ""
        assert (dimension, column.required, column.cell) == wanted[column.name], column.name
    trip = [c for c in BY_NAME[table].columns if c.kind == "trip"]
    assert [(c.name, c.required, c.cell) for c in trip] == (
        [("trip", True, True)] if BY_NAME[table].per_trip else []
    )


@pytest.mark.parametrize("name", UNITS)
def test_every_unit_suffix(name: str) -> None:
    dimension, suffixes = UNITS[name]
    assert units.DIMENSIONS[dimension].units == tuple(suffixes.split())


def test_every_kind() -> None:
    for kind, places in KINDS.items():
        theirs = {f"{t}.{c.name}" for t, c in COLUMNS if c.kind == kind}
        assert theirs == set(places.split()), kind
    rest = {c.kind for _, c in COLUMNS} - set(KINDS) - set(units.DIMENSIONS)
    assert rest == {"text", "trip"}


def test_every_choice_range_and_default() -> None:
    for table, column in COLUMNS:
        choices = tuple(CHOICES.get(column.name, "").split())
        assert column.choices == (choices if column.kind == "choice" else ()), column.name
        wanted = RANGES.get(column.name, (None, None))
        if column.kind not in ("use", "text"):
            assert (column.low, column.high) == wanted, (table, column.name)
        assert column.above is (column.name == "weight")
        assert column.default == DEFAULTS.get((table, column.name), ""), (table, column.name)
    named = {c.name for _, c in COLUMNS}
    assert set(CHOICES) | set(RANGES) <= named


def test_the_words_of_the_page() -> None:
    assert " ".join(SYSTEMS) == ALL_SYSTEMS
    assert INSURANCE_SYSTEMS == ("first_aid", "safety", "navigation", "fire", "repair")
    assert ESSENTIAL_SYSTEMS == ("shelter", "sleep", "water", "rain")
    assert MAX_TRIP_DAYS == 400
    assert WET_RAIN_MM == 1


# --- nothing drifts ----------------------------------------------------------------------------
def test_the_store_has_the_contracts_tables_columns_and_types() -> None:
    with memory_store() as connection:
        for table in TABLES:
            rows = connection.execute(
                "SELECT column_name, data_type, is_nullable FROM information_schema.columns "
                "WHERE table_name = $table ORDER BY ordinal_position",
                {"table": table.name},
            ).fetchall()
            assert [(name, kind) for name, kind, _ in rows] == typed_columns(table.name)
            assert [name for name, _, _ in rows] == [c.stored for c in table.columns]
            for (_, _, nullable), column in zip(rows, table.columns, strict=True):
                if column.cell or column.default:
                    assert nullable == "NO"
        others = connection.execute(
            "SELECT DISTINCT table_name FROM information_schema.tables"
        ).fetchall()
    side = {
        "set_aside",
        "warnings",
        "files",
        "settings",
        "about",
        "use_not_read",
        "cells_not_read",
        *kit.NORMALS_TABLES,
    }
    assert {name for (name,) in others} == set(BY_NAME) | side


def test_the_stores_keys_are_the_contracts() -> None:
    with duckdb.connect() as connection:
        connection.execute(store_ddl())
        rows = connection.execute(
            "SELECT table_name, constraint_column_names FROM duckdb_constraints() "
            "WHERE constraint_type = 'PRIMARY KEY'"
        ).fetchall()
    declared = {name: tuple(columns) for name, columns in rows if name in BY_NAME}
    assert declared == {t.name: t.key for t in TABLES if not t.per_trip}


def test_stored_names_say_their_unit() -> None:
    ends = {
        "mass": "_mg",
        "temperature": "_c",
        "length": "_mm",
        "height": "_mm",
        "rain": "_mm",
        "speed": "_kmh",
    }
    for _, column in COLUMNS:
        if column.dimension:
            assert column.stored == column.name + ends[column.dimension.name]
        else:
            assert column.stored == {"at": "read_at"}.get(column.name, column.name)
        assert sql_type(column)


def test_the_column_reference_holds_every_column_and_header() -> None:
    sections = re.split(r"^### ", guide.markdown_reference(), flags=re.M)[1:]
    assert [s.split("\n")[0] for s in sections] == [t.name for t in TABLES]
    for section, table in zip(sections, TABLES, strict=True):
        assert f"Key: {', '.join(table.key) or 'none'}." in section
        rows = [line for line in section.splitlines() if line.startswith("| `")]
        assert [re.findall(r"`(\w+)`", row.split("|")[1]) for row in rows] == [
            list(c.headers) for c in table.columns
        ]
        for row, column in zip(rows, table.columns, strict=True):
            needed = row.split("|")[2].strip()
            wanted = "column and cell required" if column.cell else "column required"
            assert needed == (wanted if column.required else "")
            assert column.meaning in row
            assert all(choice in row for choice in column.choices if len(column.choices) > 6)


@pytest.mark.parametrize("table", PAGE)
@pytest.mark.parametrize("which", [0, 1])
def test_blank_files_have_headers_that_are_read(table: str, which: int) -> None:
    wanted = {d.name: d.units[which] for d in units.DIMENSIONS.values()}
    headers = guide.blank_header(BY_NAME[table], wanted)
    known = known_headers(BY_NAME[table])
    assert [known[h][0] for h in headers] == list(BY_NAME[table].columns)
    assert [known[h][1] for h in headers] == [
        wanted.get(c.kind, "") for c in BY_NAME[table].columns
    ]


def test_a_table_column_is_in_reach_by_its_name() -> None:
    for table, column in COLUMNS:
        found: Column = BY_NAME[table].column(column.name)
        assert found is column


def test_the_page_of_a_new_logbook_explains_every_column() -> None:
    page = guide.html_page()
    for _, column in COLUMNS:
        assert all(f"<code>{header}</code>" in page for header in column.headers)
