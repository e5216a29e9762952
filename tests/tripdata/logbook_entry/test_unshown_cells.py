"""Cells that no form shows stay with the row in which they stand, or are said where it goes."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from itertools import product
from pathlib import Path

import pytest
from entries import CARRIED, FAILURES, FIRST, amount, changed, on_day, tables_of
from tarebook.tripdata.logbook_entry import Leg, TripEntry, begin, prepare, read_entry

Write = Callable[..., Path]
TRIP = "trips/river"
BROKEN = (
    "item,day,severity,what,note\n"
    "tent,2026-05-02,nuisance,bent,POLE\n"
    "tent,2026-05-02,impaired,jams,ZIP\n"
)


def rows(folder: Path, file: str) -> list[list[str]]:
    """The rows of a file below its header."""
    return tables_of((folder / file).read_bytes())[1:]


def test_one_failure_goes_and_the_other_is_put_right(write: Write) -> None:
    folder = write({FAILURES: BROKEN})

    def change(entry: TripEntry) -> TripEntry:
        return replace(entry, failures=(replace(entry.failures[1], what="stuck"),))

    writing = changed(folder, change)
    assert rows(folder, FAILURES) == [["tent", "2026-05-02", "impaired", "stuck", "ZIP"]]
    (lines,) = (c.lines for c in writing.changes)
    assert 'removed: "Tent" 2026-05-02 (severity nuisance, what bent, note POLE)' in lines


def test_a_failure_of_another_thing_keeps_its_note(write: Write) -> None:
    folder = write({FAILURES: BROKEN})

    def change(entry: TripEntry) -> TripEntry:
        first, second = entry.failures
        return replace(entry, failures=(replace(first, item="stove"), second))

    changed(folder, change)
    assert [(row[0], row[4]) for row in rows(folder, FAILURES)] == [
        ("stove", "POLE"),
        ("tent", "ZIP"),
    ]


def test_a_new_failure_gets_no_note_of_a_former_one(write: Write) -> None:
    folder = write({FAILURES: BROKEN})

    def change(entry: TripEntry) -> TripEntry:
        new = replace(entry.failures[0], what="torn", origin="")
        return replace(entry, failures=(new, entry.failures[1]))

    changed(folder, change)
    assert sorted(row[4] for row in rows(folder, FAILURES)) == ["", "ZIP"]


MINE = ("WORN-ONE", "PACK-ONE", "SPARE-ONE")
SHIRTS = (
    "item,carried_as,bag,mine\n"
    "jacket,worn,,WORN-ONE\njacket,base,front,PACK-ONE\njacket,base,back,SPARE-ONE\n"
)


@pytest.mark.parametrize(
    ("gone", "other"), [p for p in product(range(3), range(3)) if p[0] != p[1]]
)
@pytest.mark.parametrize(
    "changes", [{"bag": "side"}, {"carried_as": "vehicle"}, {"from_day": date(2026, 5, 2)}]
)
def test_what_goes_and_what_changes_are_not_mixed_up(
    write: Write, gone: int, other: int, changes: dict[str, object]
) -> None:
    folder = write({CARRIED: SHIRTS})

    def change(entry: TripEntry) -> TripEntry:
        along = [*entry.along]
        along[other] = replace(along[other], **changes)
        return replace(entry, along=tuple(a for n, a in enumerate(along) if n != gone))

    before = read_entry(folder, "river").along
    changed(folder, change)
    after = read_entry(folder, "river").along
    kept = [n for n in range(3) if n != gone]
    assert [row[3] for row in rows(folder, CARRIED)] == [MINE[n] for n in kept]
    assert after == tuple(replace(before[n], **changes) if n == other else before[n] for n in kept)


def test_rows_of_other_trips_that_come_above_do_not_matter(write: Write) -> None:
    shirts = "".join(f"river,{row}\n" for row in SHIRTS.splitlines()[1:])
    folder = write({"carried.csv": f"trip,item,carried_as,bag,mine\n{shirts}"})
    entry = read_entry(folder, "river")
    entry = replace(entry, along=(replace(entry.along[1], bag="side"), entry.along[2]))
    (folder / "carried.csv").write_text(
        f"trip,item,carried_as,bag,mine\ncoast,tent,,,THEIRS\n{shirts}"
    )
    writing = prepare(folder, entry)
    assert writing.problems == ()
    assert tables_of(writing.changes[0].after)[1:] == [
        ["coast", "tent", "", "", "THEIRS"],
        ["river", "jacket", "base", "side", "PACK-ONE"],
        ["river", "jacket", "base", "back", "SPARE-ONE"],
    ]


def test_the_mode_of_a_way_is_put_right_in_its_row(write: Write) -> None:
    file = f"{TRIP}/distances.csv"
    folder = write({file: "day,mode,distance_km,mine\n2026-05-01,foot,8,MINE\n"})

    def change(entry: TripEntry) -> TripEntry:
        (leg,) = entry.days[0].legs
        return on_day(entry, FIRST, legs=(replace(leg, mode="paddle"), Leg("foot", amount("2 km"))))

    changed(folder, change)
    assert rows(folder, file) == [
        ["2026-05-01", "paddle", "8", "MINE"],
        ["2026-05-01", "foot", "2", ""],
    ]


def test_days_that_are_no_more_say_what_they_held(write: Write) -> None:
    folder = write(
        {
            f"{TRIP}/weather.csv": "day,low_c,mine\n2026-05-01,4,\n2026-05-03,7,MINE\n",
            f"{TRIP}/distances.csv": "day,distance_km\n2026-05-03,21.5\n2026-05-04,\n",
        }
    )
    assert prepare(folder, read_entry(folder, "river")).remarks == ()
    entry = begin(folder, "river", end_on=date(2026, 5, 2))
    writing = prepare(folder, entry)
    (remark,) = writing.remarks
    assert remark == (
        "2026-05-03 is no longer a day of the trip, so its rows are removed: distance_km 21.5 "
        f"({TRIP}/distances.csv); low_c 7, mine MINE ({TRIP}/weather.csv)"
    )
    assert any("removed: 2026-05-03 (low_c 7, mine MINE)" in c.lines for c in writing.changes)


def test_a_way_by_another_mode_leaves_the_row_laid_out_alone(write: Write) -> None:
    file = f"{TRIP}/distances.csv"
    folder = write({file: "day,mode,distance_km\n2026-05-01,foot,\n2026-05-02,,\n"})
    legs = (Leg("ebike", amount("40 km")),)
    changed(folder, lambda e: on_day(e, FIRST, legs=legs))
    changed(folder, lambda e: on_day(e, date(2026, 5, 2), legs=(Leg("foot", amount("9 km")),)))
    assert rows(folder, file) == [
        ["2026-05-01", "foot", ""],
        ["2026-05-02", "", "9"],
        ["2026-05-01", "ebike", "40"],
    ]
