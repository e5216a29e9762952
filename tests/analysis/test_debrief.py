"""The data of a debrief, on one invented trip worked by hand."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Any

import pytest
from store_drawing import Row, Tables, carried, empty_store, fill, gear, trip
from tarebook.analysis.debrief.facts import TRACE_POINTS, Coverage, Debrief, debrief
from tarebook.analysis.store.rows import ask
from tarebook.analysis.wear.checks import a_year_before
from tarebook.analysis.wear.chores import Chore
from tarebook.tripdata.errors import QuestionError

TODAY = date(2026, 6, 1)
MAY = date(2026, 5, 1)
SECOND = date(2026, 5, 2)


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def lakes() -> Tables:
    """A trip of two nights, one before it and a plan."""
    return {
        "gear": [
            gear("quilt", "sleep", 700_000, rated_low_c=2.0, rated_as="comfort"),
            gear("bag", "sleep", 1_100_000, rated_low_c=-3.0),
            gear("pot", "cook", 200_000), gear("book", "leisure", 250_000),
            gear("chair", "leisure", None), gear("shirt", "clothing", 150_000, carried_as="worn"),
            gear("stew", "food", 400_000, carried_as="consumable"),
            gear("gas", "cook", 230_000, carried_as="consumable"),
            gear("plaster", "first_aid", 60_000, insurance=True, checked_on=date(2025, 6, 1)),
            gear("whistle", "safety", 9_000, insurance=True, checked_on=date(2025, 5, 31)),
            gear("helmet", "safety", 300_000, carried_as="worn", checked_on=date(2026, 4, 1)),
            gear("map", "navigation", 40_000, insurance=True),
            gear("lamp", "light", 80_000, capacity_wh=4.0),
            gear("old-lamp", "light", 90_000, capacity_wh=5.0, retired_on=date(2026, 5, 20)),
            gear("tape", "repair", 20_000, insurance=True, checked_on=date(2026, 1, 1)),
        ],
        "trip": [
            trip("earlier", date(2025, 5, 1), 1, mode="foot"),
            trip("lakes", MAY, 2, mode="foot", place="The lakes"),
            trip("next", date(2027, 5, 1), 2, mode="foot", plan=True),
        ],
        "carried": [
            carried("earlier", "pot", used=1),
            carried("lakes", "quilt", bag="Top", used=1),
            carried("lakes", "bag", bag="top", until_day=SECOND, carried_by="Ann"),
            carried("lakes", "pot", bag="top", used=2),
            carried("lakes", "book", used=0), carried("lakes", "chair"),
            carried("lakes", "shirt", used=1),
            carried("lakes", "stew", bag="side", brought_home_mg=0, quantity=2, used=1),
            carried("lakes", "gas", bag="side", brought_home_mg=115_000, used=1),
            carried("lakes", "plaster"), carried("lakes", "whistle"), carried("lakes", "map"),
            carried("lakes", "helmet", used=1),
            carried("lakes", "lamp", from_day=SECOND), carried("lakes", "old-lamp"),
            carried("lakes", "tape"),
        ],
        "used": [
            {"trip": "lakes", "item": "plaster", "day": SECOND, "times": 1},
            {"trip": "lakes", "item": "tape", "times": 1, "used_for": "first_aid"},
            {"trip": "lakes", "item": "book", "times": 0, "used_for": "first_aid"},
        ],
        "failures": [
            {"trip": "earlier", "item": "pot", "day": date(2025, 5, 1), "severity": "nuisance",
             "what": "loose handle", "fixed_with": "wire"},
            {"trip": "earlier", "item": "old-lamp", "day": date(2025, 5, 1),
             "severity": "lost_use"},
            {"trip": "lakes", "item": "quilt", "day": SECOND, "severity": "impaired",
             "what": "torn seam"},
            {"trip": "lakes", "item": "lamp", "day": SECOND, "severity": "nuisance",
             "fixed_on": SECOND},
            {"trip": "next", "item": "pot", "day": date(2027, 5, 1), "severity": "unsafe"},
        ],
        "temperatures": [
            {"trip": "lakes", "read_at": datetime(2026, 5, 1, 22), "temperature_c": 3.0,
             "spot": "camp"},
            {"trip": "lakes", "read_at": datetime(2026, 5, 2, 5), "temperature_c": -1.5,
             "spot": "camp"},
            {"trip": "lakes", "read_at": datetime(2026, 4, 29, 23, 59), "temperature_c": 9.0,
             "spot": "camp"},
            {"trip": "lakes", "read_at": datetime(2026, 5, 4, 23, 59), "temperature_c": 6.0,
             "spot": "trail"},
            {"trip": "lakes", "read_at": datetime(2026, 5, 5), "temperature_c": 7.0,
             "spot": "trail"},
        ],
        "weather": [{"trip": "lakes", "day": SECOND, "low_c": 4.0}],
        "distances": [
            {"trip": "lakes", "day": MAY, "distance_mm": 12_000_000, "ascent_mm": 400_000,
             "hours": 3.1},
            {"trip": "lakes", "day": MAY, "mode": "paddle", "distance_mm": 3_000_000, "hours": 1.2},
            {"trip": "lakes", "day": SECOND, "mode": "foot", "distance_mm": 8_500_000},
        ],
        "comfort": [
            {"trip": "lakes", "day": MAY, "aspect": "sleep", "score": 2, "warmth": -2},
            {"trip": "lakes", "day": SECOND, "aspect": "fun", "score": 5},
        ],
        "wished": [
            {"trip": "lakes", "what": "thicker socks", "system": "clothing", "how_much": "little"},
            {"trip": "lakes", "item": "bag", "how_much": "badly"},
        ],
        "set_aside": [
            {"file": "trips/lakes/used.csv", "line": 4, "column": "day", "value": "?",
             "problem": "expected a day", "raw": "?", "trip": "lakes"},
        ],
    }  # fmt: skip


@pytest.fixture(scope="module")
def lakes_debrief(store: Any) -> Debrief:
    fill(store, lakes())
    return debrief(store, None, TODAY)


def cells(rows: Sequence[Mapping[str, Any]], *names: str) -> list[tuple[Any, ...]]:
    return [tuple(row[name] for name in names) for row in rows]


def test_the_latest_trip_that_is_no_plan_is_looked_back_on(lakes_debrief: Debrief) -> None:
    assert (lakes_debrief.trip.trip, lakes_debrief.trip.place, lakes_debrief.trip.nights) == (
        "lakes",
        "The lakes",
        2,
    )
    assert (lakes_debrief.trip.use_record, lakes_debrief.trip.set_aside) == ("full", 1)
    assert lakes_debrief.trip.items_carried == 15


def test_weight_by_kind_says_at_least_where_something_is_not_weighed(
    lakes_debrief: Debrief,
) -> None:
    w = lakes_debrief.weight
    # quilt 700, pot 200, book 250, plaster 60, whistle 9, map 40, old lamp 90, tape 20
    assert (w.base_g, w.worn_g, w.consumable_g, w.vehicle_g) == (1369.0, 450.0, 1030.0, 0.0)
    assert (w.skin_out_g, w.weight_class) == (2849.0, None)
    assert (w.at_least, w.unweighed) == (True, ("Chair",))


def test_weight_by_system_and_by_bag_sum_to_the_whole(lakes_debrief: Debrief) -> None:
    for rows in (lakes_debrief.by_system, lakes_debrief.by_bag):
        assert sum(row["base_g"] or 0 for row in rows) == 1369.0
        assert sum(row["consumable_g"] for row in rows) == 1030.0
    assert cells(lakes_debrief.by_bag, "bag", "base_g", "worn_g", "consumable_g", "items") == [
        ("side", 0.0, 0.0, 1030.0, 2),
        ("Top", 900.0, 0.0, 0.0, 2),
        (None, 469.0, 450.0, 0.0, 9),
    ]
    assert cells(lakes_debrief.by_system, "system", "items")[0] == ("food", 1)


def test_what_was_never_taken_out_and_insurance_stand_apart(lakes_debrief: Debrief) -> None:
    out = lakes_debrief.never_out
    assert out is not None
    assert cells(out.items, "item", "weight_g", "on_me") == [
        ("book", 250.0, True),
        ("old-lamp", 90.0, True),
        ("bag", None, False),
        ("chair", None, True),
        ("lamp", None, False),
    ]
    assert (out.weight_g, out.at_least, out.complete) == (340.0, True, True)
    assert cells(lakes_debrief.insurance, "item", "used") == [
        ("plaster", True),
        ("map", False),
        ("tape", True),
        ("whistle", False),
    ]


def test_what_was_brought_home_counts_all_pieces(lakes_debrief: Debrief) -> None:
    assert cells(lakes_debrief.brought_home, "item", "taken_g", "brought_home_g", "share") == [
        ("gas", 230.0, 115.0, 0.5),
        ("stew", 800.0, 0.0, 0.0),
    ]


def test_nights_stand_beside_the_lowest_rating_that_was_there(lakes_debrief: Debrief) -> None:
    nights = [(n.low_c, n.low_source, n.warmth, n.rated_low_c) for n in lakes_debrief.nights]
    assert nights == [(-1.5, "logger", -2, -3.0), (4.0, "weather", None, 2.0)]
    assert [night.rated_name for night in lakes_debrief.nights] == ["Bag", "Quilt"]
    cold = lakes_debrief.coldest
    assert cold is not None
    assert (cold.night, cold.low_c, cold.sleep_score, cold.rated_name) == (MAY, -1.5, 2, "Bag")
    # One night was judged, and felt too cold: the own limit counts, not the maker's figure.
    assert (cold.limit_basis, cold.limit_nights) == ("own", 1)
    assert cold.limit_c is not None
    assert cold.margin_c == -1.5 - cold.limit_c < 0
    assert cells(lakes_debrief.trace, "temperature_c") == [(3.0,), (-1.5,), (6.0,)]


def test_moves_comfort_failures_and_wishes(lakes_debrief: Debrief) -> None:
    assert cells(lakes_debrief.moves, "mode", "distance_km", "ascent_m", "hours") == [
        ("foot", 12.0, 400.0, 3.1),
        ("paddle", 3.0, None, 1.2),
        ("foot", 8.5, None, None),
    ]
    assert (lakes_debrief.trip.distance_km, lakes_debrief.trip.ascent_m) == (23.5, 400.0)
    assert lakes_debrief.hours == 4.3
    assert cells(lakes_debrief.comfort, "aspect", "score") == [("sleep", 2), ("fun", 5)]
    assert cells(lakes_debrief.failures, "item", "severity") == [
        ("lamp", "nuisance"),
        ("quilt", "impaired"),
    ]
    assert cells(lakes_debrief.wished, "wished", "item", "system") == [
        ("Bag", "bag", "sleep"),
        ("thicker socks", None, "clothing"),
    ]


def test_mend_check_charge_and_restock(lakes_debrief: Debrief) -> None:
    lakes: dict[str, Any] = {"trip": "lakes"}
    assert lakes_debrief.chores == (
        Chore("mend", "quilt", "Quilt", "sleep", day=SECOND, severity="impaired",
              what="torn seam", **lakes),
        Chore("mend", "pot", "Pot", "cook", trip="earlier", day=date(2025, 5, 1),
              severity="nuisance", what="loose handle", fixed_with="wire"),
        Chore("replenish", "plaster", "Plaster", "first_aid", day=SECOND),
        Chore("replenish", "tape", "Tape", "repair", day=date(2026, 5, 3)),
        Chore("check", "map", "Map", "navigation"),
        Chore("check", "whistle", "Whistle", "safety", day=date(2025, 5, 31)),
        Chore("charge", "lamp", "Lamp", "light"),
        Chore("restock", "stew", "Stew", "food", **lakes),
    )  # fmt: skip


def test_a_year_before_a_leap_day() -> None:
    assert a_year_before(date(2024, 2, 29)) == date(2023, 2, 28)
    assert a_year_before(date(2025, 2, 28)) == date(2024, 2, 28)


def test_changes_since_the_earlier_trip(lakes_debrief: Debrief) -> None:
    changes = lakes_debrief.changes
    assert changes is not None
    assert (changes.trip, changes.difference_g) == ("earlier", 1369.0 - 200.0)
    assert changes.unweighed == ("Chair",)
    assert changes.by_cause == {"added": 1169.0}


def test_what_was_not_logged_is_named(lakes_debrief: Debrief, store: Any) -> None:
    assert lakes_debrief.not_logged == ()
    assert Coverage("sleep", 1, 2) in lakes_debrief.evidence
    fill(store, {"trip": [trip("bare", MAY, 1, mode="ebike"), trip("day", TODAY)]})
    bare = debrief(store, "bare", TODAY)
    assert bare.not_logged == (
        "carried",
        "distances",
        "ascent",
        "hours",
        "battery",
        "weather",
        "temperatures",
        "lows",
        "sleep",
        "warmth",
        "ratings",
    )
    assert (bare.never_out, bare.coldest, bare.changes, bare.chores) == (None, None, None, ())
    assert bare.weight.base_g is None
    assert (bare.by_bag, bare.trace, bare.hours) == ([], [], None)
    assert "lows" not in debrief(store, "day", TODAY).not_logged


def test_a_partial_record_lists_only_what_is_known(store: Any) -> None:
    fill(
        store,
        {
            "gear": [gear("pot", "cook"), gear("book"), gear("hat")],
            "trip": [trip("fell", MAY, 1, use_record="partial")],
            "carried": [
                carried("fell", "pot", used=1),
                carried("fell", "book", used=0),
                carried("fell", "hat"),
            ],
        },
    )
    out = debrief(store, "fell", TODAY).never_out
    assert out is not None
    assert cells(out.items, "item") == [("book",)]
    assert (out.weight_g, out.complete) == (100.0, False)


def test_a_long_trace_keeps_every_extreme(store: Any) -> None:
    start = datetime(2026, 5, 1)
    readings: list[Row] = [
        {
            "trip": "fell",
            "read_at": start + timedelta(minutes=n),
            "spot": "camp",
            "temperature_c": float(n % 97) / 10,
        }
        for n in range(2000)
    ]
    readings[1234]["temperature_c"], readings[777]["temperature_c"] = -20.0, 31.0
    fill(store, {"trip": [trip("fell", MAY, 2)], "temperatures": readings})
    trace = debrief(store, "fell", TODAY).trace
    assert TRACE_POINTS / 2 < len(trace) <= TRACE_POINTS
    assert [row["read_at"] for row in trace] == sorted(row["read_at"] for row in trace)
    temperatures = [row["temperature_c"] for row in trace]
    assert (min(temperatures), max(temperatures)) == (-20.0, 31.0)
    few = ask(store, "debrief/temperature_trace", trip="fell", points=10)
    assert 5 <= len(few) <= 10


@pytest.mark.parametrize(
    ("asked", "message"),
    [
        ("laks", 'trip: expected a trip of this logbook, got "laks"; did you mean "lakes"?'),
        (
            "moon",
            'trip: expected a trip of this logbook, got "moon"; the table "trips" lists them all',
        ),
        (
            "next",
            'trip: expected a trip that took place, got the plan "next"; `tarebook report '
            "before_trip --trip next` looks ahead to it. Once it is over, set plan to no in "
            "trip.csv",
        ),
    ],
)
def test_a_trip_that_cannot_be_looked_back_on(store: Any, asked: str, message: str) -> None:
    fill(store, {"trip": lakes()["trip"]})
    with pytest.raises(QuestionError) as refusal:
        debrief(store, asked, TODAY)
    assert str(refusal.value) == message


def test_a_trip_is_found_whatever_its_case(store: Any) -> None:
    fill(store, {"trip": [trip("Straße", MAY), trip("the-fell", MAY)]})
    assert debrief(store, "STRASSE", TODAY).trip.trip == "Straße"
    assert debrief(store, "The fell", TODAY).trip.trip == "the-fell"


def test_no_trip_at_all(store: Any) -> None:
    fill(store, {"trip": [trip("next", MAY, plan=True)]})
    with pytest.raises(QuestionError, match=r"found none; add a row to trip\.csv"):
        debrief(store, None, TODAY)
