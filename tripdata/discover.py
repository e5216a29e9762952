"""Which files of a folder are part of the logbook, and in which order they are read."""

import os
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from .contract import BY_NAME, TABLES
from .errors import LogbookError
from .names import nearest
from .other_files import about_other, copy_of, spreadsheet_of
from .problems import Problem

NORMALS_FOLDER = "normals"
"""Where climate normals lie in a logbook."""


@dataclass(frozen=True, slots=True)
class Source:
    """One CSV file of a logbook: its path, its name in messages, its table, its trip folder.

    ``fault`` says why it cannot be read, where that shows before it is opened.
    """

    path: Path
    name: str
    table: str
    folder: str
    size: int
    fault: str = ""


@dataclass(frozen=True, slots=True)
class LogbookFiles:
    """The files of a logbook in reading order, per table, and what is to be said of all others.

    ``unreadable``: name and reason of each trip folder that cannot be looked into. ``unopened``:
    whether the system did not let one be looked into.
    """

    sources: dict[str, list[Source]]
    warnings: list[Problem]
    unreadable: list[tuple[str, str]]
    unopened: bool = False


def table_of(stem: str) -> str | None:
    """The table that a file of this name (without its extension) belongs to."""
    return next((t for t in BY_NAME if stem == t or stem.startswith(t + "-")), None)


def _entries(folder: Path) -> list[os.DirEntry[str]]:
    """What is in a folder by name, files that are called like a table first."""
    try:
        with os.scandir(folder) as entries:
            return sorted(entries, key=lambda e: (_stem(e.name) not in BY_NAME, e.name))
    except OSError as error:
        raise LogbookError(f"{folder}: cannot be read ({error.strerror})") from error


def entries_there(folder: Path) -> list[os.DirEntry[str]]:
    """What is in a folder; nothing where it is not there or may not be looked into."""
    try:
        with os.scandir(folder) as entries:
            return list(entries)
    except OSError:
        return []


def _stem(name: str) -> str:
    return os.path.splitext(name)[0]  # noqa: PTH122  (4,000 files: no Path)


def skipped(name: str) -> bool:
    """Whether a file or folder of this name is no part of a logbook: hidden, or an editor's own."""
    return name.startswith((".", "~"))


def readable(name: str) -> str:
    """A file's name as text; bytes of it that are none are shown as escapes."""
    return name.encode("utf-8", "backslashreplace").decode("utf-8")


Kind = Literal["file", "folder"]


def is_a(what: Kind, entry: os.DirEntry[str]) -> bool:
    """Whether an entry is one, or a link to one; not where it cannot be looked at."""
    try:
        return entry.is_file() if what == "file" else entry.is_dir()
    except OSError:
        return False


def _fault(what: Kind, entry: os.DirEntry[str]) -> str:
    """Why an entry of a folder cannot be read as a file or folder, empty where it may be."""
    if is_a(what, entry):
        return ""
    if entry.is_symlink() and not Path(entry.path).exists():
        return f"is a link to a {what} that is not there; mend or remove it"
    return f"is not a {what}; move it out of the logbook or rename it"


def size_and_time(entry: os.DirEntry[str]) -> tuple[int, int]:
    """Bytes of a file and when it was changed; -1 where it cannot be looked at, as a dead link."""
    try:
        stat = entry.stat()
    except OSError:
        return -1, -1  # where that matters, opening it will say so
    return stat.st_size, stat.st_mtime_ns


def _read_folder(folder: Path, prefix: str, trip_folder: str, files: LogbookFiles) -> None:
    entries = _entries(folder)
    sheets = any(spreadsheet_of(entry.name) for entry in entries)
    beside = {e.name.lower(): size_and_time(e)[1] for e in entries} if sheets else {}
    for entry in entries:
        name, stem = prefix + readable(entry.name), _stem(entry.name)
        if entry.name[-4:].lower() != ".csv" or skipped(entry.name):
            if said := about_other(entry.name, beside):
                files.warnings.append(Problem(name, said))
            continue
        table = table_of(stem)
        if table is None and (whole := copy_of(stem)):
            problem = f"looks like a copy of {whole}.csv; it was not read; bring over what it "
            files.warnings.append(Problem(name, problem + "alone has, then remove it"))
        elif table is None:
            near = nearest(stem, BY_NAME)
            hint = f"{near}.csv" if near else ""
            problem = "not a file of a logbook; it was not read"
            files.warnings.append(Problem(name, problem, nearest=hint))
        elif trip_folder and table in ("gear", "weighings", "candidates"):
            problem = f"{table} files belong in the logbook's top folder; this one was not read"
            files.warnings.append(Problem(name, problem))
        else:
            fault = _fault("file", entry)
            size = 0 if fault else size_and_time(entry)[0]
            source = Source(Path(entry.path), name, table, trip_folder, size, fault)
            files.sources[table].append(source)


def read_root(logbook: Path) -> LogbookFiles:
    """The files that stand in a logbook's own folder.

    Raises LogbookError where the folder is not there, cannot be read or holds no gear file.
    """
    if not logbook.is_dir():
        raise LogbookError(f"{logbook}: there is no such folder; name the folder of your logbook")
    files = LogbookFiles({t.name: [] for t in TABLES}, [], [])
    _read_folder(logbook, "", "", files)
    if not files.sources["gear"]:
        hint = next((_may_be_gear(w) for w in files.warnings if _may_be_gear(w)), "")
        raise LogbookError(
            f"{logbook}: no gear.csv here{hint}; is this a logbook? "
            "`tarebook new DIR` makes an empty one"
        )
    return files


def _may_be_gear(warning: Problem) -> str:
    """What is to be said of a file that was warned of, if it may hold the gear."""
    sheet = spreadsheet_of(warning.file)
    if sheet and (table_of(sheet) or nearest(sheet, BY_NAME)) == "gear":
        return f' ("{warning.file}" is a spreadsheet: save it as gear.csv)'
    copied = copy_of(_stem(warning.file)) == "gear"
    return f' (is it "{warning.file}"?)' if copied or warning.nearest == "gear.csv" else ""


def discover(logbook: Path) -> LogbookFiles:
    """Find the files of a logbook.

    Raises LogbookError where the folder is not there, cannot be read or holds no gear file.
    """
    files, unopened = read_root(logbook), False
    trips = logbook / "trips"
    for entry in _entries(trips) if trips.is_dir() else []:
        name = readable(entry.name)
        if skipped(entry.name) or is_a("file", entry):
            continue
        fault = _fault("folder", entry)
        try:
            if not fault:
                _read_folder(Path(entry.path), f"trips/{name}/", name, files)
        except LogbookError as error:
            fault, unopened = str(error), True
        if fault:
            files.unreadable.append((f"trips/{name}", fault))
    return replace(files, unopened=unopened)
