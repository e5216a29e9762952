"""The unit that the rows of a thermometer's file name: proposed, asked for, and never misread."""

from collections.abc import Callable

import pytest
from tarebook.tripdata.problems import Findings
from tarebook.tripdata.thermometers.recognise import recognise
from thermometer_files import FILE, of

Check = Callable[..., Findings]
ROWS = (("2026-05-20 22:00", "41"), ("2026-05-21 04:00", "23"), ("2026-05-21 05:00", "24"))
_TOML = '[[logger]]\ntime = "Date/Time"\ntemperature = "{}"\nunit = "{}"\n'


def text(header: str, row: str) -> str:
    """A file with those cells in each row, {at} and {t} being time and temperature."""
    return "\n".join([header, *(row.format(at=at, t=t) for at, t in ROWS)]) + "\n"


@pytest.mark.parametrize(
    ("header", "row"),
    [
        ("Date/Time,Unit,Temp", "{at},F,{t}"),
        ("Date/Time,Unit,Value", "{at},F,{t}"),
        ("Date/Time,Unit,Value", "{at},°F,{t}"),
        ("Date/Time,Units,Humidity,Temp", "{at},F,80,{t}"),
        ("Date/Time,Temp,Humidity,TempUnit", "{at},{t},80,F"),
        ("Date/Time,Temp,Humidity,C/F", "{at},{t},80,F"),
        ("Date/Time,Temp,Humidity,Einheit", "{at},{t},80,F"),
        ("Date/Time,Temp,Humidity,", "{at},{t},80,F"),
        ("Date/Time,Temp,Humidity,Measured in", "{at},{t},80,F"),
        ("Date/Time,Temp,Humidity,Unit", "{at},{t},80,deg. F"),
        ("Date/Time,Temp,Humidity,Unit", "{at},{t},80,Farenheit"),
        ("Date/Time,Humidity,Unit,Temp,Unit", "{at},80,%,{t},F"),
        ("Date/Time,Temp,Unit,Humidity,Unit", "{at},{t},F,80,%"),
        ("Date/Time,Unit,Temp,Unit,Humidity", "{at},F,{t},%,80"),
        ("Date/Time,Scale,Reading", "{at},fahrenheit,{t}"),
    ],
)
def test_a_column_of_units_says_the_unit(check: Check, header: str, row: str) -> None:
    content = text(header, row)
    recognised = recognise(content.encode())
    assert (recognised.unit, recognised.questions, recognised.why_not) == ("f", (), "")
    # 23 °F = (23 - 32) x 5/9 = -5 °C
    assert [r.temperature_c for r in recognised.readings][:2] == pytest.approx([5, -5])
    assert 'unit = "f"' in recognised.lines
    name = next(c.header for c in recognised.columns if c.role == "temperature")
    for columns in (
        _TOML.format(name, "c"),
        f"[[logger]]\ntime = 1\ntemperature = {header.split(',').index(name) + 1}\n",
    ):
        findings = check(of(columns, content))
        assert findings.file(FILE).loaded == 0
        assert "names °F, but [[logger]] in tarebook.toml says" in str(findings.problems[0])
    assert check(of(_TOML.format(name, "f"), content)).file(FILE).loaded == 3


def test_a_wrong_unit_is_one_line_with_a_count(check: Check) -> None:
    rows = "".join(f"2026-05-21 0{n // 60}:{n % 60:02},F,41\n" for n in range(160))
    findings = check(of(_TOML.format("Temp", "c"), f"Date/Time,Unit,Temp\n{rows}"))
    assert [str(p) for p in findings.problems] == [
        f'{FILE}:1: Unit: "F", in 160 rows, names °F, but [[logger]] in tarebook.toml says '
        'unit = "c"; correct the setting to unit = "f", or move the file out of the logbook',
        f"{FILE}:1: Unit: 160 records set aside with it, until it is mended",
    ]
    assert findings.file(FILE).set_aside == 160


def test_units_inside_cells_are_a_few_lines_with_a_count(check: Check) -> None:
    rows = "".join(f"2026-05-21 0{n // 60}:{n % 60:02},41 °F\n" for n in range(160))
    findings = check(of(_TOML.format("Temp", "f"), f"Date/Time,Temp\n{rows}"))
    problem = (
        'Temp: expected a number, got "41 °F"; a unit belongs in the column\'s header, the cell '
        "holds the number alone"
    )
    assert [str(p) for p in findings.problems] == [
        *(f"{FILE}:{line}: {problem}" for line in (2, 3, 4)),
        f"{FILE}:161: Temp: 157 more records set aside for this column; `tarebook table "
        "set_aside` has all",
    ]
    assert findings.file(FILE).set_aside == len(findings.records) == 160


def test_a_unit_that_only_later_rows_name(check: Check) -> None:
    content = "Date/Time,Unit,Temp\n2026-05-20 22:00,,41\n2026-05-21 04:00,F,40\n"
    assert check(of(_TOML.format("Temp", "c"), content)).file(FILE).loaded == 0
    assert recognise(content.encode()).unit == "f"


@pytest.mark.parametrize(
    ("units", "words"),
    [
        (("F", "C", "F"), "its rows are in several units: °F in 2 rows, °C in 1 row"),
        (("F", "%", "F"), 'its rows are in several units: °F in 2 rows, "%" in 1 row'),
        (("C", "K", "C"), "its rows are in several units: °C in 2 rows, K in 1 row"),
    ],
)
def test_rows_of_several_units_are_refused(
    check: Check, units: tuple[str, ...], words: str
) -> None:
    rows = "".join(f"{at},{unit},{t}\n" for (at, t), unit in zip(ROWS, units, strict=True))
    content = f"Date/Time,Unit,Value\n{rows}"
    recognised = recognise(content.encode())
    assert recognised.why_not == f"{words}; have the thermometer write one"
    assert not recognised.lines
    for unit in "cf":
        findings = check(of(_TOML.format("Value", unit), content))
        assert findings.file(FILE).loaded == 0
        assert f"Unit: {words}; none of it is read" in str(findings.problems[0])


def test_header_and_rows_that_contradict_each_other_are_refused(check: Check) -> None:
    content = text("Date/Time,Temp (°C),Unit", "{at},{t},F")
    assert recognise(content.encode()).why_not == (
        'its header names "Temp (°C)" and its rows "F" as the unit'
    )
    for unit in "cf":
        findings = check(of(_TOML.format("Temp (°C)", unit), content))
        assert findings.file(FILE).loaded == 0


def test_kelvin_is_refused_in_words() -> None:
    for content in (
        text("Date/Time,Unit,Value", "{at},K,{t}"),
        text("Date/Time,Temp (K)", "{at},{t}"),
    ):
        assert recognise(content.encode()).why_not == (
            "it is in K; have the thermometer write °C or °F"
        )


@pytest.mark.parametrize(
    ("header", "row"),
    [
        ("Date/Time,Temp,Flag", "{at},{t},F"),
        ("Date/Time,Temp,Humidity,Battery", "{at},{t},80,C"),
        ("Date/Time,Temp,Dew point (%),Site", "{at},{t},80,camp F"),
    ],
)
def test_a_letter_that_is_no_unit_is_none(check: Check, header: str, row: str) -> None:
    content = text(header, row)
    recognised = recognise(content.encode())
    assert recognised.unit == ""
    assert recognised.questions == ("Which unit? The file does not name one, or it names several.",)
    for unit in "cf":
        assert check(of(_TOML.format("Temp", unit), content)).file(FILE).loaded == 3


def test_a_column_of_units_is_held_against_the_logbooks_own_columns(check: Check) -> None:
    content = text("at,temperature_c,Unit", "{at},{t},F")
    for toml in ("", _TOML.format("Temp", "c")):
        findings = check(of(toml, content))
        assert findings.file(FILE).loaded == 0
        assert str(findings.problems[0]) == (
            f'{FILE}:1: Unit: "F", in 3 rows, names °F, but the readings stand under '
            "temperature_c; rename the column that is wrong"
        )
    assert recognise(content.encode()).why_not.startswith('line 1: Unit: "F", in 3 rows, names °F')
    assert check(of("", content.replace("_c", "_f"))).file(FILE).loaded == 3


@pytest.mark.parametrize("name", ["Value", "Reading", "Channel 1", "Messwert"])
def test_a_column_whose_name_says_nothing_is_proposed_and_its_unit_asked(name: str) -> None:
    recognised = recognise(text(f"Date/Time,{name}", "{at},{t}").encode())
    assert recognised.columns[1].role == "temperature"
    assert recognised.questions == ("Which unit? The file does not name one, or it names several.",)
    assert f'temperature = "{name}"' in recognised.lines
    assert 'unit = "?"' in recognised.lines


def test_of_two_columns_whose_names_say_nothing_it_is_asked_which() -> None:
    recognised = recognise(text("Date/Time,Channel 1,Channel 2", "{at},{t},80").encode())
    assert recognised.questions[0] == (
        "Which column is the temperature: 2 or 3? The file does not say."
    )
