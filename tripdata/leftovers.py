"""What a killed command left: scratch folders and half-written files, gone with the next one."""

import os
import re
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
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
    _sweep_scratch(Path(tempfile.gettempdir()))
    with ExitStack() as held:
        yield _made(held)


def _made(held: ExitStack, tries: int = 20) -> Path:
    """An empty folder that is held until the stack is left.

    Another command that begins right now may take it for one of a killed command, before it is
    locked, and remove it: then there is another.
    """
    from filelock import FileLock

    folder = held.enter_context(
        tempfile.TemporaryDirectory(prefix=_PREFIX, ignore_cleanup_errors=True)
    )
    inside = Path(folder) / "work"
    try:
        held.enter_context(FileLock(Path(folder) / _HELD))
        inside.mkdir()
    except FileNotFoundError:
        if not tries:
            raise
        return _made(held, tries - 1)
    return inside


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
