"""Camps that were colder than the normals, and how the chance of a too cold night takes them on."""

import itertools
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from typing import Any

import numpy as np
import pytest
from scipy import stats
from store_drawing import empty_store
from tarebook.analysis.climate import words as climate_words
from tarebook.analysis.climate.outlook import Outlook
from tarebook.analysis.cold import note_words, words
from tarebook.analysis.cold.camps import PLACE_SD_C, PRIOR_SD_C, CampsOff, camps_off
from tarebook.analysis.cold.trips import ColdAhead, cold_forecasts
from tarebook.analysis.display.words import Display
from tarebook.analysis.stats.ar1_chain import NIGHT_TO_NIGHT
from tarebook.analysis.store.trip_choice import choose_trip
from tarebook.analysis.tables import entry
from test_cold_answers import BAG, HERE, MAT, TODAY, Tables, joined, nights_in, plan, put

NORMAL_C, SD_C = 7.0, 2.5  # of every night, as `put` has them
COLDER = [-3.0, -2.0, -1.0, -2.5, -1.5, -2.0]


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def trips_off(*off_c: float, judged: bool = True) -> Tables:
    """A trip of two nights for each, that far off their normal on average, and a plan."""
    lows = [NORMAL_C + off + step for off in off_c for step in (-0.5, 0.5)]
    tables = nights_in([BAG, MAT], lows, 3.2)
    return joined(tables if judged else {**tables, "comfort": []}, plan("bag", "mat"))


def forecast(store: Any) -> ColdAhead:
    (ahead,) = cold_forecasts(store, [choose_trip(store, "plan")])
    return ahead


def known(store: Any, before: date = TODAY) -> CampsOff:
    camps = camps_off(store, before)
    assert camps is not None
    return camps


def plain(sentence: str) -> str:
    return sentence.replace("\u202f", " ")


def test_one_night_by_hand(store: Any) -> None:
    # One night, 3 °C below its normal. What it says of camps is off by the place (1.5² = 2.25) and
    # the weather (2.5² = 6.25): 8.5. Against 2.25 beforehand its weight is 2.25 / 10.75 = .2093.
    tables = trips_off(-2.5)
    tables["weather"] = tables["weather"][:1]
    put(store, tables, NORMAL_C)
    camps = known(store)
    assert (PRIOR_SD_C, PLACE_SD_C) == (1.5, 1.5)
    assert camps.measured_c == pytest.approx(-3.0)
    assert camps.offset_c.value == pytest.approx(-0.627907, abs=1e-6)
    assert camps.taken_c == camps.offset_c.value
    # Left of the variance: 2.25 x 8.5 / 10.75 = 1.779070; carried on: .2093 of it, .372363.
    assert camps.sd_c**2 == pytest.approx(1.779070, abs=1e-6)
    assert camps.doubt_c**2 == pytest.approx(0.372363, abs=1e-6)
    assert camps.offset_c.high - camps.offset_c.value == pytest.approx(1.644854 * 1.333818, 1e-5)
    assert (camps.offset_c.n, camps.nights) == (1, 1)


def test_it_is_the_posterior_by_brute_force(store: Any) -> None:
    # Second implementation: trips of one, two and four nights, their covariance in full, and the
    # prior times the likelihood of their means on a fine grid.
    off = {2: [-4.0, -2.5], 1: [1.0], 4: [-1.0, -2.0, -5.0, -3.0]}
    tables: Tables = {"gear": [BAG, MAT], "trip": [], "carried": [], "weather": []}
    grid = np.linspace(-12, 12, 48_001)
    density = stats.norm.pdf(grid, 0, 1.5)
    for nights, lows in off.items():
        start, name = date(2026, 3 + nights, 1), f"t{nights}"
        row = {"trip": name, "start_on": start, "end_on": start + timedelta(nights), **HERE}
        tables["trip"].append({"title": name, "plan": False, "people": 1, "mode": "foot", **row})
        for n, each in enumerate(lows):
            day = start + timedelta(n)
            tables["weather"].append({"trip": name, "day": day, "low_c": NORMAL_C + each})
        at = np.arange(nights)
        weather = SD_C**2 * NIGHT_TO_NIGHT ** np.abs(at[:, None] - at)
        share = np.full(nights, 1 / nights)
        variance = share @ (weather + 1.5**2) @ share
        density *= stats.norm.pdf(np.mean(lows), grid, variance**0.5)
    put(store, joined(tables, plan("bag", "mat")), NORMAL_C)
    density /= density.sum()
    mean = float(density @ grid)
    camps = known(store)
    assert camps.offset_c.value == pytest.approx(mean, abs=1e-4)
    assert camps.sd_c == pytest.approx(float((density @ (grid - mean) ** 2) ** 0.5), abs=1e-4)
    low, high = np.interp((0.05, 0.95), density.cumsum(), grid)
    assert (camps.offset_c.low, camps.offset_c.high) == pytest.approx((low, high), abs=2e-3)
    assert (camps.offset_c.n, camps.nights) == (3, 7)


def test_it_grows_from_nothing_with_each_trip(store: Any) -> None:
    taken, chances = [0.0], []
    for trips in (0, 1, 2, 3, 5, 8, 13, 30):
        put(store, trips_off(*[-2.0] * trips, judged=False), NORMAL_C)
        ahead = forecast(store)
        assert ahead.chance is not None
        chances.append(ahead.chance.p_any.value)
        if not trips:
            assert ahead.camps is None
            continue
        assert ahead.camps is not None
        taken.append(ahead.camps.taken_c)
        assert ahead.camps.doubt_c <= PRIOR_SD_C / 2
    assert taken == sorted(taken, reverse=True)
    assert -0.6 < taken[1] < -0.3
    assert -2.0 < taken[-1] < -1.75
    assert chances == sorted(chances)
    assert max(np.diff(chances)) < 0.05  # no line at which it leaps
    assert chances[-1] > chances[0] + 0.05


def test_colder_camps_make_it_likelier_and_milder_ones_no_less_likely(store: Any) -> None:
    chances, alone = [], []
    for off in (3.0, 1.5, 0.0, -0.5, -1.0, -2.0, -4.0):
        put(store, trips_off(*[off] * 6, judged=False), NORMAL_C)
        ahead = forecast(store)
        assert ahead.chance is not None
        assert ahead.camps is not None
        assert ahead.by_normals is not None
        chances.append(ahead.chance.p_any.value)
        alone.append(ahead.by_normals)
        assert (ahead.camps.taken_c == 0.0) is (off >= 0)
        for one in ahead.sets:
            assert one.by_normals is not None
            assert one.chance is not None
            assert one.chance.p_any.value >= one.by_normals
    assert chances[0] == chances[1] == pytest.approx(chances[2])
    assert all(later > former for former, later in itertools.pairwise(chances[2:]))
    assert max(alone) == min(alone) <= chances[0]


@pytest.mark.parametrize("lows", ["none noted", "no normals", "an evening's readings"])
def test_without_a_measured_low_it_is_by_the_normals(store: Any, lows: str) -> None:
    tables = trips_off(*COLDER)
    rows = tables["weather"]
    tables["weather"] = []
    if lows == "no normals":
        far = {"latitude": None, "longitude": None}
        tables["weather"] = rows
        tables["trip"] = [r if r["trip"] == "plan" else {**r, **far} for r in tables["trip"]]
    if lows == "an evening's readings":
        tables["temperatures"] = [
            {
                "trip": row["trip"],
                "read_at": datetime.combine(row["day"], time(20 + n)),
                "spot": "camp",
                "temperature_c": 4.0 - n,
            }
            for row in rows
            for n in range(3)
        ]
    put(store, tables, NORMAL_C)
    ahead = forecast(store)
    assert ahead.camps is None
    assert ahead.chance is not None
    assert ahead.chance.p_any.value == ahead.by_normals
    assert words.chance_sentences(ahead, Display()) == (words.chance(ahead, Display()),)
    relation = entry("cold_by_set").relation(store, today=TODAY)
    for row in (dict(zip(relation.columns, r, strict=True)) for r in relation.fetchall()):
        assert row["p_cold"] == row["p_cold_by_normals"]
        assert (row["camps_off_c"], row["camp_trips"]) == (None, 0)


def test_nothing_from_after_the_start_or_the_day_asked_counts(store: Any) -> None:
    put(store, trips_off(*COLDER), NORMAL_C)
    # The latest begins thirty days before today, the one before 28 days earlier, and so on.
    assert known(store).offset_c.n == 6
    assert known(store, TODAY - timedelta(29)).offset_c.n == 5
    assert camps_off(store, TODAY - timedelta(30 + 28 * 5 + 1)) is None
    early = choose_trip(store, "t0-06")
    (ahead,) = cold_forecasts(store, [early])
    assert ahead.camps is not None
    assert ahead.camps.offset_c.n == 2
    (bounded,) = cold_forecasts(
        store, [choose_trip(store, "plan")], before=early.start_on, sets=False
    )
    assert bounded.camps == ahead.camps


def test_the_chance_is_that_of_nights_so_much_colder(store: Any) -> None:
    put(store, trips_off(*COLDER), NORMAL_C)
    ahead = forecast(store)
    assert ahead.camps is not None
    assert ahead.chance is not None
    assert isinstance(ahead.outlook, Outlook)
    # What is usual stays what is usual: only the chance goes by the camps.
    assert {n.normal_low_c for n in ahead.outlook.nights} == {NORMAL_C}
    first, then = map(plain, words.chance_sentences(ahead, Display()))
    assert first == plain(words.chance(ahead, Display()))
    taken = f"{-ahead.camps.taken_c:.1f}"
    assert then.startswith(
        f"Your camps were colder than such normals, so the nights are taken to be {taken} °C "
        "colder. By the normals alone the chance would be "
    )
    note = plain(note_words.camps_note(ahead.camps, Display()))
    assert note.startswith(
        "Your camps were 2.0 °C colder than such normals on average, on 12 nights of 6 trips with "
        f"a low in your log. The chances take the nights to come to be {taken} °C colder"
    )
    imperial = note_words.camps_note(ahead.camps, Display("oz", "f", "mi"))
    assert "were 3.6\u202f°F colder" in imperial


def test_what_to_expect_is_told_beside_the_normals_where_camps_were_colder(store: Any) -> None:
    put(store, trips_off(*COLDER), NORMAL_C)
    ahead = forecast(store)
    assert ahead.camps is not None
    assert isinstance(ahead.outlook, Outlook)
    told = plain(note_words.usual_lows(ahead.outlook, ahead.camps, Display()))
    taken, expected = f"{-ahead.camps.taken_c:.1f}", f"{NORMAL_C + ahead.camps.taken_c:.0f}"
    assert told.startswith(f"lows near {NORMAL_C:g} °C, nine nights in ten between ")
    assert told.endswith(
        f" °C by the station’s normals; your camps ran about {taken} °C colder: "
        f"expect near {expected} °C"
    )
    assert note_words.usual_lows(ahead.outlook, None, Display()) == climate_words.lows(
        ahead.outlook, Display()
    )


def test_milder_camps_are_told_to_be_no_promise(store: Any) -> None:
    put(store, trips_off(2.0, 3.0, 2.0, 1.0, 2.5), NORMAL_C)
    camps = known(store)
    assert camps.offset_c.value > 0
    assert not camps.colder
    assert plain(note_words.camps_note(camps, Display())).endswith(
        "with a low in your log. That makes no night to come milder here: it is no promise for the "
        "next."
    )
    assert len(words.chance_sentences(forecast(store), Display())) == 1
