"""How much a trip to come takes: food, fuel, a battery, and the odds of its weather."""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from types import SimpleNamespace
from typing import Any

import pytest
from before_trip_reading import (
    ADVICE,
    START,
    THINGS,
    TODAY,
    lists_of,
    need,
    of,
    past,
    plain,
    plan,
    points,
    read,
    shown,
    text_of,
    with_data,
)
from hypothesis import given
from hypothesis import strategies as st
from store_drawing import carried, empty_store, fill, gear, trip
from tarebook.analysis.ahead.page import amount_words
from tarebook.analysis.ahead.page.amount_words import to_take
from tarebook.analysis.ahead.results import BatteryAhead
from tarebook.analysis.display.cautions import (
    BIKE_LOAD_CARE,
    FIRE_CARE,
    NEEDS_CARE,
    NEW_BATTERY_CARE,
)
from tarebook.analysis.display.tables import Table
from tarebook.analysis.display.words import SPACE, Display
from tarebook.analysis.stats.estimate import Estimate
from tarebook.analysis.tables import entry


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


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


@pytest.mark.parametrize("mass", ["g", "oz"])
@pytest.mark.parametrize("take_g", [70.0, 2050.0, 2690.0, 4000.0, 110.0])
@pytest.mark.parametrize("days", [2, 3, 4, 7])
def test_so_many_days_come_to_no_more_than_the_whole(mass: Any, take_g: float, days: int) -> None:
    ahead: Any = SimpleNamespace(days=days, nights=days - 1, people=1)
    told = to_take(need(take_for_9_in_10=take_g, days=days), ahead, Display(mass))
    whole, each = re.findall(r"([\d.]+)\s(g|kg|oz|lb)\b", told)
    grams = {"g": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237}
    held, one = (float(number) * grams[unit] for number, unit in (whole, each))
    assert 0 < one * days <= held + 1e-6


def test_amounts_are_told_with_what_they_rest_on(store: Any) -> None:
    rows = [carried("next", "bread", weight_mg=1_640_000)]
    fill(store, {"gear": THINGS, "trip": [plan()], "carried": rows})
    gas = need(system="cook", item="gas", name="Gas, small", days=2, take_for_9_in_10=90.0)
    gas = replace(gas, amount=Estimate(60.0, 35.0, 110.0), on_list=None, chance_enough=None)
    page = with_data(read(store), consumption=of(need(), replace(gas, trips=0, prior_share=1.0)))
    assert points(page)["How much food"] == (
        "Take 1.89 kg (630 g per day). That is enough on nine such trips in ten, going by 9 trips. "
        "The list has 1.64 kg, which is "
        "enough on about 70 such trips in 100."
    )
    assert points(page)["How much fuel"] == (
        "Common practice: about 60 g, seldom over 90 g. Your own record cannot tell yet: no trip "
        "says what was taken and what came home."
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
        "on about 70 in 100",
        "1.10 to 2.04 kg",
        "9",
        "3",
    ]
    assert section.table.rows[1]["trips"] == 0
    assert section.table.columns[4].header == "Very likely range"
    assert any("For “Gas, small” only common practice is known" in note for note in section.notes)
    assert any("More of “Bread” came home from “Long one”" in note for note in section.notes)
    buy = lists_of(page.before_leaving())["Take more than the list has"]
    assert buy == ["Bread | 1.89 kg is enough on nine such trips in ten; the list has 1.64 kg"]
    enough = with_data(page, consumption=of(need(on_list=2000.0, chance_enough=0.97)))
    assert "Take more than the list has" not in lists_of(enough.before_leaving())
    assert points(enough)["How much food"] == (
        "The list has 2.00 kg, which is almost certainly enough (about 97 in 100 such trips). 1.89 "
        "kg (630 g per day) is enough on nine such trips in ten, going by 9 trips."
    )
    bare = with_data(page, consumption=of(need(trips=0, prior_share=1.0)))
    assert points(bare)["How much food"] == (
        "Common practice: about 1.50 kg, seldom over 1.89 kg. Your own record cannot tell yet: no "
        "trip says what was taken and what came home. The list has 1.64 kg, which may be "
        "too little by common practice."
    )
    assert bare.amounts().answer[0].startswith("Common practice for “Bread”: about")
    table = bare.amounts().table
    assert table is not None
    assert (table.rows[0]["trips"], table.rows[0]["enough"]) == (0, None)
    assert "trips" in [column.key for column in table.columns]
    assert lists_of(bare.before_leaving())["Take more than the list has"] == [
        "Bread | maybe too little by common practice, without a trip of yours that tells: about "
        "1.50 kg, seldom over 1.89 kg; the list has 1.64 kg"
    ]
    hardly = with_data(page, consumption=of(need(on_list=100.0, chance_enough=0.001)))
    assert "which is hardly ever enough" in points(hardly)["How much food"]


def test_a_chance_at_nine_in_ten_needs_no_chore_and_fuel_is_told_with_its_can(store: Any) -> None:
    gas = gear("gas", "cook", 225_000, carried_as="consumable")
    rows = [carried("next", "bread"), carried("next", "gas", weight_mg=225_000)]
    fill(store, {"gear": [*THINGS, gas], "trip": [plan()], "carried": rows})
    burnt = need(system="cook", item="gas", name="Gas", take_for_9_in_10=50.0, on_list=63.0)
    near = need(on_list=1885.0, chance_enough=0.902)
    page = with_data(read(store), consumption=of(near, replace(burnt, chance_enough=0.997, days=2)))
    assert "Take more than the list has" not in lists_of(page.before_leaving())
    assert points(page)["How much fuel"] == (
        "The list has 225 g with can or bottle; 63 g can be burnt, which is almost certainly "
        "enough. 50 g (25 g per night) is enough on nine such trips in ten, going by 9 "
        "trips."
    )
    table = page.amounts().table
    assert table is not None
    assert table.rows[0]["enough"] == "on about 90 in 100"
    assert table.rows[1]["enough"] == "on more than 99 in 100"
    short = with_data(page, consumption=of(need(on_list=1640.0, chance_enough=0.867)))
    (row,) = short.amounts().table.rows
    assert row["enough"] == "on about 86 in 100"
    assert "enough on about 86 such trips in 100" in points(short)["How much food"]
    # Of a system's things together not all is fuel.
    whole = with_data(page, consumption=of(replace(burnt, item=None, chance_enough=0.8)))
    assert "63 g can be used, which is enough" in points(whole)["How much fuel"]


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
        # What to note is no note: that would be folded.
        "On nine such trips in ten the 600 Wh reach 64 km or more. No distances are known, so the "
        "chance that the battery lasts is not known: note them in the plan’s distances.csv.",
        "This trip takes about 1880 Wh, and no more than 2260 Wh on nine such trips in ten.",
        "Charged every night, the battery of “Bike” lasts every day on about 6 such trips in 10. "
        "Without charging it almost never lasts the whole trip.",
        "On the other such trips some day takes more, and “Spare, big” is used.",
        "“Spare, big” weighs 3.00 kg and takes 62 Wh to carry over the way.",
    ]
    assert section.caution is not None
    assert section.caution.endswith(NEW_BATTERY_CARE)
    assert "Cold, wind and age take more" in section.caution
    assert "With a spare battery the bike is slower to steer and to stop." in section.caution
    alone = with_data(page, batteries=(replace(battery, spares=()),)).battery()
    assert "spare" not in (alone.caution or "spare")
    assert BIKE_LOAD_CARE in (page.packing().caution or "")
    assert points(page)["Battery"] == (
        "Charged every night, the battery of “Bike” lasts every day on about 6 such trips in 10. "
        "Without charging it almost never lasts the whole trip. The whole trip takes 2260 Wh or "
        "less on nine such trips in ten; the list has 600 Wh."
    )
    # Of the two chances that sum to one only one is told.
    assert text_of(page).count("about 6 such trips in 10") == 2
    assert "about 1 in 2" not in text_of(page)
    assert page.data is not None
    things = page.data.packing.things
    both = replace(things[0], thing=replace(things[0].thing, item="spare"))
    along = with_data(page, packing=replace(page.data.packing, things=(*things, both)))
    assert points(along)["Battery"].endswith("the list has 600 Wh, the spare among it.")
    new = with_data(page, batteries=(replace(battery, logged_days=0),))
    assert "A formula: about 1880 Wh, seldom over 2260 Wh" in points(new)["Battery"]
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
    assert why in section.answer[0]
    fill(store, {**tables, "distances": [{**way[0], "mode": "ebike"}]})
    section = read(store).battery()
    assert "This trip takes" not in plain(section.text())
    assert "Of some of its days no distance is known" in section.answer[0]
    fill(
        store,
        {**tables, "trip": [plan(0, mode="mixed")], "distances": [{**way[0], "mode": "ebike"}]},
    )
    section = read(store).battery()
    assert "This trip takes" in plain(section.text())
    assert why not in section.answer[0]
    fill(store, tables)
    assert "No distances are known" in read(store).battery().answer[0]


def test_cautions_stand_where_no_amount_can_be_told(store: Any) -> None:
    bottle, stove = gear("bottle", "water", 50_000), gear("stove", "cook", 90_000)
    for things, care in (([bottle], NEEDS_CARE), ([stove], f"{NEEDS_CARE} {FIRE_CARE}")):
        rows = [carried("next", row["item"]) for row in things]
        fill(store, {"gear": things, "trip": [plan()], "carried": rows})
        section = read(store).amounts()
        assert section.caution == care
        assert section.answer[0].startswith("How much food and fuel it takes is not known: too")
    tarp = THINGS[0]
    fill(store, {"gear": [tarp], "trip": [plan()], "carried": [carried("next", "tarp")]})
    assert "amounts" not in shown(read(store))


def test_amounts_that_only_want_a_mark_say_so(store: Any) -> None:
    """What came home of bread is noted on ten trips, and no amount is worked out of it."""
    blank = [row | {"carried_as": "base"} for row in THINGS]
    trips = [past(f"t{n}", 30 + 30 * n) for n in range(10)]
    rows = [
        carried(f"t{n}", "bread", weight_mg=1_800_000, brought_home_mg=100_000) for n in range(10)
    ]
    rows += [carried("next", row["item"]) for row in blank]
    tables = {"trip": [*trips, plan()], "carried": rows}
    fill(store, {"gear": blank, **tables})
    page = read(store)
    assert page.amounts().answer == (
        "How much food and fuel it takes is not known. What came home of “Bread” is noted "
        "(brought_home), but no amount can be worked out of it: mark what is eaten or burnt as "
        "consumable in the column carried_as of gear.csv.",
    )
    frame = entry("trip_needs").frame(store, today=TODAY)
    assert frame.empty
    assert any("mark what is eaten or burnt as consumable" in r for r in frame.attrs["remarks"])
    silent = [row | {"brought_home_mg": None} for row in rows]
    fill(store, {"gear": blank, **tables, "carried": silent})
    assert (
        read(store)
        .amounts()
        .answer[0]
        .endswith("Mark what is eaten or burnt as consumable in the column carried_as.")
    )
    fill(store, {"gear": THINGS, **tables})
    told = read(store).amounts().text()
    assert "is not known" not in told
    assert "mark what" not in told


_GRAMS = {"g": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237}
_STEP_G = {"g": 1.0, "kg": 10.0, "oz": 2.8349523125, "lb": 4.5359237}


def _told_g(text: str) -> tuple[float, float]:
    """The grams that a told mass is, and the step to which it is told."""
    figure, unit = text.replace(SPACE, " ").rsplit(" ", 1)
    return float(figure.replace(" ", "")) * _GRAMS[unit], _STEP_G[unit]


@pytest.mark.outside(
    "published", "NIST Handbook 44, appendix C", "1 oz is 28.349523125 g, 1 lb is 453.59237 g"
)
@given(
    st.integers(1, 20_000).map(lambda tens: tens * 10.0),
    st.sampled_from(["g", "oz"]),
    st.integers(1, 30),
    st.integers(1, 4),
)
def test_an_amount_to_take_is_never_rounded_below(
    grams: float, unit: Any, days: int, people: int
) -> None:
    one = need(take_for_9_in_10=grams, days=days)
    ahead: Any = SimpleNamespace(people=people, nights=days, days=days)
    whole, _, each = amount_words.to_take(one, ahead, Display(mass=unit)).partition(" (")
    told_g, step_g = _told_g(whole)
    assert grams * (1 - 1e-6) <= told_g < grams + step_g * (1 + 1e-6)
    if each:
        # So many shares never come to more than the whole that is told.
        share_g, step_g = _told_g(each.partition(" per ")[0])
        exact_g = max(grams / days / people, step_g)
        assert exact_g - step_g * (1 + 1e-6) < share_g <= exact_g * (1 + 1e-6)


def test_a_hundred_grams_are_not_three_ounces_and_a_half() -> None:
    ahead: Any = SimpleNamespace(people=1, nights=1, days=1)
    told = [
        plain(amount_words.to_take(need(take_for_9_in_10=g, days=1), ahead, Display(mass=unit)))
        for g, unit in ((100.0, "oz"), (1100.0, "g"))
    ]
    # What float products leave behind adds no step: 1.1 kg are 1.10 kg.
    assert told == ["3.6 oz", "1.10 kg"]
