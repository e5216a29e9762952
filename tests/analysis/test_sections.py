import json
import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any

import altair as alt
import pandas as pd
import pytest
from IPython.core.formatters import DisplayFormatter
from tarebook.analysis.display import tables, theme, words
from tarebook.analysis.display.checklist import Checklist, Task
from tarebook.analysis.display.figure import Figure, chart_of
from tarebook.analysis.display.markup import escape
from tarebook.analysis.display.sections import FINDINGS, NOTES, Opening, Point, Section
from tarebook.analysis.display.theme import NARROW, WIDE, Layout

NAME = '</script><b>"\u202ex\x07'
ROWS = [{"item": NAME, "g": 210.0}, {"item": "Quilt", "g": 640.0}]


def bars(layout: Layout) -> Any:
    picked = alt.selection_point(fields=["item"])
    return (
        alt.Chart(alt.Data(values=ROWS))
        .mark_bar(clip=True)
        .encode(x=alt.X("g:Q", title="Weight (g)"), y=alt.Y("item:N", title=None))
        .add_params(picked)
        .properties(height=layout.rows(2))
    )


FIGURE = Figure("weights", f"Bars; {NAME} is the shorter.", bars, "Two items")
COLUMNS = (
    tables.text("item", "Item"),
    tables.measured("g", "Weight", words.small_mass(words.Display())),
)


def test_a_figure_is_drawn_twice_within_its_width_and_in_readable_type() -> None:
    for layout in (WIDE, NARROW):
        drawing = ET.fromstring(FIGURE.svg(layout))
        assert float(drawing.attrib["width"]) == layout.px
        sizes = {
            float(each.attrib["font-size"].removesuffix("px"))
            for each in drawing.iter()
            if "font-size" in each.attrib
        }
        assert sizes
        assert min(sizes) >= 11


def test_a_figure_names_no_address_and_repeats_to_the_byte() -> None:
    # Altair counts views and parameters through the whole process.
    first = FIGURE.html()
    assert replace(FIGURE).html() == first
    assert "http" not in first
    assert "$schema" not in first


def test_a_picture_is_the_same_where_the_last_digits_differ() -> None:
    def figure(grams: float) -> Figure:
        rows = [{"item": "a", "g": grams}, {"item": "b", "g": grams - 0.1 - 0.2}]
        chart = alt.Chart(alt.Data(values=rows)).mark_bar().encode(x="g:Q", y="item:N")
        return Figure("weights", "Bars.", lambda _: chart)

    # 0.1 + 0.2 is not 0.3 in binary: the last row is nothing, or all but nothing.
    assert figure(0.3).html() == figure(0.1 + 0.2).html()
    assert figure(0.3).html() == figure(math.nextafter(0.3, 1)).html()
    assert figure(0.3).html() != figure(0.30001).html()


@pytest.mark.parametrize("odd", ["\u2028", "\u2029", "\u0085", "\n", "\x07", "\ud800"])
def test_a_name_in_an_order_is_cleaned_like_one_in_the_data(odd: str) -> None:
    name = f"Tent{odd}for two"

    def chart(layout: Layout) -> Any:
        data = alt.Data(values=[{"item": name, "g": 3.0}, {"item": "Mat", "g": 1.0}])
        y = alt.Y("item:N", sort=[name, "Mat"])
        return alt.Chart(data).mark_bar().encode(x="g:Q", y=y)

    figure = Figure("weights", "Bars.", chart)
    spec = figure.spec(WIDE)
    assert spec["encoding"]["y"]["sort"][0] == spec["data"]["values"][0]["item"]
    assert odd not in json.dumps(spec, ensure_ascii=False)
    assert "Tent" in figure.svg(WIDE)


def test_two_figures_on_a_page_share_no_id() -> None:
    other = Figure("other", "The same bars.", bars)
    ids = [re.findall(r' id="([^"]+)"', each.svg(WIDE)) for each in (FIGURE, other)]
    assert ids[0]
    assert not set(ids[0]) & set(ids[1])
    assert f"url(#{ids[0][0]})" in FIGURE.svg(WIDE)
    assert not set(re.findall(r' id="([^"]+)"', FIGURE.svg(NARROW))) & set(ids[0])


def test_person_written_text_in_a_figure_is_data_and_harmless() -> None:
    page = FIGURE.html()
    specs = re.findall(r'class="vega-spec"[^>]*>(.*?)</script>', page)
    assert len(specs) == 2
    for text in specs:
        values = json.loads(text)["data"]["values"]
        assert values[0]["item"] == '</script><b>"x'
    drawn = re.sub(r"<script.*?</script>", "", page)
    assert "<b>" not in drawn
    assert "</b" not in drawn


def test_a_figure_needs_an_alt_text() -> None:
    with pytest.raises(ValueError, match="figure weights: an alt text is needed"):
        Figure("weights", " ", bars)


def test_a_section_shows_itself_as_html_and_plain_text_and_hands_its_answer_on() -> None:
    section = Section("Load", ("You carried 850 g.", "All of it."), FIGURE, notes=("n = 1",))
    bundle, _ = DisplayFormatter().format(section)
    assert set(bundle) == {"text/html", "text/plain", FINDINGS}
    assert bundle[FINDINGS] == {"answer": "You carried 850 g."}
    assert bundle["text/plain"] == "Load\n\nYou carried 850 g.\nAll of it.\nn = 1"
    html = bundle["text/html"]
    answer, picture = html.index("You carried"), html.index("<figure")
    assert html.index("<h2>Load</h2>") < answer < picture < html.index("n = 1")
    # Told once; both drawings are hidden from who cannot see them.
    assert re.findall(r"<div ([^>]*)>", html) == [
        f'role="img" aria-label="{escape(FIGURE.alt)}"',
        'class="plot wide" aria-hidden="true"',
        'class="plot narrow" aria-hidden="true" style="display:none"',
    ]
    assert html.count("display:none") >= 1
    assert "mathjax_ignore" in html


def test_a_caution_stands_before_the_picture() -> None:
    html = Section("Cold", ("It froze.",), FIGURE, caution="Cold can kill.").html()
    assert html.index("Cold can kill.") < html.index("<figure")


@pytest.mark.parametrize(
    ("first", "order"),
    [(None, ("One", "Two", "Take care.")), (1, ("One", "Take care.", "Two"))],
)
def test_the_caution_of_an_opening_stands_after_its_first_points(
    first: int | None, order: tuple[str, ...]
) -> None:
    opening = Opening(
        "T", points=(Point("One", "1."), Point("Two", "2.")), caution="C", care_after=first
    )
    for told in (opening.html(), opening.text()):
        places = [told.index(each) for each in order]
        assert places == sorted(places)
    assert opening.html().count('<dl class="points">') == (1 if first is None else 2)


def test_an_empty_section_shows_nothing_and_keeps_its_reason() -> None:
    section = Section.empty("Failures", "no failure was written")
    assert section._repr_mimebundle_() == {"text/html": "", "text/plain": ""}
    assert section.missing == "no failure was written"
    with pytest.raises(ValueError, match="section X: needs an answer, or what is missing"):
        Section("X")


def test_everything_a_person_wrote_is_escaped() -> None:
    page = Opening(NAME, (NAME,), (NAME,)).html()
    page += Section(
        NAME,
        (NAME, NAME),
        table=tables.Table.of(COLUMNS, ROWS, NAME, caption=NAME),
        notes=(NAME,),
        caution=NAME,
    ).html()
    assert "</script>" not in page
    assert "<b>" not in page
    assert "\u202e" not in page
    assert "\x07" not in page


def test_a_table_says_units_and_writes_missing_values_as_a_dash() -> None:
    frame = pd.DataFrame({"item": ["Stove", "Quilt"], "g": [92.0, None]})
    html = tables.Table.of(COLUMNS, frame, "item").html()
    assert '<th scope="col" style="text-align:right">Weight <span class="unit">(g)</span>' in html
    assert '<th scope="row" style="text-align:left">Stove</th>' in html
    assert 'aria-label="not known">–</td>' in html
    assert "nan" not in html
    assert "<details" not in html


def test_a_long_table_folds_behind_a_line_that_counts_its_rows() -> None:
    rows = [{"item": f"Item {n}", "g": n} for n in range(13)]
    assert "<details" not in tables.Table.of(COLUMNS, rows[:12], "item").html()
    html = tables.Table.of(COLUMNS, rows, "item").html()
    assert "<summary>Table: 13 items</summary>" in html
    html = tables.Table.of(COLUMNS, rows, "item", caption="All gear").html()
    assert "<summary>All gear: 13 items</summary>" in html


def test_a_table_without_rows_is_nothing() -> None:
    assert tables.Table.of(COLUMNS, [], "item").html() == ""


def _linear(colour: str) -> list[float]:
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    return [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]


def _contrast(one: str, other: str) -> float:
    light = sorted(
        (sum(w * c for w, c in zip((0.2126, 0.7152, 0.0722), _linear(each), strict=True)))
        for each in (one, other)
    )
    return (light[1] + 0.05) / (light[0] + 0.05)


GROUNDS = pytest.mark.parametrize("ground", [theme.LIGHT, theme.DARK], ids=["light", "dark"])
MARKS = ("context", *(name for name in theme.COLOURS if name != "yellow"))
FAINTEST = 0.9
"""How opaque marks of a picture are at least; what is fainter is a band behind marks."""


def _over(colour: str, paper: str, opacity: float) -> str:
    parts = ([int(c[n : n + 2], 16) for n in (1, 3, 5)] for c in (colour, paper))
    mixed = (opacity * a + (1 - opacity) * b for a, b in zip(*parts, strict=True))
    return "#" + "".join(f"{round(each):02X}" for each in mixed)


@pytest.mark.outside(
    "published",
    "WCAG 2.2, relative luminance, contrast ratio, 1.4.3 and 1.4.11",
    "4.5 to 1 for text, 3 to 1 for graphics; black on white is 21, #777777 on white 4.48",
)
@GROUNDS
def test_text_and_marks_stand_out_from_the_paper(ground: Mapping[str, str]) -> None:
    # The ruler itself: black on white, and the grey that is just too faint for text.
    assert _contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert _contrast("#777777", "#FFFFFF") == pytest.approx(4.48, abs=0.005)
    for paper in ("paper", "tint", "warm"):
        # Links are blue; what stands out in a picture is written in vermillion.
        for ink in ("ink", "soft", "blue", "vermillion"):
            assert _contrast(ground[ink], ground[paper]) >= 4.5, (ink, paper)
    for mark in MARKS:
        faint = _over(ground[mark], ground["paper"], FAINTEST)
        assert _contrast(faint, ground["paper"]) >= 3, mark


def test_light_and_dark_name_the_same_colours_and_no_two_light_ones_are_alike() -> None:
    assert set(theme.LIGHT) == set(theme.DARK)
    # A rule finds a colour of a picture by its value.
    assert len(set(theme.LIGHT.values())) == len(theme.LIGHT)
    rules = theme.colour_rules()
    for name in ("paper", "grid", *MARKS):
        assert f'.plot [fill="{theme.LIGHT[name]}" i]{{fill:var(--{name})}}' in rules
        assert f'.plot [stroke="{theme.LIGHT[name]}" i]{{stroke:var(--{name})}}' in rules


@pytest.mark.outside(
    "published",
    "Okabe & Ito 2008, Color Universal Design, as R's khroma and Rbearcat have it",
    "#E69F00 #56B4E9 #009E73 #F0E442 #0072B2 #D55E00 #CC79A7 and black",
)
def test_the_palette_is_the_published_one() -> None:
    assert list(theme.OKABE_ITO.values()) == (
        ["#000000", "#E69F00", "#56B4E9", "#009E73", "#F0E442", "#0072B2", "#D55E00", "#CC79A7"]
    )


# Of linear RGB, severity 1.0.
PROTAN = (
    (0.152286, 1.052583, -0.204868),
    (0.114503, 0.786281, 0.099216),
    (-0.003882, -0.048116, 1.051998),
)
DEUTAN = (
    (0.367322, 0.860646, -0.227968),
    (0.280085, 0.672501, 0.047413),
    (-0.011820, 0.042940, 0.968881),
)


def _lab(rgb: list[float]) -> list[float]:
    # CIE 1976 L*a*b*, D65, from linear sRGB (IEC 61966-2-1).
    matrix = ((0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505))
    xyz = [sum(m * c for m, c in zip(row, rgb, strict=True)) for row in matrix]
    ratio = [v / w for v, w in zip(xyz, (0.95047, 1.0, 1.08883), strict=True)]
    f = [v ** (1 / 3) if v > 216 / 24389 else (24389 / 27 * v + 16) / 116 for v in ratio]
    return [116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])]


@pytest.mark.outside(
    "published",
    "CIE 1976: 2.3 is just noticeable (Mahy, Van Eycken & Oosterlinck 1994) and two colours are "
    "seen from 5 on, as the documentation of colour-science has it; 10 is twice that",
    "colours of one picture differ by more than 10",
)
@pytest.mark.outside(
    "published",
    "Machado, Oliveira & Fernandes 2009, IEEE Trans Vis Comput Graph 15: 1291, severity 1.0, "
    "as public code has the tables (AcerolaFX)",
    "matrices of protanomaly (.152286 1.052583 -.204868 ...) and deuteranomaly (.367322 "
    ".860646 -.227968 ...)",
)
@GROUNDS
@pytest.mark.parametrize("matrix", [PROTAN, DEUTAN])
@pytest.mark.parametrize(
    "names",
    [
        ("blue", "orange", "green", "purple"),  # the first of a series
        ("vermillion", "orange", "purple", "context"),  # verdicts
        ("sky", "green", "vermillion", "black"),  # seasons
        ("blue", "vermillion"),
    ],
)
def test_colours_of_one_picture_differ_for_colour_blind_eyes(
    names: tuple[str, ...], matrix: tuple[tuple[float, ...], ...], ground: Mapping[str, str]
) -> None:
    assert [theme.COLOURS[name] for name in ("blue", "orange", "green", "purple")] == list(
        theme.SERIES[:4]
    )
    seen = []
    for colour in (ground[name] for name in names):
        linear = _linear(colour)
        mixed = [sum(m * c for m, c in zip(row, linear, strict=True)) for row in matrix]
        seen.append(_lab([min(1, max(0, c)) for c in mixed]))
    for place, one in enumerate(seen):
        for other in seen[place + 1 :]:
            assert sum((a - b) ** 2 for a, b in zip(one, other, strict=True)) ** 0.5 > 10


def test_a_table_gives_a_typed_frame_in_the_units_of_its_headers() -> None:
    columns = (
        tables.text("item", "Item"),
        tables.words("system", "System"),
        tables.measured("g", "Weight", words.small_mass(words.Display("oz"))),
        tables.whole("n", "Times"),
        tables.decimal("wh", "Battery", "Wh"),
        tables.dates("day", "Last"),
        tables.yes_no("used", "Needed"),
        tables.Column("share", "Share", align="right", write=words.percent),
    )
    full = {"item": "Mug", "system": "first_aid", "g": 100.0, "n": 2, "wh": 0.25, "used": False}
    rows = [{**full, "day": date(2026, 5, 1), "share": 0.5}, {"item": "Quilt", "g": math.nan}]
    table = tables.Table.of(columns, rows, "item")
    frame = table.frame()
    expected = {
        "Item": ("string", "Mug"),
        "System": ("string", "First aid"),
        "Weight (oz)": ("float64", 100 / 28.349523125),
        "Times": ("Int64", 2),
        "Battery (Wh)": ("float64", 0.25),
        "Last": ("datetime64[s]", pd.Timestamp("2026-05-01")),
        "Needed": ("boolean", False),
        "Share": ("string", "50\u202f%"),
    }
    assert {name: str(dtype) for name, dtype in frame.dtypes.items()} == {
        name: dtype for name, (dtype, _) in expected.items()
    }
    assert frame.iloc[0].to_list() == [value for _, value in expected.values()]
    assert frame.iloc[1].isna().to_list() == [False] + [True] * 7
    assert frame.attrs["units"]["Weight (oz)"] == "oz"
    empty = tables.Table.of(columns, [], "item").frame()
    assert empty.dtypes.to_list() == frame.dtypes.to_list()


def test_a_header_that_comes_twice_names_the_one_before_it() -> None:
    columns = [
        tables.text(key, header) for key, header in zip("abcd", ["A", "90 %"] * 2, strict=True)
    ]
    columns[2] = tables.text("c", "C")
    frame = tables.Table.of(columns, [dict(zip("abcd", "wxyz", strict=True))], "row").frame()
    assert frame.columns.to_list() == ["A", "A: 90 %", "C", "C: 90 %"]
    assert frame.iloc[0].to_list() == list("wxyz")


def test_a_section_gives_its_first_table_as_a_frame_or_none() -> None:
    table = tables.Table.of(COLUMNS, ROWS, "item")
    later = tables.Table.of(COLUMNS, ROWS[:1], "item")
    for section in (
        Section("Weights", ("Two.",), table=table, more=(later,)),
        Section("Weights", ("Two.",), more=(Checklist("To do", (Task("Mend"),)), table)),
    ):
        frame = section.frame()
        assert frame is not None
        assert frame["Weight (g)"].to_list() == [210.0, 640.0]
    assert Section("Weights", ("None.",)).frame() is None
    assert Section.empty("Weights", "nothing was weighed").frame() is None


def test_what_is_folded_leaves_answer_and_caution_in_sight() -> None:
    table = tables.Table(COLUMNS, tuple(ROWS), "thing")
    more = {"answer": ("The answer.", "Why."), "caution": "Cold can injure and kill."}
    page = Section("Side matters", **more, table=table, notes=("How.",), fold="All <of it>").html()
    seen, opened, below = page.partition(
        '<details class="tarebook-fold"><summary>All &lt;of it&gt;</summary>'
    )
    assert opened
    for words_seen in ("Side matters", "The answer.", "Cold can injure and kill."):
        assert words_seen in seen
        assert words_seen not in below
    for words_below in ("Why.", "Quilt", "How."):
        assert words_below in below
        assert words_below not in seen
    assert below.count("<details") == 0
    assert "<details" not in Section("Side matters", ("The answer.",), fold="More").html()


def test_long_notes_are_folded_and_short_ones_are_not() -> None:
    assert "<details" not in Section("One", ("Yes.",), notes=("Short.",)).html()
    page = Section("One", ("Yes.",), notes=("Long. " * 30, "Longer. " * 30)).html()
    assert page.count("<details") == 1
    assert page.index(NOTES) < page.index("Longer.")


def test_channels_of_plain_text_are_those_that_altair_would_find(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    rows = [{"a": 1, "b": "x"}]
    plain = {"x": "a:Q", "x2": "a:Q", "y": alt.value(3), "text": "b:N", "color": alt.value("red")}
    more = {
        "detail": ["b:N", "a:Q"],
        "opacity": alt.when(alt.datum.a > 0).then(alt.value(1)).otherwise(alt.value(0.5)),
        "order": alt.Order("a:Q"),
    }
    bare = alt.Chart(alt.InlineData(values=(*rows,))).mark_text(dx=2).encode(**plain, **more)
    own = chart_of(rows).mark_text(dx=2).encode(**plain, **more)
    assert alt.layer(own, own).to_dict() == alt.layer(bare, bare).to_dict()

    def looked_up(*_: Any, **__: Any) -> None:
        raise AssertionError("looked up in the whole schema")

    monkeypatch.setattr(alt.SchemaBase, "from_dict", looked_up)
    assert chart_of(rows).mark_text().encode(**plain).to_dict()["encoding"].keys() == plain.keys()
