"""Limits on waiting: what takes too long is ended with all it started, and the test says so.

A wait that has no limit of its own, as of a pipe, a browser or a kernel, goes on for hours where
the other side never answers. Ending the other side ends the wait.
"""

import faulthandler
import os
import queue
import subprocess
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress

import psutil

WINDOW_S = 600
"""No test looks at a page for as long."""
GRACE_S = 60
"""How long a test may go on after all that it started was ended."""


class TooLongError(AssertionError):
    """Something was waited for longer than is ever needed."""


def below(pid: int | None = None) -> list[psutil.Process]:
    """The processes that descend from one, or from this one."""
    try:
        return list(psutil.Process(pid).children(recursive=True))
    except psutil.NoSuchProcess:
        return []


def end_all(processes: Iterable[psutil.Process]) -> None:
    """Kill processes and all that descends from them; children are not waited for here."""
    for process in processes:
        for each in (*reversed(below(process.pid)), process):
            with suppress(psutil.Error):
                each.kill()


def alive(process: psutil.Process) -> bool:
    """Whether a process still runs, and is not only waiting to be collected."""
    try:
        return process.is_running() and process.status() != psutil.STATUS_ZOMBIE
    except psutil.NoSuchProcess:
        return False


@contextmanager
def at_most(
    seconds: float, what: str, started: Callable[[], Iterable[psutil.Process]] = below
) -> Iterator[None]:
    """After so long, end what was started, so that waiting for it ends, and fail.

    ``started`` gives the processes, by default all below this one. Raises TooLongError.
    """
    over = threading.Event()

    def stop() -> None:
        over.set()
        end_all(started())

    timer = threading.Timer(seconds, stop)
    timer.daemon = True
    timer.start()
    told = f"{what} took more than {seconds:g} seconds; the processes behind it were killed"
    try:
        yield
    except Exception as error:
        if over.is_set():
            raise TooLongError(told) from error
        raise
    finally:
        timer.cancel()
    if over.is_set():
        raise TooLongError(told)


@contextmanager
def watched(name: str, seconds: float, stderr: int, grace: float = GRACE_S) -> Iterator[None]:
    """The last resort, for a whole test and what it is made of.

    After so long the stacks of all threads go to ``stderr`` and all that was started is killed; a
    test that does not end by that takes its process along, so that the others go on.
    """
    done = threading.Event()

    def watch() -> None:
        if done.wait(seconds):
            return
        told = f"\n{name} took more than {seconds:g} seconds; what it started is killed.\n"
        os.write(stderr, told.encode())
        faulthandler.dump_traceback(stderr)
        end_all(below())
        if not done.wait(grace):
            os.write(stderr, f"\n{name} does not end; its process is given up.\n".encode())
            os._exit(1)

    began = time.monotonic()
    threading.Thread(target=watch, daemon=True).start()
    try:
        yield
    finally:
        done.set()
    if time.monotonic() - began > seconds:
        raise TooLongError(f"it took more than {seconds:g} seconds; what it started was killed")


class Lines:
    """What a process prints, read as it comes: its pipe never fills up, no line is waited for long.

    ``process`` has a pipe of text as its stdout.
    """

    def __init__(self, process: "subprocess.Popen[str]") -> None:
        assert process.stdout is not None
        self._process, self._stdout = process, process.stdout
        self._lines: queue.SimpleQueue[str] = queue.SimpleQueue()
        threading.Thread(target=self._read, daemon=True).start()

    def _read(self) -> None:
        with suppress(ValueError, OSError):  # closed meanwhile
            for line in self._stdout:
                self._lines.put(line)
        self._lines.put("")

    def next(self, seconds: float) -> str:
        """The next whole line; empty where there is none to come.

        Raises TooLongError, the process and all below it killed, where none comes in time.
        """
        try:
            return self._lines.get(timeout=seconds)
        except queue.Empty:
            ended(self._process, 0, "printing a line")
            raise TooLongError(f"no whole line was printed within {seconds:g} seconds") from None


def ended(process: "subprocess.Popen[str]", seconds: float, what: str = "ending") -> int:
    """The exit status of a process once it has ended.

    One that does not is killed with all below it; then TooLongError is raised, unless ``seconds``
    is 0.
    """
    try:
        return process.wait(seconds)
    except subprocess.TimeoutExpired:
        with suppress(psutil.NoSuchProcess):
            end_all([psutil.Process(process.pid)])
        status = process.wait(GRACE_S)
        if not seconds:
            return status
        raise TooLongError(f"{what} took more than {seconds:g} seconds; it was killed") from None
