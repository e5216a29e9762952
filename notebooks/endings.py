"""How a command ends where something gets in its way: in one line and a status, never a traceback.

A fault that nobody at the keyboard can cause is named as one of the program; its traceback is shown
where TAREBOOK_DETAILS is set.
"""

import os
import signal
import sys
import traceback
from collections.abc import Callable
from types import FrameType

from ..analysis.display.words import SPACE
from ..tripdata.errors import TarebookError
from ..tripdata.names import printable
from ..tripdata.version import VERSION
from .begin import INTERRUPTED
from .begin import interrupted as at_once

DETAILS = "TAREBOOK_DETAILS"


_NOWHERE = "the folder that you are in is no longer there; go to one that is, and run it again"


class _Interrupted:
    """Whether Ctrl-C was pressed: what runs a query reports it as an error of its own kind."""

    def __init__(self) -> None:
        self.pressed = False

    def __call__(self, signum: int, frame: FrameType | None) -> None:
        self.pressed = True
        raise KeyboardInterrupt


def run(command: Callable[[], None], worded: Callable[[str], str]) -> None:
    """Run a command line to its end; raises SystemExit with its status.

    worded: makes a complaint's text ready for the screen.
    """
    for stream in (sys.stdout, sys.stderr):
        # A terminal that lacks a letter shows its number; what is written to files is UTF-8.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    interrupted = _Interrupted()
    if signal.getsignal(signal.SIGINT) in (signal.default_int_handler, at_once):
        signal.signal(signal.SIGINT, interrupted)
    try:
        try:
            command()
        finally:
            sys.stdout.flush()
    except BaseException as error:
        if interrupted.pressed or isinstance(error, KeyboardInterrupt):
            _end("interrupted", INTERRUPTED, error)
        if not isinstance(error, Exception):
            raise
        _end(_complaint(error, worded), 1, error)


def _complaint(error: Exception, worded: Callable[[str], str]) -> str:
    """What to say of an error in one line; nothing where nobody is there to read it."""
    if isinstance(error, BrokenPipeError):
        return ""
    if isinstance(error, TarebookError):
        said = printable(worded(str(error)).replace(SPACE, " "))
        return f"{said}; {_NOWHERE}" if _is_nowhere() else said
    if isinstance(error, OSError):
        return _NOWHERE if _is_nowhere() else _of_the_system(error)
    return _of_the_store(error) or _of_the_program(error)


def _is_nowhere() -> bool:
    """Whether the current folder was deleted: no name leads anywhere from there."""
    try:
        os.getcwd()  # noqa: PTH109  (Path.cwd() is the same)
    except FileNotFoundError:
        return True
    return False


def _of_the_system(error: OSError) -> str:
    names = {str(name) for name in (error.filename, error.filename2) if name}
    what = printable(", ".join(sorted(names))) or "what is printed"
    return f"{what}: cannot be read or written ({error.strerror or error})"


def _of_the_store(error: Exception) -> str:
    """What to say where the store is gone, or has no room to work; else empty."""
    duckdb = sys.modules.get("duckdb")
    if duckdb is None or not isinstance(error, duckdb.IOException | duckdb.OutOfMemoryException):
        return ""
    reason = printable(str(error).partition("\n")[0])[:300]
    return f"the store of the logbook cannot be read, or has no room to work in ({reason})"


def _of_the_program(error: Exception) -> str:
    kind = type(error).__name__
    reason = printable(" ".join(str(error).split()))[:300]
    return (
        f"a fault in Tarebook {VERSION}, not in your logbook: {kind}: {reason}; run it again with "
        f"{DETAILS}=1 for the details that a report of it needs"
    )


def _end(line: str, status: int, error: BaseException) -> None:
    """Say one line, if any can be said, and leave with a status."""
    try:
        if line:
            if not isinstance(error, TarebookError) and os.environ.get(DETAILS):
                traceback.print_exception(error)
            print(f"tarebook: {line}", file=sys.stderr, flush=True)
    except OSError:
        pass
    for stream in (sys.stdout, sys.stderr):
        # What cannot be written now cannot be when Python ends either, which would say so again.
        try:
            stream.flush()
        except OSError:
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
    raise SystemExit(status) from None
