"""What a killed command left: scratch folders and half-written files, gone with the next one."""

import os
import re
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

_PREFIX = "tarebook-"
_HELD = ".held"
_HALF = re.compile(r"\..+\.(?P<pid>\d+)\.part")


@contextmanager
def scratch() -> Iterator[Path]:
    """An empty folder of this command alone until the block ends.

    Those of commands that were killed are removed first. Whether one still works in its folder is
    known by a lock, which the system takes from whoever is gone. Raises OSError where no folder can
    be made.
    """
    from filelock import FileLock

    room = Path(tempfile.gettempdir())
    _sweep_scratch(room)
    with tempfile.TemporaryDirectory(prefix=_PREFIX, ignore_cleanup_errors=True) as folder:
        lock = FileLock(Path(folder) / _HELD)
        with lock:
            inside = Path(folder) / "work"
            inside.mkdir()
            yield inside


def _sweep_scratch(room: Path) -> None:
    from filelock import FileLock, Timeout

    for held in room.glob(f"{_PREFIX}*/{_HELD}"):
        try:
            if held.parent.is_symlink() or held.parent.stat().st_uid != os.getuid():
                continue
            with FileLock(held, timeout=0):
                shutil.rmtree(held.parent, ignore_errors=True)
        except (Timeout, OSError, AttributeError):
            continue  # at work, somebody else's, or of a system without users


def half_of(path: Path) -> Path:
    """Where this process writes a file before it takes its place: beside it, by its own number."""
    return path.with_name(f".{path.name}.{os.getpid()}.part")


def sweep_halves(folder: Path) -> None:
    """Remove what processes that are gone left half written in a folder."""
    for path in folder.glob(".*.part"):
        found = _HALF.fullmatch(path.name)
        if found and not _runs(int(found["pid"])):
            try:
                path.unlink()
            except OSError:
                continue


def _runs(pid: int) -> bool:
    if os.name != "posix":
        return True
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except (OSError, OverflowError):
        return True
    return True
