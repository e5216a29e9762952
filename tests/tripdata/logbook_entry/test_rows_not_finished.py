"""Climbing or energy that was noted before the distance is shown, kept, and can be finished."""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from entries import FIRST, along, amount, changed, on_day
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.logbook_entry import Leg, TripEntry, begin, prepare, read_entry

Write = Callable[..., Path]
FILE = "trips/river/distances.csv"
HEADER = "day,mode,distance_km,ascent_m,battery_wh,mine\n"
TEXT = f"{HEADER}2026-05-01,ebike,,310,240,x\n2026-05-02,ebike,41,200,,y\n"


def finished(entry: TripEntry) -> TripEntry:
    (leg,) = entry.days[0].legs
    return on_day(entry, FIRST, legs=(replace(leg, distance=amount("52.5 km")),))


@pytest.mark.parametrize("read", [read_entry, begin])
def test_it_is_shown_and_said_not_to_count(
    write: Write, read: Callable[[Path, str], TripEntry]
) -> None:
    folder = write({FILE: TEXT})
    entry = read(folder, "river")
    said = Leg("ebike", None, amount("310 m"), None, Decimal(240))
    assert entry.days[0].legs == (said,)
    (remark,) = entry.not_shown
    assert remark == (
        f"{FILE}:2: the distance of 2026-05-01 is blank, so the row does not count; write the "
        "distance, 0 if you did not move"
    )


def test_it_stays_as_it_is_where_nothing_is_said(write: Write) -> None:
    folder = write({FILE: TEXT})
    entry = read_entry(folder, "river")
    assert prepare(folder, entry).problems == ()
    assert prepare(folder, entry).changes == ()
    changed(folder, lambda entry: along(entry, "stove", note="x"))
    assert (folder / FILE).read_text() == TEXT


def test_the_distance_goes_into_its_row(write: Write) -> None:
    folder = write({FILE: TEXT})
    writing = changed(folder, finished)
    assert [change.changed for change in writing.changes] == [1]
    assert (folder / FILE).read_text() == TEXT.replace("ebike,,310", "ebike,52.5,310")
    assert check_logbook(folder).clean
    assert read_entry(folder, "river").not_shown == ()


def test_what_is_taken_away_leaves_the_row_to_be_filled_in(write: Write) -> None:
    folder = write({FILE: TEXT})

    def blank(entry: TripEntry) -> TripEntry:
        (leg,) = entry.days[0].legs
        return on_day(entry, FIRST, legs=(replace(leg, ascent=None, battery_wh=None),))

    text = TEXT.replace(",x", ",")
    (folder / FILE).write_text(text)
    changed(folder, blank)
    assert (folder / FILE).read_text() == text.replace("ebike,,310,240", "ebike,,,")


def test_a_day_that_the_trip_no_longer_has_does_not_take_it_along(write: Write) -> None:
    folder = write({FILE: TEXT})

    def later(entry: TripEntry) -> TripEntry:
        return replace(entry, start_on=entry.days[1].day, days=entry.days[1:])

    changed(folder, later)
    assert "2026-05-01,ebike,,310,240,x" in (folder / FILE).read_text()


def test_without_a_distance_no_other_row_is_made(write: Write) -> None:
    folder = write({FILE: TEXT})
    new = on_day(read_entry(folder, "river"), FIRST, legs=(Leg("ebike", None, amount("99 m")),))
    assert any("a value is needed" in each for each in prepare(folder, new).problems)
    beside = on_day(read_entry(folder, "river"), FIRST, legs=(Leg("ebike", amount("9 km")),))
    assert f"{FILE}:2 has 2026-05-01 ebike already" in prepare(folder, beside).problems[0]


def test_one_that_is_finished_meanwhile_is_noticed(write: Write) -> None:
    folder = write({FILE: TEXT})
    entry = read_entry(folder, "river")
    (folder / FILE).write_text(TEXT.replace("ebike,,310", "ebike,50,310"))
    said = f"{FILE}: was changed since this trip was read; read it again"
    assert prepare(folder, finished(entry)).problems == (said,)


def test_one_beside_a_row_that_counts_is_not_shown(write: Write) -> None:
    folder = write({FILE: f"{TEXT}2026-05-02,ebike,,500,,\n"})
    entry = read_entry(folder, "river")
    assert [len(day.legs) for day in entry.days[:2]] == [1, 1]
    assert entry.not_shown[1].startswith(f"{FILE}:4: distance_km: expected a value")
    assert prepare(folder, entry).problems == ()
