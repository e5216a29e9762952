"""The life in the demo logbook is true to the truth written down behind it.

Bounds on what chance did are computed from that truth, at one in a thousand for each family of
checks; 3.3 standard errors are the same for one figure.
"""

import math
import random
import tomllib
from collections import Counter
from datetime import date
from itertools import pairwise
from statistics import NormalDist

import numpy as np
import pytest
from demo_readback import Book, Trip
from scipy.stats import binom, chi2, poisson
from tarebook.tripdata.demo import truth
from tarebook.tripdata.demo.consumption import level_wh
from tarebook.tripdata.demo.sky import normal_low_c

ALPHA = 0.001
TODAY = date(2026, 11, 25)
MODES = {"foot", "bike", "ebike", "paddle", "mixed"}


def chances(book: Book) -> dict[str, tuple[int, int]]:
    """Trips on which an item had its chance and was used, and had its chance, by item."""
    n: Counter[str] = Counter()
    k: Counter[str] = Counter()
    for trip in book.history:
        for item in {r["item"] for r in trip.tables["carried"]} if trip.full else ():
            if book.had_chance(trip, item):
                n[item] += 1
                k[item] += trip.used(item)
    return {item: (k[item], n[item]) for item in n}


def test_every_item_has_a_true_use_rate(book: Book) -> None:
    assert set(truth.TRUE_USE_RATE) >= {
        r["item"] for t in book.history for r in t.tables["carried"]
    }
    assert set(truth.TRUE_USE_RATE) <= set(book.gear)


def test_items_are_used_as_often_as_the_truth_says(book: Book) -> None:
    found = chances(book)
    tail = ALPHA / len(found) / 2
    for item, (k, n) in found.items():
        rate = truth.TRUE_USE_RATE[item]
        assert binom.ppf(tail, n, rate) <= k <= binom.isf(tail, n, rate), (item, k, n, rate)
    # All together: the sum over items of near-independent draws.
    expected = sum(n * truth.TRUE_USE_RATE[i] for i, (_, n) in found.items())
    variance = sum(
        n * truth.TRUE_USE_RATE[i] * (1 - truth.TRUE_USE_RATE[i]) for i, (_, n) in found.items()
    )
    z = (sum(k for k, _ in found.values()) - expected) / math.sqrt(variance)
    assert abs(z) < NormalDist().inv_cdf(1 - ALPHA / 2)


def test_dead_weight_and_rare_needs(book: Book) -> None:
    found = chances(book)
    for item in truth.DEAD_WEIGHT:
        k, n = found[item]
        assert k == 0
        assert n >= 8, "enough chances to be told to leave it"
        carried = sum(any(r["item"] == item for r in t.tables["carried"]) for t in book.history)
        assert carried >= 0.85 * sum(bool(t.nights) for t in book.history)
    for item in set(truth.RARELY_NEEDED) - {"spare-battery"}:
        k, n = found[item]
        assert 1 <= k <= n / 3
    assert found["spare-battery"][0] <= 1


def test_things_break_as_often_as_the_truth_says(book: Book) -> None:
    nights: Counter[str] = Counter()
    broke: Counter[str] = Counter()
    for trip in book.history:
        broke.update(r["item"] for r in trip.tables["failures"])
        for item in {r["item"] for r in trip.tables["carried"]}:
            nights[item] += sum(trip.along(item, night) for night in trip.nights)
    rates = truth.FAILURE_RATE_PER_100_NIGHTS
    assert set(broke) <= set(rates)
    tail = ALPHA / len(rates) / 2
    for item, rate in rates.items():
        mean = rate / 100 * nights[item]
        assert poisson.ppf(tail, mean) <= broke[item] <= poisson.isf(tail, mean), item
    mean = sum(rate / 100 * nights[item] for item, rate in rates.items())
    assert poisson.ppf(ALPHA / 2, mean) <= sum(broke.values()) <= poisson.isf(ALPHA / 2, mean)


def test_cold_nights_come_as_often_as_the_truth_says(book: Book) -> None:
    limit = truth.COLD_LIMIT
    drawn = random.Random(5)
    seen: Counter[str] = Counter()
    nights: Counter[str] = Counter()
    worlds = {item: [0] * 2000 for item in limit.rated_low_c}
    for trip in book.history:
        votes = {r["day"]: int(r["warmth"]) for r in trip.tables["comfort"] if r["warmth"]}
        bedding = [i for i in limit.rated_low_c if trip.nights and trip.along(i, trip.start)]
        assert len(bedding) == bool(trip.nights)
        for item in bedding if votes else ():
            seen[item] += sum(vote <= -2 for vote in votes.values())
            nights[item] += len(votes)
            lows = [trip.lows[night] for night in trip.nights]
            for world in range(2000):
                at = limit.even_odds_c(item) + drawn.gauss(0, limit.trip_spread_c)
                worlds[item][world] += sum(drawn.gauss(low, limit.spread_c) < at for low in lows)
    for item, counts in worlds.items():
        counts.sort()
        assert counts[1] <= seen[item] <= counts[-2], (item, seen[item])
        assert seen[item] >= 4, "enough cold nights to learn a limit from"
        assert nights[item] >= 15
    assert abs(limit.own_limit_c("summer-quilt") - (6.6 + 0.8416 * math.hypot(1.8, 1))) < 1e-12


def test_lows_are_those_of_the_lowland(book: Book) -> None:
    """About 2 degrees in January and 13 in late July; SD near 3; night-to-night persistence."""
    at = truth.STATION_ELEVATION_M
    assert abs(normal_low_c(date(2026, 1, 29), at) + truth.CAMP_COLDER_C - 2) < 0.1
    assert abs(normal_low_c(date(2026, 7, 29), at) + truth.CAMP_COLDER_C - 13) < 0.1
    runs = []
    for trip in book.history:
        height = float(trip.row["elevation_m"])
        runs.append([trip.lows[n] - normal_low_c(n, height) for n in trip.nights])
    values = np.array([a for run in runs for a in run])
    # Trips are independent, nights within one are not: the trips' means bound the overall mean.
    means = np.array([np.mean(run) for run in runs if run])
    assert abs(means.mean()) < 3.3 * means.std(ddof=1) / math.sqrt(len(means))
    assert 2.1 < values.std() < 3.5
    pairs = [(a, b) for run in runs for a, b in pairwise(run)]
    first, second = np.array(pairs).T
    rho = float(first @ second / math.sqrt(float(first @ first) * float(second @ second)))
    half = 3.3 / math.sqrt(len(pairs) - 3)  # Fisher's z
    assert abs(math.atanh(rho) - math.atanh(truth.NIGHT_TO_NIGHT)) < half


def taken_and_left(book: Book, trip: Trip, item: str) -> tuple[float, float] | None:
    """Grams of a consumable taken and brought home; None where that is not noted or not used."""
    rows = [r for r in trip.tables["carried"] if r["item"] == item and not r["carried_by"]]
    if not rows or not all(r["brought_home_g"] for r in rows) or not trip.used(item):
        return None
    taken = sum(float(r["weight_g"] or book.weight_g(item, trip.start)) for r in rows)
    return taken, sum(float(r["brought_home_g"]) for r in rows)


@pytest.mark.parametrize("item", sorted(truth.NEED))
def test_as_much_is_eaten_as_the_truth_says(book: Book, item: str) -> None:
    """The sum eaten, and how often all was, against 2000 draws with what was taken."""
    need, drawn = truth.NEED[item], np.random.default_rng(11)
    eaten = ran_out = 0.0
    eaten_then, ran_out_then = np.zeros(2000), np.zeros(2000)
    noted = [(t, taken_and_left(book, t, item)) for t in book.history]
    known = [(t, amounts) for t, amounts in noted if amounts]
    for trip, (taken, left) in known:
        shell = truth.GAS_SHELL_G if item == "gas-cartridge" else 0.0
        days = len(trip.days if need.each == "day" else trip.nights)
        level = drawn.normal(0, need.trip_sd, (2000, 1))
        each = np.exp(level + drawn.normal(0, need.day_sd, (2000, days))) * need.median_g
        eaten_then += np.minimum(each.sum(axis=1), taken - shell)
        ran_out_then += each.sum(axis=1) >= taken - shell
        eaten += taken - left
        ran_out += left <= shell
    for seen, then in ((eaten, eaten_then), (ran_out, ran_out_then)):
        low, high = np.quantile(then, [ALPHA / 2, 1 - ALPHA / 2])
        assert low <= seen <= high, (item, seen, low, high)
    assert len(known) >= 20
    assert not ran_out or item in ("food", "coffee")
    if item == "food":
        assert ran_out >= 4, "on some trips all was eaten"
        nights = [t for t in book.history if t.nights]
        assert len(nights) - len(known) >= 2, "and some are not noted"


def test_the_battery_gives_what_the_truth_says(book: Book) -> None:
    settings = tomllib.loads((book.folder / "tarebook.toml").read_text(encoding="utf-8"))
    assert settings["person"]["body_kg"] == truth.BODY_KG
    ratios, drawn_wh = [], []
    for trip in book.history:
        kg = truth.BODY_KG + sum(
            float(r["weight_g"] or book.weight_g(r["item"], trip.start))
            * int(r["quantity"] or 1) / 1000
            for r in trip.tables["carried"]
            if not r["carried_by"] and not r["from_day"]
        )  # fmt: skip
        for leg in filter(lambda leg: leg["battery_wh"], trip.tables["distances"]):
            level = level_wh(kg, float(leg["distance_km"]), float(leg["ascent_m"]))
            ratios.append(math.log(float(leg["battery_wh"]) / level))
            drawn_wh.append(float(leg["battery_wh"]))
    count = len(ratios)
    assert count >= 12
    gap = float(np.mean(ratios)) - math.log(truth.WH_FACTOR)
    assert abs(gap) < 3.3 * truth.WH_DAY_SD / math.sqrt(count)
    spread = count * float(np.var(ratios)) / truth.WH_DAY_SD**2
    assert chi2.ppf(ALPHA / 2, count - 1) < spread < chi2.isf(ALPHA / 2, count - 1)
    assert min(drawn_wh) < 0.4 * 625
    assert 0.8 * 625 < max(drawn_wh) < 625, "days long and short, none beyond the built-in battery"


def clustered(design: np.ndarray, score: np.ndarray, group: list[str]) -> tuple[np.ndarray, ...]:
    """Least squares with standard errors clustered by trip (Liang and Zeger 1986)."""
    bread = np.linalg.inv(design.T @ design)
    slope = bread @ design.T @ score
    rest = score - design @ slope
    names = np.array(group)
    parts = [design[names == g].T @ rest[names == g] for g in sorted(set(group))]
    meat = sum(np.outer(p, p) for p in parts)
    return slope, np.sqrt(np.diag(bread @ meat @ bread))


@pytest.mark.parametrize("aspect", ["sleep", "camp", "moving"])
def test_comfort_differs_as_the_truth_says(book: Book, aspect: str) -> None:
    items = [item for of, item in truth.COMFORT_EFFECT if of == aspect]
    design, score, group = [], [], []
    for trip in book.history:
        for row in trip.tables["comfort"]:
            if row["aspect"] != aspect:
                continue
            day = date.fromisoformat(row["day"])
            known = [1.0, float(trip.wet(day)), *(float(trip.along(i, day)) for i in items)]
            if aspect == "sleep":
                ratings = truth.COLD_LIMIT.rated_low_c.items()
                known.append(trip.lows[day] - min(r for i, r in ratings if trip.along(i, day)))
            if aspect == "moving":
                known.append(float(trip.row["mode"] == "foot"))
            design.append(known)
            score.append(float(row["score"]))
            group.append(trip.name)
    slope, error = clustered(np.array(design), np.array(score), group)
    for place, item in enumerate(items, start=2):
        gap = slope[place] - truth.COMFORT_EFFECT[aspect, item]
        assert abs(gap) < 3.3 * error[place], (item, slope[place], error[place])
        if item in truth.EARNS_ITS_WEIGHT:
            assert slope[place] > 2 * error[place]
        if item in truth.DOES_NOT_EARN:
            assert slope[place] < 2 * error[place]


def test_luxuries_do_not_travel_together(book: Book) -> None:
    """Else no analysis could tell one from the other."""
    nights = [t for t in book.history if t.nights]
    along = {
        i: [float(t.along(i, t.start)) for t in nights]
        for i in (*truth.EARNS_ITS_WEIGHT, *truth.DOES_NOT_EARN)
    }
    table = np.corrcoef(np.array(list(along.values())))
    assert np.abs(table - np.eye(len(along))).max() < 0.45
    assert all(5 <= sum(x) <= len(nights) - 5 for x in along.values())


def test_base_weight_falls_at_like_cold_and_hides_behind_the_seasons(book: Book) -> None:
    trips = [t for t in book.history if t.nights]
    years = np.array([(t.start - TODAY).days / 365.25 for t in trips])
    low = np.array(
        [min(normal_low_c(n, float(t.row["elevation_m"])) for n in t.nights) for t in trips]
    )
    modes = [np.array([float(t.row["mode"] == m) for t in trips]) for m in sorted(MODES)]
    usual = np.column_stack([*modes, years, low])
    group = [t.name for t in trips]

    def slope(weights: list[float]) -> tuple[float, float]:
        fit, error = clustered(usual, np.array(weights), group)
        return float(fit[len(modes)]), float(error[len(modes)])

    real, error = slope([book.base_g(t) for t in trips])
    assert abs(real - truth.BASE_WEIGHT_TREND_G_PER_YEAR) < 3.3 * error
    assert real < -2 * error, "the decline can be told from none"

    # Without what comes and goes (luxuries, clothes and beds for the cold) the truth is exact.
    always = set.intersection(
        *({lineage(book, r["item"]) for r in t.tables["carried"]} for t in trips)
    ) | {"tent-footprint", "beacon"}
    steady, _ = slope(
        [
            sum(
                book.weight_g(r["item"], t.start) * int(r["quantity"] or 1)
                for r in t.tables["carried"]
                if lineage(book, r["item"]) in always | {"old-rucksack"}
                and book.carried_as(r) == "base"
            )
            for t in trips
        ]
    )
    assert abs(steady - truth.BASE_WEIGHT_TREND_G_PER_YEAR) < 30

    naive = np.polyfit(years, [book.base_g(t) for t in trips], 1)[0]
    assert naive > real + 50, "seasons hide part of it"
    colder = np.polyfit(years, low, 1)[0]
    assert colder < 0


def lineage(book: Book, item: str) -> str:
    """The oldest item that this one goes back to."""
    older = book.gear[item]["replaces"]
    return lineage(book, older) if older else item
