"""What the tests of entries share: small logbooks, and an entry with one thing changed."""

import csv
import io
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from tarebook.tripdata.logbook_entry import (
    Along,
    Amount,
    Day,
    Failure,
    TripEntry,
    Writing,
    prepare,
    read_entry,
    write,
)

FIRST = date(2026, 5, 1)
CARRIED = "trips/river/carried.csv"
FAILURES = "trips/river/failures.csv"


def amount(text: str) -> Amount:
    """`12.5 km` as an amount."""
    number, unit = text.split()
    return Amount(Decimal(number), unit)


def along(entry: TripEntry, item: str, **changes: Any) -> TripEntry:
    """The entry with a row of what came along changed, or put in where there was none."""
    rows = [replace(a, **changes) if a.item == item else a for a in entry.along]
    if not any(a.item == item for a in rows):
        rows.append(Along(item, **changes))
    return replace(entry, along=tuple(rows))


def without(entry: TripEntry, item: str) -> TripEntry:
    """The entry without what came along of an item."""
    return replace(entry, along=tuple(a for a in entry.along if a.item != item))


def on_day(entry: TripEntry, day: date, **changes: Any) -> TripEntry:
    """The entry with a day changed."""
    days = {d.day: d for d in entry.days}
    days[day] = replace(days.get(day, Day(day)), **changes)
    return replace(entry, days=tuple(days[d] for d in sorted(days)))


def changed(folder: Path, change: Callable[[TripEntry], TripEntry], trip: str = "river") -> Writing:
    """Read a trip, change it, prepare and write that; what was written."""
    writing = prepare(folder, change(read_entry(folder, trip)))
    assert writing.problems == ()
    write(folder, writing)
    return writing


def tables_of(data: bytes, delimiter: str = ",") -> list[list[str]]:
    """The cells of a file by the csv module, an opinion of its own."""
    encoding = "utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError:
        text = data.decode("cp1252")
    return list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter))


def evening(folder: Path) -> Writing:
    """A writing of three files of which two are there, one in a trip's folder."""
    entry = along(read_entry(folder, "river"), "stove", used=False)
    entry = replace(entry, use_record="all_but", failures=(Failure("tent"),))
    writing = prepare(folder, entry)
    assert writing.problems == ()
    assert [c.path for c in writing.changes] == ["trip.csv", CARRIED, FAILURES]
    return writing


def state(folder: Path) -> dict[str, bytes]:
    """Every file of the logbook but those in .tarebook."""
    return {
        str(p.relative_to(folder)): p.read_bytes()
        for p in folder.rglob("*")
        if p.is_file() and ".tarebook" not in p.relative_to(folder).parts
    }


class Killed(BaseException):
    """Stands for the end of the process."""
