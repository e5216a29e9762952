"""Rows of a trip that could not be read are named, and no second one is put beside them."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from entries import CARRIED, FIRST, along, amount, on_day
from tarebook.tripdata.logbook_entry import (
    Along,
    Leg,
    Score,
    TripEntry,
    begin,
    prepare,
    read_entry,
)

Write = Callable[..., Path]
TRIP = "trips/river"


def ridden(entry: TripEntry) -> TripEntry:
    return on_day(entry, FIRST, legs=(Leg("ebike", amount("40 km")),))


def slept(entry: TripEntry) -> TripEntry:
    return on_day(entry, FIRST, scores=(Score("sleep", 3),))


def cold(entry: TripEntry) -> TripEntry:
    return on_day(entry, FIRST, low=amount("4 c"))


def quilted(entry: TripEntry) -> TripEntry:
    return along(replace(entry, use_record="full"), "quilt", used=True)


@pytest.mark.parametrize(
    ("table", "text", "line", "change", "name"),
    [
        (
            *("distances", "day,mode,distance_km,battery_wh\n2026-05-01,ebike,x,310\n", 2),
            *(ridden, "2026-05-01 ebike"),
        ),
        (
            *("distances", "day,mode,distance_km\n2026-05-01,ebike,\n2026-05-01,e-bike,x\n", 3),
            *(ridden, "2026-05-01 ebike"),
        ),
        (
            *("comfort", "day,aspect,score,warmth,note\n2026-05-01,sleep,,-2,cold feet\n", 2),
            *(slept, "2026-05-01 sleep"),
        ),
        ("weather", "day,low_c,wet\n2026-05-01,4 C,yes\n", 2, cold, "2026-05-01"),
        ("carried", "item,quantity,used\nquilt,7x0,no\n", 2, quilted, '"quilt"'),
    ],
)
def test_no_second_row_is_put_beside_one_that_could_not_be_read(
    write: Write,
    table: str,
    text: str,
    line: int,
    change: Callable[[TripEntry], TripEntry],
    name: str,
) -> None:
    file = f"{TRIP}/{table}.csv"
    folder = write({file: text})
    entry = read_entry(folder, "river")
    assert prepare(folder, entry).problems == ()
    (remark,) = prepare(folder, entry).remarks
    assert remark.startswith(f"{file}:{line}: ")
    assert remark.endswith("does not count and stays as it is")
    writing = prepare(folder, change(entry))
    assert f"{file}:{line} has {name} already" in writing.problems[0]
    assert prepare(folder, along(entry, "stove", note="x")).problems == ()


def test_another_bag_of_a_thing_is_another_row(write: Write) -> None:
    folder = write({CARRIED: "item,quantity,bag\nquilt,many,front\n"})
    entry = replace(read_entry(folder, "river"), along=(Along("quilt", bag="back"),))
    assert prepare(folder, entry).problems == ()
    entry = replace(entry, along=(Along("quilt", bag="Front"),))
    assert "already" in prepare(folder, entry).problems[0]


def test_a_list_of_which_nothing_can_be_read_gets_no_other(write: Write) -> None:
    folder = write(
        {
            "carried.csv": "trip,item\ncoast,tent\ncoast,quilt\n",
            CARRIED: "item,weight_g\ntent,1480 g\nquilt,800 g\n",
        }
    )
    begun = begin(folder, "river")
    assert begun.along == ()
    writing = prepare(folder, begun)
    assert (writing.changes, writing.problems, len(writing.remarks)) == ((), (), 2)


def test_a_row_that_is_filled_in_wrongly_meanwhile_is_noticed(write: Write) -> None:
    file = f"{TRIP}/weather.csv"
    folder = write({file: "day,low_c\n2026-05-01,\n2026-05-02,3\n"})
    entry = read_entry(folder, "river")
    (folder / file).write_text("day,low_c\n2026-05-01,4 C\n2026-05-02,3\n")
    said = f"{file}: was changed since this trip was read; read it again"
    assert prepare(folder, entry).problems == (said,)


def test_a_wrong_header_is_said_once(write: Write) -> None:
    folder = write({CARRIED: "thing,used\n" + "tent,\n" * 30})
    (remark,) = prepare(folder, read_entry(folder, "river")).remarks
    assert remark.startswith(f"{CARRIED}:1: item: expected a column item")
    assert remark.endswith("; 30 rows are not shown here, do not count and stay as they are")
