"""Where a change went: labels by hand, exact sums over whatever shape, and a second computation."""

from collections.abc import Iterable, Mapping
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tarebook.analysis.base_weight.change_parts import BaseLoad, Side, split
from tarebook.analysis.base_weight.page.tables import CAUSE
from tarebook.analysis.display.rounding import rounded, shared_out
from tarebook.analysis.stats.connected import components

ITEMS = "abcdefgh"
Pairs = Iterable[tuple[str, str]]


def told(before: Side, after: Side, pairs: Pairs = ()) -> dict[tuple[str, str], float]:
    return {(p.item, p.cause): float(p.mg) for p in split(before, after, pairs)}


def base(trips: int, grams: int, pieces: int = 1, otherwise: int = 0) -> BaseLoad:
    """An item that was base on so many trips, each time with so many pieces of so many mg."""
    return BaseLoad(trips, trips * pieces, trips * pieces * grams, otherwise)


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        (BaseLoad(), base(4, 300), {"added": 300}),
        (base(4, 300), BaseLoad(), {"dropped": -300}),
        (base(4, 300), base(1, 300), {"less_often": -225}),
        (base(1, 300), base(3, 300), {"more_often": 150}),
        (base(4, 300), base(4, 280), {"reweighed": -20}),
        (base(4, 300), base(4, 300, 3), {"quantity": 600}),
        (base(4, 300), BaseLoad(otherwise=4), {"carried_otherwise": -300}),
        # Of three trips fewer it was worn on two: two thirds of the fall are no more than that.
        (base(4, 300), base(1, 300, otherwise=2), {"carried_otherwise": -150, "less_often": -75}),
        (base(4, 300), BaseLoad(otherwise=1), {"carried_otherwise": -75, "dropped": -225}),
        (BaseLoad(otherwise=4), base(4, 300), {"carried_otherwise": 300}),
        # Worn more often and base more often, too: nothing was carried otherwise.
        (base(1, 300), base(2, 300, otherwise=2), {"more_often": 75}),
        (base(4, 300), base(4, 300), {}),
        (BaseLoad(otherwise=4), BaseLoad(otherwise=2), {}),
        # share 1 to 1/2, pieces 1 to 2, 300 to 280 mg: -1/2 x (300 + 560) / 2,
        # 3/4 x 1 x 290, 3/4 x 3/2 x -20
        (
            base(4, 300),
            base(2, 280, 2),
            {"less_often": -215, "quantity": 217.5, "reweighed": -22.5},
        ),
    ],
)
def test_each_cause(old: BaseLoad, new: BaseLoad, expected: dict[str, float]) -> None:
    found = told(Side(4, {"a": old}), Side(4, {"a": new}))
    assert found == {("a", cause): mg for cause, mg in expected.items()}


def test_a_swap_through_something_that_never_came_along() -> None:
    pairs = (("new", "middle"), ("middle", "old"))
    found = told(Side(2, {"old": base(2, 900)}), Side(2, {"new": base(2, 400)}), pairs)
    assert found == {("old", "swapped"): -900, ("new", "swapped"): 400}


def test_what_falls_more_than_it_is_made_up_for_is_swapped_in_part() -> None:
    # Two beds fell by one share each, a quilt rose by one: half of each bed went for the quilt.
    before = Side(2, {"bag": base(2, 900), "liner": base(2, 200)})
    after = Side(2, {"quilt": base(2, 600)})
    found = told(before, after, (("quilt", "bag"), ("quilt", "liner")))
    assert found == {
        ("bag", "swapped"): -450,
        ("bag", "dropped"): -450,
        ("liner", "swapped"): -100,
        ("liner", "dropped"): -100,
        ("quilt", "swapped"): 600,
    }


def test_what_is_only_carried_otherwise_is_no_swap() -> None:
    before = Side(2, {"old": base(2, 900)})
    after = Side(2, {"old": BaseLoad(otherwise=2), "new": base(2, 400)})
    assert told(before, after, (("new", "old"),)) == {
        ("old", "carried_otherwise"): -900,
        ("new", "added"): 400,
    }


def test_swaps_are_numbered_by_what_hangs_together() -> None:
    before = Side(1, {"a": base(1, 10), "c": base(1, 30), "e": base(1, 50)})
    after = Side(1, {"b": base(1, 20), "d": base(1, 40), "f": base(1, 60)})
    parts = split(before, after, (("b", "a"), ("a", "b"), ("d", "c"), ("f", "x")))
    assert {p.item: p.swap for p in parts} == {"a": 1, "b": 1, "c": 2, "d": 2, "e": None, "f": None}


@st.composite
def held(draw: st.DrawFn, trips: int) -> BaseLoad:
    based = draw(st.integers(0, trips))
    otherwise = draw(st.integers(0, trips - based))
    pieces = draw(st.integers(based, based * 5))
    return BaseLoad(
        based, pieces, draw(st.integers(pieces, pieces * 10**6 + 1)) if based else 0, otherwise
    )


@st.composite
def sides(draw: st.DrawFn) -> tuple[Side, Side]:
    found = []
    for _ in range(2):
        trips = draw(st.integers(1, 7))
        items = draw(st.lists(st.sampled_from(ITEMS), unique=True))
        found.append(Side(trips, {i: draw(held(trips)) for i in items}))
    return found[0], found[1]


_pairs = st.lists(st.tuples(st.sampled_from(ITEMS), st.sampled_from(ITEMS)), max_size=8)


@settings(max_examples=300)
@given(sides(), _pairs)
def test_the_parts_sum_exactly_whatever_the_shape(both: tuple[Side, Side], pairs: Pairs) -> None:
    before, after = both
    parts = split(before, after, pairs)
    assert sum((p.mg for p in parts), Fraction(0)) == after.mean_mg - before.mean_mg
    assert all(p.cause in CAUSE and p.mg for p in parts)
    assert len({(p.item, p.cause) for p in parts}) == len(parts)
    assert all((p.swap is not None) == (p.cause == "swapped") for p in parts)
    # Pairs only move labels: without them the parts of every item come to the same.
    plain: dict[str, Fraction] = {}
    for p in split(before, after, ()):
        assert p.cause != "swapped"
        plain[p.item] = plain.get(p.item, Fraction(0)) + p.mg
    for item, mg in plain.items():
        assert sum((p.mg for p in parts if p.item == item), Fraction(0)) == mg
    # What was swapped came to as many shares as went.
    whole = shared_out([p.mg for p in parts], rounded(after.mean_mg) - rounded(before.mean_mg))
    assert sum(whole) == rounded(after.mean_mg) - rounded(before.mean_mg)
    assert all(abs(w - p.mg) < 1 for w, p in zip(whole, parts, strict=True))


def groups(pairs: list[tuple[str, str]]) -> dict[str, int]:
    """The component of every item that stands in a pair."""
    together: list[set[str]] = []
    for pair in pairs:
        met = [group for group in together if group & set(pair)]
        together = [group for group in together if group not in met]
        together.append(set(pair).union(*met))
    return {name: number for number, group in enumerate(together) for name in group}


@given(st.permutations(ITEMS), _pairs)
def test_components_are_those_that_sets_grow_into(
    items: list[str], pairs: list[tuple[str, str]]
) -> None:
    some, of = items[:5], groups(pairs)
    found = components(some, pairs)
    assert [item for one in found for item in one if item in some[:1]] == some[:1]
    assert sorted(item for one in found for item in one) == sorted(some)
    for one in found:
        assert [item for item in some if item in one] == list(one)
        assert all(len(one) == 1 if item not in of else of[item] == of[one[0]] for item in one)
        assert not {of[item] for item in one if item in of} & {
            of[item] for item in some if item not in one and item in of
        }


def by_hand(before: Side, after: Side, pairs: Pairs) -> Mapping[tuple[str, str], float]:
    """The same in floats, written from the definition."""
    graph = groups(list(pairs))
    items = before.items.keys() | after.items.keys()
    facts = {}
    for item in items:
        old, new = before.items.get(item, BaseLoad()), after.items.get(item, BaseLoad())
        if not old.trips and not new.trips:
            continue
        s = [old.trips / before.trips, new.trips / after.trips]
        o = [old.otherwise / before.trips, new.otherwise / after.trips]
        q = [h.pieces / h.trips if h.trips else None for h in (old, new)]
        u = [h.mg / h.pieces if h.trips else None for h in (old, new)]
        q = [q[1] if q[0] is None else q[0], q[0] if q[1] is None else q[1]]
        u = [u[1] if u[0] is None else u[0], u[0] if u[1] is None else u[1]]
        change = s[1] - s[0]
        only = 0.0
        if change < 0 < o[1] - o[0]:
            only = -min(-change, o[1] - o[0])
        if change > 0 > o[1] - o[0]:
            only = min(change, o[0] - o[1])
        facts[item] = s, q, u, only, change - only
    found: dict[tuple[str, str], float] = {}

    def add(item: str, cause: str, mg: float) -> None:
        found[item, cause] = found.get((item, cause), 0.0) + mg

    for item, (s, q, u, only, rest) in facts.items():
        load = (q[0] * u[0] + q[1] * u[1]) / 2
        rests = [facts[i][4] for i in facts if i in graph and graph[i] == graph.get(item)]
        falls, rises = -sum(r for r in rests if r < 0), sum(r for r in rests if r > 0)
        mine = falls if rest < 0 else rises
        part = min(falls, rises) / mine if item in graph and mine > 1e-12 else 0.0
        plain = (
            ("added" if s[1] else "dropped")
            if 0 in s
            else ("more_often" if rest > 0 else "less_often")
        )
        add(item, "carried_otherwise", only * load)
        add(item, "swapped", rest * part * load)
        add(item, plain, rest * (1 - part) * load)
        add(item, "quantity", sum(s) / 2 * (q[1] - q[0]) * sum(u) / 2)
        add(item, "reweighed", sum(s) / 2 * sum(q) / 2 * (u[1] - u[0]))
    return {key: mg for key, mg in found.items() if abs(mg) > 1e-6}


@settings(max_examples=300)
@given(sides(), _pairs)
def test_the_parts_are_those_of_a_second_computation(
    both: tuple[Side, Side], pairs: list[tuple[str, str]]
) -> None:
    ours = {key: mg for key, mg in told(*both, pairs).items() if abs(mg) > 1e-6}
    assert ours == pytest.approx(by_hand(*both, pairs), rel=1e-9, abs=1e-6)


@given(st.lists(st.fractions(-1000, 1000, max_denominator=12)), st.fractions(0, 9000))
def test_whole_numbers_that_still_sum(parts: list[Fraction], start: Fraction) -> None:
    end = start + sum(parts, Fraction(0))
    whole = shared_out(parts, rounded(end) - rounded(start))
    assert rounded(start) + sum(whole) == rounded(end)
    assert all(abs(w - p) < 1 for w, p in zip(whole, parts, strict=True))


@pytest.mark.outside(
    "published",
    "largest remainders (Hamilton, Hare-Niemeyer): whole parts first, what is left goes to the "
    "largest remainders; Introduction to Electoral Systems (pierzgal.github.io), 4.10",
    "1.3 + 1.7 + 2 as whole numbers that sum to 5: 1, 2, 2",
)
def test_halves_round_up_and_the_largest_remainders_go_up() -> None:
    assert [rounded(Fraction(n, 2)) for n in (-3, -1, 0, 1, 3, 5)] == [-1, 0, 0, 1, 2, 3]
    assert shared_out([Fraction(13, 10), Fraction(17, 10), Fraction(2)], 5) == [1, 2, 2]
    assert shared_out([Fraction(1, 2), Fraction(1, 2)], 1) == [1, 0]
