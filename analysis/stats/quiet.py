"""Silence for compiled code that writes to the process's own output behind Python's back."""

import ctypes
import os
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def quiet() -> Iterator[None]:
    """Send what compiled code writes to standard output to nowhere, within a ``with`` block.

    HiGHS, the solver behind scipy.optimize.milp, prints a line of its own now and then whatever it
    is told, which would end up in the middle of a table.
    """
    try:
        own_output = os.dup(1)
    except OSError:  # a process without standard output has nothing to protect
        yield
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        _flush()
        os.dup2(nowhere, 1)
        yield
    finally:
        _flush()
        os.dup2(own_output, 1)
        os.close(nowhere)
        os.close(own_output)


def _flush() -> None:
    """Write out what C holds back, so that it goes where it was meant to go."""
    flush = getattr(ctypes.CDLL(None), "fflush", None) if os.name == "posix" else None
    if flush is not None:
        flush(None)
