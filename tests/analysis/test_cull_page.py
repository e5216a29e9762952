"""What the page of a season says: of the demo, of a young logbook, and of odd requests."""

import json
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from tarebook.analysis.cull.page import page as cull_page
from tarebook.analysis.cull.page import words as cull_page_words
from tarebook.analysis.cull.page.charts import _apart
from tarebook.analysis.cull.page.packing_sheet import ON_THE_WATER
from tarebook.analysis.cull.page.page import CullPage
from tarebook.analysis.cull.results import Wish
from tarebook.analysis.display.cautions import KEEP_WARM_CARE, LEAVING_CARE
from tarebook.analysis.display.checklist import Sheet
from tarebook.analysis.display.sections import Section
from tarebook.analysis.display.tables import Table
from tarebook.analysis.display.theme import LAYOUTS, NARROW
from tarebook.analysis.display.words import Display
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.store.scope import Scope
from tarebook.analysis.usage.trip_range import TripToCome
from tarebook.analysis.usage.verdict_words import LABELS
from tarebook.tripdata.demo import truth
from tarebook.tripdata.store import store_path

TODAY = date(2026, 11, 25)
SECTIONS = (
    "what_to_leave",
    "next_cost",
    "by_kind",
    "to_say",
    "never_used",
    "undecided",
    "insurance",
    "everything",
    "checklist",
)


def plain(text: str) -> str:
    return text.replace("\u202f", " ")


def read(
    store: Any, scope: Scope | None = None, wish: Wish | None = None, **units: Any
) -> CullPage:
    return cull_page.read_cull(
        store, scope or Scope(), wish or Wish(), today=TODAY, display=Display(**units)
    )


def sections(page: CullPage) -> dict[str, Section]:
    return {name: getattr(page, name)() for name in SECTIONS}


@pytest.fixture(scope="module")
def page(demo: Any) -> CullPage:
    return read(demo)


@pytest.fixture(scope="module")
def young(logbook: Callable[[str], Path]) -> CullPage:
    with open_store(store_path(logbook("lakes"))) as store:
        return read(store, mass="oz", temperature="f", distance="mi")


def test_the_answer_comes_first(page: CullPage) -> None:
    opening = page.opening()
    assert opening.title == "What to leave at home"
    first = opening.points[0]
    assert plain(first.answer) == (
        "Leave these six at home on trips like these: 855 g less; you would want one of them about "
        "once in 7 trips, very likely no more than once in 3."
    )
    names = {j.about.item: j.about.name for j in page.data.judged}
    for item in truth.DEAD_WEIGHT:
        assert names[item] in first.more
    assert plain(opening.lines[0]) == "29 trips, 12 May 2023 – 8 November 2026"
    assert len(opening.lines) == 1, "walking, bike and boat have no usual weight together"
    assert opening.notices[0] == (
        "What was used is not noted for 1 trip: things count as carried there, never as unused."
    )
    (never,) = [p.answer for p in opening.points if p.about == "Never used"]
    assert never == (
        "26 of the 150 things that came along and are not given up, 146 your own and 4 borrowed, "
        "were never used."
    )
    lasts = {row["last"] for row in page.everything().table.rows}
    assert "November 2026" in lasts
    assert opening.caution.startswith("This goes by what was used")
    assert opening.notices[1].startswith("14 of the 66 nights that you judged were too cold.")


@pytest.mark.parametrize("which", ["page", "young"])
def test_every_section_answers_in_words_a_friend_would_use(
    which: str, request: pytest.FixtureRequest
) -> None:
    page: CullPage = request.getfixturevalue(which)
    slugs = {j.about.item for j in page.data.judged if "-" in j.about.item}
    slugs -= {
        word for j in page.data.judged for word in re.findall(r"[\w-]+", j.about.name.lower())
    }
    for name, section in sections(page).items():
        html = section.html()
        if section.missing:
            assert not html
            continue
        assert section.answer[0].endswith("."), name
        shown = re.sub(r"<(script|svg).*?</\1>", "", html, flags=re.DOTALL)
        for word in ("nan", "None", "inf ", "_yet", "too_few", "on_purpose", "no_chance", "[]"):
            assert word not in shown, (name, word)
        text = set(re.findall(r"[\w-]+", section.text()))
        assert not text & slugs, (name, text & slugs)
        assert not re.search(r"\d\.\d{4}", shown), name


@pytest.mark.parametrize("which", ["page", "young"])
def test_sentences_quote_names_and_speak_of_no_raw_column(
    which: str, request: pytest.FixtureRequest
) -> None:
    page: CullPage = request.getfixturevalue(which)
    opening = page.opening()
    told = [*opening.lines, *opening.notices, *(f"{p.answer} {p.more}" for p in opening.points)]
    for section in sections(page).values():
        told += [*section.answer, *section.notes, section.caution or ""]
    names = [j.about.name for j in page.data.judged if "," in j.about.name]
    assert any(name in sentence for name in names for sentence in told) or which == "young"
    for sentence in told:
        assert not re.search(r"\b[a-z]+_[a-z_]+\b", sentence), sentence
        for name in names:
            assert sentence.count(name) == sentence.count(f"“{name}”"), sentence


def test_a_verdict_has_one_name_on_the_page(page: CullPage) -> None:
    section = page.everything()
    assert section.table is not None
    tables = [t for t in (section.table, *section.more) if isinstance(t, Table)]
    assert len(tables) == 2
    for table in tables:
        names = {row["verdict"] for row in table.rows}
        assert {"Leave at home", "Kept on purpose", "Given up"} <= names <= set(LABELS.values())


def test_a_step_of_the_frontier_is_a_sum_and_no_advice(page: CullPage) -> None:
    section = page.next_cost()
    assert section.notes[0].startswith("A step is a sum, not advice")
    assert section.table is not None
    for column in section.table.columns:
        assert not re.match("(Also )?(leave|take|pack)\\b", column.header, re.IGNORECASE)


def test_pictures_are_sound_and_have_words(page: CullPage) -> None:
    drawn = [s.figure for s in sections(page).values() if s.figure]
    assert [f.name for f in drawn] == [
        "weight-against-use",
        "frontier",
        "by-kind",
        "never-used",
    ], "of what is undecided there is one bar, which is no picture"
    for figure in drawn:
        assert figure.alt
        for layout in LAYOUTS:
            spec = figure.spec(layout, validate=True)
            assert "http" not in json.dumps(spec)
            for axis in re.findall(r'"title": "([^"]*\()', json.dumps(spec)):
                assert axis


def test_the_eye_finds_what_may_go(page: CullPage) -> None:
    figure = page.what_to_leave().figure
    assert figure is not None
    drawing = figure.svg(NARROW)
    for judged in page.data.judged:
        if judged.verdict == "leave":
            assert judged.about.name.split(",")[0] in drawing


def test_labels_keep_apart_and_move_as_little_as_they_can() -> None:
    assert _apart([5.0, 1.0, 3.0], 1.0) == [5.0, 1.0, 3.0]
    moved = _apart([2.0, 2.0, 0.0], 1.0)
    assert moved == pytest.approx([2.5, 1.5, 0.0])
    assert _apart([], 1.0) == []
    many = _apart([1.0] * 5, 0.5)
    assert sorted(many, reverse=True) == pytest.approx([2.0, 1.5, 1.0, 0.5, 0.0])


def test_the_next_200_g_and_the_whole_frontier(page: CullPage) -> None:
    section = page.next_cost()
    assert section.heading == "How much more could stay at home"
    assert [plain(line) for line in section.answer] == [
        # The water bag, wanted on 7 of 25 occasions, is no option: that is above its threshold.
        "Nothing more: 855 g is all that could stay at home.",
    ]
    assert section.fold == "What each saving costs: 9 steps"
    assert section.table is not None
    assert len(section.table.rows) == len(page.data.frontier)


def test_insurance_is_weighed_never_blamed_and_its_checks_are_told(page: CullPage) -> None:
    section = page.insurance()
    assert (
        plain(section.answer[0]) == "44 things, 3.55 kg, are kept on purpose and stay, used or not."
    )
    assert "“Antihistamine” on 20 April 2024" in section.answer[-1]
    assert section.table is not None
    assert len(section.table.rows) == 44
    for sheet in sheets(page):
        left = [
            t.what for each in sheet.lists if each.heading == "Leave at home" for t in each.tasks
        ]
        for judged in page.data.judged:
            if judged.held is not None:
                assert judged.about.name not in left


def test_never_used_is_told_whole_and_apart_from_no_chance(page: CullPage) -> None:
    section = page.never_used()
    never = [j for j in page.data.judged if j.verdict and j.counts.never_used]
    tables = [t for t in (section.table, *section.more) if t is not None]
    assert sum(len(t.rows) for t in tables) == len(never)
    insured = sum(j.about.insurance for j in never)
    assert section.answer[0] == (
        f"{len(never)} things had their occasion and were never used. {insured} of them are "
        "insurance, kept on purpose."
    )
    for table in tables:
        assert all(row["why"] for row in table.rows), "each has its reason"


def test_by_kind_says_what_to_add_and_warns(page: CullPage) -> None:
    section = page.by_kind()
    assert section.caution is not None, "which is never folded"
    assert section.caution.startswith("If it may be wet, see that “Tarp, 2.4 by 3 m”")
    assert "If nights may be cold, see that “Winter sleeping bag”" in section.caution
    assert "A forecast is no promise, and cold can injure and kill." in section.caution


def sheets(page: CullPage) -> list[Sheet]:
    return [each for each in page.checklist().more if isinstance(each, Sheet)]


def test_there_is_a_sheet_a_way_of_travelling(page: CullPage) -> None:
    section = page.checklist()
    assert section.caution is not None
    assert [sheet.title for sheet in sheets(page)] == [
        "On foot: 11 trips",
        "By bike: 8 trips",
        "By e-bike: 5 trips",
        "By boat: 4 trips",
        "By several means: 1 trip",
    ]
    for sheet in sheets(page):
        assert 8 <= sheet.text().count("[ ]") <= 30
        assert not sheet.shown
        assert sheet.caution.startswith(LEAVING_CARE), "it stands on every paper"
        assert section.caution.startswith(sheet.caution), "and on the screen"
        assert "[ ] If it may be wet “Tarp, 2.4 by 3 m”" in sheet.text(), "whatever one travels by"
    foot, bike, *_, boat, _ = (sheet.text() for sheet in sheets(page))
    assert "[ ] Folding saw 188\u202fg" in foot
    assert "“Bicycle helmet”" in bike
    assert "“Bicycle helmet”" not in foot + boat
    assert "“Spare paddle”" in boat
    assert "“Spare paddle”" not in foot + bike


def test_what_failed_badly_is_in_sight_and_on_every_paper(page: CullPage) -> None:
    broken = replace(page, broken=("Stove, small",))
    shown = broken.checklist().html().split("<details")[0]
    assert "Do not use before it is mended" in shown
    assert "Stove, small" in shown
    for sheet in sheets(broken):
        assert "Do not use before it is mended\n[ ] Stove, small\n" in sheet.text()


def test_one_way_of_travelling_has_one_sheet_which_is_not_folded(demo: Any) -> None:
    page = read(demo, Scope.of(mode="foot"))
    assert not sheets(page)
    assert "<details" not in page.checklist().html().split('class="notes"')[0]
    assert "Field guide" in page.checklist().text()


def test_a_way_that_is_not_noted_has_a_sheet_of_its_own(page: CullPage) -> None:
    scoped = page.data.usage.scoped
    trips = tuple(replace(t, mode=None if t.mode == "foot" else t.mode) for t in scoped.trips)
    usage = replace(page.data.usage, scoped=replace(scoped, trips=trips))
    along = {None if way == "foot" else way: items for way, items in page.along.items()}
    first, *_ = sheets(replace(page, data=replace(page.data, usage=usage), along=along))
    assert first.title == "Where the way of travelling is not noted: 11 trips"
    assert "[ ] Folding saw" in first.text()


@pytest.mark.parametrize("item", ["boat", "foot", None])
def test_the_sheets_of_trips_to_come_are_open(page: CullPage, item: str | None) -> None:
    bike, other = (
        TripToCome(f"t{place}", f"Tour {place}", frozenset({5}), mode, 2, None)
        for place, mode in enumerate(("bike", item and item.replace("boat", "paddle")))
    )
    around = replace(page.data.around, to_come=(bike, other))
    shown = sheets(replace(page, data=replace(page.data, around=around)))
    assert len(shown) == 2
    assert all(sheet.shown for sheet in shown)
    alone = replace(page, data=replace(page.data, around=replace(around, to_come=(bike,))))
    assert not sheets(alone)


def test_a_young_logbook_is_told_how_long_to_wait(young: CullPage) -> None:
    opening = young.opening()
    assert plain(opening.points[0].answer) == (
        "On the record of 4 trips nothing can stay at home yet. The first thing could after 5 more "
        "trips without needing it."
    )
    early = young.undecided()
    assert early.answer[:2] == (
        "1 thing had too few occasions, or none, to be judged.",
        "“Paperback”: 5 more trips without needing it, and it could stay at home. One use, and it "
        "stays.",
    )
    assert "oz" in young.next_cost().heading
    for judged in young.data.judged:
        assert judged.verdict in (None, "keep", "kept_on_purpose", "too_few_trips", "owner_to_say")


def test_where_nothing_may_stay_at_home_the_picture_is_folded(
    page: CullPage, young: CullPage
) -> None:
    assert not page.what_to_leave().fold
    section = young.what_to_leave()
    assert section.figure is not None
    assert section.fold == "What each thing weighs, and how often it is used"
    few = replace(young, data=replace(young.data, judged=young.data.judged[:2]))
    assert few.what_to_leave().missing == "nothing to leave, and too few things for a picture"


def test_one_bar_is_no_picture(page: CullPage) -> None:
    section = page.undecided()
    assert section.figure is None
    assert section.table is not None
    never = [j for j in page.data.judged if j.counts.never_used and not j.about.insurance]
    one = replace(page, data=replace(page.data, judged=tuple(never[:1])))
    assert one.never_used().figure is None


def test_what_could_be_left_is_cautioned_about_on_the_first_screen(page: CullPage) -> None:
    nothing = replace(page.data.answer, left=(), point=page.data.frontier[0])
    bare = replace(page, data=replace(page.data, answer=nothing))
    assert bare.next_cost().html(), "the frontier names things to leave"
    care = bare.opening().caution
    assert care.startswith(f"{LEAVING_CARE} {KEEP_WARM_CARE} ")
    assert care.endswith(ON_THE_WATER)
    dry = replace(
        page.data.usage.scoped,
        trips=tuple(t for t in page.data.usage.scoped.trips if t.mode == "foot"),
    )
    usage = replace(page.data.usage, scoped=dry)
    on_foot = replace(page, data=replace(page.data, usage=usage))
    assert on_foot.opening().caution == f"{LEAVING_CARE} {KEEP_WARM_CARE}"
    said = " ".join(section.text() for section in sections(page).values())
    assert said.count(LEAVING_CARE) == 1, "and on the sheet, which goes along"


def test_other_wishes(demo: Any) -> None:
    much = read(demo, wish=Wish(save_g=890.0))
    assert "855 g" in plain(much.opening().points[0].answer)
    assert not much.data.answer.reached
    whole = read(demo, wish=Wish(save_g=50_000.0))
    assert "That is all that could stay at home, less than the 50.00 kg asked for." in plain(
        whole.opening().points[0].answer
    )
    light = read(demo, wish=Wish(target_g=9000.0))
    assert plain(light.opening().points[0].answer) == (
        "Your usual base weight, 7.83 kg, is within the target already."
    )
    asked_in = read(demo, Scope.of(mode="ebike"), Wish(undecided=True))
    assert "were considered too, as you asked" in " ".join(asked_in.opening().notices)


def test_a_season_without_any_record_of_use(demo: Any) -> None:
    page = read(demo, Scope.of("2026-08-01", "2026-08-31"))
    assert page.opening().notices[0].startswith("What was used is noted for none of the trips")
    assert page.never_used().missing == "what was used"
    assert {j.verdict for j in page.data.judged} <= {"keep", "kept_on_purpose", "no_chance_yet"}
    for section in sections(page).values():
        section.html()


def test_records_set_aside_are_told_at_the_top(page: CullPage) -> None:
    told = replace(page, set_aside=3).opening().notices[0]
    assert told.startswith("3 records of these trips could not be read and are missing here.")


def test_what_lies_beyond(page: CullPage) -> None:
    assert cull_page_words.point_beyond(page.data, 1.0) is None, "the answer is all that may go"
    less = replace(page.data, answer=replace(page.data.answer, point=page.data.frontier[0]))
    point = cull_page_words.point_beyond(less, 1.0)
    assert point is not None
    assert point.saved_g > less.answer.point.saved_g
    assert cull_page_words.point_beyond(less, 10**6) is None
