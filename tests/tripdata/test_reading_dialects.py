"""The same records come back, whatever dialect they are written in."""

import random
import unicodedata
from collections import Counter
from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

import dialects
import duckdb
import kit
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tarebook.tripdata.contract import BY_NAME, Column
from tarebook.tripdata.load import Loader
from tarebook.tripdata.store import memory_store

WHOLE = ("mass", "length", "height")


def slug(text: str) -> str:
    return unicodedata.normalize("NFC", text).replace(" ", "-")


def stored(column: Column, value: Any) -> Any:
    """What the store must hold for a value; worked out here, not by the reader."""
    if value is None:
        return {
            "people": 1,
            "quantity": 1,
            "times": 1,
            "spot": "camp",
            "aspect": "sleep",
            "plan": False,
            "rated_as": "maker",
        }.get(column.name)
    if column.kind in ("key", "item", "trip"):
        return slug(value)
    if column.kind in ("items", "names"):
        return [slug(v) for v in value]
    if isinstance(value, Decimal):
        if column.kind in WHOLE:
            return int(value.quantize(Decimal(1), ROUND_HALF_UP))
        return round(float(value), 9)
    return value


def expected(table: str, row: dialects.Record) -> dict[str, Any]:
    found = {c.stored: stored(c, row[c.name]) for c in BY_NAME[table].columns}
    if table in ("gear", "candidates"):
        found["carried_as"] = found["carried_as"] or "base"
        found["name"] = found["name"] or row[BY_NAME[table].key[0]]
    if table == "gear":
        found["meant_for"] = found["meant_for"] or ["any"]
    if table == "trip":
        found.pop("title")  # where it is blank, as typed in one of several places
    return found


def read_back(connection: duckdb.DuckDBPyConnection, table: str) -> list[dict[str, Any]]:
    relation = connection.table(table)
    rows = [dict(zip(relation.columns, row, strict=True)) for row in relation.fetchall()]
    for row in rows:
        if table == "trip":
            row.pop("title")
        for name, value in row.items():
            if isinstance(value, float):
                row[name] = round(value, 9)
    return rows


def counted(rows: list[dict[str, Any]]) -> Counter[str]:
    return Counter(repr(sorted(row.items())) for row in rows)


@pytest.fixture(scope="module")
def store() -> Iterator[duckdb.DuckDBPyConnection]:
    with memory_store() as connection:
        yield connection


@settings(max_examples=int(settings.default.max_examples * 0.2))
@given(rng=st.randoms(use_true_random=True, note_method_calls=False))
def test_the_same_records_come_back(
    store: duckdb.DuckDBPyConnection, rng: random.Random, tmp_path_factory: pytest.TempPathFactory
) -> None:
    book = dialects.draw_logbook(rng)
    files = dialects.write_logbook(rng, book)
    folder = kit.write(tmp_path_factory.mktemp("book"), files)
    kit.clear(store)
    findings = Loader(folder, store, folder).run()
    kit.prove_sums(findings)
    assert [str(p) for p in findings.problems] == []
    # Stations are invented: none is at hand. Weights, what is left, trips and days of giving up are
    # drawn, and trips without regard to the day on which this runs.
    doubts = ("is little for", "than is usual", "in ounces?", "year right?", "was given up")
    drawn = (*doubts, "which of the two is wrong?", "which is still to come")
    expected_ones = ("no reading falls", "no normals of this station", *drawn)
    others = [str(w) for w in findings.warnings if not any(e in str(w) for e in expected_ones)]
    assert others == []
    assert kit.records_read(findings) == sum(map(len, book.records.values()))
    for table, rows in book.records.items():
        wanted = counted([expected(table, row) for row in rows])
        assert counted(read_back(store, table)) == wanted, table


@settings(max_examples=150)
@given(st.integers(1, 100_000_000), st.sampled_from(["g", "kg", "oz", "lb"]))
def test_a_weight_comes_back_to_the_milligram_from_any_unit(mg: int, unit: str) -> None:
    from tarebook.tripdata.numbers import number_parser

    column = BY_NAME["weighings"].column("weight")
    text = dialects.in_unit(column, Decimal(mg), unit)
    assert number_parser(column, unit, comma=False)(text) == (mg, "", "")


@settings(max_examples=150)
@given(
    st.decimals(Decimal("0.0001"), 9_999, places=7, allow_nan=False),
    st.sampled_from(["g", "oz", "lb"]),
)
def test_a_weight_is_rounded_once_half_up(typed: Decimal, unit: str) -> None:
    from tarebook.tripdata.numbers import number_parser

    column = BY_NAME["weighings"].column("weight")
    exact = typed * Decimal(dialects.IN_BASE["mass"][unit])
    mg = int(exact.quantize(Decimal(1), ROUND_HALF_UP))
    value, problem, _ = number_parser(column, unit, comma=False)(f"{typed:f}")
    if 0 < mg <= 100_000_000:
        assert (value, problem) == (mg, "")
    else:
        assert problem


def test_the_files_written_here_use_every_dialect() -> None:
    seen: Counter[str] = Counter()
    for seed in range(25):
        rng = random.Random(seed)
        for data in dialects.write_logbook(rng, dialects.draw_logbook(rng)).values():
            if isinstance(data, str):
                seen["toml"] += 1
                continue
            seen["bom"] += data.startswith(b"\xef\xbb\xbf")
            seen["utf-16"] += data.startswith((b"\xff\xfe", b"\xfe\xff"))
            seen["cp1252"] += not dialects._is_utf8(data) and data[:1] not in (b"\xff", b"\xfe")
            seen["cr"] += b"\r" in data and b"\n" not in data
            seen["quoted newline"] += b"two\nlines" in data or b"two\r\nlines" in data
    assert all(seen[k] for k in ("toml", "bom", "utf-16", "cp1252", "cr", "quoted newline"))
