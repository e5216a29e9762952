"""The lists of a trip to come: what to pack, what to do before, what may stay at home."""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from before_trip_reading import (
    ADVICE,
    START,
    THINGS,
    TODAY,
    like_history,
    lists_of,
    notices,
    of,
    past,
    plain,
    plan,
    points,
    read,
    sections_of,
    stays_rows,
    with_data,
)
from store_drawing import Tables, carried, empty_store, fill, gear, trip
from tarebook.analysis.ahead.results import MayBeMissing
from tarebook.analysis.display.cautions import LEAVING_CARE, LIST_CARE
from tarebook.analysis.tables import entry

PRACTICE = "Common practice: about 2.10 kg, seldom over 4.74 kg"
MAT = "Something to lie on | Nothing on the list is known to lie under you."


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def test_the_list_stands_by_place_with_the_bag_before_what_it_holds(store: Any) -> None:
    rows = [
        carried("next", "tarp", bag="sack"),
        carried("next", "mug", bag="SACK", quantity=3),
        carried("next", "sack"),
        carried("next", "quilt"),
        carried("next", "shirt"),
        carried("next", "bread", carried_by="Ann"),
    ]
    fill(store, {"gear": THINGS, "trip": [plan()], "carried": rows})
    assert lists_of(read(store).packing()) == {
        "Worn: 200 g": ["Shirt | 200 g"],
        "SACK: 1.97 kg with the bag itself": [
            "Sack | 800 g",
            "Tarp | 900 g",
            "Mug, 3 pieces | 270 g",
        ],
        "In no bag: 700 g": ["Quilt | 700 g"],
        "Carried by Ann": ["Bread | Maybe too little: 500 g on the list. " + PRACTICE],
        "Not on the list yet": [MAT],
    }


def test_what_is_in_no_bag_of_a_trip_that_took_place_says_so(store: Any) -> None:
    boat = gear("boat", "boat", 20_000_000, carried_as="vehicle")
    rows = [carried("gone", "boat"), carried("gone", "tarp", bag="Sack")]
    gone = past("gone", 40)
    fill(store, {"gear": [*THINGS, boat], "trip": [gone], "carried": rows})
    page = read(store, "gone")
    assert "On the boat, in no bag: 20.00 kg" in lists_of(page.packing())
    quilt, *_ = lists_of(page.packing())["Not on the list yet"]
    assert quilt.startswith("Quilt | 700 g. You own it, and nothing else on this list ")
    assert page.packing().answer == ("2 things are on its list.",)


def test_without_bags_the_list_stands_by_system(store: Any) -> None:
    rows = [carried("next", item) for item in ("tarp", "mug", "quilt", "shirt")]
    fill(store, {"gear": THINGS, "trip": [plan()], "carried": rows})
    assert list(lists_of(read(store).packing())) == [
        "Not on the list yet",
        "Worn: 200 g",
        "Shelter: 900 g",
        "Sleep: 700 g",
        "Cook: 90 g",
    ]


def test_without_a_list_like_trips_make_one(store: Any) -> None:
    fill(store, like_history())
    page = read(store)
    assert page.data is not None
    assert page.data.packing.source == "like"
    assert lists_of(page.packing()) == {
        "Sack: 700 g": ["Quilt | 700 g"],
        "In no bag: 900 g": ["Tarp | 900 g, in place of “Tent”", "Bread | " + PRACTICE],
    }
    answer = page.packing().answer
    assert answer[0] == (
        "Nothing is listed for this trip yet: this is what at least half of 3 trips nearest to it "
        "had along."
    )
    assert answer[-1].startswith("The command “tarebook new LOGBOOK --trip next” lays out a list ")
    assert LIST_CARE in (page.packing().caution or "")
    assert points(page)["What it weighs"].startswith(
        "There is no list yet. What 3 like trips mostly had along weighs 1.60 kg from the skin out"
    )
    assert "Forgotten?" not in points(page)
    assert page.forgotten().html() == ""


def test_of_what_came_along_in_turn_the_likeliest_is_on_the_drawn_list(store: Any) -> None:
    """Three shelters in turn, two lamps, and a stove that needs gas of either kind: one of each."""
    things = [
        *(gear(f"roof-{n}", "shelter", 900_000) for n in range(3)),
        *(gear(f"lamp-{n}", "light", 80_000) for n in range(2)),
        gear("stove", "cook", 90_000, needs=["gas-0", "gas-1", "gas-2"]),
        *(gear(f"gas-{n}", "cook", 200_000, carried_as="consumable") for n in range(3)),
        gear("flute", "leisure", 300_000),
    ]
    trips = [past(f"t{n}", 30 + 30 * n) for n in range(3)]
    rows = [
        carried(f"t{n}", item)
        for n in range(3)
        for item in (f"roof-{n}", f"lamp-{n % 2}", "stove", f"gas-{n}")
    ]
    rows.append(carried("t2", "flute"))
    fill(store, {"gear": things, "trip": [*trips, plan(start_on=TODAY)], "carried": rows})
    page = read(store)
    assert page.data is not None
    on_it = sorted(page.data.packing.items)
    assert [name[:4] for name in on_it] == ["gas-", "lamp", "roof", "stov"]


def test_given_up_borrowed_and_unweighed_things_on_the_list(store: Any) -> None:
    things = [
        *THINGS,
        gear("tent", "shelter", 1_500_000, retired_on=START),
        gear("canoe", "boat", 20_000_000, owner="Ann & Co", carried_as="vehicle"),
        gear("hat", "clothing", None),
    ]
    rows = [carried("next", item) for item in ("tent", "canoe", "hat")]
    fill(store, {"gear": things, "trip": [plan()], "carried": rows})
    page = read(store)
    lists = lists_of(page.packing())
    assert [line.partition(" | ")[0] for line in lists.pop("Not on the list yet")] == [
        "Tarp",
        "Quilt",
        "Bread",
    ]
    assert {line for group in lists.values() for line in group} == {
        "Tent | 1.50 kg, given up: take another",
        "Canoe | 20.00 kg, borrowed from Ann & Co",
        "Hat | not weighed",
    }
    ready = lists_of(page.before_leaving())
    assert ready["Replace: on the list, but given up"] == ["Tent | given up since"]
    assert ready["Weigh"] == ["Hat"]
    assert "at least 1.50 kg" in points(page)["What it weighs"]
    assert "“Hat” is not weighed, so sums read “at least”." in notices(page)


def test_chores_are_of_what_comes_along_and_of_trips_before_it(store: Any) -> None:
    lamp = gear("lamp", "light", 80_000, capacity_wh=4.0)
    kit = gear("kit", "first_aid", 100_000, insurance=True, checked_on=TODAY - timedelta(50))
    old = gear("beacon", "safety", 100_000, insurance=True, checked_on=START - timedelta(400))
    new = gear("whistle", "safety", 10_000, insurance=True, checked_on=START - timedelta(300))
    fail = {"trip": "t0", "day": TODAY - timedelta(30)}
    failures = [
        {**fail, "item": "tarp", "severity": "lost_use", "what": "torn"},
        {**fail, "item": "quilt", "severity": "impaired", "fixed_on": TODAY - timedelta(3)},
        {**fail, "item": "mug", "severity": "nuisance", "fixed_on": TODAY - timedelta(3)},
        {**fail, "item": "sack", "severity": "unsafe"},
        {"trip": "t1", "day": TODAY - timedelta(60), "item": "lamp", "severity": "impaired"}
        | {"fixed_on": TODAY - timedelta(50)},
    ]
    along = ("tarp", "quilt", "mug", "lamp", "kit", "beacon", "whistle", "bread")
    rows = [carried("next", item) for item in along]
    rows += [carried(t, i) for t in ("t0", "t1") for i in ("tarp", "quilt", "mug", "sack", "lamp")]
    rows += [carried("t0", "kit", used=1), carried("t0", "bread", brought_home_mg=0)]
    tables: Tables = {
        "gear": [*THINGS, lamp, kit, old, new],
        "trip": [past("t0", 31), past("t1", 61), plan()],
        "carried": rows,
        "failures": failures,
    }
    fill(store, tables)
    page = with_data(read(store), consumption=of())
    assert lists_of(page.before_leaving()) == {
        "Mend": ["Tarp | Torn. Cannot be used since 28 October 2026."],
        "Mended since it failed: try it at home first": [
            "Quilt | Worked badly on 28 October 2026."
        ],
        "Check and refill": ["Kit | opened on 29 October 2026, and not checked since"],
        "Look over, too: the last check will be a year old by then": ["Safety | “Beacon”"],
        "Charge": ["Lamp"],
        "Restock": ["Bread | used up"],
    }
    care = page.before_leaving().caution or ""
    assert "swollen, wet or damaged" in care
    assert "Do not use what failed in an unsafe way" in care
    # Asked as on a day before any of that, none of it is known.
    early = trip("early", TODAY - timedelta(70), 1)
    fill(
        store,
        tables
        | {"trip": [early, *tables["trip"]]}
        | {"carried": [*rows, *(carried("early", item) for item in along)]},
    )
    ready = lists_of(with_data(read(store, "early"), consumption=of()).before_leaving())
    assert set(ready) == {"Look over: no check within the last year", "Charge"}
    assert ready["Look over: no check within the last year"] == ["First aid | “Kit”"]


def test_what_may_be_missing_leads_the_page(store: Any) -> None:
    fill(store, {"gear": THINGS, "trip": [plan()], "carried": [carried("next", "tarp")]})
    missing = (
        MayBeMissing(1, "mat", "Mat", "like_trips", "9 of 9 like trips had it.", 0.98, 0.9, 2.6),
        MayBeMissing(2, None, "Spoon", "wished", "You wished for it twice.", None, None, None),
    )
    page = with_data(read(store), missing=missing)
    assert page.opening().points[0].answer == "You may have forgotten “Mat”: it is not on the list."
    wish = with_data(page, missing=missing[1:])
    assert points(wish)["Forgotten?"].startswith("Only “Spoon”, which you wished for and do not")
    assert page.opening().points[0].leads
    assert lists_of(page.forgotten()) == {
        "Pack it, or decide not to": [
            "Mat | 9 of 9 like trips had it.",
        ],
        "Wished for": ["Spoon | You wished for it twice."],
    }
    assert page.forgotten().caution == LIST_CARE


def test_what_is_to_do_is_counted_by_things_and_what_charges_is_not_all(store: Any) -> None:
    aid = [gear(f"aid{n}", "first_aid", 20_000, insurance=True) for n in range(3)]
    lamp = gear("lamp", "light", 80_000, capacity_wh=4.0)
    rows = [carried("next", row["item"]) for row in (*aid, lamp)]
    fill(store, {"gear": [*aid, lamp], "trip": [plan()], "carried": rows})
    page = read(store)
    assert sum(map(len, lists_of(page.before_leaving()).values())) == 2
    assert page.before_leaving().answer == (
        "There is something to do for 4 things of this list, in 2 boxes.",
    )
    assert points(page)["To do before leaving"].startswith("There is something to do for 4 things")
    assert page.before_leaving().notes == (
        "Only batteries whose capacity you noted are named: charge lights, phone and beacon, too.",
    )


def test_the_system_of_a_lone_thing_is_nothing_to_see_to(store: Any) -> None:
    kit = gear("kit", "first_aid", 20_000, insurance=True)
    lamp = gear("lamp", "light", 80_000, capacity_wh=4.0)
    rows = [carried("next", row["item"]) for row in (kit, lamp)]
    fill(store, {"gear": [kit, lamp], "trip": [plan()], "carried": rows})
    page = read(store)
    assert sum(map(len, lists_of(page.before_leaving()).values())) == 2
    assert page.before_leaving().answer == ("There is something to do for 2 things of this list.",)


def test_what_is_owned_and_on_no_list_is_named_quietly(store: Any) -> None:
    kits = [gear(f"kit{n}", "first_aid", 20_000) for n in range(7)]
    others = [
        gear("lamp", "light", 20_000),
        gear("cape", "rain", 20_000),
        gear("lent", "water", 20_000, owner="Ann"),
        gear("gone", "water", 20_000, retired_on=TODAY),
        gear("saw", "repair", 20_000),
    ]
    rows = [carried("next", "tarp"), carried("t", "cape"), carried("t", "tarp")]
    like = past("t", 160)
    fill(
        store,
        {"gear": [*THINGS, *others, kits[0]], "trip": [plan(), like], "carried": rows},
    )
    page = read(store)
    assert page.data is not None
    # The one kit and the one lamp are what no list is to lack: they are named as missing.
    assert {each.item for each in page.data.missing} >= {"kit0", "lamp"}
    assert page.data.unlisted == page.packing().notes == ()
    fill(store, {"gear": [*THINGS, *kits, *others], "trip": [plan(), like], "carried": rows})
    (note,) = read(store).packing().notes
    assert note.startswith("You own “Kit1”, ")
    assert note.endswith("“Kit6”, but neither this list nor a like trip’s has them.")
    fill(store, {"gear": THINGS, "trip": [plan(), like], "carried": rows[:1]})
    assert read(store).packing().notes == ()


def test_what_could_stay_and_is_for_weather_says_so_and_what_of_thatstays_rows(demo: Any) -> None:
    (umbrella,) = (row for row in stays_rows(read(demo)) if row["name"] == "Trekking umbrella")
    assert umbrella["meant"].endswith("stay")
    assert umbrella["meant"].startswith("meant for wet days; “")
    assert "“Trekking umbrella”" not in umbrella["meant"]


def test_each_thing_that_could_stay_has_the_word_that_lets_it_go(demo: Any) -> None:
    told = {row["name"]: row["meant"] for row in stays_rows(read(demo))}
    assert len(told) > 3
    assert all(told.values()), told
    assert told["Field guide to trees"] == "leisure"
    assert told["Folding saw"] == "you said that going without is an annoyance"


def test_what_stays_is_what_the_cull_lets_go_for_this_trip_and_has_no_box(demo: Any) -> None:
    name = "2027-04-old-weir-meadow"
    page = read(demo, name)
    cull = entry("cull").relation(demo, coming=name, today=TODAY)
    left = {row[cull.columns.index("name")] for row in cull.fetchall()}
    assert {row["name"] for row in stays_rows(page)} == left
    assert left
    section = page.stays_at_home()
    assert section.caution == LEAVING_CARE
    assert 'type="checkbox"' not in section.html()
    assert "ou would want one of them about once in" in section.answer[0]
    assert all(f"“{name}”" in section.answer[0] for name in left)
    rest = " ".join(
        each.text() for each in sections_of(page) if each.heading != section.heading
    ).replace(LEAVING_CARE, "")
    assert not ADVICE.search(rest)


def test_weights_of_bags_are_those_of_what_has_a_box(demo: Any) -> None:
    for name in ("2027-04-old-weir-meadow", "2027-05-larkspur-flat"):
        page = read(demo, name)
        assert page.data is not None
        assert page.data.home.items & page.data.packing.items
        assert (
            page.packing()
            .answer[0]
            .endswith("What could stay at home has no box, and no weight below counts it.")
        )
        heads = [head for head in lists_of(page.packing()) if ":" in head]
        for group, head in zip(page.data.packing.groups(), heads, strict=True):
            kept = [e for e in group.things if e.thing.item not in page.data.home.items]
            told = float(head.partition(": ")[2].split()[0])
            assert told == pytest.approx(sum(e.row_g or 0.0 for e in kept) / 1000, abs=0.00501)


def test_sides_are_compared_by_what_has_a_box_as_their_heads_are(demo: Any) -> None:
    page = read(demo, "2027-05-larkspur-flat")
    heads = dict(head.split(": ") for head in lists_of(page.packing()) if ":" in head)
    left, right = (float(heads[f"{side} pannier"].split()[0]) for side in ("Left", "Right"))
    assert (left, right) == (4.00, 5.03)
    care = plain(page.packing().caution or "")
    assert f"“Right pannier” holds {right - left:.2f} kg more than “Left pannier”." in care
    # What could stay at home counts against a limit of one's own, and that is said.
    data = page.data
    assert data is not None
    assert data.load.bags is not None
    limited = tuple(replace(load, limit_mg=2_000_000) for load in data.load.bags.loads)
    bags = replace(data.load.bags, loads=limited)
    limits = points(with_data(page, load=replace(data.load, bags=bags)))["Your limits"]
    told = re.findall(r"“([^”]+)” holds [\d.]+ k?g without its own weight( as listed)?", limits)
    stay = {e.thing.bag for e in data.packing.things if e.thing.item in data.home.items}
    assert {name.lower() for name, _ in told} & {(bag or "").lower() for bag in stay}
    for name, as_listed in told:
        assert bool(as_listed) is (name.lower() in {(bag or "").lower() for bag in stay})


def test_food_and_fuel_are_packed_by_what_the_trip_takes_not_by_the_list_alone(demo: Any) -> None:
    """The same amounts as at the head, where they are to be taken, and in the list of chores."""
    page = read(demo, "2027-05-larkspur-flat")
    lines = [line for group in lists_of(page.packing()).values() for line in group]
    (food,) = [line for line in lines if line.startswith("Food |")]
    (gas,) = [line for line in lines if line.startswith("Gas cartridge |")]
    more = lists_of(page.before_leaving())["Take more than the list has"]
    assert food == (
        "Food | 2.48 kg on the list; with the rest of the food 2.60 kg, and 2.69 kg is enough on "
        "nine such trips in ten"
    )
    assert more[0].endswith("2.69 kg is enough on nine such trips in ten; the list has 2.60 kg")
    assert "Take 2.69 kg" in points(page)["How much food"]
    # A can that hardly ever does is no plenty, whatever it weighs.
    assert "hardly ever enough" in points(page)["How much fuel"]
    assert gas == (
        "Gas cartridge | Too little: 264 g on the list; 33 g of it can be burnt, and 70 g is "
        "enough on nine such trips in ten. Take a fuller one, or another"
    )
    assert more[1].endswith("; 33 g of what the list has can be burnt")
    # Where the list has enough, that is told as well.
    lines = [line for group in lists_of(read(demo).packing()).values() for line in group]
    (gas,) = [line for line in lines if line.startswith("Gas cartridge |")]
    assert gas.startswith("Gas cartridge | 225 g on the list; ")
    assert gas.endswith(" g of it can be burnt, and 50 g is enough on nine such trips in ten")


def test_what_things_on_the_list_need_has_a_box_and_what_is_only_likely_has_none(
    store: Any,
) -> None:
    things = [
        *THINGS,
        gear("stove", "cook", 90_000, needs=["gas"]),
        gear("gas", "cook", 200_000, carried_as="consumable"),
        gear("flute", "leisure", 300_000),
        gear("book", "leisure", 200_000),
    ]
    trips = [past(f"t{n}", 30 + 30 * n) for n in range(6)]
    along = ("tarp", "quilt", "stove", "gas", "flute", "book")
    rows = [carried(t["trip"], item) for t in trips for item in along]
    rows += [carried("next", item) for item in ("tarp", "quilt", "stove", "book")]
    fill(store, {"gear": things, "trip": [*trips, plan()], "carried": rows})
    page = read(store)
    assert page.data is not None
    assert {"gas", "flute"} <= {each.item for each in page.data.missing}
    lists = lists_of(page.packing())
    lines = lists.pop("Not on the list yet")
    (gas,) = [line for line in lines if line.startswith("Gas | ")]
    assert "“Stove” needs it" in gas
    assert "Flute" not in " ".join(lines)
    assert sorted(line.partition(" | ")[0] for group in lists.values() for line in group) == [
        "Book",
        "Quilt",
        "Stove",
        "Tarp",
    ]
    assert page.packing().html().count('type="checkbox"') == 4 + len(lines)
    # The list weighs what is on it.
    assert "1.89 kg" in points(page)["What it weighs"]


def test_a_list_with_nothing_to_lie_on_has_a_box_for_a_mat(store: Any) -> None:
    bag = gear("bag", "sleep", 900_000, rated_low_c=2.0)
    fill(store, {"gear": [bag], "trip": [plan()], "carried": [carried("next", "bag")]})
    page = read(store)
    assert page.data is not None
    assert [one.why for one in page.data.cold.lacking] == ["not_known"]
    assert lists_of(page.packing())["Not on the list yet"] == [
        "Something to lie on | Nothing on the list is known to lie under you."
    ]


@pytest.mark.parametrize(("right", "told"), [(1_110_000, False), (1_120_000, True)])
def test_two_sides_that_differ_are_told_by_name(store: Any, right: int, told: bool) -> None:
    """From a tenth of the heavier side on it is told, which limits nothing."""
    things = [gear("left", "cook", 1_000_000), gear("right", "cook", right)]
    rows = [
        carried("next", "left", bag="left side bag"),
        carried("next", "right", bag="Right side bag"),
    ]
    fill(store, {"gear": things, "trip": [plan(mode="bike")], "carried": rows})
    care = plain(read(store).packing().caution or "")
    apart = f"“Right side bag” holds {(right - 1_000_000) // 1000} g more than “Left side bag”."
    assert (apart in care) is told
    assert "both sides about even" in care


def test_sides_with_bags_that_are_weighed_are_compared_with_them(store: Any) -> None:
    things = [
        gear("left-bag", "bags", 800_000, name="Left bag"),
        gear("right-bag", "bags", 800_000, name="Right bag"),
        gear("pot", "cook", 1_000_000),
        gear("books", "leisure", 1_500_000),
    ]
    rows = [carried("next", "left-bag"), carried("next", "right-bag")]
    rows += [carried("next", "pot", bag="left bag"), carried("next", "books", bag="right bag")]
    fill(store, {"gear": things, "trip": [plan(mode="bike")], "carried": rows})
    page = read(store)
    heads = [head for head in lists_of(page.packing()) if "bag" in head]
    assert heads == [
        "Left bag: 1.80 kg with the bag itself",
        "Right bag: 2.30 kg with the bag itself",
    ]
    assert "“Right bag” weighs 500 g more than “Left bag”." in plain(page.packing().caution or "")
