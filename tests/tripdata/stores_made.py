"""What tests of the life of a store share: a logbook that changes, what stands beside its store."""

import os
from collections.abc import Callable
from pathlib import Path

import kit
from kit import row_counts
from tarebook.tripdata.store import store_path

Write = Callable[..., Path]
ROW = "trips/river/carried.csv"
WHOLE = ["load.lock", "store.duckdb", "store.seal"]
"""What stands in the store's folder after a load."""
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
"""A load in a process of its own, which says when it begins; its argument is the logbook."""


def left(folder: Path) -> list[str]:
    """What stands in the store's folder."""
    return sorted(p.name for p in store_path(folder).parent.iterdir())


def append(path: Path, text: str) -> None:
    """Write more at the end of a file."""
    with path.open("a") as out:
        out.write(text)


def retime(path: Path) -> None:
    """Let a file seem written a billionth of a second later."""
    stat = path.stat()
    os.utime(path, ns=(stat.st_atime_ns, stat.st_mtime_ns + 1))


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
