"""Options of `report` and `table`: declared once, in help and completion where they apply."""

import os
import re
import subprocess
import sys
from collections.abc import Callable
from inspect import signature
from pathlib import Path
from typing import Any

import pytest
from tarebook.analysis.catalogue.options import OPTIONS, by_flag
from tarebook.analysis.tables import TABLES
from tarebook.notebooks import asking, cli, runner
from tarebook.notebooks.parameters import declared
from tarebook.notebooks.reports import REPORTS
from typer.testing import CliRunner

KINDS = {"text": "str", "day": "str", "number": "float", "flag": "bool"}
OWN = {"--as", "--out", "--help"}


def printed(*words: str) -> str:
    done = CliRunner().invoke(cli.app, words, env={"COLUMNS": "100"})
    assert done.exit_code == 0, done.output
    return done.output


def flags(text: str) -> set[str]:
    return set(re.findall(r"^  (?:-h, )?(--[a-z-]+)", text, re.MULTILINE))


def test_every_notebook_is_a_report_that_is_declared() -> None:
    assert tuple(REPORTS) == runner.available()


@pytest.mark.parametrize("name", REPORTS)
def test_a_notebook_has_the_parameters_of_its_report(name: str) -> None:
    parameters = declared(runner.load(name))
    assert tuple(parameters) == REPORTS[name]
    for parameter in parameters.values():
        assert parameter.kind == KINDS[OPTIONS[parameter.name].kind], parameter


def test_what_each_command_does_is_said_whole() -> None:
    told = CliRunner().invoke(cli.app, ["--help"], env={"COLUMNS": "80"}).output
    commands = told.partition("\nCommands:\n")[2].splitlines()
    assert len(commands) == len(cli.app.registered_commands)
    assert not [line for line in commands if line.endswith("...")]


@pytest.mark.parametrize("name", REPORTS)
def test_help_on_a_report_has_its_options_alone(name: str) -> None:
    expected = {OPTIONS[option].flag for option in REPORTS[name]} - {""}
    assert flags(printed("report", name, "--help")) == expected | {"--help"}


@pytest.mark.parametrize("name", TABLES)
def test_help_on_a_table_has_its_options_and_columns_alone(name: str) -> None:
    table = TABLES[name]
    text = printed("table", name, "--help")
    assert flags(text) == {OPTIONS[option].flag for option in table.options} - {""} | OWN
    columns = text.partition("\nColumns:\n")[2]
    assert re.findall(r"^  ([a-z]\w+)(?:$| {2,})", columns, re.MULTILINE) == [
        term.name for term in table.columns
    ]


def test_help_says_what_the_one_thing_is_and_shows_an_example_of_it() -> None:
    cull = " ".join(printed("table", "cull", "--help").split())
    assert (
        "Usage: tarebook table [OPTIONS] NAME [LOGBOOK] Print the table cull: one row per" in cull
    )
    assert cull.endswith("Example: tarebook table cull my-logbook")
    outlook = printed("table", "outlook", "--help").rstrip()
    assert outlook.endswith("Example: tarebook table outlook my-logbook --trip TRIP")
    debrief = " ".join(printed("report", "debrief", "--help").split())
    made = "Make the report debrief: a page (.html) and a notebook (.ipynb). After a trip: "
    assert made in debrief
    assert debrief.endswith("Example: tarebook report debrief my-logbook")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("table", "outlook", "--below-c", "abc"), 'expected a number, got "abc"'),
        (("table", "outlook", "--below-c", "nan"), "expected a number, got nan"),
        (
            ("table", "trips", "--as", "xlsx"),
            'expected one of text, csv, json, parquet, got "xlsx"',
        ),
        (("table", "nigths"), 'got "nigths"; did you mean "nights"?'),
        (("report", "debrif"), 'got "debrif"; did you mean "debrief"?'),
        (
            ("report", "debrief", "--save-g", "5"),
            "--save-g goes with the report season_cull, not debrief",
        ),
        (
            ("report", "debrief", "--mode", "foot"),
            "--mode goes with the reports base_weight_trend, season_cull, not debrief",
        ),
        (
            ("table", "nights", "--save-g", "5"),
            "--save-g goes with the tables cull, cull_frontier,",
        ),
    ],
)
def test_a_wrong_command_line_ends_with_2_and_says_why(words: tuple[str, ...], told: str) -> None:
    done = CliRunner().invoke(cli.app, words, env={"COLUMNS": "100"})
    assert done.exit_code == 2
    last = done.output.splitlines()[-1]
    assert last.startswith("Error: ")
    assert told in last


def test_complaints_name_options_as_they_are_typed() -> None:
    assert asking.spelled("save_g: expected less") == "--save-g: expected less"
    assert asking.spelled("from_season: expected it") == "--from: expected it"
    assert asking.spelled("outlook: no trip: none") == "outlook: no trip: none"
    assert asking.spelled("gear.csv:2: item: expected one") == "gear.csv:2: item: expected one"


@pytest.mark.parametrize(
    ("command", "takes"),
    [("report", REPORTS), ("table", {name: table.options for name, table in TABLES.items()})],
)
def test_help_on_all_names_what_takes_each_option(command: str, takes: Any) -> None:
    text = " ".join(printed(command, "--help").split())
    for name in takes:
        assert re.search(rf"\b{name}\b", text.partition("  LOGBOOK <dir>")[0])
    for option in OPTIONS.values():
        takers = [name for name, options in takes.items() if option.name in options]
        shown = f"{option.help} [{', '.join(takers)}]"
        assert (shown in text) == bool(takers and option.flag), option.name


@pytest.mark.parametrize(
    ("words", "offered"),
    [
        (("table", "cull"), ["cull", "cull_frontier"]),
        (("report", "a"), ["all"]),
        (("report", "de"), ["debrief"]),
        (("table", "usage", ".", "--mode", ""), ["foot", "bike", "ebike", "paddle", "mixed"]),
        (("table", "usage", ".", "--s"), ["--since", "--season"]),
        (("report", "season_cull", ".", "--t"), ["--target-g"]),
    ],
)
def test_completion_offers_names_options_and_choices(
    words: tuple[str, ...], offered: list[str]
) -> None:
    asked = {
        "_TAREBOOK_COMPLETE": "complete_bash",
        "COMP_WORDS": " ".join(("tarebook", *words)),
        "COMP_CWORD": str(len(words)),
    }
    code = "import sys; sys.argv = ['tarebook']; from tarebook.notebooks import cli; cli.main()"
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=False,
        env=os.environ | {"PYTHONSAFEPATH": "1"} | asked,
    )
    assert done.stdout.split() == offered


def test_a_command_is_read_without_what_checks_each_of_its_options(
    logbook: Callable[[str], Path],
) -> None:
    code = (
        f"import sys; sys.argv = ['tarebook', 'table', 'trips', {str(logbook('lakes'))!r}]\n"
        "from tarebook.notebooks import cli\n"
        "try: cli.main()\n"
        "except SystemExit as stop: print('status:', stop.code)\n"
        "print('heavy:', sorted({'pydantic', 'pandas', 'numpy'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-2:] == ["status: 0", "heavy: []"]


def test_what_is_no_plain_text_or_folder_is_refused_as_before(
    run: Callable[..., tuple[int, str, str]], tmp_path: Path
) -> None:
    (tmp_path / "file").write_text("")
    for place, told in (("none", "does not exist"), ("file", "is a file")):
        status, out, err = run("table", "trips", tmp_path / place)
        assert (status, out) == (2, "")
        assert f"'{tmp_path / place}' {told}" in err
    assert "Missing argument 'NAME'" in run("table")[2]


@pytest.mark.parametrize("words", [["table", "cull", "--help"], ["report", "debrief", "--help"]])
def test_help_on_one_starts_without_the_heavy_packages(words: list[str]) -> None:
    code = (
        f"import sys; sys.argv = ['tarebook', *{words}]\n"
        "from tarebook.notebooks import cli\n"
        "try: cli.main()\n"
        "except SystemExit: pass\n"
        "heavy = {'pandas', 'altair', 'duckdb', 'papermill', 'numpy', 'pyarrow', 'rich'}\n"
        "print('heavy:', sorted(heavy & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        env=os.environ | {"PYTHONSAFEPATH": "1"},
    )
    assert done.stdout.splitlines()[-1] == "heavy: []"


def test_a_command_takes_what_is_declared_and_nothing_beside_it() -> None:
    by_tables = {option for table in TABLES.values() for option in table.options}
    by_reports = {option for options in REPORTS.values() for option in options}
    for command, taken in ((cli._table, by_tables), (cli._report, by_reports)):
        own = {"name", "logbook", "as_", "out"}
        drawn = signature(command).parameters.keys() - own
        assert drawn == {option for option in taken if OPTIONS[option].flag}


def test_zero_is_a_value_like_any_other() -> None:
    done = CliRunner().invoke(cli.app, ["table", "nights", "--below-c", "0"])
    assert done.exit_code == 2
    assert f"{by_flag('below_c')} goes with the table outlook, not nights" in done.output
