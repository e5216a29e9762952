"""The documentation says what is true: sessions as printed, commands, columns, parameters."""

import re
import subprocess
from pathlib import Path

import pytest
import sessions
from tarebook.notebooks import runner
from tarebook.notebooks.asking import flag
from tarebook.notebooks.cli import app
from tarebook.notebooks.storing import referenced

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
COMMANDS = [c.name or c.callback.__name__ for c in app.registered_commands if c.callback]


def test_the_sessions_print_what_the_readme_says(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("TAREBOOK_LOGBOOK", raising=False)
    home = tmp_path / "home"
    home.mkdir()
    environment = sessions.surroundings(home)
    found = sessions.sessions(README)
    assert len(found) >= 3
    for steps in found:
        for step in steps:
            assert sessions.run(step, tmp_path, environment) == step.prints.rstrip(), step.command


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_stands_in_the_readme(command: str) -> None:
    assert f"`tarebook {command}" in README


def test_every_report_stands_in_the_readme() -> None:
    for name in runner.available():
        assert f"`{name}`" in README
        for parameter in runner.parameters_of(name):
            assert parameter == "today" or f"`{flag(parameter)}" in README


def test_the_references_are_drawn_from_the_code() -> None:
    assert referenced(README) == README


def test_the_first_paragraph_states_the_job() -> None:
    first = README.split("\n\n")[1]
    for word in ("trip", "gear", "leave at home", "base weight", "comfort", "buying"):
        assert word in first


def test_links_and_pictures_point_at_files_that_exist() -> None:
    for page in (README, DEVELOPERS):
        for target in re.findall(r"\]\(([^)#]+)\)", page):
            assert "://" not in target or target.startswith("https://www.ncei.noaa.gov/")
            if "://" not in target:
                assert (ROOT / target).exists(), target


def test_top_level_holds_nothing_else() -> None:
    allowed = {
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "notebooks",
        "tripdata",
        "analysis",
        "tests",
    }
    listed = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False
    ).stdout.split("\n")
    top = {line.split("/")[0] for line in listed if line}
    assert {name for name in top if not name.startswith(".")} <= allowed
