"""What carrying took, by day, trip and item, worked beside it by hand and in pandas."""

from collections import defaultdict
from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from marts_by_hand import Book
from store_drawing import Tables, carried, empty_store, fill, gear, logbooks, trip
from tarebook.analysis.effort.carrying_cost import effort
from tarebook.analysis.effort.days import Move, day_cost, grade_percent
from tarebook.analysis.effort.outputs import effort_rows
from tarebook.analysis.tables import TABLES

DAY = date(2020, 1, 2)


@pytest.fixture
def connection() -> Any:
    with empty_store() as made:
        yield made


def move(mode: str | None = "foot", km: float | None = 12.0, **more: Any) -> Move:
    given = {"ascent_m": 300.0, "hours": 4.0, "battery_wh": None, **more}
    return Move("t", DAY, mode, km, **given)


def test_a_day_on_foot_is_half_up_and_half_down() -> None:
    """With pen and paper: 80 kg with 40 kg at 1 m/s for 18 km, half of it up and half down 10 %.

    Pandolf's, level on the way down, takes 3.5 + 3.25 W for the last kilogram and 60 + 130 W for
    the load, the latter parts times the ground (1, 1.1 or 1.2). That for backpacks takes
    (.19 + 2.05 x ground) x 1.96 x 1.36 x .5^.36 W for the last kilogram and 80 x 1.96 x .5^1.36
    times that for the load, and on the slope (3.153245 - 1.000168) / 2 = 1.076539 W a kilogram.
    """
    one = move(km=18.0, ascent_m=900.0, hours=5.0)
    assert grade_percent(one) == pytest.approx(10.0)
    found = day_cost(one, 80, 40)
    assert found.reasons == ()
    assert found.per_kg_kj is not None
    assert found.load_kj is not None
    # Five hours are 18 kJ a watt. By the formula for backpacks on a dirt road; least by the same on
    # a road; most by Pandolf's in brush.
    kilogram, load = found.per_kg_kj, found.load_kj
    assert kilogram.value == pytest.approx(18 * 6.154662, rel=1e-5)
    assert kilogram.low == pytest.approx(18 * 5.728889, rel=1e-5)
    assert kilogram.high == pytest.approx(18 * 7.4, rel=1e-5)
    assert load.value == pytest.approx(18 * 192.4179, rel=1e-5)
    assert load.low == pytest.approx(18 * 179.8952, rel=1e-5)
    assert load.high == pytest.approx(18 * 216, rel=1e-5)
    # The last kilogram costs most.
    assert load.value < 40 * kilogram.value


@pytest.mark.outside(
    "published",
    "Looney et al. 2022, Med Sci Sports Exerc 54(4): 646 (PMC8919998), equation 2",
    "70 kg with 14 kg at 1.34 m/s on a level road: the range holds 4.73 W for the last kilogram",
)
def test_the_range_holds_what_the_formula_for_backpacks_gives() -> None:
    # An hour is 3.6 kJ a watt.
    found = day_cost(move(km=1.34 * 3.6, hours=1.0, ascent_m=0.0), 70, 14).per_kg_kj
    assert found.low < 4.73 * 3.6 < found.high
    assert found.low < found.value < found.high


def test_a_day_by_bike_rolls_and_climbs() -> None:
    found = day_cost(move("bike", 50.0, ascent_m=500.0, hours=None), None, None).per_kg_kj
    # With pen and paper: 25 km rolling and 500 m of climbing, on the other half gravity does the
    # work; 9.81 x (.0065 x 25 + .5) / .976 kJ. Grades of 2 % change the cosine by a thousandth.
    assert found.value == pytest.approx(6.65904, rel=1e-3)
    assert found.low < found.value < found.high
    level = day_cost(move("bike", 50.0, ascent_m=0.0), None, None).per_kg_kj
    assert level.value == pytest.approx(3.26665, abs=5e-6)  # 9.81 x .0065 x 50 / .976


@pytest.mark.parametrize(
    ("one", "reasons"),
    [
        (move(hours=None), ("hours are not noted",)),
        (move(hours=0.0), ("hours are not noted",)),
        (move(km=None), ("distance is not noted",)),
        (
            move(km=40.0, hours=4.0),
            (
                "Pandolf: speed 2.78 m/s is outside 0 to 2.2 m/s",
                "LCDA: speed 2.78 m/s is outside 0.45 to 1.97 m/s",
            ),
        ),
        (
            move(ascent_m=9000.0),
            (
                "Pandolf: grade 150 % is outside 0 to 25 %",
                "LCDA: grade 150 % is outside -40 to 45 %",
            ),
        ),
        (move("bike", 1.0, ascent_m=900.0), ("Cycling: grade 180 % is outside -25 to 25 %",)),
        (move("bike", 200.0, hours=1.0), ("Cycling: speed 55.6 m/s is outside 0 to 25 m/s",)),
        (move("paddle"), ("there is no formula for paddling",)),
        (move("mixed"), ("what part was on foot and what by bike is not noted",)),
        (move(None), ("how you travelled is not noted",)),
    ],
)
def test_what_cannot_be_worked_is_missing_with_its_reason(
    one: Move, reasons: tuple[str, ...]
) -> None:
    assert day_cost(one, 70, 14) == day_cost(one, 70, 14)
    found = day_cost(one, 70, 14)
    assert (found.per_kg_kj, found.reasons) == (None, reasons)


def test_one_formula_is_enough_and_the_other_says_why_not() -> None:
    steep = day_cost(move(km=8.0, ascent_m=1200.0), 70, 14)  # 30 %: beyond Pandolf, within LCDA
    assert steep.per_kg_kj is not None
    assert steep.reasons == ("Pandolf: grade 30 % is outside 0 to 25 %",)
    assert day_cost(move(), None, 14).reasons == ("body_kg is not in tarebook.toml",)
    assert day_cost(move(), 70, None).reasons == ("the load is not weighed",)
    slow = day_cost(move(km=4.0, hours=4.0, ascent_m=0.0), 70, 14)
    assert slow.reasons == ("LCDA: speed 0.278 m/s is outside 0.45 to 1.97 m/s",)
    flat = day_cost(move(ascent_m=None), 70, 14)
    assert flat.reasons == ("climbing is not noted: taken as level, so this is the least",)
    assert flat.per_kg_kj.value < day_cost(move(), 70, 14).per_kg_kj.value


@settings(
    max_examples=30,
)
@given(logbooks())
def test_items_sum_what_each_of_their_days_took(connection: Any, tables: Tables) -> None:
    tables["settings"] = [{"key": "person.body_kg", "value": "70"}]
    connection.execute("DELETE FROM settings")
    fill(connection, tables)
    found = effort(connection)
    book = Book(tables)
    cost = {(d.move.trip, d.move.day, d.move.mode): d.per_kg_kj for d in found.days}
    expected: dict[tuple[str, str], float] = defaultdict(float)
    for row in book.carried.to_dict("records"):
        one = book.trips[row["trip"]]
        piece = book.weight_mg(row, one["start_on"])
        if one["plan"] or row["carried_by"] is not None or piece is None:
            continue
        first, last = row["from_day"] or one["start_on"], row["until_day"] or one["end_on"]
        for (name, day, mode), kj in cost.items():
            if kj is not None and name == row["trip"] and first <= day <= last:
                expected[row["item"], mode] += kj.value * piece * row["quantity"] / 1e6
    got = {(i.item, i.mode): i.total_kj.value for i in found.items}
    assert got.keys() == expected.keys()
    assert got == pytest.approx(dict(expected), rel=1e-9)
    rows = effort_rows(found)
    table = TABLES["effort"]
    printed = table.relation_of(connection, rows).fetchall()
    for line in (dict(zip(table.column_names, row, strict=True)) for row in printed):
        known = line["kj_per_kg"] if line["trip"] else line["kj"]
        assert (known is not None) or line["reason"]
        if line["kj_per_kg"] is not None:
            assert line["kj_per_kg_low"] <= line["kj_per_kg"] <= line["kj_per_kg_high"]


def test_a_spare_battery_beside_what_it_cost(connection: Any) -> None:
    trips = [
        trip(f"t{n}", date(2020, 1, 1 + 10 * n), 1, mode="ebike", use_record="full")
        for n in range(2)
    ]
    drawn = {"t0": (300.0, 400.0), "t1": (550.0, None)}
    fill(connection, {
        "gear": [
            gear("e-bike", "bike", 24_000_000, carried_as="vehicle", capacity_wh=500.0),
            gear("spare", "bike", 4_000_000, carried_as="vehicle", capacity_wh=600.0,
                 needs=["e-bike"]),
            gear("tarp", "shelter", 500_000),
        ],
        "trip": trips,
        "carried": [carried(t["trip"], i, used=int(i != "spare")) for t in trips
                    for i in ("e-bike", "spare", "tarp")],
        "distances": [
            {"trip": t, "day": date(2020, 1, 1 + 10 * n + k), "distance_mm": 50_000_000,
             "ascent_mm": 0, "battery_wh": wh}
            for n, t in enumerate(drawn) for k, wh in enumerate(drawn[t])
        ],
        "settings": [{"key": "person.body_kg", "value": "70"}],
    })  # fmt: skip
    found = effort(connection)
    (battery,) = found.batteries
    assert (battery.capacity_wh, battery.main_wh) == (600, 500)
    assert (battery.trips, battery.trips_over, battery.days_over) == (2, 2, 1)
    assert (battery.used_on, battery.logged, battery.most_on_a_day_wh) == (0, 2, 550)
    # With pen and paper: 4 kg over 100 km, 9.81 x .0065 x 100 / .976 = 6.533299 kJ a kilogram, of
    # loose gravel (.012) 12.061475; 3.6 kJ are a Wh, of which a motor brings .8 on.
    assert battery.cost_wh.value == pytest.approx(9.07403, abs=5e-5)
    assert battery.cost_wh.high == pytest.approx(16.75205, abs=5e-5)
    (first, second) = found.trips
    assert first.moved_kg == pytest.approx(70 + 0.5 + 28)
    assert first.load_kg == pytest.approx(0.5)
    assert (first.battery_wh, second.battery_wh) == (700, 550)


def test_a_bike_that_is_not_in_the_log_weighs_what_the_settings_say(connection: Any) -> None:
    fill(
        connection,
        {
            "gear": [gear("tarp", "shelter", 500_000)],
            "trip": [trip("t", date(2020, 1, 1), 1, mode="bike")],
            "carried": [carried("t", "tarp")],
            "distances": [{"trip": "t", "day": date(2020, 1, 1), "distance_mm": 40_000_000}],
            "settings": [
                {"key": "person.body_kg", "value": "70"},
                {"key": "person.bike_kg", "value": "11"},
            ],
        },
    )
    (one,) = effort(connection).trips
    assert one.moved_kg == pytest.approx(81.5)
    assert one.reasons == ("climbing is not noted: taken as level, so this is the least",)
