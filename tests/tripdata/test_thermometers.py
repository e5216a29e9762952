"""Thermometers' files of every pattern: known lows come out, no unit or day order is guessed."""

from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import Any

import kit
import pytest
import thermometer_files as made
from tarebook.tripdata.problems import Findings
from tarebook.tripdata.settings import read_settings
from tarebook.tripdata.text import decode, split_lines
from tarebook.tripdata.thermometers.columns import positions
from tarebook.tripdata.thermometers.nights import lows_by_night
from tarebook.tripdata.thermometers.readings import Reading, file_readings
from tarebook.tripdata.thermometers.recognise import MOST_BYTES, recognise
from thermometer_files import FILE, PATTERNS, Pattern, of

Check = Callable[..., Findings]
Read = Callable[..., tuple[Findings, kit.Kept]]
Loaded = Callable[..., tuple[Findings, kit.Store]]
each_pattern = pytest.mark.parametrize("pattern", PATTERNS, ids=lambda pattern: pattern.name)


def files(pattern: Pattern, toml: str) -> kit.Files:
    return {"trip.csv": made.TRIP, "tarebook.toml": toml, FILE: pattern.content}


def prove(rows: list[tuple[Any, ...]]) -> None:
    """The readings are those of every file, and so are the lows by night."""
    assert [at for at, _ in rows] == made.TIMES
    # Files in °F hold two decimals at most.
    assert [c for _, c in rows] == pytest.approx([c for _, c in made.READINGS], abs=0.03)
    lows = lows_by_night(Reading(at, c) for at, c in rows)
    assert {low.night: low.low_c for low in lows} == pytest.approx(made.LOWS, abs=0.03)
    assert not any(low.part for low in lows)


def filled(lines: str, answers: dict[str, str]) -> str:
    """What the program proposes, with the owner's answers in the place of question marks."""
    for key, answer in answers.items():
        assert f'\n{key} = "?"  # ' in lines
        lines = lines.replace(f'\n{key} = "?"', f"\n{key} = {answer}")
    assert '"?"' not in lines
    return lines


@each_pattern
def test_each_pattern_is_read_as_its_owner_describes_it(read: Read, pattern: Pattern) -> None:
    findings, kept = read(files(pattern, "[[logger]]\n" + pattern.toml))
    assert findings.clean, findings.problems
    assert not findings.warnings
    prove(kept.rows("temperatures", "read_at", "temperature_c"))


@each_pattern
def test_each_pattern_is_recognised_and_its_lines_read_it(read: Read, pattern: Pattern) -> None:
    recognised = recognise(pattern.content)
    assert not recognised.why_not
    assert len(recognised.questions) == len(pattern.answers)
    findings, kept = read(files(pattern, filled(recognised.lines, pattern.answers)))
    assert findings.clean, findings.problems
    assert not findings.warnings
    prove(kept.rows("temperatures", "read_at", "temperature_c"))
    if not pattern.answers:
        prove([(each.at, each.temperature_c) for each in recognised.readings])


@each_pattern
def test_what_is_pasted_with_a_question_mark_is_not_used(check: Check, pattern: Pattern) -> None:
    findings = check(files(pattern, recognise(pattern.content).lines))
    assert findings.clean is not bool(pattern.answers)
    if pattern.answers:
        assert findings.file(FILE).loaded == 0
        assert "tarebook.toml: [[logger]]: it is not used until that is corrected" in map(
            str, findings.warnings
        )


@each_pattern
def test_no_file_that_says_its_unit_is_read_in_the_other(check: Check, pattern: Pattern) -> None:
    unit = "c" if 'unit = "f"' in pattern.toml else "f"
    toml = pattern.toml.replace('unit = "f"\n', "") + f'unit = "{unit}"\n'
    findings = check(files(pattern, "[[logger]]\n" + toml))
    if pattern.says_unit:
        assert findings.file(FILE).loaded == 0
        other = "°F" if unit == "c" else "°C"
        assert f"names {other}, but [[logger]] in tarebook.toml says unit" in str(
            findings.problems[0]
        )
    else:
        assert findings.file(FILE).loaded


@each_pattern
def test_a_file_finds_its_own_among_many_descriptions(read: Read, pattern: Pattern) -> None:
    """Whatever else is described, its readings are right or a problem, never wrong."""
    toml = "".join(f"[[logger]]\n{each}" for each in dict.fromkeys(p.toml for p in PATTERNS))
    findings, kept = read(files(pattern, toml))
    rows = kept.rows("temperatures", "read_at", "temperature_c")
    if findings.clean:
        prove(rows)
    else:
        assert "both fit this file" in str(findings.problems[0])
        assert not rows
    named = f'[[logger]]\nfiles = "*porch*"\n{pattern.toml}{toml}'
    findings, kept = read(files(pattern, named))
    assert findings.clean, findings.problems
    prove(kept.rows("temperatures", "read_at", "temperature_c"))


@each_pattern
def test_what_is_shown_of_a_file_is_what_is_loaded(
    write: Callable[..., Path], read: Read, pattern: Pattern
) -> None:
    both = files(pattern, "[[logger]]\n" + pattern.toml)
    loggers = read_settings(write(both)).loggers
    lines = split_lines(decode(pattern.content))
    shown = file_readings(lines, "temperatures-porch.csv", loggers)
    _, kept = read(both)
    assert [(each.at, each.temperature_c) for each in shown.readings] == kept.rows(
        "temperatures", "read_at", "temperature_c"
    )
    assert shown.faulty == 0


# --- several descriptions ------------------------------------------------------------------------
PLAIN = "when,value\n2026-05-21 02:00,5\n"


def test_a_single_table_is_the_same_as_one_of_many(read: Read) -> None:
    for title in ("[logger]", "[[logger]]"):
        findings, kept = read(of(f'{title}\ntime = "when"\ntemperature = "value"\n', PLAIN))
        assert findings.clean
        assert kept.rows("temperatures", "temperature_c") == [(5.0,)]


def test_a_name_pattern_says_which_file_is_whose(read: Read) -> None:
    toml = "".join(
        f'[[logger]]\nfiles = "temperatures-{name}*.csv"\ntime = "when"\ntemperature = "value"\n'
        f'unit = "{unit}"\n'
        for name, unit in (("porch", "f"), ("tent", "c"))
    )
    both = of(toml, "when,value\n2026-05-21 02:00,41\n") | {
        "trips/ridge/Temperatures-Tent-2.CSV".replace("T", "t", 1): PLAIN
    }
    findings, kept = read(both)
    assert findings.clean
    # 41 °F = (41 - 32) x 5/9 = 5 °C
    assert kept.rows("temperatures", "temperature_c") == [(5.0,), (5.0,)]


def test_two_that_read_a_file_differently_are_a_problem(check: Check) -> None:
    toml = "".join(
        f'[[logger]]\ntime = "when"\ntemperature = "value"\nunit = "{unit}"\n' for unit in "cf"
    )
    findings = check(of(toml, PLAIN))
    assert [str(p) for p in findings.problems][:1] == [
        f"{FILE}:1: [[logger]] 1 and [[logger]] 2 of tarebook.toml both fit this file and read it "
        "differently; say with files which is its"
    ]
    assert findings.file(FILE).loaded == 0


def test_two_alike_are_none(read: Read) -> None:
    toml = '[[logger]]\ntime = "when"\ntemperature = "value"\n' * 2
    findings, kept = read(of(toml, PLAIN))
    assert findings.clean
    assert len(kept.rows("temperatures", "spot")) == 1


def test_the_one_whose_unit_and_times_fit_reads_it(read: Read) -> None:
    toml = (
        '[[logger]]\ntime = "when"\ntemperature = "value"\nunit = "f"\n'
        '[[logger]]\ntime = "when"\ntemperature = "value"\nformat = "%d.%m.%Y %H:%M"\n'
        '[[logger]]\ntime = "when"\ntemperature = "value"\n'
    )
    findings, kept = read(of(toml, "when,value (°C)\n2026-05-21 02:00,5\n"))
    assert findings.clean
    assert kept.rows("temperatures", "temperature_c") == [(5.0,)]


def test_a_description_with_a_slip_is_named_and_not_used(check: Check) -> None:
    toml = '[[logger]]\ntime = "when"\ntemperature = "value"\nunits = "f"\n[[logger]]\ntime = "a"\n'
    findings = check(of(toml, PLAIN))
    assert [str(w) for w in findings.warnings][:4] == [
        'tarebook.toml: [[logger]] 1 units: not a known setting; did you mean "unit"?',
        "tarebook.toml: [[logger]] 1: it is not used until that is corrected",
        "tarebook.toml: [[logger]] 2: expected both time and temperature, the thermometer's "
        "columns",
        "tarebook.toml: [[logger]] 2: it is not used until that is corrected",
    ]
    assert findings.file(FILE).loaded == 0
    assert "`tarebook thermometer FILE` names the lines" in str(findings.problems[0])


@pytest.mark.parametrize(
    ("key", "fault"),
    [
        ("header = 'no'", 'header: expected true or false, got "no"'),
        ("header = false", "expected columns by number, as temperature = 2, since header = false"),
        (
            "utc_offset = '+25:00'",
            'utc_offset: expected an offset from UTC such as "+02:00", got "+25:00"',
        ),
        ("utc_offset = true", 'utc_offset: expected an offset from UTC such as "+02:00", got true'),
        (
            "missing = []",
            "missing: expected a number, some text, or several of them in brackets, got []",
        ),
        ("date = 'value'", "expected another column for each of date, time and temperature"),
        ("date = 0", "date: expected a header in quotation marks or a number from 1 to 500, got 0"),
        (
            "date = '?'",
            'date: expected a header in quotation marks or a number from 1 to 500, got "?"',
        ),
        ("files = ''", 'files: expected some text, got ""'),
    ],
)
def test_slips_of_each_key(check: Check, key: str, fault: str) -> None:
    toml = f'[[logger]]\ntime = "when"\ntemperature = "value"\n{key}\n'
    (first, *_) = check(of(toml, PLAIN)).warnings
    colon = "" if ":" in fault.split(" ")[0] else ":"
    assert str(first) == f"tarebook.toml: [[logger]]{colon} {fault}"


def test_one_bracket_and_two_in_one_file_are_told_apart(check: Check) -> None:
    toml = '[logger]\ntime = "a"\ntemperature = "b"\n[[logger]]\ntime = "c"\ntemperature = "d"\n'
    (warning,) = [w for w in check(of(toml, PLAIN)).warnings if w.file == "tarebook.toml"]
    assert "write [[logger]] for each, also for the first" in str(warning)


def test_logger_is_no_list_of_words(check: Check) -> None:
    findings = check({"tarebook.toml": "logger = ['a']\n"})
    assert str(findings.warnings[0]) == "tarebook.toml: logger: expected a section, [[logger]]"


# --- headers --------------------------------------------------------------------------------------
@pytest.mark.parametrize("lines", [0, 1, 3, 14, 19, 40])
@pytest.mark.parametrize("skipped", [0, 2, 14])
def test_a_header_that_stands_elsewhere_says_which_skip_lines_fits(
    check: Check, lines: int, skipped: int
) -> None:
    text = "Device;x\n" * lines + "when;value\n2026-05-21 02:00;5\n2026-05-21 03:00;6\n"
    toml = f'[[logger]]\ntime = "when"\ntemperature = "value"\nskip_lines = {skipped}\n'
    findings = check(of(toml, text))
    if lines == skipped:
        assert findings.clean
        return
    assert str(findings.problems[0]) == (
        f"{FILE}:{lines + 1}: value: expected the header on line {skipped + 1}, it stands on line "
        f"{lines + 1}; write skip_lines = {lines} under [[logger]] in tarebook.toml"
    )
    assert findings.file(FILE).set_aside == 2


@pytest.mark.parametrize(
    ("wanted", "header", "good"),
    [
        ("Date Time", "Date Time, GMT+02:00", True),
        ("Date Time, GMT", "Date Time, GMT-07:00", True),
        ("Date Time, GMT-07:00", "Date Time, GMT-06:00", True),
        ("Temp", "Temp (S/N 20311)", True),
        ("Temp, °C (S/N: 1)", "Temp, °C (S/N: 2)", True),
        ("Probe", "Probe #77120", True),
        ("Temp", "Temperature", False),
        ("Temp", "Temp outside", False),
        ("Temp", "Air Temp", False),
        ("Temp (S/N: 1)", "Dew (S/N: 1)", False),
        ("Value 1", "Value 2", False),
        ("Temp", "Temp 2", False),
        ("Temp", "Temp max 24h", False),
        ("Temp", "Temp °C limit 3000", False),
        ("Temp", "Temp 20311", True),
        ("Temp", "Temp (sensor 2)", True),
    ],
)
def test_headers_are_matched_by_their_beginning(wanted: str, header: str, good: bool) -> None:
    assert positions(wanted, ["No.", header]) == ([1] if good else [])


def test_two_columns_of_one_name_are_a_problem_that_names_their_numbers(check: Check) -> None:
    toml = '[[logger]]\ntime = "when"\ntemperature = "value"\n'
    findings = check(of(toml, "when,value,Value\n2026-05-21 02:00,5,50\n"))
    assert str(findings.problems[0]) == (
        f'{FILE}:1: value: expected one column "value", got 2, of number 2 and 3; say which is '
        "meant under [[logger]] in tarebook.toml, as temperature = 2"
    )
    assert findings.file(FILE).loaded == 0


def test_a_named_file_without_the_column_is_told_so(check: Check) -> None:
    toml = '[[logger]]\nfiles = "*porch*"\ntime = "when"\ntemperature = "valu"\n'
    findings = check(of(toml, PLAIN))
    assert str(findings.problems[0]) == (
        f'{FILE}:1: valu: expected a column "valu", as [[logger]] in tarebook.toml has it, and '
        "there is none; `tarebook thermometer FILE` shows how the file is laid out; did you mean "
        '"value"?'
    )


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("Unit: °F\nwhen,value\n2026-05-21 02:00,41\n", "skip_lines = 1"),
        ("Temperatures in degrees Fahrenheit\nwhen,value\n2026-05-21 02:00,41\n", "skip_lines = 1"),
        ("TempUnits=F\nwhen,value\n2026-05-21 02:00,41\n", "skip_lines = 1"),
        ("Temperature scale;F\nwhen,value\n2026-05-21 02:00,41\n", "skip_lines = 1"),
        ("Columns: time; temp (F)\nwhen,value\n2026-05-21 02:00,41\n", "skip_lines = 1"),
        ("when,value,Dew point (°F)\n2026-05-21 02:00,41,40\n", ""),
        ("when,value,\n2026-05-21 02:00,41,F\n", ""),
        ("when,value,place,\n2026-05-21 02:00,41,porch,°F\n", ""),
        ("when,value (ºF)\n2026-05-21 02:00,41\n", ""),
        ("when,value ˚F\n2026-05-21 02:00,41\n", ""),
        ("when,value ï¿½F\n2026-05-21 02:00,41\n", ""),
        ("when,value (TempFahrenheit)\n2026-05-21 02:00,41\n", ""),
        ("when,value\n,°F\n2026-05-21 02:00,41\n", ""),
        ("when,value ℉\n2026-05-21 02:00,41\n", ""),
        ("when,value [Fahrenheit] S/N 12\n2026-05-21 02:00,41\n", ""),
        ("when,value\n2026-05-21 02:00,41 °F\n", ""),
        ("when,value\n2026-05-21 02:00,41F\n", ""),
    ],
)
def test_fahrenheit_is_never_read_as_celsius(check: Check, text: str, key: str) -> None:
    toml = f'[[logger]]\ntime = "when"\ntemperature = "value"\n{key}\n'
    findings = check(of(toml, text))
    assert findings.file(FILE).loaded == 0
    assert "names °F" in str(findings.problems[0]) or "a unit belongs" in str(findings.problems[0])
    recognised = recognise(text.encode())
    assert recognised.unit == "f" or (recognised.why_not and not recognised.readings)


@pytest.mark.parametrize(
    "name", ["Temp F", "temp_f", "TempF", "Temp(F)", "Temp [F]", "Temperature_Fahrenheit"]
)
def test_no_spelling_of_a_header_that_is_passed_over_is_read_in_the_other(
    check: Check, name: str
) -> None:
    toml = "[[logger]]\ntime = 1\ntemperature = 2\nheader = false\nskip_lines = 1\n"
    text = f"Timestamp,{name},Humidity\n2026-05-21 02:00,41,80\n"
    findings = check(of(toml + 'unit = "c"\n', text))
    assert findings.file(FILE).loaded == 0
    assert "names °F, but [[logger]]" in str(findings.problems[0])
    assert check(of(toml + 'unit = "f"\n', text)).file(FILE).loaded == 1


@pytest.mark.parametrize("row", ["2026-05-21 02:00,F,41\n", "2026-05-21 02:00,41,F\n"])
def test_a_letter_on_either_side_of_the_temperature_is_its_unit(check: Check, row: str) -> None:
    place = row.split(",").index("41" if ",41," in row else "41\n") + 1
    toml = f"[[logger]]\ntime = 1\ntemperature = {place}\nheader = false\n"
    findings = check(of(toml + 'unit = "c"\n', row))
    assert findings.file(FILE).loaded == 0
    assert "names °F, but [[logger]]" in str(findings.problems[0])
    assert check(of(toml + 'unit = "f"\n', row)).file(FILE).loaded == 1


@pytest.mark.parametrize(
    "columns", ["time = 1\ntemperature = 2\nheader = false\n", "time = 1\ntemperature = 2\n"]
)
def test_a_header_that_a_description_by_number_passes_over_is_still_believed(
    check: Check, columns: str
) -> None:
    text = "Device,x\nwhen,Temp °F\n2026-05-21 02:00,41\n"
    findings = check(of(f"[[logger]]\n{columns}", text))
    assert findings.file(FILE).loaded == 0
    assert '"Temp °F" names °F, but [[logger]] in tarebook.toml says' in str(findings.problems[0])


def test_a_description_by_file_leaves_the_logbooks_own_columns_alone(read: Read) -> None:
    toml = '[[logger]]\nfiles = "temperatures*"\ntime = "when"\ntemperature = "value"\n'
    own = "at,temperature_c\n2026-05-21 03:00,7\n"
    findings, kept = read(of(toml, PLAIN) | {"trips/ridge/temperatures.csv": own})
    assert findings.clean
    assert kept.rows("temperatures", "temperature_c") == [(7.0,), (5.0,)]


# --- rows -----------------------------------------------------------------------------------------
def test_rows_without_a_temperature_are_no_records(check: Check) -> None:
    toml = '[[logger]]\ntime = "when"\ntemperature = "value"\nmissing = [-200, "n/a", 0]\n'
    rows = "2026-05-21 02:00,5\n,,\nstarted,\n2026-05-21 03:00,-200.0\nx,N/A\n2026-05-21 05:00,0\n"
    findings = check(of(toml, "when,value\n" + rows))
    assert findings.clean
    assert findings.file(FILE).read == 1


def test_a_file_in_which_no_row_has_a_temperature_is_a_warning(check: Check) -> None:
    toml = '[[logger]]\ntime = "when"\ntemperature = "value"\n'
    findings = check(of(toml, "when,value\n2026-05-21 02:00,\n"))
    assert findings.clean
    assert [str(w) for w in findings.warnings] == [f"{FILE}: value: no row has a temperature"]


def test_a_comma_in_a_comma_file_cuts_no_number_short(check: Check) -> None:
    toml = '[[logger]]\ntime = "when"\ntemperature = "value"\n'
    findings = check(of(toml, "when,value\n2026-05-21 02:00,5,5\n"))
    assert findings.file(FILE).loaded == 0
    assert "more cells than the header has" in str(findings.problems[0])


@pytest.mark.parametrize(
    ("header", "cell", "expected"),
    [
        ("when", "2026-05-21 00:30", datetime(2026, 5, 21, 2, 30)),
        ("when", "2026-05-21T00:30Z", datetime(2026, 5, 21, 2, 30)),
        ("when", "2026-05-21T00:30:00-07:00", datetime(2026, 5, 21, 9, 30)),
        ('"when, GMT-07:00"', "2026-05-21 00:30", datetime(2026, 5, 21, 9, 30)),
        ('"when, UTC"', "2026-05-21 00:30", datetime(2026, 5, 21, 2, 30)),
        ("when (UTC+5:30)", "2026-05-21 00:30", datetime(2026, 5, 20, 21, 0)),
    ],
)
def test_another_clock_is_brought_to_the_camps(
    read: Read, header: str, cell: str, expected: datetime
) -> None:
    for offset in ('"+02:00"', "2", "2.0", '"+0200"'):
        toml = f'[[logger]]\ntime = "when"\ntemperature = "value"\nutc_offset = {offset}\n'
        findings, kept = read(of(toml, f"{header},value\n{cell},5\n"))
        assert findings.clean
        assert kept.rows("temperatures", "read_at") == [(expected,)]


def test_times_in_utc_are_a_problem_without_an_offset(check: Check) -> None:
    for form, cell in (("", "2026-05-21T00:30Z"), ("%d.%m.%Y %H:%M%z", "21.05.2026 00:30Z")):
        line = f'format = "{form}"\n' if form else ""
        toml = f'[[logger]]\ntime = "when"\ntemperature = "value"\n{line}'
        (problem,) = check(of(toml, f"when,value\n{cell},5\n")).problems
        assert str(problem) == (
            f'{FILE}:2: when: expected the camp\'s clock, got "{cell}"; Z means UTC: say under '
            "[[logger]] in tarebook.toml how the camp's clock stood to UTC, such as utc_offset = "
            '"+02:00"'
        )


# --- what a file does not say ---------------------------------------------------------------------
@pytest.mark.parametrize(
    ("dates", "forms"),
    [
        (("01/05/2026", "04/05/2026"), ("%d/%m/%Y %H:%M", "%m/%d/%Y %H:%M")),
        (("05/05/2026",), ("%d/%m/%Y %H:%M", "%m/%d/%Y %H:%M")),
        (("05-May-2026",), ("%d-%b-%Y %H:%M",)),
        (("05-June-2026",), ("%d-%B-%Y %H:%M",)),
        (("05-01-2026",), ("%d-%m-%Y %H:%M", "%m-%d-%Y %H:%M")),
        (("01/05/26",), ("%d/%m/%y %H:%M", "%m/%d/%y %H:%M", "%y/%m/%d %H:%M")),
        (("26.05.01",), ("%d.%m.%y %H:%M", "%y.%m.%d %H:%M")),
        (("13/05/2026", "01/05/2026"), ("%d/%m/%Y %H:%M",)),
        (("05/01/2026", "05/13/2026"), ("%m/%d/%Y %H:%M",)),
        (("01.05.2026",), ("%d.%m.%Y %H:%M",)),
        (("2026/05/01",), ("%Y/%m/%d %H:%M",)),
        (("2026-05-01",), ("",)),
        (("20260501",), ("%Y%m%d %H:%M",)),
    ],
)
def test_the_order_of_days_and_months_is_not_guessed(
    dates: tuple[str, ...], forms: tuple[str, ...]
) -> None:
    rows = "".join(f"{day} 02:00;5\n" for day in dates)
    recognised = recognise(f"when;temp °C\n{rows}".encode())
    assert recognised.formats == forms
    sure = len(forms) == 1
    assert recognised.format == (forms[0] if sure else "")
    assert bool(recognised.readings) is sure
    assert bool(recognised.questions) is not sure
    assert {each.format for each in recognised.loggers} == set(forms)
    if not sure:
        assert "nothing is guessed" in recognised.questions[0]
        assert 'format = "?"' in recognised.lines


def test_of_two_clocks_the_local_one_is_taken_and_else_it_is_asked() -> None:
    rows = "2026-05-21 00:00,2026-05-21 02:00,5\n"
    recognised = recognise(f"UTC time,Local time,Temp C\n{rows}".encode())
    assert recognised.readings == (Reading(datetime(2026, 5, 21, 2), 5.0),)
    recognised = recognise(f"Time A,Time B,Temp C\n{rows}".encode())
    assert not recognised.readings
    assert recognised.questions == (
        "Which column is the camp's time: 1 or 2? The file does not say.",
    )
    assert 'time = "?"  # 1 or 2' in recognised.lines


@pytest.mark.parametrize(
    ("cells", "missing"),
    [
        (["5", "-200", "6"], ("-200",)),
        (["5", "-200.0", "-999", "6"], ("-200", "-999")),
        (["5", "---", "Err", "6"], ("---", "Err")),
        (["5", "71.5", "-40", "6"], ()),
        (["5", "5,5", "6 °C", "1'000", "6"], ()),
        (["5", "a", "b", "c", "d", "6"], ()),
    ],
)
def test_only_what_is_no_reading_is_proposed_as_missing(
    cells: list[str], missing: tuple[str, ...]
) -> None:
    rows = "".join(f'2026-05-21 0{n}:00\t"{cell}"\n' for n, cell in enumerate(cells))
    recognised = recognise(f"time\ttemp\n{rows}".encode())
    assert recognised.missing == missing


def test_a_file_in_the_logbooks_own_columns_needs_no_description() -> None:
    recognised = recognise(b"at,temperature_f\n2026-05-21 02:00,41\n")
    assert recognised.plain
    assert not recognised.lines
    assert recognised.readings == (Reading(datetime(2026, 5, 21, 2), 5.0),)


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"", "it is empty"),
        (b"\n ,,\n", "no row has a time"),
        (b"\x00\x01\x02", "it is not a text file"),
        (b"\xff\xfea", "it looks like UTF-16 but is damaged"),
        (b"a" * (MOST_BYTES + 1), "it is larger than 10 MB"),
        (b"hello\nworld\n", "no row has a time"),
        (b"Date/Time,Temp,Unit\n", "it has a header and no readings below it"),
        (b"at,temperature_c\n", "it has a header and no readings below it"),
        (b"Recorder 5\n\nTime;Temp (S/N 77120)\n\n", "it has a header and no readings below it"),
        (b"hello, world\nhow are you, today\n", "no row has a time"),
        (b'no,time,temp C\n1,2026-05-21 02:00,"5,5"\n', "its numbers have a decimal comma"),
        (b"time,humidity\n2026-05-21 02:00,70\n", "none of its columns can be a temperature"),
        (b"time,temp C\n45-45-2026 02:00,5\n", "no row has a time"),
        (b"at,temperature_c\nyesterday,5\n", "line 2: expected a local time"),
    ],
)
def test_why_a_file_cannot_be_made_out(content: bytes, why: str) -> None:
    recognised = recognise(content)
    assert recognised.why_not.startswith(why)
    assert not recognised.lines
    assert not recognised.readings


def test_a_night_runs_from_noon_to_noon() -> None:
    times = ["05-20 11:59", "05-20 12:00", "05-21 08:00", "05-21 11:59", "05-21 12:00"]
    readings = [
        Reading(datetime.fromisoformat(f"2026-{at}"), 5.0 - n) for n, at in enumerate(times)
    ]
    assert [(low.night, low.low_c, low.readings, low.part) for low in lows_by_night(readings)] == [
        (date(2026, 5, 19), 5.0, 1, True),
        (date(2026, 5, 20), 2.0, 3, False),
        (date(2026, 5, 21), 1.0, 1, True),
    ]
