"""A trip begun: from its plan, like another trip, or like the latest of its mode."""

from datetime import date
from pathlib import Path

from .entry import TripEntry


def begin(
    folder: Path,
    trip: str,
    like: str | None = None,
    start_on: date | None = None,
    end_on: date | None = None,
    mode: str | None = None,
) -> TripEntry:
    """The entry of a trip that is begun."""
    raise NotImplementedError
