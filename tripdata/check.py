"""Checks a logbook: everything is read as for a load, nothing is stored."""

from pathlib import Path

from .bulk import BULK_BYTES
from .journal import recover
from .leftovers import scratch
from .load import Loader, Progress
from .problems import Findings
from .stamps import fingerprint
from .store import memory_store

_READINGS = 3
"""So often at most a logbook is read whose files change meanwhile."""


def check_logbook(logbook: Path, progress: Progress = lambda _: None) -> Findings:
    """Read everything, store nothing.

    Files that change or go while they are read are read anew, a few times at most, so that what is
    told is of one moment. Raises LogbookError where the folder is no logbook.
    """
    recover(logbook)
    for _ in range(_READINGS):
        before = fingerprint(logbook)
        findings = _read(logbook, progress)
        if fingerprint(logbook) == before:
            break
    return findings


def _read(logbook: Path, progress: Progress) -> Findings:
    with scratch() as work:
        loader = Loader(logbook, None, work, progress)
        if loader.largest_bytes < BULK_BYTES:
            return loader.run()
        with memory_store() as connection:
            return Loader(logbook, connection, work, progress).run()
