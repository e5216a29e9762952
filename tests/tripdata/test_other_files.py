"""Files that are no part of a logbook, headers in other words, commas without quotes."""

import os
from collections.abc import Callable
from pathlib import Path

import kit
import pytest
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.errors import LogbookError
from tarebook.tripdata.problems import Findings

Check = Callable[..., Findings]

SHEET = "is a spreadsheet and was not read; save it as CSV, one file per sheet"
COPY = "looks like a copy of {}.csv; it was not read; bring over what it alone has, then remove it"
KEPT = "is a copy that another program keeps; it was not read, and you can remove it"
OPEN = "shows that the file is open in a spreadsheet; save it there and close it"


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("trips/river/carried.xlsx", SHEET),
        ("weighings.ODS", SHEET),
        ("my trips.numbers", SHEET),
        ("~$gear.xlsx", OPEN),
        ("~gear.csv", KEPT),
        ("trips/river/carried.csv~", KEPT),
        ("gear (1).csv", COPY.format("gear")),
        ("gear (conflicted copy 2026-05-01).csv", COPY.format("gear")),
        ("gear.sync-conflict-20260501.csv", COPY.format("gear")),
        ("Copy of trip.csv", COPY.format("trip")),
        ("trip - Copy.csv", COPY.format("trip")),
        ("trips/river/carried 2.csv", COPY.format("carried")),
    ],
)
def test_files_of_other_programs_are_named_once(check: Check, name: str, words: str) -> None:
    findings = check({name: b"PK\x03\x04"})
    assert [str(w) for w in findings.warnings] == [f"{name}: {words}"]
    assert findings.clean


@pytest.mark.parametrize(
    "name",
    [".~lock.gear.csv#", ".gear.csv.swp", "notes.txt", "trips/photo.jpg", "~x.tmp"],
)
def test_of_others_nothing_is_said(check: Check, name: str) -> None:
    assert check({name: b"PK"}).warnings == []


@pytest.mark.parametrize(
    ("name", "hint"),
    [
        ("gear.xlsx", ' ("gear.xlsx" is a spreadsheet: save it as gear.csv)'),
        ("Gear 2026.ods", ' ("Gear 2026.ods" is a spreadsheet: save it as gear.csv)'),
        ("food.ods", ""),
        ("gaer.numbers", ' ("gaer.numbers" is a spreadsheet: save it as gear.csv)'),
        ("gear (1).csv", ' (is it "gear (1).csv"?)'),
        ("geer.csv", ' (is it "geer.csv"?)'),
    ],
)
def test_a_lone_spreadsheet_is_named_where_gear_is_missing(
    tmp_path: Path, name: str, hint: str
) -> None:
    (tmp_path / name).write_bytes(b"PK")
    with pytest.raises(LogbookError) as stop:
        check_logbook(tmp_path)
    assert str(stop.value) == (
        f"{tmp_path}: no gear.csv here{hint}; is this a logbook? "
        "`tarebook new DIR` makes an empty one"
    )


# --- headers -------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("cell", "meant"),
    [
        ("Weight (lbs)", "weight_lb"),
        ("weight pounds", "weight_lb"),
        ("Weight (ounces)", "weight_oz"),
        ("WEIGHT_GRAMS", "weight_g"),
        ("weight in stone", ""),
    ],
)
def test_another_word_for_a_unit_leads_to_the_header(check: Check, cell: str, meant: str) -> None:
    findings = check({"gear.csv": f"item,system,{cell}\ntent,shelter,2\n"})
    told = [str(p) for p in findings.problems if p.file == "gear.csv"]
    wanted = "expected a column weight_g or weight_kg or weight_oz or weight_lb"
    if meant:
        assert told[0] == (f'gear.csv:1: weight_g: {wanted}, got "{cell}"; did you mean "{meant}"?')
        assert findings.warnings == []
    else:
        assert told[0].startswith(f"gear.csv:1: weight_g: {wanted}, and there is none")


def test_another_word_for_a_unit_is_named_where_the_column_may_be_missing(check: Check) -> None:
    text = "day,distance_km,ascent (feet),hours\n2026-05-01,5,300,2\n"
    findings = check({"trips/river/distances.csv": text})
    assert [str(w) for w in findings.warnings] == [
        "trips/river/distances.csv:1: ascent (feet): no such column in distances; it was ignored; "
        'did you mean "ascent_ft"?'
    ]


# --- a comma without quotes ----------------------------------------------------------------------
@pytest.mark.parametrize(
    ("row", "text"),
    [
        ("tarp,Tarp, 2.4 by 3 m,shelter,400,,", "Tarp, 2.4 by 3 m"),
        ("tarp,Tarp, 2.4 by 3 m,shelter,400", "Tarp, 2.4 by 3 m"),
        ("tarp,Tarp, big, green,shelter,400,,", "Tarp, big, green"),
        ("tarp,Tarp,shelter,400,Camp,mended, twice", "mended, twice"),
        ("tarp,Tarp,2.4 m,shelter,400", "Tarp,2.4 m"),
        ("tarp,Tarp,shelter,400,Camp, wet,mended", "Camp, wet"),
    ],
)
def test_a_comma_without_quotes_is_reported_as_such(check: Check, row: str, text: str) -> None:
    findings = check({"gear-more.csv": f"item,name,system,weight_g,kit,note\n{row}\n"})
    assert [p.problem for p in findings.problems] == [
        f'a comma stands inside "{text}"; put the cell in quotation marks, as here'
    ]
    assert [p.value for p in findings.problems] == [text]
    assert kit.records_set_aside(findings) == 1


def test_other_separators_have_names_too(check: Check) -> None:
    text = "item;name;system;weight_g\ntarp;Tarp; big;shelter;400\n"
    findings = check({"gear-more.csv": text})
    assert findings.problems[0].problem.startswith('a semicolon stands inside "Tarp; big"; put')


NO_COMMA = [
    "tarp,Tarp,sheltre,400,,",
    "tarp,Tarp,camp shelter,400,shelter,",
    "tarp,a,b,c,d,e,f,g,h",
    "x/y,Tarp,shelter,4",
    "tarp,,shelter,4,,,,x",
]


@pytest.mark.parametrize("row", NO_COMMA)
def test_other_faults_are_not_taken_for_a_comma(check: Check, row: str) -> None:
    findings = check({"gear-more.csv": f"item,name,system,weight_g,kit,note\n{row}\n"})
    assert findings.problems
    assert not any("stands inside" in p.problem for p in findings.problems)


def test_a_sheet_is_left_to_its_owner_while_its_file_is_the_newer(
    write: Callable[..., Path],
) -> None:
    folder = write({"Gear.xlsx": b"PK", "trips/river/carried.ods": b"PK"})
    (folder / "trips/river/carried.csv").write_text("item\ntent\n")
    os.utime(folder / "Gear.xlsx", (1000, 1000))
    os.utime(folder / "trips/river/carried.ods", (1000, 1000))
    assert check_logbook(folder).warnings == []
    os.utime(folder / "gear.csv", (999, 999))
    os.utime(folder / "trips/river/carried.csv", (999, 999))
    assert [str(w) for w in check_logbook(folder).warnings] == [
        "Gear.xlsx: is a spreadsheet and was not read; gear.csv is older: save it as CSV again",
        "trips/river/carried.ods: is a spreadsheet and was not read; carried.csv is older: save it "
        "as CSV again",
    ]
