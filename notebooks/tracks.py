"""`tarebook track`: what tracks say of a trip's days, shown and, when asked, put into the trip."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path

import typer

from ..tripdata.moments import parse_date
from ..tripdata.names import printable
from ..tripdata.settings import Settings, read_settings
from ..tripdata.tracks import Track, TrackError
from ..tripdata.tracks.gpx import Gpx, gpx_bytes, parse_gpx
from ..tripdata.tracks.keeping import TripToFill, file_name, keep, rows_of, trip_to_fill
from ..tripdata.tracks.reading import measure
from ..tripdata.tracks.words import (
    climbing_words,
    day_words,
    hours_words,
    length_words,
    sentences,
)

_HEADER = ("day", "distance", "climbing", "hours", "points")


def show_tracks(
    files: Sequence[Path],
    logbook: Path,
    trip: str,
    mode: str | None,
    day: str | None,
    write: bool,
) -> bool:
    """Print what tracks say of a trip's days; write them into a new file where it is asked for.

    False where it was asked for and there was nothing to write. The logbook must have a current
    store. Raises TrackError where a file cannot be read, QuestionError where there is no such trip,
    LogbookError where nothing can be written.
    """
    settings = read_settings(logbook)
    named = None if day is None else _day(day, settings)
    own = trip_to_fill(logbook, trip)
    unit, by = settings.distance, mode or own.mode
    track = measure([_gpx(file) for file in files], settings.timezone, by)
    track = (track if named is None else track.on(named)).within(own.start_on, own.end_on)
    lines = [*_table(track, unit), *sentences(track, unit)]
    rows = rows_of(track, own, by, unit, settings.dates)
    lines += rows.remarks
    if not rows.days:
        lines.append(_nothing(track, own, write))
    elif write:
        lines.append(f"made {logbook / keep(logbook, own, file_name(list(files)), rows)}")
    else:
        many = "1 day" if len(rows.days) == 1 else f"{len(rows.days)} days"
        lines.append(f"Nothing is written yet. --keep puts {many} into a new file of the trip.")
    for line in lines:
        typer.echo(printable(line))
    return bool(rows.days) or not write


def _day(text: str, settings: Settings) -> date:
    """The day that was typed, in the forms that the logbook reads."""
    day, problem, _ = parse_date(text.strip(), settings.dates)
    if problem or not isinstance(day, date):
        raise typer.BadParameter(problem)
    return day


def _gpx(file: Path) -> Gpx:
    try:
        return parse_gpx(gpx_bytes(file), file.name)
    except TrackError as error:
        raise TrackError(f"{printable(str(file))}: {error}") from error


def _table(track: Track, unit: str) -> list[str]:
    """The days as a table of text."""
    rows = [
        (
            day_words(day.day),
            length_words(day.distance_km, unit),
            climbing_words(day, unit),
            hours_words(day),
            f"{day.points_used:,} of {day.points_read:,}",
        )
        for day in track.days
    ]
    if not rows:
        return []
    widths = [max(map(len, column)) for column in zip(_HEADER, *rows, strict=True)]
    return [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in (_HEADER, *rows)
    ]


def _nothing(track: Track, trip: TripToFill, write: bool) -> str:
    days = f"{trip.start_on} to {trip.end_on}"
    why = "" if track.days else f" No point is of the days of {trip.trip} ({days})."
    return f"Nothing {'was' if write else 'is to be'} written.{why}"
