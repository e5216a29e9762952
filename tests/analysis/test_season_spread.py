"""How lows stray from their normal by season: the curve, and what was published and observed."""

import itertools
import math
from collections import defaultdict
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import lebanon
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from normals_drawing import normals, refill
from scipy.integrate import quad
from scipy.stats import norm
from store_drawing import empty_store, trip
from tarebook.analysis.climate import words as context_words
from tarebook.analysis.climate.outlook import Outlook, outlook, outlook_of_trip, outlook_rows
from tarebook.analysis.climate.season_spread import (
    AUTUMN,
    PLAIN,
    SPRING,
    SUMMER,
    WINTER,
    SeasonSpread,
    season_of_night,
)
from tarebook.analysis.climate.station_choice import Place
from tarebook.analysis.cold.chance import NightAhead, chance_of_cold_night
from tarebook.analysis.cold.model import ColdFit, ColdNights, fit_cold
from tarebook.analysis.display.words import Display
from tarebook.analysis.stats.ar1_chain import NIGHT_TO_NIGHT, any_below
from tarebook.tripdata.normals.calendar import DAYS
from tarebook.tripdata.normals.station_file import read_station_file

SEASONS = {
    "winter": (12, 1, 2, 3),
    "spring": (4, 5),
    "summer": (6, 7, 8),
    "autumn": (9, 10, 11),
}
NORTH = 42.0
GOAL = (0.75, 1.33)


def spread_of_morning(morning: date, latitude: float | None = NORTH) -> SeasonSpread:
    return season_of_night(morning - timedelta(days=1), latitude)


# The curve.


@pytest.mark.parametrize("season", [WINTER, SPRING, SUMMER, AUTUMN, SeasonSpread(1.7, 1.1)])
def test_the_curve_has_the_mean_the_spread_and_the_skew_it_is_named_for(
    season: SeasonSpread,
) -> None:
    def moment(power: int) -> float:
        return quad(lambda z: season.deviation(z) ** power * norm.pdf(z), -12, 12)[0]

    assert moment(1) == pytest.approx(0, abs=1e-9)
    assert math.sqrt(moment(2)) == pytest.approx(season.spread, rel=1e-7)
    assert moment(3) / season.spread**3 == pytest.approx(season.skew, abs=1e-6)


@settings(max_examples=200)
@given(st.floats(0.5, 2), st.floats(-1, 1), st.lists(st.floats(-7, 7), min_size=2, max_size=2))
def test_it_rises_and_is_undone_by_the_score(
    spread: float, skew: float, scores: list[float]
) -> None:
    season = SeasonSpread(spread, skew)
    low, high = sorted(scores)
    assert season.deviation(low) <= season.deviation(high)
    for score in scores:
        assert season.score(season.deviation(score)) == pytest.approx(score, abs=1e-6)
    both = season.deviations(np.array(scores))
    assert both == pytest.approx([season.deviation(z) for z in scores], abs=1e-12)


def test_beyond_the_end_of_the_curve_no_night_comes() -> None:
    assert any_below([SPRING.score(-60.0)]) == pytest.approx(0.0, abs=1e-12)
    assert any_below([WINTER.score(60.0)]) == 1.0
    assert PLAIN.score(-1.3) == -1.3
    assert -38 <= SPRING.score(-1e9) < -8 < 8 < WINTER.score(1e9) <= 38


def test_winter_has_the_longer_cold_side_and_spring_the_shorter() -> None:
    assert WINTER.score(-2.0) > -2.0 > SPRING.score(-2.0)


def test_seasons_go_by_month_and_half_a_year_later_in_the_south() -> None:
    middle = {month: date(2026, month, 15) for month in range(1, 13)}
    by_month = {m: spread_of_morning(d) for m, d in middle.items()}
    for month, season in by_month.items():
        named = {"winter": WINTER, "spring": SPRING, "summer": SUMMER, "autumn": AUTUMN}
        name = next(n for n, months in SEASONS.items() if month in months)
        assert season.skew == pytest.approx(named[name].skew, abs=0.022)
        south = spread_of_morning(middle[(month + 5) % 12 + 1], -NORTH)
        assert south.skew == pytest.approx(season.skew, abs=0.022)
        assert spread_of_morning(middle[month], None) == season
        assert spread_of_morning(middle[month], 12.0) == PLAIN
        assert spread_of_morning(middle[month], -23.0) == PLAIN


def test_from_night_to_night_the_chance_hardly_jumps() -> None:
    days = [date(2027, 12, 20) + timedelta(k) for k in range(400)]
    chances = [norm.cdf(season_of_night(day, NORTH).score(-2.0)) for day in days]
    steps = [abs(a / b - 1) for a, b in itertools.pairwise(chances)]
    assert max(steps) < 0.04


# Lebanon, New Hampshire: not used to find the figures of the seasons.


def lebanon_ratios(season_of: Callable[[date], SeasonSpread]) -> dict[tuple[str, float], float]:
    """Told by published days at or below NOAA's thresholds, by season and depth of the threshold.

    Lows are noted in whole degrees: 32 °F or less is less than 32.5 °F. The depth is how far the
    threshold lies below the month's normals on average, in standard deviations, to the half.
    """
    lows = read_station_file("", lebanon.daily_file()).lows
    told: dict[tuple[str, float], float] = defaultdict(float)
    published: dict[tuple[str, float], float] = defaultdict(float)
    for month, days in lebanon.DAYS_AT_OR_BELOW.items():
        season = next(name for name, months in SEASONS.items() if month in months)
        own = [day for day in DAYS if int(day[:2]) == month]
        for threshold, noted in zip(lebanon.THRESHOLDS_F, days, strict=True):
            at_c = (threshold + 0.5 - 32) / 1.8
            gaps = [(at_c - lows[day][0]) / (lows[day][1] or 1) for day in own]
            depth = -round(2 * float(np.mean(gaps))) / 2
            if 1.0 <= depth <= 2.0:
                mornings = [date(2026, month, int(day[3:])) for day in own]
                told[season, depth] += sum(
                    norm.cdf(season_of(m).score(g)) for m, g in zip(mornings, gaps, strict=True)
                )
                published[season, depth] += noted
    return {key: told[key] / published[key] for key in told}


@pytest.mark.outside(
    "official data",
    "NOAA, U.S. Climate Normals 1991-2020, monthly, USW00094765, typed in",
    "days at or below thresholds one to two SD off, by season",
)
def test_lebanons_days_below_are_told_within_a_third_but_for_what_is_named() -> None:
    plain = lebanon_ratios(lambda _: PLAIN)
    told = lebanon_ratios(spread_of_morning)
    missed = {key for key, ratio in told.items() if not GOAL[0] <= ratio <= GOAL[1]}
    # March at or below 0 °F, 2.2 days against 1.5; and September ≤ 32, October ≤ 20 and November
    # ≤ 10 °F, 1.4 days against 2.7, on the safe side.
    assert missed == {("winter", 2.0), ("autumn", 2.0)}
    assert told["winter", 2.0] == pytest.approx(0.69, abs=0.01)
    assert told["autumn", 2.0] == pytest.approx(1.90, abs=0.01)
    for key in missed:
        assert abs(math.log(told[key])) < abs(math.log(plain[key]))
    assert plain["winter", 2.0] == pytest.approx(0.63, abs=0.01)


def told_days(threshold_f: float, month: int | None = None) -> float:
    """Days of a year, or of a month, told to have a low at or below so many whole °F."""
    lows = read_station_file("", lebanon.daily_file()).lows
    at_c = (threshold_f + 0.5 - 32) / 1.8
    told = 0.0
    for day in DAYS:
        low_c, spread_c = lows[day]
        if month in (None, int(day[:2])):
            season = spread_of_morning(date(2026, int(day[:2]), int(day[3:])))
            told += float(norm.cdf(season.score((at_c - low_c) / (spread_c or 1))))
    return told


@pytest.mark.outside(
    "official data",
    "NOAA, U.S. Climate Normals 1991-2020, annual, USW00094765 (ANN-TMIN-AVGNDS-LSTH...), typed in",
    "Lebanon's days a year with a low at or below 0, 10, 20, 32, 40, 50, 60, 70 °F: 20.4 42.7 81.6 "
    "163.3 212.2 274.0 337.5 364.6; told within an eighth",
)
@pytest.mark.parametrize(("threshold_f", "published"), lebanon.DAYS_A_YEAR.items())
def test_lebanons_days_a_year_at_or_below_each_threshold(
    threshold_f: int, published: float
) -> None:
    told = told_days(threshold_f)
    print(f"at or below {threshold_f} °F: {told:.1f} days a year, {published} published")
    assert told == pytest.approx(published, rel=1 / 8)


@pytest.mark.outside(
    "official data",
    "NOAA, U.S. Climate Normals 1991-2020, monthly, USW00094765 (MLY-TMIN-AVGNDS-LSTH...), typed "
    "in",
    "Lebanon's days a month with a low at or below 0 to 60 °F, 84 figures: told within a day and a "
    "half each, within a quarter of a day on average",
)
def test_lebanons_days_a_month_at_or_below_each_threshold() -> None:
    apart = [
        told_days(threshold, month) - noted
        for month, days in lebanon.DAYS_AT_OR_BELOW.items()
        for threshold, noted in zip(lebanon.THRESHOLDS_F, days, strict=True)
    ]
    assert len(apart) == 84
    assert max(map(abs, apart)) < 1.5
    assert abs(sum(apart)) / 84 < 0.25


def test_the_figures_typed_in_are_noaas(noaa: Callable[[str], Path]) -> None:
    import csv

    path = noaa("normals-daily-1991-2020-USW00094765.csv")
    typed, real = (
        read_station_file("", data).lows for data in (lebanon.daily_file(), path.read_bytes())
    )
    assert {d: pair for d, pair in real.items() if d != "02-29"} == {
        d: pair for d, pair in typed.items() if d != "02-29"
    }
    with noaa("normals-monthly-1991-2020-USW00094765.csv").open(newline="") as file:
        published = {
            int(row["DATE"]): tuple(
                float(row[f"MLY-TMIN-AVGNDS-LSTH{t:03d}"]) for t in lebanon.THRESHOLDS_F
            )
            for row in csv.DictReader(file)
        }
    assert published == lebanon.DAYS_AT_OR_BELOW
    with noaa("normals-monthly-1991-2020-USW00094765.csv").open(newline="") as file:
        months = [float(row["MLY-TMIN-NORMAL"]) for row in csv.DictReader(file)]
    assert tuple(months) == lebanon.MONTHS_F
    with noaa("normals-annualseasonal-1991-2020-USW00094765.csv").open(newline="") as file:
        row = next(csv.DictReader(file))
    year = {t: float(row[f"ANN-TMIN-AVGNDS-LSTH{t:03d}"]) for t in lebanon.DAYS_A_YEAR}
    assert year == lebanon.DAYS_A_YEAR


# Central Park, New York: used to find them.

CENTRAL_PARK = {
    ("winter", 1.0): (274.0, 1878),
    ("winter", 1.5): (123.5, 1878),
    ("winter", 2.0): (47.0, 1878),
    ("spring", 1.0): (133.0, 915),
    ("spring", 1.5): (56.5, 915),
    ("spring", 2.0): (16.0, 915),
    ("summer", 1.0): (170.5, 1380),
    ("summer", 1.5): (59.0, 1380),
    ("summer", 2.0): (13.0, 1380),
    ("autumn", 1.0): (187.0, 1365),
    ("autumn", 1.5): (68.5, 1365),
    ("autumn", 2.0): (20.5, 1365),
}
"""Nights with a low under so many standard deviations below NOAA's daily normal 1991-2020, and of
how many: GHCN-Daily, USW00094728, 2009-2024, worked out from NOAA's two files. A night on
the threshold counts half."""
SEVEN_NIGHTS = {
    ("winter", 1.5): (407.5, 1782),
    ("winter", 2.0): (189.0, 1782),
    ("spring", 1.5): (212.5, 825),
    ("spring", 2.0): (77.0, 825),
    ("summer", 1.5): (249.5, 1290),
    ("summer", 2.0): (74.0, 1290),
    ("autumn", 1.5): (248.0, 1275),
    ("autumn", 2.0): (84.5, 1275),
}
"""The same of seven nights in a row within a season: any of them."""


def mean_chance(season: str, depth: float, nights: int = 1) -> float:
    """The chance told, over the mornings of a season of 2026."""
    days = [
        d for k in range(365) if (d := date(2026, 1, 1) + timedelta(k)).month in SEASONS[season]
    ]
    chances = [
        any_below([spread_of_morning(d + timedelta(k)).score(-depth) for k in range(nights)])
        for d in days
    ]
    return float(np.mean(chances))


def test_central_parks_nights_are_told_within_a_third_but_for_what_is_named() -> None:
    told = {
        (season, depth): mean_chance(season, depth) / (seen / nights)
        for (season, depth), (seen, nights) in CENTRAL_PARK.items()
    }
    missed = {key: ratio for key, ratio in told.items() if not GOAL[0] <= ratio <= GOAL[1]}
    # All on the safe side: the city's summers since 2009 had few cool nights.
    assert missed == {
        ("summer", 1.5): pytest.approx(1.56, abs=0.02),
        ("summer", 2.0): pytest.approx(2.39, abs=0.02),
        ("autumn", 2.0): pytest.approx(1.37, abs=0.02),
    }


def test_seven_nights_at_central_park() -> None:
    told = {
        (season, depth): mean_chance(season, depth, 7) / (seen / rows)
        for (season, depth), (seen, rows) in SEVEN_NIGHTS.items()
    }
    missed = {key: ratio for key, ratio in told.items() if not GOAL[0] <= ratio <= GOAL[1]}
    print({key: round(float(ratio), 2) for key, ratio in told.items()})
    assert missed == {
        ("summer", 1.5): pytest.approx(1.35, abs=0.01),
        ("summer", 2.0): pytest.approx(1.86, abs=0.02),
        ("autumn", 2.0): pytest.approx(1.49, abs=0.02),
    }


# In use.


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


FLAT = dict.fromkeys(normals().lows, (5.0, 4.0))


def looked(store: Any, start: date, nights: int, below_c: float, latitude: float) -> Outlook:
    where = {"latitude": latitude, "longitude": -100.0}
    refill(store, [normals(lows=FLAT, **where)], [])
    end = start + timedelta(nights)
    found = outlook(store, Place(latitude, -100.0, 100.0), start, end, below_c)
    assert isinstance(found, Outlook)
    return found


@pytest.mark.parametrize(
    ("start", "latitude", "season"),
    [
        (date(2027, 2, 3), 45.0, WINTER),
        (date(2027, 8, 3), -45.0, WINTER),
        (date(2027, 7, 3), 45.0, PLAIN),
        (date(2027, 1, 3), -45.0, PLAIN),
        (date(2027, 2, 3), 15.0, PLAIN),
        (date(2027, 10, 3), 45.0, AUTUMN),
    ],
)
def test_an_outlook_bends_its_thresholds(
    store: Any, start: date, latitude: float, season: SeasonSpread
) -> None:
    found = looked(store, start, 7, 5 - 4 * 1.75, latitude)
    score = season.score(-1.75)
    assert found.p_any.value == pytest.approx(any_below([score] * 7), rel=1e-9)
    assert [n.p_below for n in found.nights] == pytest.approx([norm.cdf(score)] * 7)
    # The spread in the tables stays the file's.
    assert {row["sd_c"] for row in outlook_rows(found)} == {4.0}
    low, high = found.nights[0].middle_c(1.6448536) or (0, 0)
    assert (low, high) == pytest.approx(
        (5 + 4 * season.deviation(-1.6448536), 5 + 4 * season.deviation(1.6448536))
    )


def test_a_rare_night_beside_one_that_is_not_is_missing_and_the_trip_is_told(store: Any) -> None:
    lows = {**FLAT, "07-05": (12.0, 4.0)}
    refill(store, [normals(lows=lows)], [])
    found = outlook(store, Place(47.5, -122.0), date(2027, 7, 3), date(2027, 7, 5), 0.0)
    assert isinstance(found, Outlook)
    assert [n.rare for n in found.nights] == [False, True]
    assert [row["p_below"] is None for row in outlook_rows(found)] == [False, True]
    assert not found.rare
    assert found.p_any.value == any_below([-1.25, -3.0])
    assert [context_words.night_chance(n) for n in found.nights] == ["about 1 in 9", "rare"]


def test_beyond_the_limit_sums_go_on_without_a_jump(store: Any) -> None:
    start = date(2027, 2, 3)
    edge = looked(store, start, 3, 5 - 2.5 * 4, 45.0)
    rare = looked(store, start, 3, 5 - 2.5001 * 4, 45.0)
    assert (edge.rare, rare.rare) == (False, True)
    assert edge.p_any is not None
    assert rare.p_any is None
    assert rare.sum_odds is not None
    odds = rare.sum_odds
    assert (odds.low, odds.high) == (0.0, pytest.approx(edge.p_any.value))
    assert odds.value == pytest.approx(edge.p_any.value, rel=1e-3)
    far = looked(store, start, 3, 5 - 6 * 4, 45.0)
    assert far.sum_odds is not None
    assert 0 <= far.sum_odds.value < 1e-4


def test_a_night_that_was_and_one_to_come_are_told_alike(store: Any) -> None:
    where = {"latitude": 45.0, "longitude": -100.0, "elevation_mm": 100_000}
    one = normals(lows=FLAT, latitude=45.0, longitude=-100.0)
    day = date(2026, 2, 3)
    refill(store, [one], [trip("past", day, 1, **where)], {("past", day): -1.0})
    past = store.sql("SELECT low_percentile FROM nights").fetchall()[0][0]
    again = outlook_of_trip(store, "past", -1.0)
    assert isinstance(again, Outlook)
    assert again.p_any.value == pytest.approx(past / 100)
    assert "about 1 in 14" in context_words.outlook_sentences(again, Display())[0]


@pytest.fixture(scope="module")
def fit() -> ColdFit:
    rng = np.random.default_rng(3)
    low = rng.normal(7, 4, 30)
    return fit_cold(
        ColdNights(
            np.zeros(30, dtype=np.intp),
            np.repeat(np.arange(10), 3),
            low,
            (rng.normal(low, 2.5) < 5).astype(float),
            np.array([3.0]),
        )
    )


@pytest.mark.parametrize("season", [WINTER, SPRING])
def test_ones_own_cold_nights_bend_alike(fit: ColdFit, season: SeasonSpread) -> None:
    nights = [NightAhead(9.0, 3.0, season)] * 4
    found = chance_of_cold_night(fit, 0, 3.0, nights)
    draws = 200_000
    rng = np.random.default_rng(12)
    weight = fit.weight[0]
    s, t, h = np.unravel_index(rng.choice(weight.size, draws, p=weight.ravel()), weight.shape)
    shift = rng.normal(0, 1, draws) * fit.trip_spread_c[t]
    z = rng.normal(0, 1, draws)
    cold = np.zeros(draws, dtype=bool)
    for night in nights:
        low = night.normal_low_c + night.sd_c * season.deviations(z)
        cold |= rng.normal(low, fit.spread_c[s]) < 3.0 + fit.above_c[h] + shift
        z = NIGHT_TO_NIGHT * z + np.sqrt(1 - NIGHT_TO_NIGHT**2) * rng.normal(0, 1, draws)
    share = float(cold.mean())
    error = math.sqrt(share * (1 - share) / draws)
    assert abs(found.p_any.value - share) < 4 * error + 0.002, (found.p_any.value, share)
