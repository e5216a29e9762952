"""Dates and local times: the forms that are read and the forms that are refused with advice."""

from collections.abc import Callable
from datetime import date, datetime, timedelta

import kit
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tarebook.tripdata.problems import Findings
from tarebook.tripdata.values import parse_date, parse_moment

Check = Callable[..., Findings]
Read = Callable[..., tuple[Findings, kit.Kept]]
WANT = "expected a date YYYY-MM-DD, got "
TWO_DIGITS = "; write the year first, with dashes and all its digits: 2026-05-01"
DECLARE = (
    '; day or month first? Write 2026-02-01, or declare dates = "DD/MM/YYYY" or "MM/DD/YYYY" '
    "under [reading] in tarebook.toml"
)
DOTS = (
    '; write the year first, 2026-05-01, or declare dates = "DD.MM.YYYY" under [reading] in '
    "tarebook.toml"
)
WANT_TIME = "expected a local time like 2026-05-01 21:30, got "


@pytest.mark.parametrize("text", ["2026-05-01", "2024-02-29", "2000-02-29", "0001-01-01"])
def test_iso_dates_are_read(read: Read, text: str) -> None:
    findings, kept = read(kit.one_cell("weighings", "weighed_on", text))
    assert findings.clean
    assert kept.rows("weighings", "weighed_on") == [(date.fromisoformat(text),)]


@pytest.mark.parametrize(
    ("text", "advice"),
    [
        ("01/02/2026", DECLARE),
        ("13/02/2026", DECLARE),  # never guessed, even where only one reading is a day
        ("2026-02-29", "; there is no such day"),
        ("2100-02-29", "; there is no such day"),
        ("2026-13-01", "; there is no such day"),
        ("2026-00-10", "; there is no such day"),
        ("0000-01-01", "; there is no such day"),
        ("2026-5-1", TWO_DIGITS),
        ("2026-05-1", TWO_DIGITS),
        ("26-05-01", TWO_DIGITS),
        ("1/5/26", TWO_DIGITS),
        ("5/8/2026", DECLARE),
        ("1.5.2026", DOTS),
        ("01.05.2026", DOTS),
        ("2026/05/01", TWO_DIGITS),
        ("20260501", TWO_DIGITS),
        ("46143", "; looks like a spreadsheet's day number (2026-05-01)"),
        ("20000", "; looks like a spreadsheet's day number (1954-10-03)"),
        ("60000", "; looks like a spreadsheet's day number (2064-04-08)"),
        ("19999", ""),
        ("60001", ""),
        ("May 1st", ""),
        ("2026-05-01 00:00:00", "; write the day alone, without a time"),
        ("2026-05-01T10:30", "; write the day alone, without a time"),
        ("２０２６-05-01", ""),
        ("2026-05", ""),
        ("2026-W18-5", ""),
        ("yesterday", ""),
    ],
)
def test_other_dates_are_refused_with_advice(check: Check, text: str, advice: str) -> None:
    findings = check(kit.one_cell("weighings", "weighed_on", text))
    assert [str(p) for p in findings.problems] == [
        f'weighings-more.csv:2: weighed_on: {WANT}"{text}"{advice}'
    ]


@pytest.mark.outside(
    "published",
    "ECMA-376, Office Open XML, part 4, date representation: the 1900 date base system",
    "1 February 2006 is 38749; 5082 days later is 1 January 2020, 43831",
)
def test_spreadsheet_day_numbers_count_as_spreadsheets_do() -> None:
    # Day 1 is 1 January 1900, and 29 February 1900, which was none, counts.
    assert "(2006-02-01)" in parse_date("38749")[1]
    assert "(2020-01-01)" in parse_date("43831")[1]


@pytest.mark.parametrize(
    ("form", "text", "day"),
    [
        ("DD/MM/YYYY", "01/02/2026", date(2026, 2, 1)),
        ("MM/DD/YYYY", "01/02/2026", date(2026, 1, 2)),
        ("DD/MM/YYYY", "2026-02-01", date(2026, 2, 1)),
        ("DD/MM/YYYY", "29/02/2024", date(2024, 2, 29)),
        ("DD/MM/YYYY", "1/2/2026", date(2026, 2, 1)),
        ("MM/DD/YYYY", "5/8/2026", date(2026, 5, 8)),
        ("MM/DD/YYYY", "5/18/2026", date(2026, 5, 18)),
        ("DD.MM.YYYY", "01.02.2026", date(2026, 2, 1)),
        ("DD.MM.YYYY", "1.2.2026", date(2026, 2, 1)),
        ("DD.MM.YYYY", "2026-02-01", date(2026, 2, 1)),
    ],
)
def test_one_other_form_may_be_declared(read: Read, form: str, text: str, day: date) -> None:
    files = kit.one_cell("weighings", "weighed_on", text)
    files["tarebook.toml"] = f'[reading]\ndates = "{form}"\n'
    findings, kept = read(files)
    assert findings.clean
    assert kept.rows("weighings", "weighed_on") == [(day,)]


@pytest.mark.parametrize(
    ("form", "text", "advice"),
    [
        ("DD/MM/YYYY", "13/13/2026", "; there is no such day"),
        ("DD/MM/YYYY", "29/02/2026", "; there is no such day"),
        ("MM/DD/YYYY", "13/01/2026", "; there is no such day"),
        ("MM/DD/YYYY", "18/5/2026", "; there is no such day"),
        ("DD.MM.YYYY", "30.2.2026", "; there is no such day"),
        ("DD/MM/YYYY", "01/02/26", TWO_DIGITS),
        ("MM/DD/YYYY", "1/2/26", TWO_DIGITS),
        ("DD.MM.YYYY", "1.2.26", TWO_DIGITS),
        ("DD.MM.YYYY", "1/2/2026", TWO_DIGITS),
        ("DD.MM.YYYY", "1.2/2026", ""),
        ("DD/MM/YYYY", "01.02.2026", TWO_DIGITS),
    ],
)
def test_a_declared_form_is_kept_to(check: Check, form: str, text: str, advice: str) -> None:
    files = kit.one_cell("weighings", "weighed_on", text)
    files["tarebook.toml"] = f'[reading]\ndates = "{form}"\n'
    findings = check(files)
    assert [p.problem for p in findings.problems] == [
        f'expected a date YYYY-MM-DD or {form}, got "{text}"{advice}'
    ]


@pytest.mark.outside(
    "published",
    "RFC 3339, 5.6, and GNU coreutils' manual, 29.5: a space may stand in the place of the T",
    "2026-05-01 21:30",
)
@pytest.mark.outside(
    "published",
    "ISO 8601:2004, 4.3.2: date, T, time of day in extended format; a comma or a dot before a "
    "fraction",
    "2026-05-01T21:30:05, reduced to minutes, with a fraction, with an offset",
)
@pytest.mark.parametrize(
    ("text", "moment"),
    [
        ("2026-05-01T21:30", datetime(2026, 5, 1, 21, 30)),
        ("2026-05-01 21:30", datetime(2026, 5, 1, 21, 30)),
        ("2026-05-01T21:30:05", datetime(2026, 5, 1, 21, 30, 5)),
        ("2026-05-01 21:30:05.25", datetime(2026, 5, 1, 21, 30, 5, 250_000)),
        ("2026-05-01 21:30:05,25", datetime(2026, 5, 1, 21, 30, 5, 250_000)),
        ("2026-05-01 00:00", datetime(2026, 5, 1)),
        ("2026-05-01 23:59:59.999999", datetime(2026, 5, 1, 23, 59, 59, 999_999)),
        ("2026-05-01T21:30+02:00", datetime(2026, 5, 1, 21, 30)),  # the clock time is kept
        ("2026-05-01T21:30:00-0930", datetime(2026, 5, 1, 21, 30)),
        ("2026-05-01 21:30 +02", datetime(2026, 5, 1, 21, 30)),
    ],
)
def test_local_times_are_read(read: Read, text: str, moment: datetime) -> None:
    findings, kept = read(kit.one_cell("temperatures", "at", text))
    assert findings.clean
    assert kept.rows("temperatures", "read_at") == [(moment,)]


UTC = "; Z means UTC: write the camp's own clock time, without Z"


@pytest.mark.parametrize(
    ("text", "advice"),
    [
        ("2026-05-01T21:30Z", UTC),
        ("2026-05-01 21:30:00 z", UTC),
        ("2026-05-01 24:00", "; there is no such time"),
        ("2026-05-01 21:60", "; there is no such time"),
        ("2026-05-01 21:30:60", "; there is no such time"),
        ("2026-02-29 21:30", "; there is no such time"),
        ("2026-05-01  2:30", ""),
        ("2026-05-01  21:30", ""),
        ("2026-05-01 2:30", ""),
        ("2026-05-01 21", ""),
        ("2026-05-01", ""),
        ("21:30", ""),
        ("2026-05-01 9:30 pm", ""),
        ("2026-05-01t21:30", ""),
        ("2026-05-01\u00a021:30", ""),
        ("٢٠٢٦-05-01 21:30", ""),
        ("2026-05-01 21:30+2", ""),
        ("46143.5", "; looks like a spreadsheet's day number (2026-05-01)"),
        ("01/05/2026 21:30", DECLARE),
    ],
)
def test_other_times_are_refused_with_advice(check: Check, text: str, advice: str) -> None:
    findings = check(kit.one_cell("temperatures", "at", text))
    shown = text.replace("\u00a0", "\\xa0")
    assert [str(p) for p in findings.problems] == [
        f'trips/river/temperatures.csv:2: at: {WANT_TIME}"{shown}"{advice}'
    ]


@pytest.mark.parametrize(
    ("form", "text", "hour"),
    [
        ("DD/MM/YYYY", "01/05/2026 21:30", 21),
        ("DD/MM/YYYY", "1/5/2026 9:30", 9),
        ("MM/DD/YYYY", "5/1/2026T09:30", 9),
        ("DD.MM.YYYY", "1.5.2026 21:30:00", 21),
    ],
)
def test_a_declared_form_serves_times_too(read: Read, form: str, text: str, hour: int) -> None:
    files = kit.one_cell("temperatures", "at", text)
    files["tarebook.toml"] = f'[reading]\ndates = "{form}"\n'
    findings, kept = read(files)
    assert findings.clean
    assert kept.rows("temperatures", "read_at") == [(datetime(2026, 5, 1, hour, 30),)]


@given(st.dates(), st.booleans())
def test_every_date_of_a_declared_form_is_read_with_and_without_noughts(
    day: date, padded: bool
) -> None:
    width = 2 if padded else 1
    one, month, year = f"{day.day:0{width}}", f"{day.month:0{width}}", f"{day.year:04}"
    assert parse_date(f"{one}/{month}/{year}", "DD/MM/YYYY") == (day, "", "")
    assert parse_date(f"{month}/{one}/{year}", "MM/DD/YYYY") == (day, "", "")
    assert parse_date(f"{one}.{month}.{year}", "DD.MM.YYYY") == (day, "", "")


@given(st.dates())
def test_every_iso_date_is_read_as_itself(day: date) -> None:
    assert parse_date(day.isoformat()) == (day, "", "")


@given(st.datetimes(), st.sampled_from("T "), st.sampled_from(["", "+02:00", "-1130", "+09"]))
def test_every_iso_time_is_read_as_its_clock_shows(at: datetime, mark: str, offset: str) -> None:
    assert parse_moment(at.isoformat(mark) + offset) == (at, "", "")


@given(st.dates(date(1954, 10, 3), date(2064, 4, 8)))
def test_every_day_number_names_its_day(day: date) -> None:
    number = (day - date(1899, 12, 30)) // timedelta(days=1)
    assert f"({day.isoformat()})" in parse_date(str(number))[1]


# --- days and trips ----------------------------------------------------------------------------
INSIDE = "expected a day of the trip (2026-05-01 to 2026-05-04), got "


@pytest.mark.parametrize(
    ("table", "header"),
    [
        ("used", "day"),
        ("failures", "day"),
        ("distances", "day"),
        ("weather", "day"),
        ("comfort", "day"),
        ("carried", "from_day"),
        ("carried", "until_day"),
    ],
)
def test_days_lie_inside_the_trip_both_ends_included(check: Check, table: str, header: str) -> None:
    for text in ("2026-05-01", "2026-05-04"):
        assert check(kit.one_cell(table, header, text)).clean
    for text in ("2026-04-30", "2026-05-05"):
        findings = check(kit.one_cell(table, header, text))
        assert [str(p) for p in findings.problems] == [
            f'trips/river/{table}.csv:2: {header}: {INSIDE}"{text}"'
        ]


def test_a_failure_may_be_mended_after_the_trip(check: Check) -> None:
    assert check(kit.one_cell("failures", "fixed_on", "2027-01-01")).clean


@pytest.mark.parametrize(
    ("end", "message"),
    [
        ("2026-06-30", 'expected a day not before start_on (2026-07-01), got "2026-06-30"'),
        ("2027-08-06", 'expected at most 400 days from 2026-07-01, got "2027-08-06"'),
    ],
)
def test_a_trip_ends_after_it_starts_and_within_400_days(
    check: Check, end: str, message: str
) -> None:
    findings = check(kit.one_cell("trip", "end_on", end))
    assert [str(p) for p in findings.problems] == [f"trip-more.csv:2: end_on: {message}"]
    assert check(kit.one_cell("trip", "end_on", "2026-07-01")).clean
    assert check(kit.one_cell("trip", "end_on", "2027-08-05")).clean


def test_days_along_stand_in_order(check: Check) -> None:
    text = "item,from_day,until_day\ntent,2026-05-03,2026-05-02\nstove,2026-05-02,2026-05-02\n"
    findings = check({"trips/river/carried.csv": text})
    assert [str(p) for p in findings.problems] == [
        "trips/river/carried.csv:2: until_day: expected a day not before from_day (2026-05-03), "
        'got "2026-05-02"'
    ]
