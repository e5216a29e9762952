"""Former files, kept before each writing: a folder a writing, named after its moment.

They are there for who wants to look back a while; without an end they would outgrow the logbook.
"""

import os
import re
import shutil
from contextlib import suppress
from pathlib import Path

BEFORE = "before"
"""The folder in which former files are kept."""
KEPT_WRITINGS = 20
"""Writings of which the former files are kept."""
_MOMENT = re.compile(r"\d{4}-\d{2}-\d{2}-\d{6}-\d{6}(-\d+)?", re.ASCII)
_GOING = ".gone-"


def sweep(own: Path, latest: str) -> None:
    """Delete what was kept before all but the last writings; ``latest`` is the moment of the last.

    Only folders that a writing made are touched, and none through a link. One leaves its name
    before anything in it goes, so that no half of it looks like a whole. What cannot be deleted
    stays.
    """
    folder = own / BEFORE
    if folder.is_symlink() or not folder.is_dir():
        return
    with suppress(OSError):
        there = [Path(entry.path) for entry in os.scandir(folder) if _is_folder(entry)]
        kept = {path for path in there if _MOMENT.fullmatch(path.name)}
        # By name: the moments of one clock. One that was put back does not make the last one go.
        by_age = sorted(kept, key=lambda path: (path.name == latest, *_age(path.name)))
        for path in by_age[:-KEPT_WRITINGS]:
            going = folder / f"{_GOING}{path.name}"
            path.rename(going)
            there.append(going)
        for path in there:
            if path.name.startswith(_GOING):
                shutil.rmtree(path, ignore_errors=True)


def _age(moment: str) -> tuple[str, int]:
    """A moment and, where several fell on it, which of them."""
    return moment[:24], int(moment[25:] or 0)


def _is_folder(entry: "os.DirEntry[str]") -> bool:
    return entry.is_dir(follow_symlinks=False)
