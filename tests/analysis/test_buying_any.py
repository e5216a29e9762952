"""No candidate, whatever it replaces, is told in a way that could hurt or contradicts itself."""

import re
from datetime import date
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st
from tarebook.analysis.buying import words as said
from tarebook.analysis.buying.cautions import caution
from tarebook.analysis.buying.losses import losses
from tarebook.analysis.buying.results import (
    Alternative,
    Candidate,
    Case,
    ColdReplay,
    FailuresExpected,
    Replaced,
    Wishes,
)
from tarebook.analysis.display.words import Display
from tarebook.analysis.stats.estimate import Estimate
from tarebook.analysis.wear.failures import Failures
from tarebook.analysis.wear.rates import FailurePool
from tarebook.tripdata.contract import SYSTEMS

TODAY = date(2020, 4, 1)
SAFETY = {"first_aid", "safety", "navigation", "fire", "repair"}
KEEPS_SAFE = {*SAFETY, "shelter", "sleep", "water", "rain", "light"}
PURPOSES = {
    "first_aid": "first aid",
    "safety": "safety",
    "navigation": "finding the way",
    "fire": "making fire",
    "repair": "repairs",
    "shelter": "shelter",
    "sleep": "sleeping",
    "water": "drinking water",
    "rain": "rain",
    "light": "light",
}
GRAMS = ("It saves", "for each gram", "for each ounce", "matter of price", "could stay at home")


def _maybe(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.none() | strategy


@st.composite
def gear_rows(draw: st.DrawFn) -> list[dict[str, Any]]:
    return [
        {
            "item": f"i{n}",
            "system": draw(st.sampled_from(SYSTEMS)),
            "insurance": draw(st.sampled_from((False, False, True))),
            "retired_on": draw(st.sampled_from((None, None, TODAY, date(2030, 1, 1)))),
            "owner": draw(st.sampled_from((None, None, "Ann"))),
            "carried_as": draw(st.sampled_from(("base", "base", "worn", "consumable"))),
        }
        for n in range(draw(st.integers(0, 6)))
    ]


def failures(item: str, system: str, counts: tuple[int, int, int, int], nights: int) -> Failures:
    rate = FailurePool([sum(counts)], [nights]).rates([sum(counts)], [nights])[0]
    return Failures(item, item.title(), system, rate, counts, None, None)


@st.composite
def cases(draw: st.DrawFn) -> tuple[Case, list[dict[str, Any]]]:
    rows = draw(gear_rows())
    taken = [r for r in rows if draw(st.booleans())]
    few = st.sampled_from((0, 0, 0, 1, 2))
    replaced = tuple(
        Replaced(
            r["item"], r["item"].title(), 100.0, draw(_maybe(st.just(2.0))),
            draw(_maybe(st.just(20.0))), draw(_maybe(st.just(3.0))), "USD", r["system"],
            r["insurance"], "limit", draw(_maybe(st.just(3.0))),
            draw(_maybe(st.builds(
                failures, st.just(r["item"]), st.just(r["system"]),
                st.tuples(few, few, few, few), st.integers(0, 40),
            ))),
        )
        for r in taken
    )  # fmt: skip
    own = Candidate(
        "new",
        "New, one",
        draw(st.sampled_from(SYSTEMS)),
        80.0,
        draw(st.sampled_from(("base", "consumable"))),
        draw(_maybe(st.just(90.0))),
        "USD",
        tuple(r.item for r in replaced),
        draw(_maybe(st.sampled_from((-3.0, 5.0)))),
        "limit",
        draw(_maybe(st.sampled_from((10.0, 30.0)))),
        draw(_maybe(st.just(20.0))),
        draw(_maybe(st.sampled_from((1.0, 5.0)))),
    )
    saved = draw(_maybe(st.sampled_from((-50.0, 0.0, 50.0))))
    notes = draw(st.integers(0, 2))
    cold, votes = draw(st.integers(0, 3)), draw(st.integers(3, 9))
    least = draw(st.integers(0, cold))
    avoided = draw(st.integers(least, cold))
    replay = ColdReplay(
        nights=9,
        inside_now=draw(_maybe(st.integers(0, 9))),
        inside_then=draw(st.integers(0, 9)),
        votes=votes,
        cold_votes=cold,
        avoided=avoided,
        avoided_least=least,
        avoided_most=draw(st.integers(avoided, cold)),
        own_limit_c=Estimate(2.0, -1.0, 5.0),
        limit_now_c=4.0,
    )
    price = own.price / saved if own.price and saved and saved > 0 else None
    let_go = draw(st.sampled_from((0.0, 400.0)))
    names = ("Saw",) if let_go else ()
    return Case(
        candidate=own,
        replaced=replaced,
        saved_g=saved,
        base=None,
        price_per_g=price,
        price_per_night=own.price / 20 if own.price else None,
        replay=draw(_maybe(st.just(replay))) if own.rated_sleep_gear else None,
        year=None,
        comfort=None,
        failures=FailuresExpected(20.0, draw(_maybe(st.just(2.0))), draw(_maybe(st.just(1.0)))),
        effort=None,
        alternative=Alternative(let_go, names, 0.1, let_go, names, 0.1),
        losses=losses(own, replaced, rows, TODAY),
        wishes=Wishes(notes, notes, notes),
        missing={},
    ), rows


def emptied(case: Case, rows: list[dict[str, Any]]) -> set[str]:
    """Systems that keep one safe of which nothing to rely on would be left."""
    gone = {r.item for r in case.replaced}
    left = {
        r["system"]
        for r in rows
        if r["item"] not in gone
        and not r["owner"]
        and r["carried_as"] != "consumable"
        and (r["retired_on"] is None or r["retired_on"] > TODAY)
    }
    if case.candidate.carried_as != "consumable":
        left.add(case.candidate.system)
    return ({r.system for r in case.replaced} & KEEPS_SAFE) - left


@settings(max_examples=400)
@given(cases())
def test_what_keeps_one_safe_is_never_a_question_of_grams(drawn: Any) -> None:
    case, rows = drawn
    own = case.candidate
    display = Display()
    told = " ".join(
        [
            said.heading(case, display),
            said.reason_for(case, display),
            *said.reasons_for(case, display),
            *said.reasons_against(case, display),
        ]
    )
    care = caution(case, display) or ""
    safe = any(r.insurance or r.system in SAFETY for r in case.replaced) or any(
        r.system in KEEPS_SAFE and r.system != own.system for r in case.replaced
    )
    empty = emptied(case, rows)
    if safe or empty or own.system in SAFETY:
        assert not [slip for slip in GRAMS if slip in told], told
        assert "never by grams or money alone" in care
    for system in empty:
        assert f"you would own nothing for {PURPOSES[system]}" in care
    for one in case.replaced:
        if one.system != own.system and one.system in (*KEEPS_SAFE, "clothing", "power", "cook"):
            assert one.name in care
        if one.failures and one.failures.by_severity[3]:
            assert said.reasons_for(case, display)[0].startswith("“I")
            assert "unsafe way" in said.reason_for(case, display)
            assert "belong in qualified hands" in care
    if own.capacity_wh == 10 and any(r.capacity_wh for r in case.replaced):
        assert "It holds 10 Wh instead of" in care


@settings(max_examples=400)
@given(cases())
def test_nothing_speaks_for_it_only_where_nothing_does(drawn: Any) -> None:
    case, _ = drawn
    for display in (Display(), Display("oz", "f", "mi")):
        head, reason = said.heading(case, display), said.reason_for(case, display)
        if head == "Nothing in your record speaks for it":
            assert reason == "Nothing that this record can see."
        if reason == "Nothing that this record can see.":
            assert case.saved_g is None or case.saved_g <= 0
            assert not case.wishes.notes
        if case.wishes.notes:
            assert any("you missed it" in one for one in said.reasons_for(case, display))
        against = " ".join(said.reasons_against(case, display))
        assert ("gram" if display.mass == "oz" else "ounce") not in against.replace("grams", "")
        if case.replay and case.replay.avoided and "spared" in head:
            least, most = case.replay.avoided_least, case.replay.avoided_most
            assert least == most or f"(very likely {least} to {most})" in head
            assert head.startswith("Would" if least else "May")
        every = " ".join([head, reason, against])
        assert not re.search(r"\b1 (trips|nights|times)\b|for nothing|\bNone\b|\bnan\b", every)
