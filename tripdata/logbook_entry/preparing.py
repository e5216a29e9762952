"""What the files of a trip would be, proved by reading them."""

from pathlib import Path

from .entry import TripEntry, Writing


def prepare(folder: Path, entry: TripEntry) -> Writing:
    """What would be written; nothing is."""
    raise NotImplementedError
