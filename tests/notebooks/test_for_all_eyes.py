"""Pages of the demo for all eyes: audited by axe-core, light and dark, on phone and desktop.

The pages are those of `stored_pages`.
"""

from collections.abc import Iterator
from importlib import resources
from pathlib import Path
from typing import Any

import limits
import pytest
from stored_pages import NAMES, make

AXE = "axe_playwright_python"
ALL: dict[str, Any] = {"resultTypes": ["violations"]}
RULES = {"light": ALL, "dark": ALL | {"runOnly": ["color-contrast", "link-in-text-block"]}}
"""All rules of axe-core (Deque Systems, MPL 2.0); colours alone differ on a dark screen."""
UNFOLD = """() => {
  document.querySelectorAll('.plot svg').forEach(drawing => drawing.replaceChildren());
  document.querySelectorAll('details').forEach(fold => { fold.open = true; });
  for (const [many, each, most] of [['tbody', 'tr', 3], ['.checklist', 'li', 2]]) {
    document.querySelectorAll(many).forEach(whole => {
      Array.from(whole.querySelectorAll(each)).slice(most).forEach(part => part.remove());
    });
  }
}"""
"""Rows of a table or list are alike, and 159 of them take the audit minutes; drawings are hidden
from who cannot see them, and their colours have a test of their own."""
SMALL = """() => Array.from(document.querySelectorAll('a[href], button, summary, label, input'))
  .filter(each => each.checkVisibility() && !(each.matches('input') && each.closest('label')))
  .filter(each => getComputedStyle(each).display !== 'inline' || !each.closest('p, dd, td, th'))
  .map(each => [each.textContent.trim().slice(0, 40), each.getBoundingClientRect()])
  .filter(([, box]) => box.width > 1 && Math.min(box.width, box.height) < 24)
  .map(([said, box]) => `${said}: ${box.width} by ${box.height}`)"""
"""What is to be touched and is small; a link in a sentence or a cell is as high as its line."""
AUDIT = """async (rules) => (await axe.run(rules)).violations
  .filter(found => found.impact === 'serious' || found.impact === 'critical')
  .flatMap(found => found.nodes.map(node => found.id + ': ' + node.html.slice(0, 160)))"""


@pytest.fixture(scope="module")
def pages(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    return make(tmp_path_factory.mktemp("pages"), demo_folder)


@pytest.fixture(scope="module")
def opened(browser: Any, pages: dict[str, Path]) -> Iterator[dict[str, Any]]:
    """All of them open in one window, everything that folds unfolded."""
    context = browser.new_context(offline=True, bypass_csp=True, reduced_motion="reduce")
    found = {}
    for name, file in pages.items():
        found[name] = context.new_page()
        found[name].goto(file.as_uri())
        found[name].evaluate(UNFOLD)
    yield found
    with limits.at_most(60, "Closing the pages"):
        context.close()


@pytest.mark.outside(
    "published",
    "WCAG 2, by all rules of axe-core (the package axe-playwright-python ships it)",
    "pages of the demo, light and dark, have no serious or critical fault",
)
@pytest.mark.parametrize("name", NAMES)
def test_axe_finds_nothing_serious(opened: dict[str, Any], name: str) -> None:
    pytest.importorskip(AXE)
    seen = opened[name]
    seen.evaluate(resources.files(AXE).joinpath("axe.min.js").read_text("utf-8"))
    found = {}
    for scheme, rules in RULES.items():
        for width in (320, 390, 1280):
            seen.emulate_media(color_scheme=scheme)
            seen.set_viewport_size({"width": width, "height": 900})
            with limits.at_most(limits.WINDOW_S, "An audit"):
                found[scheme, width] = seen.evaluate(AUDIT, rules)
    assert {place: what for place, what in found.items() if what} == {}


def test_axe_would_find_what_is_wrong(opened: dict[str, Any]) -> None:
    pytest.importorskip(AXE)
    seen = opened["temperature_context"]
    seen.emulate_media(color_scheme="dark")
    seen.evaluate(resources.files(AXE).joinpath("axe.min.js").read_text("utf-8"))
    seen.evaluate(
        """() => {
          const faint = document.createElement('p');
          faint.id = 'faint';
          faint.textContent = 'Grey on grey';
          faint.style.color = '#3a4046';
          document.querySelector('main').append(faint);
        }"""
    )
    found = seen.evaluate(AUDIT, RULES["dark"])
    seen.evaluate("document.getElementById('faint').remove()")
    assert len(found) == 1
    assert found[0].startswith('color-contrast: <p id="faint"')


@pytest.mark.parametrize("name", NAMES)
def test_a_picture_is_told_once_and_has_a_caption(opened: dict[str, Any], name: str) -> None:
    figures = opened[name].locator(".tarebook-figure")
    for place in range(figures.count()):
        figure = figures.nth(place)
        told = figure.locator("[role=img]")
        assert told.count() == 1
        assert told.get_attribute("aria-label")
        assert figure.locator(".plot").count() == 2
        assert figure.locator(".plot:not([aria-hidden=true])").count() == 0
        assert figure.locator("figcaption").count() == 1, figure.get_attribute("data-figure")


@pytest.mark.parametrize("name", NAMES)
def test_the_first_stop_of_the_keyboard_leads_to_the_content(
    opened: dict[str, Any], name: str
) -> None:
    seen = opened[name]
    seen.evaluate("document.activeElement.blur()")
    seen.keyboard.press("Tab")
    assert seen.evaluate("document.activeElement.textContent") == "Skip to the content"
    assert seen.locator(".skip").bounding_box()["y"] >= 0
    seen.keyboard.press("Enter")
    assert seen.evaluate("document.activeElement.id") == "main"


@pytest.mark.outside(
    "published",
    "WCAG 2.2, success criterion 2.5.8 Target Size (Minimum)",
    "on a phone what is to be touched is at least 24 by 24 px, but for links in a sentence",
)
@pytest.mark.parametrize("name", NAMES)
def test_a_finger_finds_what_is_to_be_touched(
    browser: Any, pages: dict[str, Path], name: str
) -> None:
    context = browser.new_context(offline=True, viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(pages[name].as_uri())
    assert page.locator("a, summary").count() > 8
    assert page.evaluate(SMALL) == []
    context.close()


def test_the_list_of_trips_sorts_through_the_seasons(look: Any, pages: dict[str, Path]) -> None:
    seen = look(pages["index"], 1280).page
    # Of the latest seasons: the earlier ones have a table of their own, which folds.
    days = seen.locator(".trips").first.locator(".date[data-sort]")
    as_made = [day.get_attribute("data-sort") for day in days.all()]
    assert len(as_made) == len(set(as_made)) > 20
    assert as_made == sorted(as_made, reverse=True)
    seasons = seen.locator(".trips .season >> visible=true")
    there = seasons.count()
    seen.get_by_role("button", name="Date").click()
    assert [day.get_attribute("data-sort") for day in days.all()] == sorted(as_made)
    assert seasons.count() == 0
    for _ in range(2):
        seen.get_by_role("button", name="Date").click()
    assert [day.get_attribute("data-sort") for day in days.all()] == as_made
    assert seasons.count() == there
