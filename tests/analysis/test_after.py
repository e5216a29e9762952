"""A trip that is over beside its forecast: by hand, on the demo and its truth, over seasons."""

import csv
import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any, Literal

import pytest
from tarebook.analysis.ahead.after import (
    AmountAfter,
    ColdAfter,
    _amount,
    _amounts,
    _batteries,
    after_trip,
    main_amounts,
)
from tarebook.analysis.ahead.energy import battery_ahead, formula_wh
from tarebook.analysis.ahead.kept_words import cold_kept
from tarebook.analysis.ahead.needs import needs_of
from tarebook.analysis.ahead.plan import trip_ahead
from tarebook.analysis.ahead.results import Need, TripAhead
from tarebook.analysis.ahead.scores import (
    AmountScore,
    ColdScore,
    _amount_scores,
    _cold_score,
    amount_scores,
)
from tarebook.analysis.debrief.page import expected_section
from tarebook.analysis.debrief.page.expected_section import kept_sentence
from tarebook.analysis.display.words import Display, mass, mass_up
from tarebook.analysis.stats.estimate import Estimate
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.store.trip_choice import choose_trip
from tarebook.tripdata.demo import truth
from tarebook.tripdata.demo.consumption import level_wh
from tarebook.tripdata.store import load_logbook, store_path

TODAY = date(2026, 11, 25)


def need(
    system: str = "food",
    item: str | None = None,
    take: float = 1000,
    trips: int = 3,
    expected: float = 800,
    unit: Literal["g", "Wh"] = "g",
) -> Need:
    amount = Estimate(expected, expected / 2, expected * 2, 0.9, trips)
    return Need(system, item, item or system, unit, 3, amount, take, None, None, trips, 0, 0.2)


@pytest.mark.parametrize(
    ("used", "used_up", "held"),
    [
        (1000.0, False, "enough"),
        (1000.1, False, "short"),
        (900.0, True, "open"),
        (1000.0, True, "open"),
        (1000.1, True, "short"),
    ],
)
def test_an_amount_that_was_used_up_says_only_that_more_was_too_little(
    used: float, used_up: bool, held: str
) -> None:
    assert AmountAfter(need(), used, 1200, 1200 - used, used_up).held == held


def test_a_system_counts_once_by_its_own_forecast() -> None:
    whole, bread = AmountAfter(need(), 500), AmountAfter(need(item="bread"), 400)
    oil = AmountAfter(need(item="oil", expected=90, take=100), 101)
    gas = AmountAfter(need("cook", "gas", take=60, expected=40), 61)
    assert main_amounts((whole, bread, oil, gas)) == (whole, gas)
    assert main_amounts((oil, bread, gas)) == (bread, gas)
    prior = AmountAfter(need("cook", "gas", trips=0), 5)
    scores = _amount_scores([(whole, bread, oil, gas), (oil, bread), (prior,)])
    assert [(s.system, s.enough, s.short, s.open_ended) for s in scores] == [
        ("cook", 0, 1, 0),
        ("food", 2, 0, 0),
    ]


def test_energy_stands_after_what_is_eaten_and_burnt() -> None:
    wh = AmountAfter(need("bike", "e-bike", unit="Wh"), 900)
    scores = _amount_scores([(wh, AmountAfter(need(), 500, used_up=True))])
    assert [(s.system, s.unit, s.trips, s.open_ended) for s in scores] == [
        ("food", "g", 1, 1),
        ("bike", "Wh", 1, 0),
    ]


def chance(p: float) -> Estimate:
    return Estimate(p, 0.0, 1.0)


def test_brier_by_hand() -> None:
    """(.2^2 + .5^2 + .9^2) / 3 = .3667; who says 1/3 each time: 1/3 x 2/3. Brier 1950."""
    seen = [
        ColdAfter(chance(0.2), 2, 2, 0),
        ColdAfter(chance(0.5), 3, 1, 1),
        ColdAfter(chance(0.9), 1, 1, 0),
        ColdAfter(chance(0.9), 2, 1, 0),  # not all nights judged, none too cold: not known
    ]
    assert [each.came for each in seen] == [False, True, False, None]
    pairs = [(each.p_any.value, each.came) for each in seen]
    found = _cold_score(pairs)
    assert isinstance(found, ColdScore)
    assert (found.trips, found.came) == (3, 1)
    assert found.expected == pytest.approx(1.6)
    assert found.brier == pytest.approx((0.04 + 0.25 + 0.81) / 3)
    assert found.usual_brier == pytest.approx(2 / 9)
    assert found.sd == pytest.approx((0.16 + 0.25 + 0.09) ** 0.5)
    assert _cold_score(pairs[3:]) is None


def amounts(system: str, enough: int, short: int, open_ended: int, unit: Any = "g") -> AmountScore:
    return AmountScore(system, system, unit, enough, short, open_ended)


@pytest.mark.parametrize(
    ("scores", "sentence"),
    [
        ((), ""),
        ((amounts("food", 4, 0, 0),), ""),
        (
            (amounts("food", 17, 2, 0),),
            "The amount forecast would have been enough food on 17 of 19 trips.",
        ),
        (
            (amounts("cook", 23, 0, 0), amounts("food", 18, 0, 6)),
            "The amount forecast would have been enough fuel on all 23 trips, and enough food on "
            "all 18 trips where it can be told.",
        ),
        (
            (amounts("cook", 0, 5, 0), amounts("food", 0, 0, 6)),
            "The amount forecast would have been enough fuel on none of 5 trips. Of food nobody "
            "can tell: all was used up on all 6 trips.",
        ),
        (
            (amounts("cook", 5, 0, 0), amounts("food", 8, 1, 3), amounts("bike", 4, 1, 0, "Wh")),
            "The amount forecast would have been enough fuel on all 5 trips, enough food on 8 of "
            "the 9 trips where it can be told, and enough battery energy on 4 of 5 trips.",
        ),
    ],
)
def test_the_score_is_one_whole_sentence(scores: tuple[AmountScore, ...], sentence: str) -> None:
    assert kept_sentence(scores).replace("\u202f", " ") == sentence


@pytest.mark.parametrize(
    ("score", "sentence"),
    [
        (None, ""),
        (ColdScore(4, 4, 0.1, 0.9, 0.0, 0.3), ""),
        (
            ColdScore(23, 10, 6.05, 0.25, 0.25, 2.0),
            "Of 23 trips about 6 would have had a too cold night by forecasts made beforehand, and "
            "10 had one: nights are too cold oftener than forecast.",
        ),
        (
            ColdScore(23, 8, 6.05, 0.25, 0.25, 2.0),
            "Of 23 trips about 6 would have had a too cold night by forecasts made beforehand, and "
            "8 had one.",
        ),
        (
            ColdScore(23, 1, 6.05, 0.25, 0.25, 2.0),
            "Of 23 trips about 6 would have had a too cold night by forecasts made beforehand, and "
            "1 had one: seldomer than forecast.",
        ),
    ],
)
def test_how_chances_of_cold_held_is_told(score: ColdScore | None, sentence: str) -> None:
    assert cold_kept(score).replace("\u202f", " ") == sentence


def test_the_demos_battery_and_the_formula_are_one_but_for_the_air() -> None:
    """The demo's days know no air: what the formula has of it, the personal factor takes away."""
    for km, ascent_m, kg in ((50.0, 500.0, 120.0), (70.0, 90.0, 110.0), (20.0, 900.0, 130.0)):
        ours, theirs = formula_wh(km, ascent_m, kg), level_wh(kg, km, ascent_m)
        air = km * 11 / 0.976 / 3.6 / 0.8
        assert ours - air == pytest.approx(theirs, rel=1e-9)


# --- The demo and its truth --------------------------------------------------------------------


def ahead_of(store: Any, trip: str) -> TripAhead:
    return trip_ahead(store, choose_trip(store, trip))


@pytest.mark.parametrize("item", sorted(truth.NEED))
def test_the_last_forecast_holds_the_true_need(demo: Any, item: str) -> None:
    ahead = ahead_of(demo, "2027-05-larkspur-flat")
    (forecast,) = [each for each in needs_of(demo, ahead) if each.item == item]
    true = truth.NEED[item]
    assert forecast.days == (ahead.days if true.each == "day" else ahead.nights)
    assert forecast.amount.low < true.median_g * forecast.days < forecast.amount.high
    assert forecast.trips >= 20
    assert (forecast.used_up > 0) == (item in ("food", "coffee"))


def test_the_last_forecast_holds_what_the_battery_truly_gives(demo: Any) -> None:
    ahead = ahead_of(demo, "2027-05-larkspur-flat")
    (battery,) = battery_ahead(demo, ahead)
    assert battery.need is not None
    rows = demo.sql(
        "SELECT sum(row_mg) / 1e6 FROM carried_rows WHERE trip = '2027-05-larkspur-flat' AND on_me"
    ).fetchall()
    kg = truth.BODY_KG + float(rows[0][0])
    level = sum(level_wh(kg, d.distance_km or 0, d.ascent_m or 0) for d in ahead.way)
    amount = battery.need.amount
    assert amount.low < truth.WH_FACTOR * level < amount.high
    assert battery.logged_days == 15
    assert battery.p_spare_needed is not None
    assert 0.1 < battery.p_spare_needed < 0.9


def test_the_score_in_one_go_is_that_of_trip_by_trip(demo: Any) -> None:
    today = date(2025, 6, 15)
    past = demo.sql(
        f"SELECT trip FROM stg_trips WHERE NOT plan AND end_on <= '{today}' ORDER BY start_on"
    ).fetchall()
    trips = []
    for (name,) in past:
        ahead = ahead_of(demo, name)
        energy = [amount for amount, _ in _batteries(demo, ahead.trip, ahead)]
        trips.append((*_amounts(demo, ahead), *energy))
    together = amount_scores(demo, today)
    assert together == _amount_scores(trips)
    food = next(each for each in together if each.system == "food")
    assert food.trips == food.enough + food.short + food.open_ended >= 10
    assert food.open_ended >= 2
    assert {each.system for each in together} == {"food", "cook", "bike"}


def test_a_trip_is_judged_by_nothing_later(demo: Any, demo_folder: Path, tmp_path: Path) -> None:
    """As it is in the whole logbook, so it is in one that ends with it."""
    name, day = "2025-05-salal-point", "2025-05-30"
    short = tmp_path / "short"
    shutil.copytree(demo_folder, short, ignore=shutil.ignore_patterns(".tarebook", "reports"))
    later: set[str] = set()

    def cut(file: str, column: str) -> None:
        with (short / file).open(encoding="utf-8", newline="") as opened:
            rows = list(csv.DictReader(opened))
        with (short / file).open("w", encoding="utf-8", newline="") as opened:
            writer = csv.DictWriter(opened, rows[0])
            writer.writeheader()
            writer.writerows(row for row in rows if row[column] <= day)
        later.update(row["trip"] for row in rows if row[column] > day and "trip" in row)

    cut("trip.csv", "start_on")
    cut("weighings.csv", "weighed_on")
    assert len(later) > 10
    for each in later:
        shutil.rmtree(short / "trips" / each)
    load_logbook(short)
    whole = after_trip(demo, choose_trip(demo, name))
    with open_store(store_path(short)) as store:
        assert after_trip(store, choose_trip(store, name)) == whole
    assert {a.need.item for a in whole.amounts} >= {"food", "gas-cartridge", "e-bike", None}
    assert whole.batteries[0].days == 3
    assert whole.cold is not None
    assert whole.cold.judged == whole.cold.nights == 2


# --- By hand -----------------------------------------------------------------------------------

GEAR = """item,name,system,weight_g,carried_as
tent,Tent,shelter,1200,
food,Food,food,2000,consumable
gas,Gas,cook,230,consumable
pillow,Pillow,leisure,80,
"""
TRIPS = """trip,start_on,end_on,mode,plan
one,2026-04-03,2026-04-05,foot,
two,2026-05-01,2026-05-03,foot,
three,2026-06-05,2026-06-07,foot,
four,2026-07-03,2026-07-05,foot,
next,2026-08-07,2026-08-09,foot,yes
"""
LEFT = {"one": "500", "two": "200", "three": "0", "four": "350"}
"""Of 2 kg of food each, so that 1.5, 1.8, at least 2 and 1.65 kg were used."""


@pytest.fixture(scope="module")
def by_hand(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("by-hand")
    (folder / "gear.csv").write_text(GEAR, encoding="utf-8")
    (folder / "trip.csv").write_text(TRIPS, encoding="utf-8")
    for trip, left in LEFT.items():
        home = folder / "trips" / trip
        home.mkdir(parents=True)
        pillow = "" if trip == "four" else "pillow,,\n"
        (home / "carried.csv").write_text(
            f"item,weight_g,brought_home_g\ntent,,\n{pillow}food,2000,{left}\ngas,230,\n",
            encoding="utf-8",
        )
    (folder / "trips" / "four" / "wished.csv").write_text("item,what\npillow,\n,Kite\n")
    load_logbook(folder)
    return folder


def plain(text: str) -> str:
    return text.replace("\u202f", " ")


def test_what_was_expected_by_hand(by_hand: Path, debrief_page: Callable[..., Any]) -> None:
    page = debrief_page(by_hand, "four")
    with open_store(store_path(by_hand)) as store:
        needs = {n.item: n for n in needs_of(store, ahead_of(store, "four"))}
    food = needs["food"]
    assert (food.trips, food.used_up) == (3, 1)
    middle, generous = (
        plain(mass(g, Display())) for g in (food.amount.value, food.take_for_9_in_10)
    )
    section = page.expected()
    assert [plain(line) for line in section.answer] == [
        # None of the three before was at its time of year.
        "Of “Food”, what had been enough on nine trips in ten before was enough here, too. Add "
        "your own reserve.",
        f"“Food”: 1.65 kg of the 2.00 kg taken was used ({middle} expected; {generous} had been "
        "enough on nine trips in ten, none of which was like this one).",
        "Missed, and named beforehand as maybe forgotten: “Pillow”.",
    ]
    assert section.for_index == ""
    assert section.caution is None
    assert section.table is None
    assert "no later trip is in that" in section.notes[0]


def test_what_was_all_used_and_what_practice_alone_expected(
    by_hand: Path, debrief_page: Callable[..., Any]
) -> None:
    """Of gas no leftover is noted, so that nothing is said of it."""
    short, third, *_ = map(plain, debrief_page(by_hand, "three").expected().answer)
    assert short.startswith("Of “Food”, all was used up, so nobody knows whether")
    assert third.startswith(
        "“Food”: all of the 2.00 kg taken was used, so the need was at least that ("
    )
    first = debrief_page(by_hand, "one").expected()
    assert plain(first.answer[1]).startswith(
        "“Food”: 1.50 kg of the 2.00 kg taken was used (2.10 kg expected; "
    )
    assert "No earlier trip has a record of “Food”" in first.notes[1]
    assert "Gas" not in first.text()


def test_an_amount_for_nine_in_ten_is_never_told_rounded_down() -> None:
    """1,010 g are 2.2267 lb and 35.627 oz: 2.23 lb and 35.7 oz, as before the trip."""
    ounces = Display("oz", "f", "mi")
    after = AmountAfter(need(take=1010, expected=700), 650, 800, 150)
    assert "2.23 lb is enough for nine trips in ten" in plain(
        expected_section._amount(after, ounces)
    )
    table = expected_section._table([after, after], ounces)
    assert plain(str(table.rows[0]["generous"])) == "35.7 oz"
    assert plain(mass_up(1010, ounces)) == "2.23 lb"


def test_nothing_is_said_where_nothing_is_known(
    logbook: Callable[[str], Path], debrief_page: Callable[..., Any]
) -> None:
    section = debrief_page(logbook("lakes"), "2026-02-hut").expected()
    assert section.missing == "nothing of what can be expected"
    assert section.html() == ""


def test_a_can_that_came_home_empty_leaves_open_whether_it_did() -> None:
    """Cans of one weight, before and now, were empty: the need was at least what was in them."""

    def row(trip: str, left_mg: int) -> dict[str, Any]:
        return {
            "trip": trip,
            "item": "gas",
            "system": "cook",
            "days": 3,
            "nights": 2,
            "people": 1,
            "taken_mg": 230_000,
            "left_mg": left_mg,
            "cans": [{"full_mg": 230_000, "left_mg": left_mg, "pieces": 1}],
        }

    before = [row("a", 100_000), row("b", 180_000)]
    (empty,) = _amount(need("cook", "gas", take=200), [row("now", 100_500)], before, 1)
    assert (empty.used_up, empty.held) == (True, "open")
    again = [*before, row("c", 101_000)]
    (some,) = _amount(need("cook", "gas", take=200), [row("now", 150_000)], again, 1)
    assert (some.used_up, some.held) == (False, "enough")
