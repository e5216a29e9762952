"""What changed in base weight: causes by hand, and parts that always sum to the milligram."""

from collections.abc import Iterator
from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from store_drawing import ITEMS, Row, Tables, carried, empty_store, fill, gear, logbooks, trip
from tarebook.analysis.debrief.changes import _CAUSES, Load, change_parts, changes_since_previous
from tarebook.analysis.debrief.page.words import change_kind

NONE: tuple[tuple[str, str], ...] = ()
TRAVELLED = ("a", "b", "c", "plan", "now", "later", "x", "y")


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def base(mg: int, pieces: int = 1, blank: bool = False) -> Load:
    return Load(pieces, mg, base=True, blank=blank, along=True)


OTHERWISE = Load(along=True)
LATER = Load(along=True, later=True)


def causes(
    before: dict[str, Load], after: dict[str, Load], pairs: tuple[tuple[str, str], ...] = NONE
) -> list[tuple[str, str, int]]:
    return [(p.item, p.cause, p.mg) for p in change_parts(before, after, pairs)]


@pytest.mark.parametrize(
    ("before", "after", "expected"),
    [
        ({}, {"a": base(300)}, [("added", 300)]),
        ({"a": base(300)}, {}, [("dropped", -300)]),
        ({"a": base(300)}, {"a": OTHERWISE}, [("carried_otherwise", -300)]),
        ({"a": OTHERWISE}, {"a": base(300)}, [("carried_otherwise", 300)]),
        ({"a": base(300)}, {"a": LATER}, [("picked_up", -300)]),
        ({"a": LATER}, {"a": base(300)}, [("picked_up", 300)]),
        ({"a": base(300)}, {"a": base(310)}, [("reweighed", 10)]),
        ({"a": base(300)}, {"a": base(300)}, []),
        ({"a": base(300)}, {"a": base(900, 3)}, [("quantity", 600)]),
        # 1 x 300 to 2 x 250: (2 - 1) x 275 for the pieces, 1.5 x -50 for the weight
        ({"a": base(300)}, {"a": base(500, 2)}, [("quantity", 275), ("reweighed", -75)]),
        # 1 x 3 to 2 x 2: 2.5 mg, rounded to even, and the rest
        ({"a": base(3)}, {"a": base(4, 2)}, [("quantity", 2), ("reweighed", -1)]),
        ({"a": base(0, 0, blank=True)}, {"a": base(300)}, [("reweighed", 300)]),
        ({"a": OTHERWISE}, {"a": OTHERWISE}, []),
    ],
)
def test_each_cause(
    before: dict[str, Load], after: dict[str, Load], expected: list[tuple[str, int]]
) -> None:
    assert causes(before, after) == [("a", cause, mg) for cause, mg in expected]


def test_swaps_are_found_through_items_that_stayed_at_home() -> None:
    chain = (("new", "middle"), ("middle", "old"))
    assert causes({"old": base(900)}, {"new": base(400)}, chain) == [
        ("new", "swapped", 400),
        ("old", "swapped", -900),
    ]


def test_two_for_one_a_ring_and_what_nothing_came_for() -> None:
    pairs = (("quilt", "bag"), ("quilt", "liner"), ("a", "b"), ("b", "a"), ("hat", "cap"))
    before = {"bag": base(900), "liner": base(200), "a": base(50), "cap": base(30)}
    after = {"quilt": base(600), "b": base(60), "scarf": base(80)}
    changes = change_parts(before, after, pairs)
    assert {p.item: (p.cause, p.swap) for p in changes} == {
        "a": ("swapped", 1),
        "b": ("swapped", 1),
        "bag": ("swapped", 2),
        "liner": ("swapped", 2),
        "quilt": ("swapped", 2),
        "cap": ("dropped", None),
        "scarf": ("added", None),
    }


def test_what_is_carried_otherwise_is_not_swapped() -> None:
    pairs = (("new", "old"),)
    assert causes({"old": base(900)}, {"new": base(400), "old": OTHERWISE}, pairs) == [
        ("new", "added", 400),
        ("old", "carried_otherwise", -900),
    ]


_mg = st.integers(1, 10**8)
_load = st.one_of(
    st.just(OTHERWISE),
    st.builds(
        lambda n, mg, blank: base(n * mg, n, blank), st.integers(1, 1000), _mg, st.booleans()
    ),
    st.builds(base, st.integers(1000, 10**9), st.integers(1, 1000)),
    st.just(base(0, 0, blank=True)),
)
_side = st.dictionaries(st.sampled_from(ITEMS), _load)
_pairs = st.lists(st.tuples(st.sampled_from(ITEMS), st.sampled_from(ITEMS)), max_size=6)


@given(_side, _side, _pairs)
def test_parts_sum_to_the_milligram(
    before: dict[str, Load], after: dict[str, Load], pairs: list[tuple[str, str]]
) -> None:
    changes = change_parts(before, after, pairs)
    total = sum(x.mg for x in after.values()) - sum(x.mg for x in before.values())
    assert sum(p.mg for p in changes) == total
    assert all(p.cause in _CAUSES and p.mg for p in changes)
    assert len({(p.item, p.cause) for p in changes}) == len(changes)
    for p in changes:
        assert (p.swap is not None) == (p.cause == "swapped")
        if (
            p.cause in ("added", "quantity", "reweighed", "swapped")
            and not before.get(p.item, Load()).along
        ):
            assert p.mg > 0


@settings(
    max_examples=15,
)
@given(logbooks())
def test_the_difference_is_that_of_the_two_base_weights(store: Any, tables: Tables) -> None:
    fill(store, tables)
    shown = store.view("trips").select("trip", "base_g").fetchall()
    base_g = dict(shown)
    for name in base_g:
        on_me = "SELECT coalesce(bool_or(on_me), false) FROM trip_item_use WHERE trip = $1"
        laden = bool(store.execute(on_me, [name]).fetchall()[0][0])
        changes = changes_since_previous(store, name, laden=laden)
        if changes is None:
            continue
        before_g, after_g = base_g[changes.trip], base_g[name]
        if before_g is None or after_g is None:
            assert (changes.difference_g, changes.parts, changes.by_cause) == (None, [], {})
            continue
        mg = round(after_g * 1000) - round(before_g * 1000)
        assert changes.difference_g == mg / 1000
        by_part = [part["delta_g"] for part in changes.parts]
        for grams in (by_part, changes.by_cause.values()):
            assert sum(round(each * 1000) for each in grams) == mg


def test_the_previous_trip_is_the_latest_earlier_one_of_the_same_mode(store: Any) -> None:
    def of(name: str, month: int, mode: str | None, **more: Any) -> Row:
        return trip(name, date(2025, month, 1), 1, mode=mode, **more)

    fill(
        store,
        {
            "gear": [gear("tarp")],
            "trip": [
                of("a", 1, "foot"),
                of("b", 2, "foot"),
                of("c", 3, "bike"),
                of("empty", 4, "foot"),
                of("plan", 5, "foot", plan=True),
                of("guest", 6, "foot"),
                of("now", 7, "foot"),
                of("later", 8, "foot"),
                of("x", 9, None),
                of("y", 10, None),
            ],
            "carried": [
                *(carried(t, "tarp") for t in TRAVELLED),
                carried("guest", "tarp", carried_by="Ann"),
            ],
        },
    )
    previous = {
        name: changes.trip if (changes := changes_since_previous(store, name, laden=True)) else None
        for name in ("a", "c", "now", "plan", "y")
    }
    assert previous == {"a": None, "c": None, "now": "b", "plan": "b", "y": "x"}
    assert changes_since_previous(store, "now", laden=False) is None


def test_a_day_out_is_compared_with_a_day_out(store: Any) -> None:
    days = [
        trip(name, date(2025, month, 1), nights, mode="foot")
        for name, month, nights in (("night", 1, 2), ("out", 2, 0), ("long", 3, 5), ("walk", 4, 0))
    ]
    fill(
        store,
        {
            "gear": [gear("tarp")],
            "trip": days,
            "carried": [carried(day["trip"], "tarp") for day in days],
        },
    )
    changes = {name: changes_since_previous(store, name, laden=True) for name in ("long", "walk")}
    assert {name: each and each.trip for name, each in changes.items()} == {
        "long": "night",
        "walk": "out",
    }


def test_items_without_a_weight_are_named_apart(store: Any) -> None:
    fill(
        store,
        {
            "gear": [gear("tarp"), gear("hat", weight_mg=None), gear("pot", "cook", 300_000)],
            "trip": [trip("a", date(2025, 5, 1), 1), trip("b", date(2025, 6, 1), 1)],
            "carried": [
                carried("a", "tarp"),
                carried("b", "tarp", quantity=2),
                carried("b", "hat"),
                carried("b", "pot", carried_as="worn"),
                carried("a", "pot"),
            ],
        },
    )
    changes = changes_since_previous(store, "b", laden=True)
    assert changes is not None
    assert changes.unweighed == ("Hat",)
    assert changes.difference_g == 200.0 - 400.0
    assert [(part["item"], part["cause"], part["delta_g"]) for part in changes.parts] == [
        ("pot", "carried_otherwise", -300.0),
        ("tarp", "quantity", 100.0),
    ]
    assert changes.by_cause == {"carried_otherwise": -300.0, "quantity": 100.0}


def test_what_was_picked_up_on_the_way_is_not_carried_in_another_way(store: Any) -> None:
    fill(
        store,
        {
            "gear": [gear("tarp"), gear("map", "navigation", 48_000)],
            "trip": [trip("a", date(2025, 5, 1), 3), trip("b", date(2025, 6, 1), 3)],
            "carried": [
                carried("a", "tarp"),
                carried("a", "map"),
                carried("b", "tarp"),
                carried("b", "map", from_day=date(2025, 6, 3)),
            ],
        },
    )
    changes = changes_since_previous(store, "b", laden=True)
    assert changes is not None
    (part,) = changes.parts
    assert (part["item"], part["cause"], part["delta_g"]) == ("map", "picked_up", -48.0)
    assert change_kind(part) == "picked up on the way"
    assert change_kind({**part, "pieces_after": 1}) == "picked up on the way last time"
