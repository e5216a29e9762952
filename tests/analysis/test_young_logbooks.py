"""People who began this year: nothing that keeps warm, lit, fed, healed or afloat is left behind.

Each case was once answered otherwise, with the sentence that must not come back.
"""

import re
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from pathlib import Path
from shutil import copyfile
from typing import Any

import pytest
from reports_read import drawn_if
from tarebook.analysis.cull import culling
from tarebook.analysis.cull.page import page as cull_page
from tarebook.analysis.cull.page.page import CullPage
from tarebook.analysis.cull.results import Cull, Wish
from tarebook.analysis.display.words import Display
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.store.scope import Scope
from tarebook.analysis.tables import TABLES
from tarebook.tripdata.store import load_logbook
from young_logbooks import (
    CAMP,
    DEAD_WEIGHT,
    JANUARY,
    KEEPS_ALIVE,
    NEW_YORK,
    summer,
    write,
)

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
WISHES = (Wish(), Wish(target_g=1.0, undecided=True))
NEVER = (
    "coin toss",
    "let go",
    "for nothing",
    "costs nothing",
    "miss in",
    "is never on the list",
    "hardly used",
    "hardly needed",
)
"""Words that promised what nobody could know, or could be misread."""


@pytest.fixture(scope="module", autouse=True)
def few_draws() -> Iterator[None]:
    """How often a thing is in the answer is not the point here."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(culling, "DRAWS", 3)
        yield


def read(path: Path, wish: Wish, coming: str = "") -> CullPage:
    with open_store(path) as store:
        return cull_page.read_cull(
            store, Scope(), wish, today=TODAY, display=Display(), coming=coming
        )


def advised(cull: Cull) -> set[str]:
    """Everything that any answer, frontier or kind of trip leaves at home, or a verdict does."""
    points = [cull.answer.point, *cull.frontier]
    points += [p for kind in cull.by_kind for p in (kind.answer, *kind.frontier)]
    left = {j.about.item for j in cull.judged if j.verdict == "leave"}
    return left.union(*(p.items for p in points))


def whole(page: CullPage, drawn: bool) -> str:
    """Everything that the page says; its pictures say it beside them, drawn or not."""
    with drawn_if(drawn):
        parts = [page.opening().html(), *(getattr(page, name)().html() for name in SECTIONS)]
    return re.sub(r"<(script|svg).*?</\1>|<[^>]*>", " ", " ".join(parts), flags=re.DOTALL)


def check(path: Path, may: set[str], coming: str = "") -> None:
    """Ask in every way there is; only what is named may be advised against."""
    for wish in WISHES:
        page = read(path, wish, coming)
        assert advised(page.data) <= may, wish
        sheet = page.checklist().text()
        if "Leave at home\n" in sheet:
            listed = sheet.split("Leave at home\n")[1]
            for heading in ("\nLook over", "\nIf you pack them", "\nStay packed"):
                listed = listed.split(heading)[0]
            assert "see that these come along" not in listed, "stands before"
            names = {line.split("[ ] ")[1] for line in listed.splitlines() if "[ ]" in line}
            assert {n.rsplit(" ", 1)[0].rsplit(" ", 1)[0] or n for n in names}
            assert all(any(n.startswith(f"{m} ") or n == m for m in may) for n in names), names
        said = whole(page, drawn=wish is WISHES[0])
        for word in NEVER:
            assert word not in said, word
        if page.data.answer.left:
            assert "Take care." in page.opening().text()
            assert page.checklist().caution
    with open_store(path) as store:
        rows = TABLES["usage"].rows(store, today=TODAY, coming=coming)
        assert {r["item"] for r in rows if r["verdict"] == "leave"} <= may
        for row in TABLES["cull_frontier"].rows(store, today=TODAY, undecided=True, coming=coming):
            assert set(row["items"].split("; ")) <= may


THINGS = (*KEEPS_ALIVE, *CAMP, *DEAD_WEIGHT)
DEAD = {item for item, _, _ in DEAD_WEIGHT}


@pytest.mark.parametrize(("mode", "many"), [("", 10), ("foot", 30)])
def test_four_columns_and_easy_summers(tmp_path: Path, mode: str, many: int) -> None:
    trips = {"mode": mode} if mode else {}
    path = write(tmp_path, THINGS, summer(many), trips=trips)
    check(path, DEAD)
    page = read(path, Wish())
    assert advised(page.data) >= {"chess-set", "binoculars"}, "dead weight is still found"
    assert "on trips like these" in page.opening().points[0].answer
    asked = {j.about.item for j in page.data.judged if j.verdict == "owner_to_say"}
    assert {
        "insulated-jacket",
        "wool-hat",
        "gloves",
        "thermal-top",
        "dry-socks",
        "sun-cream",
        "power-bank",
        "tablets",
        "spare-glasses",
        "headlamp",
        "second-pot",
        "lighter",
    } <= asked
    table = page.to_say().table
    assert table is not None
    assert {row["item"] for row in table.rows} == asked
    assert all("essential = no" in row["type"] for row in table.rows)


@pytest.mark.parametrize(
    ("mode", "normals"), [("foot", "at hand"), ("foot", "packaged"), ("", "none")]
)
def test_a_plan_for_january_leaves_no_more_than_what_is_for_leisure(
    tmp_path: Path, noaa: Callable[[str], Path], mode: str, normals: str
) -> None:
    place = dict(NEW_YORK)
    if normals == "packaged":
        place = {"latitude": "47.45", "longitude": "-122.31", "elevation_m": "112"}  # Seattle
    modes = {"mode": mode} if mode else {}
    path = write(
        tmp_path,
        THINGS,
        summer(10),
        gear={"second-pot": {"essential": "no"}},
        trips=modes,
        plan={**JANUARY, **place, **modes},
    )
    assert advised(read(path, Wish()).data) == {*DEAD, "second-pot"}
    if normals == "at hand":
        (tmp_path / "normals").mkdir()
        file = noaa("normals-daily-1991-2020-USW00094728.csv")
        copyfile(file, tmp_path / "normals" / file.name)
        load_logbook(tmp_path)
    check(path, DEAD, "plan")
    page = read(path, Wish(), "plan")
    assert advised(page.data) == DEAD
    assert "on “plan”" in page.opening().points[0].answer
    why = "at a time of year"
    for text in (page.opening().text(), page.checklist().text()):
        assert "“plan” lies beyond the record of " in text
        assert why in text


def test_nine_summer_trips_of_twelve_things(tmp_path: Path) -> None:
    things = (
        ("warm-jacket", "clothing", 400),
        ("throw-rope", "safety", 250),
        ("warm-gloves", "clothing", 80),
        ("wool-hat", "clothing", 60),
        ("novel", "leisure", 150),
        *CAMP[:7],
    )
    check(write(tmp_path, things, summer(9)), {"novel"})


def test_an_e_bike_kit_with_few_trips(tmp_path: Path) -> None:
    things = (
        ("fat-tyre-e-bike", "bike", 26000),
        ("shoes", "clothing", 700),
        ("trousers", "clothing", 300),
        ("food", "food", 900),
        ("food-bag", "bags", 60),
        ("line", "other", 40),
        ("helmet", "safety", 300),
        ("spare-battery", "bike", 3000),
        ("cards", "leisure", 90),
    )
    cells = {
        "fat-tyre-e-bike": {"carried_as": "vehicle", "capacity_wh": "700"},
        "spare-battery": {"carried_as": "vehicle", "capacity_wh": "500"},
    }
    for mode, used in (
        ("ebike", ("fat-tyre-e-bike", "shoes", "trousers", "food")),
        ("", ("cards",)),
    ):
        trips = {"mode": mode} if mode else {}
        path = write(tmp_path / f"m{mode}", things, summer(4), gear=cells, trips=trips, used=used)
        check(path, {"spare-battery", "cards"})
        with open_store(path) as store:
            rows = {r["item"]: r for r in TABLES["usage"].rows(store, today=TODAY)}
        for item in ("fat-tyre-e-bike", "shoes", "trousers", "food", "food-bag", "line"):
            assert "could stay at home" not in rows[item]["reversal"], item
            assert rows[item]["verdict"] in ("keep", "owner_to_say")
        assert rows["spare-battery"]["verdict"] == "owner_to_say"
        assert "could stay at home" not in rows["spare-battery"]["reversal"]


def test_a_boat_its_paddle_and_its_vest_stay_whatever_is_asked(tmp_path: Path) -> None:
    things = (
        ("inflatable-boat", "boat", 2200),
        ("paddle", "boat", 800),
        ("vest", "boat", 500),
        ("cards", "leisure", 90),
        *CAMP,
    )
    afloat = {"inflatable-boat": {"carried_as": "base"}, "paddle": {"carried_as": "base"}}
    for mode in ("paddle", "foot"):
        trips = {"mode": mode} if mode else {}
        path = write(tmp_path / f"m{mode}", things, summer(12), gear=afloat, trips=trips)
        check(path, {"cards"})


def test_the_lamp_and_the_tablets_of_an_emergency_kit_are_insurance(tmp_path: Path) -> None:
    kit = ("plasters", "bandage", "whistle", "lamp", "tablets")
    things = (
        ("plasters", "first_aid", 20),
        ("bandage", "first_aid", 40),
        ("whistle", "safety", 10),
        ("lamp", "light", 30),
        ("tablets", "water", 10),
        ("tent", "shelter", 1500),
    )
    cells = {item: {"kit": "Emergency kit"} for item in kit}
    path = write(tmp_path, things, summer(4), gear=cells)
    assert not advised(read(path, WISHES[1]).data)
    with open_store(path) as store:
        rows = {r["item"]: r for r in TABLES["usage"].rows(store, today=TODAY)}
        unused = store.sql("SELECT DISTINCT unused_insurance_g FROM trips").fetchall()
    assert {rows[item]["verdict"] for item in kit} == {"kept_on_purpose"}
    assert {rows[item]["reversal"] for item in kit} == {"It stays."}
    assert unused == [(110.0,)]
    page = read(path, Wish())
    assert "occasions" not in page.insurance().text()


def test_what_its_owner_has_said_is_judged_within_its_record(tmp_path: Path) -> None:
    """Said to be no essential, a spare shirt may go after 26 summer trips; not in January."""
    cells = {"dry-socks": {"essential": "no"}, "sun-cream": {"meant_for": "heat"}}
    starts = [date(2024 + n // 9, 6, 1) + timedelta(9 * (n % 9)) for n in range(27)]
    path = write(
        tmp_path,
        THINGS,
        starts,
        gear=cells,
        trips={"mode": "foot"},
        votes=[0] * 10,
        plan={**JANUARY, "mode": "foot"},
    )
    assert advised(read(path, Wish()).data) == {*DEAD, "dry-socks"}
    assert advised(read(path, Wish(), "plan").data) == DEAD
    cold = write(
        tmp_path / "cold",
        THINGS,
        starts,
        gear=cells,
        trips={"mode": "foot"},
        votes=[-2, *[0] * 9],
    )
    page = read(cold, Wish())
    assert advised(page.data) == DEAD
    assert "1 of the 10 nights that you judged was too cold." in page.checklist().text()


def test_the_demo_offers_no_rucksack_phone_or_pan_however_much_is_asked(demo: Any) -> None:
    for wish in (Wish(save_g=1055.0), Wish(target_g=6000.0, undecided=True)):
        page = cull_page.read_cull(demo, Scope(), wish, today=TODAY, display=Display())
        items = advised(page.data)
        assert not items & {"rucksack", "phone", "wallet", "pot", "stove", "headlamp"}
        for j in page.data.judged:
            if j.about.item in items:
                assert j.usage.rate.low <= j.limit
                assert j.held is None
        said = whole(page, drawn=True)
        for word in NEVER:
            assert word not in said, word


SAID = (
    ("stove", "cook", 95),
    ("insulated-jacket", "clothing", 380),
    ("headlamp", "light", 80),
    ("tablets", "hygiene", 20),
    ("buoyancy-vest", "boat", 600),
    ("chess-set", "leisure", 300),
    ("sun-cream", "hygiene", 90),
)
SAID_OF = {
    "insulated-jacket": {"meant_for": "cold", "cold_below_c": "3"},
    "headlamp": {"meant_for": "dark"},
    "tablets": {"meant_for": "ill"},
    "buoyancy-vest": {"meant_for": "white water"},
    "sun-cream": {"meant_for": "heat"},
}


@pytest.mark.parametrize("many", [1, 10, 30])
def test_what_never_had_its_occasion_is_not_asked_in(tmp_path: Path, many: int) -> None:
    path = write(
        tmp_path,
        SAID,
        summer(many),
        used=("stove",),
        gear=SAID_OF,
        trips={"mode": "foot"},
        votes=[0] * min(many, 8),
    )
    for wish in (Wish(undecided=True), Wish(target_g=1.0, undecided=True)):
        page = read(path, wish)
        assert advised(page.data) <= {"chess-set"}
        points = [*page.data.frontier, *(p for k in page.data.by_kind for p in k.frontier)]
        assert {item for point in points for item in point.items} <= {"chess-set"}
        sheet = page.checklist().text()
        left = sheet.split("Leave at home\n")[-1].split("Look over")[0].split("If you pack")[0]
        left = left.split("For the weather")[0]
        for name in ("jacket", "headlamp", "tablets", "vest", "sun-cream"):
            assert name not in left


def test_what_is_wanted_every_other_trip_is_no_option(tmp_path: Path) -> None:
    things = [("tarp", "shelter", 500), ("stove", "cook", 100), ("mug", "cook", 80)]
    cells = {item: {"essential": "no"} for item in ("stove", "mug")}
    path = write(tmp_path, things, summer(10), used=("tarp",), gear=cells, trips={"mode": "foot"})
    carried = (tmp_path / "carried.csv").read_text("utf-8").splitlines()
    used = [
        f"{line}yes"
        if ",stove," in line and int(line[1:3]) % 2
        else f"{line}yes"
        if ",mug," in line and int(line[1:3]) < 4
        else line
        for line in carried
    ]
    (tmp_path / "carried.csv").write_text("\n".join(used) + "\n", "utf-8")
    load_logbook(tmp_path)
    for wish in (Wish(), Wish(save_g=100.0), Wish(target_g=1.0, undecided=True)):
        page = read(path, wish)
        assert advised(page.data) == set()
        assert "Stove" not in page.next_cost().text()
        assert not page.data.frontier


def test_an_unsafe_thing_stands_on_the_packing_sheet(tmp_path: Path) -> None:
    path = write(tmp_path, CAMP, summer(3))
    (tmp_path / "failures.csv").write_text(
        "trip,item,day,severity,what\nt00,stove,2024-06-10,unsafe,Gas leaked\n", "utf-8"
    )
    load_logbook(tmp_path)
    sheet = read(path, Wish()).checklist().text()
    assert "Do not use before it is mended" in sheet
    assert "stove" in sheet.split("Do not use before it is mended")[1].split("\n\n")[0]
