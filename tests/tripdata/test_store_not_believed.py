"""A store that was damaged, or that another hand made, is built anew and reads nothing else."""

import os
import random
import threading
from collections.abc import Callable
from pathlib import Path

import duckdb
import kit
import pytest
from kit import is_current, row_counts
from stores_made import ROW, WHOLE, Write, append, left
from tarebook.tripdata import store as storing
from tarebook.tripdata.seal import write_seal
from tarebook.tripdata.store import ensure_current, load_logbook, open_for_reading, store_path


def _truncate(path: Path) -> None:
    path.write_bytes(path.read_bytes()[: 3 * 4096])


def _foreign(path: Path) -> None:
    path.unlink()
    with duckdb.connect(str(path)) as connection:
        connection.execute("CREATE TABLE other (a INTEGER)")


DAMAGE: dict[str, Callable[[Path], object]] = {
    "cut short": _truncate,
    "empty": lambda path: path.write_bytes(b""),
    "noise": lambda path: path.write_bytes(random.Random(1).randbytes(20_000)),
    "text": lambda path: path.write_text("no database"),
    "another database": _foreign,
    "gone": lambda path: path.unlink(),
    "a log left behind": lambda path: path.with_name("store.duckdb.wal").write_bytes(b"x" * 99),
}


@pytest.mark.parametrize("damage", DAMAGE)
def test_a_damaged_store_is_rebuilt(write: Write, damage: str) -> None:
    folder = write({ROW: "item\ntent\n"})
    load_logbook(folder)
    DAMAGE[damage](store_path(folder))
    findings = ensure_current(folder)
    assert findings is not None
    assert findings.rebuilt == (damage != "gone"), "one that is gone is no surprise"
    assert is_current(folder)
    assert row_counts(folder)["carried"] == 1
    assert left(folder) == WHOLE


def _inside(statement: str) -> Callable[[Path], object]:
    """A change made inside the store, with its times put back: what a stranger might hand over."""

    def change(path: Path) -> None:
        before = path.stat()
        with duckdb.connect(str(path)) as connection:
            connection.execute(statement)
        os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))

    return change


STRANGE = {
    "a view on another file": "CREATE VIEW extra AS SELECT * FROM read_text('/etc/hostname')",
    "a table more": "CREATE TABLE extra (a INTEGER)",
    "a column more": "ALTER TABLE set_aside ADD COLUMN extra VARCHAR",
    "a layout that is no text": "ALTER TABLE about ALTER COLUMN value TYPE BLOB",
    "keys that are no text": "CREATE OR REPLACE TABLE about AS "
    'SELECT "key"::BLOB AS "key", "value" FROM about',
    "a macro": "CREATE MACRO extra(a) AS a + 1",
    "a schema": "CREATE SCHEMA extra",
    "a sequence": "CREATE SEQUENCE extra",
    "a type": "CREATE TYPE extra AS ENUM ('a')",
    "an index": "CREATE INDEX extra ON used (item)",
    "a trigger": "CREATE TRIGGER extra AFTER INSERT ON gear FOR EACH STATEMENT "
    "INSERT INTO about VALUES ('a', 'b')",
    "another value": "UPDATE gear SET name = 'not what the file says'",
}


@pytest.mark.parametrize("sealed", [False, True], ids=["as it stands", "sealed again"])
@pytest.mark.parametrize("strange", STRANGE)
def test_a_store_is_not_believed(write: Write, strange: str, sealed: bool) -> None:
    folder = write({ROW: "item\ntent\n"})
    load_logbook(folder)
    _inside(STRANGE[strange])(store_path(folder))
    if sealed:
        write_seal(store_path(folder))
        if strange == "another value":
            return  # whoever can seal can write the files, too
    findings = ensure_current(folder)
    assert findings is not None
    assert findings.rebuilt
    with open_for_reading(store_path(folder)) as connection:
        assert connection.execute(
            "SELECT count(*) FROM gear WHERE name LIKE 'not%'"
        ).fetchall() == [(0,)]


def test_a_load_between_store_and_seal_is_no_damage(
    write: Write, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = write({ROW: "item\ntent\n"})
    load_logbook(folder)
    half, seen = threading.Event(), threading.Event()
    state = storing.store_state

    def sealed_late(path: Path) -> None:
        half.set()
        assert seen.wait(60)
        write_seal(path)

    def looked(logbook: Path) -> storing.State:
        found = state(logbook)
        seen.set()
        return found

    append(folder / "gear.csv", "spoon,,cook,1,\n")
    monkeypatch.setattr(storing, "write_seal", sealed_late)
    other = threading.Thread(target=load_logbook, args=(folder,))
    other.start()
    assert half.wait(60)
    monkeypatch.setattr(storing, "store_state", looked)
    findings = ensure_current(folder)
    other.join(60)
    assert findings is None, "it was being made, and not broken"
    assert row_counts(folder)["gear"] == 6


def test_a_store_that_decayed_without_a_sign_is_rebuilt(write: Write) -> None:
    folder = write({ROW: "item\ntent\n"})
    load_logbook(folder)
    path = store_path(folder)
    data = bytearray(path.read_bytes())
    for place in range(len(data) // 4, len(data), 10_000):
        data[place] ^= 1
    path.write_bytes(data)
    write_seal(path)  # as if size, times and number were what they were
    findings = ensure_current(folder)
    assert findings is not None
    assert findings.rebuilt
    assert row_counts(folder)["carried"] == 1


LINKS = ["store.duckdb", "store.duckdb.wal", "store.seal", "store.seal.part", "load.lock"]


@pytest.mark.parametrize("name", LINKS)
def test_a_link_among_what_is_derived_leads_to_nothing(write: Write, name: str) -> None:
    folder = write({ROW: "item\ntent\n"})
    load_logbook(folder)
    (folder / ".tarebook" / name).unlink(missing_ok=True)
    (folder / ".tarebook" / name).symlink_to("../gear.csv")
    load_logbook(folder)
    assert (folder / "gear.csv").read_text() == kit.GEAR
    assert is_current(folder)
    assert left(folder) == WHOLE
    assert not any(path.is_symlink() for path in (folder / ".tarebook").iterdir())


def test_a_store_that_is_a_link_is_not_looked_into(write: Write, tmp_path: Path) -> None:
    folder = write({ROW: "item\ntent\n"})
    load_logbook(folder)
    store_path(folder).rename(tmp_path / "elsewhere")
    store_path(folder).symlink_to(tmp_path / "elsewhere")
    assert storing.store_state(folder) == "broken"
    store_path(folder).unlink()
    store_path(folder).symlink_to("nowhere")
    assert storing.store_state(folder) == "broken"


@pytest.mark.parametrize("target", ["a link", "a file"])
def test_what_stands_in_the_workshops_place_gives_way(write: Write, target: str) -> None:
    folder = write({ROW: "item\ntent\n"})
    work = folder / ".tarebook" / "building"
    work.parent.mkdir()
    work.symlink_to("../trips") if target == "a link" else work.write_text("x")
    load_logbook(folder)
    assert (folder / ROW).is_file()
    assert row_counts(folder)["carried"] == 1
    assert left(folder) == WHOLE


def test_a_store_is_read_without_access_to_anything_else(write: Write) -> None:
    folder = write({})
    load_logbook(folder)
    for outside in (
        "SELECT * FROM read_text('/etc/hostname')",
        "SELECT * FROM read_csv('https://example.org/x.csv')",
        "COPY gear TO 'gear.parquet'",
        "INSTALL httpfs",
        "ATTACH 'other.duckdb'",
    ):
        with (
            open_for_reading(store_path(folder)) as connection,
            pytest.raises(duckdb.Error, match=r"disabled|not supported|Permission"),
        ):
            connection.execute(outside)
