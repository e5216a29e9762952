"""What a season's page says where going without could hurt: rain gear, boats, weather."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from tarebook.analysis.cull.page.page import CullPage, read_cull
from tarebook.analysis.cull.page.tables import BOUND_NOTE
from tarebook.analysis.cull.results import Wish
from tarebook.analysis.display.cautions import WATER_CARE
from tarebook.analysis.display.checklist import Checklist, Sheet
from tarebook.analysis.display.words import SPACE, Display
from tarebook.analysis.store.scope import Scope
from tarebook.analysis.usage.guard_words import keeps_a_boat_safe
from tarebook.analysis.usage.leaving import held_back
from tarebook.analysis.usage.verdict_words import verdict_reversal
from tarebook.analysis.usage.verdicts import stands_for
from tarebook.tripdata.contract import ESSENTIAL_SYSTEMS

ON_THE_WATER = f"By boat: {WATER_CARE[0].lower()}{WATER_CARE[1:]}"
ONLY = "Leave “Trekking umbrella” at home only while “Rain jacket, light” comes along."


def read(store: Any, scope: Scope | None = None) -> CullPage:
    today = date(2026, 11, 25)
    return read_cull(store, scope or Scope(), Wish(), today=today, display=Display())


@pytest.fixture(scope="module")
def page(demo: Any) -> CullPage:
    return read(demo)


def sheets(page: CullPage) -> dict[str, Sheet]:
    shown = [each for each in page.checklist().more if isinstance(each, Sheet)]
    return {sheet.title.split(":")[0]: sheet for sheet in shown}


def tasks(lists: Any, heading: str) -> dict[str, str]:
    (found,) = [each for each in lists if isinstance(each, Checklist) and each.heading == heading]
    return {task.what: task.about.replace(SPACE, " ") for task in found.tasks}


def test_a_sheet_by_boat_warns_of_cold_water_and_names_what_keeps_safe(page: CullPage) -> None:
    section, by_way = page.checklist(), sheets(page)
    assert section.caution is not None
    assert section.caution.endswith(ON_THE_WATER), "in sight while the sheets are folded"
    heading = "On the water: see that these come along"
    for way in ("By boat", "By several means"):
        assert by_way[way].caution.endswith(ON_THE_WATER)
        assert {"Buoyancy aid", "Throw line, 15 m", "Bailer and sponge"} <= set(
            tasks(by_way[way].lists, heading)
        )
    assert "Spare paddle" in tasks(by_way["By boat"].lists, heading), "insurance"
    assert "Open canoe" not in tasks(by_way["By boat"].lists, heading)
    for way in ("On foot", "By bike", "By e-bike"):
        assert "water can kill" not in by_way[way].caution
        assert heading not in by_way[way].text()


def test_a_way_that_is_not_noted_is_by_boat_where_one_came_along(page: CullPage) -> None:
    scoped = page.data.usage.scoped
    for way, afloat in (("paddle", True), ("foot", False)):
        trips = tuple(replace(t, mode=None if t.mode == way else t.mode) for t in scoped.trips)
        usage = replace(page.data.usage, scoped=replace(scoped, trips=trips))
        along = {None if mode == way else mode: items for mode, items in page.along.items()}
        shown = sheets(replace(page, data=replace(page.data, usage=usage), along=along))
        sheet = shown["Where the way of travelling is not noted"]
        assert sheet.caution.endswith(ON_THE_WATER) is afloat
        assert ("On the water: see that" in sheet.text()) is afloat


def test_boat_trips_alone_have_the_same_on_their_one_list(demo: Any) -> None:
    boat, foot = (read(demo, Scope.of(mode=mode)).checklist() for mode in ("paddle", "foot"))
    assert boat.caution is not None
    assert boat.caution.endswith(ON_THE_WATER)
    assert "Buoyancy aid" in tasks(boat.more, "On the water: see that these come along")
    assert "water can kill" not in f"{foot.caution}"
    assert "On the water" not in foot.text()


@pytest.mark.parametrize(
    ("name", "safe"),
    [
        ("Bailer and sponge", True),
        ("Throw line, 15 m", True),
        ("Life jacket", True),
        ("Paddle", False),
        ("Kneeling mat", False),
    ],
)
def test_what_a_boat_is_kept_safe_with(name: str, safe: bool) -> None:
    assert keeps_a_boat_safe("thing", name) is safe


def test_rain_gear_stays_at_home_only_beside_what_does_its_work(page: CullPage) -> None:
    opening = page.opening()
    assert ONLY in opening.points[0].more
    assert ONLY in opening.sentence
    left = page.what_to_leave().table
    assert left is not None
    named = {str(row["name"]) for row in left.rows}
    assert "Trekking umbrella, only while “Rain jacket, light” comes along" in named
    assert "Folding saw" in named, "of what is carried for comfort nothing need stay"
    for section in (page.next_cost(), page.by_kind(), page.everything()):
        assert ONLY in section.notes
    for sheet in sheets(page).values():
        assert tasks(sheet.lists, "Leave at home")["Trekking umbrella"] == (
            "188 g, only while “Rain jacket, light” comes along"
        )
    why = page.never_used().table
    assert why is not None
    (row,) = (row for row in why.rows if row["name"] == "Trekking umbrella")
    assert str(row["why"]).endswith("Only while “Rain jacket, light” comes along.")


def test_what_is_meant_for_wet_is_not_left_on_a_wet_trip(page: CullPage) -> None:
    kinds = {k.kind: k for k in page.data.by_kind}
    assert "umbrella" in page.data.answer.point.items
    for kind, word in (("wet", "wet"), ("cold", "cold")):
        shown = kinds[kind]  # type: ignore[index]
        for point in (*shown.frontier, shown.answer):
            meant = [i for i in point.items if word in page.data.by_item[i].about.meaning.words]
            assert not meant
    table = page.by_kind().table
    assert table is not None
    wet = next(row for row in table.rows if row["kind"] == "Wet, but not cold")
    assert "“Trekking umbrella”" in wet["less"]
    assert "“Trekking umbrella”" not in f"{wet['more']}"


def test_what_stands_for_a_thing_stays_itself_and_is_ones_own(page: CullPage) -> None:
    umbrella = page.data.by_item["umbrella"]
    judged = page.data.judged
    jacket = stands_for(umbrella, judged)
    assert jacket is not None
    assert jacket.about.item == "rain-jacket"
    lent = replace(jacket, usage=replace(jacket.usage, about=replace(jacket.about, owner="Club")))
    without = [j for j in judged if j.about.item != "rain-jacket"]
    assert stands_for(umbrella, [*without, lent]) is None, "what is borrowed goes back"
    trousers = page.data.by_item["rain-trousers"]
    assert stands_for(umbrella, [trousers]) is None, "they leave the upper body wet"
    assert stands_for(umbrella, [umbrella]) is None
    assert stands_for(page.data.by_item["folding-saw"], judged) is None


def test_what_to_take_for_the_weather_is_not_on_trial_on_the_same_sheet(page: CullPage) -> None:
    for sheet in sheets(page).values():
        tried = [each for each in sheet.lists if each.heading.startswith("If you pack them")]
        assert "Rain mitts" not in {task.what for each in tried for task in each.tasks}
        assert "“Rain mitts”" in sheet.text(), "for the weather"
    early = {j.about.name for j in page.data.judged if j.verdict == "too_few_trips"}
    assert "Rain mitts" in early


def test_a_spare_battery_says_that_it_depends_on_charging(page: CullPage) -> None:
    """The demo's trips of several days drew more than one battery holds on four of five."""
    said = (
        "On 4 of 5 trips more was drawn over the whole trip than one battery holds, so it depends "
        "on charging on the way."
    )
    assert page.to_say().notes == (f"“Spare battery for the e-bike”: {said}",)
    heading = "Stay packed until gear.csv says what they are for"
    stays = tasks(sheets(page)["By e-bike"].lists, heading)
    assert list(stays) == ["“Spare battery for the e-bike”"]
    left = page.data.answer.left[0]
    spare = replace(left, item="e-bike-spare-battery", name="Spare battery")
    gone = replace(page, data=replace(page.data, answer=replace(page.data.answer, left=(spare,))))
    known = replace(gone, batteries={spare.item: said})
    assert f"“Spare battery” is a spare battery. {said}" in known.opening().notices
    assert not replace(page, batteries={}).to_say().notes


def test_nothing_is_counted_down_that_a_keep_rule_holds(page: CullPage, demo: Any) -> None:
    """For every thing: where trips without a use are counted down, leaving it would be allowed."""
    held = held_back(demo, date(2026, 11, 25))
    for j in page.data.judged:
        if "without needing it, and" in verdict_reversal(j):
            assert j.about.item not in held, j.about.name
    nothing = replace(page.data.answer, left=())
    bare = replace(page, data=replace(page.data, answer=nothing))
    (early,) = [p for p in bare.opening().points if p.about == "Too early to say"]
    assert not early.more, "no number of trips would tell"
    # Where there is an answer, the head says how sure that is instead.
    assert [p.about for p in page.opening().points][:2] == ["Leave at home", "How sure"]
    assert "Too early to say" not in {p.about for p in page.opening().points}
    shown = " ".join(page.undecided().answer)
    assert "without needing it" not in shown
    assert "more occasion" not in "".join(sheet.text() for sheet in sheets(page).values())
    assert "Spare battery" not in shown


def test_what_must_come_along_stands_before_what_need_not(page: CullPage) -> None:
    for way, sheet in sheets(page).items():
        headings = [each.heading for each in sheet.lists]
        leave = headings.index("Leave at home")
        assert headings.index("For the weather: see that these come along") < leave
        cold = tasks(sheet.lists, "For the weather: see that these come along")
        assert cold["If nights may be cold"].endswith(", and a mat and a shelter")
        if "water: see that these come along" in sheet.text():
            water = "On the water: see that these come along"
            assert headings.index(water) < leave
            assert "Bicycle helmet" not in tasks(sheet.lists, water), way
            assert "Whistle" in tasks(sheet.lists, water)
    assert ", and a mat and a shelter come along." in (page.by_kind().caution or "")


PROTECTING = (*ESSENTIAL_SYSTEMS, "clothing", "light", "navigation", "food", "first_aid", "safety")


def test_what_protects_has_no_recipe_for_letting_it_go(page: CullPage) -> None:
    """Of what keeps warm, dry, lit, found, fed, healed or afloat it only says that it stays."""
    held = [j for j in page.data.judged if j.held is not None]
    known = [j for j in held if j.held and j.held.why in ("insurance", "essential")]
    protects = [j for j in known if j.about.system in PROTECTING]
    assert {"pole-tent", "sleeping-mat", "foil-blanket"} <= {j.about.item for j in protects}
    for j in protects:
        assert "own word" not in verdict_reversal(j), j.about.name
    stays = {j.about.item: verdict_reversal(j) for j in protects if j.verdict != "keep"}
    assert set(stays.values()) == {"It stays."}
    told = {j.about.item: verdict_reversal(j) for j in page.data.judged}
    assert told["pole-tent"] == told["sleeping-mat"] == "It stays."
    assert told["sewing-kit"] == "Only your own word: insurance = no in gear.csv."
    assert told["river-sandals"] == (
        "It stays as long as at least one in ten of the nights that you judged was too cold."
    )


def test_a_bound_and_an_interval_of_one_thing_are_told_apart(page: CullPage) -> None:
    umbrella = page.data.by_item["umbrella"]
    assert umbrella.bound > umbrella.usage.rate.high, "its own record alone, and with others"
    assert BOUND_NOTE in page.what_to_leave().notes
    assert BOUND_NOTE in page.everything().notes
