"""No input makes it advise leaving what must stay.

That is insurance, what is essential or borrowed, the last of its kind, what something that stays
needs or travels in, what its owner has not said the purpose of, what a trip to come asks beyond the
record, what keeps warm while nights were too cold, what is surely needed beyond its limit, and,
unless asked in, what had too few chances or none. The rules are read once more here, with no
thought of how they are kept.
"""

from collections.abc import Iterator
from datetime import date
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from season_drawing import MEANT, SYSTEMS, TODAY, seasons
from store_drawing import Tables, empty_store, fill
from tarebook.analysis.cull import culling
from tarebook.analysis.cull.culling import CullQuestion, cull
from tarebook.analysis.cull.problem import (
    CullProblem,
    base_loads,
    no_own_work,
    pose,
    stand_in_credits,
)
from tarebook.analysis.cull.results import BaseWeight, Wish
from tarebook.analysis.store.scope import Scope, Scoped
from tarebook.analysis.usage.conditions import ConditionOdds, Meaning, Occurrence, Seen
from tarebook.analysis.usage.items import Counts, Item, ItemUsage, Usage, pooled, usage
from tarebook.analysis.usage.keep_rules import Circumstances
from tarebook.analysis.usage.leaving import circumstances
from tarebook.analysis.usage.trip_range import Range, TripToCome
from tarebook.analysis.usage.verdicts import Judged, judge
from tarebook.tripdata.contract import ESSENTIAL_SYSTEMS
from tarebook.tripdata.errors import QuestionError

SILENT = {
    "clothing",
    "light",
    "power",
    "food",
    "cook",
    "hygiene",
    "first_aid",
    "safety",
    "navigation",
    "fire",
    "repair",
}
WORDLESS = {"bags", "bike", "boat", "other"}


def check_rules(left: set[str], judged: dict[str, Judged], around: Circumstances) -> None:
    """Prove of each thing that what was said and seen reaches so far."""
    for item in left:
        about, seen = judged[item].about, judged[item].usage.seen
        words = about.meaning.words
        if about.system in SILENT:
            assert words or about.essential_stated is False, item
        if about.system in WORDLESS:
            stated = about.essential_stated is not None or about.going_without is not None
            assert words or stated, item
        if about.system in ESSENTIAL_SYSTEMS and not words:
            # Were it needed as often as its limit allows, so many occasions unused are rare: .05.
            cost = 3.0 if about.going_without is None else about.going_without
            rare = max(0.0, 1 - 1 / (3 * cost)) if cost else 0.0
            assert rare ** judged[item].usage.occasions < 0.05, item
        for trip in around.to_come if about.system != "leisure" else ():
            assert trip.mode is not None, item
            assert trip.mode in seen.modes, item
            for month in trip.months:
                assert any((month - m) % 12 in (0, 1, 11) for m in seen.months), item
            assert trip.nights <= (seen.most_nights or -1), item
            if trip.usual_low_c is None or seen.lowest_c is None:
                assert trip.months <= seen.months, item
            else:
                assert trip.usual_low_c >= seen.lowest_c, item
        if about.system in ("clothing", "sleep") or "cold" in words:
            assert not around.too_cold or around.too_cold / around.judged < 0.1, item
            assert around.p_too_cold is None or around.p_too_cold[0] <= 0.1, item
            assert around.bed_wanting is None, item
        assert "cold" not in words or around.judged >= 5, item
        assert judged[item].usage.rate.low <= judged[item].limit, item
    for listed in around.relied_on:
        here = {i for i in listed if i in judged and judged[i].verdict is not None}
        assert here != listed or listed - left, listed
    for bag, held in around.bags.items():
        if bag in left:
            along = {i for i in held if i not in judged or judged[i].verdict is not None}
            assert along <= left, bag


def check(left: set[str], judged: dict[str, Judged], gone_by: date) -> None:
    """Prove that a set may be left, from what gear.csv says alone."""
    along = {
        i: j.about
        for i, j in judged.items()
        if j.about.retired_on is None or j.about.retired_on > gone_by
    }
    for item in left:
        about = along[item]
        assert not about.insurance
        assert not about.essential
        assert about.owner is None
    for system in ESSENTIAL_SYSTEMS:
        kind = {i for i, about in along.items() if about.system == system}
        assert not kind or kind - left, (system, left)
        if any(not along[i].insurance for i in kind):
            assert {i for i in kind if not along[i].insurance} - left, (system, left)
    for item in along.keys() - left:
        assert not set(along[item].needs) - {item} & left, (item, left)


def prove(problem: CullProblem, undecided: bool, wanted_mg: int, around: Circumstances) -> None:
    judged = {j.about.item: j for j in problem.judged}
    leave = {i for i, j in judged.items() if j.verdict == "leave"}
    check(leave, judged, TODAY)
    check_rules(leave, judged, around)
    wish = Wish(save_g=wanted_mg / 1000 if wanted_mg else None, undecided=undecided)
    asked = CullQuestion(problem, wish, BaseWeight(None, 0, False), wanted_mg)
    found = cull(asked, np.random.default_rng(0))
    points = [found.answer.point, *found.frontier]
    points += [p for kind in found.by_kind for p in (kind.answer, *kind.frontier)]
    for point in points:
        check(set(point.items), judged, TODAY)
        check_rules(set(point.items), judged, around)
        if not undecided:
            waiting = ("no_chance_yet", "too_few_trips")
            assert not [i for i in point.items if judged[i].verdict in waiting]
    regrets = [p.regret for p in found.frontier]
    assert regrets == pytest.approx(sorted(regrets), abs=3e-6)
    for item in found.answer.left:
        assert 0 <= item.inclusion <= 1
        assert 0 <= item.p_needed <= 1
    for kind in found.by_kind:
        assert kind.answer.regret <= found.answer.point.regret + 3e-6


@pytest.fixture(scope="module", autouse=True)
def few_draws() -> Iterator[None]:
    """How often a thing is in the answer is not the point here."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(culling, "DRAWS", 4)
        yield


MONTHS = st.sampled_from((range(6, 9), range(1, 13), (6,), ())).map(frozenset)
LOWS = st.none() | st.sampled_from((-3.0, 4.0, 9.0))
RANGES = st.builds(
    Range,
    MONTHS,
    st.sampled_from((("foot",), ("foot",), ("foot", "bike"), ())).map(frozenset),
    st.sampled_from((3, 3, 1, None)),
    LOWS,
)
TO_COME = st.builds(
    TripToCome,
    st.just("x"),
    st.just("X"),
    st.frozensets(st.integers(5, 10), min_size=1, max_size=2),
    st.sampled_from(("foot", "foot", "foot", "bike", None)),
    st.integers(0, 3),
    LOWS,
)


@st.composite
def circumstances_of(draw: st.DrawFn, names: list[str]) -> Circumstances:
    """Bags, cold nights and trips to come of any kind."""
    judged = draw(st.sampled_from((20, 20, 5, 3, 0)))
    bags = draw(
        st.dictionaries(
            st.sampled_from(names),
            st.frozensets(st.sampled_from([*names, "elsewhere"]), max_size=3),
            max_size=2,
        )
    )
    return Circumstances(
        {bag: held - {bag} for bag, held in bags.items()},
        judged,
        min(judged, draw(st.sampled_from((0, 0, 0, 1, 3)))),
        draw(st.just(()) | TO_COME.map(lambda trip: (trip,))),
        draw(st.sampled_from((None, None, None, (0.05, "X"), (0.2, "X")))),
        tuple(draw(st.lists(st.frozensets(st.sampled_from(names), min_size=1), max_size=2))),
    )


@st.composite
def usages(draw: st.DrawFn) -> Usage:
    """Up to nine things with any counts at all."""
    names = [f"i{n}" for n in range(draw(st.integers(1, 9)))]
    rows = []
    for item in names:
        n = draw(st.sampled_from((90, 40, 30, 12, 8, 3, 0)))
        besides = draw(st.sampled_from((0, 0, 0, 9)))
        used = draw(st.sampled_from((0, 0, 0, min(1, n), n)))
        wished = draw(st.integers(0, used))
        off = draw(st.integers(0, besides) | st.just(0))
        counts = Counts(
            n - wished + besides,
            n - wished + besides,
            n,
            used,
            besides,
            wished,
            used - wished + off,
            used + off,
        )
        about = Item(
            item,
            item.title(),
            draw(st.sampled_from(("food", "cook", "clothing", "hygiene", "bags", *SYSTEMS))),
            draw(st.sampled_from(("base", "base", "consumable"))),
            100.0,
            draw(st.sampled_from((*(False,) * 7, True))),
            draw(st.sampled_from((*(False,) * 7, True))),
            draw(st.sampled_from((*(None,) * 9, "Ann"))),
            draw(st.sampled_from((*(None,) * 9, TODAY))),
            None,
            draw(st.none() | st.sampled_from((0.0, 0.2, 1.0, 3.0))),
            Meaning.of(
                draw(st.sampled_from((*(["any"],) * 9, *MEANT))), draw(st.none() | st.just(3.0))
            ),
            tuple(draw(st.lists(st.sampled_from([*names, "gone"]), max_size=2, unique=True))),
            essential_stated=draw(st.sampled_from((None, False))),
        )
        rows.append((about, counts))
    pools, rates = pooled([(a.system, c.chances_used, c.chances) for a, c in rows])
    seen = {
        a.meaning: Occurrence(*(Seen(known, draw(st.integers(0, known))) for known in (9, 9, 9)))
        for a, _ in rows
    }
    ahead = ConditionOdds(seen)
    items = tuple(
        ItemUsage(a, c, r, ahead.chance(a.meaning), (), None, None, None, draw(RANGES), c.logged)
        for (a, c), r in zip(rows, rates, strict=True)
    )
    return Usage(Scoped(Scope(), ()), items, pools, ahead)


@settings(max_examples=120)
@given(usages(), st.data())
def test_no_counts_make_it_advise_leaving_what_must_stay(found: Usage, data: Any) -> None:
    names = [i.about.item for i in found.items]
    loads = {i: data.draw(st.none() | st.integers(1, 900_000)) for i in names}
    pairs = st.tuples(st.sampled_from(names), st.sampled_from(names))
    credits = data.draw(st.dictionaries(pairs, st.floats(0.1, 9), max_size=3))
    around = data.draw(circumstances_of(names))
    judged = judge(found, {}, TODAY, around)
    undecided = data.draw(st.booleans())
    problem = pose(found, judged, loads, credits, undecided, around)
    prove(problem, undecided, data.draw(st.integers(0, 1_500_000)), around)


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


@settings(max_examples=10)
@given(seasons(), st.booleans())
def test_no_logbook_does(store: Any, tables: Tables, undecided: bool) -> None:
    fill(store, tables)
    try:
        found = usage(store)
    except QuestionError:
        return
    around = circumstances(store, found)
    judged = judge(found, {}, TODAY, around)
    loads, credits = base_loads(store, found), stand_in_credits(store, found)
    problem = pose(found, judged, loads, credits, undecided, around, no_own_work(store, found))
    prove(problem, undecided, 50_000_000, around)
