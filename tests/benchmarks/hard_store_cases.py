"""What can be wrong with the folder of a store: what is done to it, and what is to come of it."""

import contextlib
import ctypes
import os
import random
import socket
import struct
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import duckdb


class Watch:
    """Tells whether a file was opened, and whether anybody called at a port."""

    _OPEN = 0x20

    def __init__(self, file: Path) -> None:
        libc = ctypes.CDLL(None, use_errno=True)
        self._handle = libc.inotify_init1(os.O_NONBLOCK)
        assert self._handle >= 0
        assert libc.inotify_add_watch(self._handle, os.fsencode(file), self._OPEN) >= 0
        self._server = socket.create_server(("127.0.0.1", 0))
        self._server.setblocking(False)
        self.file, self.port = file, self._server.getsockname()[1]

    def opened(self) -> bool:
        """Whether the file was opened since this was asked last."""
        with contextlib.suppress(BlockingIOError):
            return bool(os.read(self._handle, 65536))
        return False

    def called(self) -> bool:
        """Whether anybody called since this was asked last."""
        with contextlib.suppress(BlockingIOError):
            self._server.accept()[0].close()
            return True
        return False

    def close(self) -> None:
        """Watch no longer."""
        os.close(self._handle)
        self._server.close()


def inside(watch: Watch) -> dict[str, str]:
    """Statements run inside a store; each leaves something that is not of the layout, or lies."""
    outside, web = watch.file, f"http://127.0.0.1:{watch.port}/x"
    gear = f"(SELECT * FROM read_csv('{outside}'))"
    columns = "item, name, system"
    return {
        "a view on a file": f"CREATE VIEW extra AS SELECT * FROM read_text('{outside}')",
        "a view on a table of a file": f"CREATE VIEW extra AS SELECT * FROM {gear}",
        "a view for a table": "ALTER TABLE gear RENAME TO gear_x; CREATE VIEW gear AS "
        f"SELECT g.* FROM gear_x g, read_text('{outside}')",
        "a view for a side table": "DROP TABLE set_aside; CREATE VIEW set_aside AS SELECT "
        f"content AS file FROM read_text('{outside}')",
        "a view called like a mart": f"CREATE VIEW trips AS SELECT * FROM read_text('{outside}')",
        "a view called like a staging view": "CREATE VIEW stg_gear AS SELECT 1 AS item",
        "a macro": "CREATE MACRO extra(a) AS a + 1",
        "a macro for a function": "CREATE MACRO coalesce_(a) AS a; CREATE MACRO sum(a) AS 42",
        "a macro for a count": "CREATE MACRO count(a) AS 7",
        "a table macro": f"CREATE MACRO rows_of() AS TABLE SELECT * FROM read_text('{outside}')",
        "a table macro for a table": "CREATE MACRO duckdb_columns() AS TABLE SELECT 1 AS x",
        "a table more": "CREATE TABLE extra (a INTEGER)",
        "a table less": "DROP TABLE wished",
        "a table of a web address": f"CREATE TABLE extra AS SELECT '{web}' AS a",
        "a column more": "ALTER TABLE set_aside ADD COLUMN extra VARCHAR",
        "a column less": "ALTER TABLE warnings DROP COLUMN nearest",
        "a column renamed": "ALTER TABLE used RENAME COLUMN note TO remark",
        "a column of another type": "ALTER TABLE about ALTER COLUMN value TYPE BLOB",
        "a schema": "CREATE SCHEMA extra",
        "a schema with a table": "CREATE SCHEMA kept; CREATE TABLE kept.gear AS FROM gear",
        "a schema called like ours": "CREATE SCHEMA memory; CREATE TABLE memory.kept (a INTEGER)",
        "a sequence": "CREATE SEQUENCE extra",
        "a type": "CREATE TYPE mood AS ENUM ('good', 'bad')",
        "an index": "CREATE INDEX extra ON used (item)",
        "a default that reads": "ALTER TABLE used ALTER COLUMN note SET DEFAULT 'x'",
        "a remark": "COMMENT ON TABLE gear IS 'hello'",
        "rows changed": "UPDATE gear SET name = 'not what the file says'",
        "rows gone": "DELETE FROM carried",
        "rows twice": "INSERT INTO used SELECT * FROM used",
        "another layout": "UPDATE about SET value = '6' WHERE key = 'layout'",
        "a layout to come": "UPDATE about SET value = '99' WHERE key = 'layout'",
        "another version": "UPDATE about SET value = '0.0.1' WHERE key = 'version'",
        "other inputs": "UPDATE about SET value = 'x' WHERE key = 'inputs'",
        "no layout": "DELETE FROM about",
        "another about": f"DROP TABLE about; CREATE VIEW about AS SELECT {columns} FROM gear",
        "a trigger": "CREATE TRIGGER extra AFTER INSERT ON gear FOR EACH STATEMENT "
        "INSERT INTO about VALUES ('a', 'b')",
    }


LIES = {"rows changed", "rows gone", "rows twice", "another version"}
"""Whoever can seal these can write the CSV files, too: they are tried as they stand alone."""
QUIET = {"another layout", "a layout to come", "other inputs", "no layout"} | {
    "a default that reads",
    "a remark",
}
"""With a seal these are stores of another day, made anew without a word, or lie about nothing."""


def _sqlite(path: Path) -> None:
    import sqlite3

    with contextlib.closing(sqlite3.connect(path)) as made:
        made.execute("CREATE TABLE gear (item TEXT)")
        made.commit()


def _of_another(path: Path, *options: str) -> None:
    with duckdb.connect(":memory:") as connection:
        more = f" ({', '.join(options)})" if options else ""
        connection.execute(f"ATTACH '{path}' AS x{more}")
        connection.execute("CREATE TABLE x.gear AS SELECT 'tent' AS item; DETACH x")


FOREIGN: dict[str, Callable[[Path], object]] = {
    "nothing": lambda at: at.write_bytes(b""),
    "noise": lambda at: at.write_bytes(random.Random(1).randbytes(300_000)),
    "zeros": lambda at: at.write_bytes(bytes(800_000)),
    "text": lambda at: at.write_text("item,system,weight_g\n"),
    "a head alone": lambda at: at.write_bytes(bytes(8) + b"DUCK" + struct.pack("<Q", 99)),
    "of another kind of database": _sqlite,
    "another store": _of_another,
    "of an older storage": lambda at: _of_another(at, "STORAGE_VERSION 'v1.0.0'"),
}


@dataclass(frozen=True)
class Case:
    """What is done to the folder of a store, whose store itself is not yet in use.

    told: whether the next command says that the store was made anew; None where it may. sealed: the
    store is sealed after the change.
    """

    name: str
    change: Callable[[Path], object]
    told: bool | None = True
    sealed: bool = False


def _bytes(change: Callable[[bytearray], object]) -> Callable[[Path], object]:
    def changed(own: Path) -> None:
        data = bytearray((own / "store.duckdb").read_bytes())
        change(data)
        (own / "store.duckdb").write_bytes(data)

    return changed


def _statement(statement: str) -> Callable[[Path], object]:
    def changed(own: Path) -> None:
        with duckdb.connect(str(own / "store.duckdb")) as connection:
            connection.execute(statement)

    return changed


def _foreign(make: Callable[[Path], object]) -> Callable[[Path], object]:
    def changed(own: Path) -> None:
        (own / "store.duckdb").unlink()
        make(own / "store.duckdb")

    return changed


def _instead(name: str, make: Callable[[Path], object]) -> Callable[[Path], object]:
    def changed(own: Path) -> None:
        (own / name).unlink(missing_ok=True)
        make(own / name)

    return changed


def _both(
    damage: Callable[[Path], object], name: str, make: Callable[[Path], object]
) -> Callable[[Path], object]:
    def changed(own: Path) -> None:
        damage(own)
        _instead(name, make)(own)

    return changed


def _folder(at: Path) -> None:
    at.mkdir()
    (at / "x").write_text("in the way")


def odd_entries(watch: Watch) -> dict[str, tuple[str, Callable[[Path], object], bool | None]]:
    """Names in the store's folder that are something else: name, what, whether it is told."""
    gear = Path("../gear.csv")  # as a link stands inside the folder
    return {
        "the store links to a file": ("store.duckdb", lambda at: at.symlink_to(gear), True),
        "the store links outside": ("store.duckdb", lambda at: at.symlink_to(watch.file), None),
        "the store links to nothing": ("store.duckdb", lambda at: at.symlink_to("none"), None),
        "the store links to itself": ("store.duckdb", lambda at: at.symlink_to(at.name), None),
        "the store is a pipe": ("store.duckdb", os.mkfifo, True),
        "the store is gone": ("store.duckdb", lambda at: None, False),
        "no seal": ("store.seal", lambda at: None, False),
        "an empty seal": ("store.seal", lambda at: at.write_text(""), True),
        "a seal of noise": ("store.seal", lambda at: at.write_bytes(bytes(range(256))), True),
        "a large seal": ("store.seal", lambda at: at.write_bytes(b"1\n" * 1_000_000), True),
        "the seal links to a file": ("store.seal", lambda at: at.symlink_to(gear), True),
        "the seal is a pipe": ("store.seal", os.mkfifo, None),
        "the seal is a folder": ("store.seal", Path.mkdir, None),
        "a log": ("store.duckdb.wal", lambda at: at.write_bytes(b"x" * 99), True),
        "an empty log": ("store.duckdb.wal", lambda at: at.write_bytes(b""), True),
        "the log links to a file": ("store.duckdb.wal", lambda at: at.symlink_to(gear), True),
        "half a seal links to a file": ("store.seal.part", lambda at: at.symlink_to(gear), None),
        "half a seal is a folder": ("store.seal.part", _folder, None),
        "the lock links to a file": ("load.lock", lambda at: at.symlink_to(gear), None),
        "the workshop links to trips": ("building", lambda at: at.symlink_to("../trips"), None),
        "the workshop is a file": ("building", lambda at: at.write_text("x"), None),
        "the workshop is full": ("building", _folder, None),
        "the overflow links to trips": (
            "store.duckdb.tmp",
            lambda at: at.symlink_to("../trips"),
            None,
        ),
    }


def cases(watch: Watch, stores: int, size: int, rng: random.Random) -> Iterator[Case]:
    """So many cases: a quarter cut short, a quarter with bytes flipped, the others in turn."""
    statements, odd = inside(watch), odd_entries(watch)
    named = [Case(f"{k}, as it stands", _statement(v)) for k, v in statements.items()]
    named += [
        Case(f"{k}, sealed", _statement(v), None if k in QUIET else True, sealed=True)
        for k, v in statements.items()
        if k not in LIES
    ]
    named += [Case(k, _foreign(v)) for k, v in FOREIGN.items()]
    named += [Case(f"{k}, sealed", _foreign(v), True, sealed=True) for k, v in FOREIGN.items()]
    for name, (entry, make, told) in odd.items():
        named.append(Case(name, _instead(entry, make), told))
        if entry != "store.duckdb":
            both = _both(_bytes(lambda data: data.__delitem__(slice(9_000, None))), entry, make)
            named.append(Case(f"{name}, the store cut short", both, None))
    order = [*range(stores)]
    rng.shuffle(order)
    for number in order:
        kind = number % 4
        if kind == 0:
            yield _cut_short(size * number // stores, sealed=number % 32 == 0)
        elif kind == 1:
            yield _flipped(rng, size, sealed=number % 3 == 0)
        else:
            yield named[(number // 4 * 2 + kind - 2) % len(named)]


def _cut_short(at: int, sealed: bool) -> Case:
    def cut(data: bytearray) -> None:
        del data[at:]

    return Case(f"cut at {at}{', sealed' * sealed}", _bytes(cut), sealed=sealed)


def _flipped(rng: random.Random, size: int, sealed: bool) -> Case:
    places = {rng.randrange(size): rng.randrange(1, 256) for _ in range(rng.choice([1, 1, 8, 64]))}

    def flip(data: bytearray) -> None:
        for place, by in places.items():
            data[place] ^= by

    # What a flipped byte means may be nothing: in a block that is not in use.
    told = None if sealed else True
    return Case(f"flipped {[*places][:3]}{', sealed' * sealed}", _bytes(flip), told, sealed)
