"""`tarebook thermometer`: what it prints of a file, and what it puts into a trip."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

TRIP = "trip,start_on,end_on\nridge,2026-05-20,2026-05-22\n"
GEAR = "item,system,weight_g\ntent,shelter,1200\n"
COLD = "No.;Clock;Temp (°F)\n1;20.05.2026 22:00;41\n2;21.05.2026 04:00;23\n3;21.05.2026 23:00;50\n"
LINES = """\
    [[logger]]
    time = "Clock"
    temperature = "Temp (°F)"
    unit = "f"
    format = "%d.%m.%Y %H:%M"
"""


@pytest.fixture
def book(tmp_path: Path) -> Path:
    folder = tmp_path / "book"
    folder.mkdir()
    (folder / "gear.csv").write_text(GEAR, "utf-8")
    (folder / "trip.csv").write_text(TRIP, "utf-8")
    (tmp_path / "porch.csv").write_text(COLD, "utf-8")
    return folder


def run(book: Path, *words: object, status: int = 0) -> tuple[str, str]:
    done = subprocess.run(
        [sys.executable, "-m", "tarebook.notebooks.cli", "thermometer", *map(str, words)],
        cwd=book.parent,
        env=os.environ | {"TAREBOOK_LOGBOOK": str(book), "COLUMNS": "200"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == status, done.stderr
    assert "Traceback" not in done.stderr
    return done.stdout, done.stderr


def test_a_file_is_shown_with_the_lines_to_paste(book: Path) -> None:
    out, _ = run(book, "porch.csv")
    assert out == (
        "porch.csv\n"
        '  Columns: 1 "No.", 2 "Clock" (time), 3 "Temp (°F)" (temperature)\n'
        "  Unit: °F, named in the header of the column\n"
        "  Row 1: 1 | 20.05.2026 22:00 | 41\n"
        "  Row 2: 2 | 21.05.2026 04:00 | 23\n"
        "  Row 3: 3 | 21.05.2026 23:00 | 50\n"
        "  Readings: 3, 2026-05-20 22:00 to 2026-05-21 23:00\n"
        "    2026-05-20 22:00  5.0 °C\n"
        "    2026-05-21 04:00  -5.0 °C\n"
        "    2026-05-21 23:00  10.0 °C\n"
        "  Lows by night, from noon to noon:\n"
        "    2026-05-20    -5.0 °C  2 readings\n"
        "    2026-05-21    10.0 °C  1 reading  no reading between 00:00 and 08:00\n"
        "  Lines for tarebook.toml, to be pasted at its end:\n"
        "\n" + LINES
    )


def test_it_goes_into_the_trip_unchanged_and_is_never_replaced(book: Path) -> None:
    porch = book.parent / "porch.csv"
    _, err = run(book, "porch.csv", "--trip", "ridge", "--keep")
    there = book / "trips" / "ridge" / "temperatures-porch.csv"
    assert there.read_bytes() == porch.read_bytes()
    assert f"put into {there}" in err
    assert "it is read once the lines above are in tarebook.toml" in err
    assert [p.name for p in there.parent.iterdir()] == [there.name]
    _, err = run(book, "porch.csv", "--trip", "ridge", "--keep", status=1)
    assert err.endswith(f"tarebook: {there}: is there already, the same\n")
    porch.write_text(COLD + "4;22.05.2026 03:00;30\n", "utf-8")
    _, err = run(book, "porch.csv", "--trip", "ridge", "--keep", status=1)
    assert err.endswith(f"{there}: is there already and was not replaced; rename the new one\n")
    assert there.read_text("utf-8") == COLD


def test_the_lines_that_were_pasted_read_it(book: Path) -> None:
    (book / "tarebook.toml").write_text(LINES + '[display]\ntemperature = "f"\n', "utf-8")
    out, err = run(book, "porch.csv", "--trip", "ridge", "--keep")
    assert "  The logbook reads it as [[logger]] of tarebook.toml says.\n" in out
    assert "    2026-05-20    23.0 °F  2 readings\n" in out
    assert "[[logger]]\n" not in out
    assert "once the lines" not in err
    checked = subprocess.run(
        [sys.executable, "-m", "tarebook.notebooks.cli", "check", str(book)],
        capture_output=True,
        text=True,
        check=True,
    )
    assert not checked.stderr


def test_nights_that_are_not_of_the_trip_are_marked(book: Path) -> None:
    (book.parent / "porch.csv").write_text(COLD.replace("23:00", "11:00"), "utf-8")
    out, _ = run(book, "porch.csv", "--trip", "Ridge")
    assert "not a night" not in out
    (book.parent / "porch.csv").write_text(COLD.replace(".05.", ".06."), "utf-8")
    out, _ = run(book, "porch.csv", "--trip", "ridge")
    assert "  No reading falls inside ridge, 2026-05-20 to 2026-05-22: is the thermometer's" in out
    assert out.count("not a night of the trip") == 2


def test_a_file_without_a_reading_of_the_trip_is_not_put_in(book: Path) -> None:
    (book.parent / "june.csv").write_text(COLD.replace(".05.", ".06."), "utf-8")
    (book.parent / "open.csv").write_text("t;value temp\n05/06/2025 02:00;41\n", "utf-8")
    rows = "Time A,Time B,Temp 1,Temp 2\n2026-06-21 00:00,2026-06-21 02:00,5,6\n"
    (book.parent / "columns.csv").write_text(rows, "utf-8")
    (book.parent / "utc.csv").write_text("t,celsius\n21.06.2026 00:00Z,5\n", "utf-8")
    for name in ("june.csv", "open.csv", "columns.csv", "utc.csv"):
        run(book, name, "--trip", "ridge")
        _, err = run(book, name, "--trip", "ridge", "--keep", status=1)
        assert err == (
            f"tarebook: {name}: none of its readings is of ridge; it was not put into the trip\n"
        )
    assert not (book / "trips").exists()
    _, err = run(book, "june.csv", "porch.csv", "--trip", "ridge", "--keep", status=1)
    assert [p.name for p in (book / "trips" / "ridge").iterdir()] == ["temperatures-porch.csv"]
    (book / "tarebook.toml").write_text(LINES, "utf-8")
    _, err = run(book, "june.csv", "--trip", "ridge", "--keep", status=1)
    assert "none of its readings is of ridge" in err


def test_what_is_still_to_be_answered_is_said_after_keeping(book: Path) -> None:
    (book.parent / "unit.csv").write_text("t;temp\n2026-05-21 02:00;41\n", "utf-8")
    _, err = run(book, "unit.csv", "--trip", "ridge", "--keep")
    assert err.endswith(
        "tarebook: it is read once the lines above are in tarebook.toml, with your answer in the "
        "place of the question mark\n"
    )
    (book.parent / "utc.csv").write_text("t,celsius\n21.05.2026 00:00Z,5\n", "utf-8")
    _, err = run(book, "utc.csv", "--trip", "ridge", "--keep")
    assert "with your answer in the place of the question mark\n" in err
    rows = "t;u;temp\n2025-05-21 02:00;2026-05-21 04:00;41\n"
    (book.parent / "both.csv").write_text(rows, "utf-8")
    _, err = run(book, "both.csv", "--trip", "ridge", "--keep")
    assert err.endswith("with your answer in the place of the 2 question marks\n")


def test_a_pipe_is_refused(book: Path) -> None:
    os.mkfifo(book.parent / "pipe.csv")
    _, err = run(book, "pipe.csv", status=1)
    assert err == (
        "tarebook: pipe.csv: cannot be opened (a pipe or a device, not a file; save it as a file "
        "first)\n"
    )


def test_another_clock_in_the_header_is_said(book: Path) -> None:
    text = '"When, GMT+00:00",Temp (C)\n2026-05-20 22:00,5\n'
    (book.parent / "gmt.csv").write_text(text, "utf-8")
    assert (
        "  The header says that the times are UTC+00:00; they are read as the camp's clock. If "
        "that stood otherwise, write under [[logger]] how it stood to UTC, such as utc_offset = "
        '"+02:00".\n'
    ) in run(book, "gmt.csv")[0]
    (book / "tarebook.toml").write_text('[reading]\ntimezone = "Europe/Zurich"\n', "utf-8")
    out, _ = run(book, "gmt.csv")
    assert "times are UTC+00:00, but the clock of Europe/Zurich stood at UTC+02:00; they" in out


def test_help_says_how_it_is_typed(book: Path) -> None:
    out, _ = run(book, "--help")
    assert " thermometer [OPTIONS] FILE...\n" in out


def test_what_the_file_leaves_open_is_shown_each_way(book: Path) -> None:
    (book.parent / "open.csv").write_text("t;value temp\n05/06/2026 02:00;41\n", "utf-8")
    out, _ = run(book, "open.csv", "--trip", "ridge")
    assert "Which unit? The file does not name one" in out
    assert 'Is "05/06/2026 02:00" written day, month, year or month, day, year?' in out
    assert "    As %d/%m/%Y %H:%M in °C: 2026-06-05 02:00 to 2026-06-05 02:00, 41.0 °C" in out
    assert "    As %m/%d/%Y %H:%M in °F: 2026-05-06 02:00 to 2026-05-06 02:00, 5.0 °C" in out
    assert "with what is missing in the place of the question marks" in out
    assert "Lows by night" not in out


def test_a_table_with_one_bracket_is_spoken_of(book: Path) -> None:
    (book / "tarebook.toml").write_text('[logger]\ntime = "a"\ntemperature = "b"\n', "utf-8")
    out, _ = run(book, "porch.csv")
    assert "tarebook.toml has one [logger] already: write [[logger]] there first." in out


def test_a_description_of_another_unit_is_named(book: Path) -> None:
    (book / "tarebook.toml").write_text(LINES.replace('"f"', '"c"'), "utf-8")
    out, _ = run(book, "porch.csv")
    assert 'It does not read as [[logger]] of tarebook.toml says: line 1: Temp (°F): names °F, but' in out  # fmt: skip # noqa: E501


@pytest.mark.parametrize(
    ("words", "status", "message"),
    [
        (["porch.csv", "--keep"], 2, "--keep goes with --trip"),
        (["porch.csv", "--trip", "rigde"], 1, 'there is no trip "rigde"; did you mean "ridge"?'),
        (["none.csv"], 1, "none.csv: cannot be opened (No such file or directory)"),
        (["book"], 1, "book: cannot be opened (Is a directory)"),
        ([], 2, "Missing argument"),
    ],
)
def test_what_a_person_gets_wrong_is_one_line(
    book: Path, words: list[str], status: int, message: str
) -> None:
    _, err = run(book, *words, status=status)
    assert message in err


def test_a_file_that_is_none_of_a_thermometer_is_not_kept(book: Path) -> None:
    (book.parent / "letter.txt").write_text("Dear \x1b[31m friend\n", "utf-8")
    out, err = run(book, "porch.csv", "letter.txt", "--trip", "ridge", "--keep", status=1)
    assert "tarebook: letter.txt: it cannot be read; it was not put into the trip\n" in err
    assert "letter.txt\n  It cannot be read: no row has a time" in out
    assert "\x1b" not in out
    assert [p.name for p in (book / "trips" / "ridge").iterdir()] == ["temperatures-porch.csv"]


@pytest.mark.parametrize(
    ("name", "there"),
    [
        ("Temperatures-Porch 2.txt", "temperatures-Porch-2.csv"),
        ("../x/..csv", "temperatures-thermometer.csv"),
        ("temperatures.csv", "temperatures-thermometer.csv"),
        ("été; rm.csv", "temperatures-été-rm.csv"),
        ("a" * 300, f"temperatures-{'a' * 80}.csv"),
    ],
)
def test_names_in_a_trip(name: str, there: str) -> None:
    from tarebook.tripdata.discover import table_of
    from tarebook.tripdata.thermometers.keeping import name_in_trip

    assert name_in_trip(Path(name)) == there
    assert table_of(Path(there).stem) == "temperatures"
