"""What keeps warm or dry and is left off a list is named, and keeps its box and its warning."""

import shutil
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from before_trip_reading import TODAY, lists_of, past, plain, plan, points, read, stays_rows
from store_drawing import carried, empty_store, fill, gear
from tarebook.analysis.ahead.called_for import cover_of
from tarebook.analysis.ahead.page.page import BeforeTripPage
from tarebook.analysis.display.tables import Table
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.tables import entry
from tarebook.tripdata.store import load_logbook, store_path

WEIR, LARKSPUR = "2027-04-old-weir-meadow", "2027-05-larkspur-flat"
GONE = {
    WEIR: ("puffy-jacket", "warm-hat"),
    LARKSPUR: ("puffy-jacket", "rain-jacket", "headlamp", "sleeping-mat"),
}
NOT_YET = "Not on the list yet"
COLD = {"meant_for": ["cold"], "cold_below_c": 5.0}
PUFFY, SPARE = (
    gear(item, "clothing", grams * 1000, name=name, **COLD)
    for item, grams, name in (("puffy", 350, "Down jacket"), ("spare", 300, "Padded jacket"))
)
HAT = gear("hat", "clothing", 50_000, name="Wool hat", **COLD)
TENT = gear("tent", "shelter", 1_000_000)


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


@pytest.fixture(scope="module")
def bare(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    """The demo with what keeps warm and dry deleted from the lists of its plans."""
    folder = tmp_path_factory.mktemp("bare") / "demo"
    shutil.copytree(demo_folder, folder, ignore=shutil.ignore_patterns(".tarebook", "reports"))
    for name, gone in GONE.items():
        rows = folder / "trips" / name / "carried.csv"
        lines = rows.read_text("utf-8").splitlines(keepends=True)
        kept = [line for line in lines if line.split(",")[0] not in gone]
        assert len(kept) == len(lines) - len(gone)
        rows.write_text("".join(kept), "utf-8")
    load_logbook(folder)
    with open_store(store_path(folder)) as connection:
        yield connection


def weather(page: BeforeTripPage) -> dict[str, Any]:
    table = page.packing().more[-1]
    assert isinstance(table, Table)
    return {plain(str(row["for"])): row for row in table.rows}


def not_yet(page: BeforeTripPage) -> dict[str, str]:
    tasks = lists_of(page.packing()).get(NOT_YET, [])
    return {task.partition(" | ")[0]: task.partition(" | ")[2] for task in tasks}


def named(page: BeforeTripPage) -> list[str]:
    assert page.data is not None
    return [one.item or "" for one in page.data.missing if one.why == "weather"]


def test_warm_clothes_off_the_list_are_named_and_the_warning_stays(bare: Any, demo: Any) -> None:
    page, whole = read(bare, WEIR), read(demo, WEIR)
    assert points(page)["Forgotten?"].startswith(
        "You own “Air mat”, “Down jacket” and “Wool hat”, and they are not on the list."
    )
    boxes = not_yet(page)
    assert list(boxes)[:3] == ["Air mat", "Down jacket", "Wool hat"], "the mat stands first"
    assert boxes["Down jacket"] == ("352 g. A night cold enough for it is almost certain.")
    assert boxes["Wool hat"] == "47 g. A night cold enough for it: about 9 in 10."
    before, after = weather(whole), weather(page)
    for low, name in (("nights under 9 °C", "Down jacket"), ("nights under 8 °C", "Wool hat")):
        assert before[low]["things"] == f"“{name}”"
        assert after[low]["things"] == f"not on it yet: “{name}”"
        assert after[low]["odds"] == before[low]["odds"]
    # What is on its list needs no second of its kind.
    assert named(whole) == []
    assert page.data is not None
    assert len(page.data.missing) <= 12


def test_the_same_on_the_later_plan_and_of_what_its_list_never_had(bare: Any, demo: Any) -> None:
    assert "about 8 in 10" in not_yet(read(bare, LARKSPUR))["Down jacket"]
    whole = read(demo, LARKSPUR)
    assert named(whole) == ["warm-hat", "rain-mitts"]
    row = weather(whole)["nights under 8 °C"]
    assert row["things"] == "not on it yet: “Wool hat”"


def test_a_forgotten_mat_leaves_the_warmer_bag_and_the_chance_where_they_were(
    bare: Any, demo: Any
) -> None:
    whole, page = read(demo, LARKSPUR), read(bare, LARKSPUR)
    warmer = "1.04 kg. Warmer than “Summer quilt”."
    assert not_yet(whole)["Winter sleeping bag"] == not_yet(page)["Winter sleeping bag"] == warmer
    assert "Air mat" in not_yet(page)
    quilts = [
        task
        for every in (whole, page)
        for tasks in lists_of(every.packing()).values()
        for task in tasks
        if task.startswith("Summer quilt")
    ]
    assert quilts == [
        "Summer quilt | 528 g, chance of a too cold night in it about 6 in 10",
        "Summer quilt | 528 g, chance of a too cold night in it with a sound mat about 6 in 10",
    ]
    assert (
        "Take your own “Winter sleeping bag”: in it about 1 in 30"
        in (points(page)["Will you be cold?"])
    )


def test_trousers_do_not_stand_in_for_what_is_over_the_upper_body(bare: Any, demo: Any) -> None:
    page, name = read(bare, LARKSPUR), "Trekking umbrella"
    assert "this list has no rain jacket, poncho or cape" in not_yet(page)["Rain jacket, light"]
    assert page.data is not None
    assert "umbrella" in page.data.packing.items - page.data.home.items
    assert name not in {row["name"] for row in stays_rows(page)}
    assert "could stay at home" not in "".join(
        task
        for tasks in lists_of(page.packing()).values()
        for task in tasks
        if task.startswith(name)
    )
    for store, plan_ahead, lets_go in (
        (bare, LARKSPUR, False),
        (demo, LARKSPUR, True),
        (bare, WEIR, True),
    ):
        cull = entry("cull").relation(store, coming=plan_ahead, today=TODAY)
        left = {row[cull.columns.index("item")] for row in cull.fetchall()}
        assert ("umbrella" in left) is lets_go, plan_ahead


def history(**wet: Any) -> dict[str, Any]:
    """Three like trips, each with a night of 2 °C; nothing came along that is meant for cold."""
    trips = [past(f"t{n}", 30 + 30 * n) for n in range(3)]
    days = [
        {"trip": one["trip"], "day": one["start_on"] + timedelta(d), "low_c": 2.0, **wet}
        for one in trips
        for d in range(3)
    ]
    rows = [carried(one["trip"], "tent") for one in trips]
    return {"trip": [*trips, plan(start_on=TODAY)], "weather": days, "carried": rows}


@pytest.mark.parametrize(
    ("owned", "listed", "expected"),
    [
        ([PUFFY], [], ["puffy"]),
        ([PUFFY, SPARE], ["spare"], []),  # two owned, one packed
        ([PUFFY, SPARE], [], ["puffy"]),  # one is named, the heavier, and the other with it
        ([PUFFY, HAT], ["hat"], ["puffy"]),  # a hat is no jacket
        ([PUFFY, {**SPARE, "meant_for": [], "cold_below_c": None}], ["spare"], []),
        ([PUFFY, gear("tee", name="Merino tee", meant_for=[])], ["tee"], ["puffy"]),
        ([{**PUFFY, "name": "Blue", "item": "a"}, HAT], ["hat"], ["a"]),  # who knows what it is
        ([{**PUFFY, "retired_on": date(2026, 1, 1)}], [], []),
        ([{**PUFFY, "bought_on": date(2027, 1, 1)}], [], []),
        ([{**PUFFY, "owner": "Ann"}], [], []),
        ([{**PUFFY, "cold_below_c": -20.0}], [], []),  # never so cold
        ([{**PUFFY, "meant_for": [], "cold_below_c": None}], [], []),  # nothing is said of it
    ],
)
def test_one_of_a_kind_is_called_for(
    store: Any, owned: list[Any], listed: list[str], expected: list[str]
) -> None:
    tables = history()
    rows = [*tables["carried"], carried("next", "tent"), *(carried("next", i) for i in listed)]
    # Trousers, so that clothing is not missing as a whole.
    shorts = gear("shorts", name="Shorts", meant_for=[], carried_as="worn")
    rows.append(carried("next", "shorts"))
    fill(store, tables | {"gear": [TENT, shorts, *owned], "carried": rows})
    page = read(store)
    assert named(page) == expected
    if expected == ["puffy"] and SPARE in owned:
        assert not_yet(page)["Down jacket"].endswith("You own “Padded jacket”, too.")


def test_what_covers_the_body_goes_by_its_names() -> None:
    covers = {
        "Down booties": "feet",
        "Thermal leggings": "legs",
        "Thermal top": "skin",
        "Warm gloves": "hands",
        "Wool hat": "head",
        "Rain jacket": "upper",
        "Nebula": None,
    }
    assert {name: cover_of({"item": "x", "name": name}) for name in covers} == covers
