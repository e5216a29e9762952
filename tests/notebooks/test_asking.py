"""Options of `report` and `table`: declared once, in help and completion where they apply."""

import os
import re
import subprocess
import sys
from inspect import signature
from typing import Any

import pytest
from tarebook.analysis.catalogue.options import OPTIONS, by_flag
from tarebook.analysis.tables import TABLES
from tarebook.notebooks import cli, runner
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


@pytest.mark.parametrize("name", REPORTS)
def test_help_on_a_report_has_its_options_alone(name: str) -> None:
    expected = {OPTIONS[option].flag for option in REPORTS[name]} - {""}
    assert flags(printed("report", name, "--help")) == expected | {"--help"}


@pytest.mark.parametrize("name", TABLES)
def test_help_on_a_table_has_its_options_and_columns_alone(name: str) -> None:
    table = TABLES[name]
    text = printed("table", name, "--help")
    assert flags(text) == {OPTIONS[option].flag for option in table.options} - {""} | OWN
    columns = text.partition("\nColumns, one row per ")[2]
    assert re.findall(r"^  ([a-z]\w+)(?:$| {2,})", columns, re.MULTILINE) == [
        term.name for term in table.columns
    ]


@pytest.mark.parametrize(
    ("command", "takes"),
    [("report", REPORTS), ("table", {name: table.options for name, table in TABLES.items()})],
)
def test_help_on_all_names_what_takes_each_option(command: str, takes: Any) -> None:
    text = " ".join(printed(command, "--help").split())
    for name in takes:
        assert re.search(rf"\b{name}\b", text.partition("[LOGBOOK] <dir>")[0])
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
