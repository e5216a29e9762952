"""The small script in every page: long tables, hints where they scroll, ticks that are remembered.

Every test opens a file, as a reader does.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import limits
import nbformat
import pytest
from tarebook.analysis.display import tables
from tarebook.analysis.display.checklist import Checklist, Task
from tarebook.analysis.display.sections import Opening, Section
from tarebook.analysis.display.words import MINUS, Display, small_mass
from tarebook.notebooks import page

COLUMNS = (
    tables.text("name", "Thing"),
    tables.measured("g", "Change", small_mass(Display()), signed=True),
    tables.dates("on", "Last used"),
    *(tables.text(f"more-{n}", f"Another long header {n}") for n in range(9)),
)
ROWS = [
    {"name": f"Thing {n}", "g": 15_000 - 2_000.0 * n, "on": date(2025, 1 + n % 12, 28 - n)}
    for n in range(1, 15)
] + [{"name": "Öl, <b>", "g": None, "on": None}]
TASKS = (Task("Patch the mat", "a slow leak"), Task("Buy gas"), Task("Buy gas"))
OPENING = Opening("Before “Fells”", ("1–3 May 2027 · 2 nights",))


def write(
    folder: Path,
    opening: Opening = OPENING,
    tasks: tuple[Task, ...] = TASKS,
    name: str = "page",
    bags: tuple[Checklist, ...] = (),
) -> Path:
    shown = [
        opening,
        Section("Things", ("15 things.",), table=tables.Table.of(COLUMNS, ROWS, "thing")),
        Section("To do", ("3 things.",), more=(Checklist("Mend and buy", tasks),)),
    ]
    if bags:
        shown.append(Section("Bags", ("4 things.",), more=bags))
    cells = []
    for each in shown:
        output = nbformat.v4.new_output(  # type: ignore[no-untyped-call]
            "display_data", data=each._repr_mimebundle_()
        )
        cells.append(nbformat.v4.new_code_cell("shown", outputs=[output]))  # type: ignore[no-untyped-call]
    notebook = nbformat.v4.new_notebook(cells=cells)  # type: ignore[no-untyped-call]
    file = folder / f"{name}.html"
    file.write_text(page.render(notebook, on=date(2026, 5, 1)), "utf-8")
    return file


@pytest.fixture
def seen(look: Callable[..., Any], tmp_path: Path) -> Any:
    found = look(write(tmp_path), 1280)
    found.page.locator("summary").click()
    yield found.page
    assert found.complaints == []
    assert found.fetched == []


def things(seen: Any, visible: bool = False) -> list[str]:
    names = seen.locator("tbody th" + (" >> visible=true" if visible else ""))
    return [str(name) for name in names.all_inner_texts()]


AS_MADE = [row["name"] for row in ROWS]


def test_a_header_sorts_both_ways_and_then_as_it_was(seen: Any) -> None:
    change = seen.get_by_role("button", name="Change")
    header = seen.locator("thead th").nth(1)
    assert things(seen) == AS_MADE
    change.click()
    # Numbers with a true minus, and thousands set apart; what is not known comes last both ways.
    assert f"{MINUS}13\u202f000" in seen.locator("tbody tr").first.inner_text()
    assert things(seen) == [*AS_MADE[-2::-1], AS_MADE[-1]]
    assert header.get_attribute("aria-sort") == "ascending"
    change.click()
    assert things(seen) == AS_MADE
    assert header.get_attribute("aria-sort") == "descending"
    change.click()
    assert things(seen) == AS_MADE
    assert header.get_attribute("aria-sort") is None


def test_days_sort_as_days_and_names_as_names(seen: Any) -> None:
    seen.get_by_role("button", name="Last used").click()
    known = sorted((row for row in ROWS if row["on"]), key=lambda row: row["on"])
    assert things(seen) == [*(row["name"] for row in known), AS_MADE[-1]]
    seen.get_by_role("button", name="Thing", exact=True).click()
    assert things(seen)[:3] == ["Öl, <b>", "Thing 1", "Thing 2"]
    assert seen.locator("[aria-sort]").count() == 1


def test_a_filter_leaves_the_rows_with_all_its_words(seen: Any) -> None:
    field = seen.get_by_role("searchbox", name="Show only rows with")
    field.fill("ol")
    assert things(seen, visible=True) == ["Öl, <b>"]
    assert seen.get_by_role("status").inner_text() == "1 of 15 shown"
    field.fill("2025 THING 14")
    assert things(seen, visible=True) == ["Thing 14"]
    seen.emulate_media(media="print")
    # On paper one must see that rows are missing.
    assert seen.get_by_text("1 of 15 shown").is_visible()
    field.fill("")
    assert not seen.locator(".sift").is_visible()
    seen.emulate_media(media="screen")
    assert things(seen, visible=True) == AS_MADE


def test_a_hint_stands_where_a_table_is_wider_than_its_room(seen: Any) -> None:
    hint = seen.get_by_text("There are more columns")
    seen.set_viewport_size({"width": 390, "height": 800})
    hint.wait_for(state="visible")
    seen.locator("td, thead th").evaluate_all("cells => cells.slice(3).forEach(c => c.remove())")
    seen.set_viewport_size({"width": 1280, "height": 800})
    hint.wait_for(state="hidden")


def test_without_scripting_the_page_is_the_same(look: Callable[..., Any], tmp_path: Path) -> None:
    file = write(tmp_path)
    kept = {}
    for scripting in (True, False):
        found = look(file, 1280, scripting)
        found.page.locator("summary").click()
        kept[scripting] = (
            things(found.page, visible=True),
            found.page.locator("h2").all_inner_texts(),
        )
        assert found.page.get_by_role("button").count() == (len(COLUMNS) if scripting else 0)
        assert found.page.locator(".sideways, .ticks, .sift").count() == (3 if scripting else 0)
    assert kept[True] == kept[False]


def ticked(seen: Any) -> list[bool]:
    return [box.is_checked() for box in seen.locator(".checklist input").all()]


def test_a_tick_is_there_when_the_page_is_opened_again(seen: Any, tmp_path: Path) -> None:
    seen.get_by_role("checkbox").nth(1).check()
    seen.reload()
    assert ticked(seen) == [False, True, False]
    # Made anew with one thing more: what was done stays done, whatever its place.
    write(tmp_path, tasks=(Task("Sharpen the knife"), *TASKS))
    seen.reload()
    assert ticked(seen) == [False, False, True, False]
    seen.get_by_role("button", name="Untick all of this list").click()
    assert not any(ticked(seen))
    assert not seen.locator(".ticks").is_visible()
    seen.reload()
    assert not any(ticked(seen))
    assert seen.evaluate("localStorage.length") == 0


def test_a_list_of_another_trip_begins_without_ticks(seen: Any, tmp_path: Path) -> None:
    for box in seen.locator(".checklist input").all():
        box.check()
    for other in (
        replace(OPENING, title="Before “Lakes”"),
        replace(OPENING, lines=("1–3 May 2028 · 2 nights",)),
    ):
        write(tmp_path, other)
        seen.reload()
        assert not any(ticked(seen))
    # A thing whose line has changed is to be looked at anew.
    write(tmp_path, tasks=(Task("Patch the mat", "two leaks"), *TASKS[1:]))
    seen.reload()
    assert ticked(seen) == [False, True, True]
    # The page of another logbook has its own.
    elsewhere = tmp_path / "other"
    elsewhere.mkdir()
    seen.goto(write(elsewhere).as_uri())
    assert not any(ticked(seen))


def test_a_browser_that_keeps_nothing_still_shows_the_list(browser: Any, tmp_path: Path) -> None:
    refuses = "{get() { throw new Error('refused'); }}"
    errors: list[str] = []
    with (
        limits.at_most(limits.WINDOW_S, "Looking at a list"),
        browser.new_context(offline=True) as context,
    ):
        context.add_init_script(f"Object.defineProperty(window, 'localStorage', {refuses});")
        seen = context.new_page()
        seen.on("pageerror", lambda error: errors.append(str(error)))
        seen.goto(write(tmp_path).as_uri())
        seen.get_by_role("checkbox").first.check()
        assert ticked(seen) == [True, False, False]
        assert seen.locator(".ticks").count() == 0
    assert errors == []


def test_bags_are_opened_one_by_one_and_say_what_is_ticked(
    look: Callable[..., Any], tmp_path: Path
) -> None:
    bags = (Checklist("Roll", TASKS, folds=True), Checklist("Worn", (Task("Cap"),), folds=True))
    file = write(tmp_path, bags=bags)
    found = look(file, 1280)
    boxes, roll = found.page.locator("#bags input"), found.page.locator("#bags summary").first
    assert [box.is_visible() for box in boxes.all()] == [False] * 4
    roll.click()
    assert [box.is_visible() for box in boxes.all()] == [True] * 3 + [False]
    assert roll.inner_text() == "Roll 3 things"
    boxes.nth(1).check()
    assert roll.inner_text() == "Roll 3 things, 1 of 3 ticked"
    found.page.reload()
    assert roll.inner_text() == "Roll 3 things, 1 of 3 ticked"
    # On paper all of it stands open, with a heading that stays with it, and closes again.
    found.page.emulate_media(media="print")
    found.page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert [box.is_visible() for box in boxes.all()] == [True] * 4
    assert found.page.locator("#bags h3:visible").all_inner_texts() == ["Roll", "Worn"]
    found.page.evaluate("dispatchEvent(new Event('afterprint'))")
    found.page.emulate_media(media="screen")
    assert [box.is_visible() for box in boxes.all()] == [False] * 4
    assert found.complaints == []
    assert all(
        box.is_visible() for box in look(file, 1280, False).page.locator("#bags input").all()
    )


def test_what_was_kept_and_is_spoilt_counts_as_nothing(seen: Any) -> None:
    seen.get_by_role("checkbox").first.check()
    seen.evaluate("localStorage.setItem(localStorage.key(0), '{\"a\":')")
    seen.reload()
    assert not any(ticked(seen))
