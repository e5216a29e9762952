"""How much of its battery an e-bike takes on a trip to come."""

import math
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from store_drawing import Row, Tables, carried, empty_store, fill, gear, trip
from tarebook.analysis.ahead.energy import battery_ahead, formula_wh
from tarebook.analysis.ahead.page.page import read_before_trip
from tarebook.analysis.ahead.plan import trip_ahead
from tarebook.analysis.ahead.results import BatteryAhead
from tarebook.analysis.ahead.uncounted import uncounted_of
from tarebook.analysis.display.words import Display
from tarebook.analysis.store.trip_choice import choose_trip
from tarebook.analysis.tables import entry

PLAN = date(2026, 6, 12)


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as connection:
        yield connection


def leg(name: str, day: date, km: float, ascent_m: int | None, wh: float | None = None) -> Row:
    return {
        "trip": name,
        "day": day,
        "distance_mm": round(km * 1e6),
        "ascent_mm": None if ascent_m is None else ascent_m * 1000,
        "battery_wh": wh,
    }


GEAR = [
    gear("roller", "bike", 24_000_000, carried_as="vehicle", capacity_wh=500.0),
    gear("spare", "bike", 4_000_000, carried_as="vehicle", capacity_wh=500.0, needs=["roller"]),
    gear("tent", "shelter", 20_000_000),
]
BODY_KG, PLAN_KG = 75, 75 + 24 + 20 + 4


def book(trips: int = 0, factor: float = 1.0, **plan: Any) -> Tables:
    """Trips of three e-bike days that took so many times what the formula says, and a plan."""
    tables: Tables = {
        "gear": GEAR,
        "trip": [trip("plan", PLAN, 1, mode="ebike", plan=True)],
        "carried": [carried("plan", item) for item in ("roller", "spare", "tent")],
        "distances": [leg("plan", PLAN, 60, 600), leg("plan", PLAN + timedelta(1), 30, 0)],
    }
    for number in range(trips):
        name, start = f"t{number}", PLAN - timedelta(300 - 7 * number)
        tables["trip"].append(trip(name, start, 2, mode="ebike"))
        tables["carried"] += [carried(name, "roller"), carried(name, "tent")]
        for day, (km, up) in enumerate(((50, 500), (20, 400), (70, 300))):
            wh = factor * formula_wh(km, up, BODY_KG + 24 + 20)
            tables["distances"].append(leg(name, start + timedelta(day), km, up, wh))
    return {**tables, **plan}


def ahead_of(store: Any, tables: Tables, name: str = "plan") -> tuple[BatteryAhead, ...]:
    fill(store, tables)
    return battery_ahead(store, trip_ahead(store, choose_trip(store, name)))


AIR_WH_A_KM = 11 / 0.976 / 3.6 / 0.8
"""Half of 1.2 kg/m3 * .6 m2 * (20 km/h)^2 is 11.1 N."""


@pytest.mark.outside(
    "common practice",
    "air at 20 km/h: 1.2 kg/m3 and .6 m2, no published source",
    "11 N, so that a kilometre takes 3.9 Wh",
)
@pytest.mark.outside(
    "memory",
    "Martin et al. 1998, J Appl Biomech 14(3): 276, mass terms from memory, worked by hand",
    "a kilogram over a level kilometre takes 65.33 J; of a battery a motor brings .8 on",
)
def test_the_formula_is_rolling_climbing_and_air_over_what_is_lost() -> None:
    # With pen and paper: 1 km on the
    # level takes 9.81 m/s2 * .0065 / .976 = 65.33 J a m and t; a motor brings .8 of the battery.
    level = 100 * 9.81 * 0.0065 / 0.976 * 1000 / 3600 / 0.8
    assert formula_wh(1, 0, 100) == pytest.approx(level + AIR_WH_A_KM)
    # Half the way at 4 %: cos and sin of atan .04; the way down gives nothing back.
    slope = math.atan(0.04)
    newton = 100 * 9.81 * (0.0065 * math.cos(slope) + math.sin(slope)) / 0.976
    assert formula_wh(10, 200, 100) == pytest.approx(newton * 5000 / 3600 / 0.8 + 10 * AIR_WH_A_KM)
    # Steeper than 25 %: lifting on top of the level.
    lifting = 100 * 9.81 * 300 / 0.976 / 3600 / 0.8
    assert formula_wh(1, 300, 100) == pytest.approx(level + lifting + AIR_WH_A_KM)


@pytest.mark.parametrize("factor", [0.6, 1.5])
def test_the_personal_factor_is_learnt(store: Any, factor: float) -> None:
    (battery,) = ahead_of(store, book(12, factor))
    expected = factor * (formula_wh(60, 600, PLAN_KG) + formula_wh(30, 0, PLAN_KG))
    assert battery.need is not None
    # Twelve trips without any scatter: what is left of the prior and of spreads near nought.
    assert battery.need.amount.value == pytest.approx(expected, rel=0.03)
    assert battery.need.amount.low < expected < battery.need.amount.high
    assert (battery.logged_days, battery.need.trips, battery.need.amount.n) == (36, 12, 36)
    assert battery.need.prior_share < 0.05
    assert battery.need.on_list == 1000
    assert battery.need.take_for_9_in_10 % 10 == 0


def test_with_nothing_noted_the_prior_speaks_and_says_so(store: Any) -> None:
    (battery,) = ahead_of(store, book())
    assert battery.need is not None
    assert (battery.logged_days, battery.need.trips) == (0, 0)
    assert battery.need.prior_share == pytest.approx(1)
    # Before any day the motor is taken to do .8 of it.
    expected = 0.8 * (formula_wh(60, 600, PLAN_KG) + formula_wh(30, 0, PLAN_KG))
    assert battery.need.amount.low < expected / 1.5 < expected * 1.5 < battery.need.amount.high


def test_chances_of_a_whole_trip_a_day_and_the_spare(store: Any) -> None:
    (battery,) = ahead_of(store, book(12))
    assert battery.p_each_day is not None
    assert battery.p_whole_trip is not None
    assert battery.p_spare_needed == pytest.approx(1 - battery.p_each_day)
    assert battery.p_whole_trip <= battery.p_each_day
    assert battery.spares == ("spare",)
    assert battery.spare_g == 4000
    # Carrying it: its share of all that moves, the air apart.
    whole = formula_wh(60, 600, PLAN_KG) + formula_wh(30, 0, PLAN_KG) - 90 * AIR_WH_A_KM
    assert battery.carrying_wh == pytest.approx(whole * 4 / PLAN_KG, rel=0.03)
    # One battery goes farther where less is climbed.
    level = book(12)
    level["distances"] = [
        row if row["trip"] != "plan" else {**row, "ascent_mm": 0} for row in level["distances"]
    ]
    (easy,) = ahead_of(store, level)
    assert easy.reach_km is not None
    assert battery.reach_km is not None
    # By the formula a quarter farther; that it is unlike the noted days takes some of it back.
    assert easy.reach_km > 1.1 * battery.reach_km


def test_nothing_after_the_start_counts(store: Any) -> None:
    before = ahead_of(store, book(3))
    later = book(3)
    later["trip"].append(trip("later", PLAN, 3, mode="ebike"))
    later["carried"].append(carried("later", "roller"))
    later["distances"] += [leg("later", PLAN + timedelta(n), 60, 600, 3000) for n in range(3)]
    assert ahead_of(store, later) == before


def test_a_list_without_distances_has_a_reach_and_no_chances(store: Any) -> None:
    (battery,) = ahead_of(store, book(distances=[]))
    assert battery.reach_km is not None
    assert (battery.need, battery.p_each_day, battery.p_whole_trip) == (None, None, None)
    assert battery.p_spare_needed is None
    assert battery.carrying_wh is None


def test_a_day_without_climbing_noted_beside_others_is_left_out(store: Any) -> None:
    with_gap = book(3)
    with_gap["trip"].append(trip("gap", PLAN - timedelta(9), 1, mode="ebike"))
    with_gap["carried"].append(carried("gap", "roller"))
    with_gap["distances"].append(leg("gap", PLAN - timedelta(9), 50, None, 900))
    (known,), (battery,) = ahead_of(store, book(3)), ahead_of(store, with_gap)
    assert known.need is not None
    assert battery.need is not None
    # That trip is of the plan's time of year: this alone it tells.
    assert (known.need.basis, battery.need.basis) == ("before", "like")
    assert battery == replace(known, need=replace(known.need, outside=False))


def test_climbing_of_the_plan_counts_where_it_was_never_noted_before(store: Any) -> None:
    """Days without it count as rolling country, 10 m a km, past ones and those to come."""
    never = book(3)
    never["distances"] = [
        row if row["trip"] == "plan" else {**row, "ascent_mm": None} for row in never["distances"]
    ]
    (hilly,) = ahead_of(store, never)
    steep = [
        {**row, "ascent_mm": 2 * row["ascent_mm"]} if row["trip"] == "plan" else row
        for row in never["distances"]
    ]
    (steeper,) = ahead_of(store, {**never, "distances": steep})
    assert hilly.need is not None
    assert steeper.need is not None
    assert steeper.need.amount.value > 1.2 * hilly.need.amount.value
    rolling = [
        {**row, "ascent_mm": row["distance_mm"] // 100} if row["trip"] != "plan" else row
        for row in never["distances"]
    ]
    (noted,) = ahead_of(store, {**never, "distances": rolling})
    assert noted.need == hilly.need


def test_days_unlike_those_noted_are_less_sure(store: Any) -> None:
    def ratio(up_m: int) -> float:
        tables = book(6)
        tables["distances"] = [
            {**row, "ascent_mm": up_m * 1000} if row["trip"] == "plan" else row
            for row in tables["distances"]
        ]
        (battery,) = ahead_of(store, tables)
        assert battery.need is not None
        return battery.need.amount.high / battery.need.amount.low

    # The noted days climb 10 m a km on average; the plan goes 90 km.
    alike = ratio(450)
    assert ratio(0) > 1.1 * alike
    assert ratio(3000) > 1.1 * alike


def test_what_is_not_known_is_drawn_from_whole_days_that_were(store: Any) -> None:
    """Level days and steep ones in turn: a day without its climbing may be either."""
    tables = book()
    for number in range(8):
        name, start = f"t{number}", PLAN - timedelta(300 - 7 * number)
        up = 1500 * (number % 2)
        wh = formula_wh(50, up, BODY_KG + 24 + 20)
        tables["trip"].append(trip(name, start, 0, mode="ebike"))
        tables["carried"] += [carried(name, "roller"), carried(name, "tent")]
        tables["distances"].append(leg(name, start, 50, up, wh))
    tables["trip"][0] = trip("plan", PLAN, 0, mode="ebike", plan=True)
    tables["distances"] = [row for row in tables["distances"] if row["trip"] != "plan"]
    tables["distances"].append(leg("plan", PLAN, 50, None))
    (battery,) = ahead_of(store, tables)
    assert battery.need is not None
    assert battery.need.amount.low < formula_wh(50, 0, PLAN_KG) * 1.1
    assert battery.need.amount.high > formula_wh(50, 1500, PLAN_KG) * 0.9


def test_a_plan_noted_in_part_is_no_shorter_for_it(store: Any) -> None:
    """The other days are the middle day of like trips: 50 km; the sum is of all five."""
    tables = book(3)
    tables["trip"][0] = trip("plan", PLAN, 4, mode="ebike", plan=True)
    (battery,) = ahead_of(store, tables)
    assert battery.need is not None
    assert battery.need.days == 5
    assert battery.p_whole_trip is not None
    blank = [row for row in tables["distances"] if row["trip"] != "plan"]
    (unnoted,) = ahead_of(store, {**tables, "distances": blank})
    assert unnoted.need is not None
    # Two days of 60 and 30 km in place of two middle days.
    assert battery.need.amount.value == pytest.approx(unnoted.need.amount.value, rel=0.15)
    rest = [leg("plan", PLAN + timedelta(n), 0, 0) for n in (2, 3, 4)]
    (known,) = ahead_of(store, {**tables, "distances": [*tables["distances"], *rest]})
    assert known.need is not None
    assert known.need.days == 2
    assert known.p_whole_trip is not None


def test_without_a_like_trip_a_plan_noted_in_part_has_a_reach_alone(store: Any) -> None:
    tables = book()
    tables["trip"][0] = trip("plan", PLAN, 4, mode="ebike", plan=True)
    (battery,) = ahead_of(store, tables)
    assert battery.reach_km is not None
    assert (battery.need, battery.p_each_day, battery.p_whole_trip) == (None, None, None)
    assert (battery.p_spare_needed, battery.carrying_wh) == (None, None)


OTHER = gear("other", "bike", 27_000_000, carried_as="vehicle", capacity_wh=400.0)


def with_other(*past: str, number: int = 6) -> Tables:
    """Two e-bikes are owned, and past lists hold those named; the plan the first alone."""
    tables = book(number)
    tables["gear"] = [*GEAR, OTHER]
    tables["carried"] = [
        row for row in tables["carried"] if row["trip"] == "plan" or row["item"] == "tent"
    ] + [carried(f"t{n}", item) for n in range(number) for item in past]
    return tables


def test_a_second_bike_on_past_lists_is_not_hauled_and_leaves_doubt(store: Any) -> None:
    (alone,) = ahead_of(store, with_other("roller"))
    assert alone.need is not None
    # Both along: no fewer Wh for it, and less sure, since half of the days may be the other's.
    (both,) = ahead_of(store, with_other("roller", "other"))
    assert both.need is not None
    assert both.need.amount.value > 0.97 * alone.need.amount.value
    assert both.need.amount.high > 1.1 * alone.need.amount.high
    assert both.need.prior_share > 0.3 > alone.need.prior_share
    assert both.reach_km is not None
    assert alone.reach_km is not None
    assert both.reach_km < alone.reach_km
    # A bike without a motor, too: as sure as without it.
    tables = with_other("roller", "friend")
    tables["gear"].append(gear("friend", "bike", 14_000_000, carried_as="vehicle"))
    assert ahead_of(store, tables) == (alone,)


def test_days_of_lists_without_a_bike_may_be_either_bikes(store: Any) -> None:
    (none,) = ahead_of(store, with_other())
    (alone,) = ahead_of(store, with_other("roller"))
    assert none.need is not None
    assert alone.need is not None
    assert none.need.amount.high > 1.1 * alone.need.amount.high
    (theirs,) = ahead_of(store, with_other("other"))
    assert theirs.need is not None
    assert (theirs.logged_days, theirs.need.prior_share) == (0, pytest.approx(1))


def test_a_trailer_is_hauled(store: Any) -> None:
    tables = book(3)
    tables["gear"] = [*GEAR, gear("trailer", "bike", 8_000_000, carried_as="vehicle")]
    (light,) = ahead_of(store, tables)
    tables["carried"].append(carried("plan", "trailer"))
    (heavy,) = ahead_of(store, tables)
    assert light.need is not None
    assert heavy.need is not None
    assert heavy.need.amount.value > 1.03 * light.need.amount.value


def test_all_optional_cells_blank(store: Any) -> None:
    """No capacity, no list of any trip: the amount alone, by the days that are noted."""
    blank = book(3)
    blank["gear"] = [gear("roller", "bike", 24_000_000, carried_as="vehicle")]
    blank["carried"] = []
    (battery,) = ahead_of(store, blank)
    assert (battery.built_in_wh, battery.reach_km, battery.p_each_day) == (None, None, None)
    assert battery.need is not None
    assert battery.need.on_list is None
    assert battery.need.chance_enough is None
    assert battery.need.amount.n == 9


@pytest.mark.parametrize("mode", ["foot", "bike", "paddle"])
def test_other_ways_of_travelling_have_no_battery(store: Any, mode: str) -> None:
    other = book(2)
    other["trip"][0] = {**other["trip"][0], "mode": mode}
    assert ahead_of(store, other) == ()


def test_a_bike_given_up_or_not_yet_bought_is_none(store: Any) -> None:
    for given_up in ({"retired_on": PLAN}, {"bought_on": PLAN + timedelta(1)}):
        gone = book(2)
        gone["gear"] = [{**GEAR[0], **given_up}, GEAR[2]]
        gone["carried"] = [row for row in gone["carried"] if row["trip"] != "plan"]
        assert ahead_of(store, gone) == ()


def test_four_hundred_days_are_bounded(store: Any) -> None:
    long = book(2)
    long["trip"][0] = trip("plan", PLAN, 400, mode="ebike", plan=True)
    long["distances"] += [leg("plan", PLAN + timedelta(n), 40, 300) for n in range(2, 401)]
    (battery,) = ahead_of(store, long)
    assert battery.need is not None
    assert battery.need.days == 401
    assert battery.p_whole_trip == 0


def test_the_demo_s_bike(demo: Any) -> None:
    chosen = choose_trip(demo, "2026-07-heron-slough")
    (battery,) = battery_ahead(demo, trip_ahead(demo, chosen))
    assert battery.bike == "e-bike"
    assert battery.built_in_wh == 625
    drawn = demo.sql(
        "SELECT sum(battery_wh) FROM distances WHERE trip = '2026-07-heron-slough'"
    ).fetchall()[0][0]
    assert battery.need is not None
    assert battery.need.amount.low < drawn < battery.need.amount.high


def _with_power(**spare: Any) -> Tables:
    things = [GEAR[0], gear("spare", "power", 2_600_000, name="Spare battery", **spare), GEAR[2]]
    return book(gear=things)


def test_a_spare_filed_under_power_is_counted_where_needs_ties_it_to_the_bike(store: Any) -> None:
    (battery,) = ahead_of(store, _with_power(capacity_wh=500.0, needs=["roller"]))
    assert battery.spares == ("spare",)
    tied = book(gear=[{**GEAR[0], "needs": ["spare"]}, *_with_power(capacity_wh=500.0)["gear"][1:]])
    (other,) = ahead_of(store, tied)
    assert (other.spares, other.spare_g) == (("spare",), 2600)
    assert other.need is not None
    assert other.need.on_list == 1000
    assert uncounted_of(store, trip_ahead(store, choose_trip(store, "plan")), (other,)) == ()


@pytest.mark.parametrize("capacity_wh", [500.0, None])
def test_a_spare_filed_under_power_is_never_left_out_without_a_word(
    store: Any, capacity_wh: float | None
) -> None:
    (battery,) = ahead_of(store, _with_power(capacity_wh=capacity_wh))
    assert battery.spares == ()
    page = read_before_trip(store, today=PLAN - timedelta(9), display=Display())
    give = "" if capacity_wh else "its capacity_wh and "
    told = (
        "“Spare battery” is not counted: it is filed under power, and nothing says that it fits "
        f"the bike. If it does, give it {give}needs = roller in gear.csv."
    )
    (point,) = (each for each in page.opening().points if each.about == "Battery")
    assert point.more.endswith(told)
    assert told in page.battery().answer
    frame = entry("trip_needs").frame(store, today=PLAN - timedelta(9))
    assert told in frame.attrs["remarks"]


def test_a_power_bank_is_no_bikes_battery(store: Any) -> None:
    bank = gear("spare", "power", 350_000, name="Power bank with battery", capacity_wh=74.0)
    (battery,) = ahead_of(store, book(gear=[GEAR[0], bank, GEAR[2]]))
    assert uncounted_of(store, trip_ahead(store, choose_trip(store, "plan")), (battery,)) == ()
