"""Which files of a folder are part of the logbook, and in which order they are read."""

import os
from dataclasses import dataclass
from pathlib import Path

from .contract import BY_NAME, TABLES
from .errors import LogbookError
from .names import nearest
from .problems import Problem


@dataclass(frozen=True, slots=True)
class Source:
    """One CSV file of a logbook: its path, its name in messages, its table, its trip folder."""

    path: Path
    name: str
    table: str
    folder: str
    size: int


@dataclass(frozen=True, slots=True)
class Found:
    """The files of a logbook in reading order, per table, and what is to be said of all others.

    ``unreadable``: name and reason of each trip folder that cannot be looked into.
    """

    sources: dict[str, list[Source]]
    warnings: list[Problem]
    unreadable: list[tuple[str, str]]


def table_of(stem: str) -> str | None:
    """The table that a file of this name (without its extension) belongs to."""
    return next((t for t in BY_NAME if stem == t or stem.startswith(t + "-")), None)


def _entries(folder: Path) -> list[os.DirEntry[str]]:
    try:
        with os.scandir(folder) as found:
            return sorted(found, key=lambda e: e.name)
    except OSError as error:
        raise LogbookError(f"{folder}: cannot be read ({error.strerror})") from error


def _skipped(name: str) -> bool:
    return name.startswith((".", "~"))


def _read_folder(folder: Path, prefix: str, trip_folder: str, found: Found) -> None:
    for entry in _entries(folder):
        stem, extension = os.path.splitext(entry.name)  # noqa: PTH122  (4,000 files: no Path)
        if extension.lower() != ".csv" or _skipped(entry.name) or not entry.is_file():
            continue
        name = prefix + entry.name
        table = table_of(stem)
        if table is None:
            near = nearest(stem, BY_NAME)
            hint = f"{near}.csv" if near else ""
            found.warnings.append(Problem(name, 0, "", "", "not a file of a logbook; it was not "
                                          "read", hint))  # fmt: skip
        elif trip_folder and table in ("gear", "weighings", "candidates"):
            found.warnings.append(Problem(name, 0, "", "", f"{table} files belong in the logbook's "
                                          "top folder; this one was not read"))  # fmt: skip
        else:
            size = entry.stat().st_size
            source = Source(Path(entry.path), name, table, trip_folder, size)
            found.sources[table].append(source)


def discover(logbook: Path) -> Found:
    """Find the files of a logbook.

    Raises LogbookError where the folder is not there, cannot be read or holds no gear file.
    """
    if not logbook.is_dir():
        raise LogbookError(f"{logbook}: there is no such folder; name the folder of your logbook")
    found = Found({t.name: [] for t in TABLES}, [], [])
    _read_folder(logbook, "", "", found)
    # `<table>.csv` first, then its parts by name; folders follow, by name.
    for table, sources in found.sources.items():
        sources.sort(key=lambda s, t=table: (s.path.stem != t, s.name))  # type: ignore[misc]
    trips = logbook / "trips"
    if trips.is_dir():
        for entry in _entries(trips):
            if entry.is_dir() and not _skipped(entry.name):
                _read_trip_folder(Path(entry.path), entry.name, found)
    if not found.sources["gear"]:
        near = next((w.file for w in found.warnings if w.nearest == "gear.csv"), "")
        hint = f' (is it "{near}"?)' if near else ""
        raise LogbookError(
            f"{logbook}: no gear.csv here{hint}; is this a logbook? "
            "`tarebook new DIR` makes an empty one"
        )
    return found


def _read_trip_folder(folder: Path, name: str, found: Found) -> None:
    before = {t: len(s) for t, s in found.sources.items()}
    try:
        _read_folder(folder, f"trips/{name}/", name, found)
    except LogbookError as error:
        found.unreadable.append((f"trips/{name}", str(error)))
    for table, sources in found.sources.items():
        part = sources[before[table] :]
        part.sort(key=lambda s, t=table: (s.path.stem != t, s.name))  # type: ignore[misc]
        sources[before[table] :] = part
