"""The folder of what is derived, and its lock: one load or one writing of files at a time."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from .errors import StoreError

FOLDER = ".tarebook"
_LOCK = "load.lock"


@contextmanager
def locked(logbook: Path, wait_s: float) -> Iterator[Path]:
    """Alone with a logbook: no other load or writing is at work in it.

    Gives the folder of what is derived, made where it was missing. Raises StoreError where another
    is still at work after ``wait_s`` seconds, OSError where the folder or lock cannot be made.
    """
    from filelock import FileLock, Timeout

    folder = logbook / FOLDER
    try:
        folder.mkdir(exist_ok=True)
        with FileLock(folder / _LOCK, timeout=wait_s):
            yield folder
    except Timeout as error:
        raise StoreError(f"{folder}: another load is still running; try again later") from error
