"""The season's notebook as a report, and its tables and options on the command line."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import nbformat
import pytest
from tarebook.analysis.display.cautions import LEAVING_CARE
from tarebook.notebooks import runner, today
from tarebook.notebooks.parameters import declared

NOTEBOOK = Path(today.__file__).with_name("season_cull.ipynb")
Run = Callable[..., tuple[int, str, str]]
Logbook = Callable[[str], Path]


def test_it_has_parameters_a_check_of_them_then_one_call_a_cell() -> None:
    cells = nbformat.read(NOTEBOOK, as_version=4).cells
    assert cells[0].metadata["tags"] == ["parameters"]
    assert list(declared(runner.load("season_cull"))) == [
        "season",
        "since",
        "until",
        "mode",
        "target_g",
        "save_g",
        "undecided",
        "coming",
        "today",
    ]
    calls = [c.source for c in cells[2:] if c.cell_type == "code"]
    assert all(source.startswith("page.") and source.endswith("()") for source in calls)
    text = "\n".join(c.source for c in cells if c.cell_type == "code")
    assert "def " not in text
    assert "SELECT" not in text.upper()


@pytest.fixture(scope="module")
def made(logbook: Logbook, tmp_path_factory: pytest.TempPathFactory) -> runner.Report:
    out = tmp_path_factory.mktemp("season")
    given = {"since": "2025-01-01", "save_g": 300.0, "today": "2026-11-25"}
    (report,) = runner.run(["season_cull"], given, out, logbook=logbook("lakes"))
    return report


def test_the_report_stands_alone_and_answers(made: runner.Report) -> None:
    assert made.html.name == "season_cull-2025-01-01-300.0-2026-11-25.html"
    html = made.html.read_text("utf-8")
    assert "<h1>What to leave at home</h1>" in html
    assert "Leave " in html
    assert "nan" not in html.split("</main>")[0].split("<script")[0]
    assert made.remarks == ()


@pytest.mark.parametrize("width", [1280, 390])
def test_it_fits_the_window(made: runner.Report, look: Any, width: int) -> None:
    seen = look(made.html, width)
    assert seen.page.evaluate("document.documentElement.scrollWidth") <= width
    assert seen.fetched == []
    assert seen.complaints == []


def test_each_packing_sheet_prints_on_one_sheet(made: runner.Report, look: Any) -> None:
    """A4 at 96 px an inch, less the browser's own margins of .4 inch."""
    seen = look(made.html, 1280)
    seen.page.emulate_media(media="print")
    seen.page.set_viewport_size({"width": 717, "height": 1046})
    ways = seen.page.locator(".sheet").count()
    assert ways > 1
    section = seen.page.locator("#when-packing")
    # None is open: the first is printed all the same.
    assert [seen.page.locator(".sheet").nth(way).is_visible() for way in range(ways)] == [
        True,
        *[False] * (ways - 1),
    ]
    assert seen.page.locator(".sheet label").first.is_visible()
    assert 0 < section.bounding_box()["height"] <= 1046
    opened = "way => document.querySelectorAll('.sheet').forEach((s, i) => s.open = i === way)"
    for way in range(ways):
        seen.page.evaluate(opened, way)
        visible = [seen.page.locator(".sheet").nth(each).is_visible() for each in range(ways)]
        assert visible == [each == way for each in range(ways)]
        assert 0 < section.bounding_box()["height"] <= 1046
    # Several open: each begins a page, with the caution on it.
    seen.page.evaluate("document.querySelectorAll('.sheet').forEach(sheet => sheet.open = true)")
    for way in range(1, ways):
        sheet = seen.page.locator(".sheet").nth(way)
        assert sheet.evaluate("sheet => getComputedStyle(sheet).breakBefore") == "page"
        assert sheet.locator(".on-paper").is_visible()
        assert sheet.bounding_box()["height"] <= 1046
    assert not seen.page.locator(".on-paper").first.is_visible()
    page_break = "getComputedStyle(document.querySelector('#when-packing')).breakBefore"
    assert seen.page.evaluate(page_break) == "page"


def test_a_bad_request_is_refused_in_one_line(logbook: Logbook, tmp_path: Path) -> None:
    for given, told in (
        ({"mode": "rocket"}, "mode: expected one of foot, bike, ebike, paddle, mixed"),
        ({"since": "2031-01-01"}, "expected a trip that took place \\(since 2031-01-01\\)"),
        ({"save_g": 5.0, "target_g": 5.0}, "one of target_g and save_g, not both"),
    ):
        with pytest.raises(Exception, match=told):
            runner.run(["season_cull"], given, tmp_path, logbook=logbook("lakes"))


def test_tables_take_a_scope_and_a_wish(run: Run, logbook: Logbook) -> None:
    folder = logbook("lakes")
    status, out, err = run("table", "usage", folder, "--as", "json")
    rows = {row["item"]: row for row in json.loads(out)}
    assert status == 0
    assert err == f"tarebook: {LEAVING_CARE}\n"
    assert (rows["book"]["chances"], rows["book"]["verdict"]) == (3, "too_few_trips")
    # Missed at home on one trip: a chance and a use.
    assert (rows["winter-bag"]["missed"], rows["winter-bag"]["chances"]) == (1, 2)
    _, out, _ = run(
        "table", "usage", folder, "--as", "json", "--mode", "bike", "--since", "2025-06-01"
    )
    rows = {row["item"]: row for row in json.loads(out)}
    assert rows["book"]["trips_carried"] == 1
    assert "canoe" not in rows
    # Three occasions are too few to leave the book, unless it is asked in; nothing else may go.
    _, out, _ = run("table", "cull", folder, "--as", "json", "--save-g", "200", "--undecided")
    assert [row["item"] for row in json.loads(out)] == ["book"]
    _, out, _ = run("table", "cull", folder, "--as", "csv")
    assert out == "item,name,weight_g,p_needed,cost,regret,inclusion\n"
    _, out, _ = run("table", "cull_frontier", folder, "--as", "json")
    saved = [row["saved_g"] for row in json.loads(out)]
    assert saved == sorted(saved)
    status, out, err = run("table", "usage", folder, "--coming", "nowhere")
    assert (status, out) == (1, "")
    assert err.startswith('tarebook: --coming: expected a trip of this logbook, got "nowhere"')
    status, out, err = run("table", "cull", folder, "--save-g", "90000", "--undecided")
    assert (status, out) == (1, "")
    assert err.startswith("tarebook: --save-g: expected at most ")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (
            ["table", "trips", "--mode", "foot"],
            "--mode goes with the tables usage, cull, cull_frontier, base_weight, "
            "base_weight_trend, base_weight_change, not trips",
        ),
        (
            ["table", "usage", "--save-g", "5"],
            "--save-g goes with the tables cull, cull_frontier, not usage",
        ),
        (
            ["table", "cull", "--save-g", "5", "--target-g", "5"],
            "one of --target-g and --save-g, not both",
        ),
        (
            ["table", "trips", "--coming", "x"],
            "--coming goes with the tables usage, cull, cull_frontier, not trips",
        ),
        (["table", "cull", "--save-g", "0"], "expected grams above 0 to 100000, got 0"),
        (["table", "usage", "--since", "1.5.2026"], "expected a day as YYYY-MM-DD"),
        (["table", "usage", "--since", "2026-02-30"], 'got "2026-02-30"; there is no such day'),
        (["report", "season_cull", "--mode", "train"], "expected one of foot, bike, ebike"),
        (
            ["report", "season_cull", "--since", "2026-05-02", "--until", "2026-05-01"],
            "--until: expected a day from 2026-05-02 on, got 2026-05-01; swap the two",
        ),
    ],
)
def test_a_wrong_option_is_a_wrong_command_line(
    run: Run, words: list[str], told: str, logbook: Logbook
) -> None:
    status, out, err = run(*words[:2], logbook("lakes"), *words[2:])
    assert (status, out) == (2, "")
    assert told in " ".join(err.split())
