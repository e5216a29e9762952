"""The table trip_needs: what was used against pandas, whose trips count, what is said of it."""

import random
from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

import duckdb
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from store_drawing import Row, Tables, carried, empty_store, fill, gear, logbooks, trip
from tarebook.analysis.ahead.cans import cans_of
from tarebook.analysis.ahead.needs import FUEL_G_A_NIGHT, consumption_of, needs_of
from tarebook.analysis.ahead.plan import trip_ahead
from tarebook.analysis.ahead.results import Need
from tarebook.analysis.ahead.used import past_use
from tarebook.analysis.display.cautions import FIRE_CARE, NEEDS_CARE
from tarebook.analysis.stats.log_need import log_need
from tarebook.analysis.store.rows import ask
from tarebook.analysis.store.trip_choice import choose_trip
from tarebook.analysis.tables import entry

Store = duckdb.DuckDBPyConnection
START = date(2026, 5, 1)


@pytest.fixture(scope="module")
def store() -> Store:
    return empty_store()


def food(name: str = "food", **more: Any) -> Row:
    return gear(name, "food", None, carried_as="consumable", **more)


def gas(name: str = "gas", **more: Any) -> Row:
    return gear(name, "cook", None, carried_as="consumable", **more)


def past(number: int, nights: int = 2, **more: Any) -> Row:
    return trip(f"t{number}", START - timedelta(400 - 20 * number), nights, **more)


def packed(name: str, item: str, taken_g: int | None, left_g: int | None, **more: Any) -> Row:
    mg = (None if grams is None else grams * 1000 for grams in (taken_g, left_g))
    return carried(
        name, item, **dict(zip(("weight_mg", "brought_home_mg"), mg, strict=True)), **more
    )


def plan(nights: int = 2, **more: Any) -> Row:
    return trip("plan", START, nights, plan=True, **more)


def needs(store: Store, tables: Tables, name: str = "plan") -> dict[tuple[str, str | None], Need]:
    fill(store, tables)
    found = needs_of(store, trip_ahead(store, choose_trip(store, name)))
    return {(need.system, need.item): need for need in found}


def history(*used: tuple[int, int], item: str = "food", people: int = 1) -> Tables:
    """Trips of three days, with what was taken and left."""
    rows = [packed(f"t{n}", item, *each) for n, each in enumerate(used)]
    trips = [past(n, people=people) for n in range(len(used))]
    return {"gear": [food()], "trip": [*trips, plan()], "carried": rows}


# What was used, against pandas.


def by_pandas(tables: Tables) -> dict[tuple[str, str], tuple[Any, Any]]:
    """Taken and left in mg by trip and item, missing as None; from the rows as they were typed."""
    things = pd.DataFrame(tables["gear"]).set_index("item")
    trips = pd.DataFrame(tables["trip"]).set_index("trip")
    ahead = trips.loc["ahead"]
    weighed = tables.get("weighings", [])
    sums: dict[tuple[str, str], list[tuple[Any, Any]]] = {}
    for row in tables["carried"]:
        thing, one = things.loc[row["item"]], trips.loc[row["trip"]]
        if row["trip"] == "ahead" or one["plan"] or one["end_on"] > ahead["start_on"]:
            continue
        if (row.get("carried_as") or thing["carried_as"]) != "consumable":
            continue
        blank = pd.isna(thing["insurance"])
        insured = thing["system"] == "first_aid" if blank else bool(thing["insurance"])
        if insured or thing["system"] == "water":
            continue
        scale = [w for w in weighed if w["item"] == row["item"]]
        scale = [w for w in scale if w["weighed_on"] <= one["start_on"]]
        latest = max(scale, key=lambda w: w["weighed_on"])["weight_mg"] if scale else None
        own = thing["weight_mg"]
        piece = row.get("weight_mg") or latest or (None if pd.isna(own) else own)
        left, pieces = row.get("brought_home_mg"), row["quantity"]
        sums.setdefault((row["trip"], row["item"]), []).append(
            (piece and piece * pieces, None if left is None else left * pieces)
        )
    return {
        key: tuple(None if None in column else sum(column) for column in zip(*rows, strict=True))
        for key, rows in sums.items()
    }


@settings(max_examples=40)
@given(logbooks(), st.integers(0, 999), st.dates(date(2019, 12, 1), date(2020, 3, 20)))
def test_what_was_used_is_what_pandas_makes_of_it(
    store: Store, tables: Tables, seed: int, start: date
) -> None:
    chance = random.Random(seed)
    things = [{**row, "kit": None} for row in tables["gear"]]
    rows = [
        {**row, "carried_as": chance.choice([row["carried_as"], *["consumable"] * 3])}
        for row in tables.get("carried", [])
    ]
    keys = [
        tuple(row.get(k) for k in ("trip", "item", "carried_as", "bag", "from_day")) for row in rows
    ]
    rows = [row for n, row in enumerate(rows) if keys[n] not in keys[:n]]
    drawn = {
        "gear": things,
        "trip": [*tables["trip"], trip("ahead", start, 3)],
        "carried": rows,
        "weighings": tables["weighings"],
    }
    fill(store, drawn)
    answer = ask(store, "ahead/consumed", trip="ahead")
    found = {(row["trip"], row["item"]): (row["taken_mg"], row["left_mg"]) for row in answer}
    assert found == by_pandas(drawn)
    spans = {row["trip"]: (row["end_on"] - row["start_on"]).days for row in drawn["trip"]}
    for row in answer:
        assert (row["nights"], row["days"]) == (spans[row["trip"]], spans[row["trip"]] + 1)
    for need in needs_of(store, trip_ahead(store, choose_trip(store, "ahead"))):
        amount = need.amount
        assert 0 < amount.low <= amount.value <= amount.high
        assert need.take_for_9_in_10 % 10 == 0
        assert 0 <= need.prior_share <= 1


def test_a_need_is_the_fit_of_what_was_used_a_person_and_day(store: Store) -> None:
    tables = history((2400, 300), (1800, 0), (2100, 150))
    need = needs(store, tables)["food", "food"]
    fit = log_need([2100, 1800, 1950], [3, 3, 3], [False, True, False], centre=700)
    low, middle, generous, high = fit.quantiles([0.05, 0.5, 0.9, 0.95], 3)
    amount = need.amount
    assert (amount.low, amount.value, amount.high) == pytest.approx((low, middle, high))
    assert generous <= need.take_for_9_in_10 < generous + 10
    assert (need.trips, need.used_up, need.days, need.unit) == (3, 1, 3, "g")
    assert need.prior_share == fit.prior_share
    assert (need.on_list, need.chance_enough) == (None, None)


def test_two_eat_twice_as_much_whoever_carries_it_and_from_whatever_day(store: Store) -> None:
    one = needs(store, history((2400, 300), (1800, 0)))["food", "food"]
    two = history((4800, 600), (3600, 0), people=2)
    # Half of the first trip's food was bought on its second day, and a friend carried it.
    first, second = two["carried"]
    second_day = two["trip"][0]["start_on"] + timedelta(1)
    halves = {**first, "weight_mg": 2_400_000, "brought_home_mg": 300_000}
    two["carried"] = [halves, {**halves, "carried_by": "Ann", "from_day": second_day}, second]
    two["trip"][-1]["people"] = 2
    both = needs(store, two)["food", "food"]
    assert both.amount.value == pytest.approx(2 * one.amount.value)
    assert (both.trips, both.used_up, both.days) == (2, 1, 3)


def test_blank_is_not_known_and_nothing_used_says_nothing(store: Store) -> None:
    tables = history((2400, 300), (2400, 300), (2400, 300))
    plain = needs(store, tables)["food", "food"]
    trips = [past(n) for n in range(3, 7)]
    more = [
        packed("t3", "food", 900, None),
        packed("t4", "food", None, 100),
        packed("t5", "food", 900, 900),
        packed("t6", "food", 900, 0),
        packed("t6", "food", 900, None, bag="second"),
    ]
    tables["trip"] += trips
    tables["carried"] += more
    assert needs(store, tables)["food", "food"] == plain


def test_nothing_from_after_the_start_counts(store: Store) -> None:
    tables = history((2400, 300))
    alone = needs(store, tables)["food", "food"]
    tables["trip"] += [
        trip("later", START + timedelta(1), 2),
        trip("across", START - timedelta(1), 2),
        trip("other", START - timedelta(30), 2, plan=True),
    ]
    tables["carried"] += [packed(name, "food", 9000, 0) for name in ("later", "across", "other")]
    assert needs(store, tables)["food", "food"] == alone
    # A trip that is over is asked as on the day it began: what it used is not known.
    tables["trip"] += [trip("day-out", START, 0)]
    tables["carried"] += [packed("day-out", "food", 500, 0)]
    own = needs(store, tables, "day-out")["food", "food"]
    assert (own.trips, own.on_list, own.days) == (1, 500.0, 1)


# Systems, items, days and nights, priors.


def test_a_system_with_several_consumables_has_a_row_of_its_own(store: Store) -> None:
    tables = history((2400, 300), (2400, 300), (2400, 300))
    tables["gear"] += [food("salt")]
    tables["carried"] += [packed(f"t{n}", "salt", 60, 30) for n in range(3)]
    tables["carried"] += [packed("plan", "food", 2500, None), packed("plan", "salt", 50, None)]
    answer = needs(store, tables)
    assert list(answer) == [("food", None), ("food", "food"), ("food", "salt")]
    whole = answer["food", None]
    assert (whole.name, whole.on_list, whole.trips) == ("Food", 2550.0, 3)
    fit = log_need([2130] * 3, [3] * 3, [False] * 3, centre=700)
    assert whole.amount.value == pytest.approx(fit.quantiles([0.5], 3)[0])
    assert whole.chance_enough == pytest.approx(fit.chance(2550, 3))
    salt = log_need([30] * 3, [3] * 3, [False] * 3, centre=20, spread=1)
    assert answer["food", "salt"].amount.value == pytest.approx(salt.quantiles([0.5], 3)[0])


@pytest.mark.parametrize(
    ("left_g", "used_up"),
    [((0, 0), True), ((0, 40), True), ((300, 0), False), ((0, 300), False)],
)
def test_when_all_of_a_system_is_as_good_as_gone(
    store: Store, left_g: tuple[int, int], used_up: bool
) -> None:
    tables = history((1000, left_g[0]))
    tables["gear"] += [food("more")]
    tables["carried"] += [packed("t0", "more", 500, left_g[1])]
    assert needs(store, tables)["food", None].used_up == used_up


@pytest.mark.outside(
    "common practice",
    "gas for hot meals, no published source",
    "20 g a person-night",
)
def test_fuel_goes_by_nights_and_its_prior_by_hot_meals(store: Store) -> None:
    tables: Tables = {"gear": [gas()], "trip": [plan(4)], "carried": []}
    need = needs(store, tables)["cook", "gas"]
    assert need.amount.value == pytest.approx(4 * 20, rel=0.01)
    assert (need.days, need.trips, need.prior_share) == (4, 0, 1.0)
    tables["trip"] = [plan(0)]
    assert needs(store, tables) == {}
    tables = {"gear": [gas("soap")], "trip": [plan(4)], "carried": []}
    assert needs(store, tables) == {}
    tables["gear"] += [gear("stove", "cook", needs=["soap"])]
    assert ("cook", "soap") in needs(store, tables)


@pytest.mark.outside(
    "published",
    "lower heating values of propane, 46.34, and butane, 45.37 MJ/kg: Cengel's tables, A-27",
    "46.34 and 45.37 kJ/g",
)
@pytest.mark.outside(
    "common practice",
    "half of a stove's heat gets into the water: no published source",
    "a litre from 10 to 100 °C takes 377 kJ, 16.3 to 16.6 g of gas",
)
def test_a_litre_of_water_takes_about_the_gas_that_the_prior_has() -> None:
    # Propane and butane. What is taken for an evening with hot meals heats one litre to one and a
    # half.
    for kj_a_gram in (46.34, 45.37):
        litre_g = 4.19 * 90 / kj_a_gram / 0.5
        assert litre_g < FUEL_G_A_NIGHT < 1.5 * litre_g


@pytest.mark.outside(
    "common practice",
    "dry food, no published source",
    "700 g a person-day",
)
def test_nobodys_history_leaves_common_practice_for_food_alone(store: Store) -> None:
    soap = gear("soap", "hygiene", 50_000, carried_as="consumable")
    rows = [carried("plan", "soap"), packed("plan", "food", 1500, None, quantity=2)]
    tables: Tables = {"gear": [food(), soap], "trip": [plan()], "carried": rows}
    answer = needs(store, tables)
    assert list(answer) == [("food", "food")]
    assert answer["food", "food"].amount.value == pytest.approx(3 * 700, rel=0.01)
    assert answer["food", "food"].on_list == 3000
    consumption = consumption_of(store, trip_ahead(store, choose_trip(store, "plan")))
    assert consumption.too_few_trips == ("Soap",)


def test_what_has_no_common_practice_starts_from_what_its_owner_takes(store: Store) -> None:
    tables = history((60, 30), (60, 20), (60, 0), item="soap")
    tables["gear"] = [gear("soap", "hygiene", None, carried_as="consumable")]
    need = needs(store, tables)["hygiene", "soap"]
    fit = log_need([30, 40, 60], [3, 3, 3], [False, False, True], centre=20, spread=1)
    assert need.amount.value == pytest.approx(fit.quantiles([0.5], 3)[0])
    tables["carried"] = tables["carried"][:2]
    assert needs(store, tables) == {}


def test_coffee_alone_is_not_taken_for_the_food_of_a_day(store: Store) -> None:
    need = needs(store, history((60, 30), (60, 30), (60, 30)))["food", "food"]
    fit = log_need([30] * 3, [3] * 3, [False] * 3, centre=20, spread=1)
    assert need.amount.value == pytest.approx(fit.quantiles([0.5], 3)[0])


@pytest.mark.parametrize(
    "thing",
    [
        gear("water", "water", None, carried_as="consumable"),
        food("bar", insurance=True),
        gear("plasters", "first_aid", None, carried_as="consumable", insurance=None),
        food(retired_on=START),
        food(bought_on=START + timedelta(1)),
        gear("food", "food", None),
    ],
)
def test_neither_water_nor_reserves_nor_what_is_not_there_are_forecast(
    store: Store, thing: Row
) -> None:
    name = thing["item"]
    rows = [packed(f"t{n}", name, 900, 100) for n in range(4)]
    trips = [*(past(n) for n in range(4)), plan()]
    assert needs(store, {"gear": [thing], "trip": trips, "carried": rows}) == {}


def test_unweighed_on_the_list_is_missing(store: Store) -> None:
    tables = history((2400, 300))
    tables["carried"] += [
        packed("plan", "food", 800, None),
        packed("plan", "food", None, None, bag="second"),
    ]
    need = needs(store, tables)["food", "food"]
    assert (need.on_list, need.chance_enough) == (None, None)


def besides(frame: pd.DataFrame) -> list[str]:
    """The remarks on it but the first: these plans lie outside of what their few trips saw."""
    first, *rest = frame.attrs["remarks"]
    assert first.startswith("“Plan”: No trip before was like this one: "), first
    return rest


def test_400_days_and_heavier_home_than_out(store: Store) -> None:
    tables = history((2400, 300), (1000, 1200))
    tables["trip"] = [past(0), past(1), plan(399)]
    need = needs(store, tables)["food", "food"]
    assert (need.days, need.trips) == (400, 1)
    assert need.amount.high < 400 * 10_000
    remarks = besides(entry("trip_needs").frame(store, today=START))
    assert remarks[0] == (
        "More of “Food” came home from “T1” than was taken, so that trip is left out of it. Look "
        "at the two weights in its carried.csv."
    )


def test_a_day_out_has_no_evening_to_cook_on(store: Store) -> None:
    tables = book_of_gas((180,))
    tables["trip"][-1] = plan(0)
    tables["carried"].append(carried("plan", "gas"))
    fill(store, tables)
    remarks = besides(entry("trip_needs").frame(store, today=START))
    assert remarks[0] == "“Plan” has no night, and “Gas” is used by night: it takes none of it."
    assert not any("too few" in remark for remark in remarks)


def test_several_pieces_that_came_home_whole_are_asked_about(store: Store) -> None:
    tables = history((50, 50), (50, 0))
    tables["carried"][0]["quantity"] = 10
    fill(store, tables)
    remarks = besides(entry("trip_needs").frame(store, today=START))
    assert remarks[0] == (
        "“Food” came home from “T0” as heavy as it went, so that trip says nothing about it. "
        "What came home (brought_home in its carried.csv) is what was left of one piece."
    )


@pytest.mark.parametrize(("nights", "told"), [(13, False), (14, True), (400, True)])
def test_nobody_carries_the_food_of_weeks_at_once(store: Store, nights: int, told: bool) -> None:
    tables = history((2400, 300))
    tables["trip"][-1] = plan(nights)
    fill(store, tables)
    remarks = entry("trip_needs").frame(store, today=START).attrs["remarks"]
    assert any("bought on the way" in remark for remark in remarks) is told


# The table.


def test_the_table_and_its_remarks(store: Store) -> None:
    tables = history((2400, 300), (1800, 0))
    tables["gear"] += [gas(), gear("soap", "hygiene", 50_000, carried_as="consumable")]
    tables["trip"][-1]["people"] = 2
    tables["carried"] += [packed("plan", "food", 4000, None), carried("plan", "soap")]
    fill(store, tables)
    frame = entry("trip_needs").frame(store, today=START)
    assert frame["trip"].tolist() == ["plan"] * 2
    assert frame["system"].tolist() == ["cook", "food"]
    assert frame["on_list"].isna().tolist() == [True, False]
    assert frame["on_list"].tolist()[1] == 4000
    # Of gas no trip tells; of food trips of another time of year do, so a least.
    assert frame["basis"].tolist() == ["practice", "before"]
    assert frame["take_for_9_in_10"].isna().tolist() == [False, True]
    assert frame["at_least"].isna().tolist() == [True, False]
    assert frame["take_for_9_in_10"].fillna(frame["at_least"]).ge(frame["expected"]).all()
    assert besides(frame) == [
        "“Plan” is for 2 people: amounts are for all of them together.",
        "“Plan”: no trip before it tells how much of “Gas” you use, so only common practice is "
        "used.",
        "“Plan”: too few trips are known to say how much it takes of “Soap”. Note in brought_home "
        "what is left of it, and 0 where nothing is.",
        FIRE_CARE,
        NEEDS_CARE,
    ]


def test_amounts_stay_in_grams_whatever_the_owner_reads(store: Store) -> None:
    fill(store, history((2400, 300)))
    store.execute("DELETE FROM settings")
    grams = entry("trip_needs").frame(store, today=START)
    store.execute("INSERT INTO settings VALUES ('display.mass', 'oz')")
    ounces = entry("trip_needs").frame(store, today=START)
    store.execute("DELETE FROM settings")
    pd.testing.assert_frame_equal(grams, ounces)
    assert ounces.attrs["units"]["expected"] == ""


def test_a_plan_without_a_list_and_no_plan_at_all(store: Store) -> None:
    fill(store, history((2400, 300)))
    (first, *_) = besides(entry("trip_needs").frame(store, today=START))
    assert first == "“Plan” has no list yet, so nothing is compared with what it takes."
    after = entry("trip_needs").frame(store, today=START + timedelta(30))
    assert len(after) == 0
    assert after.attrs["remarks"] == [NEEDS_CARE]


def test_of_fuel_only_what_can_be_burnt_is_on_the_list(store: Store) -> None:
    """A cartridge weighs with its can: at most the least that ever came home of one."""
    tables = book_of_gas((180, 150))
    tables["carried"].append(carried("plan", "gas", quantity=2))
    need = needs(store, tables)["cook", "gas"]
    assert need.on_list == 2 * (230 - 150)
    # A nearly empty one has next to nothing.
    tables["carried"][-1] = carried("plan", "gas", weight_mg=155_000)
    nearly_empty = needs(store, tables)["cook", "gas"]
    assert nearly_empty.on_list == 5
    assert nearly_empty.chance_enough is not None
    assert nearly_empty.chance_enough < 0.05
    # Lighter than any that came home: nothing, not less than nothing.
    tables["carried"][-1] = carried("plan", "gas", weight_mg=140_000)
    assert needs(store, tables)["cook", "gas"].on_list == 0


def test_what_a_can_holds_is_not_known_until_one_came_home(store: Store) -> None:
    tables = book_of_gas((None, None))
    tables["carried"].append(carried("plan", "gas"))
    need = needs(store, tables)["cook", "gas"]
    assert (need.on_list, need.chance_enough) == (None, None)


def book_of_gas(left_g: Sequence[int | None]) -> Tables:
    """A trip for each cartridge of 230 g, can and all, and a plan of three nights."""
    return {
        "gear": [{**gas(), "weight_mg": 230_000}],
        "trip": [*(past(n) for n in range(len(left_g))), plan(3)],
        "carried": [
            carried(f"t{n}", "gas", brought_home_mg=None if left is None else 1000 * left)
            for n, left in enumerate(left_g)
        ],
    }


@pytest.mark.parametrize(
    ("left_g", "used_up"),
    [
        ((100, 101), 2),
        ((100, 180), 1),
        ((130,), 1),
        ((180,), 0),
        ((95, 100, 105, 110), 3),
        ((100, 101, 112, 113), 3),
        ((100, 104, 170), 2),
        ((100, 0), 1),
        ((0, 40, 48), 1),
    ],
)
def test_a_can_that_came_home_empty_says_that_the_need_was_at_least_that(
    store: Store, left_g: tuple[int, ...], used_up: int
) -> None:
    """Cans of about one weight are empty ones: the gas in them did not do, or just did.

    So may be one alone that is far down; and of a can of which nothing came home. What weighs
    within 12 g of the least of two is empty: gas that gives no flame, and the scale's steps.
    """
    assert needs(store, book_of_gas(left_g))["cook", "gas"].used_up == used_up


def test_what_was_in_an_empty_can_is_no_upper_bound(store: Store) -> None:
    empty = needs(store, book_of_gas((100, 108)))["cook", "gas"]
    assert empty.amount.high > 1.2 * (230 - 100) / 2 * 3


def test_a_can_thrown_away_does_not_count_as_gas(store: Store) -> None:
    tables = book_of_gas((120, 0))
    tables["carried"].append(carried("plan", "gas"))
    assert needs(store, tables)["cook", "gas"].on_list == 230 - 120
    thrown = book_of_gas((0, 0))
    thrown["carried"].append(carried("plan", "gas"))
    assert needs(store, thrown)["cook", "gas"].on_list is None
    # Two empty ones tell what it weighed: the need was at least what was in it.
    known = needs(store, book_of_gas((100, 100, 0)))["cook", "gas"]
    assert known == needs(store, book_of_gas((100, 100, 100)))["cook", "gas"]


def test_a_small_can_tells_nothing_of_a_large_one(store: Store) -> None:
    tables = book_of_gas((101, 102))
    for row in tables["carried"]:
        row["weight_mg"] = 200_000
    tables["carried"].append(carried("plan", "gas", weight_mg=380_000))
    assert needs(store, tables)["cook", "gas"].on_list is None
    tables["trip"].insert(0, past(2))
    tables["carried"].append(carried("t2", "gas", weight_mg=380_000, brought_home_mg=200_000))
    assert needs(store, tables)["cook", "gas"].on_list == 180
    tables["carried"].append(carried("plan", "gas", weight_mg=200_000, bag="second"))
    assert needs(store, tables)["cook", "gas"].on_list == 180 + 99


def test_a_slip_of_the_pen_is_no_can(store: Store) -> None:
    tables = book_of_gas((180, 175, 10))
    tables["carried"].append(carried("plan", "gas"))
    assert needs(store, tables)["cook", "gas"].on_list == 230 - 175
    # Two bottles that light are believed: plastic ones weigh little.
    tables = book_of_gas((180, 12, 10))
    tables["carried"].append(carried("plan", "gas"))
    assert needs(store, tables)["cook", "gas"].on_list == 220
    for left_g in ((240,), (10,)):
        tables = book_of_gas(left_g)
        tables["carried"].append(carried("plan", "gas"))
        need = needs(store, tables)["cook", "gas"]
        assert (need.on_list, need.chance_enough) == (None, None)


def cartridges(*full_and_left_g: tuple[int, int], nights: int = 2) -> Tables:
    """A trip of that many nights for each cartridge, and a plan of as many."""
    return {
        "gear": [gas()],
        "trip": [*(past(n, nights) for n in range(len(full_and_left_g))), plan(nights)],
        "carried": [packed(f"t{n}", "gas", *one) for n, one in enumerate(full_and_left_g)],
    }


@pytest.mark.parametrize("burnt_g", [(200,), (190, 200), (60, 70, 210), (150, 160, 155, 170, 150)])
def test_gas_is_never_under_what_own_weighings_show(store: Store, burnt_g: tuple[int, ...]) -> None:
    """Who melts snow burns several times what others do, from the first weighing on."""
    tables = cartridges(*((450, 450 - each) for each in burnt_g))
    tables["carried"].append(packed("plan", "gas", 450, None))
    need = needs(store, tables)["cook", "gas"]
    assert need.take_for_9_in_10 >= max(burnt_g)
    assert need.amount.high >= max(burnt_g)
    assert need.trips == len(burnt_g)


def test_of_ten_weighings_nine_are_covered_whatever_the_tenth(store: Store) -> None:
    burnt_g = [40] * 17 + [190] * 3
    tables = cartridges(*((450, 450 - each) for each in burnt_g))
    short = packed("plan", "gas", 440, None)
    need = needs(store, {**tables, "carried": [*tables["carried"], short]})["cook", "gas"]
    assert need.take_for_9_in_10 >= 190
    # The list has 440 - 260 = 180 g: what is short of that amount is enough on no more trips.
    assert need.on_list == 180
    assert need.chance_enough is not None
    assert need.chance_enough <= 17 / 20
    one_in_twenty = cartridges(*((450, 450 - each) for each in [40] * 19 + [190]))
    assert needs(store, one_in_twenty)["cook", "gas"].take_for_9_in_10 < 190


def test_gas_weighed_without_its_can_is_not_lessened_by_a_can(store: Store) -> None:
    """Several came home lighter than any can: two of 32 and 33 g are gas, and all 100 g burnt."""
    tables = cartridges((100, 5), (100, 20), (100, 32), (100, 33), (100, 0))
    whole = needs(store, tables)["cook", "gas"]
    assert whole.take_for_9_in_10 >= 100
    fill(store, tables)
    rows = ask(store, "ahead/consumed", trip="plan")
    used = [past_use([row], cans_of(rows, ["gas"])).used_g for row in rows]
    assert used == [95, 80, 68, 67, 100]


def test_all_fuel_together_is_no_less_than_its_only_part(store: Store) -> None:
    tables = book_of_gas((130, 125, 120))
    alone = needs(store, tables)["cook", "gas"]
    tables["gear"].append(gas("alcohol"))
    both = needs(store, tables)
    assert list(both) == [("cook", None), ("cook", "gas")]
    assert both["cook", None].amount == both["cook", "gas"].amount == alone.amount


def test_coffee_heats_nothing(store: Store) -> None:
    tables = book_of_gas((180, 150))
    tables["gear"].append(gear("coffee", "cook", 300_000, carried_as="consumable"))
    tables["carried"] += [carried(name, "coffee", brought_home_mg=0) for name in ("t0", "t1")]
    tables["carried"] += [carried("plan", "coffee"), carried("plan", "gas", weight_mg=155_000)]
    by_name = needs(store, tables)
    assert set(by_name) == {("cook", "gas")}
    assert by_name["cook", "gas"].on_list == 5


def test_a_stove_bought_later_makes_nothing_a_fuel_before(store: Store) -> None:
    tables = history(*[(1500, 300)] * 4)
    tables["gear"].append(gear("tablets", "cook", 100_000, carried_as="consumable"))
    tables["carried"] += [packed(f"t{n}", "tablets", 100, 40 + 9 * n) for n in range(4)]
    tables["carried"].append(carried("plan", "tablets"))
    before = needs(store, tables)["cook", "tablets"]
    later = gear("stove", "cook", 90_000, needs=["tablets"], bought_on=START + timedelta(1))
    assert needs(store, {**tables, "gear": [*tables["gear"], later]})["cook", "tablets"] == before
