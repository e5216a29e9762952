"""What the store promises of its rows: by constraint where that is cheap, else by proof."""

from collections.abc import Callable, Iterator
from datetime import date, datetime
from pathlib import Path
from typing import Any

import duckdb
import kit
import pytest
from tarebook.tripdata import load as loading
from tarebook.tripdata.contract import BY_NAME, TABLES
from tarebook.tripdata.errors import StoreError
from tarebook.tripdata.load import Loader
from tarebook.tripdata.proof import broken_promises, repeated_keys, strangers
from tarebook.tripdata.schema import quoted
from tarebook.tripdata.sink import Sink
from tarebook.tripdata.store import load_logbook, memory_store, store_path

Store = duckdb.DuckDBPyConnection
Row = dict[str, Any]
DAY = date(2026, 5, 1)
ROWS: dict[str, Row] = {
    "gear": {"item": "spoon", "name": "Spoon", "system": "cook", "weight_mg": 10_000,
             "carried_as": "base", "meant_for": ["any"], "rated_as": "maker"},
    "weighings": {"item": "tent", "weighed_on": DAY, "weight_mg": 1},
    "candidates": {"candidate": "tarp", "name": "Tarp", "system": "shelter", "weight_mg": 1,
                   "carried_as": "base",
                   "rated_as": "maker"},
    "trip": {"trip": "alp", "title": "Alp", "start_on": DAY, "end_on": DAY, "people": 1,
             "plan": False},
    "carried": {"trip": "river", "item": "tent", "quantity": 1},
    "used": {"trip": "river", "item": "tent", "times": 1},
    "failures": {"trip": "river", "item": "tent", "day": DAY, "severity": "nuisance"},
    "temperatures": {"trip": "river", "read_at": datetime(2026, 5, 1, 12), "temperature_c": 5.0,
                     "spot": "camp"},
    "distances": {"trip": "river", "day": DAY, "distance_mm": 1},
    "weather": {"trip": "river", "day": DAY},
    "comfort": {"trip": "river", "day": DAY, "aspect": "sleep", "score": 3},
    "wished": {"trip": "river", "what": "socks"},
}  # fmt: skip
"""A row of each table that the store takes."""
# Stored units in one unit of the contract's ranges.
SCALE = {
    "weight_mg": 10**6,
    "brought_home_mg": 10**6,
    "distance_mm": 10**6,
    "ascent_mm": 10**3,
    "elevation_mm": 10**3,
}


@pytest.fixture
def store() -> Iterator[Store]:
    with memory_store() as connection:
        yield connection


def insert(store: Store, table: str, row: Row) -> None:
    names = ", ".join(map(quoted, row))
    marks = ", ".join("?" * len(row))
    statement = f"INSERT INTO {quoted(table)} ({names}) VALUES ({marks})"
    store.execute(statement, list(row.values()))


def refused(store: Store, table: str, row: Row) -> bool:
    try:
        insert(store, table, row)
    except duckdb.ConstraintException:
        return True
    return False


@pytest.mark.parametrize("table", [t.name for t in TABLES])
def test_a_row_without_what_is_promised_is_refused(store: Store, table: str) -> None:
    good = ROWS[table]
    for name in good:
        lenient = (table, name) in {("gear", "weight_mg"), ("failures", "day"), ("wished", "what")}
        if not lenient:
            assert refused(store, table, good | {name: None}), name
    insert(store, table, good)
    kinds = {c.stored: c.cell or bool(c.default) for c in BY_NAME[table].columns}
    assert {n for n, needed in kinds.items() if needed} <= set(good)


@pytest.mark.parametrize("table", [t.name for t in TABLES])
def test_values_out_of_range_or_choice_are_refused(store: Store, table: str) -> None:
    tried = 0
    for column in BY_NAME[table].columns:
        name, good = column.stored, ROWS[table]
        bad: list[Any] = []
        if column.choices:
            bad = ["", "bogus", column.choices[0].upper()]
        elif column.kind == "use":
            bad = [-1, 1001]
        elif column.low is not None and column.high is not None:
            scale, step = (
                SCALE.get(name, 1),
                1 if SCALE.get(name) or column.kind == "whole" else 0.01,
            )
            bad = [column.low * scale - step, column.high * scale + step]
            bad += [0] if column.above else []
        elif column.kind in ("key", "item", "trip", "text", "group"):
            bad = [""]
        for value in bad:
            assert refused(store, table, good | {name: value}), (name, value)
            tried += 1
    assert tried


def test_a_trip_ends_in_time_and_a_wish_has_an_object(store: Store) -> None:
    assert refused(store, "trip", ROWS["trip"] | {"end_on": date(2026, 4, 30)})
    assert refused(store, "trip", ROWS["trip"] | {"end_on": date(2027, 6, 6)})
    insert(store, "trip", ROWS["trip"] | {"end_on": date(2027, 6, 5)})
    assert refused(store, "wished", ROWS["wished"] | {"what": None})


@pytest.mark.parametrize("table", ["gear", "weighings", "candidates", "trip"])
def test_small_tables_declare_their_key(store: Store, table: str) -> None:
    insert(store, table, ROWS[table])
    assert refused(store, table, ROWS[table])


def test_side_tables_hold_their_sums(store: Store) -> None:
    good: dict[str, object] = {"file": "a.csv", "records": 3, "loaded": 2, "set_aside": 1}
    good |= {"unreadable": False, "laid_out": 4}
    assert refused(store, "files", good | {"loaded": 3})
    assert refused(store, "files", good | {"laid_out": -1})
    insert(store, "files", good)
    assert refused(store, "files", good)
    aside = {"file": "a.csv", "line": 2, "column": "", "value": "", "problem": "x", "raw": ""}
    insert(store, "set_aside", aside)
    for name in aside:
        assert refused(store, "set_aside", aside | {name: None})
    assert refused(store, "set_aside", aside | {"problem": ""})


# --- the proof of the large tables -------------------------------------------------------------
FILES: kit.Files = {
    "weighings.csv": "item,weighed_on,weight_g\ntent,2026-01-01,5\n",
    "trips/river/carried.csv": "item,carried_as,bag,from_day\ntent,,Straße,\nfood,,,2026-05-02\n",
    "trips/river/used.csv": "item,day,used_for\ntent,,\ntent,2026-05-01,cook\n",
    "trips/river/failures.csv": "item,day,severity\ntent,2026-05-01,nuisance\n",
    "trips/river/temperatures.csv": "at,temperature_c\n2026-05-01 12:00,5\n",
    "trips/river/distances.csv": "day,mode,distance_km\n2026-05-01,,1\n2026-05-01,bike,1\n",
    "trips/river/weather.csv": "day,wet\n2026-05-01,n\n",
    "trips/river/comfort.csv": "day,aspect,score\n2026-05-01,,1\n2026-05-01,fun,1\n",
    "trips/river/wished.csv": "what,item\nsocks,\n,tent\n",
}


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    """A store in which every table but candidates holds something right."""
    folder = kit.write(tmp_path_factory.mktemp("book"), kit.GOOD | FILES)
    with memory_store() as connection:
        assert Loader(folder, connection, folder).run().clean
        yield connection


@pytest.fixture
def filled(whole: Store) -> Iterator[Store]:
    """That store, for one test to spoil."""
    whole.execute("BEGIN")
    yield whole
    whole.execute("ROLLBACK")


OUT = [date(2026, 4, 30), date(2026, 5, 5)]
BROKEN = [
    *[(t.name, {"trip": "nowhere"}, "trip") for t in TABLES if t.per_trip],
    *[(t, {"trip": "RIVER"}, "trip") for t in ("carried", "temperatures")],
    *[(t, {"item": "nothing"}, "item") for t in ("weighings", "carried", "failures", "wished")],
    ("used", {"item": "nothing"}, "item"),
    ("used", {"item": "stove"}, "item"),  # known, but not carried
    ("used", {"trip": "coast", "day": date(2026, 6, 10)}, "item"),
    *[("carried", {"from_day": d}, "from_day") for d in OUT],
    *[("carried", {"until_day": d}, "until_day") for d in OUT],
    ("carried", {"from_day": date(2026, 5, 3), "until_day": date(2026, 5, 2)}, "from_day"),
    *[
        (t, {"day": d}, "day")
        for d in OUT
        for t in ("used", "failures", "distances", "weather", "comfort")
    ],
    ("carried", {"bag": "Straße"}, "key"),
    ("carried", {"bag": "STRASSE"}, "key"),
    ("carried", {"bag": "strasse", "carried_as": "base"}, "key"),
    ("carried", {"item": "food", "carried_as": "consumable", "from_day": date(2026, 5, 2)}, "key"),
    ("used", {}, "key"),
    ("used", {"day": DAY, "used_for": "cook"}, "key"),
    ("distances", {}, "key"),
    ("distances", {"mode": "foot"}, "key"),
    ("weather", {}, "key"),
    ("comfort", {}, "key"),
    ("comfort", {"aspect": "fun"}, "key"),
]


@pytest.mark.parametrize(("table", "change", "promise"), BROKEN)
def test_the_proof_fails_on_a_bad_row_behind_its_back(
    filled: Store, table: str, change: Row, promise: str
) -> None:
    assert broken_promises(filled, BY_NAME[table]) == []
    insert(filled, table, ROWS[table] | change)
    broken = broken_promises(filled, BY_NAME[table])
    assert promise in broken
    assert set(broken) <= {promise, "key", "day", "from_day", "until_day", "item", "trip"}
    assert bool(repeated_keys(filled, BY_NAME[table])) is (promise == "key")
    assert bool(strangers(filled, BY_NAME[table])) is (promise != "key")


@pytest.mark.parametrize(
    ("table", "change"),
    [
        ("carried", {"carried_as": "worn", "bag": "Straße"}),
        ("carried", {"bag": "other"}),
        ("carried", {"trip": "coast"}),
        ("carried", {"from_day": date(2026, 5, 4), "until_day": date(2026, 5, 4)}),
        ("used", {"day": date(2026, 5, 4)}),
        ("distances", {"mode": "paddle"}),
        ("weather", {"day": date(2026, 5, 4)}),
        ("failures", {}),
        ("temperatures", {}),
        ("temperatures", {"read_at": datetime(1999, 1, 1)}),
        ("wished", {}),
    ],
)
def test_the_proof_holds_for_a_good_row_more(filled: Store, table: str, change: Row) -> None:
    insert(filled, table, ROWS[table] | change)
    assert broken_promises(filled, BY_NAME[table]) == []


def test_every_promise_and_key_has_a_row_that_breaks_it() -> None:
    from tarebook.tripdata.proof import promises

    for table in TABLES:
        tried = {promise for name, _, promise in BROKEN if name == table.name}
        wanted = {p.name for p in promises(table)}
        wanted |= {"key"} if table.key and table.per_trip else set()
        assert wanted == tried, table.name


def test_a_load_that_breaks_a_promise_keeps_the_former_store(
    write: Callable[..., Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = write({"trips/river/carried.csv": "item\ntent\n"})
    load_logbook(folder)
    before = store_path(folder).read_bytes()
    keep = Sink.keep

    def twice(self: Sink, table: str, values: Any) -> None:
        keep(self, table, values)
        if table == "carried":
            keep(self, table, values)

    monkeypatch.setattr(Sink, "keep", twice)
    with pytest.raises(StoreError) as raised:
        load_logbook(folder)
    assert str(raised.value) == (
        "the table carried does not hold what it promises (key); the former store was kept; "
        "please report this with the files that caused it"
    )
    assert store_path(folder).read_bytes() == before
    assert sorted(p.name for p in store_path(folder).parent.iterdir()) == [
        "load.lock",
        "store.duckdb",
        "store.seal",
    ]


def test_a_row_that_breaks_a_constraint_keeps_the_former_store(
    write: Callable[..., Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = write({"trips/river/comfort.csv": "day,score\n2026-05-01,4\n"})
    load_logbook(folder)
    before = store_path(folder).read_bytes()
    keep = Sink.keep

    def spoil(self: Sink, table: str, values: Any) -> None:
        keep(self, table, [9 if v == 4 else v for v in values] if table == "comfort" else values)

    monkeypatch.setattr(Sink, "keep", spoil)
    with pytest.raises(StoreError, match=r"the store cannot be written \(Constraint Error"):
        load_logbook(folder)
    assert store_path(folder).read_bytes() == before


def test_the_proof_is_asked_of_every_table_that_holds_something(
    write: Callable[..., Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = []
    proof = loading.broken_promises

    def asking(connection: Store, table: Any) -> list[str]:
        asked.append(table.name)
        return proof(connection, table)

    monkeypatch.setattr(loading, "broken_promises", asking)
    load_logbook(write(FILES))
    assert set(asked) == {t.name for t in TABLES} - {"candidates"}
