"""What tracks and thermometers that were put on the form say of the days."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from pathlib import Path
from typing import Any, Literal

from ...analysis.display import words
from ...tripdata.logbook_entry import Amount, Day, Dropped, TripEntry, fill
from ...tripdata.logbook_entry.dropping import read_thermometer
from ...tripdata.settings import SETTINGS_FILE
from ...tripdata.thermometers.keeping import name_in_trip
from ...tripdata.thermometers.nights import lows_by_night
from ...tripdata.thermometers.recognise import recognise
from .cells import in_unit
from .offered import Book
from .showing import day_cells

MOST_BYTES = 60_000_000


@dataclass(frozen=True, slots=True)
class Made:
    """What files say: cells of days, sentences, lines to paste; ``keep``: it goes into the trip."""

    name: str
    days: dict[str, Any] = field(default_factory=dict)
    lines: tuple[str, ...] = ()
    paste: str = ""
    keep: bool = False


def kind_of(name: str, content: bytes) -> Literal["track", "thermometer"]:
    """Whether a file is a track: by its ending, else by how it begins."""
    start = content[:400].lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    gpx = name.lower().endswith(".gpx") or (start.startswith(b"<") and b"<gpx" in start)
    return "track" if gpx else "thermometer"


def made_of_tracks(entry: TripEntry, tracks: Sequence[Dropped], book: Book) -> Made:
    """What tracks say together, of which what two of them have recorded counts once."""
    filled = fill(book.folder, replace(entry, days=(), dropped=()), tracks)
    days = {day.day.isoformat(): day_cells(day, book) for day in filled.entry.days}
    lines = [_filled_in(day, book) for day in filled.entry.days if day.legs]
    return Made(", ".join(each.name for each in tracks), days, (*lines, *filled.remarks))


def _filled_in(day: Day, book: Book) -> str:
    """What a track says of a day, in one line."""
    units, leg = book.units, day.legs[0]
    parts = [f"{in_unit(leg.distance, units.distance)} {units.distance}"]
    if leg.ascent is not None:
        parts.append(f"{in_unit(leg.ascent, units.height)} {units.height}")
    return f"{words.day(day.day, year=False)}: {', '.join(parts)}."


def made_of_thermometer(entry: TripEntry, file: Dropped, book: Book) -> Made:
    """What a thermometer's file says of the nights.

    One that the logbook cannot read as its settings are is not kept; its lows are taken where
    nothing about it is open.
    """
    filled = fill(book.folder, replace(entry, days=(), dropped=()), [file])
    read = read_thermometer(file, name_in_trip(Path(file.name)), book.settings)
    kept = read is not None and bool(read.readings)
    known = recognise(file.content)
    readings = read.readings if read is not None and kept else known.readings
    start, end, unit = entry.start_on, entry.end_on, book.units.temperature
    days = {
        low.night.isoformat(): day_cells(Day(low.night, low=_low(low.low_c, unit)), book)
        for low in lows_by_night(readings)
        if start is not None and end is not None and start <= low.night < end
    }
    lines = filled.remarks
    if not kept and known.lines:
        taken = "The lows are in; that is enough. " if days else ""
        lines = (
            f"{taken}The file itself is not put into the logbook. To have it read too, put these "
            f"lines at the end of {SETTINGS_FILE} and choose it again.",
        )
    if readings and not days:
        lines = (*lines, "None of its nights belongs to this trip.")
    elif not readings and not known.lines:
        lines = (_not_read(file),)
    return Made(file.name, days, lines, "" if kept else known.lines, kept)


def _not_read(file: Dropped) -> str:
    """Why nothing is taken from a file, and what can be done."""
    ends = Path(file.name).suffix.lower()
    if b"\0" in file.content[:4000] or ends not in ("", ".csv", ".txt", ".tsv", ".dat", ".log"):
        return "This is no track or thermometer file."
    return (
        "No temperature was found in it. Name one column “Temp, °C” or “Temp, °F”, or type the "
        "lows."
    )


def _low(celsius: float, unit: str) -> Amount:
    text = in_unit(Amount(Decimal(repr(celsius)), "c"), unit)
    return Amount(round(Decimal(text), 1), unit)
