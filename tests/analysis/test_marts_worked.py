"""Analysis tables worked by hand. Unless a source is named, the numbers are sums done on paper."""

from collections.abc import Iterator
from datetime import date, datetime
from typing import Any

import pytest
from store_drawing import Row, carried, empty_store, fill, gear, trip
from tarebook.analysis.store.rows import ask

MAY = date(2026, 5, 1)


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def every(store: Any, view: str) -> list[Row]:
    """The rows of a view."""
    relation = store.view(view)
    return [dict(zip(relation.columns, r, strict=True)) for r in relation.fetchall()]


def only(store: Any, view: str, **cells: Any) -> Row:
    """The one row of a view that has these cells."""
    found = [r for r in every(store, view) if all(r[k] == v for k, v in cells.items())]
    assert len(found) == 1, found
    return found[0]


@pytest.mark.outside(
    "published",
    "NIST Handbook 44, appendix C",
    "1 lb = 453.59237 g: 5 lb are 2,267,961.85 mg, 10 lb 4,535,923.7 mg, 20 lb 9,071,847.4 mg",
)
@pytest.mark.outside(
    "common practice",
    "lines between classes of base weight: common practice, no published source",
    "5, 10 and 20 lb of base weight",
)
@pytest.mark.parametrize(
    ("mg", "name"),
    [
        (2_267_961, "super-ultralight"),
        (2_267_962, "ultralight"),
        (3_175_147, "ultralight"),  # 112 oz, of 16 to the pound: 7 lb, 7 x 453.59237 g
        (4_535_923, "ultralight"),
        (4_535_924, "lightweight"),
        (9_071_847, "lightweight"),
        (9_071_848, "traditional"),
    ],
)
def test_weight_class_by_pounds_of_base_weight(store: Any, mg: int, name: str) -> None:
    tables = {
        "gear": [gear("all", weight_mg=mg), gear("boots", weight_mg=900_000, carried_as="worn")],
        "trip": [trip("fell", MAY, 1)],
        "carried": [carried("fell", "all"), carried("fell", "boots")],
    }
    fill(store, tables)
    assert only(store, "trips")["weight_class"] == name
    tables["gear"].append(gear("hat", weight_mg=None))
    tables["carried"].append(carried("fell", "hat"))
    fill(store, tables)
    assert only(store, "trips")["weight_class"] is None
    assert only(store, "trips")["unweighed"] == 1


def test_a_day_out_has_no_class_and_no_night(store: Any) -> None:
    fill(
        store,
        {
            "gear": [gear("tarp")],
            "trip": [trip("day", MAY)],
            "carried": [carried("day", "tarp")],
        },
    )
    day = only(store, "trips")
    assert (day["nights"], day["weight_class"], day["base_g"]) == (0, None, 100.0)
    assert store.view("nights").fetchall() == []


@pytest.mark.parametrize(
    ("start_on", "latitude", "season"),
    [
        (date(2025, 11, 30), 60.0, "2025 autumn"),
        (date(2025, 12, 1), 60.0, "2026 winter"),
        (date(2026, 2, 28), None, "2026 winter"),
        (date(2026, 3, 1), 0.0, "2026 spring"),
        (date(2026, 8, 31), 60.0, "2026 summer"),
        (date(2025, 12, 31), -44.0, "2026 summer"),
        (date(2026, 1, 1), -44.0, "2026 summer"),
        (date(2026, 4, 1), -0.1, "2026 autumn"),
        (date(2026, 7, 1), -44.0, "2026 winter"),
        (date(2026, 10, 1), -44.0, "2026 spring"),
    ],
)
def test_season_is_meteorological(
    store: Any, start_on: date, latitude: float | None, season: str
) -> None:
    fill(store, {"trip": [trip("fell", start_on, latitude=latitude)]})
    assert only(store, "trips")["season"] == season


@pytest.mark.parametrize(
    ("stamps", "low", "source"),
    [
        (["05-01 12:00:00"], 5.0, "logger_part"),
        (["05-01 11:59:59"], 2.0, "weather"),
        (["05-02 08:00:00"], 5.0, "logger"),
        (["05-02 08:00:01"], 5.0, "logger_part"),
        (["05-02 00:00:00"], 5.0, "logger"),
        (["05-01 23:59:59", "05-02 11:59:59"], 4.0, "logger_part"),
        (["05-02 12:00:00"], 2.0, "weather"),
        ([], 2.0, "weather"),
    ],
)
def test_a_night_lasts_from_noon_to_noon(
    store: Any, stamps: list[str], low: float, source: str
) -> None:
    readings = [
        {
            "trip": "fell",
            "read_at": datetime.fromisoformat(f"2026-{s}"),
            "temperature_c": 5.0 - i,
            "spot": "camp",
        }
        for i, s in enumerate(stamps)
    ]
    other = {
        "trip": "fell",
        "temperature_c": -9.0,
        "spot": "trail",
        "read_at": datetime(2026, 5, 2, 3),
    }
    fill(
        store,
        {
            "trip": [trip("fell", MAY, 1)],
            "temperatures": [*readings, other],
            "weather": [
                {"trip": "fell", "day": MAY, "low_c": 2.0},
                {"trip": "fell", "day": date(2026, 5, 2), "low_c": -5.0},
            ],
        },
    )
    night = only(store, "nights")
    assert (night["night"], night["low_c"], night["low_source"]) == (MAY, low, source)
    assert only(store, "trips")["coldest_night_c"] == low


def test_weight_on_a_trip_is_the_rows_own_else_the_latest_weighing_else_the_gears(
    store: Any,
) -> None:
    def weighed(day: date, mg: int) -> Row:
        return {"item": "tarp", "weighed_on": day, "weight_mg": mg}

    fill(
        store,
        {
            "gear": [gear("tarp", weight_mg=100_000)],
            "weighings": [weighed(date(2026, 5, 1), 110_000), weighed(date(2026, 6, 2), 120_000)],
            "trip": [
                trip("a-april", date(2026, 4, 30), 1),
                trip("b-may", MAY, 1),
                trip("c-june", date(2026, 6, 1), 5),
                trip("d-june", date(2026, 6, 2), 1),
                trip("e-own", date(2026, 7, 9), 1),
            ],
            "carried": [
                *(carried(t, "tarp") for t in ("a-april", "b-may", "c-june", "d-june")),
                carried("e-own", "tarp", weight_mg=1_500, quantity=3),
            ],
        },
    )
    weights = [r[0] for r in store.view("trips").select("base_g").fetchall()]
    assert weights == [100.0, 110.0, 110.0, 120.0, 4.5]
    assert only(store, "items")["weight_g"] == 120.0


def test_kinds_others_loads_and_what_joined_later_are_kept_apart(store: Any) -> None:
    later = date(2026, 5, 2)
    fill(
        store,
        {
            "gear": [
                gear("shirt", weight_mg=150_000),
                gear("pot", "cook", 200_000),
                gear("stew", "food", 400_000, carried_as="consumable"),
                gear("rack", "bike", 700_000, carried_as="vehicle"),
                gear("pad", "sleep", None),
            ],
            "trip": [trip("fell", MAY, 2)],
            "carried": [
                carried("fell", "shirt", carried_as="worn"),
                carried("fell", "shirt"),
                carried("fell", "pot", carried_by="Ann"),
                carried("fell", "stew", quantity=2),
                carried("fell", "stew", from_day=later),
                carried("fell", "rack", from_day=MAY),
                carried("fell", "pad", carried_by="Ann"),
                carried("fell", "pad", from_day=later),
            ],
        },
    )
    found = only(store, "trips")
    assert (found["base_g"], found["worn_g"], found["consumable_g"], found["vehicle_g"]) == (
        150.0,
        150.0,
        800.0,
        700.0,
    )
    assert found["skin_out_g"] == 1100.0
    assert (found["items_carried"], found["unweighed"]) == (5, 0)
    assert only(store, "trip_systems", system="cook")["base_g"] == 0.0
    assert only(store, "trip_systems", system="sleep")["items"] == 1


def test_nothing_weighed_is_missing_and_nothing_carried_is_zero(store: Any) -> None:
    fill(
        store,
        {
            "gear": [
                gear("hat", weight_mg=None),
                gear("boots", weight_mg=900_000, carried_as="worn"),
                gear("pot", "cook"),
            ],
            "trip": [trip("fell", MAY, 1), trip("guest", MAY, 1), trip("none", MAY, 1)],
            "carried": [
                carried("fell", "hat"),
                carried("fell", "boots"),
                carried("guest", "pot", carried_by="Ann"),
            ],
        },
    )
    fell = only(store, "trips", trip="fell")
    assert (fell["base_g"], fell["worn_g"], fell["consumable_g"]) == (None, 900.0, 0.0)
    assert fell["skin_out_g"] == 900.0
    for name, carried_items in (("guest", 1), ("none", 0)):
        bare = only(store, "trips", trip=name)
        assert [bare[k] for k in ("base_g", "worn_g", "skin_out_g", "weight_class")] == [None] * 4
        assert bare["items_carried"] == carried_items
        assert [bare[k] for k in ("distance_km", "ascent_m", "unweighed", "failures")] == [
            None,
            None,
            0,
            0,
        ]


@pytest.mark.parametrize(
    ("stated", "cell", "row_times", "record", "known", "used"),
    [
        (None, None, None, "none", False, None),
        (None, 0, None, "full", True, False),
        (None, 2, None, "full", True, True),
        (None, None, 1, "full", True, True),
        ("full", None, None, "full", True, False),
        ("partial", None, None, "partial", False, None),
        ("partial", 0, None, "partial", True, False),
        ("partial", 3, None, "partial", True, True),
        ("partial", 3, 0, "partial", True, False),  # used rows count instead of the cells
        ("none", 3, None, "none", False, None),
        ("all_but", None, None, "all_but", True, True),
        ("all_but", 0, None, "all_but", True, False),
        ("all_but", 3, None, "all_but", True, True),
        ("all_but", None, 0, "all_but", True, False),
    ],
)
def test_what_is_known_of_use(
    store: Any,
    stated: str | None,
    cell: int | None,
    row_times: int | None,
    record: str,
    known: bool,
    used: bool | None,
) -> None:
    noted = [] if row_times is None else [{"trip": "fell", "item": "pot", "times": row_times}]
    fill(
        store,
        {
            "gear": [gear("pot", "cook")],
            "trip": [trip("fell", MAY, 1, use_record=stated)],
            "carried": [carried("fell", "pot", used=cell)],
            "used": noted,
        },
    )
    use = only(store, "trip_item_use")
    assert (use["use_record"], use["known"], use["used"]) == (record, known, used)
    found = only(store, "trips")
    full = record in ("full", "all_but")
    assert found["items_used"] == (int(bool(used)) if full else None)
    assert found["unused_g"] == ((0.0 if used else 100.0) if full else None)
    item = only(store, "items")
    assert item["never_used"] is (known and not used)
    assert (item["trips_logged"], item["trips_used"]) == (int(known), int(bool(used)))
    unsaid = int(record == "all_but" and cell is None)
    times = row_times if row_times is not None else (cell or unsaid)
    assert item["times_used"] == (times if known else 0)


def test_an_item_in_two_rows_is_used_if_either_says_so(store: Any) -> None:
    fill(
        store,
        {
            "gear": [
                gear("shirt"),
                gear("plaster", "first_aid", 30_000, insurance=True),
                gear("map", "navigation", None, insurance=True),
            ],
            "trip": [trip("fell", MAY, 1)],
            "carried": [
                carried("fell", "shirt", carried_as="worn", used=1),
                carried("fell", "shirt", used=0),
                carried("fell", "plaster"),
                carried("fell", "map"),
            ],
        },
    )
    found = only(store, "trips")
    assert (found["items_used"], found["unused_g"], found["unused_insurance_g"]) == (1, 30.0, 30.0)


def test_all_but_takes_silence_for_use_row_by_row_and_insurance_apart(store: Any) -> None:
    things = [
        gear("tarp", weight_mg=500_000),
        gear("socks"),
        gear("map", weight_mg=40_000),
        gear("plaster", "first_aid", 30_000, insurance=None),
        gear("tape", "first_aid", 20_000, insurance=False),
        gear("whistle", weight_mg=10_000, insurance=True),
    ]
    fill(
        store,
        {
            "gear": things,
            "trip": [trip("fell", MAY, 1, use_record="all_but")],
            "carried": [
                carried("fell", "tarp"),
                carried("fell", "socks", carried_as="worn"),
                carried("fell", "socks", used=0),
                carried("fell", "map", used=0),
                carried("fell", "plaster"),
                carried("fell", "tape"),
                carried("fell", "whistle"),
            ],
            "used": [{"trip": "fell", "item": "whistle", "times": 2}],
        },
    )
    use = {r["item"]: (r["times"], r["said_times"]) for r in every(store, "trip_item_use")}
    assert use == {
        "tarp": (1, None),
        "socks": (1, 0),  # the worn pair says nothing and so was used, the spare pair was not
        "map": (0, 0),
        "plaster": (0, None),  # insurance by its system
        "tape": (1, None),  # its owner says that it is none
        "whistle": (2, 2),
    }
    found = only(store, "trips")
    assert (found["items_used"], found["unused_g"], found["unused_insurance_g"]) == (4, 70.0, 30.0)
    never = {r["item"] for r in every(store, "items") if r["never_used"]}
    assert never == {"map", "plaster"}
    opened = ask(store, "wear/aid_opened", day=date(2026, 12, 1), until=None, apart=None)
    assert [r["item"] for r in opened] == ["tape"]


@pytest.mark.parametrize("record", ["full", "all_but", "partial"])
def test_of_a_cell_that_could_not_be_read_the_use_is_not_known(store: Any, record: str) -> None:
    tables: dict[str, list[Row]] = {
        "gear": [gear("tarp"), gear("pot", "cook")],
        "trip": [trip("fell", MAY, 1, use_record=record)],
        "carried": [carried("fell", "tarp", used=1), carried("fell", "pot")],
        "use_not_read": [{"trip": "fell", "item": "pot"}],
    }
    fill(store, tables)
    pot = only(store, "trip_item_use", item="pot")
    assert (pot["known"], pot["used"], pot["times"]) == (False, None, None)
    found = only(store, "trips")
    assert (found["items_used"], found["unused_g"]) == (None, None)
    assert found["base_g"] == 200.0
    tables["used"] = [{"trip": "fell", "item": "pot", "times": 0}]
    fill(store, tables)
    assert only(store, "trip_item_use", item="pot")["used"] is False
    tables["used"] = []
    tables["carried"].append(carried("fell", "pot", bag="top", used=1))
    fill(store, tables)
    assert only(store, "trip_item_use", item="pot")["used"] is True


def test_hauling_counts_the_days_it_came_along(store: Any) -> None:
    days = [date(2026, 5, d) for d in (1, 2, 3, 4)]
    km = dict(zip(days, (10, 20, 0, 5), strict=True))
    moved = [{"trip": "fell", "day": d, "distance_mm": n * 10**6} for d, n in km.items() if n]
    moved.append({"trip": "plan", "day": date(2027, 5, 2), "distance_mm": 10**7})
    fill(
        store,
        {
            "gear": [
                gear("tarp", weight_mg=500_000),
                gear("pot", "cook"),
                gear("pad", weight_mg=None),
                gear("lamp"),
            ],
            "trip": [
                trip("fell", MAY, 3),
                trip("dark", date(2026, 6, 1), 1),
                trip("plan", date(2027, 5, 1), 3, plan=True),
            ],
            "carried": [
                carried("fell", "tarp", quantity=2, until_day=days[1]),  # 1 kg x 30 km
                carried("fell", "tarp", from_day=days[3]),  # 0.5 kg x 5 km
                carried("fell", "pot", carried_by="Ann"),
                carried("fell", "pad"),
                carried("dark", "lamp"),
                carried("plan", "tarp"),
            ],
            "distances": moved,
        },
    )
    assert only(store, "items", item="tarp")["hauled_kg_km"] == 32.5
    assert only(store, "items", item="pot")["hauled_kg_km"] == 0.0
    assert only(store, "items", item="pad")["hauled_kg_km"] is None
    assert only(store, "items", item="lamp")["hauled_kg_km"] is None
    # out on the first two days (one night between them), back on the last (none): 1 night of 3
    assert only(store, "items", item="tarp")["nights_carried"] == 1
    assert only(store, "items", item="tarp")["last_carried_on"] == days[3]
    assert only(store, "items", item="tarp")["trips_carried"] == 1


def test_last_use_is_the_day_noted_else_the_last_day_along(store: Any) -> None:
    fill(
        store,
        {
            "gear": [gear("pot", "cook"), gear("lamp", "light"), gear("book", "leisure")],
            "trip": [trip("a", MAY, 4), trip("b", date(2026, 6, 1), 4)],
            "carried": [
                carried("a", "pot"),
                carried("a", "lamp", until_day=date(2026, 5, 3), used=1),
                carried("b", "lamp", used=0),
                carried("b", "book", used=0),
            ],
            "used": [
                {"trip": "a", "item": "pot", "day": date(2026, 5, d), "times": n}
                for d, n in ((1, 2), (2, 1), (4, 0))
            ],
        },
    )
    assert only(store, "items", item="pot")["last_used_on"] == date(2026, 5, 2)
    assert only(store, "items", item="pot")["times_used"] == 3
    assert only(store, "items", item="lamp")["last_used_on"] == date(2026, 5, 3)
    assert only(store, "items", item="book")["last_used_on"] is None
    assert only(store, "items", item="book")["never_used"] is True


def test_a_plan_is_weighed_and_is_no_history(store: Any) -> None:
    fill(
        store,
        {
            "gear": [gear("tarp")],
            "trip": [trip("plan", MAY, 2, plan=True)],
            "carried": [carried("plan", "tarp")],
            "weather": [{"trip": "plan", "day": MAY, "low_c": 2.0}],
        },
    )
    found = only(store, "trips")
    assert (found["plan"], found["base_g"], found["coldest_night_c"]) == (True, 100.0, None)
    assert only(store, "trip_systems")["base_g"] == 100.0
    assert store.view("items").fetchall() == store.view("nights").fetchall() == []


@pytest.mark.parametrize(
    ("wet", "rain", "expected"),
    [
        (True, 0.0, True),
        (False, 9.0, False),
        (None, 1.0, True),
        (None, 0.9, False),
        (None, None, None),
    ],
)
def test_a_wet_day(store: Any, wet: bool | None, rain: float | None, expected: bool | None) -> None:
    fill(
        store,
        {
            "trip": [trip("fell", MAY)],
            "weather": [{"trip": "fell", "day": MAY, "wet": wet, "rain_mm": rain}],
        },
    )
    assert only(store, "trip_days")["wet"] is expected


def test_records_set_aside_are_counted_once_a_line(store: Any) -> None:
    def told(line: int, column: str, name: str | None = "fell") -> Row:
        return {
            "file": "trips/fell/used.csv",
            "line": line,
            "column": column,
            "value": "?",
            "problem": "expected a day",
            "raw": "?",
            "trip": name,
        }

    fill(
        store,
        {
            "trip": [trip("fell", MAY)],
            "set_aside": [told(3, "day"), told(3, "times"), told(2, "day"), told(9, "day", None)],
        },
    )
    assert only(store, "trips")["set_aside"] == 2
    rows = store.view("set_aside_rows").select("line", "column").fetchall()
    assert rows == [(2, "day"), (3, "day"), (3, "times"), (9, "day")]
