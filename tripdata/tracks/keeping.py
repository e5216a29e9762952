"""What tracks say of a trip's days, put into a new file of its folder."""

import csv
import io
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from ..contract import BY_NAME
from ..errors import LogbookError, QuestionError
from ..leftovers import put_new, sweep_halves
from ..moments import strptime_form
from ..names import folded, guess, shown, slug, slug_fault
from ..own_files import own_sql
from ..store import open_for_reading, store_path
from .results import Track, TrackDay
from .words import HEIGHT_OF, day_words, height_in, length_in, length_words

_LONGEST_NAME = 60
_TABLE = BY_NAME["distances"]


@dataclass(frozen=True, slots=True)
class KnownDistance:
    """A row of a trip's distances that is there already."""

    day: date
    mode: str
    km: float


@dataclass(frozen=True, slots=True)
class TripToFill:
    """A trip, its days, its mode ("" where none is given) and what is known of its distances."""

    trip: str
    start_on: date
    end_on: date
    mode: str
    known: tuple[KnownDistance, ...]


@dataclass(frozen=True, slots=True)
class Rows:
    """The days that a new file would have, and why others are not among them or what to know.

    ``dates`` is the form in which the logbook writes them, the year first where it is empty.
    """

    mode: str
    unit: str
    days: tuple[TrackDay, ...]
    remarks: tuple[str, ...]
    dates: str = ""

    def text(self) -> str:
        """The file: a header and a row a day, in the person's units and form of dates."""
        height = HEIGHT_OF[self.unit]
        out = io.StringIO()
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(["day", "mode", f"distance_{self.unit}", f"ascent_{height}", "hours"])
        for day in self.days:
            writer.writerow(
                [
                    self._date(day.day),
                    self.mode,
                    f"{length_in(day.distance_km, self.unit):.2f}",
                    "" if day.ascent_m is None else height_in(day.ascent_m, self.unit),
                    "" if day.hours is None else f"{day.hours:.2f}",
                ]
            )
        return out.getvalue()

    def _date(self, day: date | None) -> str:
        form = strptime_form(self.dates)
        return day.strftime(form) if day is not None and form else day_words(day)


def trip_to_fill(logbook: Path, trip: str) -> TripToFill:
    """A trip of a logbook, whose store must be current.

    Raises QuestionError where there is no such trip.
    """
    with open_for_reading(store_path(logbook)) as connection:
        trips = connection.execute(own_sql("trip_to_fill")).fetchall()
        row = next((r for r in trips if folded(r[0]) == folded(slug(trip))), None)
        if row is None:
            near = guess(trip, [r[0] for r in trips])
            raise QuestionError(f"there is no trip {shown(trip)}{near and '; '}{near}")
        days = connection.execute(own_sql("distances_of_trip"), {"trip": row[0]}).fetchall()
    known = tuple(KnownDistance(day, mode or "", mm / 1e6) for day, mode, mm in days)
    return TripToFill(row[0], row[1], row[2], row[3] or "", known)


def rows_of(track: Track, trip: TripToFill, mode: str, unit: str, dates: str = "") -> Rows:
    """The days of a track that a trip does not have yet, by a mode, for a person of km or mi.

    ``dates`` is the form that the logbook declares for dates, empty where it declares none.
    """
    days, remarks = [], []
    for day in track.days:
        remark = _why_no_row(day, trip, mode, unit)
        if remark is not None:
            remarks += [remark] if remark else []
            continue
        days.append(day)
        remarks += [
            f"{day_words(day.day)} has {length_words(each.km, unit)} by {each.mode or 'no mode'} "
            "already; this adds to it."
            for each in trip.known
            if each.day == day.day
        ]
    return Rows(mode, unit, tuple(days), tuple(remarks), dates)


def _why_no_row(day: TrackDay, trip: TripToFill, mode: str, unit: str) -> str | None:
    """Why a day gets no row, in a sentence, "" where that goes without one; None where it does."""
    if day.day is None:
        named = "What has no times belongs to no day. Name its day with --day."
        return named if day.points_used > 1 else ""
    name = day_words(day.day)
    if not length_in(day.distance_km, unit):
        return f"{name} gets no row: no way was recorded."
    for each in trip.known:
        if (each.day, each.mode) == (day.day, mode or trip.mode):
            there = f"{length_words(each.km, unit)}{each.mode and f' by {each.mode}'}"
            return f"{name} has {there} already, which stays. It gets no second row."
    for column, value in (("distance", day.distance_km), ("ascent", day.ascent_m)):
        most = _TABLE.column(column).high
        if value is not None and most is not None and value > most:
            return f"{name} gets no row: more {column} than a day can have. Is it a track of yours?"
    return None


def file_name(files: list[Path]) -> str:
    """What the new file is called after: the file of the track, "tracks" where there are several.

    Letters, digits and signs that any file system takes.
    """
    stem = files[0].stem if len(files) == 1 else "tracks"
    letters = "".join(c if not slug_fault("a" + c + "a") else "-" for c in slug(stem))
    return letters.strip("-._")[:_LONGEST_NAME].rstrip("-._") or "track"


def keep(logbook: Path, trip: TripToFill, name: str, rows: Rows) -> str:
    """Write the rows into a new file of the trip's folder; its name inside the logbook.

    A name that is there already gets a number: no file is ever replaced. Raises LogbookError where
    it cannot be written.
    """
    trips = logbook / "trips"
    try:
        there = [p.name for p in trips.iterdir()] if trips.is_dir() else []
        folder = next((n for n in there if folded(slug(n)) == folded(trip.trip)), trip.trip)
        (trips / folder).mkdir(parents=True, exist_ok=True)
        sweep_halves(trips / folder)
        number, place = 1, trips / folder / f"distances-{name}.csv"
        while not put_new(place, rows.text().encode("utf-8")):
            number += 1
            place = trips / folder / f"distances-{name}-{number}.csv"
    except OSError as error:
        raise LogbookError(f"{trips}: cannot be written ({error.strerror})") from error
    return f"trips/{folder}/{place.name}"
