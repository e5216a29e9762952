"""What the files of a logbook look like from outside: has any input changed since the last load?"""

import hashlib
import os
from collections.abc import Iterator
from pathlib import Path

from .discover import NORMALS_FOLDER, entries_there, is_a, size_and_time, skipped
from .schema import LAYOUT
from .settings import SETTINGS_FILE
from .version import VERSION


def fingerprint(logbook: Path) -> str:
    """What the store of a logbook is built from: path, size and time of every input, as text.

    A change of any CSV file, of tarebook.toml or of a normals file changes it. Each entry of a
    folder is looked at by itself: one that cannot be looked at changes nothing for the others.
    """
    lines = []
    for entry in _inputs(logbook):
        size, time = size_and_time(entry)
        lines.append(f"{os.path.relpath(entry.path, logbook)}\t{size}\t{time}")
    return "\n".join([f"layout {LAYOUT}", f"version {VERSION}", *sorted(lines)])


def content_digest(logbook: Path) -> str:
    """A digest of what the inputs of a logbook hold: names and bytes, not when they were written.

    Any two logbooks of which a store could differ have different ones. An input that cannot be read
    counts as such.
    """
    whole = hashlib.sha256(f"layout {LAYOUT}, version {VERSION}".encode())
    for path in sorted(Path(entry.path) for entry in _inputs(logbook)):
        try:
            content = hashlib.sha256(path.read_bytes()).hexdigest()
        except OSError as error:
            content = f"unreadable: {error.errno}"
        name = os.path.relpath(path, logbook)
        whole.update(f"\0{name}\0{content}".encode("utf-8", "surrogateescape"))
    return whole.hexdigest()


def package_hash(path: Path) -> str:
    """A file's digest as a Data Package has it: ``sha256:`` and 64 digits. Raises OSError."""
    with path.open("rb") as file:
        return f"sha256:{hashlib.file_digest(file, 'sha256').hexdigest()}"


def _inputs(logbook: Path) -> Iterator[os.DirEntry[str]]:
    trips = entries_there(logbook / "trips")
    folders = [Path(e.path) for e in trips if not skipped(e.name) and is_a("folder", e)]
    for folder in (logbook, logbook / NORMALS_FOLDER, *folders):
        for entry in entries_there(folder):
            table = entry.name.lower().endswith(".csv") and not skipped(entry.name)
            if table or entry.name == SETTINGS_FILE:
                yield entry
