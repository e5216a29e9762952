"""Runs notebooks in warm kernels side by side: a processor's core each, a few at most."""

import os
from collections.abc import Callable, Generator, Sequence
from contextlib import suppress
from pathlib import Path
from queue import Empty, SimpleQueue
from threading import Thread
from typing import TYPE_CHECKING

from ..tripdata.errors import TarebookError
from . import executing, kernel
from .jobs import Job

if TYPE_CHECKING:
    from nbformat import NotebookNode

_MOST = 4
"""Kernels at most: each takes some 300 MB."""
_JOBS_EACH = 3
"""Notebooks from which on one more kernel is worth its start."""

Outcome = tuple[Job, "NotebookNode | TarebookError"]


def kernels_for(jobs: int) -> int:
    """How many kernels are to run so many notebooks on this machine: at least one."""
    try:
        cores = len(os.sched_getaffinity(0))
    except AttributeError:  # not every system tells what this process may use
        cores = os.cpu_count() or 1
    return max(1, min(cores, _MOST, jobs // _JOBS_EACH))


def executed(
    jobs: Sequence[Job], room: Path, logbook: Path, out_dir: Path, progress: bool | None
) -> Generator[Outcome]:
    """Run each notebook and give it with its output, or why it failed, as soon as it is done.

    room: an empty folder, for the kernels' own files. The kernels end with the iterator, whoever
    ends it: those who begin it close it. More of them give no other notebooks: each starts from a
    kernel that has forgotten the one before.
    """
    count = kernels_for(len(jobs))
    rooms = [room / str(number) for number in range(count)]
    for each in rooms:
        each.mkdir()
    warm = [kernel.Warm(each, logbook) for each in rooms]

    def outcome(job: Job, slot: int) -> Outcome:
        bar = executing.progress_bar(job.stem, progress, slot)
        try:
            return job, executing.execute(job, warm[slot], logbook, out_dir, bar)
        except TarebookError as error:
            return job, error

    if count == 1:
        try:
            for job in jobs:
                yield outcome(job, 0)
        finally:
            warm[0].stop()
    else:
        yield from _in_threads(jobs, warm, outcome)


def _in_threads(
    jobs: Sequence[Job], warm: Sequence[kernel.Warm], outcome: Callable[[Job, int], Outcome]
) -> Generator[Outcome]:
    """A thread a kernel takes one notebook after another; what came of them is given by one."""
    waiting: SimpleQueue[Job] = SimpleQueue()
    done: SimpleQueue[Outcome | BaseException] = SimpleQueue()
    for job in jobs:
        waiting.put(job)

    def work(slot: int) -> None:
        try:
            while True:
                done.put(outcome(waiting.get_nowait(), slot))
        except Empty:
            pass
        except BaseException as error:  # told where the notebooks are waited for
            done.put(error)
        finally:
            warm[slot].stop()

    threads = [Thread(target=work, args=(slot,)) for slot in range(len(warm))]
    for thread in threads:
        thread.start()
    try:
        for _ in jobs:
            came = done.get()
            if isinstance(came, BaseException):
                raise came
            yield came
    finally:
        with suppress(Empty):
            while True:
                waiting.get_nowait()
        for each in warm:
            each.end()
        for thread in threads:
            thread.join()
