"""Of what is eaten, burnt or worn and not marked so no class is named, by one rule everywhere."""

from collections.abc import Iterator
from datetime import date, timedelta
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from store_drawing import carried, empty_store, fill, gear, trip
from tarebook.analysis.base_weight.page.page import read_trend
from tarebook.analysis.buying.cases import buying_case
from tarebook.analysis.display.theme import WIDE
from tarebook.analysis.display.words import Display
from tarebook.analysis.tables import entry
from tarebook.analysis.weigh_up.unmarked import unmarked_words

MAY, TODAY = date(2026, 5, 1), date(2026, 11, 27)
CAMP = [
    gear("tarp", "shelter", 1_600_000),
    gear("quilt", "sleep", 700_000),
    gear("shirt", "clothing", 200_000, carried_as="worn"),
    gear("bread", "food", 500_000, carried_as="consumable"),
]
CANDIDATE = {
    "candidate": "light-tarp",
    "name": "Light tarp",
    "system": "shelter",
    "weight_mg": 400_000,
    "replaces": ["tarp"],
    "carried_as": "base",
    "rated_as": "maker",
}
_WORDS = [
    "gas",
    "Fuel",
    "bread",
    "stove",
    "bear canister",
    "canister",
    "food-bag",
    "spirit",
    "spirits",
    "bottle",
    "petrol_can",
    "pan",
    "gasket",
    "cosy",
    "cartridges",
    "salt",
    "tins",
    "rope",
]


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


@given(
    st.lists(
        st.tuples(
            st.sampled_from(["food", "cook", "shelter", "clothing"]),
            st.sampled_from(["base", "base", "worn", "consumable", "vehicle"]),
            st.lists(st.sampled_from(_WORDS), min_size=1, max_size=3).map(" ".join),
        ),
        min_size=1,
        max_size=5,
    )
)
def test_the_mart_and_the_words_of_a_list_have_one_rule(
    store: Any, things: list[tuple[str, str, str]]
) -> None:
    rows = [
        gear(f"thing-{n}", system, 100_000, name=name, carried_as=kind)
        for n, (system, kind, name) in enumerate(things)
    ]
    fill(
        store,
        {
            "gear": rows,
            "trip": [trip("t", MAY, 1)],
            "carried": [carried("t", row["item"]) for row in rows],
        },
    )
    found = store.view("trip_unmarked").fetchall()
    assert bool(found) == bool(unmarked_words(SimpleNamespace(**row) for row in rows))


def with_trips(**kinds: str) -> dict[str, Any]:
    """Three trips with one camp, of which ``kinds`` says how each thing is carried."""
    things = [row | {"carried_as": kinds.get(row["item"], row["carried_as"])} for row in CAMP]
    days = [MAY + timedelta(40 * n) for n in range(3)]
    return {
        "gear": things,
        "trip": [trip(f"t{n}", day, 2) for n, day in enumerate(days)],
        "carried": [carried(f"t{n}", row["item"]) for n in range(3) for row in things],
        "candidates": [CANDIDATE],
    }


@pytest.mark.parametrize(
    ("kinds", "has_class"),
    [
        ({}, True),
        ({"shirt": "base", "bread": "base"}, False),  # carried_as is blank throughout
        ({"bread": "base"}, False),
    ],
)
def test_no_page_or_table_names_a_class_of_what_is_not_marked(
    store: Any, kinds: dict[str, str], has_class: bool
) -> None:
    fill(store, with_trips(**kinds))
    frame = entry("trips").frame(store)
    assert [isinstance(name, str) for name in frame["weight_class"]] == [has_class] * 3
    (case,) = buying_case(store, TODAY)
    assert case.base is not None
    assert case.base.now_g > 0
    assert (case.base.class_now is not None) == (case.base.class_after is not None) == has_class
    figure = read_trend(store, display=Display()).as_carried().figure
    assert figure is not None
    assert ("ultralight below" in str(figure.spec(WIDE))) is has_class
