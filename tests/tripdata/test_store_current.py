"""A store is current until an input changes; a load leaves a person's files as they are."""

import builtins
import io
import os
import shutil
import socket
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import kit
import pytest
from kit import is_current, row_counts
from stores_made import ROW, Write, append, retime
from tarebook.tripdata import stamps
from tarebook.tripdata import store as storing
from tarebook.tripdata.errors import LogbookError
from tarebook.tripdata.store import (
    aside_counts,
    ensure_current,
    load_logbook,
    store_path,
)

CHANGES: dict[str, Callable[[Path], object]] = {
    "a row more": lambda at: append(at / "gear.csv", "spoon,,cook,1,\n"),
    "the same size, another time": lambda at: retime(at / "gear.csv"),
    "a file in a trip's folder": lambda at: retime(at / ROW),
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
    append(folder / "gear.csv", "spoon,,cook,1,\n")
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


def test_a_copied_logbook_needs_no_new_load(write: Write, tmp_path: Path) -> None:
    folder = write({ROW: "item\ntent\n"})
    load_logbook(folder)
    copy = tmp_path / "copy"
    shutil.copytree(folder, copy)  # keeps the times of files, not those of their entries
    assert is_current(copy)


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
        retime(folder / changed)
        assert not is_current(folder), changed
        load_logbook(folder)
        assert is_current(folder)


@pytest.mark.parametrize("name", [b"gear-\xff.csv", "gear-🏕.csv".encode()])
def test_names_of_any_bytes_have_a_fingerprint(write: Write, name: bytes) -> None:
    folder = write({})
    with open(os.path.join(os.fsencode(folder), name), "w") as out:  # noqa: PTH118, PTH123
        out.write("item,system,weight_g\nspoon,cook,1\n")
    load_logbook(folder)
    assert is_current(folder)
    assert row_counts(folder)["gear"] == 6


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


IN_A_NOTEBOOK = """
import sys
from pathlib import Path
from IPython.core.interactiveshell import InteractiveShell
from traitlets.config import Config

InteractiveShell.instance(config=Config({"IPKernelApp": {"connection_file": "x"}}))
import duckdb

ASKED = "SELECT current_setting('enable_progress_bar')"
assert duckdb.connect().execute(ASKED).fetchall() == [(True,)]
from tarebook.tripdata.store import open_for_reading

with open_for_reading(Path(sys.argv[1])) as connection:
    print(connection.execute(ASKED).fetchall())
"""


def test_no_query_of_a_notebook_shows_how_far_it_is(write: Write) -> None:
    """A bar of a query that takes seconds would stand on the page, on a slow machine alone."""
    folder = write({})
    load_logbook(folder)
    words = [sys.executable, "-c", IN_A_NOTEBOOK, str(store_path(folder))]
    ended = subprocess.run(words, capture_output=True, text=True, check=False)
    assert (ended.stdout, ended.stderr) == ("[(False,)]\n", "")
