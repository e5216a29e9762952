"""The page of a trip to come: its list, its odds, its chores, and where there is little to say."""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
import young_logbooks as young
from store_drawing import Tables, carried, empty_store, fill, gear, trip
from tarebook.analysis.ahead.before_trip import BeforeTrip
from tarebook.analysis.ahead.needs import Consumption
from tarebook.analysis.ahead.page.page import BeforeTripPage, read_before_trip
from tarebook.analysis.ahead.results import BatteryAhead, MayBeMissing, Need
from tarebook.analysis.display.cautions import (
    AHEAD_CARE,
    BIKE_LOAD_CARE,
    FIRE_CARE,
    LEAVING_CARE,
    LIST_CARE,
    NEEDS_CARE,
    NEW_BATTERY_CARE,
    WEATHER_CARE,
)
from tarebook.analysis.display.checklist import Checklist
from tarebook.analysis.display.sections import Section
from tarebook.analysis.display.tables import Table
from tarebook.analysis.display.words import SPACE, Display
from tarebook.analysis.stats.estimate import Estimate
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.tables import entry
from tarebook.analysis.weigh_up.weighing import weigh_up
from tarebook.tripdata.errors import QuestionError

TODAY = date(2026, 11, 27)
START = date(2027, 6, 4)
SECTIONS = (
    "forgotten",
    "amounts",
    "battery",
    "cold",
    "before_leaving",
    "packing",
    "stays_at_home",
)
ADVICE = re.compile(r"\b(leave|left) (it |them )?(at home|behind)\b|\bdo without\b", re.IGNORECASE)


def of(*needs: Need) -> Consumption:
    return Consumption(needs, (), (("Bread", "Long one"),))


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store(keeps=True) as made:
        yield made


def read(store: Any, name: str = "", today: date = TODAY, **units: Any) -> BeforeTripPage:
    return read_before_trip(store, name, today=today, display=Display(**units))


def plain(text: str) -> str:
    return text.replace(SPACE, " ")


def points(page: BeforeTripPage) -> dict[str, str]:
    return {p.about: plain(f"{p.answer} {p.more}".strip()) for p in page.opening().points}


def notices(page: BeforeTripPage) -> list[str]:
    return [plain(notice) for notice in page.opening().notices]


def html_of(page: BeforeTripPage) -> str:
    return "".join(each.html() for each in (page.opening(), *sections_of(page)))


def sections_of(page: BeforeTripPage) -> list[Section]:
    return [getattr(page, name)() for name in SECTIONS]


def shown(page: BeforeTripPage) -> set[str]:
    return {name for name in SECTIONS if getattr(page, name)().html()}


def text_of(page: BeforeTripPage) -> str:
    text = re.sub(r"<(script|svg).*?</\1>|<[^>]*>", " ", html_of(page), flags=re.DOTALL)
    return plain(" ".join(text.split()))


def lists_of(section: Section) -> dict[str, list[str]]:
    """The tasks of its checklists by heading, each with what is told of it."""
    return {
        plain(each.heading): [plain(f"{t.what} | {t.about}".rstrip(" |")) for t in each.tasks]
        for each in section.more
        if isinstance(each, Checklist)
    }


def with_data(page: BeforeTripPage, **changed: Any) -> BeforeTripPage:
    """The page of the same trip with some of its data exchanged."""
    data: BeforeTrip | None = page.data
    assert data is not None
    return replace(page, data=replace(data, **changed))


def past(name: str, days_ago: int, nights: int = 2, **more: Any) -> dict[str, Any]:
    return trip(name, TODAY - timedelta(days_ago), nights, mode="foot", **more)


def plan(nights: int = 2, **more: Any) -> dict[str, Any]:
    return trip(
        "next", more.pop("start_on", START), nights, **{"plan": True, "mode": "foot"} | more
    )


THINGS = [
    gear("tarp", "shelter", 900_000),
    gear("quilt", "sleep", 700_000),
    gear("mug", "cook", 90_000),
    gear("shirt", "clothing", 200_000, carried_as="worn"),
    gear("sack", "bags", 800_000, name="Sack"),
    gear("bread", "food", 500_000, carried_as="consumable"),
]


def need(**changed: Any) -> Need:
    made = Need(
        system="food",
        item="bread",
        name="Bread",
        unit="g",
        days=3,
        amount=Estimate(1500.0, 1100.0, 2040.0, 0.9),
        take_for_9_in_10=1890.0,
        on_list=1640.0,
        chance_enough=0.7,
        trips=9,
        used_up=3,
        prior_share=0.05,
    )
    return replace(made, **changed)


def test_without_a_plan_one_line_says_what_to_do(store: Any) -> None:
    fill(store, {"gear": THINGS, "trip": [past("t", 40)]})
    page = read(store)
    assert points(page) == {
        "No plan": "No planned trip lies ahead: give a coming trip its row in trip.csv, with plan "
        "= yes. Then tarebook new LOGBOOK --trip NAME lays out its list, from the latest of its "
        "kind. Meanwhile tarebook report weigh_up weighs what you own."
    }
    assert shown(page) == set()
    with pytest.raises(QuestionError, match='trip: expected a trip of this logbook, got "lake"'):
        read(store, "lake")


def test_the_next_plan_is_taken_and_another_by_its_name(store: Any) -> None:
    later = trip("later", START + timedelta(30), 1, plan=True)
    gone = trip("gone", TODAY - timedelta(9), 2, plan=True)
    fill(store, {"gear": THINGS, "trip": [later, plan(), gone]})
    assert read(store).opening().title == "Before “Next”"
    assert read(store, "later").opening().title == "Before “Later”"
    assert any("This plan’s dates are past." in line for line in notices(read(store, "gone")))


def test_the_list_weighs_what_the_weigh_up_says(store: Any) -> None:
    rows = [
        carried("next", "tarp", quantity=2),
        carried("next", "quilt", bag="Sack"),
        carried("next", "mug", from_day=START + timedelta(1)),
        carried("next", "shirt"),
        carried("next", "bread", weight_mg=1_234_000, carried_by="Ann"),
    ]
    fill(store, {"gear": THINGS, "trip": [plan()], "carried": rows})
    page = read(store)
    weighed = weigh_up(store, "next", today=TODAY)
    assert page.data is not None
    assert page.data.load.base_g == weighed.base.grams == 2500.0
    assert page.data.load.skin_out_g == weighed.skin_out.grams == 2700.0
    assert points(page)["What it weighs"] == (
        "The list weighs 2.70 kg from the skin out, of which 2.50 kg is base weight, which walkers "
        "call ultralight."
    )
    ounces = read(store, mass="oz", temperature="f", distance="mi")
    assert "5.95 lb from the skin out" in points(ounces)["What it weighs"]
    assert not re.search(r"\d (g|kg|°C|km)\b", text_of(ounces))


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
        "Carried by Ann": ["Bread | 500 g"],
    }


def test_a_bag_over_its_owners_limit_is_named(store: Any) -> None:
    rows = [carried("next", "tarp", bag="Sack"), carried("next", "quilt", bag="Sack")]
    limit = {"key": "limits.sack", "value": "1500"}
    fill(store, {"gear": THINGS, "trip": [plan()], "carried": rows})
    store.execute("INSERT INTO settings VALUES (?, ?)", list(limit.values()))
    try:
        told = points(read(store))["Your limits"]
        assert told.startswith(
            "“Sack” holds 1.60 kg without its own weight, 100 g over your limit of 1.50 kg."
        )
        assert "3.5 oz over your limit of 3.31 lb." in points(read(store, mass="oz"))["Your limits"]
    finally:
        store.execute("DELETE FROM settings")


def test_what_is_in_no_bag_of_a_trip_that_took_place_says_so(store: Any) -> None:
    boat = gear("boat", "boat", 20_000_000, carried_as="vehicle")
    rows = [carried("gone", "boat"), carried("gone", "tarp", bag="Sack")]
    gone = past("gone", 40)
    fill(store, {"gear": [*THINGS, boat], "trip": [gone], "carried": rows})
    page = read(store, "gone")
    assert "On the bike or boat, in no bag: 20.00 kg" in lists_of(page.packing())
    assert page.packing().answer[0] == "2 things are on the list, by its carried.csv."


def test_without_bags_the_list_stands_by_system(store: Any) -> None:
    rows = [carried("next", item) for item in ("tarp", "mug", "quilt", "shirt")]
    fill(store, {"gear": THINGS, "trip": [plan()], "carried": rows})
    assert list(lists_of(read(store).packing())) == [
        "Worn: 200 g",
        "Shelter: 900 g",
        "Sleep: 700 g",
        "Cook: 90 g",
    ]


def like_history() -> Tables:
    """Three trips alike: the tent gave way to the tarp, the mug came once, the quilt always."""
    things = [
        *THINGS[1:],
        gear("tent", "shelter", 1_500_000, retired_on=TODAY - timedelta(20)),
        gear("tarp", "shelter", 900_000, replaces=["tent"], bought_on=TODAY - timedelta(20)),
        gear("flute", "leisure", 300_000, retired_on=TODAY - timedelta(20)),
    ]
    trips = [past(f"t{n}", 30 + 30 * n) for n in range(3)]
    rows = [
        carried(f"t{n}", item, bag="Sack" if item == "quilt" else None, used=1)
        for n in range(3)
        for item in ("tent", "quilt", "flute")
    ]
    rows += [carried("t2", "mug"), carried("t0", "bread", weight_mg=2_000_000)]
    rows += [carried("t1", "bread", weight_mg=1_000_000)]
    return {"gear": things, "trip": [*trips, plan(start_on=TODAY)]} | {"carried": rows}


def test_without_a_list_like_trips_make_one(store: Any) -> None:
    fill(store, like_history())
    page = read(store)
    assert page.data is not None
    assert page.data.packing.source == "like"
    assert lists_of(page.packing()) == {
        "Sack: 700 g": ["Quilt | 700 g"],
        "In no bag: 900 g": ["Tarp | 900 g, in place of “Tent”", "Bread"],
    }
    answer = page.packing().answer
    assert answer[0] == (
        "Nothing is listed for this trip yet: this is what at least half of 3 like trips had along."
    )
    assert answer[-1].startswith("For a list of its own run tarebook new LOGBOOK --trip next,")
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


def test_without_a_list_or_a_like_trip_everything_owned_is_weighed_and_checked(store: Any) -> None:
    aid = gear("plaster", "first_aid", 20_000, insurance=True)
    lent = gear("lent", "cook", 999_000, owner="Ann")
    fill(store, {"gear": [*THINGS, aid, lent], "trip": [plan()]})
    page = read(store)
    assert points(page)["What it weighs"] == (
        "There is no list yet. All that you own weighs 3.21 kg from the skin out, of which 2.51 kg "
        "is base weight."
    )
    listed = [line for lines in lists_of(page.packing()).values() for line in lines]
    assert len(listed) == len(THINGS) + 1
    assert not any(line.startswith("Lent") for line in listed)
    assert lists_of(page.before_leaving())["Look over: no check within the last year"] == [
        "First aid | “Plaster”"
    ]
    assert WEATHER_CARE in (page.packing().caution or "")
    assert any("your habits say nothing of it" in line for line in notices(page))
    assert {"forgotten", "battery", "stays_at_home"} & shown(page) == set()


def test_an_empty_logbook_with_a_plan(store: Any) -> None:
    fill(store, {"trip": [plan()]})
    page = read(store)
    assert points(page)["What it weighs"] == "There is nothing to weigh."
    assert "packing" not in shown(page)


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
    lines = [line for group in lists_of(page.packing()).values() for line in group]
    assert set(lines) == {
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
        "Failed last time, mended since: try it first": [
            "Quilt | Works badly since 28 October 2026."
        ],
        "Check and refill": ["Kit | opened since its last check"],
        "Look over: no check within the last year": ["Safety | “Beacon”"],
        "Charge": ["Lamp"],
        "Buy or fill": ["Bread | used up last time"],
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


def test_nothing_from_after_its_start_changes_a_trip_that_took_place(store: Any) -> None:
    tables = like_history()
    asked = trip("asked", TODAY - timedelta(10), 2, mode="foot")
    before = tables | {"trip": [*tables["trip"][:3], asked]}
    fill(store, before)
    known = text_of(read(store, "asked"))
    assert "It is asked here as on 17 November 2026: nothing from after that day counts." in known
    later = past("later", 5, 1)
    fill(
        store,
        before
        | {
            "gear": [{**row, "checked_on": None} for row in before["gear"]],
            "trip": [*before["trip"], later],
            "carried": [*before["carried"], carried("later", "mug"), carried("later", "tarp")],
            "failures": [
                {"trip": "later", "item": "tarp", "day": TODAY - timedelta(4), "severity": "unsafe"}
            ],
            "weighings": [{"item": "tarp", "weighed_on": TODAY - timedelta(4), "weight_mg": 1}],
        },
    )
    assert text_of(read(store, "asked")) == known


def test_weather_is_named_with_its_odds(store: Any) -> None:
    things = [
        gear("cape", "rain", 200_000, meant_for=["wet"]),
        gear("net", "other", 30_000, meant_for=["bugs", "wet"]),
        gear("down", "clothing", 300_000, meant_for=["cold"], cold_below_c=3.0),
        gear("mug", "cook", 90_000),
    ]
    trips = [trip(f"t{n}", START - timedelta(365 + 9 * n), 0, mode="foot") for n in range(4)]
    winter = trip("winter", START - timedelta(180), 0, mode="foot")
    weather = [
        {"trip": row["trip"], "day": row["start_on"], "wet": row["trip"] in ("t0", "t1", "t2")}
        for row in (*trips, winter)
    ]
    fill(
        store,
        {
            "gear": things,
            "trip": [*trips, winter, plan(nights=0)],
            "weather": weather,
            "carried": [carried("next", row["item"]) for row in things],
        },
    )
    table = read(store).packing().more[-1]
    assert isinstance(table, Table)
    told = [{key: plain(value) for key, value in row.items()} for row in table.rows]
    # (3 + 1/2) of (4 + 1) trips, Jeffreys' prior; the winter's tell nothing of a day in summer, and
    # days nothing of nights. Rain gear is on the list whatever the odds, and is not named.
    wet = "about 7 in 10: so it was on 3 of 4 like trips"
    assert told == [
        {
            "for": "bugs or wet days",
            "odds": f"not known; {wet}",
            "things": "“Net”",
        },
        {"for": "nights under 3 °C", "odds": "not known", "things": "“Down”"},
    ]


def test_amounts_are_told_with_what_they_rest_on(store: Any) -> None:
    rows = [carried("next", "bread", weight_mg=1_640_000)]
    fill(store, {"gear": THINGS, "trip": [plan()], "carried": rows})
    gas = need(system="cook", item="gas", name="Gas, small", days=2, take_for_9_in_10=90.0)
    gas = replace(gas, amount=Estimate(60.0, 35.0, 110.0), on_list=None, chance_enough=None)
    page = with_data(read(store), consumption=of(need(), replace(gas, trips=0, prior_share=1.0)))
    assert points(page)["How much food"] == (
        "Take 1.89 kg for nine such trips in ten (630 g a day). The list has 1.64 kg, which is "
        "enough on about 7 such trips in 10."
    )
    assert points(page)["How much fuel"] == (
        "Common practice: about 60 g; 90 g does for nine in ten. Your own record will narrow this."
    )
    section = page.amounts()
    assert len(section.answer) == 1
    assert text_of(page).count("reserve") == 1
    for care in (NEEDS_CARE, FIRE_CARE):
        assert care in (section.caution or "")
    assert section.figure is not None
    assert section.table is not None
    assert [plain(str(v)) for v in section.table.rows[0].values()] == [
        "Bread",
        "1.89 kg",
        "1.64 kg",
        "on about 7 in 10",
        "1.10 to 2.04 kg",
        "9",
        "3",
    ]
    assert section.table.rows[1]["trips"] == 0
    assert section.table.columns[4].header == "Very likely range"
    assert any("Common practice alone speaks for “Gas, small”" in note for note in section.notes)
    assert any("More of “Bread” came home from “Long one”" in note for note in section.notes)
    buy = lists_of(page.before_leaving())["Buy or fill"]
    assert buy == ["Bread | 1.89 kg does for nine trips in ten; the list has 1.64 kg"]
    enough = with_data(page, consumption=of(need(on_list=2000.0, chance_enough=0.97)))
    assert "Buy or fill" not in lists_of(enough.before_leaving())
    assert points(enough)["How much food"] == (
        "The list has 2.00 kg, which is almost certainly enough (about 97 in 100 such trips). Take "
        "1.89 kg for nine such trips in ten (630 g a day)."
    )
    bare = with_data(page, consumption=of(need(trips=0, prior_share=1.0)))
    assert points(bare)["How much food"] == (
        "Common practice: about 1.50 kg; 1.89 kg does for nine in ten. Your own record will narrow "
        "this. The list has 1.64 kg."
    )
    assert bare.amounts().answer[0].startswith("Common practice for “Bread”: about")
    table = bare.amounts().table
    assert table is not None
    assert (table.rows[0]["trips"], table.rows[0]["enough"]) == (0, None)
    assert "trips" in [column.key for column in table.columns]
    assert "Buy or fill" not in lists_of(bare.before_leaving())
    hardly = with_data(page, consumption=of(need(on_list=100.0, chance_enough=0.001)))
    assert "which is hardly ever enough" in points(hardly)["How much food"]


def test_a_chance_at_nine_in_ten_needs_no_chore_and_fuel_is_told_with_its_can(store: Any) -> None:
    gas = gear("gas", "cook", 225_000, carried_as="consumable")
    rows = [carried("next", "bread"), carried("next", "gas", weight_mg=225_000)]
    fill(store, {"gear": [*THINGS, gas], "trip": [plan()], "carried": rows})
    burnt = need(system="cook", item="gas", name="Gas", take_for_9_in_10=50.0, on_list=63.0)
    near = need(on_list=1885.0, chance_enough=0.902)
    page = with_data(read(store), consumption=of(near, replace(burnt, chance_enough=0.997, days=2)))
    assert "Buy or fill" not in lists_of(page.before_leaving())
    assert points(page)["How much fuel"] == (
        "The list has 225 g, can or bottle included; 63 g of it can be burnt, which is almost "
        "certainly enough (more than 99 in 100 such trips). Take 50 g for nine such trips in ten "
        "(25 g a night)."
    )
    table = page.amounts().table
    assert table is not None
    assert table.rows[1]["enough"] == "on more than 99 in 100"
    # Of a system's things together not all is fuel.
    whole = with_data(page, consumption=of(replace(burnt, item=None, chance_enough=0.8)))
    assert "63 g of it can be used, which is enough" in points(whole)["How much fuel"]


def test_the_picture_stays_in_its_bounds(store: Any) -> None:
    fill(store, {"gear": THINGS, "trip": [plan()], "carried": [carried("next", "bread")]})
    page = with_data(read(store), consumption=of(need(on_list=90_000.0)))
    figure = page.amounts().figure
    assert figure is not None
    from tarebook.analysis.display.theme import LAYOUTS

    for layout in LAYOUTS:
        spec = figure.spec(layout, validate=True)
        at = [
            row["at"]
            for rows in spec.get("datasets", {}).values()
            for row in rows
            if row.get("at") is not None
        ]
        assert at
        assert max(at) == 200


def test_a_batterys_case(store: Any) -> None:
    motor = gear("bike", "bike", 24_000_000, carried_as="vehicle", capacity_wh=600.0)
    spare = gear("spare", "bike", 3_000_000, name="Spare, big", carried_as="vehicle")
    fill(
        store,
        {
            "gear": [motor, spare],
            "trip": [plan(mode="ebike")],
            "carried": [carried("next", "bike")],
        },
    )
    wh = need(system="bike", item="bike", name="Bike", unit="Wh", take_for_9_in_10=2260.0)
    battery = BatteryAhead(
        bike="bike",
        name="Bike",
        need=replace(wh, amount=Estimate(1876.0, 1500.0, 2400.0), on_list=600.0),
        built_in_wh=600.0,
        spares=("spare",),
        reach_km=64.74,
        p_each_day=0.62,
        p_whole_trip=0.0001,
        p_spare_needed=0.4,
        spare_g=3000.0,
        carrying_wh=62.0,
        logged_days=15,
    )
    page = with_data(read(store), batteries=(battery,), consumption=of())
    section = page.battery()
    assert [plain(line) for line in section.answer] == [
        "On nine such trips in ten the 600 Wh reach 64 km or more.",
        "This trip takes about 1880 Wh, and no more than 2260 Wh on nine such trips in ten.",
        "Charged every night, the battery of “Bike” lasts every day on about 6 such trips in 10. "
        "Without charging it almost never lasts the whole trip.",
        "On the other such trips some day takes more, and “Spare, big” is used.",
        "“Spare, big” weighs 3.00 kg and takes 62 Wh to carry over the way; the heavier bike is "
        "slower to steer and to stop.",
    ]
    assert section.caution is not None
    assert section.caution.endswith(NEW_BATTERY_CARE)
    assert "Cold, wind and age take more" in section.caution
    assert BIKE_LOAD_CARE in (page.packing().caution or "")
    assert points(page)["Battery"] == (
        "Charged every night, the battery of “Bike” lasts every day on about 6 such trips in 10. "
        "Without charging it almost never lasts the whole trip. 2260 Wh for nine such trips in "
        "ten; 600 Wh on the list."
    )
    # Of the two chances that sum to one only one is told.
    assert text_of(page).count("about 6 such trips in 10") == 2
    assert "about 1 in 2" not in text_of(page)
    assert page.data is not None
    things = page.data.packing.things
    both = replace(things[0], thing=replace(things[0].thing, item="spare"))
    along = with_data(page, packing=replace(page.data.packing, things=(*things, both)))
    assert points(along)["Battery"].endswith("600 Wh on the list, the spare among it.")
    new = with_data(page, batteries=(replace(battery, logged_days=0),))
    assert "A formula: about 1880 Wh; 2260 Wh does for nine in ten" in points(new)["Battery"]
    assert not ADVICE.search(" ".join(section.answer))
    miles = replace(page, display=Display("oz", "f", "mi")).battery()
    assert "40 mi or more" in plain(" ".join(miles.answer))


def test_distances_without_a_way_of_travelling_leave_the_battery_open_and_say_why(
    store: Any,
) -> None:
    motor = gear("bike", "bike", 24_000_000, carried_as="vehicle", capacity_wh=600.0)
    way = [{"trip": "next", "day": START, "distance_mm": 40_000_000, "ascent_mm": 300_000}]
    tables = {
        "gear": [motor],
        "trip": [plan(mode="mixed")],
        "carried": [carried("next", "bike")],
    }
    why = "Which of its distances are by e-bike is not noted"
    fill(store, {**tables, "distances": way})
    section = read(store).battery()
    assert "This trip takes" not in plain(section.text())
    assert why in section.notes[0]
    fill(store, {**tables, "distances": [{**way[0], "mode": "ebike"}]})
    section = read(store).battery()
    assert "This trip takes" not in plain(section.text())
    assert "Of some of its days no distance is known" in section.notes[0]
    fill(
        store,
        {**tables, "trip": [plan(0, mode="mixed")], "distances": [{**way[0], "mode": "ebike"}]},
    )
    section = read(store).battery()
    assert "This trip takes" in plain(section.text())
    assert why not in section.notes[0]
    fill(store, tables)
    assert "No distances are known" in read(store).battery().notes[0]


def test_what_may_be_missing_leads_the_page(store: Any) -> None:
    fill(store, {"gear": THINGS, "trip": [plan()], "carried": [carried("next", "tarp")]})
    missing = (
        MayBeMissing(1, "mat", "Mat", "like_trips", "9 of 9 like trips had it.", 0.98, 0.9, 2.6),
        MayBeMissing(2, None, "Spoon", "wished", "You wished for it twice.", None, None, None),
    )
    page = with_data(read(store), missing=missing)
    assert page.opening().points[0].answer == ("“Mat” is not on the list, and may be missed.")
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
        "There are 4 things to see to before you leave, in 2 boxes.",
    )
    assert points(page)["Before leaving"].startswith("There are 4 things to see to")
    assert page.before_leaving().notes == (
        "To charge, only what has capacity_wh in gear.csv is named: charge lights, phone and "
        "beacon, too.",
    )


def test_cautions_stand_where_no_amount_can_be_told(store: Any) -> None:
    bottle, stove = gear("bottle", "water", 50_000), gear("stove", "cook", 90_000)
    for things, care in (([bottle], NEEDS_CARE), ([stove], f"{NEEDS_CARE} {FIRE_CARE}")):
        rows = [carried("next", row["item"]) for row in things]
        fill(store, {"gear": things, "trip": [plan()], "carried": rows})
        section = read(store).amounts()
        assert section.caution == care
        assert section.answer[0].startswith("How much food and fuel it takes cannot be told: too")
    tarp = THINGS[0]
    fill(store, {"gear": [tarp], "trip": [plan()], "carried": [carried("next", "tarp")]})
    assert "amounts" not in shown(read(store))


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


def test_what_could_stay_and_is_for_weather_says_so_and_what_of_that_stays(demo: Any) -> None:
    (umbrella,) = (row for row in _stays(read(demo)) if row["name"] == "Trekking umbrella")
    assert umbrella["meant"].endswith("stay")
    assert umbrella["meant"].startswith("meant for wet days; “")
    assert "“Trekking umbrella”" not in umbrella["meant"]


@pytest.mark.parametrize("trips", [0, 3, 12])
def test_the_first_year_has_a_modest_page(tmp_path: Path, trips: int) -> None:
    things = [*young.CAMP, *young.KEEPS_ALIVE, *young.DEAD_WEIGHT]
    ahead = {"start_on": "2027-06-11", "end_on": "2027-06-13"}
    path = young.write(tmp_path, things, young.summer(trips), plan=ahead)
    with open_store(path) as store:
        page = read(store)
        text = text_of(page)
    assert "packing" in shown(page)
    assert "What it weighs" in points(page)
    assert " nan " not in text
    assert " None " not in text
    for section in sections_of(page):
        if section.figure is not None:
            assert section.table is not None
            assert section.table.rows
    left = {row["name"] for row in _stays(page)}
    assert left <= {name.replace("-", " ").capitalize() for name, *_ in young.DEAD_WEIGHT} | {
        name for name, *_ in young.DEAD_WEIGHT
    }


def _stays(page: BeforeTripPage) -> tuple[Any, ...]:
    table = page.stays_at_home().table
    return () if table is None else table.rows


def test_what_stays_is_what_the_cull_lets_go_for_this_trip_and_has_no_box(demo: Any) -> None:
    name = "2027-04-old-weir-meadow"
    page = read(demo, name)
    cull = entry("cull").relation(demo, coming=name, today=TODAY)
    left = {row[cull.columns.index("name")] for row in cull.fetchall()}
    assert {row["name"] for row in _stays(page)} == left
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


def test_the_demos_plan_answers_everything(demo: Any) -> None:
    page = read(demo)
    assert page.opening().title == "Before “First gravel of spring”"
    assert shown(page) >= {"cold", "before_leaving", "packing", "stays_at_home"}
    assert AHEAD_CARE in (page.cold().caution or "")
    _cold_is_told_by_the_colder_figure(page)
    boxes = page.packing().html().count('type="checkbox"')
    assert page.data is not None
    # Of so many things each bag is opened by itself; what is broken is in sight at once.
    folds = [each.folds for each in page.packing().more if isinstance(each, Checklist)]
    assert folds
    assert all(folds)
    chores = {c.heading: c.folds for c in page.before_leaving().more if isinstance(c, Checklist)}
    assert chores["Look over: no check within the last year"]
    assert not chores["Mend"]
    # What could stay at home is named without a box.
    assert page.packing().html().count("boxless") == len(page.data.home.items) == 6
    assert boxes == len(page.data.packing.things) - 6 > 100


def _cold_is_told_by_the_colder_figure(page: BeforeTripPage) -> None:
    """Camps were colder than the normals, and the set on the list lacks its mat: no chance."""
    assert points(page)["Will you be cold?"] == (
        "No mat is on the list. So no chance is given; with a sound mat it would be about 1 in 6."
    )
    section = page.cold()
    (told,) = map(plain, section.answer)
    assert told.startswith("No mat comes along: “Air mat” was along on 16 of the 16 nights")
    assert "So no chance is given; with a sound mat it would be about 1 in 6. Usual" in told
    assert plain(section.notes[0]).startswith(
        "Your camps were 2.0 °C colder than such normals on average, on "
    )
    assert plain(section.notes[1]) == (
        "Where a limit rests on a rating, your nights in other sets shift it: that of “Winter "
        "sleeping bag” from −2 °C to 3 °C."
    )
    assert section.table is not None
    assert "Limit" in [column.header for column in section.table.columns]
    bare = [row for row in section.table.rows if row["on_list"]]
    assert [(row["any"], row["range"]) for row in bare] == [("no mat: not told", None)]
    assert all("told" not in row["any"] for row in section.table.rows if not row["on_list"])
    weather = page.packing().more[-1]
    assert isinstance(weather, Table)
    odds = [row["odds"] for row in weather.rows if "climate normals" in row["odds"]]
    assert odds
    assert all("without how much colder your camps were" in each for each in odds)


def test_a_year_long_plan_without_normals_and_one_of_a_day(store: Any) -> None:
    bag = gear("bag", "sleep", 900_000, rated_low_c=0.0, rated_as="limit")
    rows = [carried("next", "bag")]
    fill(store, {"gear": [bag], "trip": [plan(nights=400)], "carried": rows})
    page = read(store)
    assert page.opening().lines == ("4 June 2027 – 8 July 2028 · 400 nights · on foot",)
    assert any(
        "no climate normals serve the place" in line or "place" in line for line in notices(page)
    )
    assert "Limit (°C)" in text_of(page)
    assert "Your limit in it" not in text_of(page)
    assert len(text_of(page)) < 12_000
    fill(store, {"gear": [bag], "trip": [plan(nights=0)], "carried": rows})
    day_out = read(store)
    assert "cold" not in shown(day_out)
    assert "Will you be cold?" not in points(day_out)
    assert "no nights" in day_out.opening().lines[0]


def test_names_that_would_be_markup_stay_text(store: Any) -> None:
    nasty = '<img src=x onerror="alert(1)">'
    things = [
        gear("bad", "clothing", 100_000, name=nasty, meant_for=["wet"], kit=nasty),
        gear("older", "clothing", 100_000, name=f"{nasty}2", retired_on=START),
    ]
    rows = [
        carried("next", "bad", bag=nasty),
        carried("next", "older", carried_by="</script><script>alert(2)</script>"),
    ]
    fill(store, {"gear": things, "trip": [plan(title=f"{nasty} $x$")], "carried": rows})
    page = with_data(
        read(store),
        consumption=of(need(name=nasty)),
        missing=(MayBeMissing(1, "bad", nasty, "missed", nasty, 0.5, 0.5, 0.5),),
    )
    html = html_of(page)
    assert "<img" not in html
    assert "<script>alert" not in html
    assert "&lt;img src=x" in html


def test_the_page_is_the_same_twice(demo: Any) -> None:
    assert html_of(read(demo)) == html_of(read(demo))
