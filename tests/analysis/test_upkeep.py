"""One answer to what is to be mended, tried, checked, charged and restocked, on every list."""

import re
from collections.abc import Callable, Iterator, Mapping
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
import young_logbooks as young
from store_drawing import Tables, carried, empty_store, fill, gear, trip
from tarebook.analysis.ahead.page.page import read_before_trip
from tarebook.analysis.buying.page.page import read_buying
from tarebook.analysis.debrief.page.page import read_debrief
from tarebook.analysis.display.checklist import Checklist
from tarebook.analysis.display.sections import Section
from tarebook.analysis.display.words import Display
from tarebook.analysis.home.first_page import first_page
from tarebook.analysis.home.words import to_do_sentence
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.store.rows import ask
from tarebook.analysis.store.trip_choice import choose_ahead, choose_trip
from tarebook.analysis.wear.chores import Chore
from tarebook.analysis.wear.upkeep import upkeep
from tarebook.tripdata.store import store_path

TODAY = date(2026, 11, 25)
MEND, TRY = "Mend", "Mended since it failed: try it at home first"
REFILL, LOOK = "Check and refill", "Look over: no check within the last year"
CHARGE, RESTOCK, FILL = "Charge", "Restock", "Fill"
THEN = "Look over, too: the last check will be a year old by then"
STATES = (MEND, TRY, REFILL, LOOK, CHARGE, RESTOCK, FILL)


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def states(section: Section, known: frozenset[str]) -> dict[str, set[str]]:
    """The states that a section's lists give to each thing; a box may name several things."""
    found: dict[str, set[str]] = {}
    for each in section.more:
        if isinstance(each, Checklist) and each.heading in (*STATES, THEN):
            for task in each.tasks:
                several = task.about.startswith("“")
                of = re.findall("“(.*?)”", task.about) if several else [task.what]
                assert known.issuperset(of), task
                for name in of:
                    found.setdefault(name, set()).add(each.heading)
    return found


def agree(store: Any, today: date) -> Mapping[str, dict[str, set[str]]]:
    """What all lists say of each thing by name: as far as their scope goes, all say the same."""
    known = frozenset(row["name"] for row in ask(store, "store/gear_today"))
    display = Display()
    whole = states(read_debrief(store, "", today=today, display=display).to_do(), known)
    buying = read_buying(store, "", today=today, display=display).before_next()
    told = {"debrief": whole, "buying": states(buying, known)}
    broken = {name: found & {MEND, TRY} for name, found in whole.items() if found & {MEND, TRY}}
    assert told["buying"] == broken
    for plan in choose_ahead(store, "", today):
        page = read_before_trip(store, plan.trip, today=today, display=display)
        assert page.data is not None
        things = (each for each in page.data.packing.things if each.is_own_load)
        along = {each.thing.name for each in things if each.owner is None}
        found = states(page.before_leaving(), known)
        now = {name: each - {THEN} for name, each in found.items() if each - {THEN}}
        # What no list should lack and this one does is told, too, if it failed before.
        absent = (e.item for e in page.data.missing if e.lifeline and e.item)
        lacks = {page.data.names[item] for item in absent} - along
        expected = {name: each for name, each in whole.items() if name in along}
        expected |= {name: broken[name] for name in lacks & broken.keys()}
        assert now == expected, plan
        told[plan.trip] = found
    for thing in first_page(store, today).to_do:
        for chore in thing.chores:
            assert _STATE_OF[chore.kind] in whole[chore.name], to_do_sentence(thing)
    return told


_STATE_OF = {"mend": MEND, "try_out": TRY, "replenish": REFILL, "check": LOOK, "charge": CHARGE}
_STATE_OF |= {"restock": RESTOCK}


def test_all_lists_of_the_demo_agree(demo: Any) -> None:
    told = agree(demo, TODAY)
    assert told["buying"]["Air mat"] == {TRY}
    assert {MEND, TRY, REFILL, LOOK, CHARGE} <= set().union(*told["debrief"].values())
    assert len(told) == 4
    assert any(THEN in found for name in told for found in told[name].values())


def test_all_lists_of_a_logbook_of_four_columns_agree(tmp_path: Path) -> None:
    things = [*young.CAMP, *young.KEEPS_ALIVE, *young.DEAD_WEIGHT]
    ahead = {"start_on": "2027-06-11", "end_on": "2027-06-13"}
    path = young.write(tmp_path, things, young.summer(6), plan=ahead)
    with open_store(path) as made:
        told = agree(made, TODAY)
    assert told["debrief"]["Plasters" if "Plasters" in told["debrief"] else "plasters"] == {LOOK}
    assert not told["buying"]


def test_all_lists_of_the_lakes_agree(logbook: Callable[[str], Path]) -> None:
    with open_store(store_path(logbook("lakes"))) as made:
        told = agree(made, date(2026, 6, 1))
    assert told["debrief"]["Air mat"] == {MEND}


def kinds(chores: tuple[Chore, ...]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for chore in chores:
        found.setdefault(chore.item, []).append(chore.kind)
    return found


def ago(days: int) -> date:
    return TODAY - timedelta(days)


def test_a_thing_is_in_one_state(store: Any) -> None:
    both = [("a", ago(89)), ("b", ago(39))]
    last = {"trip": "b", "day": ago(39)}
    tables: Tables = {
        "gear": [
            gear("tarp", "shelter", 900_000),
            gear("mat", "sleep", 400_000),
            gear("bike", "bike", 900_000),
            gear("pan", "cook", 300_000),
            gear("seen", "cook", 300_000, checked_on=ago(20)),
            gear("beacon", "safety", 100_000, insurance=True, capacity_wh=3.0),
            gear("kit", "first_aid", 100_000, insurance=True),
            gear("lent", "safety", 100_000, insurance=True, owner="Ann"),
            gear("gone", "safety", 100_000, insurance=True, retired_on=ago(1)),
            gear("gas", "cook", 230_000, carried_as="consumable"),
            gear("drink", "water", 1_000_000, carried_as="consumable"),
        ],
        "trip": [
            *(trip(name, day - timedelta(1), 2) for name, day in both),
            trip("next", ago(-90), 2, plan=True),
        ],
        "carried": [
            *(carried(t, i) for t in ("a", "b") for i in ("tarp", "mat", "bike", "pan", "seen")),
            carried("b", "kit", used=1),
            carried("b", "lent"),
            carried("b", "gone"),
            carried("a", "gas", brought_home_mg=0),
            carried("b", "drink", brought_home_mg=0),
            *(carried("next", i) for i in ("tarp", "bike", "kit", "lent", "gas", "drink")),
        ],
        "failures": [
            {"trip": "a", "item": "tarp", "severity": "unsafe", "fixed_on": ago(80)},
            {**last, "item": "tarp", "severity": "nuisance"},
            {**last, "item": "mat", "severity": "impaired", "fixed_on": ago(9)},
            *(
                {"trip": t, "item": i, "severity": "nuisance", "day": d, "fixed_on": ago(30)}
                for t, d in both
                for i in ("bike", "seen")
            ),
            {**last, "item": "pan", "severity": "nuisance", "fixed_on": ago(9)},
            {**last, "item": "beacon", "severity": "unsafe"},
            {**last, "item": "gone", "severity": "unsafe"},
        ],
    }
    fill(store, tables)
    assert kinds(upkeep(store, TODAY)) == {
        "tarp": ["mend"],
        "beacon": ["mend", "charge"],
        # It failed once, the last time that it came along.
        "mat": ["try_out"],
        # Twice, though as a nuisance only; what was looked over after that is settled.
        "bike": ["try_out"],
        "kit": ["replenish"],
        "gas": ["restock"],
        "drink": ["restock"],
    }
    ahead = choose_trip(store, "next")
    along = {"tarp", "bike", "kit", "lent", "gas", "drink"}
    assert kinds(upkeep(store, TODAY, along=along, before=ahead)) == {
        "tarp": ["mend"],
        "bike": ["try_out"],
        "kit": ["replenish"],
        "lent": ["check"],
        "gas": ["restock"],
        "drink": ["restock"],
    }


def test_what_is_not_known_yet_settles_nothing(store: Any) -> None:
    """A repair and a check that are noted for a later day have not been made yet."""
    tables: Tables = {
        "gear": [
            gear("tarp", "shelter", 900_000),
            gear("map", "navigation", 9_000, insurance=True, checked_on=ago(-1)),
            gear("whistle", "safety", 9_000, insurance=True, checked_on=ago(300)),
        ],
        "trip": [trip("a", ago(90), 2), trip("next", ago(-90), 2, plan=True)],
        "carried": [carried("a", i) for i in ("tarp", "map", "whistle")],
        "failures": [
            {"trip": "a", "item": "tarp", "severity": "unsafe", "day": ago(89), "fixed_on": ago(-2)}
        ],
    }
    fill(store, tables)
    assert kinds(upkeep(store, TODAY)) == {"tarp": ["mend"], "map": ["check"]}
    ahead = choose_trip(store, "next")
    due = kinds(upkeep(store, TODAY, along={"whistle", "map"}, before=ahead))
    assert due == {"map": ["check"], "whistle": ["due_then"]}
