"""How much to pack of what is eaten or burnt: the list to pack by says what the head says."""

from collections.abc import Iterator
from typing import Any

import pytest
from before_trip_reading import (
    THINGS,
    TODAY,
    like_history,
    lists_of,
    need,
    of,
    past,
    plain,
    plan,
    points,
    read,
    with_data,
)
from store_drawing import carried, empty_store, fill, gear

GAS = gear("gas", "cook", 225_000, name="Gas canister", carried_as="consumable")


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def rows_of(page: Any) -> list[str]:
    return [line for lines in lists_of(page.packing()).values() for line in lines]


def row_of(page: Any, name: str) -> str:
    (row,) = [row for row in rows_of(page) if row.startswith(f"{name} | ")]
    return row.partition(" | ")[2]


@pytest.mark.parametrize("listed", [False, True])
def test_of_what_was_all_used_up_the_sheet_says_what_the_head_says(
    store: Any, listed: bool
) -> None:
    """What a fit makes of such trips is nobody’s usual amount: its upper end is the prior’s."""
    trips = [past(f"t{n}", 30 + 30 * n) for n in range(3)]
    rows = [
        carried(f"t{n}", item, weight_mg=mg, brought_home_mg=0)
        for n in range(3)
        for item, mg in (("bread", 2_380_000), ("gas", 280_000))
    ]
    if listed:
        rows += [carried("next", item) for item in ("bread", "gas", "tarp")]
    fill(store, {"gear": [*THINGS, GAS], "trip": [*trips, plan()], "carried": rows})
    page = read(store)
    assert not [row for row in rows_of(page) if "ommon practice" in row or "seldom" in row]
    for name, about in (("Bread", "How much food"), ("Gas canister", "How much fuel")):
        take = points(page)[about].partition(". ")[0]
        assert take.startswith(("Take more than 2.38 kg", "Take at least 280 g"))
        told = f"{take}; how much would be enough is not known"
        row = row_of(page, name)
        assert row.endswith(told)
        # What of a can can be burnt is not known before one is weighed empty.
        before = {
            "Bread": "Maybe too little: 500 g on the list. ",
            "Gas canister": "225 g on the list. ",
        }
        assert row == (f"{before[name]}{told}" if listed else told)


def test_without_any_trip_common_practice_is_told_as_such(store: Any) -> None:
    rows = [carried("next", item) for item in ("bread", "gas", "tarp")]
    fill(store, {"gear": [*THINGS, GAS], "trip": [plan()], "carried": rows})
    page = read(store)
    assert row_of(page, "Bread").startswith("Maybe too little: 500 g on the list. Common practice:")
    assert "Common practice: about " in row_of(page, "Gas canister")
    assert "which may be too little by common practice" in points(page)["How much food"]


def test_a_row_says_that_it_is_too_little_before_all_else(store: Any) -> None:
    rows = [carried("next", item) for item in ("bread", "gas")]
    fill(store, {"gear": [*THINGS, GAS], "trip": [plan()], "carried": rows})
    gas = {"system": "cook", "item": "gas", "name": "Gas canister", "days": 2}
    amounts = {"take_for_9_in_10": 70.0, "on_list": 33.0}
    for chance, lead in ((0.02, "Too little: "), (0.7, "")):
        page = with_data(read(store), consumption=of(need(**gas, **amounts, chance_enough=chance)))
        row = row_of(page, "Gas canister")
        assert row.startswith(
            f"{lead}225 g on the list; 33 g of it can be burnt, and 70 g is enough on nine such"
        )
        assert row.endswith(". Take a fuller one, or another") is bool(lead)
    plenty = need(**gas, take_for_9_in_10=70.0, on_list=90.0, chance_enough=0.97)
    row = row_of(with_data(read(store), consumption=of(plenty)), "Gas canister")
    assert row == (
        "225 g on the list; 90 g of it can be burnt, and 70 g is enough on nine such trips in ten"
    )
    # Of trips unlike this one it is known as a least, which is told as such.
    before = need(**gas, **amounts, chance_enough=0.02, outside=True)
    row = row_of(with_data(read(store), consumption=of(before)), "Gas canister")
    assert row.startswith(
        "Too little: 225 g on the list; 33 g of it can be burnt. Take at least 70"
    )
    assert "how often that is enough on one like this is not known" in row


def test_one_row_of_several_says_what_is_for_all_together(store: Any) -> None:
    nuts = gear("nuts", "food", 100_000, carried_as="consumable")
    rows = [carried("next", item) for item in ("bread", "nuts")]
    fill(store, {"gear": [*THINGS, nuts], "trip": [plan()], "carried": rows})
    food = need(item=None, name="Food", on_list=600.0, chance_enough=0.8, take_for_9_in_10=700.0)
    row = row_of(with_data(read(store), consumption=of(food)), "Bread")
    assert row == (
        "500 g on the list; with the rest of the food 600 g, and 700 g is enough on nine such "
        "trips in ten"
    )
    # What is not all weighed, or the only one of them on the list, tells nothing of the whole.
    unweighed = need(item=None, name="Food", on_list=None, chance_enough=None)
    row = row_of(with_data(read(store), consumption=of(unweighed)), "Bread")
    assert row == (
        "500 g on the list. Food, all together: 1.89 kg is enough on nine such trips in ten"
    )
    bare = need(item=None, name="Food", on_list=None, chance_enough=None, trips=0)
    row = row_of(with_data(read(store), consumption=of(bare)), "Bread")
    assert row.startswith(
        "500 g on the list. Common practice for food, all together: about 1.50 kg"
    )
    drawn = like_history()
    fill(store, drawn | {"gear": [*drawn["gear"], nuts]})
    assert plain(row_of(read(store, today=TODAY), "Bread")).startswith("Common practice")


def test_food_and_gas_that_are_not_weighed_are_to_weigh_without_any_trip(store: Any) -> None:
    """Of all that is owned nothing else is asked to be weighed: no trip takes it all."""
    things = [each | {"weight_mg": None} for each in (*THINGS, GAS)]
    rows = [carried("next", item) for item in ("bread", "gas", "mug")]
    for listed, weigh in (
        (rows, ["Bread", "Gas canister", "Mug"]),
        ([], ["Bread", "Gas canister"]),
    ):
        fill(store, {"gear": things, "trip": [plan()], "carried": listed})
        page = read(store)
        assert page.data is not None
        assert page.data.packing.source == ("list" if listed else "gear")
        assert sorted(lists_of(page.before_leaving())["Weigh"]) == weigh
