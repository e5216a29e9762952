"""What is asked of a weigh-up besides its list: names left out, added, or carried another way."""

from datetime import date
from typing import Any

import pytest
from store_drawing import Tables, carried, empty_store, fill, gear, trip
from tarebook.analysis.weigh_up.weighing import weigh_up
from tarebook.tripdata.errors import QuestionError
from test_weigh_up import START, TODAY, of, rows_of


@pytest.fixture(scope="module")
def connection() -> Any:
    with empty_store() as made:
        yield made


TWO_BAGS: Tables = {
    "gear": [
        gear("sock", weight_mg=10_000),
        gear("sack", "bags", 200_000, name="Left bag"),
        gear("cord", "other", 5_000),
        gear("old", "other", 7_000, retired_on=date(2019, 1, 1)),
    ],
    "trip": [trip("t", START, 1)],
    "carried": [
        carried("t", "sock", bag="Left bag"),
        carried("t", "sock", bag="right bag", quantity=2, carried_as="worn"),
        carried("t", "sack"),
        carried("t", "cord", bag="LEFT bag"),
    ],
}


def test_an_item_in_two_bags_is_one_item_in_each(connection: Any) -> None:
    fill(connection, TWO_BAGS)
    rows = rows_of(connection, trip="t")
    sock = of(rows, "item", "sock")
    assert (sock["base_g"], sock["worn_g"], sock["carried_g"], sock["items"]) == (10, 20, 30, 1)
    # Of the spellings of a bag the first by the alphabet: capitals come first.
    assert of(rows, "bag", "LEFT bag")["carried_g"] == 15
    assert of(rows, "bag", "right bag")["carried_g"] == 20
    assert of(rows, "bag", "")["carried_g"] == 200


def test_a_bag_that_is_a_thing_goes_alone(connection: Any) -> None:
    fill(connection, TWO_BAGS)
    rows = rows_of(connection, trip="t", without="left bag")
    assert not [r for r in rows if (r["group"], r["name"]) == ("item", "sack")]
    assert of(rows, "bag", "LEFT bag")["carried_g"] == 15
    weighed = weigh_up(connection, "t", without="left bag; right bag", today=TODAY)
    assert {(row.item, row.bag) for row in weighed.left_out} == {
        ("sack", None),
        ("sock", "right bag"),
    }
    assert weighed.remarks == (
        "“left bag” is taken as the thing of that name; what else is of the bag of that name still "
        "counts. bag:left bag leaves it out.",
    )


BOAT = {
    "gear": [
        gear("boat", "boat", 3_000_000, kit="Boat", name="Boat"),
        gear("paddle", "boat", 800_000, kit="boat"),
        gear("pegs", "shelter", 90_000),
    ]
}


@pytest.mark.parametrize(
    ("name", "left"),
    [
        ("boat", {"paddle", "pegs"}),
        ("item:Boat", {"paddle", "pegs"}),
        ("kit:boat", {"pegs"}),
        ("System: boat", {"pegs"}),
    ],
)
def test_a_name_can_say_what_it_is_the_name_of(connection: Any, name: str, left: set[str]) -> None:
    fill(connection, BOAT)
    weighed = weigh_up(connection, "", without=name, today=TODAY)
    assert {row.item for row in weighed.rows} == left
    told = (
        "“boat” is taken as the thing of that name; what else is of the kit and system of that "
        "name still counts. kit:boat or system:boat leaves it out.",
    )
    assert weighed.remarks == (told if name == "boat" else ())


def test_what_is_carried_otherwise_names_a_kit_as_well(connection: Any) -> None:
    fill(connection, BOAT)
    one = weigh_up(connection, "", as_carried="boat=vehicle", today=TODAY)
    assert {row.item for row in one.rows if row.carried_as == "vehicle"} == {"boat"}
    assert one.remarks[0].endswith("kit:boat or system:boat names it: kit:boat=vehicle.")
    kit = weigh_up(connection, "", as_carried="kit:boat=vehicle", today=TODAY)
    assert {row.item for row in kit.rows if row.carried_as == "vehicle"} == {"boat", "paddle"}
    assert kit.remarks == ()


def test_every_unknown_name_is_told_at_once(connection: Any) -> None:
    fill(connection, BOAT)
    with pytest.raises(QuestionError) as told:
        weigh_up(connection, "", without="padle; kit:boot; zzz; pegs", today=TODAY)
    assert str(told.value) == (
        'without: expected an item, kit, system or bag of this logbook, got "padle" (did you mean '
        '"Paddle"?), "kit:boot" (did you mean "kit:boat"?) and "zzz"'
    )
    with pytest.raises(QuestionError, match=r'got "zzz"; `tarebook table weigh_up` lists them$'):
        weigh_up(connection, "", without="zzz", today=TODAY)


def test_the_boats_way_is_not_that_of_the_vest_that_is_worn(connection: Any) -> None:
    things = [
        gear("canoe", "boat", 20_000_000, carried_as="vehicle"),
        gear("life-vest", "boat", 600_000, name="Life vest", carried_as="worn"),
        gear("aid", "boat", 700_000, name="Buoyancy aid"),
    ]
    fill(connection, {"gear": things})
    packed = weigh_up(connection, "", as_carried="boat=base", today=TODAY)
    assert {row.item: row.carried_as for row in packed.rows} == {
        "canoe": "base",
        "life-vest": "worn",
        "aid": "base",
    }
    assert packed.base.mg == 20_700_000
    assert packed.remarks == (
        "“Buoyancy aid” is worn on the water, so it counts as before; its own name counts it "
        "otherwise: item:aid=base.",
        "“Life vest” is worn on the water, so it counts as before; its own name counts it "
        "otherwise: item:life-vest=base.",
    )
    named = weigh_up(connection, "", as_carried="life-vest=base", today=TODAY)
    assert named.base.mg == 1_300_000
    assert named.remarks == ()


NO_BOAT = (
    "Nothing in gear.csv is called “boat”, so all else is answered: write boat in the column "
    "system, in the rows of what you mean."
)


@pytest.mark.parametrize(
    ("options", "remarks"),
    [
        ({"without": "boat"}, [NO_BOAT]),
        ({"without": "boat", "as_carried": "Boat=base"}, [NO_BOAT]),
        (
            {"without": "boat; bike"},
            [NO_BOAT.replace("“boat”", "“boat” or “bike”").replace("boat in", "boat and bike in")],
        ),
        (
            {"as_carried": "boat=base"},
            ["Nothing on the list is called “boat”, so that it changes nothing."],
        ),
        ({"added": "boat"}, ["Nothing in gear.csv is called “boat”, so that it adds nothing."]),
        ({"added": "cord"}, ["“cord” adds nothing: what it names is on the list already."]),
        ({"added": "old"}, ["“Old” is given up; it counts because you asked for it."]),
        ({"added": "other"}, ["“other” adds nothing: what it names is on the list already."]),
        ({"without": "other", "added": "cord"}, []),
    ],
)
def test_what_a_wish_did_not_do_is_said(
    connection: Any, options: dict[str, str], remarks: list[str]
) -> None:
    fill(connection, TWO_BAGS)
    assert list(weigh_up(connection, "t", today=TODAY, **options).remarks) == remarks


def test_the_closer_name_counts_and_of_two_alike_the_last(connection: Any) -> None:
    fill(connection, TWO_BAGS)
    plain = weigh_up(connection, "t", without="other", added="cord", today=TODAY)
    assert "cord" in {row.item for row in plain.rows}
    ways = weigh_up(
        connection,
        "t",
        as_carried="sock = Worn; clothing=vehicle; cord=worn;cord=base",
        today=TODAY,
    )
    assert {(row.item, row.carried_as) for row in ways.rows} == {
        ("sock", "worn"),
        ("sack", "base"),
        ("cord", "base"),
    }


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"trip": "x"}, "trip: expected a trip of this logbook, got"),
        (
            {"with_": "sack;sok"},
            "with_: expected an item, kit, system or bag of this logbook, got ",
        ),
        (
            {"without": "clothing, left  bag,sock"},
            'without: separate names by ";", got "clothing, left bag,sock"; did you mean '
            '"clothing; left bag; sock"?',
        ),
        (
            {"without": "clothing, sok"},
            'without: separate names by ";", got "clothing, sok"; nothing is called "sok"; did you '
            'mean "Sock"?',
        ),
        ({"without": "zzz, sok"}, "without: expected an item, kit, system or bag of this "),
        ({"as_carried": "sock"}, "as_carried: expected a name, = and a way of carrying, e.g. "),
        ({"as_carried": "=base"}, "as_carried: expected a name, = and a way of carrying, e.g. "),
        (
            {"as_carried": "sock=wrn"},
            "as_carried: expected one of base, worn, consumable, vehicle ",
        ),
        ({"as_carried": "sok=worn"}, "as_carried: expected an item, kit, system or bag of this "),
    ],
)
def test_a_wish_that_cannot_be_read_is_refused(
    connection: Any, options: dict[str, str], message: str
) -> None:
    fill(connection, TWO_BAGS)
    with pytest.raises(QuestionError) as refused:
        rows_of(connection, **options)
    assert str(refused.value).startswith(message)
