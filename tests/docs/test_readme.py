"""The documentation says what is true: sessions as printed, commands, columns, parameters."""

import re
import subprocess
import sys
from pathlib import Path

import pytest
import sessions
from PIL import Image
from tarebook.analysis.catalogue.options import by_flag
from tarebook.notebooks import runner, storing
from tarebook.notebooks.cli import app
from tarebook.notebooks.parameters import declared
from tarebook.notebooks.storing import REFERENCES, pictured, referenced

ROOT = Path(__file__).parents[2]
BENCHMARKS = ROOT / "tests" / "benchmarks"
PAGES = {
    str(page.parent.relative_to(ROOT)): page.read_text(encoding="utf-8")
    for page in (
        ROOT / "README.md",
        *(ROOT / room / "README.md" for room in ("tripdata", "analysis", "notebooks")),
        BENCHMARKS / "README.md",
    )
}
README = PAGES["."]
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
COMMANDS = [c.name or c.callback.__name__ for c in app.registered_commands if c.callback]
DRAWN = {
    "columns": "tripdata",
    "settings": "tripdata",
    "tables": "analysis",
    "options": "notebooks",
}
"""The page on which each reference stands."""


def test_the_sessions_print_what_the_pages_say(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("TAREBOOK_LOGBOOK", raising=False)
    home, folder = tmp_path / "home", tmp_path / "folder"
    home.mkdir()
    folder.mkdir()
    environment = sessions.surroundings(home)
    # Those of the other pages go on with the logbook of the front page, which comes first.
    for page in PAGES.values():
        for step in (step for steps in sessions.sessions(page) for step in steps):
            assert sessions.run(step, folder, environment) == step.prints.rstrip(), step.command


def test_the_front_page_shows_both_evenings() -> None:
    assert len(sessions.sessions(README)) >= 3


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_stands_in_its_page(command: str) -> None:
    assert f"| `tarebook {command}" in PAGES["notebooks"]


@pytest.mark.parametrize("name", runner.available())
def test_every_report_stands_in_its_pages_with_its_options(name: str) -> None:
    assert f"| `{name}` |" in README
    _, heading, rest = PAGES["notebooks"].partition(f"\n### `{name}`\n")
    assert heading
    about = rest.split("\n#")[0]
    for parameter in declared(runner.load(name)):
        assert parameter == "today" or f"`{by_flag(parameter)}" in about


@pytest.mark.parametrize("name", PAGES)
def test_the_references_are_drawn_from_the_code(name: str) -> None:
    assert referenced(PAGES[name]) == PAGES[name]


def test_every_reference_stands_on_one_page() -> None:
    marks = [
        (mark, name)
        for name, page in PAGES.items()
        for mark in re.findall(r"<!-- (\w+): begin -->", page)
    ]
    assert sorted(marks) == sorted(DRAWN.items())
    assert DRAWN.keys() == REFERENCES.keys()


def test_a_stale_reference_is_drawn_anew_and_the_rest_left_as_it_is(tmp_path: Path) -> None:
    page = tmp_path / "README.md"
    page.write_text("before\n<!-- columns: begin -->\nstale\n<!-- columns: end -->\nafter\n")
    assert storing.main(["reference", str(page)]) == 0
    drawn = page.read_text("utf-8")
    assert drawn.startswith("before\n<!-- columns: begin -->\n### gear\n")
    assert drawn.endswith("|\n<!-- columns: end -->\nafter\n")
    assert "stale" not in drawn
    assert referenced("no reference\n") == "no reference\n"
    assert storing.main(["reference"]) == 2


def test_the_picture_is_drawn_from_the_stored_report() -> None:
    stored = ROOT / "tests" / "notebooks" / "stored" / "season_cull.ipynb"
    picture = (ROOT / "notebooks" / "pictures" / "season_cull.svg").read_text("utf-8")
    assert "Leave at home" in picture
    assert picture == pictured(stored.read_text("utf-8")), "run `.ci/notebooks store`"


def test_the_first_paragraph_states_the_job() -> None:
    first = README.split("\n\n")[1]
    for word in ("trip", "gear", "leave at home", "base weight", "comfort", "buying"):
        assert word in first


def test_pages_name_no_outside_address_but_the_data_they_are_about() -> None:
    for page in (*PAGES.values(), DEVELOPERS):
        outside = [each for each in re.findall(r"\]\(([^)]+)\)", page) if "://" in each]
        assert all(each.startswith("https://www.ncei.noaa.gov/") for each in outside)


@pytest.mark.parametrize("path", sorted(BENCHMARKS.glob("bench_*.py")), ids=lambda path: path.stem)
def test_every_benchmark_has_its_figures(path: Path) -> None:
    assert f"`{path.name}" in PAGES["tests/benchmarks"]


def test_every_benchmark_that_is_named_is_there() -> None:
    named = set(re.findall(r"`(\w+\.py)", PAGES["tests/benchmarks"]))
    assert named - {path.name for path in BENCHMARKS.glob("*.py")} == set()


MEASURED = re.compile(r"± |\bheld\b|\bin 100\b|\bran short\b|\bmeasured at\b|within a third")
COMMAND = re.compile(r"`(?:tests/\w+/)?((?:bench|hard|test)_\w+\.py)")


def paragraphs(page: str) -> list[str]:
    """Prose and tables of a page, without what is drawn from the code and what a terminal shows."""
    page = re.sub(r"(?s)<!-- (\w+): begin -->.*?<!-- \1: end -->", "", page)
    return re.split(r"\n\s*\n", re.sub(r"(?s)```.*?```", "", page))


def without_command(page: str) -> list[str]:
    """Paragraphs with measured figures that name no script of the tests that prints them."""
    scripts = {path.name for path in (ROOT / "tests").rglob("*.py")}
    return [
        paragraph
        for paragraph in paragraphs(page)
        if MEASURED.search(paragraph) and re.search(r"\d", paragraph)
        if not (named := set(COMMAND.findall(paragraph))) or named - scripts
    ]


def tables_without_command(page: str) -> list[str]:
    """Tables that neither name a script nor stand under a paragraph that does."""
    told, found = "", []
    for paragraph in paragraphs(page):
        if not paragraph.lstrip().startswith("|"):
            told = paragraph
        elif not COMMAND.search(told + paragraph):
            found.append(paragraph)
    return found


def test_measured_figures_name_the_command_that_prints_them() -> None:
    for name, page in PAGES.items():
        if name != "tests/benchmarks":
            assert without_command(page) == [], name
    assert tables_without_command(PAGES["tests/benchmarks"]) == []


def test_a_measured_figure_without_its_command_is_named() -> None:
    bare, gone = "It held 90 in 100.", "It held 90 in 100 (`bench_gone.py`)."
    page = f"{bare}\n\n{gone}\n\nIt held 9 in 10 (`bench_failures.py`).\n\nIt held water."
    assert without_command(page) == [bare, gone]
    table = "| what | held |\n|---|---|\n| all | 90 % |"
    assert tables_without_command(f"`bench_failures.py`:\n\n{table}\n\nNext:\n\n{table}") == [table]


def test_the_house_is_described_with_every_room() -> None:
    rooms = {path.parent.name for path in (ROOT / "analysis").glob("*/__init__.py")}
    assert {room for room in rooms if f"`{room}" not in DEVELOPERS} == set()


def test_files_and_modules_that_are_named_for_contributors_are_there() -> None:
    # ROOM and REPORT stand for any; `usage/leaving` for the module of that room.
    named = re.findall(r"`((?:[a-z_.]+/)+[\w./-]*)`", re.sub("ROOM|REPORT", "*", DEVELOPERS))
    named += re.findall(r"`([\w./-]+/\*[\w./*-]*)`", re.sub("ROOM|REPORT", "*", DEVELOPERS))
    assert len(named) > 30
    places = ("{}", "analysis/{}", "analysis/{}.py", "analysis/*/{}")
    missing = {
        name
        for name in named
        if not any(list(ROOT.glob(place.format(name.rstrip("/")))) for place in places)
    }
    assert missing == {".tarebook/load.lock"}


def test_the_printed_tests_are_of_this_checkout() -> None:
    _, _, rest = README.partition("<!-- command: tests -->\n```sh\n")
    assert "install --quiet -e '.[tests]'" in rest.split("```")[0]


def test_the_header_says_which_copy_is_tested() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-n", "0", "--collect-only", str(Path(__file__).parent)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert re.search(r"^tarebook \d+\.\d+\.\d+ from .*checkout", done.stdout, re.MULTILINE)


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


@pytest.mark.parametrize("name", ["index", "debrief"])
def test_the_front_page_shows_two_pages_in_small_pictures(name: str) -> None:
    shown = re.search(rf'<img src="(notebooks/pictures/{name}\.webp)" [^>]*alt="([^"]+)"', README)
    assert shown is not None
    assert len(shown[2]) > 60
    path = ROOT / shown[1]
    assert path.stat().st_size < 150_000, "run `.ci/notebooks pictures`"
    with Image.open(path) as picture:
        assert picture.format == "WEBP"
        assert 900 < picture.width < 1200
        assert 1000 < picture.height < 2700
        assert len(picture.convert("L").getcolors(256) or ()) > 100, "it shows something"
        assert not picture.getexif()
