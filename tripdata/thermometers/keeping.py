"""Puts a thermometer's file into a trip's folder, unchanged; what is there is never replaced."""

import re
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

from ..errors import LogbookError, QuestionError
from ..leftovers import put_new, sweep_halves
from ..names import folded, guess, shown, slug
from ..own_files import own_sql
from ..store import open_for_reading, store_path

_DAY = timedelta(days=1)
_LONGEST = 80


@dataclass(frozen=True, slots=True)
class TripDays:
    """A trip and its days, both ends included."""

    trip: str
    start_on: date
    end_on: date

    def near(self, at: datetime) -> bool:
        """Whether a reading is used: not more than a day outside the trip."""
        return self.start_on - _DAY <= at.date() <= self.end_on + _DAY

    def has_night(self, night: date) -> bool:
        """Whether a night, by the date on which it began, is one of the trip's."""
        return self.start_on <= night < self.end_on


def trip_days(logbook: Path, trip: str) -> TripDays:
    """The trip of that name; ``logbook`` must have a current store.

    Raises QuestionError where there is none.
    """
    with open_for_reading(store_path(logbook)) as connection:
        rows = connection.execute(own_sql("trips_to_copy")).fetchall()
    trips = {folded(row[0]): TripDays(*row[:3]) for row in rows}
    name = folded(slug(trip))
    if name not in trips:
        near = guess(trip, [each.trip for each in trips.values()])
        raise QuestionError(f"there is no trip {shown(trip)}{near and '; '}{near}")
    return trips[name]


def name_in_trip(file: Path) -> str:
    """The name that a file gets in a trip's folder: temperatures-<name>.csv."""
    stem = re.sub(r"[^\w.-]+", "-", file.stem.encode("utf-8", "replace").decode("utf-8"))
    stem = re.sub(r"^temperatures[-_. ]*", "", stem, flags=re.IGNORECASE).strip("-._")
    return f"temperatures-{stem[:_LONGEST] or 'thermometer'}.csv"


def keep_in_trip(logbook: Path, trip: str, name: str, content: bytes) -> Path:
    """Write a file of that name into the trip's folder, whole or not at all; where it lies.

    Raises LogbookError where one of that name is there or it cannot be written.
    """
    folder = folder_of_trip(logbook, trip)
    path = folder / name
    try:
        folder.mkdir(parents=True, exist_ok=True)
        sweep_halves(folder)
        if put_new(path, content):
            return path
        same = path.is_file() and path.read_bytes() == content
    except OSError as error:
        raise LogbookError(f"{path}: cannot be made ({error.strerror})") from error
    what = "is there already, the same" if same else "is there already and was not replaced"
    raise LogbookError(f"{path}: {what}{'' if same else '; rename the new one'}")


def folder_of_trip(logbook: Path, trip: str) -> Path:
    """The folder of a trip, as its owner calls it."""
    trips = logbook / "trips"
    there = [p for p in trips.iterdir() if p.is_dir()] if trips.is_dir() else []
    own = next((p for p in sorted(there) if folded(slug(p.name)) == folded(trip)), None)
    return own or trips / trip
