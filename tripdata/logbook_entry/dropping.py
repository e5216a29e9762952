"""Tracks and thermometers that were put on the form."""

from collections.abc import Iterable
from pathlib import Path

from .entry import Dropped, Filled, TripEntry


def fill(folder: Path, entry: TripEntry, dropped: Iterable[Dropped]) -> Filled:
    """The entry with the days that tracks fill and the thermometers' files."""
    raise NotImplementedError
