"""The store is derived: rebuilt when an input changes, swapped in whole, or left as it was."""

import builtins
import io
import os
import random
import shutil
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path

import duckdb
import kit
import pytest
from kit import is_current, row_counts
from tarebook.tripdata import stamps
from tarebook.tripdata import store as storing
from tarebook.tripdata.errors import LogbookError, StoreError
from tarebook.tripdata.seal import write_seal
from tarebook.tripdata.store import (
    aside_counts,
    ensure_current,
    load_logbook,
    open_for_reading,
    store_path,
)

Write = Callable[..., Path]
KILLS = int(os.environ.get("TAREBOOK_KILLS", "20"))
ROW = "trips/river/carried.csv"


def left(folder: Path) -> list[str]:
    """What stands in the store's folder."""
    return sorted(p.name for p in store_path(folder).parent.iterdir())


WHOLE = ["load.lock", "store.duckdb", "store.seal"]


# --- current or not ----------------------------------------------------------------------------
def _append(path: Path, text: str) -> None:
    with path.open("a") as out:
        out.write(text)


def _retime(path: Path) -> None:
    stat = path.stat()
    os.utime(path, ns=(stat.st_atime_ns, stat.st_mtime_ns + 1))


CHANGES: dict[str, Callable[[Path], object]] = {
    "a row more": lambda at: _append(at / "gear.csv", "spoon,,cook,1,\n"),
    "the same size, another time": lambda at: _retime(at / "gear.csv"),
    "a file in a trip's folder": lambda at: _retime(at / ROW),
    "a part more": lambda at: kit.write(at, {"gear-2.csv": "item,system,weight_g\n"}),
    "a part in capitals": lambda at: kit.write(at, {"gear-2.CSV": "item,system,weight_g\n"}),
    "a file in a trip's folder more": lambda at: kit.write(at, {"trips/river/used.csv": "item\n"}),
    "a trip's folder more": lambda at: kit.write(at, {"trips/coast/wished.csv": "what\n"}),
    "a file less": lambda at: (at / ROW).unlink(),
    "a file renamed": lambda at: (at / ROW).rename(at / "trips/river/carried-1.csv"),
    "settings": lambda at: kit.write(at, {"tarebook.toml": "[display]\nmass = 'oz'\n"}),
    "a normals file": lambda at: kit.write(at, {"normals/X.csv": "a\n"}),
    "an unknown csv": lambda at: kit.write(at, {"trips.csv": "a\n"}),
}


@pytest.mark.parametrize("change", CHANGES)
def test_any_change_of_an_input_makes_the_store_old(write: Write, change: str) -> None:
    folder = write({ROW: "item\ntent\n", "normals/A.csv": "a\n"})
    load_logbook(folder)
    assert is_current(folder)
    CHANGES[change](folder)
    assert not is_current(folder)


def test_a_load_is_made_where_it_is_needed_and_only_there(write: Write) -> None:
    folder = write({ROW: "item\ntent\n"})
    assert not is_current(folder)
    assert ensure_current(folder) is not None
    assert ensure_current(folder) is None
    _append(folder / "gear.csv", "spoon,,cook,1,\n")
    findings = ensure_current(folder)
    assert findings is not None
    assert kit.records_read(findings) == 6 + 2 + 1
    assert is_current(folder)


UNOPENED = ["gear.csv", ROW, "tarebook.toml", "normals/A.csv", "trips/river"]


@pytest.mark.parametrize("name", UNOPENED)
def test_what_could_not_be_opened_is_read_the_next_time(
    write: Write, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    folder = write({ROW: "item\ntent\n", "tarebook.toml": "", "normals/A.csv": "a\n"})
    (path, trip) = (folder / name, folder / "trips" / "river")
    load_logbook(folder)
    with monkeypatch.context() as refused:
        _refuse(refused, path)
        load_logbook(folder)
    # Nothing about the file is changed where it is opened to its owner again, say.
    assert not is_current(folder)
    ensure_current(folder)
    assert is_current(folder)
    assert trip.is_dir()
    assert (row_counts(folder)["gear"], row_counts(folder)["carried"]) == (5, 1)


def _refuse(refused: pytest.MonkeyPatch, path: Path) -> None:
    """Let the system refuse one file or folder: whoever runs the tests may be allowed all."""

    def refuse(really: Callable[..., object]) -> Callable[..., object]:
        def asked(one: object, *more: object, **named: object) -> object:
            if str(one) == str(path):
                raise PermissionError(13, "Permission denied", str(path))
            return really(one, *more, **named)

        return asked

    refused.setattr(os, "scandir", refuse(os.scandir))
    refused.setattr(io, "open", refuse(io.open))
    refused.setattr(builtins, "open", refuse(builtins.open))


@pytest.mark.parametrize("file", ["notes.txt", "reports/debrief.html", "photos/gear.csv"])
def test_other_files_do_not_matter(write: Write, file: str) -> None:
    folder = write({})
    load_logbook(folder)
    kit.write(folder, {file: "x"})
    assert is_current(folder)


@pytest.mark.parametrize("name", ["LAYOUT", "VERSION"])
def test_a_store_of_another_layout_or_version_is_rebuilt(
    write: Write, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    folder = write({})
    load_logbook(folder)
    # The version is one of the inputs that are looked at, the layout stands in the store, too.
    monkeypatch.setattr(stamps if name == "VERSION" else storing, name, 99)
    assert not is_current(folder)
    assert ensure_current(folder) is not None
    assert is_current(folder)


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

    _append(folder / "gear.csv", "spoon,,cook,1,\n")
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


def test_a_copied_logbook_needs_no_new_load(write: Write, tmp_path: Path) -> None:
    folder = write({ROW: "item\ntent\n"})
    load_logbook(folder)
    copy = tmp_path / "copy"
    shutil.copytree(folder, copy)  # keeps the times of files, not those of their entries
    assert is_current(copy)


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


ENTRIES: dict[str, Callable[[Path], object]] = {
    "an editor's lock": lambda at: (at / ".#gear.csv").symlink_to("someone@host.123:456"),
    "a link to nothing": lambda at: (at / "a-link.csv").symlink_to("nowhere.csv"),
    "a link in a circle": lambda at: (at / "a-loop.csv").symlink_to("a-loop.csv"),
    "a folder called like a file": lambda at: (at / "a-folder.csv").mkdir(),
    "a pipe": lambda at: os.mkfifo(at / "a-pipe.csv"),
    "a socket": lambda at: socket.socket(socket.AF_UNIX).bind(str(at / "s.csv")),
    "a table in a circle": lambda at: (at / "gear-2.csv").symlink_to("gear-2.csv"),
    "a trip that is a link to nothing": lambda at: (at / "trips/a").symlink_to("nowhere"),
    "a trip in a circle": lambda at: (at / "trips/a").symlink_to("a"),
}


@pytest.mark.parametrize("odd", ENTRIES)
def test_an_entry_that_cannot_be_looked_at_hides_no_change(
    write: Write, odd: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = write({ROW: "item\ntent\n"})
    monkeypatch.chdir(folder)  # a socket's path is short
    ENTRIES[odd](Path())
    load_logbook(folder)
    assert is_current(folder)
    for changed in ("gear.csv", "trip.csv", ROW):
        _retime(folder / changed)
        assert not is_current(folder), changed
        load_logbook(folder)
        assert is_current(folder)


def test_counts_by_query(write: Write) -> None:
    folder = write({ROW: "item\ntent\nnothing\n", "trips/river/used.csv": b"a\0"})
    load_logbook(folder)
    assert aside_counts(folder) == (1, 1)
    assert row_counts(folder) == dict.fromkeys(kit.BY_NAME, 0) | {
        "gear": 5,
        "trip": 2,
        "carried": 1,
    }


def test_a_persons_files_are_left_as_they_are(write: Write) -> None:
    folder = write({ROW: "item\ntent\nbad\n", "gear-x.csv": kit.GEAR, "trips.csv": "x\n"})

    def state() -> list[tuple[str, int, bytes]]:
        files = (p for p in sorted(folder.rglob("*")) if p.is_file() and ".tarebook" not in str(p))
        return [(str(p), p.stat().st_mtime_ns, p.read_bytes()) for p in files]

    before = state()
    load_logbook(folder)
    ensure_current(folder)
    assert state() == before


def test_a_folder_that_is_no_logbook_is_left_as_it_is(tmp_path: Path) -> None:
    with pytest.raises(LogbookError):
        load_logbook(tmp_path)
    assert list(tmp_path.iterdir()) == []


# --- readers -----------------------------------------------------------------------------------
def test_a_reader_in_this_process_keeps_its_answers(write: Write) -> None:
    folder = write({})
    load_logbook(folder)
    with duckdb.connect(str(store_path(folder)), read_only=True) as reader:
        count = "SELECT count(*) FROM gear"
        assert reader.execute(count).fetchall() == [(5,)]
        _append(folder / "gear.csv", "spoon,,cook,1,\n")
        load_logbook(folder)
        assert reader.execute(count).fetchall() == [(5,)]
    assert row_counts(folder)["gear"] == 6


READER = """
import sys, duckdb
with duckdb.connect(sys.argv[1], read_only=True) as reader:
    for line in sys.stdin:
        print(reader.execute("SELECT count(*) FROM gear").fetchall()[0][0], flush=True)
"""


def test_a_reader_in_another_process_keeps_its_answers(write: Write) -> None:
    folder = write({})
    load_logbook(folder)
    command = [sys.executable, "-c", READER, str(store_path(folder))]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as reader:
        assert reader.stdin
        assert reader.stdout

        def ask() -> int:
            reader.stdin.write("\n")  # type: ignore[union-attr]
            reader.stdin.flush()  # type: ignore[union-attr]
            return int(reader.stdout.readline())  # type: ignore[union-attr]

        assert ask() == 5
        for n in range(3):
            _append(folder / "gear.csv", f"spoon-{n},,cook,1,\n")
            load_logbook(folder)
            assert row_counts(folder)["gear"] == 6 + n
        assert ask() == 5
        reader.stdin.close()
        assert reader.wait(10) == 0


# --- two at once, killed, no room --------------------------------------------------------------
LOAD = """
import sys
from pathlib import Path
from tarebook.tripdata.errors import TarebookError
from tarebook.tripdata.store import load_logbook
import duckdb, filelock
print("begun", flush=True)
try:
    load_logbook(Path(sys.argv[1]))
except TarebookError as error:
    sys.exit(f"tarebook: {error}")
"""


def loading(folder: Path, **more: object) -> "subprocess.Popen[str]":
    """A load in another process that has just begun."""
    command = [sys.executable, "-c", LOAD, str(folder)]
    process = subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, **more
    )  # type: ignore[call-overload]
    assert process.stdout
    assert process.stdout.readline() == "begun\n"
    return process  # type: ignore[no-any-return]


# Imports once and forks a load at a time, so that a round costs the load alone. A dead load is
# kept unreaped until the next line, so that its number cannot become another process's.
FORKER = """
import os, sys
from pathlib import Path
import duckdb, filelock, numpy
from tarebook.tripdata.store import load_logbook
for line in sys.stdin:
    pid = os.fork()
    if pid == 0:
        load_logbook(Path(sys.argv[1]))
        os._exit(0)
    print(pid, flush=True)
    sys.stdin.readline()
    print(os.waitpid(pid, 0)[1], flush=True)
"""


class Killer:
    """Loads one logbook again and again in another process, and kills each load in the midst."""

    def __init__(self, folder: Path) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-c", FORKER, str(folder)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def _say(self) -> int:
        assert self._process.stdin
        assert self._process.stdout
        self._process.stdin.write("\n")
        self._process.stdin.flush()
        return int(self._process.stdout.readline())

    def load(self, seconds: float | None) -> bool:
        """Load, and kill it after so long; whether it came to its end."""
        pid = self._say()
        if seconds is not None:
            time.sleep(seconds)
            os.kill(pid, signal.SIGKILL)
        return self._say() == 0

    def close(self) -> None:
        """Let the other process end."""
        assert self._process.stdin
        self._process.stdin.close()
        assert self._process.wait(30) == 0


def prove_whole(folder: Path) -> int:
    """Prove that a store is all of one load; returns its items."""
    store = kit.Store(store_path(folder))
    files = dict(store.rows("files", "file", "loaded"))
    counts = row_counts(folder)
    assert counts["gear"] == files["gear.csv"]
    assert counts["trip"] == files["trip.csv"]
    assert counts["carried"] == files[ROW]
    assert len(store.rows("about")) == 3
    return counts["gear"]


def test_a_load_killed_at_any_moment_leaves_the_store_before_or_after(write: Write) -> None:
    folder = write({ROW: "item\n" + "".join(f"item-{n}\n" for n in range(400))})
    rng = random.Random("kill")
    lines = kit.GEAR + "".join(f"item-{n},,cook,1,\n" for n in range(400))
    (folder / "gear.csv").write_text(lines)
    killer = Killer(folder)
    assert killer.load(None)
    begun = time.monotonic()
    assert killer.load(None)
    took = time.monotonic() - begun
    items, outcomes = 405, {"before": 0, "after": 0}
    for n in range(KILLS):
        _append(folder / "gear.csv", f"more-{n},,cook,1,\n")
        killer.load(rng.uniform(0, took * 1.1))
        found = prove_whole(folder)
        assert found in (items, 406 + n)
        outcomes["before" if found == items else "after"] += 1
        items = found
    assert outcomes["before"]
    assert killer.load(None)
    assert prove_whole(folder) == 405 + KILLS
    assert left(folder) == WHOLE
    killer.close()


def test_a_first_load_that_is_killed_leaves_nothing_that_is_taken_for_a_store(
    write: Write,
) -> None:
    folder = write({ROW: "item\ntent\n"})
    killer = Killer(folder)
    for wait in (0.0, 0.01, 0.03, 0.06):
        shutil.rmtree(folder / ".tarebook", ignore_errors=True)
        killer.load(wait)
        if store_path(folder).exists():
            assert prove_whole(folder) == 5
        ensure_current(folder)
        assert prove_whole(folder) == 5
        assert left(folder) == WHOLE
    killer.close()


def test_two_loads_at_once_in_two_processes(write: Write) -> None:
    folder = write({ROW: "item\ntent\n"})
    both = [loading(folder) for _ in range(3)]
    for process in both:
        out, err = process.communicate(timeout=120)
        assert (process.returncode, out, err) == (0, "", "")
    assert prove_whole(folder) == 5
    assert left(folder) == WHOLE


def test_two_loads_at_once_in_one_process(write: Write) -> None:
    folder = write({ROW: "item\ntent\n"})
    failed: list[BaseException] = []

    def run() -> None:
        try:
            load_logbook(folder)
        except BaseException as error:
            failed.append(error)

    both = [threading.Thread(target=run) for _ in range(3)]
    for thread in both:
        thread.start()
    for thread in both:
        thread.join(120)
    assert not failed
    assert prove_whole(folder) == 5


def test_a_load_waits_for_another_and_then_gives_up(
    write: Write, monkeypatch: pytest.MonkeyPatch
) -> None:
    from filelock import FileLock

    folder = write({})
    load_logbook(folder)
    monkeypatch.setattr(storing, "_WAIT_S", 0.05)
    with FileLock(folder / ".tarebook" / "load.lock"), pytest.raises(StoreError) as raised:
        load_logbook(folder)
    assert str(raised.value) == (
        f"{folder / '.tarebook'}: another load is still running; try again later"
    )


LIMITED = "import resource; resource.setrlimit(resource.RLIMIT_FSIZE, (ROOM, ROOM))\n" + LOAD


# Room runs out while rows are written, in the log, and when the log is written into the store.
@pytest.mark.parametrize("room", [0, 5_000, 100_000, 600_000, 1_500_000])
def test_a_disk_without_room_is_one_line_and_keeps_the_former_store(
    write: Write, room: int
) -> None:
    rows = "".join(f"item-{n},Item {n} {'x' * 50},cook,1,\n" for n in range(2000))
    folder = write({ROW: "item\ntent\n"})
    load_logbook(folder)
    before = store_path(folder).read_bytes()
    _append(folder / "gear.csv", rows)
    command = [sys.executable, "-c", LIMITED.replace("ROOM", str(room)), str(folder)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=120)
    assert done.returncode == 1
    assert done.stderr.count("\n") == 1
    assert done.stderr == (
        f"tarebook: {folder / '.tarebook'}: the store cannot be written (File too large)\n"
    )
    assert store_path(folder).read_bytes() == before
    assert left(folder) == WHOLE
    load_logbook(folder)
    assert prove_whole(folder) == 2005


def test_a_folder_that_cannot_be_written_is_one_line(write: Write) -> None:
    folder = write({})
    (folder / ".tarebook").write_text("in the way")
    with pytest.raises(StoreError) as raised:
        load_logbook(folder)
    assert str(raised.value) == (
        f"{folder / '.tarebook'}: the store cannot be written (File exists)"
    )


def test_a_store_that_cannot_be_replaced_is_one_line(write: Write) -> None:
    folder = write({})
    kit.write(folder, {".tarebook/store.duckdb/x": "in the way"})
    with pytest.raises(StoreError, match="the store cannot be written") as raised:
        load_logbook(folder)
    assert "\n" not in str(raised.value)
    assert left(folder) == ["load.lock", "store.duckdb"]


@pytest.mark.parametrize("name", [b"gear-\xff.csv", "gear-🏕.csv".encode()])
def test_names_of_any_bytes_have_a_fingerprint(write: Write, name: bytes) -> None:
    folder = write({})
    with open(os.path.join(os.fsencode(folder), name), "w") as out:  # noqa: PTH118, PTH123
        out.write("item,system,weight_g\nspoon,cook,1\n")
    load_logbook(folder)
    assert is_current(folder)
    assert row_counts(folder)["gear"] == 6
