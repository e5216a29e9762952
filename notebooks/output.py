"""Where a table is written to: whole or not at all, never over what a logbook is read from."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from ..tripdata.discover import NORMALS_FOLDER, skipped, table_of
from ..tripdata.errors import QuestionError
from ..tripdata.leftovers import half_of, sweep_halves
from ..tripdata.lock import FOLDER
from ..tripdata.photographs import is_photograph
from ..tripdata.settings import SETTINGS_FILE


def check_out(out: Path | None, logbook: Path) -> None:
    """Raise QuestionError where a file to be written is, or would be, an input of the logbook."""
    if out is None:
        return
    try:
        inside = out.resolve().relative_to(logbook.resolve())
    except (OSError, RuntimeError) as error:
        raise QuestionError(f"{out}: cannot be written ({error})") from error
    except ValueError:
        return  # elsewhere
    if _is_input(inside):
        raise QuestionError(
            f"{out}: is one of the files that the logbook is read from, so nothing was written; "
            "name another file"
        )


def _is_input(inside: Path) -> bool:
    folders, name = inside.parts[:-1], inside.name
    if FOLDER in folders[:1] or (not folders and name == SETTINGS_FILE):
        return True
    in_trip = len(folders) == 2 and folders[0] == "trips"
    if in_trip and is_photograph(name):
        return True
    if not name.lower().endswith(".csv") or skipped(name):
        return False
    if folders == (NORMALS_FOLDER,):
        return True
    return (not folders or in_trip) and table_of(name[:-4]) is not None


_BESIDE = "tarebook-table"
"""What a file is called after while it is written: not after its place, whose name may be long."""


@contextmanager
def whole(out: Path) -> Iterator[Path]:
    """A file to write to, beside its place; moved there when all went well.

    What commands that were killed left beside it is removed. A link stays a link: what it points to
    is written. A device or pipe is written to as it is. The mode of a file that is there stays.
    Raises QuestionError where it cannot be written.
    """
    try:
        # Asked before a link is followed by its name: that of /dev/stdout names no file.
        if out.exists() and not out.is_file():
            yield out
            return
        place = out.resolve() if out.is_symlink() else out
        mode = place.stat().st_mode & 0o777 if place.exists() else 0o666 & ~_umask()
        sweep_halves(place.parent, _BESIDE)
        part = half_of(place.with_name(_BESIDE))
        part.unlink(missing_ok=True)  # of one that is gone and had our number
        try:
            part.touch(0o600, exist_ok=False)
            yield part
            part.chmod(mode)
            part.replace(place)
        finally:
            part.unlink(missing_ok=True)
    except OSError as error:
        raise QuestionError(f"{out}: cannot be written ({error.strerror})") from error


def _umask() -> int:
    current = os.umask(0)
    os.umask(current)
    return current
