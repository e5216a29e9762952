"""File names of debriefs, lines of navigation, titles that lead to their trips."""

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tarebook.notebooks.jobs import file_stem, trip_stems
from tarebook.notebooks.links import contents, linked
from tarebook.notebooks.site import Site, TripPage, lines
from tarebook.notebooks.slim import slimmed

LAKE = TripPage("lake", "Round the lake", date(2026, 5, 1), "debrief-lake.html")
RAIN = TripPage("rain", "Rain", date(2026, 6, 1), "debrief-rain.html")
HUT_1 = TripPage("hut-1", "To the hut", date(2025, 1, 4), "debrief-hut-1.html")
HUT_2 = TripPage("hut-2", "To the hut", date(2026, 1, 9), "debrief-hut-2.html")
SITE = Site(True, ("debrief", "season_cull"), (HUT_1, HUT_2, LAKE, RAIN), frozenset({"Rain"}))

slugs = st.text("aAbß-_.é1", min_size=1, max_size=200)


@given(st.lists(slugs, unique_by=str.casefold, max_size=8))
def test_no_two_trips_share_a_file_on_any_file_system(trips: list[str]) -> None:
    stems = trip_stems(trips)
    assert len({stem.casefold() for stem in stems.values()}) == len(trips)
    for stem in stems.values():
        assert stem.startswith("debrief")
        assert not stem.endswith((".failed", ".", "-"))
        assert len(stem.encode()) <= 250
        assert file_stem(stem) == stem or len(stem.encode()) > 150
    assert trip_stems(reversed(trips)) == stems


def test_a_plain_name_stands_as_it_is_and_others_have_some_of_their_digest() -> None:
    stems = trip_stems(["a-b", "a--b"])
    assert stems["a-b"] == "debrief-a-b"
    # sha256 of "a--b" begins so, by coreutils' sha256sum.
    assert stems["a--b"] == "debrief-a-b-90827a2e"


def test_a_title_is_linked_between_quotation_marks_and_in_a_column_of_trips() -> None:
    text = "<p>Less than on “Round the lake”, and Round the lake.</p>"
    assert linked(text, SITE) == (
        '<p>Less than on “<a href="debrief-lake.html">Round the lake</a>”, and Round the lake.</p>'
    )
    table = (
        "<table><thead><tr><th>Trip</th><th>Place</th></tr></thead><tbody>"
        '<tr><th scope="row">Rain</th><td>Rain</td></tr></tbody></table>'
    )
    assert '<th scope="row"><a href="debrief-rain.html">Rain</a></th><td>Rain</td>' in linked(
        table, SITE
    )
    assert linked(table.replace("Trip<", "Thing<"), SITE) == table.replace("Trip<", "Thing<")


def test_a_title_that_leads_to_its_trip_already_is_left_alone() -> None:
    row = '<tr><th><a href="debrief-rain.html">Rain</a></th></tr>'
    table = f"<table><thead><tr><th>Trip</th></tr></thead><tbody>{row}</tbody></table>"
    assert linked(table, SITE) == table


def test_a_thing_of_that_name_a_shared_title_and_its_own_page_are_no_links() -> None:
    for text in (
        "<p>“Rain” was left.</p>",
        "<p>“To the hut” was cold.</p>",
        "<h2>“Round the lake”</h2>",
        "<svg><text>“Round the lake”</text></svg>",
        '<p title="“Round the lake”">x</p>',
    ):
        assert linked(text, SITE) == text
    own = "<p>“Round the lake”</p>"
    assert linked(own, SITE, "lake") == own
    assert linked(own, Site(trips=(TripPage("lake", "Round the lake", date(2026, 5, 1)),))) == own


def test_the_day_beside_it_tells_which_trip_of_a_title_is_meant() -> None:
    text = "<p>“To the hut” (9 January 2026)</p>"
    assert 'href="debrief-hut-2.html"' in linked(text, SITE)
    table = (
        "<table><tr><th>Trip</th><th>From</th></tr>"
        "<tr><th>To the hut</th><td>4 January 2025</td></tr></table>"
    )
    assert 'href="debrief-hut-1.html"' in linked(table, SITE)


@pytest.mark.parametrize(("many", "there"), [(5, False), (6, True)])
def test_a_long_page_has_its_contents(many: int, there: bool) -> None:
    sections = "".join(
        f'<section class="tarebook-section" id="s{n}"><h2>Part {n} &amp; more</h2></section>'
        for n in range(many)
    )
    text = contents(f"<header><h1>A</h1></header>{sections}")
    assert ('<li><a href="#s0">Part 0 &amp; more</a></li>' in text) is there


def test_navigation_names_the_page_one_is_on_and_links_the_others() -> None:
    text = lines(SITE, "season_cull")
    assert text.index("index.html") < text.index("debrief.html")
    assert '<span aria-current="page">Leave at home</span>' in text
    assert "neighbours" not in text
    trip = lines(SITE, "debrief", "hut-2", plain=False)
    assert '<a rel="prev" href="debrief-hut-1.html">To the hut</a>' in trip
    assert '<a rel="next" href="debrief-lake.html">Round the lake</a>' in trip
    assert '<a href="debrief.html">Latest trip</a>' in trip
    assert lines(SITE, "debrief", "rain", plain=False) == lines(SITE, "debrief", "rain")
    assert lines(Site(), "debrief", "rain") == ""


def test_a_slim_drawing_keeps_its_words_and_its_shape() -> None:
    drawing = (
        '<svg width="9"><path aria-label="low: 3.14159" role="x" d="M1.23456,-0.001L10.999999,2"/>'
        '<path class="foreground" d="" display="none"/><path d="M0,0h0v0h0Z"/>'
        '<text font-family="A" opacity="1" class="x">3.14159 class="x"</text>'
        '<text font-family="A" opacity="0.5">b</text></svg>'
    )
    assert slimmed(drawing) == (
        '<svg font-family="A" width="9"><path d="M1.23,0L11,2"/><text>3.14159 class="x"</text>'
        '<text opacity="0.5">b</text></svg>'
    )
    two = '<svg><text font-family="A">a</text><text font-family="B">b</text></svg>'
    assert slimmed(two) == two


def test_a_slim_drawing_looks_the_same(browser: Any, tmp_path: Path) -> None:
    from tarebook.analysis.display.figure import Figure, chart_of
    from tarebook.analysis.display.theme import LAYOUTS

    rows = [{"day": n, "low": (n * 7) % 5 + 0.123456 * n} for n in range(20)]

    def build(_: Any) -> Any:
        return chart_of(rows).mark_line(point=True).encode(x="day:Q", y="low:Q", color="low:N")

    svg = Figure("lows", "Lows", build).svg(LAYOUTS[0])
    thin = slimmed(svg)
    assert len(thin) < 0.8 * len(svg)
    shots = []
    for name, drawing in (("whole", svg), ("slim", thin)):
        file = tmp_path / f"{name}.html"
        file.write_text(f'<meta charset="utf-8"><body style="margin:0">{drawing}', "utf-8")
        page = browser.new_page(viewport={"width": 720, "height": 500})
        page.goto(file.as_uri())
        shots.append(page.screenshot())
        page.close()
    whole, slim = shots
    # A hundredth of a pixel may turn the shade of a few at an edge; nothing is missing.
    assert different(whole, slim) < 0.001


def different(one: bytes, other: bytes) -> float:
    """The share of pixels of two pictures that differ by more than a tenth of the full range."""
    from io import BytesIO

    import numpy as np
    from PIL import Image

    first, second = (np.asarray(Image.open(BytesIO(b)).convert("RGB"), int) for b in (one, other))
    return float((np.abs(first - second).max(axis=2) > 25).mean())
