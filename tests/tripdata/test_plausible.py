"""Warnings of what may well be wrong: each slip asked about once, honest logbooks not at all."""

from collections.abc import Callable
from pathlib import Path

import kit
import pytest
from tarebook.tripdata.load import Loader
from tarebook.tripdata.problems import Findings
from tarebook.tripdata.store import memory_store

Check = Callable[..., Findings]
RIGHT = "if it is right, say so with a row in weighings.csv"
NOON_25_NOVEMBER_2026, NOON_25_NOVEMBER_2027 = "1795608000", "1827144000"
COOK = "item,system,weight_g\npot,cook,120\nstove,cook,90\nmug,cook,60\nspoon,cook,10\n"


def warned(findings: Findings) -> list[str]:
    """The warnings, of a logbook in which nothing is set aside."""
    assert findings.clean
    return [str(w) for w in findings.warnings]


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("kettle,cook,2260", "2,260 g is 30 times more than is usual in cook here (75 g)"),
        ("kettle,cook,9000", "9,000 g is 120 times more than is usual in cook here (75 g)"),
        ("sieve,cook,0.5", "0.5 g is 150 times less than is usual in cook here (75 g)"),
    ],
)
def test_an_outlier_of_its_system_is_asked_about(check: Check, row: str, words: str) -> None:
    files: kit.Files = {"gear.csv": COOK + row + "\n", "trip.csv": kit.TRIP}
    assert warned(check(files)) == [f"gear.csv:6: weight_g: {words}; {RIGHT}"]
    item, _, weight = row.split(",")
    files["weighings.csv"] = f"item,weighed_on,weight_g\n{item},2026-04-01,{weight}\n"
    assert warned(check(files)) == []


@pytest.mark.parametrize(
    "row",
    [
        "kettle,cook,2250",  # 30 times, not more
        "sieve,cook,2.4",  # 31 times less, but near the spoon
        "kettle,cook,",
        "stick,light,5000",  # alone in its system
    ],
)
def test_of_others_nothing_is_asked(check: Check, row: str) -> None:
    assert warned(check({"gear.csv": COOK + row + "\n", "trip.csv": kit.TRIP})) == []


def test_what_drives_is_heavier_than_its_parts(check: Check) -> None:
    gear = "item,system,weight_g,carried_as\nbike,bike,14000,vehicle\n"
    gear += "".join(f"part-{n},bike,{40 + n},\n" for n in range(5))
    assert warned(check({"gear.csv": gear, "trip.csv": kit.TRIP})) == []


@pytest.mark.parametrize(
    ("row", "unit", "words"),
    [
        ("tent,,shelter,38", "g", 'is little for "tent"; were ounces meant? 38 oz are 1,077 g'),
        ('s1,"Ridge tent, green",shelter,38', "g", "38 oz are 1,077 g"),
        ("r,Rain jacket for two,rain,9.5", "g", "9.5 oz are 269 g"),
        ("tent,,shelter,38", "oz", ""),
        ("tent-pegs,,shelter,38", "g", ""),
        ("c,Charger for the tent,power,38", "g", ""),
        ("tent,,shelter,1200", "g", ""),
    ],
)
def test_ounces_in_a_column_of_grams_are_asked_about(
    check: Check, row: str, unit: str, words: str
) -> None:
    gear = f"item,name,system,weight_{unit}\npot,,cook,120\n{row}\n"
    told = warned(check({"gear.csv": gear, "trip.csv": kit.TRIP}))
    assert len(told) == bool(words)
    assert all(words in line and line.endswith(RIGHT) for line in told)


def test_a_logbook_of_light_things_alone_may_be_in_grams(check: Check) -> None:
    gear = "item,system,weight_g\ntent,shelter,38\nspoon,cook,10\n"
    assert warned(check({"gear.csv": gear, "trip.csv": kit.TRIP})) == []


def test_two_weights_of_one_thing_may_be_in_two_units(check: Check) -> None:
    weighings = "item,weighed_on,weight_g\ntent,2026-04-01,42.3\nquilt,2026-04-01,790\n"
    assert warned(check({"weighings.csv": weighings})) == [
        "weighings.csv:2: weight_g: 42.3 g here and 1,200 g in gear.csv:2; is one of them in "
        "ounces?"
    ]


@pytest.mark.parametrize(
    ("end", "days"), [("2026-07-30", 60), ("2026-07-31", 61), ("2027-05-04", 338)]
)
def test_a_long_trip_is_asked_about(
    check: Check, monkeypatch: pytest.MonkeyPatch, end: str, days: int
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", NOON_25_NOVEMBER_2027)
    told = warned(check({"trip.csv": f"trip,start_on,end_on\nlong,2026-05-31,{end}\n"}))
    words = f"trip.csv:2: end_on: is {days} days after start_on (2026-05-31); is the year right?"
    assert told == ([words] if days > 60 else [])


GIVEN_UP = "item,system,weight_g,retired_on\nmat,sleep,400,2026-05-01\npot,cook,90,2026-04-30\n"


def late(bulk_bytes: int | None, folder: Path, work: Path) -> list[tuple[str, str]]:
    """File and words of each warning, read in one way."""
    with memory_store() as connection:
        findings = Loader(folder, connection, work, bulk_bytes=bulk_bytes).run()
    assert findings.clean
    return [(w.file, w.problem) for w in findings.warnings]


def test_gear_that_was_given_up_is_asked_about_once(
    write: Callable[..., Path], tmp_path: Path
) -> None:
    folder = write(
        {
            "gear.csv": GIVEN_UP,
            "trips/river/carried.csv": "item\nmat\npot\n",  # begins on the day the mat went
            "trips/coast/carried.csv": "item,bag\npot,a\npot,b\n",
        }
    )
    advice = "; correct retired_on in gear.csv, or name what came along instead"
    for bulk_bytes in (None, 0):
        assert late(bulk_bytes, folder, tmp_path) == [
            (
                "trips/coast/carried.csv",
                '"pot" came along on coast and 1 more after it was given up (2026-04-30)' + advice,
            )
        ]


def test_the_warning_names_the_line(check: Check) -> None:
    findings = check({"gear.csv": GIVEN_UP, "trips/river/carried.csv": "item\nmat\npot\n"})
    assert [(w.file, w.line, w.column) for w in findings.warnings] == [
        ("trips/river/carried.csv", 3, "item")
    ]


LEFT = "item,system,weight_g,carried_as\nrice,food,92,consumable\noil,food,50,consumable\n"


def test_more_home_than_out_is_asked_about(write: Callable[..., Path], tmp_path: Path) -> None:
    """Also in a large file, which says no line; less, as much or nothing home is no matter."""
    folder = write(
        {
            "gear.csv": LEFT,
            "trips/river/carried.csv": "item,weight_g,brought_home_g\nrice,92,112\noil,,0\n",
            "trips/coast/carried.csv": "item,weight_g,brought_home_g\nrice,92,92\noil,,60\n",
        }
    )
    how = (
        " came home, more than the {} g that it weighed at the start of {}; which of the two is "
        "wrong? Until that is corrected this trip does not count for how much is needed"
    )
    for bulk_bytes in (None, 0):
        assert sorted(late(bulk_bytes, folder, tmp_path)) == [
            (
                "trips/coast/carried.csv",
                '60 g of "oil"' + how.format(50, "coast"),
            ),
            (
                "trips/river/carried.csv",
                '112 g of "rice"' + how.format(92, "river"),
            ),
        ]


def test_energy_without_a_distance_says_what_to_put(check: Check) -> None:
    rows = "day,distance_km,battery_wh\n2026-05-01,,310\n2026-05-02,,\n"
    findings = check({"gear.csv": LEFT, "trips/river/distances.csv": rows})
    told = [problem.problem for problem in findings.problems]
    assert told == [
        "expected a value, the cell is blank; put 0 if you did not ride: until then the Wh of this "
        "day do not count",
    ]


@pytest.mark.parametrize(
    ("end", "plan", "asked"),
    [
        ("2027-01-17", "", True),
        ("2027-01-17", "no", True),
        ("2026-11-26", "", True),
        ("2026-11-25", "", False),
        ("2027-01-17", "yes", False),
    ],
)
def test_a_trip_to_come_that_is_no_plan_is_asked_about(
    check: Check, monkeypatch: pytest.MonkeyPatch, end: str, plan: str, asked: bool
) -> None:
    """Its column decides: it counts as it is, nothing of it is set aside."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", NOON_25_NOVEMBER_2026)
    trips = f"trip,start_on,end_on,plan\nlake,2026-11-24,{end},{plan}\n"
    told = [
        f"trip.csv:2: plan: lake ends on {end}, which is still to come, and yet counts as a trip "
        "that took place; until it is over, yes in the column plan keeps it out of your record"
    ]
    assert warned(check({"gear.csv": COOK, "trip.csv": trips})) == (told if asked else [])
    # Where the day cannot be told the reports say so; a logbook is read all the same.
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "soon")
    assert warned(check({"gear.csv": COOK, "trip.csv": trips})) == []
