"""A store is swapped in whole: beside its readers, beside other loads, and where one is killed."""

import os
import random
import shutil
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import duckdb
import kit
import pytest
from kit import row_counts
from stores_made import LOAD, ROW, WHOLE, Write, append, left, prove_whole
from tarebook.tripdata import store as storing
from tarebook.tripdata.errors import StoreError
from tarebook.tripdata.store import ensure_current, load_logbook, store_path

KILLS = int(os.environ.get("TAREBOOK_KILLS", "20"))


def test_a_reader_in_this_process_keeps_its_answers(write: Write) -> None:
    folder = write({})
    load_logbook(folder)
    with duckdb.connect(str(store_path(folder)), read_only=True) as reader:
        count = "SELECT count(*) FROM gear"
        assert reader.execute(count).fetchall() == [(5,)]
        append(folder / "gear.csv", "spoon,,cook,1,\n")
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
            append(folder / "gear.csv", f"spoon-{n},,cook,1,\n")
            load_logbook(folder)
            assert row_counts(folder)["gear"] == 6 + n
        assert ask() == 5
        reader.stdin.close()
        assert reader.wait(10) == 0


def loading(folder: Path, **more: object) -> "subprocess.Popen[str]":
    """A load in another process that has just begun."""
    command = [sys.executable, "-c", LOAD, str(folder)]
    process = subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, **more
    )  # type: ignore[call-overload]
    assert process.stdout
    assert process.stdout.readline() == "begun\n"
    return process  # type: ignore[no-any-return]


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
        append(folder / "gear.csv", f"more-{n},,cook,1,\n")
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
