"""Checks a logbook: everything is read as for a load, nothing is stored."""

from pathlib import Path

from .bulk import BULK_BYTES
from .journal import recover
from .leftovers import scratch
from .load import Loader, Progress
from .problems import Findings
from .store import memory_store


def check_logbook(logbook: Path, progress: Progress = lambda _: None) -> Findings:
    """Read everything, store nothing.

    Raises LogbookError where the folder is no logbook.
    """
    recover(logbook)
    with scratch() as work:
        loader = Loader(logbook, None, work, progress)
        if loader.largest_bytes < BULK_BYTES:
            return loader.run()
        with memory_store() as connection:
            return Loader(logbook, connection, work, progress).run()
