"""What the page on comfort says: of the demo, of a few nights, and of none at all."""

import json
import re
import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from tarebook.analysis.comfort import words as comfort_words
from tarebook.analysis.comfort.page import page as comfort_page
from tarebook.analysis.comfort.page.page import ComfortPage
from tarebook.analysis.display.cautions import NEW_BEDDING_CARE, SWAP_CARE
from tarebook.analysis.display.markup import escape
from tarebook.analysis.display.sections import Section
from tarebook.analysis.display.theme import LAYOUTS
from tarebook.analysis.display.words import Display
from tarebook.analysis.stats.estimate import Estimate
from tarebook.analysis.store.opening import open_store
from tarebook.tripdata.demo import write_demo
from tarebook.tripdata.store import load_logbook, store_path

TODAY = date(2026, 11, 25)
SECTIONS = (
    "shelf",
    "weight",
    "next_swap",
    "cold_limit",
    "cold_ahead",
    "sureness",
    "not_told",
)


def sections(page: ComfortPage) -> dict[str, Section]:
    return {name: getattr(page, name)() for name in SECTIONS}


@pytest.fixture(scope="module")
def page(demo: Any) -> ComfortPage:
    return comfort_page.read_comfort(demo, "", today=TODAY, display=Display())


def small(folder: Path, nights: int) -> ComfortPage:
    """The demo with the scores of so many first nights, and none of the days."""
    write_demo(folder)
    kept = 0
    for file in sorted(folder.glob("trips/*/comfort.csv")):
        head, *lines = file.read_text("utf-8").splitlines()
        place = head.split(",").index("aspect")
        rows = [line for line in lines if line.split(",")[place] in ("", "sleep")]
        rows = rows[: max(0, nights - kept)]
        kept += len(rows)
        file.write_text("\n".join([head, *rows]) + "\n", "utf-8")
        if not nights:
            file.unlink()
    load_logbook(folder)
    with open_store(store_path(folder)) as store:
        return comfort_page.read_comfort(store, "", today=TODAY, display=Display())


def test_the_opening_answers_first(page: ComfortPage) -> None:
    told = page.opening()
    assert told.title == "What a point of comfort weighed"
    points = {point.about: point for point in told.points}
    assert points["Earned its weight"].answer == "“Sit chair” (camp)."
    assert points["Earned its weight"].more.startswith(
        "+0.4 points to camp scores (very likely 0.01 to"
    )
    assert points["To try next"].answer.startswith(("Leave ", "Take "))
    # The camps of the demo were colder than the normals; the other plan lacks its mat.
    near, far = (p for p in told.points if p.about.startswith("A cold night on"))
    assert near.answer == "No mat is on the list."
    assert near.more.startswith("Without one you will be colder than your record can say. With “")
    # The range stands beside its own figure, not after that of the other set.
    assert far.answer.replace("\u202f", " ") == (
        "About 6 in 10 (very likely 33 % to 81 %) that at least one night is too cold in “Summer "
        "quilt”; in “Winter sleeping bag” about 1 in 30."
    )
    assert far.more == "Look at the forecast."
    assert told.caution == NEW_BEDDING_CARE
    # Answer, risk and caution come first, so that a telephone shows them without scrolling.
    first = [point.about.split(" “")[0] for point in told.points[:3]]
    assert first == ["Earned its weight", "A cold night on", "A cold night on"]
    html = told.html()
    assert html.index("A cold night on") < html.index(escape(NEW_BEDDING_CARE))
    assert html.index(escape(NEW_BEDDING_CARE)) < html.index("In “") < html.index("To try next")
    # Two trips and three sets are five lines.
    table = sections(page)["cold_ahead"].table
    assert table is not None
    assert table.size == "5 lines"
    scored, notice = told.notices
    assert scored.startswith("Scored: 62 nights, ")
    assert notice.startswith("Sleep scores of 4 nights do not count, because sleep or shelter gear")


def test_a_thing_has_one_verdict_and_an_end_beside_zero_its_digits(page: ComfortPage) -> None:
    pillow = [s for s in page.shelf().answer if "Inflatable pillow" in s]
    assert len(pillow) == 1
    assert pillow[0].startswith("Too early to say: ")
    assert "Scores so far were lower with “Inflatable pillow” (camp" in pillow[0]
    verdicts = {row["what"]: row["verdict"] for row in page.shelf().table.rows if row["verdict"]}
    assert verdicts["Inflatable pillow"] == "Too early to say. Lower with it so far"
    assert any("“Lower with it so far” is none" in each for each in page.shelf().notes)
    by_chance = re.search(r"among \d+ gains a few look like this by chance", pillow[0])
    assert by_chance
    chair = page.shelf().answer[0]
    assert chair.endswith(f"But {by_chance[0]}."), "a help by chance is as likely as a hindrance"
    assert page.opening().points[0].more.endswith(f"But {by_chance[0]}.")
    figure = page.shelf().figure
    assert figure is not None
    drawn = json.dumps(figure.build(LAYOUTS[0]).to_dict(), ensure_ascii=False)
    assert "Inflatable pillow" in drawn, "what a sentence names is drawn"
    assert "those named with lower scores" in figure.caption
    note = " ".join(page.shelf().notes).replace("\u202f", " ")
    assert "Chance of help: 95 % and more has earned its weight, 80 % and more probably" in note
    ends = [(0.04, 0.93), (-0.004, 0.3), (0.0, 1.0)]
    told = [comfort_words.interval_text(Estimate(0.1, low, high, 5)) for low, high in ends]
    assert told == ["0.04 to 0.9", "−0.004 to 0.3", "0.0 to 1.0"]


def test_every_section_answers_in_words(page: ComfortPage) -> None:
    found = sections(page)
    assert [name for name, s in found.items() if s.missing is not None] == ["not_told"]
    text = "\n".join(section.text() for section in found.values())
    for word in (
        "not_known",
        "always_along",
        "never_taken_out",
        "goes_with",
        "nan",
        "None",
        "inf ",
        "sit-chair",
        "0.0 to 0.0",
    ):
        assert word not in text, word
    assert "Too early to say: " in found["shelf"].text()
    assert "They may help or hinder; the log cannot say yet." in found["shelf"].text()
    assert "Never taken out, as far as you noted, so not judged: “Field guide to trees”" in text
    assert "Allowed for in sleep scores: a night 5 °C milder adds about 0.4 points" in (
        text.replace("\u202f", " ").replace("\u00a0", " ")
    )
    assert "Always along on the days with a score, so not judged: “E-reader”" in text
    assert "a point of camp score weighed about" in found["weight"].text()
    assert "On the efficient edge" in found["weight"].text()
    assert found["shelf"].answer[0].startswith("“Sit chair” earned its weight")
    assert "we assume that nine gains in ten are smaller than 0.8 points" in text
    assert "of 45 judged nights were too cold" in text


def test_cold_comes_with_its_cautions(page: ComfortPage) -> None:
    limit, ahead = page.cold_limit().caution or "", page.cold_ahead().caution or ""
    for word in ("Ratings compare bags", "promise nothing", "injure and kill", "near home"):
        assert word in limit
    assert "Normals say what is usual" in ahead
    assert "promise nothing" in ahead
    assert page.next_swap().caution == SWAP_CARE
    assert "stays packed, also where it is named here" in SWAP_CARE


def test_what_stands_below_the_answer_is_folded_and_no_warning_is(page: ComfortPage) -> None:
    for name in ("weight", "next_swap", "sureness"):
        section = sections(page)[name]
        seen, folded, below = section.html().partition("<details")
        assert folded
        assert escape(section.answer[0]) in seen
        assert section.caution is None or escape(section.caution) in seen
        # What is folded is opened once: nothing in it folds again.
        assert "<details" not in below
    seen = page.cold_limit().html().partition("<details")[0]
    assert "The coldest judged night fell to −5" in seen
    assert "what the curves say of colder ones is a guess" in seen


def test_one_gain_has_no_picture_of_one_dot(page: ComfortPage) -> None:
    first, *_ = page.aspects
    one = next(gain for gain in first.gains if gain in first.comforts)
    other = replace(page, aspects=(replace(first, gains=(one,)),))
    assert other.shelf().figure is None
    assert other.shelf().table is not None
    assert other.weight().figure is None


def test_pictures_are_drawn_in_both_widths(page: ComfortPage) -> None:
    figures = [s.figure for s in sections(page).values() if s.figure is not None]
    assert [f.name for f in figures] == ["gains", "weight-against-gain", "cold-limits"]
    for figure in figures:
        for layout in LAYOUTS:
            spec = figure.spec(layout, validate=True)
            assert spec["width"] == layout.px
            drawn = figure.svg(layout)
            assert "NaN" not in drawn
            assert "undefined" not in drawn
    narrow, wide = (figures[1].svg(layout) for layout in reversed(LAYOUTS))
    for name in ("Sit chair", "Inflatable pillow"):
        assert name in narrow
        assert name in wide


def test_what_goes_with_better_days_has_a_mark_and_a_sentence_of_its_own(page: ComfortPage) -> None:
    aspects = []
    for aspect in page.aspects:
        tied = tuple(
            replace(g, ease_share=0.9) if g.bundle.bundle == "lantern" else g for g in aspect.gains
        )
        aspects.append(replace(aspect, gains=tied))
    other = replace(page, aspects=tuple(aspects))
    points = {point.about: point for point in other.opening().points}
    assert points["Goes with better days"].answer == "“Camp lantern”."
    assert "Camp lantern" not in points["Too early to say"].answer
    shelf = other.shelf()
    assert "Goes with better days: “Camp lantern”. It came along on easy trips, or" in shelf.text()
    assert shelf.figure is not None
    for layout in LAYOUTS:
        spec = json.dumps(shelf.figure.spec(layout, validate=True))
        assert '"Goes with better days"' in spec
        assert "diamond" in spec


def test_units_are_the_readers_own(demo: Any) -> None:
    page = comfort_page.read_comfort(demo, "", today=TODAY, display=Display("oz", "f", "mi"))
    text = "\n".join(section.html() for section in sections(page).values())
    words = "\n".join(section.text() for section in sections(page).values())
    assert "°C" not in words
    assert "°F" in words
    assert " kg" not in words.replace("comfort", "")
    assert "Points per lb" in text
    assert "Ounces per point" in text
    assert "(oz)" in text


def test_a_limit_is_one_figure_and_no_leave_to_go_there(page: ComfortPage) -> None:
    points = [point for point in page.opening().points if point.about.startswith("In “")]
    assert points
    text = page.cold_limit().text().replace("\u202f", " ")
    for about in points:
        point = replace(
            about,
            answer=about.answer.replace("\u202f", " "),
            more=about.more.replace("\u202f", " "),
        )
        at = re.fullmatch(r"At (−?\d+\.\d °C) one night in five is too cold\.", point.answer)
        assert at, point.answer
        assert "Down to" not in point.answer
        assert f"one night in five is too cold for you at {at[1]} (very likely" in text
        assert re.match(r"Very likely −?\d+ to −?\d+ °C, from \d+ nights\. Rated ", point.more)


def test_five_nights_make_modest_statements(tmp_path: Path) -> None:
    page = small(tmp_path, 5)
    told = page.opening()
    # Five are noted; on one of them the mat was flat.
    assert any("Only 4 nights are scored: too few to tell" in n for n in told.notices)
    abouts = [point.about for point in told.points]
    assert "Earned its weight" not in abouts
    limits = [point for point in told.points if point.about.startswith("In “")]
    assert limits
    assert all("Too early to say" in point.answer for point in limits)
    assert len(set(abouts)) == len(abouts), "one name for each line"
    text = "\n".join(section.text() for section in sections(page).values())
    assert "mostly what was assumed beforehand" in text
    assert "earned its weight:" not in text


def test_no_score_at_all_is_no_error(tmp_path: Path) -> None:
    page = small(tmp_path, 0)
    told = page.opening()
    assert any("No comfort score is noted yet" in notice for notice in told.notices)
    found = sections(page)
    assert found["shelf"].missing
    assert found["next_swap"].missing
    assert found["not_told"].answer == ("For more, the logbook wants a comfort score.",)
    assert "No night has both a low and a warmth vote yet" in found["cold_limit"].text()
    assert "Your nights say nothing of it yet" in found["cold_limit"].text()
    # Of the one plan the list lacks its mat; the other's chance rests on the rating alone.
    ahead = found["cold_ahead"].text()
    assert "no mat is on the list." in ahead
    assert "you have judged no night" in ahead


def test_a_hand_written_logbook(logbook: Callable[[str], Path], tmp_path: Path) -> None:
    with open_store(store_path(logbook("lakes"))) as store:
        page = comfort_page.read_comfort(store, "", today=TODAY, display=Display())
    # No chance can be told, but what is wrong with the bed of the plan is.
    told = page.cold_ahead().text()
    assert "No weather station with normals lies within" in told
    assert "“Air mat” worked badly on 15 May 2026 (“slow leak at the valve”)" in told
    assert "No comfort has earned its weight beyond doubt yet" in page.shelf().text()
    folder = tmp_path / "lakes"
    shutil.copytree(logbook("lakes"), folder)
    with (folder / "trip.csv").open("a", encoding="utf-8") as file:
        file.write("2027-06-bare,Nothing packed,2027-06-01,2027-06-03,foot,,,,,,yes,\n")
    load_logbook(folder)
    with open_store(store_path(folder)) as store:
        bare = comfort_page.read_comfort(store, "2027-06-bare", today=TODAY, display=Display())
    assert bare.cold_ahead().text() == ""
    assert bare.cold_ahead().missing == "sleep gear with a rating on the list of “Nothing packed”"


def test_records_that_are_missing_are_told(tmp_path: Path) -> None:
    write_demo(tmp_path)
    file = next(iter(sorted(tmp_path.glob("trips/*/comfort.csv"))))
    with file.open("a", encoding="utf-8") as out:
        out.write("not a day,sleep,4,0,\n")
    load_logbook(tmp_path)
    with open_store(store_path(tmp_path)) as store:
        page = comfort_page.read_comfort(store, "", today=TODAY, display=Display())
    assert any("1 record of this logbook could not be read" in n for n in page.opening().notices)


def test_a_page_made_twice_is_the_same(page: ComfortPage, demo: Any) -> None:
    again = comfort_page.read_comfort(demo, "", today=TODAY, display=Display())
    assert again.opening().html() == page.opening().html()
    assert [s.html() for s in sections(again).values()] == [
        s.html() for s in sections(page).values()
    ]
