"""Nothing that is the last of its kind on a list stays at home, nor what saw no occasion."""

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import pytest
from store_drawing import Row, Tables, carried, empty_store, fill, gear, trip
from tarebook.analysis.ahead.plan import trips_ahead_of
from tarebook.analysis.ahead.stays_home import stays_at_home
from tarebook.analysis.cull.culling import ask_cull, frontier
from tarebook.analysis.cull.results import Wish
from tarebook.analysis.store.scope import Scope
from tarebook.analysis.usage.cold_odds import trips_ahead
from tarebook.analysis.usage.items import usage
from tarebook.analysis.usage.leaving import circumstances, held_back
from tarebook.analysis.usage.verdict_words import verdict_reason, verdict_reversal
from tarebook.analysis.usage.verdicts import Judged, judge

START, TODAY, PLAN = date(2026, 5, 2), date(2027, 1, 1), date(2027, 6, 1)
SYSTEMS = ("shelter", "sleep", "water", "rain", "light")


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def two_each() -> list[Row]:
    """Two things of each system, called not essential; nights are judged warm enough."""
    return [gear(f"{system}-{n}", system) for system in SYSTEMS for n in (0, 1)]


def book(
    things: list[Row], listed: list[str] | None, *, trips: int = 30, wet: int = 30, nights: int = 1
) -> Tables:
    """Nothing ever used on that many trips, the first of them wet, and a plan in June."""
    names = [f"t{n:02d}" for n in range(trips)]
    starts = [START + timedelta(2 * n) for n in range(trips)]
    plan = trip("plan", PLAN, nights, mode="foot", plan=True)
    along = [
        trip(n, s, nights, mode="foot", use_record="full")
        for n, s in zip(names, starts, strict=True)
    ]
    return {
        "gear": things,
        "trip": [*along, plan],
        "carried": [
            *(carried(n, i["item"], used=0) for n in names for i in things),
            *(carried("plan", item) for item in listed or ()),
        ],
        "weather": [
            {"trip": n, "day": s, "wet": place < wet, "low_c": 9.0}
            for place, (n, s) in enumerate(zip(names, starts, strict=True))
        ],
    }


def stays(store: Any) -> set[str]:
    (ahead,) = trips_ahead_of(store, "plan", TODAY)
    return set(stays_at_home(store, ahead).items)


@pytest.mark.parametrize("listed", [(0,), (1,), (0, 1)])
def test_one_of_each_system_stays_on_a_trips_own_list(store: Any, listed: tuple[int, ...]) -> None:
    things = [f"{system}-{n}" for system in SYSTEMS for n in listed]
    fill(store, book(two_each(), things))
    left = stays(store)
    assert left, "something owned may stay at home"
    for system in SYSTEMS:
        assert {i for i in things if i.startswith(system)} - left, system
    coming = trips_ahead(store, "plan")
    wish = Wish(save_g=90_000.0, undecided=True)
    asked = ask_cull(store, Scope(), wish, regret={}, today=TODAY, ahead=coming)
    points = frontier(asked.problem.programme())
    assert points
    for point in points:
        for system in SYSTEMS:
            assert {i for i in things if i.startswith(system)} - point.items, (system, point)


def test_without_a_list_one_light_stays(store: Any) -> None:
    fill(store, book([gear("lamp", "light"), gear("book", "leisure")], None))
    assert stays(store) == {"book"}


def test_what_is_on_the_list_and_was_never_along_stays_and_lets_the_other_go(store: Any) -> None:
    tables = book([gear("lamp", "light"), gear("book", "leisure")], ["lamp", "torch"])
    tables["gear"].append(gear("torch", "light"))
    fill(store, tables)
    assert stays(store) == {"book", "lamp"}
    tables["gear"][-1]["insurance"] = True
    fill(store, tables)
    assert stays(store) == {"book"}, "a light for emergencies is a second line"


def judged(store: Any, tables: Tables) -> dict[str, Judged]:
    fill(store, tables)
    counted = usage(store)
    return {j.about.item: j for j in judge(counted, {}, TODAY, circumstances(store, counted))}


@pytest.mark.parametrize("system", ["rain", "shelter"])
def test_called_not_essential_rain_gear_needs_wet_days_to_go(store: Any, system: str) -> None:
    things = [gear("old", system), gear("new", system), gear("said", system, meant_for=["wet"])]
    for wet, leave in ((0, set()), (25, set()), (26, {"old", "new", "said"})):
        found = judged(store, book(things, None, wet=wet))
        left = {i for i, j in found.items() if j.verdict == "leave"}
        assert (left < leave and len(left) == 2) if leave else not left, wet
    found = judged(store, book(things, None, wet=1))
    assert (found["old"].verdict, found["old"].why) == ("keep", "occasion_unseen")
    assert "it is known of 1 trip with it that there was rain" in verdict_reason(found["old"])
    assert "meant_for" in verdict_reversal(found["old"])
    assert held_back(store, TODAY).keys() == {"old", "new"}, "what is meant for wet has its record"


def test_day_trips_tell_nothing_of_what_one_sleeps_in(store: Any) -> None:
    things = [gear("pad", "sleep"), gear("quilt", "sleep")]
    found = judged(store, book(things, None, nights=0))
    assert {j.why for j in found.values()} == {"occasion_unseen"}
    found = judged(store, book(things, None))
    assert sorted(j.verdict or "" for j in found.values()) == ["keep", "leave"]


@pytest.mark.parametrize(
    "item",
    [
        *("buoyancy-vest", "swim-ring", "headlamp", "head-torch", "storm-matches"),
        *("rescue-whistle", "hand-flare", "satellite-messenger", "distress-transmitter"),
        *("marine-radio", "compass", "paper-map", "gps-receiver", "allergy-pen", "spare-tablets"),
        *("glacier-glasses", "emergency-blanket", "foil-bivy", "down-booties"),
    ],
)
def test_what_means_safety_by_its_name_waits_for_its_owners_word(store: Any, item: str) -> None:
    things = [gear(item, "leisure", essential=None), gear("book", "leisure", essential=None)]
    found = judged(store, book(things, None))
    assert {i: j.verdict for i, j in found.items()} == {item: "owner_to_say", "book": "leave"}
    things[0]["essential"] = False
    assert judged(store, book(things, None))[item].verdict == "leave"
