"""The folder of what is derived, and its lock: one load or one writing of files at a time."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from .errors import StoreError

FOLDER = ".tarebook"
_LOCK = "load.lock"
WAITING = "another command is at work in this logbook; waiting until it is done"
_UNTOLD_S = 2.0


@contextmanager
def locked(
    logbook: Path, wait_s: float, waiting: Callable[[str], None] = lambda _: None
) -> Iterator[Path]:
    """Alone with a logbook: no other load or writing is at work in it.

    Gives the folder of what is derived, made where it was missing. ``waiting`` gets `WAITING` once
    the wait is more than a moment. Raises StoreError where another
    is still at work after ``wait_s`` seconds, OSError where the folder or lock cannot be made.
    """
    from filelock import FileLock, Timeout

    folder = logbook / FOLDER
    try:
        folder.mkdir(exist_ok=True)
        if (folder / _LOCK).is_symlink():
            (folder / _LOCK).unlink()  # what it leads to is not ours, and would be emptied
        lock = FileLock(folder / _LOCK)
        try:
            lock.acquire(timeout=min(wait_s, _UNTOLD_S))
        except Timeout:
            waiting(WAITING)
            lock.acquire(timeout=max(wait_s - _UNTOLD_S, 0))
        try:
            yield folder
        finally:
            lock.release()
    except Timeout as error:
        raise StoreError(f"{folder}: another load is still running; try again later") from error
