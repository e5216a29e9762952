"""The derived store: built beside the former one and swapped in whole.

Readers keep the file they opened; a load that is killed or meets a full disk leaves the former
store as it was. One load at a time: a second one waits for the first.
"""

import os
import re
import shutil
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from operator import attrgetter
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from .discover import read_root
from .errors import StoreError
from .journal import recover
from .leftovers import scratch
from .lines import has_pattern
from .lock import FOLDER, locked
from .problems import Findings
from .schema import LAYOUT, store_ddl
from .seal import holds_only_the_layout, is_sealed, read_whole, unbroken, write_seal
from .settings import Settings, read_settings
from .sink import SIDE_COLUMNS, Sink
from .stamps import fingerprint
from .version import VERSION

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from .load import Progress

STORE = "store.duckdb"
_BUILDING = "building"
_WAIT_S = 600
_READ_WHOLE = 1 << 25
"""Bytes up to which a store is read through before it is believed, in some hundredths of a second.

A disk may lose what it holds without a sign from outside.
"""
State = Literal["missing", "broken", "old", "current"]


def store_path(logbook: Path) -> Path:
    """Where a logbook's store is (absolute: a name like `~x` means another folder to DuckDB)."""
    return logbook.absolute() / FOLDER / STORE


def _configure(connection: "DuckDBPyConnection") -> "DuckDBPyConnection":
    connection.execute("SET python_enable_replacements = false")
    _unwatched(connection)
    return connection


def _unwatched(connection: "DuckDBPyConnection") -> None:
    """Show no bar while a query runs: in a notebook it would stand on the page that is made."""
    # Where it is off it is left so: in a notebook the setting cannot even be named without widgets.
    if connection.execute("SELECT current_setting('enable_progress_bar')").fetchall()[0][0]:
        connection.execute("SET enable_progress_bar = false")


def memory_store() -> "DuckDBPyConnection":
    """An empty store in memory, its tables made."""
    import duckdb

    connection = _configure(duckdb.connect(":memory:"))
    connection.execute(store_ddl())
    return connection


def _digest(text: str) -> str:
    import hashlib

    return hashlib.sha256(text.encode("utf-8", "surrogateescape")).hexdigest()


def store_state(logbook: Path) -> State:
    """Whether the store is ours, whole, of this layout and built from the files as they are.

    A broken one is not the one that was built here.
    """
    import duckdb

    path = store_path(logbook)
    if not os.path.lexists(path):
        return "missing"
    if not is_sealed(path):
        return "old"
    # What a log holds would be read into the store on opening it; a link leads to what is not ours.
    if path.is_symlink() or not path.is_file() or os.path.lexists(_log(path)):
        return "broken"
    if not unbroken(path):
        return "broken"
    try:
        with open_for_reading(path) as connection:
            query = "SELECT key, \"value\" FROM about WHERE key IN ('layout', 'inputs')"
            about = dict(connection.execute(query).fetchall())
            if not all(isinstance(text, str) for row in about.items() for text in row):
                return "broken"  # no layout of ours, former or to come, says it otherwise
            if about.get("layout") != str(LAYOUT):
                return "old"
            if not holds_only_the_layout(connection):
                return "broken"
            if path.stat().st_size <= _READ_WHOLE:
                read_whole(connection)
    except duckdb.Error:
        return "broken"
    return "current" if about.get("inputs") == _digest(fingerprint(logbook)) else "old"


_SHUT = """
SET python_enable_replacements = false;
SET autoinstall_known_extensions = false;
SET autoload_known_extensions = false;
SET enable_external_access = false;
SET lock_configuration = true
"""


def open_for_reading(path: Path) -> "DuckDBPyConnection":
    """A store, opened for reading alone.

    It may have come from anywhere: nothing in it reads another file, the web or more code. Raises
    duckdb.Error where the file is no store that can be read.
    """
    import duckdb

    # Not connected to by its path: all connections of a process to one path share what the first of
    # them opened, also where another store has since been put in its place.
    connection = duckdb.connect(":memory:", config={"temp_directory": f"{path}.tmp"})
    try:
        quoted = str(path).replace("'", "''")
        connection.execute(f"ATTACH '{quoted}' AS store (READ_ONLY, TYPE duckdb); USE store")
        _unwatched(connection)
        # Said after attaching: before it, DuckDB reads a `?` or `[` in the path as a pattern.
        connection.execute(_SHUT)
    except BaseException:
        connection.close()
        raise
    return connection


def load_logbook(logbook: Path, progress: "Progress" = lambda _: None) -> Findings:
    """Read a logbook and build its store anew.

    Raises LogbookError where the folder is no logbook, StoreError where the store cannot be
    written; the former store, if any, is then still whole.
    """
    import duckdb

    recover(logbook)
    read_root(logbook)  # a folder that is no logbook is left as it is
    folder = logbook / FOLDER
    if fault := _unfit(folder.absolute()):
        raise StoreError(
            f"{folder}: a store cannot stand below a folder with {fault} in its name; "
            "rename the folder"
        )
    try:
        with locked(logbook, _WAIT_S, progress):
            return _build(logbook, folder, progress)
    except duckdb.Error as error:
        raise StoreError(f"{folder}: the store cannot be written ({_reason(error)})") from error
    except OSError as error:
        reason = error.strerror or str(error)
        raise StoreError(f"{folder}: the store cannot be written ({reason})") from error


def _unfit(folder: Path) -> str:
    """What in the name of a folder no store can be opened by; empty where it is good."""
    try:
        str(folder).encode()
    except UnicodeEncodeError:
        return "letters that are not UTF-8"
    return "a backslash" if "\\" in str(folder) else ""


def _reason(error: Exception) -> str:
    """What DuckDB complains of, in one line; of a file that cannot be written only why."""
    line = str(error).splitlines()[0]
    reason = re.search(r'Could not \w+ file ".*": (.+)$', line)
    return reason[1] if reason else line


def ensure_current(logbook: Path, progress: "Progress" = lambda _: None) -> Findings | None:
    """Load where the store is missing, older than an input or of another layout.

    Returns the findings of that load, None where none was needed. A store that was damaged, or
    that another hand made, is built anew; ``rebuilt`` of the findings says so.
    """
    recover(logbook)
    state = store_state(logbook)
    if state == "broken":
        state = _state_when_alone(logbook, progress)
    if state == "current":
        return None
    findings = load_logbook(logbook, progress)
    findings.rebuilt = state == "broken"
    return findings


def _state_when_alone(logbook: Path, progress: "Progress") -> State:
    """The state once no load is at work, which puts a store in its place and then its seal."""
    try:
        with locked(logbook, _WAIT_S, progress):
            return store_state(logbook)
    except OSError:
        return "broken"  # why nothing can be written is for the load to say


def _build(logbook: Path, folder: Path, progress: "Progress") -> Findings:
    work = folder / _BUILDING
    if work.is_symlink() or work.is_file():
        work.unlink()
    shutil.rmtree(work, ignore_errors=True)
    work.mkdir()
    try:
        inputs = _digest(fingerprint(logbook))
        with _workshop(work) as bench:
            findings = _fill(logbook, bench, progress, inputs)
            if bench != work:
                shutil.copyfile(bench / STORE, work / STORE)
        _swap(work / STORE, store_path(logbook))
        write_seal(store_path(logbook))
        return findings
    finally:
        shutil.rmtree(work, ignore_errors=True)


@contextmanager
def _workshop(work: Path) -> Iterator[Path]:
    """A folder to build in: the given one, unless its name would be read as a pattern."""
    if not has_pattern(work.absolute()):
        yield work
        return
    with scratch() as bench:
        yield bench


def _fill(logbook: Path, bench: Path, progress: "Progress", inputs: str) -> Findings:
    import duckdb

    from .load import Loader

    with _configure(duckdb.connect(str((bench / STORE).absolute()))) as connection:
        connection.execute("BEGIN")
        connection.execute(store_ddl())
        connection.execute("COMMIT")
        loader = Loader(logbook, connection, bench, progress)
        findings = loader.run()
        connection.execute("BEGIN")
        # What could not be opened may be there the next time: such a store is never current.
        known = "" if findings.unopened else inputs
        _write_about(Sink(bench, connection), findings, loader.settings, known)
        connection.execute("COMMIT")
        # What is still in the log alone is lost with it; closing would say nothing of a full disk.
        connection.execute("CHECKPOINT")
    if _log(bench / STORE).exists():
        raise StoreError(f"{logbook / FOLDER}: the store cannot be written (it was left half done)")
    return findings


def _log(store: Path) -> Path:
    """DuckDB's log of a store: what was not yet written into it."""
    return store.with_name(store.name + ".wal")


_PROBLEM = attrgetter(*SIDE_COLUMNS["set_aside"].split())
_WARNING = attrgetter(*SIDE_COLUMNS["warnings"].split())
_COUNT = attrgetter("file", "read", "loaded", "set_aside", "unreadable", "laid_out")


def _write_about(sink: Sink, findings: Findings, settings: Settings, inputs: str) -> None:
    rows: dict[str, Iterable[Sequence[Any]]] = {
        "set_aside": map(_PROBLEM, findings.records),
        "warnings": map(_WARNING, findings.warnings),
        "files": map(_COUNT, findings.files.values()),
        "use_not_read": ((unread.trip, unread.item) for unread in findings.use_not_read),
        "cells_not_read": (cell[1:] for cell in findings.cells_not_read),
        "settings": settings.stored().items(),
        "about": {"layout": str(LAYOUT), "version": VERSION, "inputs": inputs}.items(),
    }
    for table, values in rows.items():
        for row in values:
            sink.keep(table, row)
        sink.flush(table)


def _sync(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _swap(new: Path, store: Path) -> None:
    """Put the new store in the place of the former one, in one step that cannot be half done."""
    _sync(new)
    new.replace(store)
    _log(store).unlink(missing_ok=True)
    if os.name == "posix":
        _sync(store.parent)


def settings_in_use(logbook: Path) -> Settings:
    """The settings, with the unit of masses that the logbook's weights give where it is left open.

    They come from the store, which `ensure_current` is to have brought up to date.
    """
    settings = read_settings(logbook)
    if not (settings.mass_open and store_path(logbook).is_file()):
        return settings
    with open_for_reading(store_path(logbook)) as connection:
        query = "SELECT value FROM settings WHERE key = 'display.mass'"
        rows = connection.execute(query).fetchall()
    return replace(settings, mass=rows[0][0]) if rows else settings


def aside_counts(logbook: Path) -> tuple[int, int]:
    """Records set aside and files unreadable, as the store has them."""
    with open_for_reading(store_path(logbook)) as connection:
        query = "SELECT coalesce(sum(set_aside), 0), count(*) FILTER (unreadable) FROM files"
        aside, unreadable = connection.execute(query).fetchall()[0]
    return int(aside), int(unreadable)
