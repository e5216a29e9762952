"""What tracks and thermometers that were put on the form say of the days."""

from dataclasses import replace
from typing import Any, Literal

from ...tripdata.logbook_entry import Dropped, TripEntry, fill
from .offered import Book
from .showing import day_cells

MOST_BYTES = 60_000_000


def kind_of(name: str, content: bytes) -> Literal["track", "thermometer"]:
    """Whether a file is a track: by its ending, else by how it begins."""
    start = content[:400].lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    gpx = name.lower().endswith(".gpx") or (start.startswith(b"<") and b"<gpx" in start)
    return "track" if gpx else "thermometer"


def made_of(entry: TripEntry, file: Dropped, book: Book) -> dict[str, Any]:
    """What a file says of the days, as cells of the form, and in sentences.

    Raises a TarebookError where it cannot be read.
    """
    empty = replace(entry, days=(), dropped=())
    filled = fill(book.folder, empty, [file])
    days = {day.day.isoformat(): day_cells(day, book) for day in filled.entry.days}
    return {
        "name": file.name,
        "kind": file.kind,
        "days": days,
        "lines": list(filled.remarks),
        "kept": bool(filled.entry.dropped),
    }
