"""What `tarebook new` asks and takes: units and dates."""

import json
import sys
from pathlib import Path

import pytest
from tarebook.notebooks import starting
from tarebook.notebooks.cli import app
from typer.testing import CliRunner


@pytest.mark.parametrize(
    ("options", "mass", "dates"),
    [
        ([], "", ""),
        (["--units", "us"], "oz", ""),
        (["--units", "METRIC", "--dates", "dd.mm.yyyy"], "", "DD.MM.YYYY"),
        (["--units", "us", "--dates", "MM/DD/YYYY"], "oz", "MM/DD/YYYY"),
        (["--dates", "YYYY-MM-DD"], "", ""),
    ],
)
def test_units_and_dates_are_taken(
    tmp_path: Path, options: list[str], mass: str, dates: str
) -> None:
    done = CliRunner().invoke(app, ["new", str(tmp_path / "mine"), *options])
    assert done.exit_code == 0, done.output
    toml = (tmp_path / "mine/tarebook.toml").read_text()
    assert ('\nmass = "oz"' in toml) is (mass == "oz")
    assert (f'\ndates = "{dates}"' in toml) is bool(dates)
    assert ("weight_oz" in (tmp_path / "mine/gear.csv").read_text()) is (mass == "oz")


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--units", "imperial"], 'expected one of metric, us, got "imperial"'),
        (["--dates", "MM/DD/YY"], 'got "MM/DD/YY"; did you mean "MM/DD/YYYY"?'),
        (["--trip", "x", "--units", "us"], "a trip takes the units and dates of its logbook"),
    ],
)
def test_others_are_a_wrong_command_line(tmp_path: Path, options: list[str], words: str) -> None:
    done = CliRunner().invoke(app, ["new", str(tmp_path / "mine"), *options])
    assert done.exit_code == 2
    assert words in " ".join(done.output.replace("│", " ").split())
    assert not (tmp_path / "mine").exists()


def test_what_is_not_said_is_asked_of_a_person_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = []

    def answer(question: str, default: str, value_proc: object) -> str:
        asked.append(question)
        return "us" if "units" in question else "MM/DD/YYYY"

    monkeypatch.setattr(starting.typer, "prompt", answer)
    assert starting.asked(tmp_path, None, None) == (False, "")
    assert asked == []
    monkeypatch.setattr(sys.stdin, "isatty", lambda: True, raising=False)
    assert starting.asked(tmp_path, None, None) == (True, "MM/DD/YYYY")
    assert len(asked) == 2
    assert starting.asked(tmp_path, "metric", "YYYY-MM-DD") == (False, "")
    (tmp_path / "tarebook.toml").write_text("")
    assert starting.asked(tmp_path, None, None) == (False, "")
    assert len(asked) == 2


def test_a_check_after_a_new_trip_counts_what_is_not_filled_in_yet(tmp_path: Path) -> None:
    (tmp_path / "gear.csv").write_text("item,system,weight_g\ntarp,shelter,400\n")
    (tmp_path / "trip.csv").write_text("trip,start_on,end_on\nfell,2026-05-01,2026-05-03\n")
    assert CliRunner().invoke(app, ["new", str(tmp_path), "--trip", "fell"]).exit_code == 0
    done = CliRunner().invoke(app, ["check", str(tmp_path)])
    assert done.exit_code == 0
    assert done.output.splitlines()[-1] == (
        "not filled in yet: 3 of distances, 3 of weather and 2 of comfort (rows with a day and "
        "nothing else)"
    )
    assert "warning" not in done.output
    found = json.loads(CliRunner().invoke(app, ["check", str(tmp_path), "--json"]).output)
    laid_out = {Path(each["file"]).stem: each["laid_out"] for each in found["files"]}
    assert {name: count for name, count in laid_out.items() if count} == {
        "distances": 3,
        "weather": 3,
        "comfort": 2,
    }
