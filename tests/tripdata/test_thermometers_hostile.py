"""Thermometers' files that are hostile, large or drawn: answered, and never misread."""

import tomllib
from collections.abc import Callable
from datetime import datetime, timedelta

import kit
import pytest
import thermometer_files as made
from hypothesis import example, given
from hypothesis import strategies as st
from tarebook.tripdata.problems import Findings
from tarebook.tripdata.thermometers.nights import lows_by_night
from tarebook.tripdata.thermometers.recognise import recognise
from thermometer_files import FILE, of

Check = Callable[..., Findings]
Loaded = Callable[..., tuple[Findings, kit.Store]]

_PIECES = st.sampled_from(
    [
        "2026-05-21 02:00",
        "21.05.26",
        "05/06/07",
        "02:00:01",
        "5,5",
        "-200",
        "°F",
        "Temp",
        ",",
        ";",
        "\t",
        "\n",
        "\n",
        '"',
        "'",
        "\r",
        "sep=;",
        "\u2028",
        "\x1b[31m",
        "=1+1",
        "9" * 400,
        "time",
        "at",
        "temperature_c",
        "C",
        "\\",
        "]]",
        "[[logger]]",
        "0001-01-01 00:00",
        "Z",
        "AM",
    ]
)


@given(st.lists(_PIECES, max_size=60).map("".join))
@example('time,"temp \\" °C ]]\n\x1b"\n2026-05-21 02:00,5\n')
@example("t,temp °C\n0001-01-01 00:00,5\n")
def test_whatever_a_file_holds_its_lines_are_settings(text: str) -> None:
    recognised = recognise(text.encode())
    assert bool(recognised.why_not) or recognised.plain or bool(recognised.lines)
    if recognised.lines:
        (table,) = tomllib.loads(recognised.lines)["logger"]
        assert {"time", "temperature", "unit"} <= table.keys()
        assert recognised.lines.replace("\n", "").isprintable()
    assert lows_by_night(recognised.readings) is not None


@given(st.binary(max_size=300))
def test_any_bytes_are_answered(content: bytes) -> None:
    recognised = recognise(content)
    assert bool(recognised.why_not) or recognised.plain or bool(recognised.lines)


def test_a_file_of_very_many_quotes_and_lines_is_answered(check: Check) -> None:
    for text in ('"' * 90_000, '"\n' * 60_000, "a,b\n" * 60_000, ";" * 99_000 + "\n2026"):
        assert recognise(text.encode()).why_not
        toml = '[[logger]]\ntime = "when"\ntemperature = "value"\n' * 5
        assert check(of(toml, text)).file(FILE).loaded == 0


@pytest.mark.parametrize("again", ["when,value (°F)\n", "when,degF\n", ",Fahrenheit\n"])
def test_a_unit_that_changes_further_down_is_a_problem(check: Check, again: str) -> None:
    toml = '[[logger]]\ntime = "when"\ntemperature = "value"\n'
    text = f"when,value (°C)\n2026-05-21 02:00,5\n{again}2026-05-21 03:00,41\n"
    findings = check(of(toml, text))
    assert findings.file(FILE).loaded == 0
    assert "further down, names °F, but [[logger]]" in str(findings.problems[0])


def test_a_header_that_stands_again_is_no_record(check: Check) -> None:
    toml = '[[logger]]\ntime = "when"\ntemperature = "value"\n'
    text = "when,value (°C)\n2026-05-21 02:00,5\nwhen,value (°C)\n2026-05-21 03:00,4\n"
    findings = check(of(toml, text))
    assert findings.clean
    assert findings.file(FILE).read == 2


def test_a_renamed_column_is_named_where_the_other_is_there(check: Check) -> None:
    toml = '[[logger]]\ntime = "when"\ntemperature = "Value A"\n'
    (problem,) = [p for p in check(of(toml, "when,Value B\n2026-05-21 02:00,5\n")).problems][:1]
    assert 'expected a column "Value A", as [[logger]] in tarebook.toml has it' in str(problem)
    assert 'did you mean "Value B"?' in str(problem)


def test_a_large_own_file_loads_whole(loaded: Loaded) -> None:
    start = datetime(2026, 5, 19)
    rows = [(start + timedelta(seconds=5) * n, (n % 200) / 10 - 5) for n in range(80_000)]
    text = "x;y\nwhen;value °F;\n" + "".join(
        f"{at:%d.%m.%Y %H:%M:%S};{made.comma(made.fahrenheit(c))};\n" for at, c in rows
    )
    toml = (
        '[[logger]]\ntime = "when"\ntemperature = "value"\nunit = "f"\nskip_lines = 1\n'
        'format = "%d.%m.%Y %H:%M:%S"\n'
    )
    assert len(text) > 2_000_000
    findings, store = loaded(of(toml, text))
    assert findings.clean
    assert store.ask("SELECT count(*), min(read_at) FROM temperatures") == [(80_000, start)]
    ((low, high),) = store.ask("SELECT min(temperature_c), max(temperature_c) FROM temperatures")
    # One decimal in °F is 0.03 °C at most.
    assert (low, high) == (pytest.approx(-5, abs=0.03), pytest.approx(14.9, abs=0.03))


# --- files drawn ----------------------------------------------------------------------------------
_DAYS = ["%Y-%m-%d", "%d.%m.%Y", "%d/%m/%Y", "%m/%d/%Y", "%m/%d/%y", "%y.%m.%d", "%d-%b-%Y"]
_CLOCKS = ["%H:%M", "%H:%M:%S", "%I:%M %p", "%I:%M:%S %p"]
_SAYS = {
    "c": [
        "Temp (°C)",
        "temp_c",
        "T [deg C]",
        "Celsius",
        "Temperature Celsius",
        "TEMP ℃",
        "Temp ºC",
    ],
    "f": [
        "Temp (°F)",
        "temp_f",
        "T [deg F]",
        "Fahrenheit",
        "Temp, Fahrenheit",
        "TEMP ℉",
        "Temp ˚F",
    ],
}


@given(
    day=st.sampled_from(_DAYS),
    clock=st.sampled_from(_CLOCKS),
    apart=st.booleans(),
    dialect=st.sampled_from([",.", ";.", ";,", "\t.", "\t,"]),
    above=st.integers(0, 20),
    header=st.booleans(),
    unit=st.sampled_from("cf"),
    says=st.integers(0, 7),
    first=st.datetimes(datetime(2001, 1, 1), datetime(2068, 1, 1)).map(
        lambda at: at.replace(second=0, microsecond=0)
    ),
    temperatures=st.lists(st.integers(-300, 350).map(lambda n: n / 10), min_size=1, max_size=60),
    step=st.integers(1, 300),
    codec=st.sampled_from(["utf-8", "utf-8-sig", "utf-16"]),
)
def test_no_drawn_file_is_misread(
    day: str,
    clock: str,
    apart: bool,
    dialect: str,
    above: int,
    header: bool,
    unit: str,
    says: int,
    first: datetime,
    temperatures: list[float],
    step: int,
    codec: str,
) -> None:
    """Of a file that says its unit: its readings, or a question, and never other ones."""
    delimiter, mark = dialect
    times = [first + timedelta(minutes=step) * n for n in range(len(temperatures))]
    written = temperatures if unit == "c" else list(map(made.fahrenheit, temperatures))
    name = _SAYS[unit][says % 7]
    join = delimiter if apart else " "
    rows = [
        delimiter.join(
            [f"{at:{day}}{join}{at:{clock}}", f"{value:.3f}".replace(".", mark)]
            + ([] if header else [f"°{unit.upper()}"])
        )
        for at, value in zip(times, written, strict=True)
    ]
    names = (["Day", "Clock"] if apart else ["Moment"]) + [f'"{name}"']
    top = [f"Field {n}" for n in range(above)] + ([delimiter.join(names)] if header else [])
    recognised = recognise("\n".join([*top, *rows, ""]).encode(codec))
    assert not recognised.why_not
    assert recognised.unit == unit
    if recognised.readings:
        assert [r.at for r in recognised.readings] == times
        assert [r.temperature_c for r in recognised.readings] == pytest.approx(
            temperatures, abs=0.001
        )
        assert not recognised.questions
    else:
        assert recognised.questions
        wanted = f"{day} {clock}"
        assert wanted in recognised.formats
        assert len(recognised.formats) > 1
