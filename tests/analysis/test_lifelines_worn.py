"""What a boat, a bike, rain and a wound ask for is named though the list has something beside."""

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import pytest
from store_drawing import Row, carried, empty_store, fill, gear, trip
from tarebook.analysis.ahead.page.page import read_before_trip
from tarebook.analysis.debrief.page.page import read_debrief
from tarebook.analysis.display.cautions import WATER_CARE
from tarebook.analysis.display.checklist import Checklist
from tarebook.analysis.display.words import Display
from tarebook.analysis.tables import entry
from tarebook.analysis.usage.guard_words import (
    is_buoyancy_aid,
    is_helmet,
    is_upper_shell,
    sees_to_wounds,
)
from tarebook.analysis.weigh_up.page.page import read_weigh_up

TODAY = date(2026, 11, 27)
START = date(2027, 6, 4)
BLANK = {"essential": None, "insurance": False, "meant_for": []}
GEAR = [
    gear("canoe", "boat", 20_000_000, **BLANK),
    gear("bicycle", "bike", 12_000_000, **BLANK),
    gear("aid", "safety", 600_000, name="Buoyancy aid", **BLANK),
    gear("whistle", "safety", 9_000, **BLANK),
    gear("helmet", "safety", 300_000, **BLANK),
    gear("tent", "shelter", 1_500_000, **BLANK),
    gear("jacket", "rain", 300_000, name="Rain jacket", **BLANK),
    gear("trousers", "rain", 200_000, name="Rain trousers", **BLANK),
    gear("pouch", "first_aid", 200_000, name="First-aid pouch", **BLANK),
    gear("painkillers", "first_aid", 20_000, **BLANK),
    gear("mug", "cook", 90_000, **BLANK),
]
ALL = [row["item"] for row in GEAR]


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def listing(*items: str, on: str = "next") -> list[Row]:
    return [carried(on, item) for item in items]


def filled(store: Any, *items: str, mode: str | None, before: Any = ()) -> None:
    """A plan with that list; ``before``: way of travelling and list of each trip before."""
    trips, rows = [trip("next", START, 0, plan=True, mode=mode)], listing(*items)
    for n, (way, along) in enumerate(before):
        trips.append(trip(f"t{n}", TODAY - timedelta(20 * n + 30), 0, mode=way))
        rows += listing(*along, on=f"t{n}")
    fill(store, {"gear": GEAR, "trip": trips, "carried": rows})


def named(store: Any) -> list[str]:
    relation = entry("forgotten").relation(store, today=TODAY)
    return [dict(zip(relation.columns, row, strict=True))["item"] for row in relation.fetchall()]


def told(store: Any) -> dict[str, str]:
    page = read_before_trip(store, today=TODAY, display=Display())
    lists = [each for each in page.forgotten().more if isinstance(each, Checklist)]
    return {task.what: task.about for each in lists for task in each.tasks}


REST = ("tent", "jacket", "trousers", "pouch", "painkillers", "whistle", "mug")
ON_FOOT = [("foot", REST)] * 10
NOT_NOTED = [(None, REST)] * 10


@pytest.mark.parametrize(
    ("mode", "before"),
    [("paddle", ()), (None, ()), (None, NOT_NOTED), ("paddle", ON_FOOT), ("foot", ON_FOOT)],
)
@pytest.mark.parametrize("whistle", [True, False])
def test_what_keeps_afloat_is_named_first(
    store: Any, mode: str | None, before: Any, whistle: bool
) -> None:
    rest = [item for item in REST if whistle or item != "whistle"]
    filled(store, "canoe", *(i for i in rest if i != "jacket"), mode=mode, before=before)
    assert named(store)[:1] == ["aid"]
    assert next(iter(told(store))) == "Buoyancy aid", "the page has the order of the table"
    assert "nothing on this list keeps you afloat" in told(store)["Buoyancy aid"]


def test_by_boat_without_a_boat_on_the_list_and_never_beside_one_listed(store: Any) -> None:
    filled(store, "whistle", mode="paddle")
    assert named(store)[:1] == ["aid"]
    filled(store, "canoe", "aid", "whistle", mode="paddle")
    assert "aid" not in named(store)
    filled(store, *REST, mode="foot")
    assert named(store) == [], "on foot without a boat nothing asks for an aid or a helmet"


@pytest.mark.parametrize(
    ("mode", "before"), [("bike", ()), (None, ()), (None, NOT_NOTED), ("ebike", ON_FOOT)]
)
def test_a_bicycle_asks_for_the_helmet(store: Any, mode: str | None, before: Any) -> None:
    filled(store, "bicycle", *REST, mode=mode, before=before)
    assert named(store)[:1] == ["helmet"]
    assert "this list has no helmet" in told(store)["Helmet"]
    filled(store, "bicycle", "helmet", *REST, mode=mode, before=before)
    assert "helmet" not in named(store)


@pytest.mark.parametrize("before", [(), [("foot", REST)] * 3])
def test_trousers_keep_no_back_dry_and_pills_dress_no_wound(store: Any, before: Any) -> None:
    filled(store, "tent", "trousers", "painkillers", "whistle", "mug", mode="foot", before=before)
    assert named(store)[:2] == ["jacket", "pouch"]
    about = told(store)
    assert "this list has no rain jacket, poncho or cape" in about["Rain jacket"]
    assert "this list has no first-aid kit and no dressing" in about["First-aid pouch"]
    filled(store, "jacket", "pouch", "whistle", "tent", "mug", mode="foot", before=())
    assert named(store) == [], "nor is what goes beside them called for"


@pytest.mark.parametrize(
    ("mode", "item", "afloat"),
    [
        ("foot", "canoe", True),
        (None, "canoe", True),
        ("bike", "canoe", True),
        ("paddle", "mug", True),
        ("foot", "mug", False),
        (None, "bicycle", False),
    ],
)
def test_who_takes_something_of_a_boat_is_told_of_the_water(
    store: Any, mode: str | None, item: str, afloat: bool
) -> None:
    filled(store, item, mode=mode, before=[(mode, (item,))])
    ahead = read_before_trip(store, today=TODAY, display=Display())
    weighed = read_weigh_up(store, trip="next", today=TODAY, display=Display())
    back = read_debrief(store, trip="t0", today=TODAY, display=Display())
    cares = (ahead.packing().caution, weighed.opening().caution, back.opening().caution)
    assert [WATER_CARE in (care or "") for care in cares] == [afloat] * 3


def test_one_order_for_table_and_page(store: Any) -> None:
    filled(store, "mug", "canoe", "bicycle", mode=None)
    names = {row["item"]: row["name"] for row in GEAR}
    assert [names[item] for item in named(store)] == list(told(store))
    assert named(store)[:2] == ["aid", "helmet"]


@pytest.mark.parametrize(
    ("name", "system", "is_one"),
    [
        ("Buoyancy aid", "safety", True),
        ("Life jacket", "other", True),
        ("Vest", "boat", True),
        ("Down vest", "clothing", False),
        ("Life vest whistle", "safety", False),
        ("Float bag", "boat", False),
        ("Throw line", "boat", False),
    ],
)
def test_what_goes_with_an_aid_is_none(name: str, system: str, is_one: bool) -> None:
    assert is_buoyancy_aid("x", name, system) is is_one


def test_helmets_shells_and_dressings_go_by_their_names() -> None:
    assert [is_helmet("x", n) for n in ("Bike helmet", "Helmet cover", "Hat")] == [
        True,
        False,
        False,
    ]
    shells = ("Poncho", "Rain cape", "Nebula", "Rain trousers", "Rain mitts", "Umbrella")
    assert [is_upper_shell("x", n) for n in shells] == [True] * 3 + [False] * 3
    heals = ("First-aid kit", "Pressure bandage", "Sun cream", "Painkillers")
    assert [sees_to_wounds("x", n) for n in heals] == [True, True, False, False]
