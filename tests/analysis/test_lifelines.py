"""What no list is to lack is named from gear.csv alone, and what is broken is named as broken."""

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import pytest
from store_drawing import carried, empty_store, fill, gear, trip
from tarebook.analysis.ahead.page.page import BeforeTripPage, read_before_trip
from tarebook.analysis.cold.kinds import sleep_kinds
from tarebook.analysis.display.checklist import Checklist
from tarebook.analysis.display.words import SPACE, Display
from tarebook.analysis.tables import entry
from tarebook.analysis.wear.words import WAS_WORDS
from tarebook.analysis.weigh_up.page.page import read_weigh_up

TODAY = date(2026, 11, 27)
START = date(2027, 6, 4)
BLANK = {"essential": None, "insurance": False, "meant_for": []}
OWNED = [
    gear("tent", "shelter", 1_500_000, **BLANK),
    gear("pegs", "shelter", 100_000, **BLANK),
    gear("mat", "sleep", 400_000, name="Sleeping mat", **BLANK),
    gear("quilt", "sleep", 700_000, name="Down quilt", **BLANK),
    gear("pillow", "sleep", 70_000, **BLANK),
    gear("jacket", "rain", 300_000, name="Rain jacket", **BLANK),
    gear("torch", "light", 80_000, name="Head torch", **BLANK),
    gear("filter", "water", 90_000, name="Water filter", **BLANK),
    gear("aid", "first_aid", 200_000, name="First-aid kit", **BLANK),
    gear("mug", "cook", 90_000, **BLANK),
    gear("spoon", "cook", 20_000, **BLANK),
]
WORN = gear("shirt", "clothing", 200_000, **BLANK | {"carried_as": "worn"})
"""Where nothing is marked as worn or eaten, there is no class either."""
LIFELINES = ["tent", "mat", "quilt", "jacket", "torch", "filter", "aid"]


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def plan(nights: int = 2) -> dict[str, Any]:
    return trip("next", START, nights, plan=True, mode="foot")


def past(name: str, days_ago: int) -> dict[str, Any]:
    return trip(name, TODAY - timedelta(days_ago), 2, mode="foot")


def listing(*items: str, on: str = "next") -> list[dict[str, Any]]:
    return [carried(on, item) for item in items]


def page_of(store: Any) -> BeforeTripPage:
    return read_before_trip(store, today=TODAY, display=Display())


def points(page: Any) -> dict[str, str]:
    every = page.opening().points
    return {p.about: f"{p.answer} {p.more}".strip().replace(SPACE, " ") for p in every}


def tasks(section: Any) -> dict[str, str]:
    lists = [each for each in section.more if isinstance(each, Checklist)]
    return {t.what: t.about.replace(SPACE, " ") for each in lists for t in each.tasks}


def named(store: Any) -> list[str]:
    relation = entry("forgotten").relation(store, today=TODAY)
    return [dict(zip(relation.columns, row, strict=True))["item"] for row in relation.fetchall()]


def test_without_a_trip_before_it_what_no_list_is_to_lack_is_named(store: Any) -> None:
    fill(store, {"gear": OWNED, "trip": [plan()], "carried": listing("mug", "pillow")})
    page = page_of(store)
    assert points(page)["Forgotten?"] == (
        "You own “Tent”, “Sleeping mat”, “Down quilt”, “Rain jacket”, “Head torch”, “Water filter” "
        "and “First-aid kit”, and they are not on the list."
    )
    assert page.opening().points[0].about == "Forgotten?"
    assert sorted(named(store)) == sorted(LIFELINES)
    told = tasks(page.forgotten())
    assert list(told) == [row["name"] for row in OWNED if row["item"] in LIFELINES]
    assert told["Tent"] == "You own it, and this list has nothing of shelter. You own “Pegs”, too."
    assert told["Sleeping mat"] == "You own it, and this list has nothing else to sleep on."
    # Base weight it has, a class it has not.
    assert "160 g" in points(page)["What it weighs"]
    assert "Walkers call" not in points(page)["What it weighs"]


def test_nothing_is_named_where_the_list_has_it_or_the_trip_no_night(store: Any) -> None:
    dressed = [*OWNED, WORN]
    fill(store, {"gear": dressed, "trip": [plan()], "carried": listing("shirt", *LIFELINES)})
    assert named(store) == []
    assert "ultralight" in points(page_of(store))["What it weighs"]
    fill(store, {"gear": OWNED, "trip": [plan(0)], "carried": listing("mug", *LIFELINES[3:])})
    assert named(store) == []


def test_two_trips_without_a_tent_say_that_such_trips_do_without(store: Any) -> None:
    huts = [past("t0", 150), past("t1", 160)]
    rest = [item for item in LIFELINES if item != "tent"]
    rows = [row for t in ("t0", "t1", "next") for row in listing(*rest, on=t)]
    fill(store, {"gear": OWNED, "trip": [*huts, plan()], "carried": rows})
    assert named(store) == []
    # One does not.
    rows = [row for row in rows if row["trip"] != "t1"]
    fill(store, {"gear": OWNED, "trip": [huts[0], plan()], "carried": rows})
    assert named(store) == ["tent"]


def test_a_list_that_lacks_much_still_names_all_of_them(store: Any) -> None:
    more = [gear(f"thing-{n:02}", "safety", insurance=True) for n in range(14)]
    rows = listing(*(row["item"] for row in more), on="t0")
    rows += listing(*(row["item"] for row in more), on="t1")
    trips = [past("t0", 150), past("t1", 160), plan()]
    rows += [row for t in ("t0", "t1") for row in listing(*LIFELINES, on=t)]
    rows += listing("mug")
    fill(store, {"gear": [*OWNED, *more], "trip": trips, "carried": rows})
    assert len(named(store)) == 12
    assert set(named(store)) >= set(LIFELINES)


def test_what_lies_below_and_what_goes_over_are_told_by_columns_then_by_names() -> None:
    def kinds(*things: tuple[str, float | None, float | None]) -> dict[str, str]:
        return dict(sleep_kinds((name, name, r, low) for name, r, low in things))

    known = kinds(("Nebula", None, -2.0), ("Slab", 4.1, None), ("Pillow", None, None))
    assert known == {"Nebula": "bedding", "Slab": "ground"}
    named = kinds(("Foam pad", None, None), ("Summer sleeping bag", None, None))
    assert named == {"Foam pad": "ground", "Summer sleeping bag": "bedding"}
    # Neither a liner nor a pump sack warms anybody.
    assert kinds(("Sleeping bag liner", None, None), ("Mat pump sack", None, None)) == {}
    # What is told by nothing is what is not told of else.
    assert kinds(("Foam pad", None, None), ("Nebula", None, None))["Nebula"] == "bedding"
    assert kinds(("Quilt", None, None), ("Slab", None, None))["Slab"] == "ground"


@pytest.mark.parametrize("fixed", [False, True])
def test_what_failed_is_named_with_it_wherever_a_list_relies_on_it(store: Any, fixed: bool) -> None:
    failed = {"trip": "t0", "day": date(2026, 9, 13), "severity": "lost_use", "what": "leaks"}
    fixed_on = date(2026, 10, 1) if fixed else None
    trips = [past("t0", 76), past("t1", 90), plan()]
    before = [row for t in ("t0", "t1") for row in listing("mat", "mug", *LIFELINES[2:], on=t)]
    tables = {
        "gear": OWNED,
        "trip": trips,
        "failures": [{**failed, "item": item, "fixed_on": fixed_on} for item in ("mat", "filter")],
    }
    told = "It could no longer be used on 13 September 2026 (“leaks”), and no repair is noted."
    on_list = [item for item in LIFELINES if item not in ("mat", "filter")]
    fill(store, {**tables, "carried": [*before, *listing("mug", *on_list)]})
    page = page_of(store)
    assert page.data is not None
    for name in ("Sleeping mat", "Water filter"):
        assert (told in tasks(page.forgotten())[name]) is not fixed
        assert (f"“{name}” {told.removeprefix('It ')}" in points(page)["Forgotten?"]) is not fixed
    # On the list, and on one that is drawn from like trips.
    for rows in (listing("mug", *LIFELINES), []):
        fill(store, {**tables, "carried": [*before, *rows]})
        packing = tasks(page_of(store).packing())
        for name in ("Sleeping mat", "Water filter"):
            assert (told in packing[name]) is not fixed


def test_a_list_without_shelter_has_no_class_in_the_weigh_up(store: Any) -> None:
    rows = listing("mug", "quilt", "shirt")
    fill(store, {"gear": [*OWNED, WORN], "trip": [plan()], "carried": rows})

    def text(**asked: str) -> str:
        page = read_weigh_up(store, "next", today=TODAY, display=Display(), **asked)
        parts = (page.opening(), page.totals(), page.by_system(), page.heaviest_things())
        return " ".join(part.text() for part in parts)

    assert "ultralight" not in text()
    assert "ultralight" in text(added="tent")
    page = read_weigh_up(store, "next", added="tent", today=TODAY, display=Display())
    table = page.by_system().table
    assert table is not None
    then = {row["name"]: row.get("class_without") for row in table.rows}
    assert then.get("shelter") is None


@pytest.mark.parametrize("severity", ["nuisance", "impaired", "lost_use", "unsafe"])
def test_a_broken_mat_or_jacket_on_the_list_is_named_at_the_head(store: Any, severity: str) -> None:
    """With no column filled in that may stay blank: no rating, no reason, no day of the failure."""
    broken = [
        {"trip": "t0", "item": item, "day": None, "severity": severity, "what": None}
        for item in ("mat", "jacket", "mug")
    ]
    tables = {"gear": OWNED, "trip": [past("t0", 76), plan()], "failures": broken}
    fill(store, {**tables, "carried": listing("mug", *LIFELINES)})
    told = points(page_of(store))["Broken?"]
    for name in ("Sleeping mat", "Rain jacket"):
        assert f"“{name}” {WAS_WORDS[severity]} on 14 September 2026, and no repair" in told
    # A mug that was a nuisance is not for the head; one that broke is.
    assert ("“Mug”" in told) is (severity != "nuisance")
    mended = [{**row, "fixed_on": TODAY} for row in broken]
    fill(store, {**tables, "failures": mended, "carried": listing("mug", *LIFELINES)})
    assert "Broken?" not in points(page_of(store))
    # What stays at home is not told of as if it were relied on.
    fill(store, {**tables, "carried": listing("tent", "quilt")})
    assert "Broken?" not in points(page_of(store))


def test_what_the_line_on_cold_says_of_a_broken_mat_is_not_said_twice(store: Any) -> None:
    rated = [{**row, "rated_low_c": 2.0} if row["item"] == "quilt" else row for row in OWNED]
    failed = {"trip": "t0", "item": "mat", "day": None, "severity": "lost_use", "what": None}
    tables = {"gear": rated, "trip": [past("t0", 76), plan()], "failures": [failed]}
    fill(store, {**tables, "carried": listing(*LIFELINES)})
    told = points(page_of(store))
    assert "“Sleeping mat” could no longer be used" in told["Will you be cold?"]
    assert "Broken?" not in told


KITCHEN = [
    gear("stove", "cook", 100_000, **BLANK),
    gear("gas", "cook", 230_000, carried_as="consumable", **BLANK),
]
WHOLE = [
    gear("matches", "fire", 10_000, **BLANK),
    gear("map", "navigation", 60_000, **BLANK),
    gear("whistle", "safety", 10_000, **BLANK),
    gear("oats", "food", 600_000, carried_as="consumable", **BLANK),
    gear("socks", "clothing", 90_000, **BLANK),
    gear("fleece", "clothing", 80_000, **BLANK),
]


def test_what_lights_the_stove_and_other_whole_systems_are_named(store: Any) -> None:
    things = [*OWNED, *KITCHEN, *WHOLE]
    fill(store, {"gear": things, "trip": [plan()], "carried": listing("stove", "gas", *LIFELINES)})
    # Of clothing the warmest, though socks weigh more.
    assert sorted(named(store)) == ["fleece", "map", "matches", "oats", "whistle"]
    told = tasks(page_of(store).forgotten())
    assert told["Matches"] == "You own it, and this list has nothing of fire."
    there = [row["item"] for row in WHOLE]
    rows = listing("stove", "gas", *LIFELINES, *there)
    fill(store, {"gear": things, "trip": [plan()], "carried": rows})
    assert named(store) == []
    # Who eats cold, with a mug and a spoon, lights nothing.
    rows = listing("mug", "spoon", *LIFELINES, *there[1:])
    fill(store, {"gear": things, "trip": [plan()], "carried": rows})
    assert named(store) == []
    # A lighter does for it, filed as cook gear as new owners do.
    lighter = gear("lighter", "cook", 20_000, **BLANK)
    rows = listing("stove", "gas", "lighter", *LIFELINES, *there[1:])
    fill(store, {"gear": [*things, lighter], "trip": [plan()], "carried": rows})
    assert named(store) == []


def test_fire_that_was_always_along_is_named_though_nothing_is_lit(store: Any) -> None:
    trips = [past(f"t{n}", 160 + n) for n in range(3)]
    rest = ["mug", *LIFELINES, *(row["item"] for row in WHOLE[1:])]
    rows = [row for t in trips for row in listing("matches", *rest, on=t["trip"])]
    fill(
        store,
        {"gear": [*OWNED, *WHOLE], "trip": [*trips, plan()], "carried": [*rows, *listing(*rest)]},
    )
    assert named(store) == ["matches"]
