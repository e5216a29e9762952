"""Verdicts on invented logbooks worked by hand, and on any logbook at all."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from store_drawing import Row, Tables, carried, empty_store, fill, gear, trip
from tarebook.analysis.display.words import Display
from tarebook.analysis.stats.beta_binomial import Pool
from tarebook.analysis.usage.costs import cost_of, limit_of
from tarebook.analysis.usage.items import usage
from tarebook.analysis.usage.verdict_words import verdict_reason, verdict_reversal
from tarebook.analysis.usage.verdicts import Judged, judge

START = date(2026, 4, 1)


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def logbook(items: list[Row], uses: dict[str, list[int]], wet: list[bool] | None = None) -> Tables:
    """One-night trips, as many as there are uses of an item; each item along on all of them."""
    many = max(map(len, uses.values()))
    names = [f"t{n:02d}" for n in range(many)]
    starts = [START + timedelta(3 * n) for n in range(many)]
    return {
        "gear": items,
        "trip": [
            trip(n, s, 1, mode="foot", use_record="full")
            for n, s in zip(names, starts, strict=True)
        ],
        "carried": [
            carried(names[n], item, used=times)
            for item, row in uses.items()
            for n, times in enumerate(row)
        ],
        "weather": [
            {"trip": n, "day": s + timedelta(d), "wet": w, "conditions": []}
            for n, s, w in zip(names, starts, wet or [False] * many, strict=True)
            for d in (0, 1)
        ],
    }


def judged(store: Any, tables: Tables, **regret: float) -> dict[str, Judged]:
    fill(store, tables)
    return {j.about.item: j for j in judge(usage(store), regret, date(2027, 1, 1))}


def test_what_is_alike_is_worked_once(store: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """Things of a system with the same uses and chances: same answers, and no more work."""
    asked: list[tuple[object, ...]] = []
    really = Pool.quantile

    def quantile(pool: Pool, *about: Any) -> Any:
        asked.append(about)
        return really(pool, *about)

    things = [gear(f"thing-{n}", "leisure", 50_000, going_without=1.0) for n in range(12)]
    often = [gear(f"often-{n}", "leisure", 50_000) for n in range(12)]
    uses = {f"thing-{n}": [0] * 30 for n in range(12)}
    uses |= {f"often-{n}": [1, 0] * 15 for n in range(12)}
    fill(store, logbook(things + often, uses))
    drawn = usage(store)
    monkeypatch.setattr(Pool, "quantile", quantile)
    every = judge(drawn, {}, date(2027, 1, 1))
    alike = {(j.about.item.partition("-")[0], j.verdict, j.why, j.more, j.uses) for j in every}
    assert [said[:3] for said in sorted(alike, key=str)] == [
        ("often", "keep", "used"),
        ("thing", "leave", "never_used"),
    ]
    for_all = len(asked)
    asked.clear()
    judge(replace(drawn, items=(drawn.items[0], drawn.items[-1])), {}, date(2027, 1, 1))
    assert for_all == len(asked) > 4


def cape(**more: Any) -> list[Row]:
    jacket = gear("jacket", "rain", 300_000, meant_for=["wet"], essential=True)
    return [gear("cape", "rain", 180_000, meant_for=["wet"], **more), jacket]


@pytest.mark.parametrize(
    ("wet", "essential", "verdict"),
    [
        (False, False, "no_chance_yet"),
        (True, False, "leave"),
        (True, True, "keep"),
        (False, True, "keep"),
    ],
)
def test_a_spare_cape_after_nine_trips(
    store: Any, wet: bool, essential: bool, verdict: str
) -> None:
    """Not essential and an annoyance of 1, it is judged; with its defaults it never is."""
    more = {"essential": essential} | ({} if essential else {"going_without": 1.0})
    uses = {"cape": [0] * 9, "jacket": [int(wet)] * 9}
    tables = logbook(cape(**more), uses, [wet] * 9)
    one = judged(store, tables)["cape"]
    assert one.verdict == verdict
    assert one.counts.chances == (9 if wet else 0)
    if essential:
        assert one.why == "essential"
        assert verdict_reason(one).startswith(
            "Essential, so never left at home on the numbers alone;"
        )
    if verdict == "leave":
        # 1 - .05^(1/9) = .283 under the limit of a third.
        assert one.bound == pytest.approx(0.2831, abs=5e-5)
        assert verdict_reason(one) == (
            "Never used on 9 occasions, so probably needed on fewer than 28\u202f% of them; the "
            "threshold is 33\u202f%. That rests on trips in April, on foot, of up to 1 night, of "
            "whose lows none was noted."
        )
    if verdict == "no_chance_yet":
        assert (
            verdict_reason(one)
            == "No occasion yet: it is meant for wet, and none of its 9 trips brought that."
        )
        assert verdict_reversal(one) == (
            "8 occasions without needing it, and it could stay at home. One use, and it stays."
        )


def test_the_only_rain_gear_is_never_let_go(store: Any) -> None:
    tables = logbook(cape(essential=False, going_without=1.0)[:1], {"cape": [0] * 9}, [True] * 9)
    one = judged(store, tables)["cape"]
    assert (one.verdict, one.why) == ("keep", "last_of_kind")
    assert verdict_reason(one) == (
        "Never used on 9 occasions, but the last of its kind: one thing for rain stays."
    )


def test_three_trips_judge_almost_nothing_and_say_how_many_more_would_tell(store: Any) -> None:
    items = [
        gear("book", "leisure"),
        gear("lamp", "light"),
        gear("mug", "cook"),
        gear("jacket", "clothing", meant_for=["wet"]),
        gear("plaster", "first_aid", insurance=True),
    ]
    uses = {
        "book": [0] * 3,
        "lamp": [0] * 3,
        "mug": [1, 1, 0],
        "jacket": [0] * 3,
        "plaster": [0] * 3,
    }
    found = judged(store, logbook(items, uses))
    assert {i: j.verdict for i, j in found.items()} == {
        "book": "too_few_trips",
        "lamp": "too_few_trips",
        "mug": "keep",
        "jacket": "no_chance_yet",
        "plaster": "kept_on_purpose",
    }
    # From 8 chances at a cost of 1, from 26 at a cost of 3.
    assert (found["book"].more, found["lamp"].more) == (5, 23)
    assert verdict_reversal(found["book"]) == (
        "5 more trips without needing it, and it could stay at home. One use, and it stays."
    )
    assert verdict_reason(found["lamp"]) == (
        "Never used on 3 occasions, so it may be needed on up to 63\u202f% of them; the threshold "
        "is 11\u202f%."
    )


@pytest.mark.parametrize(("cost", "n"), [(1.0, 8), (3.0, 26)])
def test_how_many_unused_chances_let_go(store: Any, cost: float, n: int) -> None:
    items = [gear("book", "leisure", going_without=cost)]
    for many, verdict in ((n - 1, "too_few_trips"), (n, "leave")):
        assert judged(store, logbook(items, {"book": [0] * many}))["book"].verdict == verdict


def test_costs_come_from_the_item_else_the_owner_else_the_system(store: Any) -> None:
    tables = logbook(
        [gear("a", "light"), gear("b", "light", going_without=0.0)], {"a": [0], "b": [0]}
    )
    found = judged(store, tables, light=5.0)
    assert (found["a"].cost, found["b"].cost) == (5.0, 0.0)
    assert found["b"].verdict == "leave", "what costs nothing to miss may go"
    by_system = {
        system: cost_of(judged(store, logbook([gear("x", system)], {"x": [0]}))["x"].about, {})
        for system in ("first_aid", "safety", "navigation", "fire", "shelter", "sleep", "water",
                       "rain", "clothing", "light", "power", "repair", "hygiene", "cook", "food",
                       "bags", "leisure", "other")
    }  # fmt: skip
    assert list(by_system.values()) == [10.0] * 4 + [3.0] * 9 + [1.0] * 5
    assert [limit_of(c) for c in (0, 0.2, 1, 3, 10)] == pytest.approx([1, 1, 1 / 3, 1 / 9, 1 / 30])


def test_a_seldom_used_thing_goes_by_its_pooled_bound(store: Any) -> None:
    items = [gear("board", "cook"), gear("mug", "cook")]
    uses = {"board": [1] + [0] * 24, "mug": [1] * 25}
    found = judged(store, logbook(items, uses))
    assert (found["board"].verdict, found["board"].why) == ("leave", "seldom_used")
    assert found["board"].bound == found["board"].usage.rate.high < 1 / 3
    assert verdict_reversal(found["board"]).startswith("A use on each of its next ")
    assert (found["mug"].verdict, found["mug"].more) == ("keep", None)
    assert (
        verdict_reason(found["mug"])
        == "Used on 25 of 25 occasions, more often than its threshold of 33\u202f%."
    )
    assert verdict_reversal(found["mug"]) == (
        "Nothing soon: it is used more often than its threshold allows."
    )


def test_what_is_said_to_reverse_a_verdict_does(store: Any) -> None:
    items = [gear("board", "cook"), gear("book", "leisure"), gear("knife", "cook")]
    uses = {"board": [1] + [0] * 24, "book": [0] * 25, "knife": [1, 1] + [0] * 10}
    found = judged(store, logbook(items, uses))
    for item, add in (("board", 1), ("book", 1), ("knife", 0)):
        one = found[item]
        more = one.uses if add else one.more
        assert more
        for extra, turned in ((more, True), (more - 1, False)):
            longer = {**uses, item: uses[item] + [add] * extra}
            after = judged(store, logbook(items, longer))[item]
            assert (after.verdict != one.verdict) is turned


def test_uses_outside_what_it_is_meant_for_keep_it_and_count_in_its_need(store: Any) -> None:
    uses = {"cape": [0] * 9 + [1] * 4, "jacket": [1] * 13}
    tables = logbook(cape(essential=False, going_without=1.0), uses, [True] * 9 + [False] * 4)
    one = judged(store, tables)["cape"]
    assert (one.verdict, one.why) == ("keep", "used_besides")
    assert (
        verdict_reason(one) == "Used on 4 trips that brought nothing it is known to be meant for."
    )
    wet = 9.5 / 14  # Jeffreys
    assert one.usage.need() == pytest.approx(wet * one.usage.rate.value + (1 - wet) * 4.5 / 5)


def test_what_served_another_system_is_credited_and_named(store: Any) -> None:
    tables = logbook(
        [gear("fleece", "clothing"), gear("mug", "cook")], {"fleece": [0] * 9, "mug": [1] * 9}
    )
    tables["used"] = [
        {"trip": f"t{n:02d}", "item": "fleece", "times": 1, "used_for": "sleep"} for n in range(3)
    ]
    one = judged(store, tables)["fleece"]
    assert (one.counts.chances_used, one.verdict) == (3, "keep")
    assert verdict_reason(one).endswith("; it also served sleep on 3 trips.")


def test_what_is_needed_borrowed_or_given_up(store: Any) -> None:
    items = [
        gear("stove", "cook", needs=["gas", "gone"]),
        gear("gas", "cook"),
        gear("kite", "leisure", owner="Ann"),
        gear("flag", "leisure", needs=["pole"]),
        gear("pole", "leisure"),
        gear("old", "leisure", retired_on=date(2026, 12, 31)),
    ]
    idle = [0] * 12
    uses = {"stove": [1] * 12, "gas": idle, "kite": idle, "flag": idle, "pole": idle, "old": idle}
    found = judged(store, logbook(items, uses))
    assert {i: (j.verdict, j.why) for i, j in found.items()} == {
        "stove": ("keep", "used"),
        "gas": ("keep", "needed"),
        "kite": ("keep", "borrowed"),
        "flag": ("leave", "never_used"),
        "pole": ("leave", "never_used"),
        "old": (None, "given_up"),
    }
    assert (
        verdict_reason(found["gas"])
        == "Never used on 12 occasions, but “Stove” cannot do without it."
    )
    assert verdict_reason(found["kite"]) == (
        "Never used on 12 occasions; but borrowed from Ann, so not yours to leave."
    )
    assert verdict_reason(found["old"]) == "Given up on 31 December 2026."
    assert verdict_reversal(found["old"]) == ""


def test_a_reason_tells_degrees_in_the_readers_unit(store: Any) -> None:
    items = [gear("booties", "clothing", meant_for=["cold"], cold_below_c=5.0)]
    tables = logbook(items, {"booties": [0] * 2})
    one = judged(store, tables)["booties"]
    assert "meant for nights under 5\u202f°C" in verdict_reason(one)
    assert "none of its 2 trips is known to have brought that" in verdict_reason(one)
    assert "under 41\u202f°F" in verdict_reason(one, Display(temperature="f"))
