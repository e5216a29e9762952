"""What may be missing from a list: each reason by hand, and nothing from after the start."""

import math
from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from scipy.special import betaln  # type: ignore[import-untyped]
from store_drawing import Row, Tables, carried, empty_store, fill, gear, trip
from tarebook.analysis.ahead.forgotten import AT_MOST, NEARLY_ALWAYS, forgotten_of
from tarebook.analysis.ahead.plan import trips_ahead_of
from tarebook.analysis.ahead.stays_home import stays_at_home
from tarebook.analysis.display.cautions import LIST_CARE
from tarebook.analysis.tables import entry

START = date(2027, 7, 1)
TODAY = date(2027, 5, 1)
TARP = gear("tarp", "shelter", essential=None)
MAT = gear("mat", "sleep", essential=None)


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def season(*lists: Sequence[str], start: date = date(2026, 7, 1)) -> Tables:
    """A trip of three nights for each list, every year of the same day before ``start`` + 1 year.

    All are exactly as like a plan of three nights on 1 July as can be: each counts as one trip.
    """
    trips, rows = [], []
    for years, items in enumerate(reversed(lists)):
        name = f"t{len(lists) - years:02}"
        trips.append(trip(name, date(start.year - years, start.month, start.day), 3, mode="foot"))
        rows += [carried(name, item) for item in items]
    return {"trip": trips, "carried": rows}


def plan(*items: str, start: date = START, nights: int = 3, **more: Any) -> Tables:
    return {
        "trip": [trip("plan", start, nights, **{"mode": "foot", "plan": True, **more})],
        "carried": [carried("plan", item) for item in items],
    }


def joined(*parts: Tables) -> Tables:
    every: Tables = {}
    for part in parts:
        for table, rows in part.items():
            every.setdefault(table, []).extend(rows)
    return every


def asked(store: Any, *parts: Tables) -> list[Row]:
    fill(store, joined(*parts))
    return rows_of(store)


def rows_of(store: Any, **options: Any) -> list[Row]:
    relation = entry("forgotten").relation(store, **{"today": TODAY, **options})
    return [dict(zip(relation.columns, row, strict=True)) for row in relation.fetchall()]


def remarks(store: Any, **options: Any) -> tuple[str, ...]:
    return entry("forgotten").answer(store, **{"today": TODAY, **options})[1]


def pooled(members: Sequence[tuple[float, float]], k: float, n: float) -> float:
    """E[p | k of n] by plain summing: mean U(0,1), log strength N(log 5, 1), all members' trips."""
    m = (np.arange(2000) + 0.5)[:, None] / 2000
    z = np.linspace(-3, 3, 301)
    a, b = m * np.exp(math.log(5) + z), (1 - m) * np.exp(math.log(5) + z)
    log_weight = -(z**2) / 2 + sum(
        betaln(a + had, b + of - had) - betaln(a, b) for had, of in members
    )
    weight = np.exp(log_weight - log_weight.max())
    return float((weight * (a + k) / (a + b + n)).sum() / weight.sum())


def test_what_like_trips_nearly_always_had_is_named_with_its_figures(store: Any) -> None:
    every = season(*[("tarp", "mat")] * 8, ("tarp",))
    (row,) = asked(store, {"gear": [TARP, MAT]}, every, plan("tarp"))
    # "mat" is the only thing of its system: 8 of 9 trips, each exactly alike, so it is by itself in
    # its pool. Nothing notes what was used: p_needed 1. Sleep costs 3.
    assert row["item"] == "mat"
    assert (row["trip"], row["rank"], row["what"]) == ("plan", 1, "Mat")
    assert row["reason"] == "8 of 9 like trips had it; this list has nothing else to sleep on."
    assert row["p_along"] == pytest.approx(pooled([(8, 9)], 8, 9), abs=2e-3)
    assert row["p_needed"] == 1
    assert row["expected_regret"] == pytest.approx(3 * row["p_along"])
    assert remarks(store) == (LIST_CARE,)


def test_a_share_leans_on_the_others_of_its_system(store: Any) -> None:
    things = [TARP, MAT, gear("quilt", "sleep"), gear("pillow", "sleep")]
    lists = [("tarp", "mat", "quilt", "pillow")] * 6 + [("tarp", "mat", "quilt")] * 6
    rows = asked(store, {"gear": things}, season(*lists), plan("tarp", "mat"))
    assert [row["item"] for row in rows] == ["quilt"]
    members = [(12, 12), (12, 12), (6, 12)]
    assert rows[0]["p_along"] == pytest.approx(pooled(members, 12, 12), abs=2e-3)


def test_who_goes_alone_misses_the_tent_that_a_friend_lent_and_carried(store: Any) -> None:
    things = [MAT, gear("tent", "shelter", owner="Ann"), gear("stove", "cook", owner="Ann")]
    every = season(*[("mat", "tent", "stove")] * 8)
    for row in every["carried"]:
        row["carried_by"] = "Ann" if row["item"] != "mat" else None
    rows = asked(store, {"gear": things}, every, plan("mat"))
    assert [row["item"] for row in rows] == ["tent"]
    # A stove is none of what nobody goes without. With Ann along the tent is hers to bring, and
    # something else of the system on the list does for it.
    assert asked(store, {"gear": things}, every, plan("mat", people=2)) == []
    tarp = [*things, TARP]
    assert asked(store, {"gear": tarp}, every, plan("mat", "tarp")) == []


def test_a_trip_counts_by_its_likeness(store: Any) -> None:
    # Three trips with the mat, and six without that were 30 days later in the year.
    without = season(*[("tarp",)] * 6, start=date(2026, 7, 31))
    without["trip"] = [{**t, "trip": f"w{t['trip']}"} for t in without["trip"]]
    without["carried"] = [{**c, "trip": f"w{c['trip']}"} for c in without["carried"]]
    parts = ({"gear": [TARP, MAT]}, season(*[("tarp", "mat")] * 3), without, plan("tarp"))
    assert asked(store, *parts) == []
    wish = {"wished": [{"trip": "wt06", "item": "mat"}]}
    (row,) = asked(store, *parts, wish)
    # The first trip that had it was not the first of the log: neither it nor those before it count.
    # Of 2024 to 2026 two with it are left and three without, each of (1 - (30 / 120)³)³ = .9539.
    weight = 2 + 3 * (1 - (30 / 120) ** 3) ** 3
    assert row["p_along"] == pytest.approx(pooled([(2, weight)], 2, weight), abs=2e-3)
    assert (row["why"], row["reason"]) == ("missed", "You missed it on “T06”.")


def test_a_day_of_purchase_says_from_when_a_thing_counts(store: Any) -> None:
    things = [TARP, {**MAT, "bought_on": date(2024, 1, 1)}]
    lists = [("tarp",)] * 6 + [("tarp", "mat")] * 3
    (row,) = asked(store, {"gear": things}, season(*lists), plan("tarp"))
    assert row["reason"] == "3 of 3 like trips since you have it had it."
    assert row["p_along"] == pytest.approx(pooled([(3, 3)], 3, 3), abs=2e-3)


def test_where_it_is_blank_the_trips_before_its_first_one_do_not_count(store: Any) -> None:
    lists = [("tarp",)] * 6 + [("tarp", "mat")] * 4
    (row,) = asked(store, {"gear": [TARP, MAT]}, season(*lists), plan("tarp"))
    assert row["reason"] == "4 of 4 like trips since you have it had it."
    assert row["p_along"] == pytest.approx(pooled([(3, 3)], 3, 3), abs=2e-3)


def test_what_is_needed_by_something_on_the_list_is_along_for_certain(store: Any) -> None:
    things = [gear("stove", "cook", needs=["gas"]), gear("gas", "cook", needs=["lighter"])]
    things += [gear("lighter", "fire", insurance=True)]
    rows = asked(store, {"gear": things}, plan("stove"))
    # Nothing was before: only what things need can be named. Fire costs 10, cook 1.
    assert [(r["item"], r["p_along"], r["expected_regret"]) for r in rows] == [
        ("lighter", 1, 10),
        ("gas", 1, 1),
    ]
    assert rows[0]["reason"] == "“Gas” needs it, and may be missing, too."
    assert rows[1]["reason"] == "“Stove” needs it."
    assert remarks(store)[0].startswith("No trip like “Plan” with a list was over before it")


def test_a_system_that_every_like_trip_had_is_a_reason_on_its_likeliest_thing(store: Any) -> None:
    things = [TARP, gear("lamp", "light"), gear("torch", "light"), gear("candle", "light")]
    lists = [("tarp", one) for one in ("lamp", "torch", "lamp", "candle", "lamp", "torch")]
    rows = asked(store, {"gear": things}, season(*lists), plan("tarp"))
    assert [(r["item"], r["why"]) for r in rows] == [("lamp", "system")]
    assert rows[0]["reason"] == (
        "6 of 6 like trips had something of light; this list has nothing of it."
    )
    # lamp 3 of 6 (along from the first trip of the log on); torch and candle count after their
    # first: torch 1 of 4, candle 0 of 2.
    members = [(3, 6), (1, 4), (0, 2)]
    assert rows[0]["p_along"] == pytest.approx(pooled(members, 3, 6), abs=2e-3)


def test_a_successor_takes_over_the_trips_of_what_was_given_up(store: Any) -> None:
    old = {**MAT, "item": "foam", "name": "Foam", "retired_on": date(2026, 9, 1)}
    new = {**MAT, "item": "air", "name": "Air", "replaces": ["foam"], "bought_on": date(2026, 9, 1)}
    lists = [("tarp", "foam")] * 8 + [("tarp",)]
    (row,) = asked(store, {"gear": [TARP, old, new]}, season(*lists), plan("tarp"))
    assert (row["item"], row["why"]) == ("air", "successor")
    assert row["reason"] == "It took over from “Foam”: 8 of 9 like trips had that."
    assert row["p_along"] == pytest.approx(pooled([(8, 9)], 8, 9), abs=2e-3)
    (row,) = asked(store, {"gear": [TARP, old, new]}, season(*lists), plan("tarp", "foam"))
    assert row["reason"] == "“Foam” is on the list, but given up; this took over."
    assert asked(store, {"gear": [TARP, old, new]}, season(*lists), plan("tarp", "air")) == []


def test_what_was_wished_for_twice_and_is_not_owned_comes_last_without_figures(store: Any) -> None:
    wished = [{"trip": t, "what": w} for t, w in (("t01", "Sit mat"), ("t02", "sit  Mat"))]
    wished += [{"trip": "t01", "what": "a dog"}, {"trip": "t02", "what": "Mat"}]
    every = joined(season(*[("tarp",)] * 3), {"wished": wished})
    rows = asked(store, {"gear": [TARP, MAT]}, every, plan("tarp"))
    # "Mat" is the name of a thing that is owned, and all that is owned to sleep on: lists without
    # any sleep gear are no habit of doing without. "a dog" was wished for once.
    assert [(r["item"], r["what"], r["why"]) for r in rows] == [
        ("mat", "Mat", "system"),
        (None, "sit  Mat", "wished"),
    ]
    last = rows[-1]
    assert last["reason"] == "You wished for it twice, last on “T02”; you do not own it."
    assert (last["p_along"], last["p_needed"], last["expected_regret"]) == (None, None, None)


def test_use_says_how_likely_a_thing_is_needed(store: Any) -> None:
    things = [TARP, gear("book", "leisure"), gear("whistle", "safety", insurance=None)]
    every = season(*[("tarp", "book", "whistle")] * 9)
    for row in every["carried"]:
        row["used"] = int(row["item"] == "tarp" or (row["item"] == "book" and row["trip"] < "t04"))
    rows = asked(store, {"gear": things}, every, plan("tarp"))
    by_item = {row["item"]: row for row in rows}
    # Used on 3 of 9 trips, the only thing of its system; insurance is always needed.
    assert by_item["book"]["p_needed"] == pytest.approx(pooled([(3, 9)], 3, 9), abs=2e-3)
    assert by_item["whistle"]["p_needed"] == 1
    assert [row["item"] for row in rows] == ["whistle", "book"]
    book = by_item["book"]
    assert book["expected_regret"] == pytest.approx(book["p_along"] * book["p_needed"])


def test_what_the_cull_leaves_at_home_for_the_trip_is_not_named(store: Any) -> None:
    things = [TARP, gear("draughts", "leisure")]
    every = season(*[("tarp", "draughts")] * 12)
    for row in every["carried"]:
        row["used"] = int(row["item"] == "tarp")
    # Leisure costs 1: never used in 12 trips is under a third (bare bound 1 - .05^(1/12) = .221).
    assert asked(store, {"gear": things}, every, plan("tarp")) == []
    # In a way of travelling that its record does not know leisure may stay, too, but no trip is
    # like it; needed by something that comes along it is not let go.
    things[0] = {**TARP, "needs": ["draughts"]}
    (row,) = asked(store, {"gear": things}, every, plan("tarp"))
    assert (row["item"], row["why"]) == ("draughts", "needed_by")


def test_of_two_that_stand_in_for_each_other_one_is_enough(store: Any) -> None:
    things = [TARP, gear("pot-a", "cook"), gear("pot-b", "cook"), gear("spoon", "cook")]
    lists = [("tarp", "spoon", "pot-a"), ("tarp", "spoon", "pot-b")] * 5
    lists += [("tarp", "spoon", "pot-a")] * 2
    every = season(*lists)
    assert asked(store, {"gear": things}, every, plan("tarp", "spoon", "pot-b")) == []
    assert asked(store, {"gear": things}, every, plan("tarp", "spoon", "pot-a")) == []
    (row,) = asked(store, {"gear": things}, every, plan("tarp", "spoon"))
    assert (row["item"], row["reason"]) == ("pot-a", "12 of 12 like trips had it or “Pot-B”.")


def test_things_of_another_season_are_not_named(store: Any) -> None:
    winter = season(*[("tarp", "snow-stakes")] * 6, start=date(2027, 1, 10))
    winter["trip"] = [{**t, "trip": f"w{t['trip']}"} for t in winter["trip"]]
    winter["carried"] = [{**c, "trip": f"w{c['trip']}"} for c in winter["carried"]]
    things = {"gear": [TARP, gear("snow-stakes", "shelter")]}
    summer = season(*[("tarp",)] * 6)
    assert asked(store, things, summer, winter, plan("tarp")) == []
    rows = asked(store, things, summer, winter, plan("tarp", start=date(2028, 1, 10)))
    assert [row["item"] for row in rows] == ["snow-stakes"]


def test_what_others_carry_is_on_the_list_and_what_is_theirs_is_theirs(store: Any) -> None:
    things = [TARP, MAT, gear("canoe", "boat", owner="Ann")]
    every = season(*[("tarp", "mat", "canoe")] * 6)
    for row in every["carried"]:
        row["carried_by"] = "Ann" if row["item"] in ("canoe", "mat") else None
    ahead = plan("tarp")
    assert [r["item"] for r in asked(store, {"gear": things}, every, ahead)] == ["mat"]
    ahead["carried"].append(carried("plan", "mat", carried_by="Ann"))
    assert asked(store, {"gear": things}, every, ahead) == []


def test_a_mat_left_out_of_a_full_list_is_named_first(store: Any) -> None:
    things = [TARP, MAT, gear("quilt", "sleep"), gear("pot", "cook"), gear("book", "leisure")]
    things += [gear("plaster", "first_aid", insurance=None), gear("lamp", "light")]
    items = [thing["item"] for thing in things]
    lists = [items] * 9 + [[i for i in items if i != "book"]] * 3
    ahead = plan(*(i for i in items if i not in ("mat", "book")))
    rows = asked(store, {"gear": things}, season(*lists), ahead)
    assert rows[0]["item"] == "mat"
    assert {row["item"] for row in rows} <= {"mat", "book"}


def test_an_empty_list_lacks_nothing_and_says_so(store: Any) -> None:
    wished = {"wished": [{"trip": "t01", "what": "a dog"}] * 2}
    every = season(*[("tarp", "mat")] * 6)
    assert asked(store, {"gear": [TARP, MAT]}, every, wished, plan()) == []
    assert remarks(store)[0] == (
        "“Plan” has nothing on its list, so nothing can be missing from it: `tarebook new LOGBOOK "
        "--trip plan` fills it from a like trip."
    )


def test_three_trips_of_history_make_a_modest_list(store: Any) -> None:
    things = [TARP, MAT, gear("book", "leisure"), gear("lamp", "light")]
    lists = (("tarp", "mat"), ("tarp", "mat", "book"), ("tarp", "mat", "lamp"))
    rows = asked(store, {"gear": things}, season(*lists), plan("tarp"))
    assert [(r["item"], r["reason"]) for r in rows] == [
        ("mat", "3 of 3 like trips had it; this list has nothing else to sleep on.")
    ]


def test_the_list_is_never_a_wall(store: Any) -> None:
    things = [TARP, *(gear(f"thing-{n:02}", "clothing") for n in range(40))]
    items = [thing["item"] for thing in things]
    rows = asked(store, {"gear": things}, season(*[items] * 12), plan("tarp"))
    assert [row["rank"] for row in rows] == list(range(1, AT_MOST + 1))
    assert [row["item"] for row in rows] == items[1 : AT_MOST + 1]


def test_a_plan_of_400_days_is_asked_like_any_long_trip(store: Any) -> None:
    every = season(*[("tarp", "mat")] * 6)
    every["trip"] = [{**t, "end_on": t["start_on"] + timedelta(28)} for t in every["trip"]]
    start = date(2026, 8, 20)
    rows = asked(store, {"gear": [TARP, MAT]}, every, plan("tarp", start=start, nights=400))
    assert [row["item"] for row in rows] == ["mat"]
    # Without a like trip the mat is named from gear.csv alone.
    (row,) = asked(store, {"gear": [TARP, MAT]}, plan("tarp", nights=400))
    assert row["reason"] == "You own it, and this list has nothing else to sleep on."


def test_a_trip_of_the_past_is_asked_as_on_the_day_it_began(store: Any) -> None:
    every = season(*[("tarp", "mat")] * 5, ("tarp",))
    fill(store, joined({"gear": [TARP, MAT]}, every))
    (row,) = rows_of(store, trip="t06")
    assert (row["item"], row["reason"]) == (
        "mat",
        "5 of 5 like trips had it; this list has nothing else to sleep on.",
    )
    assert rows_of(store, trip="t01") == []
    assert rows_of(store) == []
    over = plan("tarp", start=date(2026, 7, 10))
    fill(store, joined({"gear": [TARP, MAT]}, every, over))
    assert rows_of(store) == []
    assert [row["item"] for row in rows_of(store, trip="plan")] == ["mat"]


def test_what_is_bought_later_or_given_up_before_is_not_named(store: Any) -> None:
    every = season(*[("tarp", "mat")] * 6)
    for more in ({"retired_on": START}, {"bought_on": START + timedelta(1)}):
        things = [TARP, {**MAT, **more}]
        assert asked(store, {"gear": things}, every, plan("tarp")) == []


def test_the_mat_that_a_plan_of_the_demo_lacks_is_named_first(demo: Any) -> None:
    rows = rows_of(demo, trip="2027-04-old-weir-meadow")
    assert (rows[0]["rank"], rows[0]["item"], rows[0]["p_along"]) == (1, "sleeping-mat", 1)
    assert rows[0]["reason"] == (
        "9 of 9 like trips had it; this list has nothing else to sleep on."
    )
    assert len(rows) <= 5


def test_what_stays_at_home_is_what_the_cull_answers_for_a_trip_after_all_others(demo: Any) -> None:
    name = "2027-05-larkspur-flat"
    (ahead,) = trips_ahead_of(demo, name, TODAY)
    options = {"coming": name, "today": ahead.trip.start_on}
    answer = entry("cull").relation(demo, **options).fetchall()
    assert stays_at_home(demo, ahead).items == {row[0] for row in answer}
    assert answer


ITEMS = ("tarp", "mat", "quilt", "pot", "stove", "gas", "book", "lamp", "foam")


@st.composite
def books(draw: st.DrawFn) -> tuple[Tables, Tables]:
    """A logbook with a plan on START, and rows from after that day."""
    systems = ("shelter", "sleep", "sleep", "cook", "cook", "cook", "leisure", "light", "sleep")
    things = [
        gear(item, system, weight_mg=draw(st.none() | st.just(90_000)), essential=None)
        for item, system in zip(ITEMS, systems, strict=True)
    ]
    things[4]["needs"] = draw(st.sampled_from((None, ["gas"])))
    things[1]["replaces"] = draw(st.sampled_from((None, ["foam"])))
    things[8]["retired_on"] = draw(st.sampled_from((None, date(2027, 1, 1))))
    now, later = ({"trip": [], "carried": [], "wished": []} for _ in range(2))
    for n in range(draw(st.integers(0, 14))):
        after = draw(st.booleans())
        on = START + timedelta(draw(st.integers(-2, 700)) if after else -draw(st.integers(5, 900)))
        one = trip(f"x{n}", on, 3 if after else draw(st.integers(0, 4)))
        tables = later if after else now
        tables["trip"].append(one)
        along = draw(st.lists(st.sampled_from(ITEMS), unique=True))
        used = draw(st.sampled_from((None, 0, 1)))
        bag = draw(st.sampled_from((None, "book")))
        tables["carried"] += [carried(one["trip"], i, used=used, bag=bag) for i in along]
        if wish := draw(st.sampled_from((None, "lamp", "pot"))):
            tables["wished"].append({"trip": one["trip"], "item": wish})
            tables["wished"].append({"trip": one["trip"], "what": "A kite"})
    listed = draw(st.lists(st.sampled_from(ITEMS), unique=True))
    later["weighings"] = [
        {"item": "mat", "weighed_on": START + timedelta(9), "weight_mg": 500_000},
        {"item": "book", "weighed_on": START + timedelta(9), "weight_mg": 500_000},
    ]
    return joined({"gear": things}, now, plan(*listed, mode=None)), later


@settings(
    max_examples=12,
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
)
@given(books())
def test_nothing_from_after_the_start_is_used(both: tuple[Tables, Tables]) -> None:
    now, later = both
    with empty_store() as store:
        fill(store, now)
        before = rows_of(store, trip="plan")
        fill(store, joined(now, later))
        assert rows_of(store, trip="plan") == before
        (ahead,) = trips_ahead_of(store, "plan", TODAY)
        guarding = {one.item for one in forgotten_of(store, ahead) if one.lifeline}
    listed = {row["item"] for row in now["carried"] if row["trip"] == "plan"}
    items = [row["item"] for row in before if row["item"]]
    assert len(before) <= AT_MOST
    assert len(set(items)) == len(items)
    assert not listed & set(items)
    owned = [row for row in before if row["item"]]
    known = [row for row in owned if row["p_along"] is not None]
    rest = [row for row in known if row["item"] not in guarding]
    assert [row["item"] in guarding for row in owned] == sorted(
        (row["item"] in guarding for row in owned), reverse=True
    )
    regrets = [row["expected_regret"] for row in rest]
    assert regrets == sorted(regrets, reverse=True)
    assert all(0 <= row["p_along"] <= 1 for row in known)
    assert all(row["p_along"] >= NEARLY_ALWAYS for row in known if row["why"] == "successor")
    # Without a like trip nothing is told by how many had it along.
    silent = [row for row in owned if row["p_along"] is None]
    assert {row["expected_regret"] for row in silent} <= {None}
    assert not {row["why"] for row in silent} & {"like_trips", "missed"}
    assert not before or listed


def test_a_summer_thing_silences_nothing_that_such_trips_had(store: Any) -> None:
    """In July the quilt, in October the bag: on an October list the quilt is no stand-in for it."""
    quilt, bag = (gear(item, "sleep", essential=True) for item in ("quilt", "bag"))
    july = season(*[("tarp", "mat", "quilt")] * 6)
    october = season(*[("tarp", "mat", "bag")] * 6, start=date(2026, 10, 1))
    for table in october.values():
        for row in table:
            row["trip"] = f"o{row['trip']}"
    things: Tables = {"gear": [TARP, MAT, quilt, bag]}
    cold = plan("tarp", "mat", "quilt", start=date(2027, 10, 1))
    assert [row["item"] for row in asked(store, things, july, october, cold)] == ["bag"]
    # On a July list it is the bed, and the bag is not missed.
    assert asked(store, things, july, october, plan("tarp", "mat", "quilt")) == []


def test_one_unlike_trip_does_not_hide_that_a_system_is_missing(store: Any) -> None:
    aid = [gear(f"kit-{n}", "first_aid", insurance=True) for n in (1, 2, 3)]
    lists = [("tarp", f"kit-{n % 3 + 1}") for n in range(12)]
    unlike: Tables = {
        "trip": [trip("odd", date(2026, 9, 1), 2, mode="mixed")],
        "carried": [carried("odd", "tarp")],
    }
    rows = asked(store, {"gear": [TARP, *aid]}, season(*lists), unlike, plan("tarp"))
    assert [(row["why"], row["item"][:4]) for row in rows] == [("system", "kit-")]


def test_insurance_is_named_from_half_of_the_like_trips_on(store: Any) -> None:
    kit = gear("kit", "first_aid", insurance=True)
    lists = [("tarp", "kit")] * 8 + [("tarp",)] * 4
    (row,) = asked(store, {"gear": [TARP, kit]}, season(*lists), plan("tarp"))
    assert row["item"] == "kit"
    assert 0.5 <= row["p_along"] < NEARLY_ALWAYS


WINTER = [
    TARP,
    *(gear(item, "sleep", essential=None, meant_for=[]) for item in ("bag", "mat")),
    gear("shirt", "clothing", essential=None, meant_for=[]),
    gear("gloves", "clothing", essential=None, meant_for=[]),
    gear("hat", "clothing", essential=None, meant_for=[]),
    gear("insulated-jacket", "clothing", 400_000, essential=None, meant_for=[]),
    gear("chess", "leisure", essential=None, meant_for=[]),
]
WARM = {"gloves", "hat", "insulated-jacket"}


@pytest.mark.parametrize("start", [date(2028, 1, 15), date(2027, 10, 1)])
def test_what_is_warm_and_came_on_every_summer_trip_is_named_of_a_trip_unlike_them(
    store: Any, start: date
) -> None:
    every = season(*[tuple(row["item"] for row in WINTER)] * 10)
    here = plan("tarp", "bag", "mat", "shirt", start=start)
    rows = asked(store, {"gear": WINTER}, every, here)
    by_item = {row["item"]: row for row in rows}
    assert by_item.keys() >= WARM
    if start.month == 1:
        # A chess set protects nobody: without a like trip nothing speaks for it.
        assert by_item.keys() == WARM
        for item in WARM:
            assert by_item[item]["reason"] == "10 of 10 trips had it, none of them like this one."
            assert by_item[item]["why"] == "record"


def test_summers_in_which_warm_things_stayed_packed_prove_nothing_of_winter(store: Any) -> None:
    every = season(*[tuple(row["item"] for row in WINTER)] * 10)
    every["carried"] = [{**row, "used": 0} for row in every["carried"]]
    here = plan("tarp", "bag", "mat", "shirt", start=date(2028, 1, 15))
    rows = asked(store, {"gear": WINTER}, every, here)
    assert {row["item"]: row["p_needed"] for row in rows} == dict.fromkeys(WARM, 1)
    # Its owner's own word that it is not essential lets the record speak again.
    said = [{**row, "essential": False} for row in WINTER]
    rows = asked(store, {"gear": said}, every, here)
    assert all(row["p_needed"] < 0.5 for row in rows if row["item"] == "gloves")


def test_the_warmest_clothing_is_named_where_the_list_has_none_as_warm(store: Any) -> None:
    things = [*WINTER, gear("sun-hat", "clothing", 900_000), gear("fleece", "clothing", 500_000)]
    every = season(*[("tarp", "bag", "mat", "shirt")] * 10)
    here = ("tarp", "bag", "mat", "shirt")
    january = date(2028, 1, 15)
    (row,) = asked(store, {"gear": things}, every, plan(*here, start=january))
    assert row["item"] == "insulated-jacket"
    assert row["reason"] == "You own it, and no clothing on this list is known to be as warm."
    listed = plan(*here, "insulated-jacket", start=january)
    assert asked(store, {"gear": things}, every, listed) == []
    # In summer as ever a shirt will do.
    assert asked(store, {"gear": things}, every, plan(*here)) == []


def test_outside_of_the_record_what_protects_comes_first(store: Any) -> None:
    things = [*WINTER, gear("pot", "other", going_without=9.0)]
    every = season(*[tuple(row["item"] for row in things)] * 10)
    here = plan("tarp", "bag", "mat", "shirt", start=date(2028, 1, 15))
    things = [{**row, "needs": ["pot"] if row["item"] == "bag" else []} for row in things]
    rows = asked(store, {"gear": things}, every, here)
    assert [row["item"] for row in rows][-1] == "pot"
    assert {row["item"] for row in rows[:-1]} == WARM
