"""Each rule of what must not be advised against, on invented logbooks worked by hand."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from store_drawing import Row, Tables, carried, empty_store, fill, gear, trip
from tarebook.analysis.cull.culling import ask_cull, frontier
from tarebook.analysis.cull.results import Wish
from tarebook.analysis.display.words import Display, months
from tarebook.analysis.store.rows import ask
from tarebook.analysis.store.scope import Scope
from tarebook.analysis.usage import keep_rules
from tarebook.analysis.usage.conditions import Meaning
from tarebook.analysis.usage.held_words import protects, question, typing
from tarebook.analysis.usage.items import Item, usage
from tarebook.analysis.usage.keep_rules import Circumstances
from tarebook.analysis.usage.leaving import circumstances, held_back
from tarebook.analysis.usage.trip_range import Range, TripToCome, months_of, outside
from tarebook.analysis.usage.verdict_words import seen, verdict_reason, verdict_reversal
from tarebook.analysis.usage.verdicts import FARTHEST, Judged, judge
from tarebook.tripdata.contract import ESSENTIAL_SYSTEMS, INSURANCE_SYSTEMS, SYSTEMS

START, TODAY = date(2026, 5, 2), date(2027, 1, 1)


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def blank(item: str, system: str, weight_mg: int = 100_000, **more: Any) -> Row:
    """A gear row of which nothing is said."""
    return gear(item, system, weight_mg, **{"insurance": None, "essential": None, **more})


def book(items: list[Row], used: str = "", *, trips: int = 30, **more: Any) -> Tables:
    """Trips of a night, three days apart; all along on all, and those named in ``used`` used."""
    names = [f"t{n:02d}" for n in range(trips)]
    starts = [START + timedelta(3 * n) for n in range(trips)]
    of_trip = {"mode": "foot", **more.pop("of_trip", {})}
    of_row = more.pop("of_row", {})
    return {
        "gear": items,
        "trip": [
            trip(n, s, 1, use_record="full", **of_trip) for n, s in zip(names, starts, strict=True)
        ],
        "carried": [
            carried(n, i["item"], used=int(i["item"] in used.split()), **of_row.get(i["item"], {}))
            for n in names
            for i in items
        ],
        **more,
    }


def judged(store: Any, tables: Tables) -> dict[str, Judged]:
    fill(store, tables)
    counted = usage(store)
    return {j.about.item: j for j in judge(counted, {}, TODAY, circumstances(store, counted))}


def verdicts(store: Any, tables: Tables) -> dict[str, Any]:
    return {item: j.verdict for item, j in judged(store, tables).items()}


# Insurance, by cell, system and kit.


@pytest.mark.parametrize("system", SYSTEMS)
def test_blank_cells_go_by_system(store: Any, system: str) -> None:
    fill(store, {"gear": [blank("x", system)]})
    (row,) = store.sql("SELECT insurance, essential FROM stg_gear").fetchall()
    assert row == (system in INSURANCE_SYSTEMS, system in ESSENTIAL_SYSTEMS)
    assert store.sql("SELECT insurance_stated, essential_stated FROM stg_gear").fetchall() == [
        (None, None)
    ]


def test_a_kit_passes_insurance_on(store: Any) -> None:
    rows = [
        blank("lamp", "light", kit="Emergency"),
        blank("tablets", "water", kit="EMERGENCY"),
        blank("plaster", "first_aid", kit="emergency"),
        blank("whistle", "safety", kit="Emergency"),
        blank("spoon", "cook", kit="Emergency", insurance=False),
        blank("pump", "other", kit="Emergency", carried_as="vehicle"),
        blank("mug", "cook", kit="Kitchen"),
        blank("lighter", "fire", kit="Kitchen"),
        blank("towel", "hygiene", kit="Alone"),
        blank("string", "other", kit="Odds"),
        blank("tape", "repair", kit="Odds"),
        blank("peg", "other", kit="Odds"),
    ]
    fill(store, {"gear": rows})
    insured = {i for i, yes in store.sql("SELECT item, insurance FROM stg_gear").fetchall() if yes}
    # Two of five in the emergency kit (the pump is the bike's) are under a half, one of two is one.
    assert insured == {"plaster", "whistle", "lighter", "tape", "mug"}
    rows[4]["kit"] = None
    fill(store, {"gear": rows})
    insured = {i for i, yes in store.sql("SELECT item, insurance FROM stg_gear").fetchall() if yes}
    assert {"lamp", "tablets"} <= insured, "two of four"
    assert "pump" not in insured
    assert "spoon" not in insured


def test_what_was_given_up_neither_takes_insurance_away_nor_lends_it_for_ever(store: Any) -> None:
    old = {"retired_on": date(2025, 1, 1), "kit": "K"}
    rows = [
        blank("lamp", "light", kit="K"),
        blank("plaster", "first_aid", kit="K"),
        *(blank(f"old-{n}", "light", **old) for n in range(3)),
    ]
    fill(store, {"gear": rows})
    assert dict(store.sql("SELECT item, insurance FROM stg_gear").fetchall())["lamp"]


def test_a_kit_shows_in_the_marts_and_in_the_verdict(store: Any) -> None:
    items = [
        blank("lamp", "light", 80_000, kit="K"),
        blank("plaster", "first_aid", 9_000, kit="K"),
        blank("mug", "cook"),
    ]
    one = judged(store, book(items, "mug"))["lamp"]
    assert (one.verdict, one.why) == ("kept_on_purpose", "insurance")
    assert "without needing it" not in verdict_reversal(one)
    assert {r["unused_insurance_g"] for r in store.view("trips").df().to_dict("records")} == {89.0}


# What stays for the sake of others.


def test_what_is_borrowed_or_needed_is_kept_whatever_the_count(store: Any) -> None:
    items = [
        gear("stove", "cook", needs=["gas"]),
        gear("gas", "cook"),
        gear("kite", "leisure", owner="Ann"),
    ]
    for trips in (2, 30):
        found = judged(store, book(items, "stove", trips=trips))
        assert {i: (j.verdict, j.why) for i, j in found.items()} == {
            "stove": ("keep", "used"),
            "gas": ("keep", "needed"),
            "kite": ("keep", "borrowed"),
        }


@pytest.mark.parametrize("called", ["day-bag", "DAY bag", "Daypack, small"])
def test_the_bag_of_what_stays_is_kept(store: Any, called: str) -> None:
    bag = gear("day-bag", "other", name="Daypack, small", going_without=1.0)
    items = [bag, gear("mug", "cook"), gear("book", "leisure")]
    found = judged(store, book(items, "mug", of_row={"mug": {"bag": called}}))
    assert (found["day-bag"].verdict, found["day-bag"].why) == ("keep", "packed")
    assert verdict_reason(found["day-bag"]).endswith("but it was the bag of “Mug”.")
    found = judged(store, book(items, "mug", of_row={"book": {"bag": called}}))
    assert found["day-bag"].verdict == "leave", "all that it held stays at home"
    asked = ask_cull(store, Scope(), Wish(), regret={}, today=TODAY)
    for point in frontier(asked.problem.programme()):
        assert "day-bag" not in point.items or "book" in point.items


@pytest.mark.parametrize(
    ("mode", "kept"),
    [
        ("bike", {"bike", "rack"}),
        ("ebike", {"bike", "rack"}),
        ("mixed", {"bike", "rack", "vest"}),
        ("paddle", {"vest", "rack"}),
        (None, {"bike", "rack", "vest"}),
        ("foot", set()),
    ],
)
def test_what_belongs_to_a_vehicle_is_kept_where_it_was_travelled_by(
    store: Any, mode: str | None, kept: set[str]
) -> None:
    items = [
        blank("bike", "bike"),
        blank("rack", "other", carried_as="vehicle"),
        blank("vest", "boat"),
    ]
    found = judged(store, book(items, of_trip={"mode": mode}))
    assert {i for i, j in found.items() if j.why == "bound"} == kept
    assert {j.verdict for i, j in found.items() if i not in kept} <= {"owner_to_say"}


def test_a_spare_battery_is_judged_by_its_record(store: Any) -> None:
    items = [
        blank("e-bike", "bike", 24_000_000, capacity_wh=600.0, carried_as="vehicle"),
        blank("spare", "bike", 3_000_000, capacity_wh=600.0, carried_as="vehicle"),
        blank("lock", "bike", 500_000, carried_as="vehicle"),
    ]
    said = [items[0], {**items[1], "going_without": 1.0}, items[2]]
    silent = {"e-bike": "keep", "lock": "keep", "spare": "owner_to_say"}
    for trips, verdict in ((4, "too_few_trips"), (8, "leave")):
        tables = book(items, "e-bike", trips=trips, of_trip={"mode": "ebike"})
        assert verdicts(store, tables) == silent, "no countdown without its owner's word"
        found = verdicts(store, book(said, "e-bike", trips=trips, of_trip={"mode": "ebike"}))
        assert found == {**silent, "spare": verdict}


@pytest.mark.parametrize("mode", ["foot", "ebike", "paddle", None])
@pytest.mark.parametrize("trips", [0, 1, 3, 7])
def test_what_is_counted_down_may_be_left_at_the_end_of_it(
    store: Any, mode: str | None, trips: int
) -> None:
    items = [
        *(blank(system, system) for system in SYSTEMS if system != "rain"),
        blank("e-bike", "bike", 24_000_000, capacity_wh=600.0, carried_as="vehicle"),
        blank("spare", "bike", 3_000_000, capacity_wh=600.0, carried_as="vehicle"),
        gear("kite", "leisure"),
        gear("cape", "rain", essential=False, meant_for=["wet"], going_without=1.0),
    ]

    def after(more: int) -> dict[str, Judged]:
        of_trip = {"mode": mode}
        tables = book(items, "e-bike", trips=max(1, trips + more), of_trip=of_trip)
        tables["weather"] = [
            {"trip": f"t{n:02d}", "day": START + timedelta(3 * n), "wet": True, "conditions": []}
            for n in range(max(1, trips + more))
        ]
        return judged(store, tables)

    now, later = after(0), after(FARTHEST)
    counted = {i for i, j in now.items() if "without needing it, and" in verdict_reversal(j)}
    assert {i: later[i].verdict for i in counted} == dict.fromkeys(counted, "leave")
    assert "spare" not in counted
    assert "cape" not in counted, "the only rain gear"
    assert trips > 6 or "kite" in counted


# What its owner has not said.

ALL_BLANK = [blank(system, system) for system in SYSTEMS]
SILENT = ("clothing", "light", "power", "food", "cook", "hygiene")


@pytest.mark.parametrize("system", SILENT)
def test_where_silence_proves_nothing_the_owner_is_asked(store: Any, system: str) -> None:
    items = [
        blank("x", system),
        blank("costed", system, going_without=1.0),
        blank("wet", system, meant_for=["wet"]),
        blank("free", system, essential=False),
    ]
    wet = [
        {"trip": f"t{n:02d}", "day": START + timedelta(3 * n + d), "wet": True}
        for n in range(30)
        for d in (0, 1)
    ]
    found = judged(store, book(items, weather=wet))
    assert {i: j.verdict for i, j in found.items()} == {
        "x": "owner_to_say",
        "costed": "owner_to_say",
        "wet": "leave",
        "free": "leave",
    }
    assert typing(found["x"].about, Display()) in verdict_reversal(found["x"])
    assert question(found["x"].about).endswith("?")
    assert verdicts(store, book(items[:1], trips=2)) == {"x": "owner_to_say"}


@pytest.mark.parametrize("undecided", [False, True])
def test_where_nothing_is_said_leisure_alone_may_stay_at_home(store: Any, undecided: bool) -> None:
    """All optional columns blank, one thing of each system, never used on any of 90 trips."""
    leave = {i for i, v in verdicts(store, book(ALL_BLANK, trips=90)).items() if v == "leave"}
    assert leave == {"leisure"}
    wish = Wish(save_g=90_000.0, undecided=undecided)
    asked = ask_cull(store, Scope(), wish, regret={}, today=TODAY)
    assert {i for point in frontier(asked.problem.programme()) for i in point.items} == {"leisure"}
    assert set(asked.problem.saved_mg) == {"leisure"}


@pytest.mark.parametrize("system", sorted({*SYSTEMS} - {"leisure"}))
def test_a_figure_in_regret_says_nothing_of_what_a_thing_is_for(store: Any, system: str) -> None:
    """[regret] is of a whole system: it makes no thing cheap enough to go unasked."""
    fill(store, book([blank(system, system)], trips=90))
    counted = usage(store)
    (one,) = judge(counted, {system: 0.1}, TODAY, circumstances(store, counted))
    assert one.verdict in ("keep", "kept_on_purpose", "owner_to_say")


@pytest.mark.parametrize("system", INSURANCE_SYSTEMS)
def test_saying_that_it_is_no_insurance_does_not_say_what_it_is_for(
    store: Any, system: str
) -> None:
    items = [
        blank("x", system, insurance=False),
        blank("free", system, insurance=False, essential=False),
    ]
    many = 90 if system != "repair" else 26
    found = verdicts(store, book(items, trips=many))
    assert found == {"x": "owner_to_say", "free": "leave"}


@pytest.mark.parametrize("system", ["bags", "bike", "boat", "other"])
def test_of_bags_and_the_like_any_word_will_do(store: Any, system: str) -> None:
    items = [
        blank("x", system),
        blank("costed", system, going_without=1.0),
        blank("free", system, essential=False),
    ]
    assert verdicts(store, book(items)) == {"x": "owner_to_say", "costed": "leave", "free": "leave"}


def test_what_is_asked_can_be_typed_in_the_owners_unit() -> None:
    hat = Item(
        "hat", "Hat", "clothing", "base", None, False, False, None, None, None, None, Meaning(), ()
    )
    assert "cold_below_c" in typing(hat, Display())
    assert "cold_below_f" in typing(hat, Display(temperature="f"))
    assert not keep_rules.is_stated(hat)
    assert keep_rules.is_stated(replace(hat, meaning=Meaning(frozenset({"cold"}), 5.0)))


def test_used_or_not_nothing_unsaid_is_an_option(store: Any) -> None:
    """Used on one of thirty trips, so kept; a target far below must not open it."""
    tables = book([blank("hat", "clothing"), gear("mug", "cook"), gear("book", "leisure")], "mug")
    tables["carried"][0]["used"] = 1
    fill(store, tables)
    for undecided in (False, True):
        wish = Wish(save_g=90_000.0, undecided=undecided)
        asked = ask_cull(store, Scope(), wish, regret={}, today=TODAY)
        assert set(asked.problem.saved_mg) == {"book"}


# Trips to come, beyond what was seen.

SUMMER = Range(frozenset({6, 7}), frozenset({"foot"}), 3, 6.0)
TRIP = TripToCome("x", "X", frozenset({8}), "foot", 2, 8.0)


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({}, None),
        ({"months": frozenset({5})}, None),
        ({"months": frozenset({4})}, "month"),
        ({"months": frozenset({8, 9})}, "month"),
        ({"mode": "bike"}, "mode"),
        ({"mode": None}, "mode_not_noted"),
        ({"nights": 3}, None),
        ({"nights": 4}, "nights"),
        ({"usual_low_c": 6.0}, None),
        ({"usual_low_c": 5.9}, "low"),
        ({"usual_low_c": None}, "low_not_known"),
        ({"usual_low_c": None, "months": frozenset({6, 7})}, None),
    ],
)
def test_a_trip_lies_outside(changed: dict[str, Any], told: str | None) -> None:
    assert outside(SUMMER, replace(TRIP, **changed)) == told


def test_lows_that_were_never_measured_reach_no_farther_than_their_months() -> None:
    blind = replace(SUMMER, lowest_c=None)
    assert outside(blind, TRIP) == "low_not_known"
    assert outside(blind, replace(TRIP, months=frozenset({7}))) is None
    assert outside(Range(), TRIP) == "mode"
    winter = replace(SUMMER, months=frozenset({12}))
    assert outside(winter, replace(TRIP, months=frozenset({1}))) is None, "over the year's end"
    assert months_of(0b100000000001) == {1, 12}


def test_beyond_the_record_only_leisure_is_advised_against(store: Any) -> None:
    items = [gear("board", "cook"), gear("book", "leisure"), gear("mug", "cook")]
    fill(store, book(items, "mug"))
    counted = usage(store)
    around = circumstances(store, counted)
    january = TripToCome("x", "Snow", frozenset({1}), "foot", 1, None)
    found = {
        j.about.item: j for j in judge(counted, {}, TODAY, replace(around, to_come=(january,)))
    }
    assert {i: j.verdict for i, j in found.items()} == {
        "board": "keep",
        "book": "leave",
        "mug": "keep",
    }
    assert verdict_reason(found["board"]) == (
        "Never used on 30 occasions; but its record does not reach as far: “Snow” is at a time of "
        "year of which its record knows nothing."
    )
    june = replace(january, months=frozenset({6}))
    found = {j.about.item: j for j in judge(counted, {}, TODAY, replace(around, to_come=(june,)))}
    assert found["board"].verdict == "leave"


PROTECTING = [
    *("candle-lantern", "reading-lamp", "hot-water-bottle", "thermos-flask", "poncho", "sun-hat"),
    *("sit-mat", "wool-scarf", "trekking-umbrella", "book-light", "water-filter", "phone"),
]
IDLE = ("book", "travel-draughts", "flute", "field-guide", "notepad", "headphones", "light-chair")


def test_what_may_keep_warm_dry_or_lit_is_no_leisure_for_its_system(store: Any) -> None:
    """Four columns, filed under leisure and never out of its bag: silence about what it is for."""
    idle, named = ([blank(i, "leisure") for i in ids] for ids in (IDLE, PROTECTING))
    found = judged(store, book([*named, *idle]))
    assert {i for i, j in found.items() if j.verdict == "leave"} == set(IDLE)
    assert {j.verdict for i, j in found.items() if i in PROTECTING} == {"owner_to_say"}
    assert all(protects(found[i].about) for i in PROTECTING)


def test_what_may_protect_goes_no_farther_than_its_record(store: Any) -> None:
    items = [
        gear("poncho", "leisure", essential=False),
        gear("book", "leisure"),
        gear("mug", "cook"),
    ]
    fill(store, book(items, "mug"))
    counted = usage(store)
    around = circumstances(store, counted)
    for month, verdict in ((1, "keep"), (6, "leave")):
        ahead = TripToCome("x", "Snow", frozenset({month}), "foot", 1, None)
        found = judge(counted, {}, TODAY, replace(around, to_come=(ahead,)))
        told = {j.about.item: j.verdict for j in found}
        assert (told["poncho"], told["book"]) == (verdict, "leave")


def test_each_things_own_record_counts(store: Any) -> None:
    """The board came along in May only, though other trips went on into July."""
    tables = book([gear("board", "cook"), gear("mug", "cook")], "mug")
    tables["carried"] = [
        row for row in tables["carried"] if row["item"] == "mug" or row["trip"] < "t10"
    ]
    fill(store, tables)
    counted = usage(store)
    july = TripToCome("x", "July", frozenset({7}), "foot", 1, None)
    around = replace(circumstances(store, counted), to_come=(july,))
    held = keep_rules.holds_on(counted, TODAY, around)
    assert held["board"].how == "month"
    assert "mug" not in held


def test_a_leave_names_the_trips_behind_it(store: Any) -> None:
    tables = book([gear("book", "leisure")])
    tables["weather"] = [{"trip": "t00", "day": START, "low_c": 3.4}]
    one = judged(store, tables)["book"]
    assert verdict_reason(one).endswith(
        "That rests on trips in May to July, on foot, of up to 1 night, with lows down to "
        "3\u202f°C."
    )
    assert "38\u202f°F" in verdict_reason(one, Display(temperature="f"))
    assert months({12, 1, 5, 6, 7, 10}) == "May to July, October and December to January"
    assert months(range(1, 13)) == "all months"
    assert seen(Range()) == "of whose lows none was noted"


# Nights that were, or may be, too cold.


def votes(cold: int, fine: int) -> list[Row]:
    warmth = [-2] * cold + [0] * fine
    return [
        {
            "trip": f"t{n:02d}",
            "day": START + timedelta(3 * n),
            "aspect": "sleep",
            "score": 3,
            "warmth": w,
        }
        for n, w in enumerate(warmth)
    ]


@pytest.mark.parametrize(
    ("cold", "fine", "kept"),
    [
        (0, 4, {"mitts"}),
        (0, 5, set()),
        (1, 9, {"mitts", "shirt", "liner"}),
        (1, 10, set()),
        (1, 1, {"mitts", "shirt", "liner"}),
        (0, 0, {"mitts"}),
    ],
)
def test_while_nights_were_too_cold_nothing_that_keeps_warm_stays_at_home(
    store: Any, cold: int, fine: int, kept: set[str]
) -> None:
    items = [
        gear("mitts", "rain", meant_for=["cold"], cold_below_c=20.0),
        gear("shirt", "clothing"),
        gear("liner", "sleep"),
        gear("quilt", "sleep", essential=True),
        gear("book", "leisure"),
        gear("cape", "rain"),
    ]
    lows = [{"trip": f"t{n:02d}", "day": START + timedelta(3 * n), "low_c": 9.0} for n in range(30)]
    tables = book(items, "quilt cape", weather=lows, comfort=votes(cold, fine))
    found = judged(store, tables)
    leave = {i for i, j in found.items() if j.verdict == "leave"}
    assert leave == {"mitts", "shirt", "liner", "book"} - kept
    for undecided in (False, True):
        wish = Wish(save_g=90_000.0, undecided=undecided)
        asked = ask_cull(store, Scope(), wish, regret={}, today=TODAY)
        assert not kept & asked.problem.saved_mg.keys()


@pytest.mark.parametrize(("chance", "held"), [(0.1, False), (0.101, True)])
def test_a_cold_night_ahead_keeps_them_too(store: Any, chance: float, held: bool) -> None:
    fill(store, book([gear("shirt", "clothing"), gear("book", "leisure")]))
    counted = usage(store)
    found = keep_rules.holds_on(counted, TODAY, Circumstances(p_too_cold=(chance, "Frost")))
    assert ("shirt" in found) is held
    assert "book" not in found


def test_a_bed_that_lacks_its_mat_keeps_them_whatever_the_chance(store: Any) -> None:
    fill(store, book([gear("shirt", "clothing"), gear("book", "leisure")]))
    around = Circumstances(p_too_cold=(0.01, "Fair"), bed_wanting="Frost")
    found = keep_rules.holds_on(usage(store), TODAY, around)
    assert found["shirt"] == keep_rules.Hold("bed_wanting", ("Frost",))
    assert "book" not in found


# One answer for whoever asks.


def test_what_is_held_back_is_told_of_everything_owned(store: Any) -> None:
    items = [blank("hat", "clothing"), gear("book", "leisure"), gear("mug", "cook")]
    tables = book(items, "mug")
    tables["gear"] = [*items, gear("never-along", "leisure")]
    fill(store, tables)
    held = held_back(store, TODAY)
    assert set(held) == {"hat", "never-along"}
    assert held["hat"].startswith("You have not said what it is for")
    assert all(why.endswith(".") for why in held.values())
    rows = {r["item"]: r for r in ask(store, "store/gear_today")}
    fill(store, {"gear": tables["gear"]})
    assert set(held_back(store, TODAY)) == set(rows), (
        "without a trip nothing may be advised against"
    )
