"""Whole records and files: totals rows, repeats, old copies, and what one fault costs others."""

from collections.abc import Callable

import kit
import pytest
from tarebook.tripdata.contract import SYSTEMS
from tarebook.tripdata.problems import Findings

Check = Callable[..., Findings]
Read = Callable[..., tuple[Findings, kit.Kept]]
Loaded = Callable[..., tuple[Findings, kit.Store]]
ASIDE = "set aside with it, until it is mended"


def told(findings: Findings) -> list[str]:
    return [str(p) for p in findings.problems]


@pytest.mark.parametrize(
    ("file", "text", "line", "column", "shown"),
    [
        ("gear-more.csv", "item,system,weight_g\nspoon,cook,10\nTotal,,10\n", 3, "item", "Total"),
        ("gear-more.csv", "item,system,weight_g\nSum:,cook,10\n", 2, "item", "Sum:"),
        ("trips/river/carried.csv", "item,quantity,note\ntent,,\nTOTAL,1,x\n", 3, "item", "TOTAL"),
        ("trips/river/carried.csv", "item,quantity\ntent,1\nGrand total,1.5\n", 3, "item",
         "Grand total"),
        ("trips/river/distances.csv", "day,distance_km\n2026-05-01,5\ntotal,5\n", 3, "day",
         "total"),
        ("trips/river/temperatures.csv", "at,temperature_c\nsum,5\n", 2, "at", "sum"),
        ("carried.csv", "trip,item,quantity\nriver,tent,1\nTotal,,1\n", 3, "trip", "Total"),
        ("carried.csv", "trip,item,quantity\nriver,tent,1\n,Totals,1\n", 3, "item", "Totals"),
        ("gear-more.csv", "item,name,system,weight_g\nspoon,,cook,10\n,Total,,10\n", 3, "name",
         "Total"),
        ("trips/river/comfort.csv", "day,aspect,score\n,Sum,9\n", 2, "aspect", "Sum"),
    ],
)  # fmt: skip
def test_a_totals_row_is_told_as_such_once(
    check: Check, file: str, text: str, line: int, column: str, shown: str
) -> None:
    findings = check({file: text})
    assert told(findings) == [
        f'{file}:{line}: {column}: "{shown}" looks like a totals row; remove it'
    ]


def test_an_item_may_be_noted_as_total_elsewhere(check: Check) -> None:
    files = {"trips/river/carried.csv": "item,bag,note\ntent,sum,total\n"}
    assert check(files).clean


# --- repeats -----------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("table", "header", "first", "again", "column", "value"),
    [
        ("gear", "item,system,weight_g", "spoon,cook,1", "Spoon,food,2", "item", "Spoon"),
        ("weighings", "item,weighed_on,weight_g", "tent,2026-01-01,1", "TENT,2026-01-01,2",
         "item", "TENT"),
        ("candidates", "candidate,system,weight_g", "tarp,shelter,1", "tarp,rain,2",
         "candidate", "tarp"),
        ("trip", "trip,start_on,end_on", "alp,2026-07-01,2026-07-02", "ALP,2026-08-01,2026-08-01",
         "trip", "ALP"),
        ("carried", "item,carried_as,bag", "tent,,A", "tent,base,a", "item", "tent"),
        ("carried", "item,carried_as,bag", "food,consumable,", "food,,", "item", "food"),
        ("used", "item,day,used_for", "stove,,", "stove,,", "item", "stove"),
        ("used", "item,day,used_for", "stove,2026-05-01,food", "stove,2026-05-01,Food", "item",
         "stove"),
        ("distances", "day,mode,distance_km", "2026-05-01,foot,1", "2026-05-01,,2", "day",
         "2026-05-01"),
        ("weather", "day,rain_mm", "2026-05-01,0", "2026-05-01,2", "day", "2026-05-01"),
        ("comfort", "day,aspect,score", "2026-05-01,,1", "2026-05-01,sleep,2", "day",
         "2026-05-01"),
    ],
)  # fmt: skip
def test_of_two_rows_with_one_key_the_first_stands(
    read: Read, table: str, header: str, first: str, again: str, column: str, value: str
) -> None:
    name = kit.file_of(table)
    files: kit.Files = {name: f"{header}\n{first}\n\n{again}\n"}
    if table == "used":
        files["trips/river/carried.csv"] = "item\nstove\n"
    findings, _ = read(files)
    assert told(findings) == [f"{name}:4: {column}: repeats {name}:2; the first one stands"]
    assert findings.problems[0].value == value


@pytest.mark.parametrize(
    ("table", "header", "rows"),
    [
        (
            "carried",
            "item,carried_as,bag,from_day",
            ["tent,,,", "tent,worn,,", "tent,,a,", "tent,,b,", "tent,,,2026-05-02"],
        ),
        (
            "used",
            "item,day,used_for",
            ["stove,,", "stove,2026-05-01,", "stove,2026-05-01,food", "stove,2026-05-02,"],
        ),
        (
            "distances",
            "day,mode,distance_km",
            ["2026-05-01,,1", "2026-05-01,paddle,2", "2026-05-02,foot,3"],
        ),
        (
            "comfort",
            "day,aspect,score",
            ["2026-05-01,,1", "2026-05-01,fun,1", "2026-05-02,sleep,1"],
        ),
        ("failures", "item,day,severity", ["tent,2026-05-01,nuisance", "tent,2026-05-01,nuisance"]),
        ("temperatures", "at,temperature_c", ["2026-05-01 10:00,5", "2026-05-01 10:00,5"]),
        ("wished", "what", ["socks", "socks"]),
    ],
)
def test_rows_that_differ_in_their_key_or_have_none_all_load(
    check: Check, table: str, header: str, rows: list[str]
) -> None:
    files: kit.Files = {kit.file_of(table): "\n".join([header, *rows])}
    if table == "used":
        files["trips/river/carried.csv"] = "item\nstove\n"
    assert check(files).clean


def test_repeats_across_files_name_the_first_in_reading_order(check: Check) -> None:
    findings = check(
        {
            "carried.csv": "trip,item\nriver,tent\nriver,quilt\nriver,jacket\n",
            "carried-b.csv": "trip,item\nriver,stove\nriver,tent\nriver,food\n",
            "trips/river/carried-a.csv": "item\nquilt\n",
            "trips/river/carried.csv": "item\nstove\n",
        }
    )
    assert told(findings) == [
        "carried-b.csv:3: item: repeats carried.csv:2; the first one stands",
        "trips/river/carried.csv:2: item: repeats carried-b.csv:2; the first one stands",
        "trips/river/carried-a.csv:2: item: repeats carried.csv:3; the first one stands",
    ]


def test_a_row_set_aside_does_not_hold_its_key(loaded: Loaded) -> None:
    text = "item,system,weight_g\nspoon,nothing,1\nspoon,cook,2\n"
    findings, store = loaded({"gear-more.csv": text})
    assert [p.line for p in findings.problems] == [2]
    assert store.rows("gear", "item", "weight_mg")[-1] == ("spoon", 2000)


def test_an_old_copy_gets_one_line(loaded: Loaded) -> None:
    findings, _ = loaded({"gear-copy.csv": kit.GEAR + "spoon,,cook,1,\n"})
    assert told(findings) == [
        "gear-copy.csv:2: item: looks like an old copy of gear.csv: 5 of its 6 records repeat; "
        "move it out of the logbook"
    ]
    assert findings.files["gear-copy.csv"].set_aside == 5
    assert len(findings.records) == 5


def test_a_file_half_of_repeats_is_told_row_by_row(check: Check) -> None:
    rows = kit.GEAR.splitlines()
    more = ["spoon,,cook,1,", "pot,,cook,1,"]
    findings = check({"gear-copy.csv": "\n".join([*rows[:3], *more]) + "\n"})
    assert told(findings) == [
        "gear-copy.csv:2: item: repeats gear.csv:2; the first one stands",
        "gear-copy.csv:3: item: repeats gear.csv:3; the first one stands",
    ]


# --- one fault, one line -----------------------------------------------------------------------
def test_records_of_a_lost_item_are_told_once_with_a_count(loaded: Loaded) -> None:
    findings, store = loaded(
        {
            "gear-more.csv": "item,system,weight_g\nPot,cok,100\n",
            "weighings.csv": "item,weighed_on,weight_g\npot,2026-01-01,5\nTENT,2026-01-01,5\n",
            "trips/river/carried.csv": "item\npot\ntent\n",
            "trips/river/used.csv": "item\nPOT\n",
            "trips/river/wished.csv": "item,how_much\npot,vast\n",
        }
    )
    assert told(findings) == [
        f"gear-more.csv:2: system: expected one of {', '.join(SYSTEMS)}"
        ', got "cok"; did you mean "cook"?',
        f"gear-more.csv:2: system: 3 records {ASIDE}",
        'trips/river/wished.csv:2: how_much: expected one of little, much, badly, got "vast"',
    ]
    caused = "SELECT \"file\", line, cause FROM set_aside WHERE cause <> '' ORDER BY ALL"
    assert store.ask(caused) == [
        ("trips/river/carried.csv", 2, "gear-more.csv:2"),
        ("trips/river/used.csv", 2, "gear-more.csv:2"),
        ("trips/river/wished.csv", 2, "gear-more.csv:2"),
        ("weighings.csv", 2, "gear-more.csv:2"),
    ]


def test_records_of_a_lost_trip_are_told_once_with_a_count(loaded: Loaded) -> None:
    findings, store = loaded(
        {
            "trip-more.csv": "trip,start_on,end_on\nalp,2026-07-01,\n",
            "trips/Alp/carried.csv": "item\ntent\nstove\nnothing\n",
            "trips/Alp/used.csv": "item\ntent\n",
            "weather.csv": "trip,day,wet\nALP,2026-07-01,y\nriver,2026-05-01,n\n",
        }
    )
    assert told(findings) == [
        "trip-more.csv:2: end_on: expected a value, the cell is blank; fill it in or delete the "
        "row",
        f"trip-more.csv:2: end_on: 5 records {ASIDE}",
    ]
    assert store.rows("weather", "trip") == [("river",)]


def test_a_lost_file_is_told_once_with_a_count(check: Check) -> None:
    findings = check(
        {
            "gear.csv": b"item,system,weight_g\nten\0t",
            "trips/river/carried.csv": "item\ntent\nstove\n",
            "weighings.csv": "item,weighed_on,weight_g\ntent,2026-01-01,5\n",
        }
    )
    assert told(findings) == [
        "gear.csv: is not a text file (it holds NUL bytes); export it as CSV again",
        f"gear.csv: 3 records {ASIDE}",
    ]


def test_used_rows_of_a_lost_carried_row_or_file_are_told_once(check: Check) -> None:
    findings = check(
        {
            "trips/river/carried.csv": "item,quantity\ntent,0\nquilt,1\nstov,1\n",
            "trips/river/used.csv": "item\ntent\nquilt\nstove\nstove\n",
            "trips/coast/carried.csv": b"",
            "trips/coast/used.csv": "item\ntent\nquilt\n",
        }
    )
    assert told(findings) == [
        "trips/coast/carried.csv: is empty; a header line is expected",
        f"trips/coast/carried.csv: 2 records {ASIDE}",
        'trips/river/carried.csv:2: quantity: expected a whole number from 1 to 1000, got "0"',
        f"trips/river/carried.csv:2: quantity: 1 record {ASIDE}",
        'trips/river/carried.csv:4: item: expected an item of gear.csv, got "stov"; did you mean '
        '"stove"?',
        f"trips/river/carried.csv:4: item: 2 records {ASIDE}",
    ]


def test_used_for_an_item_not_carried(check: Check) -> None:
    findings = check(
        {
            "trips/river/carried.csv": "item\ntent\n",
            "trips/river/used.csv": "item\ntent\nstove\n",
            "used.csv": "trip,item\ncoast,Tent\n",
        }
    )
    assert told(findings) == [
        'used.csv:2: item: "Tent" was not carried on coast; add it to carried.csv',
        'trips/river/used.csv:3: item: "stove" was not carried on river; add it to carried.csv',
    ]


def test_a_failure_needs_an_owned_item_not_a_carried_row(check: Check) -> None:
    text = "item,day,severity\ntent,2026-05-01,nuisance\ntnet,2026-05-01,nuisance\n"
    findings = check({"trips/river/failures.csv": text})
    assert [p.line for p in findings.problems] == [3]


# --- trip folders ------------------------------------------------------------------------------
def test_a_trip_folder_without_a_trip_row_is_told_once(check: Check) -> None:
    findings = check(
        {
            "trips/rivr/carried.csv": "item\ntent\nstove\n",
            "trips/rivr/used.csv": "item\ntent\n",
            "trips/rivr/weather.csv": "day\n",
            "trips/island/wished.csv": "what\n",
        }
    )
    where = "trips/rivr/carried.csv:2: trip: "
    assert told(findings) == [
        f'{where}no row of trip.csv is called "rivr"; add one; did you mean "river"?',
        f"{where}3 records {ASIDE}",
    ]


def test_a_trip_cell_in_a_trip_folder_is_blank_or_the_folders_name(loaded: Loaded) -> None:
    text = "trip,item\n,tent\nRIVER,stove\ncoast,quilt\nrivr,food\n"
    findings, store = loaded({"trips/River/carried.csv": text})
    assert told(findings) == [
        'trips/River/carried.csv:4: trip: expected "River" or a blank cell, got "coast"; did you '
        'mean "River"?',
        'trips/River/carried.csv:5: trip: expected "River" or a blank cell, got "rivr"; did you '
        'mean "River"?',
    ]
    assert store.rows("carried", "trip", "item") == [("river", "tent"), ("river", "stove")]


def test_a_trip_row_may_stand_in_its_folder(loaded: Loaded) -> None:
    findings, store = loaded(
        {
            "trips/High Alp/trip.csv": "title,start_on,end_on\nUp,2026-07-01,2026-07-02\n",
            "trips/High Alp/carried.csv": "item\ntent\n",
            "trips/island/trip.csv": "trip,start_on,end_on\nIsland,2026-08-01,2026-08-02\n",
            "trips/lake/trip.csv": "trip,start_on,end_on\nsea,2026-08-01,2026-08-02\n",
            "trips/river/trip.csv": "start_on,end_on\n2026-05-01,2026-05-09\n",
            "weather.csv": "trip,day,wet\nhigh-alp,2026-07-01,y\n",
        }
    )
    assert told(findings) == [
        'trips/lake/trip.csv:2: trip: expected "lake" or a blank cell, got "sea"; did you mean '
        '"lake"?',
        "trips/river/trip.csv:2: trip: repeats trip.csv:2; the first one stands",
    ]
    assert store.rows("trip", "trip", "title") == [
        ("river", "river"),
        ("coast", "coast"),
        ("High-Alp", "Up"),
        ("island", "Island"),
    ]
    assert store.rows("carried", "trip") == [("High-Alp",)]
    assert store.rows("weather", "trip") == [("High-Alp",)]


def test_a_trip_folder_whose_name_is_no_trip(check: Check) -> None:
    text = "start_on,end_on\n2026-07-01,2026-07-02\n"
    findings = check({"trips/a+b/trip.csv": text, "trips/a+b/wished.csv": "what\nx\ny\n"})
    assert told(findings) == [
        'trips/a+b/trip.csv:2: trip: expected only letters, digits, "-", "_" and "." in a name, '
        'not "+"; rename the folder "a+b"',
        f"trips/a+b/trip.csv:2: trip: 3 records {ASIDE}",
    ]


def test_problems_are_told_in_reading_order(check: Check) -> None:
    findings = check(
        {
            "trips/river/wished.csv": "what,how_much\nx,lots\n",
            "trips/river/weather.csv": "day,wet\n2026-05-01,n\n2026-05-01,n\nx,n\n2026-05-02,si\n",
            "weighings.csv": "item,weighed_on,weight_g\ntent,x,1\n",
        }
    )
    assert [(p.file, p.line) for p in findings.problems] == [
        ("weighings.csv", 2),
        ("trips/river/weather.csv", 3),
        ("trips/river/weather.csv", 4),
        ("trips/river/weather.csv", 5),
        ("trips/river/wished.csv", 2),
    ]


def test_every_fault_of_a_record_is_told_and_it_counts_once(loaded: Loaded) -> None:
    text = "day,aspect,score,warmth\n2026-05-32,nap,six,9\n"
    findings, store = loaded({"trips/river/comfort.csv": text})
    assert [(p.column, p.value) for p in findings.problems] == [
        ("day", "2026-05-32"),
        ("aspect", "nap"),
        ("score", "six"),
        ("warmth", "9"),
    ]
    assert kit.records_set_aside(findings) == 1
    assert len(store.rows("set_aside")) == 4


def test_gear_and_trip_keep_a_row_with_a_bad_optional_cell(loaded: Loaded) -> None:
    findings, store = loaded(
        {
            "gear-more.csv": "item,system,weight_g,price,bought_on,insurance,carried_as\n"
            "spoon,cook,ten,cheap,1/1/26,perhaps,pocket\nknife,cook,,1,,,\n",
            "trip-more.csv": "trip,start_on,end_on,mode,plan,latitude\n"
            "alp,2026-07-01,2026-07-02,car,perhaps,99\n",
            "trips/alp/carried.csv": "item\nspoon\n",
        }
    )
    assert findings.clean
    left = "; the cell was left blank"
    assert all(w.problem.endswith(left) for w in findings.warnings)
    assert [(w.file, w.line, w.column) for w in findings.warnings] == [
        ("gear-more.csv", 2, c)
        for c in ("weight_g", "price", "bought_on", "insurance", "carried_as")
    ] + [("trip-more.csv", 2, c) for c in ("mode", "plan", "latitude")]
    assert store.rows("gear", "weight_mg", "price", "insurance", "carried_as")[-2] == (
        None,
        None,
        None,
        "base",
    )
    assert store.rows("trip", "mode", "plan", "latitude")[-1] == (None, False, None)


def test_the_reason_why_is_one_printable_line(check: Check) -> None:
    value = "x\u202e\x07\x1b[31m\u2028y"
    text = kit.csv_text([["item", "system", "weight_g"], ["spoon", value, "1"]])
    line = told(check({"gear-more.csv": text}))[0]
    assert line.isprintable()
    assert '"x\\u202e\\x07\\x1b[31m\\u2028y"' in line
