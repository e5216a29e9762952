"""The notebook of a trip to come as a report: whole, alone, on a few sheets of paper."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import nbformat
import pytest
from tarebook.notebooks import index, runner, today
from tarebook.notebooks.parameters import declared

NOTEBOOK = Path(today.__file__).with_name("before_trip.ipynb")
Run = Callable[..., tuple[int, str, str]]
PLANS = ("", "2027-05-larkspur-flat")


def test_it_has_parameters_then_one_call_a_cell() -> None:
    cells = nbformat.read(NOTEBOOK, as_version=4).cells
    assert cells[0].metadata["tags"] == ["parameters"]
    assert list(declared(runner.load("before_trip"))) == ["trip", "today"]
    calls = [c.source for c in cells[2:] if c.cell_type == "code"]
    assert all(source.startswith("page.") and source.endswith("()") for source in calls)
    assert not any(c.get("outputs") for c in cells)


@pytest.fixture(scope="module", params=PLANS)
def made(
    request: Any, demo_folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> runner.Report:
    out = tmp_path_factory.mktemp("before")
    given = {"trip": request.param, "today": "2026-11-27"}
    (report,) = runner.run(["before_trip"], given, out, logbook=demo_folder)
    return report


def test_the_report_stands_alone_and_answers(made: runner.Report) -> None:
    html = made.html.read_text("utf-8")
    assert "<h1>Before “" in html
    assert 'type="checkbox"' in html
    assert "nan" not in html.split("</main>")[0].split("<script")[0]
    assert made.remarks == ()
    assert index.finding(made).endswith(".")


@pytest.mark.parametrize("width", [1280, 390])
def test_it_fits_the_window(made: runner.Report, look: Any, width: int) -> None:
    seen = look(made.html, width)
    assert seen.page.evaluate("document.documentElement.scrollWidth") <= width
    assert seen.fetched == []
    assert seen.complaints == []


def test_it_is_no_longer_than_need_be(made: runner.Report, look: Any) -> None:
    """A hundred things to pack and all else of a trip; the second plan has a battery, too."""
    high = look(made.html, 1280).page.evaluate("document.documentElement.scrollHeight")
    assert high <= 4500


@pytest.mark.parametrize(("width", "height"), [(1280, 900), (390, 844)])
def test_the_risks_and_the_caution_are_on_the_first_screen(
    made: runner.Report, look: Any, width: int, height: int
) -> None:
    page = look(made.html, width).page
    care = page.locator(".tarebook-opening > .caution").bounding_box()
    assert care["y"] + care["height"] <= height
    cold = page.locator(".points dt", has_text="Will you be cold?").bounding_box()
    assert cold["y"] < care["y"]


def test_a_name_with_a_comma_stands_whole_beside_a_folded_list(
    made: runner.Report, look: Any
) -> None:
    """Where scripting counts the ticks, the names of few things stay as they are."""
    page = look(made.html, 1280).page
    told = page.locator("#to-do-before-leaving summary", has_text="Check and refill").locator(
        "span"
    )
    assert told.text_content() == "“Antihistamine”, “Plasters” and “Tick remover”"


SMALLEST_PT = 8.5
"""What we hold to be read on paper at arm's length, while packing."""
IN_PRINT = ".checklist li, .caution, .notes li, .tarebook-table :is(th, td), .points dd"


def test_it_prints_on_a_few_sheets_in_type_that_can_be_read(made: runner.Report, look: Any) -> None:
    page = look(made.html, 1280).page
    for paper in ("A4", "Letter"):
        printed = page.pdf(format=paper, prefer_css_page_size=True)
        assert 1 <= len(re.findall(rb"/Type\s*/Page[^s]", printed)) <= 4
    page.emulate_media(media="print")
    # What its weather may call for stands under its heading, and is no table of nothing.
    weather = page.get_by_text("What the weather may call for, none of which is to stay at home")
    assert weather.is_visible()
    sizes = page.eval_on_selector_all(
        IN_PRINT,
        "found => found.filter(each => each.getClientRects().length)"
        ".map(each => parseFloat(getComputedStyle(each).fontSize) * (each.currentCSSZoom || 1))",
    )
    assert len(sizes) > 150
    assert min(sizes) >= SMALLEST_PT * 96 / 72
    # Each list to tick begins a sheet, so that none is torn in two.
    for name in ("what-to-pack", "to-do-before-leaving"):
        assert page.locator(f"#{name}").evaluate("e => getComputedStyle(e).breakBefore") == "page"


def test_who_asks_the_debrief_of_a_plan_is_sent_here(run: Run, demo_folder: Path) -> None:
    status, out, err = run("report", "debrief", demo_folder, "--trip", PLANS[1])
    assert (status, out) == (1, "")
    assert "`tarebook report before_trip --trip 2027-05-larkspur-flat` looks ahead to it" in err
    status, out, err = run("report", "before_trip", demo_folder, "--trip", "2027-05-larkspr-flat")
    assert (status, out) == (1, "")
    assert 'did you mean "2027-05-larkspur-flat"?' in err
