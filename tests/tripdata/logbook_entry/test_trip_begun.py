"""A trip is begun where some of its files are there already, and its days are missing."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from entries import along, amount, on_day
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.errors import QuestionError
from tarebook.tripdata.logbook_entry import TripEntry, begin, prepare, read_entry
from tarebook.tripdata.logbook_entry import write as write_it
from tarebook.tripdata.start import new_trip
from tarebook.tripdata.store import load_logbook

Write = Callable[..., Path]
START, END = date(2026, 7, 1), date(2026, 7, 3)
COAST = {"carried.csv": "trip,item\ncoast,tent\ncoast,quilt\n"}
TRIP = "trips/hills"


def written(folder: Path, entry: TripEntry) -> TripEntry:
    """Write an entry; what is read then."""
    writing = prepare(folder, entry)
    assert writing.problems == ()
    write_it(folder, writing)
    assert check_logbook(folder).clean
    return read_entry(folder, entry.trip)


def test_a_trip_that_was_started_without_its_days(write: Write) -> None:
    folder = write(dict(COAST))
    load_logbook(folder)
    new_trip(folder, "hills", like="coast")
    row = (folder / TRIP / "trip.csv").read_text()
    entry = begin(folder, "hills", start_on=START, end_on=END)
    assert entry.mode == "bike"
    assert [a.item for a in entry.along] == ["tent", "quilt"]
    read = written(folder, along(entry, "stove"))
    assert (read.start_on, read.end_on, len(read.days)) == (START, END, 3)
    assert [a.item for a in read.along] == ["tent", "quilt", "stove"]
    now = (folder / TRIP / "trip.csv").read_text()
    assert now.replace("2026-07-01", "").replace("2026-07-03", "") == row


@pytest.mark.parametrize("row", ["hills,Over the hills,,,foot", "Hills,,2026-07-01,,"])
def test_what_the_row_says_besides_stays(write: Write, row: str) -> None:
    folder = write({f"{TRIP}/trip.csv": f"trip,title,start_on,end_on,mode\n{row}\n"})
    entry = begin(folder, "hills", start_on=START, end_on=END)
    assert entry.title == ("Over the hills" if "Over" in row else None)
    cells = row.split(",")
    mode = cells[4] or entry.mode or ""
    written(folder, entry)
    assert (folder / TRIP / "trip.csv").read_text() == (
        f"trip,title,start_on,end_on,mode\n{cells[0]},{cells[1]},2026-07-01,2026-07-03,{mode}\n"
    )


def test_a_folder_without_a_row_of_its_trip(write: Write) -> None:
    files = {
        f"{TRIP}/carried.csv": "item,mine\nstove,MINE\n",
        f"{TRIP}/weather.csv": "day,low_c\n2026-07-02,4\n2026-07-03,\n",
    }
    folder = write(COAST | files)
    entry = begin(folder, "hills", start_on=START, end_on=END)
    assert [a.item for a in entry.along] == ["stove"]
    assert [day.low for day in entry.days] == [None, amount("4 c"), None]
    read = written(folder, on_day(entry, END, low=amount("5 c")))
    assert [a.item for a in read.along] == ["stove"]
    assert (folder / TRIP / "carried.csv").read_text() == files[f"{TRIP}/carried.csv"]
    assert (folder / TRIP / "weather.csv").read_text() == (
        "day,low_c\n2026-07-02,4\n2026-07-03,5\n"
    )


def test_rows_that_were_not_shown_are_still_not_written_over(write: Write) -> None:
    folder = write({f"{TRIP}/carried.csv": "item\nstove\n"})
    (problem,) = prepare(folder, TripEntry("hills", START, END)).problems
    assert problem.startswith(f"{TRIP}/carried.csv: has rows of this trip that were not shown")


def test_a_day_outside_is_told(write: Write) -> None:
    folder = write({f"{TRIP}/carried.csv": "item,from_day\nstove,2026-08-01\n"})
    entry = begin(folder, "hills", start_on=START, end_on=END)
    assert any("expected a day of the trip" in p for p in prepare(folder, entry).problems)
    moved = replace(entry, end_on=date(2026, 8, 2))
    assert prepare(folder, moved).problems == ()


def test_a_row_with_another_mistake_is_to_be_mended(write: Write) -> None:
    for row in ("hills,soon,", "hills,2026-07-03,2026-07-01"):
        folder = write({f"{TRIP}/trip.csv": f"trip,start_on,end_on\n{row}\n"})
        with pytest.raises(QuestionError, match="but with a mistake"):
            begin(folder, "hills", start_on=START, end_on=END)
