"""How often what was taken off a list is named, and how much beside it, on logbooks drawn anew."""

from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest
from tarebook.analysis.ahead.along import LikeLists
from tarebook.analysis.ahead.forgotten import FEWEST_HAD, NEARLY_ALWAYS
from tarebook.analysis.ahead.results import LikeTrip
from tarebook.tripdata.contract import SYSTEMS

TRIPS, THINGS, TAKEN_OFF = 12, 40, 3
BEGIN = date(2024, 6, 1)


def a_row(item: str, system: str, **more: Any) -> dict[str, Any]:
    blank = dict.fromkeys(("bought_on", "retired_on", "owner"))
    return {"item": item, "system": system, "replaces": [], "at_hand": True, **blank, **more}


def lists_of(lists: list[set[str]], gear: list[dict[str, Any]], alike: list[float]) -> LikeLists:
    days = [BEGIN + timedelta(30 * n) for n in range(len(lists))]
    like = [
        LikeTrip(f"t{n:02}", "", on, on, None, 2, None, True, alike[n]) for n, on in enumerate(days)
    ]
    by_trip = {trip.trip: items for trip, items in zip(like, lists, strict=True)}
    before = [(trip.trip, trip.start_on) for trip in like]
    return LikeLists({row["item"]: row for row in gear}, like, by_trip, before)


def named_and_false(rng: np.random.Generator, ends: float) -> tuple[int, int] | None:
    """Of three things taken off a list: how many would be named, and how many others beside them.

    A thing is along with a chance of its own, Beta(``ends``, ``ends``): the lower, the more it is
    always or never; the list is one more such trip. None where fewer than three can be taken off.
    """
    chances = rng.beta(ends, ends, THINGS)
    items = [f"i{n:02}" for n in range(THINGS)]
    gear = [a_row(item, SYSTEMS[rng.integers(14)]) for item in items]
    drawn = [set(np.array(items)[rng.random(THINGS) < chances].tolist()) for _ in range(TRIPS + 1)]
    *lists, plan = drawn
    known = lists_of(lists, gear, rng.uniform(0.2, 1, TRIPS).tolist())
    often = [i for i in sorted(plan) if sum(i in one for one in lists) >= 0.8 * TRIPS]
    if len(often) < TAKEN_OFF:
        return None
    off = set(rng.choice(often, TAKEN_OFF, replace=False).tolist())
    plan -= off
    named = {
        i
        for i in set(items) - plan
        if known.of[i].chance >= NEARLY_ALWAYS and known.of[i].had >= FEWEST_HAD
        if not any(known.one_for_another(i, other) for other in plan)
    }
    return len(named & off), len(named - off)


@pytest.mark.parametrize("ends", [0.5, 1.0])
def test_nine_in_ten_are_named_with_three_others_at_most(ends: float) -> None:
    rng = np.random.default_rng(7)
    drawn = [one for _ in range(60) if (one := named_and_false(rng, ends)) is not None]
    named, false = np.array(drawn).T
    assert named.mean() / TAKEN_OFF >= 0.9
    assert false.mean() <= 3


def test_one_for_another_needs_more_than_chance() -> None:
    gear = [a_row("a", "cook"), a_row("b", "cook"), a_row("c", "light")]
    twelve = [{"a"}] * 10 + [{"b"}] * 2
    known = lists_of(twelve, gear, [1.0] * 12)
    # Without b, a was along on 10 of 10: (10 + .5) / 11 = .955; none of 2 by chance: .045² = .002.
    assert known.one_for_another("a", "b")
    # Without a, b was along on 2 of 2: 2.5 / 3 = .833; none of 10 by chance: .167¹⁰.
    assert known.one_for_another("b", "a")
    # With three trips: 2.5 / 3 = .833; none of 1 by chance .167.
    assert not lists_of([{"a"}, {"a"}, {"b"}], gear, [1.0] * 3).one_for_another("a", "b")
    # Of another system, or together more than once in five, they are no stand-ins.
    assert not lists_of([{"a"}] * 10 + [{"c"}] * 2, gear, [1.0] * 12).one_for_another("a", "c")
    together = [{"a"}] * 9 + [{"a", "b"}] + [{"b"}] * 2
    assert not lists_of(together, gear, [1.0] * 12).one_for_another("a", "b")


def test_what_never_came_along_stands_in_for_nothing() -> None:
    """It took over from what did, but nobody has yet gone with it in the other's place."""
    old, new = a_row("old", "cook", at_hand=False), a_row("new", "cook", replaces=["old"])
    lists = [{"a"}] * 10 + [{"old"}] * 2
    known = lists_of(lists, [a_row("a", "cook"), old, new], [1.0] * 12)
    assert known.of["new"].had == 2
    assert not known.one_for_another("a", "new")
    since = lists_of([*lists, {"new"}], [a_row("a", "cook"), old, new], [1.0] * 13)
    assert since.one_for_another("a", "new")
