"""`tarebook.toml`: known keys, unknown keys, broken files, and the thermometer's own files."""

import subprocess
import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import kit
import pytest
from tarebook.tripdata.problems import Findings
from tarebook.tripdata.settings import Settings, read_settings
from tarebook.tripdata.thermometers.logger import Logger

Check = Callable[..., Findings]
Read = Callable[..., tuple[Findings, kit.Kept]]
Loaded = Callable[..., tuple[Findings, kit.Store]]

ALL = """\
[display]
mass = "oz"
temperature = "f"
distance = "mi"
[logbook]
title = "Rain or shine"
[person]
body_kg = 71.5
bike_kg = 14
[goals]
base_weight_g = 6000
[regret]
first_aid = 10
shelter = 7.5
[limits]
bike = 12000
"Left pannier" = 4500.5
[reading]
dates = "MM/DD/YYYY"
timezone = "America/Los_Angeles"
[logger]
time = "Date/Time"
temperature = "Temp (°C)"
unit = "c"
format = "%d.%m.%Y %H:%M"
skip_lines = 3
"""


def settings_of(folder: Path, text: str | bytes) -> Settings:
    return read_settings(kit.write(folder, {"tarebook.toml": text}))


def test_every_key(tmp_path: Path) -> None:
    assert settings_of(tmp_path, ALL) == Settings(
        mass="oz",
        temperature="f",
        distance="mi",
        title="Rain or shine",
        body_kg=71.5,
        bike_kg=14,
        base_weight_g=6000,
        regret={"first_aid": 10.0, "shelter": 7.5},
        limits={"bike": 12000.0, "Left pannier": 4500.5},
        dates="MM/DD/YYYY",
        timezone="America/Los_Angeles",
        loggers=(Logger("Date/Time", "Temp (°C)", "c", "%d.%m.%Y %H:%M", 3),),
    )


def test_no_file_and_an_empty_file_are_the_defaults(tmp_path: Path) -> None:
    assert read_settings(tmp_path) == Settings()
    assert settings_of(tmp_path, b"\xef\xbb\xbf") == Settings()


def test_settings_stand_in_the_store(loaded: Loaded) -> None:
    _, store = loaded({"tarebook.toml": ALL})
    assert dict(store.rows("settings", "key", "value")) == {
        "display.mass": "oz",
        "display.temperature": "f",
        "display.distance": "mi",
        "logbook.title": "Rain or shine",
        "person.body_kg": "71.5",
        "person.bike_kg": "14.0",
        "goals.base_weight_g": "6000.0",
        "regret.first_aid": "10.0",
        "regret.shelter": "7.5",
        "limits.bike": "12000.0",
        "limits.Left pannier": "4500.5",
    }


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("[display]\nmas = 'g'\n", '[display] mas: not a known setting; did you mean "mass"?'),
        ("[displays]\n", '[displays]: not a known setting; did you mean "display"?'),
        ("[zzz]\na = 1\n", "[zzz]: not a known setting"),
        ("mass = 'oz'\n", "mass: is outside every section; put it under [display]"),
        ("zzz = 'oz'\n", "zzz: not a known setting"),
        ("display = 'oz'\n", "display: expected a section, [display]"),
        ("[[display]]\nmass = 'oz'\n", "display: expected a section, [display]"),
        ("[regret]\nshelters = 1\n", '[regret] shelters: not a known setting; did you mean '
         '"shelter"?'),
        ("[display]\nmass = 'kg'\n", '[display] mass: expected "g" or "oz", got "kg"'),
        ("[display]\nmass = 5\n", '[display] mass: expected "g" or "oz", got 5'),
        ("[display]\nmass = ['g']\n", "[display] mass: expected \"g\" or \"oz\", got ['g']"),
        ("[person]\nbody_kg = '70'\n", '[person] body_kg: expected a number from 20 to 300, got '
         '"70"; write a number without quotation marks'),
        ("[person]\nbody_kg = 5\n", '[person] body_kg: expected a number from 20 to 300, got 5'),
        ("[person]\nbody_kg = true\n", '[person] body_kg: expected a number from 20 to 300, got '
         'true'),
        ("[person]\nbody_kg = nan\n", '[person] body_kg: expected a number from 20 to 300, got '
         'nan'),
        ("[regret]\nshelter = 11\n", '[regret] shelter: expected a number from 0 to 10, got 11'),
        ("[regret]\nshelter = -1\n", '[regret] shelter: expected a number from 0 to 10, got -1'),
        ("[limits]\nbike = 0\n", "[limits] bike: expected a number of grams from 1 to 500000, got "
         "0"),
        ("[limits]\ntop = '5 kg'\n", '[limits] top: expected a number of grams from 1 to '
         '500000, got "5 kg"'),
        ("[limits_lb]\nboat = 0\n", "[limits_lb] boat: expected a number of pounds from 0.01 to "
         "1100, got 0"),
        ("[limits]\n\" \" = 5\n", "[limits]  : not a known setting"),
        ("[reading]\ndates = 'DD-MM-YYYY'\n", '[reading] dates: expected "DD/MM/YYYY" or '
         '"MM/DD/YYYY" or "DD.MM.YYYY", got "DD-MM-YYYY"'),
        *[
            (f"[reading]\ntimezone = '{name}'\n", "[reading] timezone: expected the IANA name of a "
             f'time zone, such as Europe/Lisbon, got "{name}"')
            for name in ("Lisbon", "europe/lisbon", "UTC+1", "../etc/passwd", "Europe", "")
        ],
        ("[logger]\ntime = 'T'\n", "[logger]: expected both time and temperature, the "
         "thermometer's columns"),
        ("[logger]\ntime = 'T'\ntemperature = ''\n", '[logger] temperature: expected a header '
         'in quotation marks or a number from 1 to 500, got ""'),
        ("[logger]\ntime='T'\ntemperature='C'\nunit='k'\n", '[logger] unit: expected "c" or "f", '
         'got "k"'),
        ("[logger]\ntime='T'\ntemperature='C'\nskip_lines=-1\n", "[logger] skip_lines: expected a "
         'whole number from 0 to 1000, got -1'),
        *[
            (f"[logger]\ntime='T'\ntemperature='C'\nformat='{form}'\n",
             "[logger] format: expected a time format with day and time, such as %d.%m.%Y %H:%M, "
             f'got "{form}"')
            for form in ("%d %d", "%Q", "%", "%H:%M", "%d.%m. %H:%M", "%d.%m.%Y", "DD.MM.YYYY")
        ],
    ],
)  # fmt: skip
def test_what_is_not_known_is_named_and_the_default_stands(
    check: Check, text: str, fault: str
) -> None:
    findings = check({"tarebook.toml": text})
    assert [str(w) for w in findings.warnings][:1] == [f"tarebook.toml: {fault}"]
    assert findings.clean


@pytest.mark.parametrize(
    "text", ["[display\n", "mass = \n", "a = 1\na = 2\n", b"\xff\xfe", "[display]\nmass = 'g\n"]
)
def test_a_broken_file_is_named_and_the_defaults_stand(check: Check, text: str | bytes) -> None:
    findings = check({"tarebook.toml": text})
    (warning,) = [str(w) for w in findings.warnings]
    assert warning.startswith("tarebook.toml: cannot be read (")
    assert warning.endswith("); the defaults are used")
    assert findings.clean


# --- the thermometer's own files ---------------------------------------------------------------
LOGGER = """\
[logger]
time = "Date/Time"
temperature = "Temp (°C)"
format = "%d.%m.%Y %H:%M:%S"
skip_lines = 2
"""
OWN = "Serial;12345\nBattery;ok\nNo.;Date/Time;Temp (°C);Humidity\n"
ROWS = "1;01.05.2026 21:30:00;5,5;80\n2;02.05.2026 06:00:05;-0,5;81\n"
NAME = "trips/river/temperatures-camp.csv"
READ = [(datetime(2026, 5, 1, 21, 30), 5.5, "camp"), (datetime(2026, 5, 2, 6, 0, 5), -0.5, "camp")]


def test_an_own_file_is_read_unchanged(loaded: Loaded) -> None:
    findings, store = loaded({"tarebook.toml": LOGGER, NAME: OWN + ROWS})
    assert findings.clean
    assert not findings.warnings
    assert store.rows("temperatures", "read_at", "temperature_c", "spot") == READ


@pytest.mark.parametrize("codec", ["utf-16", "cp1252", "utf-8-sig"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_an_own_file_in_any_encoding(read: Read, codec: str, end: str) -> None:
    data = (OWN + ROWS).replace("\n", end).encode(codec)
    findings, kept = read({"tarebook.toml": LOGGER, NAME: data})
    assert findings.clean
    assert kept.rows("temperatures", "read_at", "temperature_c", "spot") == READ


def test_a_plain_file_is_read_beside_an_own_one(loaded: Loaded) -> None:
    plain = "at,temperature_c\n2026-05-01 21:30,5.5\n"
    findings, store = loaded(
        {"tarebook.toml": LOGGER, NAME: OWN + ROWS, "trips/river/temperatures.csv": plain}
    )
    assert findings.clean
    assert len(store.rows("temperatures")) == 3


def test_faults_of_an_own_file_are_told_by_its_own_columns(check: Check) -> None:
    rows = ROWS + "3;2026-05-02 07:00;5;80\n4;02.05.2026 07:00:00;---;80\n5;;5;\n"
    findings = check({"tarebook.toml": LOGGER, NAME: OWN + rows})
    assert [str(p) for p in findings.problems] == [
        f'{NAME}:6: Date/Time: expected a time in the [logger] format "%d.%m.%Y %H:%M:%S", got '
        '"2026-05-02 07:00"',
        f'{NAME}:7: Temp (°C): expected a number, got "---"; leave the cell blank where it is not '
        "known",
        f"{NAME}:8: Date/Time: expected a value, the cell is blank; fill it in or delete the row",
    ]


def test_an_own_file_in_fahrenheit_with_plain_times(read: Read) -> None:
    toml = '[logger]\ntime = "t"\ntemperature = "v"\nunit = "f"\n'
    findings, kept = read({"tarebook.toml": toml, NAME: "t,v\n2026-05-01T21:30+02:00,41\n"})
    assert findings.clean
    assert kept.rows("temperatures", "read_at", "temperature_c") == [
        (datetime(2026, 5, 1, 21, 30), 5.0)
    ]


@pytest.mark.parametrize(
    ("header", "unit"),
    [
        ("Temperature (°F)", "c"),
        ("Temp, °F (LGR S/N: 1234)", "c"),
        ("temp_f", "c"),
        ("Temperature [Fahrenheit]", "c"),
        ("T \u2109", "c"),
        ("degF", "c"),
        ("Temp (°C)", "f"),
        ("Celsius", "f"),
        ("T(C)", "f"),
    ],
)
def test_a_header_of_another_unit_is_a_problem_and_no_temperature(
    check: Check, header: str, unit: str
) -> None:
    toml = f'[logger]\ntime = "when"\ntemperature = "{header}"\nunit = "{unit}"\n'
    findings = check({"tarebook.toml": toml, NAME: f"when;{header}\n2026-05-01T21:30;41\n"})
    other = "f" if unit == "c" else "c"
    assert str(findings.problems[0]) == (
        f"{NAME}:1: {header}: names °{other.upper()}, but [logger] in tarebook.toml says unit = "
        f'"{unit}"; correct the setting to unit = "{other}", or move the file out of the logbook'
    )
    assert findings.file(NAME).set_aside == 1


@pytest.mark.parametrize(
    ("header", "unit"),
    [
        ("Temperature (°F)", "f"),
        ("Temp (°C)", "c"),
        ("T", "c"),
        ("Tank", "f"),
        ("Temp °C/°F", "c"),
        ("Surface", "c"),
    ],
)
def test_a_header_of_the_same_unit_or_none_is_read(read: Read, header: str, unit: str) -> None:
    toml = f'[logger]\ntime = "when"\ntemperature = "{header}"\nunit = "{unit}"\n'
    findings, kept = read({"tarebook.toml": toml, NAME: f"when;{header}\n2026-05-01T21:30;41\n"})
    assert findings.clean
    # 41 °F = (41 - 32) x 5/9 = 5 °C
    assert kept.rows("temperatures", "temperature_c") == [(5.0 if unit == "f" else 41.0,)]


def test_a_column_of_units_is_believed_before_the_setting(check: Check) -> None:
    toml = '[logger]\ntime = "t"\ntemperature = "v"\nunit = "c"\n'
    rows = "t,v,Unit\n2026-05-01T21:30,50,F\n2026-05-01T22:30,41,F\n2026-05-01T23:30,39,\n"
    findings = check({"tarebook.toml": toml, NAME: rows})
    assert str(findings.problems[0]) == (
        f'{NAME}:1: Unit: "F", in 2 rows, names °F, but [logger] in tarebook.toml says unit = "c"; '
        'correct the setting to unit = "f", or move the file out of the logbook'
    )
    assert findings.file(NAME).loaded == 0
    mixed = rows.replace("50,F", "10,C")
    findings = check({"tarebook.toml": toml, NAME: mixed})
    assert str(findings.problems[0]) == (
        f"{NAME}:1: Unit: its rows are in several units: °C in 1 row, °F in 1 row; none of it is "
        "read; put each unit's rows into a file of its own"
    )
    assert findings.file(NAME).loaded == 0


def test_faults_of_settings_are_worded_without_docstrings(tmp_path: Path) -> None:
    (tmp_path / "tarebook.toml").write_text("[display]\nmass = 'kg'\n[logger]\ntime = 0\n")
    asked = (
        "import sys; from pathlib import Path; from tarebook.tripdata.settings import "
        "read_settings; print('\\n'.join(read_settings(Path(sys.argv[1])).faults))"
    )
    done = subprocess.run(
        [sys.executable, "-OO", "-c", asked, tmp_path], capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines()[:2] == [
        '[display] mass: expected "g" or "oz", got "kg"',
        "[logger] time: expected a header in quotation marks or a number from 1 to 500, got 0",
    ]


def test_an_own_file_without_a_format_keeps_to_the_declared_dates(read: Read) -> None:
    toml = '[reading]\ndates = "DD/MM/YYYY"\n[logger]\ntime = "t"\ntemperature = "v"\n'
    findings, kept = read({"tarebook.toml": toml, NAME: "t,v\n01/05/2026 21:30,5\n"})
    assert findings.clean
    assert kept.rows("temperatures", "read_at") == [(datetime(2026, 5, 1, 21, 30),)]


def test_an_offset_in_an_own_format_is_dropped(read: Read) -> None:
    toml = '[logger]\ntime = "t"\ntemperature = "v"\nformat = "%Y%m%d %I:%M %p %z"\n'
    findings, kept = read({"tarebook.toml": toml, NAME: "t,v\n20260501 09:30 pm +0200,5\n"})
    assert findings.clean
    assert kept.rows("temperatures", "read_at") == [(datetime(2026, 5, 1, 21, 30),)]


def test_an_own_file_that_is_not_in_a_trips_folder_is_told_once(check: Check) -> None:
    findings = check({"tarebook.toml": LOGGER, "temperatures-camp.csv": OWN + ROWS})
    where = "temperatures-camp.csv:3: trip: "
    assert [str(p) for p in findings.problems] == [
        f"{where}a thermometer's own file does not say which trip; move it into the trip's folder",
        f"{where}2 records set aside with it, until it is mended",
    ]


def test_readings_far_outside_the_trip_load_with_one_warning(loaded: Loaded) -> None:
    inside = "at,temperature_c\n2026-04-30 00:00,5\n2020-01-01 00:00,5\n"
    edge = "at,temperature_c\n2026-05-05 23:59,5\n"
    out = "at,temperature_c\n2026-04-29 23:59,5\n2026-05-06 00:00,5\n"
    findings, store = loaded(
        {
            "trips/river/temperatures-a.csv": inside,
            "trips/river/temperatures-b.csv": edge,
            "trips/river/temperatures-c.csv": out,
        }
    )
    assert findings.clean
    assert [str(w) for w in findings.warnings] == [
        "trips/river/temperatures-c.csv: at: no reading falls inside its trip; is the "
        "thermometer's date set right? None is used"
    ]
    assert len(store.rows("temperatures")) == 5


@pytest.mark.outside(
    "published",
    "NIST Handbook 44, appendix C",
    "150 lb are 68.0388555 kg, 160 oz 4535.9237 g",
)
@pytest.mark.parametrize(
    ("toml", "key", "value"),
    [
        ("[person]\nbody_lb = 150", "body_kg", 68.0388555),
        ("[person]\nbike_lb = 30", "bike_kg", 13.6077711),
        ("[goals]\nbase_weight_lb = 10", "base_weight_g", 4535.9237),
        ("[goals]\nbase_weight_oz = 160", "base_weight_g", 4535.9237),
    ],
)
def test_bodies_bikes_and_goals_may_be_in_pounds(
    tmp_path: Path, toml: str, key: str, value: float
) -> None:
    (tmp_path / "tarebook.toml").write_text(toml)
    settings = read_settings(tmp_path)
    assert settings.faults == ()
    assert getattr(settings, key) == pytest.approx(value, rel=1e-12)
    assert float(settings.stored()[f"{toml[1:].partition(']')[0]}.{key}"]) == getattr(settings, key)


@pytest.mark.parametrize(
    "toml",
    [
        "[goals]\nbase_weight_lb = 10\nbase_weight_g = 5000",
        "[goals]\nbase_weight_g = 5000\nbase_weight_oz = 20",
    ],
)
def test_of_two_units_the_grams_count_and_the_other_is_named(tmp_path: Path, toml: str) -> None:
    (tmp_path / "tarebook.toml").write_text(toml)
    settings = read_settings(tmp_path)
    assert settings.base_weight_g == 5000
    assert len(settings.faults) == 1
    assert settings.faults[0].endswith(
        "is also given in another unit, and that one counts; keep one"
    )


@pytest.mark.outside(
    "published",
    "NIST Handbook 44, appendix C",
    "400 lb are 181,436.948 g",
)
def test_limits_in_pounds_are_limits(tmp_path: Path) -> None:
    toml = '[limits]\n"Seat pack" = 3000\n[limits_lb]\nboat = 400\n"seat pack" = 5\n'
    (tmp_path / "tarebook.toml").write_text(toml)
    settings = read_settings(tmp_path)
    assert settings.limits == {"Seat pack": 3000, "boat": pytest.approx(181_436.948)}
    assert settings.faults == (
        "[limits_lb] seat pack: is also given in [limits], and that one counts; keep one",
    )
    assert {key for key in settings.stored() if key.startswith("limits")} == {
        "limits.Seat pack",
        "limits.boat",
    }


def test_pounds_have_a_range_of_their_own(tmp_path: Path) -> None:
    (tmp_path / "tarebook.toml").write_text("[person]\nbody_lb = 12\n")
    assert read_settings(tmp_path).faults == (
        "[person] body_lb: expected a number from 45 to 660, got 12",
    )


TOO_DEEP = "cannot be read (brackets or names in it are nested too deeply); the defaults are used"
TOO_LONG = "cannot be read (a number in it has too many digits); the defaults are used"


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("x = " + "[" * 2000 + "]" * 2000, TOO_DEEP),
        ("[display]\nmass = " + "{a = " * 2000 + "1" + "}" * 2000, TOO_DEEP),
        ("a." * 100_000 + "b = 1", TOO_DEEP),
        ("[" + "a." * 100_000 + "b]", TOO_DEEP),
        ("[person]\nbody_kg = " + "9" * 5000, TOO_LONG),
        ("[person]\nbody_kg = " + "9" * 400, TOO_LONG),
        ("[goals]\nbase_weight_g = 0x" + "f" * 5000, TOO_LONG),
        ("[[logger]]\nfiles = [1, {a = 0x" + "f" * 300 + "}]", TOO_LONG),
    ],
    ids=["brackets", "tables", "a name", "a heading", "digits", "a float's", "hex", "within"],
)
def test_what_is_out_of_all_measure_is_one_fault(tmp_path: Path, text: str, fault: str) -> None:
    assert settings_of(tmp_path, text + "\n") == Settings(faults=(fault,))


def test_a_name_out_of_all_measure_is_cut(tmp_path: Path) -> None:
    (fault,) = settings_of(tmp_path, f"[display]\n{'x' * 5000} = 1\n").faults
    assert fault.endswith("…: not a known setting")
    assert len(fault) < 200


CARRIED_IN_A_BAG = "trip,item,bag\nriver,tent,Rucksack\nriver,quilt,Left pannier\n"


@pytest.mark.parametrize(
    ("toml", "told"),
    [
        (
            "[limits]\nrucksak = 9000\n",
            "[limits] rucksak: limits nothing, as no row of carried.csv has it in its column bag; "
            'did you mean "Rucksack"?',
        ),
        (
            "[limits_lb]\nbikes = 40\n",
            "[limits_lb] bikes: limits nothing, as no row of carried.csv has it in its column "
            'bag; did you mean "bike"?',
        ),
        (
            "[limits]\nzzz = 9000\n",
            "[limits] zzz: limits nothing, as no row of carried.csv has it in its column bag",
        ),
        ('[limits]\nRUCKSACK = 9000\n"left pannier" = 900\nbike = 1\nboat = 2\n', None),
    ],
)
def test_a_limit_of_no_bag_is_warned_of(check: Check, toml: str, told: str | None) -> None:
    files = {**kit.GOOD, "carried.csv": CARRIED_IN_A_BAG, "tarebook.toml": toml}
    warned = [w.problem for w in check(files).warnings if w.file == "tarebook.toml"]
    assert warned == ([] if told is None else [told])


def test_nothing_is_said_of_limits_where_lists_cannot_be_read(check: Check) -> None:
    files = {
        **kit.GOOD,
        "carried.csv": b"\xff\xfe\x00\x00",
        "tarebook.toml": "[limits]\nrucksak = 9000\n",
    }
    warned = [w.problem for w in check(files).warnings if w.file == "tarebook.toml"]
    assert warned == []
