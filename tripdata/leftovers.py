"""What a killed command left: scratch folders and half-written files, gone with the next one."""

import glob
import os
import re
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

_PREFIX = "tarebook-"
_HELD = ".held"
_WORK = "work"
_MADE = re.compile(rf"{_PREFIX}[a-z0-9_]{{8}}")
"""How a folder of ours is called; see `tempfile.mkdtemp`."""
_HALF = re.compile(r"\.(?P<name>.+)\.(?P<pid>\d+)\.part")


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
    inside = Path(folder) / _WORK
    try:
        held.enter_context(FileLock(Path(folder) / _HELD))
        Path(folder).chmod(0o700)  # where it was swept just now, the lock may have made it anew
        inside.mkdir()
        # Before what holds it, by which it is known for one of a killed command.
        held.callback(shutil.rmtree, inside, ignore_errors=True)
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
                shutil.rmtree(held.parent / _WORK, ignore_errors=True)
                shutil.rmtree(held.parent, ignore_errors=True)
        except (Timeout, OSError, AttributeError):
            continue  # at work, somebody else's, or of a system without users
    for made in room.glob(f"{_PREFIX}*"):
        # One whose command was killed before it held it; where it does so right now, see `_made`.
        if _MADE.fullmatch(made.name) and not made.is_symlink():
            with suppress(OSError):  # not empty, or somebody else's
                made.rmdir()


def half_of(path: Path) -> Path:
    """Where this process writes a file before it takes its place: beside it, by its own number."""
    return path.with_name(f".{path.name}.{os.getpid()}.part")


def put_new(path: Path, content: bytes, lasting: bool = True) -> bool:
    """Make a file, whole or not at all; False where one has its name, which is left as it is.

    lasting: also where the power goes right after; it takes a while on some disks.

    Raises OSError where it cannot be made.
    """
    part = half_of(path)
    try:
        part.unlink(missing_ok=True)  # of one that is gone and had our number
        with part.open("xb") as out:
            out.write(content)
            if lasting:
                out.flush()
                os.fsync(out.fileno())
        try:
            os.link(part, path)
        except FileExistsError:
            return False
        except OSError:  # a file system without links: there the name is looked at, then taken
            if os.path.lexists(path):
                return False
            part.rename(path)
        return True
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)


def put_over(path: Path, content: bytes) -> None:
    """Write a file whole or not at all, in the place of what has its name, also of a link.

    Raises OSError where it cannot be written; what has its name is then left as it is.
    """
    part = half_of(path)
    try:
        part.unlink(missing_ok=True)
        with part.open("xb") as out:
            out.write(content)
        part.replace(path)
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)


def sweep_halves(folder: Path, name: str = "") -> None:
    """Remove the files that processes that are gone left half written in a folder.

    With a ``name``, only what was to be called so, where the folder may be anybody's. A folder is
    left, whatever it is called: that it is ours its name does not show.
    """
    for path in halves_of_the_gone(folder, name):
        with suppress(OSError):
            path.unlink()


def halves_of_the_gone(folder: Path, name: str = "") -> Iterator[Path]:
    """What is called as `half_of` calls it, in a folder, by the number of a process that is gone.

    With a ``name``, only what was to be called so.
    """
    for path in sorted(folder.glob(f".{glob.escape(name)}*.part")):
        found = _HALF.fullmatch(path.name)
        if found and name in ("", found["name"]) and not _runs(int(found["pid"])):
            yield path


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
