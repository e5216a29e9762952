from datetime import date
from pathlib import Path
from typing import Any

import altair as alt
import nbformat
import pytest
from tarebook.analysis.display import tables, theme
from tarebook.analysis.display.figure import Figure
from tarebook.analysis.display.sections import Opening, Section
from tarebook.notebooks import bundle, page
from tarebook.notebooks.site import Site, TripPage
from tarebook.tripdata.today import made_on

NAME = "</script><img src=x onerror=document.title='owned'> {{7*7}}"
ROWS = [{"item": NAME, "g": 210.0}, {"item": "Quilt", "g": 640.0}]


def bars(layout: Any) -> Any:
    return (
        alt.Chart(alt.Data(values=ROWS))
        .mark_bar()
        .encode(
            x=alt.X("g:Q", title="Weight (g)"),
            y=alt.Y("item:N", title=None),
            tooltip=[alt.Tooltip("item:N", title="Item")],
        )
        .properties(height=layout.rows(2))
    )


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    shown = [
        Opening(f"Trip {NAME}", ("1 night",), ("One record was set aside.",)),
        Section(
            "Load",
            (f"{NAME} weighed 210 g.",),
            Figure("load", f"Two bars, one of {NAME}.", bars, "Two items."),
            tables.Table.of((tables.text("item", "Item"), tables.whole("g", "g")), ROWS * 9, "row"),
        ),
    ]
    cells = []
    for each in shown:
        output = nbformat.v4.new_output("display_data", data=each._repr_mimebundle_())
        cells.append(nbformat.v4.new_code_cell("shown", outputs=[output]))
    target = tmp_path_factory.mktemp("page") / "report.html"
    html = page.render(nbformat.v4.new_notebook(cells=cells), on=date(2026, 5, 1))
    target.write_text(html, "utf-8")
    (target.parent / bundle.file_name()).write_text(bundle.script(), "utf-8")
    return target


@pytest.mark.parametrize(("width", "layout"), [(1280, "wide"), (390, "narrow")])
@pytest.mark.parametrize("scripting", [True, False])
def test_the_page_stands_alone(
    look: Any, file: Path, width: int, layout: str, scripting: bool
) -> None:
    seen = look(file, width, scripting)
    plots = seen.page.locator(".plot")
    assert [plots.nth(place).is_visible() for place in range(2)] == [
        layout == "wide",
        layout == "narrow",
    ]
    box = seen.page.locator(f".plot.{layout} svg").first.bounding_box()
    assert box["x"] >= 0
    assert 300 < box["width"] <= width
    assert seen.page.get_by_text("Weight (g)").locator("visible=true").count() == 1
    assert seen.fetched == []
    assert seen.complaints == []
    assert seen.page.title() == f"Trip {NAME}"


@pytest.mark.parametrize("width", [1280, 390, 320])
def test_nothing_is_wider_than_the_window(look: Any, file: Path, width: int) -> None:
    seen = look(file, width, scripting=True)
    assert seen.page.evaluate("document.documentElement.scrollWidth") <= width


def test_a_hovered_bar_tells_its_item_as_text(look: Any, file: Path) -> None:
    seen = look(file, 1280, scripting=True)
    seen.page.locator(".plot.wide path[aria-roledescription=bar]").first.hover()
    tip = seen.page.locator("#vg-tooltip-element")
    tip.wait_for(state="visible")
    assert NAME in tip.inner_text()
    assert seen.page.locator("img").count() == 0


@pytest.mark.parametrize("scripting", [True, False])
def test_pictures_are_dark_on_a_dark_screen_and_light_on_paper(
    look: Any, file: Path, scripting: bool
) -> None:
    def rgb(colour: str) -> str:
        return f"rgb({', '.join(str(int(colour[n : n + 2], 16)) for n in (1, 3, 5))})"

    page = look(file, 1280, scripting).page
    for media, scheme, ground in (
        ("screen", "light", theme.LIGHT),
        ("screen", "dark", theme.DARK),
        ("print", "dark", theme.LIGHT),
    ):
        page.emulate_media(media=media, color_scheme=scheme)
        for which, name in (
            ("[fill='#22292F']", "ink"),  # labels of an axis
            ("[fill='#0072B2']", "blue"),  # bars
            ("[fill='#59636B']", "soft"),  # the title of an axis
        ):
            mark = page.locator(f".plot.wide svg {which}").first
            assert mark.evaluate("e => getComputedStyle(e).fill") == rgb(ground[name]), name
        body = page.locator("body").evaluate("e => getComputedStyle(e).backgroundColor")
        assert body == rgb(ground["paper"])
        drawing = page.locator(".plot.wide svg").first
        ground_of = drawing.evaluate("e => getComputedStyle(e).backgroundColor")
        assert ground_of == "rgba(0, 0, 0, 0)"


def test_a_turned_phone_gets_the_other_drawing(look: Any, file: Path) -> None:
    seen = look(file, 390, scripting=True)
    seen.page.set_viewport_size({"width": 900, "height": 390})
    seen.page.wait_for_selector(".plot.wide[data-drawn=yes]", timeout=20_000)
    assert seen.page.locator(".plot.wide").is_visible()
    assert not seen.page.locator(".plot.narrow").is_visible()


def test_on_paper_what_is_folded_is_there_when_asked_for(look: Any, file: Path) -> None:
    seen = look(file, 1280, scripting=False)
    row = seen.page.get_by_role("rowheader", name="Quilt").first
    assert not row.is_visible()
    seen.page.emulate_media(media="print")
    assert not seen.page.locator("summary").first.is_visible()
    seen.page.emulate_media(media="screen")
    seen.page.get_by_label("Print what is folded, too").check()
    seen.page.emulate_media(media="print")
    cell = seen.page.locator("tbody th").first
    assert cell.bounding_box()["height"] > 0
    assert not seen.page.get_by_label("Print what is folded, too").is_visible()


def test_the_words_used_are_folded_under_their_heading(look: Any, tmp_path: Path) -> None:
    prose = (
        "## Words used here\n\n**A night** is one.\n\n**A day** is the next.",
        "## Another thing\n\nIs said at once.",
    )
    cells = [nbformat.v4.new_markdown_cell(text) for text in prose]  # type: ignore[no-untyped-call]
    notebook = nbformat.v4.new_notebook(cells=cells)  # type: ignore[no-untyped-call]
    made = tmp_path / "words.html"
    made.write_text(page.render(notebook, on=date(2026, 5, 1)), "utf-8")
    seen = look(made, 1280, scripting=False).page
    first, last = seen.get_by_text("A night is one."), seen.get_by_text("A day is the next.")
    assert seen.get_by_text("Is said at once.").is_visible()
    assert seen.get_by_role("heading", name="Words used here").is_visible()
    assert not first.is_visible()
    seen.locator("summary").click()
    assert first.is_visible()
    assert last.is_visible()


def test_a_script_that_a_page_does_not_know_is_not_run(look: Any, file: Path) -> None:
    # What the policy is for: even text that went in unescaped would not run.
    leaky = file.with_name("leaky.html")
    file.with_name("evil.js").write_text("document.title='owned'", "utf-8")
    html = file.read_text("utf-8").replace(
        "</main>",
        "<script>document.title='owned'</script><script src=\"evil.js\"></script>"
        "<svg onload=\"document.title='owned'\"></svg></main>",
    )
    leaky.write_text(html, "utf-8")
    seen = look(leaky, 1280, scripting=True)
    assert seen.page.title() == f"Trip {NAME}"
    assert len(seen.complaints) == 3


def test_the_date_is_today_or_that_of_the_environment() -> None:
    # 1777636800 is 2026-05-01T12:00:00Z (POSIX time).
    assert made_on({"SOURCE_DATE_EPOCH": "1777636800"}) == date(2026, 5, 1)
    assert made_on({}) == date.today()


@pytest.mark.parametrize(
    ("on", "told"),
    [
        (
            date(2027, 1, 16),
            "“Ice” and “Thaw, again” are not over yet, but count here as trips that took place. "
            "Until they are over, plan = yes in trip.csv keeps them out of your record.",
        ),
        (
            date(2027, 1, 17),
            "“Thaw, again” is not over yet, but counts here as a trip that took place. Until it "
            "is over, plan = yes in trip.csv keeps it out of your record.",
        ),
        (date(2027, 3, 4), ""),
    ],
)
def test_every_page_names_the_trips_that_count_though_they_are_not_over(
    on: date, told: str
) -> None:
    trips = (
        TripPage("old", "Old", date(2026, 1, 1), end_on=date(2026, 1, 3)),
        TripPage("ice", "Ice", date(2027, 1, 15), end_on=date(2027, 1, 17)),
        TripPage("thaw", "Thaw, again", date(2027, 3, 1), end_on=date(2027, 3, 4)),
    )
    output = nbformat.v4.new_output("display_data", data=Opening("Load")._repr_mimebundle_())
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell("x", outputs=[output])])
    html = page.render(notebook, on=on, site=Site(trips=trips))
    below = html.partition("</header>")[2]
    assert below.lstrip().startswith(f'<ul class="notices not-over"><li>{told}') is bool(told)
    assert ("not-over" in html) is bool(told)
