"""The page of a trip to come as a whole: plan, opening, and where there is little to say."""

import re
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
import young_logbooks as young
from before_trip_reading import (
    START,
    THINGS,
    TODAY,
    html_of,
    like_history,
    lists_of,
    need,
    notices,
    of,
    past,
    plain,
    plan,
    points,
    read,
    sections_of,
    shown,
    stays_rows,
    text_of,
    with_data,
)
from store_drawing import carried, empty_store, fill, gear, trip
from tarebook.analysis.ahead.page.page import BeforeTripPage
from tarebook.analysis.ahead.results import MayBeMissing
from tarebook.analysis.ahead.weather import meant_for_weather
from tarebook.analysis.display.cautions import AHEAD_CARE, BIKE_LOAD_CARE, WEATHER_CARE
from tarebook.analysis.display.checklist import Checklist
from tarebook.analysis.display.tables import Table
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.weigh_up.weighing import weigh_up
from tarebook.tripdata.errors import QuestionError


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def test_without_a_plan_one_line_says_what_to_do(store: Any) -> None:
    fill(store, {"gear": THINGS, "trip": [past("t", 40)]})
    page = read(store)
    assert points(page) == {
        "No plan": "No planned trip lies ahead: give a coming trip its row in trip.csv, with plan "
        "= yes. Then the command “tarebook new” lays out its list, from the latest trip of its "
        "kind. Meanwhile the report “What it all weighs” has the weight of all that you own."
    }
    assert shown(page) == set()
    with pytest.raises(QuestionError, match='trip: expected a trip of this logbook, got "lake"'):
        read(store, "lake")


def test_the_next_plan_is_taken_and_another_by_its_name(store: Any) -> None:
    later = trip("later", START + timedelta(30), 1, plan=True)
    gone = trip("gone", TODAY - timedelta(9), 2, plan=True)
    fill(store, {"gear": THINGS, "trip": [later, plan(), gone]})
    assert read(store).opening().title == "Before “Next”"
    assert read(store, "later").opening().title == "Before “Later”"
    assert any("This plan’s dates are past." in line for line in notices(read(store, "gone")))


def test_the_list_weighs_what_the_weigh_up_says(store: Any) -> None:
    rows = [
        carried("next", "tarp", quantity=2),
        carried("next", "quilt", bag="Sack"),
        carried("next", "mug", from_day=START + timedelta(1)),
        carried("next", "shirt"),
        carried("next", "bread", weight_mg=1_234_000, carried_by="Ann"),
    ]
    fill(store, {"gear": THINGS, "trip": [plan()], "carried": rows})
    page = read(store)
    weighed = weigh_up(store, "next", today=TODAY)
    assert page.data is not None
    assert page.data.load.base_g == weighed.base.grams == 2500.0
    assert page.data.load.skin_out_g == weighed.skin_out.grams == 2700.0
    assert points(page)["What it weighs"] == (
        "The list weighs 2.70 kg from the skin out, 2.50 kg of it base weight. Walkers call such a "
        "base weight ultralight."
    )
    blank = [row | {"carried_as": "base"} for row in THINGS]
    fill(store, {"gear": blank, "trip": [plan()], "carried": rows})
    assert points(read(store))["What it weighs"] == (
        "The list weighs 2.70 kg from the skin out. Nothing is marked worn or consumable, so food, "
        "fuel and clothes worn are in it: mark them in the column carried_as."
    )
    fill(store, {"gear": THINGS, "trip": [plan()], "carried": rows})
    ounces = read(store, mass="oz", temperature="f", distance="mi")
    assert "5.95 lb from the skin out" in points(ounces)["What it weighs"]
    assert not re.search(r"\d (g|kg|°C|km)\b", text_of(ounces))


def test_a_bag_over_its_owners_limit_is_named(store: Any) -> None:
    rows = [carried("next", "tarp", bag="Sack"), carried("next", "quilt", bag="Sack")]
    limit = {"key": "limits.sack", "value": "1500"}
    fill(store, {"gear": THINGS, "trip": [plan()], "carried": rows})
    store.execute("INSERT INTO settings VALUES (?, ?)", list(limit.values()))
    try:
        told = points(read(store))["Your limits"]
        assert told.startswith(
            "“Sack” holds 1.60 kg without its own weight, 100 g over your limit of 1.50 kg."
        )
        assert "3.5 oz over your limit of 3.31 lb." in points(read(store, mass="oz"))["Your limits"]
    finally:
        store.execute("DELETE FROM settings")


def test_without_a_list_or_a_like_trip_everything_owned_is_weighed_and_checked(store: Any) -> None:
    aid = gear("plaster", "first_aid", 20_000, insurance=True)
    lent = gear("lent", "cook", 999_000, owner="Ann")
    fill(store, {"gear": [*THINGS, aid, lent], "trip": [plan()]})
    page = read(store)
    assert points(page)["What it weighs"] == (
        "This trip has no list yet, and no like trip has one, so what it weighs is not known. All "
        "that you own weighs 3.21 kg; no trip takes it all."
    )
    listed = [line for lines in lists_of(page.packing()).values() for line in lines]
    assert len(listed) == len(THINGS) + 1
    assert not any(line.startswith("Lent") for line in listed)
    assert lists_of(page.before_leaving())["Look over: no check within the last year"] == [
        "First aid | “Plaster”"
    ]
    assert WEATHER_CARE in (page.opening().caution or "")
    assert WEATHER_CARE not in (page.packing().caution or "")
    assert any("your habits say nothing of it" in line for line in notices(page))
    assert {"forgotten", "battery", "stays_at_home"} & shown(page) == set()


def test_an_empty_logbook_with_a_plan(store: Any) -> None:
    fill(store, {"trip": [plan()]})
    page = read(store)
    assert points(page)["What it weighs"] == "There is nothing to weigh."
    assert "packing" not in shown(page)


def test_nothing_from_after_its_start_changes_a_trip_that_took_place(store: Any) -> None:
    tables = like_history()
    asked = trip("asked", TODAY - timedelta(10), 2, mode="foot")
    before = tables | {"trip": [*tables["trip"][:3], asked]}
    fill(store, before)
    known = text_of(read(store, "asked"))
    assert "It is asked here as on 17 November 2026: nothing from after that day counts." in known
    later = past("later", 5, 1)
    fill(
        store,
        before
        | {
            "gear": [{**row, "checked_on": None} for row in before["gear"]],
            "trip": [*before["trip"], later],
            "carried": [*before["carried"], carried("later", "mug"), carried("later", "tarp")],
            "failures": [
                {"trip": "later", "item": "tarp", "day": TODAY - timedelta(4), "severity": "unsafe"}
            ],
            "weighings": [{"item": "tarp", "weighed_on": TODAY - timedelta(4), "weight_mg": 1}],
        },
    )
    assert text_of(read(store, "asked")) == known


@pytest.mark.parametrize("trips", [0, 3, 12])
def test_the_first_year_has_a_modest_page(tmp_path: Path, trips: int) -> None:
    things = [*young.CAMP, *young.KEEPS_ALIVE, *young.DEAD_WEIGHT]
    ahead = {"start_on": "2027-06-11", "end_on": "2027-06-13"}
    path = young.write(tmp_path, things, young.summer(trips), plan=ahead)
    with open_store(path) as store:
        page = read(store)
        text = text_of(page)
    assert "packing" in shown(page)
    assert "What it weighs" in points(page)
    assert " nan " not in text
    assert " None " not in text
    for section in sections_of(page):
        if section.figure is not None:
            assert section.table is not None
            assert section.table.rows
    left = {row["name"] for row in stays_rows(page)}
    assert left <= {name.replace("-", " ").capitalize() for name, *_ in young.DEAD_WEIGHT} | {
        name for name, *_ in young.DEAD_WEIGHT
    }


def test_the_demos_plan_answers_everything(demo: Any) -> None:
    page = read(demo)
    assert page.opening().title == "Before “First gravel of spring”"
    assert shown(page) >= {"cold", "before_leaving", "packing", "stays_at_home"}
    assert AHEAD_CARE in (page.cold().caution or "")
    # A bag is over its limit.
    assert page.opening().caution == f"{WEATHER_CARE} {BIKE_LOAD_CARE}"
    _cold_is_told_by_the_colder_figure(demo, page)
    boxes = page.packing().html().count('type="checkbox"')
    assert page.data is not None
    # Of so many things each bag is opened by itself; what is broken is in sight at once.
    folds = [each.folds for each in page.packing().more if isinstance(each, Checklist)]
    assert folds
    assert all(folds)
    chores = {c.heading: c.folds for c in page.before_leaving().more if isinstance(c, Checklist)}
    assert chores["Look over: no check within the last year"]
    assert not chores["Mend"]
    things = len(page.data.packing.things)
    (head,) = page.packing().answer
    assert head.startswith(f"{things - 3} different things in {things} lines ")
    # What it lacks for sure stands first, with a box and its weight.
    heading, (mat, *others) = next(iter(lists_of(page.packing()).items()))
    assert heading == "Not on the list yet"
    assert mat.startswith("Air mat | 394 g. ")
    assert "nothing else to sleep on" in mat
    assert others == []
    # What could stay at home is named without a box.
    assert page.packing().html().count("boxless") == len(page.data.home.items) == 6
    assert boxes == len(page.data.packing.things) - 6 + 1 > 100


def test_of_a_bag_over_its_limit_what_could_stay_at_home_comes_first(demo: Any) -> None:
    page = read(demo)
    assert (
        "69 g over your limit of 3.00 kg. Could stay at home: “Field guide to trees” (214 g), "
    ) in points(page)["Your limits"]
    first, _, then = points(page)["Your limits"].partition(" Could move to another bag: ")
    assert "“Down jacket” (352 g)" in then
    assert page.data is not None
    named = [n for n in (j.about.name for j in page.data.home.things) if f"“{n}”" in first]
    assert len(named) >= 2
    assert not [name for name in named if f"“{name}”" in then]
    assert "Trekking umbrella" not in first, "it stays only beside another thing"


def test_a_list_whose_sleep_set_is_likely_too_cold_says_so_where_it_is_packed(demo: Any) -> None:
    page = read(demo, "2027-05-larkspur-flat")
    told = points(page)["Will you be cold?"]
    assert " is about 6 in 10 (very likely 33 % to 81 %, by 45 judged nights). " in told
    assert "Take your own “Winter sleeping bag”: in it about 1 in 30 " in told
    assert lists_of(page.packing())["Not on the list yet"] == [
        "Wool hat | 47 g. A night cold enough for it: about 1 in 2.",
        "Rain mitts | 46 g. A wet day: about 6 in 10.",
        "Winter sleeping bag | 1.04 kg. Warmer than “Summer quilt”.",
    ]
    lines = [line for lines in lists_of(page.packing()).values() for line in lines]
    (marked,) = [line for line in lines if "too cold night" in line]
    assert plain(marked) == ("Summer quilt | 528 g, chance of a too cold night in it about 6 in 10")


def test_what_stays_at_home_beside_another_thing_alone_is_told_with_that(demo: Any) -> None:
    page = read(demo)
    condition = "only while “Rain jacket, light” comes along"
    told = points(page)["Could stay at home"]
    assert f"Leave “Trekking umbrella” at home {condition}." in told
    assert f"Leave “Trekking umbrella” at home {condition}." in page.stays_at_home().answer[0]
    (line,) = [
        line
        for lines in lists_of(page.packing()).values()
        for line in lines
        if line.startswith("Trekking umbrella")
    ]
    assert line == f"Trekking umbrella | 188 g, could stay at home {condition}"
    assert page.data is not None
    # What does its work is on the list itself.
    assert set(page.data.home.beside.values()) <= {
        each.thing.name for each in page.data.packing.things
    }


def _cold_is_told_by_the_colder_figure(demo: Any, page: BeforeTripPage) -> None:
    """Camps were colder than the normals, and the set on the list lacks its mat: no chance."""
    assert points(page)["Will you be cold?"] == (
        "No mat is on the list. Without one you will be colder than your record can say. With “Air "
        "mat” and “Winter sleeping bag” the chance that at least one night is too cold would be "
        "about 1 in 6 (2 to 40 in 100). “Air mat” failed 3 times, last on 24 April 2026: try it at "
        "home first. These odds are for one that holds. Pack “Air mat”. Your nights were too cold "
        "oftener than forecast so far: take this chance as too low."
    )
    section = page.cold()
    (told,) = map(plain, section.answer)
    # What to pack, and the odds with it, stand at the head alone.
    assert told.startswith(
        "No mat is on the list. Without one you will be colder than your record can say. Your "
        "nights were too cold oftener than forecast so far, so take the chances here as too low: "
    )
    assert ", and 10 had one. Usual there and then: lows near" in told
    assert any(note.startswith("“Air mat” was along on 16 of the 16") for note in section.notes)
    assert plain(section.notes[0]).startswith(
        "Your camps were 2.0 °C colder than such normals on average, on "
    )
    # The limit of a bag with a mat is no limit of the bag alone.
    assert not any("shift it" in note for note in section.notes)
    assert section.table is not None
    assert "Limit" in [column.header for column in section.table.columns]
    bare = [row for row in section.table.rows if row["on_list"]]
    assert [(row["any"], row["range"]) for row in bare] == [("no mat: no chance given", None)]
    assert all("told" not in row["any"] for row in section.table.rows if not row["on_list"])
    weather = page.packing().more[-1]
    assert isinstance(weather, Table)
    odds = [row["odds"] for row in weather.rows if "climate normals" in row["odds"]]
    assert odds
    assert all("normals and how much colder your camps were" in each for each in odds)
    assert page.data is not None
    camps, things = page.data.cold.camps, page.data.packing.things
    assert camps is not None
    bare, shifted = (
        {
            c.cold_below_c: 0.0 if c.rare else c.chance or 0.0
            for group in meant_for_weather(demo, page.data.ahead, things, off)
            for c in group.conditions
            if c.source == "normals"
        }
        for off in (None, camps)
    )
    assert bare.keys() == shifted.keys()
    assert all(shifted[low] >= bare[low] for low in bare)
    assert any(shifted[low] > 1.2 * bare[low] for low in bare)


def test_a_year_long_plan_without_normals_and_one_of_a_day(store: Any) -> None:
    bag = gear("bag", "sleep", 900_000, rated_low_c=0.0, rated_as="limit")
    mat = gear("mat", "sleep", 400_000)
    rows = [carried("next", "bag"), carried("next", "mat")]
    fill(store, {"gear": [bag, mat], "trip": [plan(nights=400)], "carried": rows})
    page = read(store)
    assert page.opening().lines == ("4 June 2027 – 8 July 2028 · 400 nights · on foot",)
    assert (
        "not known, as the trip has no latitude and longitude" in points(page)["Will you be cold?"]
    )
    assert "Limit (°C)" in text_of(page)
    assert "Your limit in it" not in text_of(page)
    assert len(text_of(page)) < 12_000
    fill(store, {"gear": [bag, mat], "trip": [plan(nights=0)], "carried": rows})
    day_out = read(store)
    assert "cold" not in shown(day_out)
    assert "Will you be cold?" not in points(day_out)
    assert "no nights" in day_out.opening().lines[0]


def test_names_that_would_be_markup_stay_text(store: Any) -> None:
    nasty = '<img src=x onerror="alert(1)">'
    things = [
        gear("bad", "clothing", 100_000, name=nasty, meant_for=["wet"], kit=nasty),
        gear("older", "clothing", 100_000, name=f"{nasty}2", retired_on=START),
    ]
    rows = [
        carried("next", "bad", bag=nasty),
        carried("next", "older", carried_by="</script><script>alert(2)</script>"),
    ]
    fill(store, {"gear": things, "trip": [plan(title=f"{nasty} $x$")], "carried": rows})
    page = with_data(
        read(store),
        consumption=of(need(name=nasty)),
        missing=(MayBeMissing(1, "bad", nasty, "missed", nasty, 0.5, 0.5, 0.5),),
    )
    html = html_of(page)
    assert "<img" not in html
    assert "<script>alert" not in html
    assert "&lt;img src=x" in html


def test_the_page_is_the_same_twice(demo: Any) -> None:
    assert html_of(read(demo)) == html_of(read(demo))


def test_of_a_trip_that_is_not_over_it_is_not_said_that_it_took_place(store: Any) -> None:
    days = {"gone": TODAY - timedelta(9), "begun": TODAY - timedelta(1), "coming": START}
    trips = [trip(name, start, 2, mode="foot") for name, start in days.items()]
    fill(store, {"gear": THINGS, "trip": trips})
    for name in days:
        told = " ".join(notices(read(store, name)))
        assert ("took place" in told) is (name == "gone")
        assert "nothing from after that day counts." in told
