"""The notebook on base weight as a report, and its tables from the command line."""

import ast
import csv
import io
import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import nbformat
import pytest
from tarebook.notebooks import runner, today
from tarebook.notebooks.parameters import declared
from tarebook.tripdata.errors import QuestionError

NOTEBOOK = Path(today.__file__).with_name("base_weight_trend.ipynb")
LOGBOOKS = Path(__file__).parents[1] / "logbooks"
NOON_1_JUNE_2026 = "1780315200"  # POSIX time of 2026-06-01T12:00:00Z
SQL = {"select", "from", "where", "join", "group", "order"}
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture(scope="module")
def made(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, runner.Report]:
    """The report of the demo (twice), of two far seasons, of a small book and of one to be told."""
    out = tmp_path_factory.mktemp("reports")
    small = tmp_path_factory.mktemp("books") / "spreadsheets"
    shutil.copytree(LOGBOOKS / "spreadsheets", small)
    from tarebook.tripdata.store import load_logbook

    load_logbook(small)
    far = {"from_season": "2023", "to_season": "2026", "mode": "foot"}
    wanted: dict[str, tuple[Path, dict[str, Any]]] = {
        "demo": (demo_folder, {}),
        "again": (demo_folder, {}),
        "far": (demo_folder, far),
        "small": (small, {}),
    }
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SOURCE_DATE_EPOCH", NOON_1_JUNE_2026)
        return {
            key: runner.run(["base_weight_trend"], asked, out / key, logbook=book)[0]
            for key, (book, asked) in wanted.items()
        }


def code_cells() -> list[Any]:
    notebook = nbformat.read(NOTEBOOK, as_version=4)
    return [cell for cell in notebook.cells if cell.cell_type == "code"]


def test_a_cell_holds_one_call_and_nothing_is_worked_out() -> None:
    parameters, first, *rest = code_cells()
    assert parameters.metadata.tags == ["parameters"]
    for cell in (parameters, first, *rest):
        for node in ast.walk(ast.parse(cell.source)):
            assert not isinstance(
                node,
                (
                    ast.FunctionDef,
                    ast.ClassDef,
                    ast.Lambda,
                    ast.BinOp,
                    ast.AugAssign,
                    ast.For,
                    ast.While,
                    ast.comprehension,
                ),
            ), cell.source
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                assert not SQL & set(node.value.lower().split()), cell.source
    for cell in rest:
        (line,) = ast.parse(cell.source).body
        assert isinstance(line, ast.Expr)
        assert isinstance(line.value, ast.Call)
        assert not line.value.args


def test_every_part_of_the_page_is_shown_once() -> None:
    from tarebook.analysis.base_weight.page.page import TrendPage

    parts = {each for each in vars(TrendPage) if not each.startswith("_")}
    parts -= {"trends", "change", "goal_g", "display"}
    shown = [cell.source for cell in code_cells()[2:]]
    assert sorted(shown) == sorted(f"page.{part}()" for part in parts)
    assert shown[0] == "page.opening()"


def test_made_twice_it_is_the_same_to_the_byte(made: dict[str, runner.Report]) -> None:
    assert made["demo"].html.read_bytes() == made["again"].html.read_bytes()
    assert made["demo"].notebook.read_bytes() == made["again"].notebook.read_bytes()
    assert {key: report.remarks for key, report in made.items()} == dict.fromkeys(made, ())


def test_its_first_finding_is_the_answer(made: dict[str, runner.Report]) -> None:
    assert made["demo"].findings[0].about == "Really lighter?"
    assert "at equal cold" in made["demo"].findings[0].answer


@pytest.mark.parametrize("width", [1280, 390, 320])
@pytest.mark.parametrize("scripting", [True, False])
@pytest.mark.parametrize("name", ["demo", "far", "small"])
def test_the_page_stands_alone_at_every_width(
    made: dict[str, runner.Report], look: Any, name: str, width: int, scripting: bool
) -> None:
    seen = look(made[name].html, width, scripting)
    assert seen.fetched == []
    assert seen.complaints == []
    assert seen.page.evaluate("document.documentElement.scrollWidth") <= width
    for drawing in seen.page.locator(".plot svg").all():
        if drawing.is_visible():
            box = drawing.bounding_box()
            assert box["x"] >= 0
            assert box["x"] + box["width"] <= width


# Every visible text of a picture: its box in px of the screen, what it says, how large it is drawn.
TEXTS = """figure => [...figure.querySelectorAll('.plot.narrow svg text')]
  .filter(text => text.textContent.trim() && getComputedStyle(text).stroke === 'none')
  .map(text => {
    const box = text.getBoundingClientRect(), svg = text.ownerSVGElement.getBoundingClientRect();
    const scale = text.getScreenCTM().a;
    return {said: text.textContent, left: box.left - svg.left, right: svg.right - box.right,
            top: box.top, bottom: box.bottom, x: box.left, end: box.right,
            size: parseFloat(getComputedStyle(text).fontSize) * scale};
  })"""


@pytest.mark.parametrize("scripting", [True, False])
@pytest.mark.parametrize("name", ["demo", "far"])
def test_the_waterfall_is_legible_at_phone_width(
    made: dict[str, runner.Report], look: Any, name: str, scripting: bool
) -> None:
    seen = look(made[name].html, 390, scripting)
    for picture in ("where-it-went", "change-by-system"):
        figure = seen.page.locator(f"figure[data-figure={picture}]")
        texts = figure.evaluate(TEXTS)
        assert len(texts) > 8
        for text in texts:
            assert text["size"] >= 11, text
            assert text["left"] >= -1, text
            assert text["right"] >= -1, text
            assert "…" not in text["said"], text
        for i, one in enumerate(texts):
            for other in texts[i + 1 :]:
                apart = (
                    one["end"] <= other["x"] + 1
                    or other["end"] <= one["x"] + 1
                    or one["bottom"] <= other["top"] + 3
                    or other["bottom"] <= one["top"] + 3
                )
                assert apart, (one["said"], other["said"])


def test_tables_from_the_command_line(run: Run, demo_folder: Path, tmp_path: Path) -> None:
    status, out, err = run("table", "base_weight", demo_folder, "--as", "csv", "--mode", "paddle")
    assert (status, err) == (0, "")
    rows = list(csv.DictReader(io.StringIO(out)))
    assert list(rows[0]) == [
        "trip",
        "start_on",
        "season",
        "mode",
        "base_g",
        "cold_c",
        "cold_source",
        "like_for_like_g",
        "left_out",
    ]
    assert {row["mode"] for row in rows} == {"paddle"}
    assert [row["like_for_like_g"] for row in rows] == [""] * len(rows)

    status, out, _ = run(
        "table", "base_weight_trend", demo_folder, "--as", "json", "--system", "sleep"
    )
    told = json.loads(out)
    assert [row["method"] for row in told] == ["like_for_like", "seasonal_kendall", "theil_sen"]
    assert {row["scope"] for row in told} == {"system:sleep"}
    assert list(told[0]) == [
        "scope",
        "method",
        "headline",
        "reason",
        "slope_g_per_year",
        "low",
        "high",
        "p_value",
        "step_on",
        "step_g",
        "step_low",
        "step_high",
        "kit_change_g",
        "kit_change_low",
        "kit_change_high",
        "trips",
    ]

    file = tmp_path / "change.parquet"
    asked = ("--from", "2024", "--to", "2026 summer", "--since", "2024-01-01")
    status, _, _ = run(
        "table", "base-weight-change", demo_folder, *asked, "--as", "parquet", "--out", file
    )
    assert status == 0
    import pandas as pd

    change = pd.read_parquet(file)
    assert list(change.columns) == [
        "from_season",
        "to_season",
        "item",
        "system",
        "cause",
        "delta_g",
    ]
    assert set(change["from_season"]) == {"2024"}
    assert set(change["to_season"]) == {"2026 summer"}


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("items", "--mode", "foot"), "--mode goes with the tables usage, cull, "),
        (("base_weight", "--from", "2024"), "--from goes with the table base_weight_change, not "),
        (("base_weight", "--since", "1.5.2024"), 'expected a day as YYYY-MM-DD, got "1.5.2024"'),
        (("base_weight", "--until", "2024-02-30"), 'got "2024-02-30"; there is no such day'),
        (
            ("base_weight", "--since", "2025-01-01", "--until", "2024-01-01"),
            "--until: expected a day from 2025-01-01 on, got 2024-01-01; swap the two",
        ),
        (("base_weight", "--mode", "horse"), "expected one of foot, bike, ebike, paddle, mixed, "),
    ],
)
def test_a_wrong_option_is_a_wrong_command_line(
    run: Run, demo_folder: Path, words: tuple[str, ...], says: str
) -> None:
    name, *options = words
    status, out, err = run("table", name, demo_folder, *options)
    assert (status, out) == (2, "")
    assert says in " ".join(err.split()).replace("│ ", "")


def test_a_season_without_trips_is_one_line(run: Run, demo_folder: Path) -> None:
    status, out, err = run("table", "base_weight_change", demo_folder, "--from", "summer 1999")
    assert (status, out) == (1, "")
    assert err.startswith("tarebook: --from: expected a season or year with trips that count")
    assert err.count("\n") == 1


def test_a_report_refuses_what_it_cannot_read(demo_folder: Path, tmp_path: Path) -> None:
    with pytest.raises(QuestionError, match=r"system: expected a system of gear\.csv, got"):
        runner.run(["base_weight_trend"], {"system": "sleeep"}, tmp_path, logbook=demo_folder)
    assert list(tmp_path.iterdir()) == []


def test_the_options_are_those_of_tables_and_notebook() -> None:
    from tarebook.analysis.tables import TABLES

    parameters = tuple(declared(runner.load("base_weight_trend")))
    assert parameters == TABLES["base_weight_change"].options
    for name in ("base_weight", "base_weight_trend"):
        assert TABLES[name].options == parameters[:4]
