"""Silence stays silence: what nobody said of the use of a thing does not become evidence."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from entries import CARRIED, FIRST, along, amount, on_day
from tarebook.tripdata.logbook_entry import TripEntry, begin, prepare, read_entry
from tarebook.tripdata.logbook_entry import write as write_it
from tarebook.tripdata.store import load_logbook, open_for_reading, store_path

Write = Callable[..., Path]
LIST = "item,used\ntent,\nquilt,\nstove,\njacket,\n"


def trip_csv(record: str = "", plan: str = "") -> str:
    """The trip, with a record of use as its owner wrote it."""
    return (
        "trip,start_on,end_on,mode,use_record,plan\n"
        f"river,2026-05-01,2026-05-04,foot,{record},{plan}\n"
    )


def problems(folder: Path, change: Callable[[TripEntry], TripEntry]) -> tuple[str, ...]:
    """Why a change cannot be written."""
    return prepare(folder, change(read_entry(folder, "river"))).problems


@pytest.mark.parametrize("record", ["", "none", "ful", "partial", "full"])
@pytest.mark.parametrize("carried", [LIST, LIST.replace("tent,", "tent,yes")])
@pytest.mark.parametrize("plan", ["", "yes"])
def test_beginning_says_nothing_of_use(write: Write, record: str, carried: str, plan: str) -> None:
    folder = write({"trip.csv": trip_csv(record, plan), CARRIED: carried})
    begun = begin(folder, "river")
    assert begun.use_record == read_entry(folder, "river").use_record
    assert prepare(folder, begun).changes == ()


def test_a_day_alone_makes_nothing_used(write: Write) -> None:
    folder = write({"trip.csv": trip_csv(plan="yes"), CARRIED: LIST})
    entry = replace(on_day(begin(folder, "river"), FIRST, low=amount("4 c")), plan=False)
    writing = prepare(folder, entry)
    assert writing.problems == ()
    write_it(folder, writing)
    load_logbook(folder)
    with open_for_reading(store_path(folder)) as connection:
        (found,) = connection.execute("SELECT use_record FROM trip WHERE trip = 'river'").fetchall()
    assert found == (None,)


def test_the_first_use_needs_a_record_of_use(write: Write) -> None:
    folder = write({CARRIED: LIST})
    for used in (True, False, 3):
        (problem,) = problems(folder, lambda e, used=used: along(e, "stove", used=used))
        assert problem.startswith("use_record is blank")
    for record in ("all_but", "full", "partial"):
        said = lambda e, r=record: along(replace(e, use_record=r), "stove", used=True)  # noqa: E731
        assert problems(folder, said) == ()
    noted = write({CARRIED: LIST.replace("tent,", "tent,yes")}, folder="noted")
    assert problems(noted, lambda e: along(e, "stove", used=False)) == ()


def test_a_use_that_does_not_count_is_said_so(write: Write) -> None:
    folder = write({"trip.csv": trip_csv("none"), CARRIED: LIST})
    writing = prepare(folder, along(read_entry(folder, "river"), "stove", used=True))
    assert writing.problems == ()
    assert any("use_record is none" in remark for remark in writing.remarks)
    assert prepare(folder, read_entry(folder, "river")).remarks == ()
