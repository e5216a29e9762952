"""No input makes it advise leaving what must stay.

That is insurance, what is essential or borrowed, the last of its kind, what something that stays
needs, and, unless asked in, what had too few chances or none.
"""

from collections.abc import Iterator
from datetime import date
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from season_drawing import MEANT, SYSTEMS, TODAY, seasons
from store_drawing import Tables, empty_store, fill
from tarebook.analysis import culling
from tarebook.analysis.conditions import Meaning, Occurrence, Outlook, Seen
from tarebook.analysis.cull_problem import Problem, base_loads, pose, stand_in_credits
from tarebook.analysis.cull_results import BaseWeight, Wish
from tarebook.analysis.culling import Asked, cull
from tarebook.analysis.scope import Scope, Scoped
from tarebook.analysis.usage import Counts, Item, ItemUsage, Usage, pooled, usage
from tarebook.analysis.verdicts import Judged, judge
from tarebook.tripdata.contract import ESSENTIAL_SYSTEMS
from tarebook.tripdata.errors import QuestionError

SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large]


def check(left: set[str], judged: dict[str, Judged], gone_by: date) -> None:
    """Prove that a set may be left, from what gear.csv says alone."""
    along = {
        i: j.about for i, j in judged.items()
        if j.about.retired_on is None or j.about.retired_on > gone_by
    }  # fmt: skip
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


def prove(problem: Problem, undecided: bool, wanted_mg: int) -> None:
    judged = {j.about.item: j for j in problem.judged}
    check({i for i, j in judged.items() if j.verdict == "leave"}, judged, TODAY)
    asked = Asked(problem, Wish(undecided=undecided), BaseWeight(None, 0, False), wanted_mg)
    found = cull(asked, np.random.default_rng(0))
    points = [found.answer.point, *found.frontier]
    points += [p for kind in found.by_kind for p in (kind.answer, *kind.frontier)]
    for point in points:
        check(set(point.items), judged, TODAY)
        if not undecided:
            waiting = ("no_chance_yet", "too_few_trips")
            assert not [i for i in point.items if judged[i].verdict in waiting]
    regrets = [p.expected_regret for p in found.frontier]
    assert regrets == pytest.approx(sorted(regrets), abs=3e-6)
    for item in found.answer.left:
        assert 0 <= item.inclusion <= 1
        assert 0 <= item.p_needed <= 1
    for kind in found.by_kind:
        assert kind.answer.expected_regret <= found.answer.point.expected_regret + 3e-6


@pytest.fixture(scope="module", autouse=True)
def few_draws() -> Iterator[None]:
    """How often a thing is in the answer is not the point here."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(culling, "DRAWS", 4)
        yield


@st.composite
def usages(draw: st.DrawFn) -> Usage:
    """Up to nine things with any counts at all."""
    names = [f"i{n}" for n in range(draw(st.integers(1, 9)))]
    rows = []
    for item in names:
        n, besides = draw(st.integers(0, 40)), draw(st.integers(0, 9))
        used = draw(st.integers(0, n) | st.just(0))
        wished = draw(st.integers(0, used))
        off = draw(st.integers(0, besides) | st.just(0))
        counts = Counts(n - wished + besides, n - wished + besides, n, used, besides, wished,
                        used - wished + off, used + off)  # fmt: skip
        about = Item(
            item, item.title(), draw(st.sampled_from(SYSTEMS)),
            draw(st.sampled_from(("base", "base", "consumable"))), 100.0,
            draw(st.sampled_from((False, False, False, True))),
            draw(st.sampled_from((False, False, True))),
            draw(st.sampled_from((None, None, None, "Ann"))),
            draw(st.sampled_from((None, None, None, TODAY))), None,
            draw(st.none() | st.sampled_from((0.0, 0.2, 1.0, 3.0))),
            Meaning.of(draw(st.sampled_from(MEANT)), draw(st.none() | st.just(3.0))),
            tuple(draw(st.lists(st.sampled_from([*names, "gone"]), max_size=2, unique=True))),
        )  # fmt: skip
        rows.append((about, counts))
    pools, rates = pooled([(a.system, c.chances_used, c.chances) for a, c in rows])
    seen = {
        a.meaning: Occurrence(*(Seen(known, draw(st.integers(0, known))) for known in (9, 9, 9)))
        for a, _ in rows
    }
    ahead = Outlook(seen)
    items = tuple(
        ItemUsage(a, c, r, ahead.chance(a.meaning), (), None, None, None, None)
        for (a, c), r in zip(rows, rates, strict=True)
    )
    return Usage(Scoped(Scope(), ()), items, pools, ahead)


@settings(max_examples=120, deadline=None, derandomize=True, suppress_health_check=SLOW)
@given(usages(), st.data())
def test_no_counts_make_it_advise_leaving_what_must_stay(found: Usage, data: Any) -> None:
    names = [i.about.item for i in found.items]
    loads = {i: data.draw(st.none() | st.integers(1, 900_000)) for i in names}
    pairs = st.tuples(st.sampled_from(names), st.sampled_from(names))
    credits = data.draw(st.dictionaries(pairs, st.floats(0.1, 9), max_size=3))
    judged = judge(found, {}, TODAY)
    undecided = data.draw(st.booleans())
    problem = pose(found, judged, loads, credits, undecided)
    prove(problem, undecided, data.draw(st.integers(0, 1_500_000)))


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


@settings(max_examples=10, deadline=None, derandomize=True, suppress_health_check=SLOW)
@given(seasons(), st.booleans())
def test_no_logbook_does(store: Any, tables: Tables, undecided: bool) -> None:
    fill(store, tables)
    try:
        found = usage(store)
    except QuestionError:
        return
    judged = judge(found, {}, TODAY)
    loads, credits = base_loads(store, found), stand_in_credits(store, found)
    prove(pose(found, judged, loads, credits, undecided), undecided, 50_000_000)
