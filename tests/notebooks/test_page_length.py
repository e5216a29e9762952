"""No page of the demo is long: not on a screen with its folds closed, nor in the short print."""

import re
from pathlib import Path
from typing import Any

import pytest
from stored_pages import NAMES, make, of_plan, of_trip, site

LONGEST_PX = 4500
"""Five screens of a laptop, at 1280 pixels wide."""
MOST_SHEETS = 6
LATER_PLAN = "before_trip of the later plan"
PAGES = [*NAMES, LATER_PLAN]
SHEET = re.compile(rb"/Type\s*/Page[^s]")


@pytest.fixture(scope="module")
def pages(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("pages")
    later = of_plan(folder, demo_folder, "2027-05-larkspur-flat")
    return make(folder, demo_folder) | {LATER_PLAN: later}


@pytest.fixture(scope="module")
def debriefs(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The debrief of every trip, all made before a window is opened."""
    folder = tmp_path_factory.mktemp("debriefs")
    trips = [each.trip for each in site(demo_folder).trips]
    return {trip: of_trip(folder, demo_folder, trip) for trip in trips}


def sheets(page: Any) -> int:
    """On how many sheets of A4 a page is printed as it stands."""
    return len(SHEET.findall(page.pdf(format="A4")))


@pytest.mark.parametrize("name", PAGES)
def test_a_page_with_its_folds_closed_is_read_in_a_few_screens(
    browser: Any, pages: dict[str, Path], name: str
) -> None:
    # By scripting, since without it the lists of a packing list stand open, to be ticked.
    context = browser.new_context(offline=True, viewport={"width": 1280, "height": 900})
    page = context.new_page()
    page.goto(pages[name].as_uri())
    assert page.locator("details[open]").count() == 0
    assert page.evaluate("document.documentElement.scrollHeight") <= LONGEST_PX
    context.close()


@pytest.mark.parametrize("name", PAGES)
def test_the_short_print_is_a_few_sheets(look: Any, pages: dict[str, Path], name: str) -> None:
    assert 1 <= sheets(look(pages[name], 1280, scripting=False).page) <= MOST_SHEETS


@pytest.mark.parametrize("name", PAGES)
@pytest.mark.parametrize("scripting", [True, False], ids=["scripting", "plain"])
def test_what_is_folded_is_printed_when_asked_for(
    browser: Any, pages: dict[str, Path], name: str, scripting: bool
) -> None:
    context = browser.new_context(offline=True, java_script_enabled=scripting)
    page = context.new_page()
    page.goto(pages[name].as_uri())
    folds = page.locator("main details").count()
    box = page.get_by_label("Print what is folded, too")
    assert box.is_visible() == (folds > 0)
    if folds:
        in_short, height = sheets(page), _printed_height(page)
        box.check()
        assert _printed_height(page) > height
        assert sheets(page) >= in_short
        assert page.locator("details[open]:not(.to-open)").count() == 0
    context.close()


def test_no_debrief_of_the_demo_is_long(browser: Any, debriefs: dict[str, Path]) -> None:
    screen = browser.new_context(offline=True, viewport={"width": 1280, "height": 900})
    paper = browser.new_context(offline=True, java_script_enabled=False)
    on_screen, on_paper, seen = screen.new_page(), paper.new_page(), {}
    for trip, made in debriefs.items():
        on_screen.goto(made.as_uri())
        on_paper.goto(made.as_uri())
        assert on_screen.locator("details[open]").count() == 0
        height = on_screen.evaluate("document.documentElement.scrollHeight")
        seen[trip] = (height, sheets(on_paper))
    screen.close()
    paper.close()
    assert len(seen) > 25
    assert {t: px for t, (px, _) in seen.items() if px > LONGEST_PX} == {}
    assert {t: many for t, (_, many) in seen.items() if not 1 <= many <= MOST_SHEETS} == {}


def _printed_height(page: Any) -> int:
    page.emulate_media(media="print")
    height = int(page.evaluate("document.documentElement.scrollHeight"))
    page.emulate_media(media="null")  # as it is without being asked: on paper as paper
    return height
