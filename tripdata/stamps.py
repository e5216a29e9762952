"""What the files of a logbook look like from outside: has any input changed since the last load?"""

import os
from collections.abc import Iterator
from pathlib import Path

from .discover import is_folder, skipped
from .normals.folder import NORMALS_FOLDER
from .schema import LAYOUT
from .settings import SETTINGS_FILE
from .version import VERSION

_GONE = (-1, -1)
"""Size and time of an entry that cannot be looked at, such as a link to a file that is gone."""


def fingerprint(logbook: Path) -> str:
    """What the store of a logbook is built from: path, size and time of every input, as text.

    A change of any CSV file, of tarebook.toml or of a normals file changes it. Each entry of a
    folder is looked at by itself: one that cannot be looked at changes nothing for the others.
    """
    lines = []
    for folder in _folders(logbook):
        lines += [f"{name}\t{size}\t{time}" for name, size, time in _stamps(folder, logbook)]
    return "\n".join([f"layout {LAYOUT}", f"version {VERSION}", *sorted(lines)])


def _folders(logbook: Path) -> Iterator[Path]:
    yield logbook
    yield logbook / NORMALS_FOLDER
    for entry in _entries(logbook / "trips"):
        if not skipped(entry.name) and is_folder(entry):
            yield Path(entry.path)


def _stamps(folder: Path, logbook: Path) -> Iterator[tuple[str, int, int]]:
    for entry in _entries(folder):
        if (
            entry.name.lower().endswith(".csv") and not skipped(entry.name)
        ) or entry.name == SETTINGS_FILE:
            yield (os.path.relpath(entry.path, logbook), *_stamp(entry))


def _stamp(entry: os.DirEntry[str]) -> tuple[int, int]:
    try:
        stat = entry.stat()
    except OSError:
        return _GONE
    return stat.st_size, stat.st_mtime_ns


def _entries(folder: Path) -> list[os.DirEntry[str]]:
    """What is in a folder; nothing where it is not there or may not be looked into."""
    try:
        with os.scandir(folder) as entries:
            return list(entries)
    except OSError:
        return []
