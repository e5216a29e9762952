"""Gains, verdicts, the efficient edge and the next swap, on the demo and in invented worlds."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from statistics import NormalDist
from typing import Any

import numpy as np
import pytest
from comfort_worlds import WORLDS, draw
from tarebook.analysis.comfort.days import AspectDays, Bundle, comfort_days
from tarebook.analysis.comfort.gain import (
    AspectGains,
    Gain,
    comfort_gains,
    efficient_edge,
    gains_of,
)
from tarebook.analysis.comfort.next_swap import (
    MOST_TRIPS_TO_SETTLE,
    never_left,
    next_swaps,
    trips_to_settle,
)
from tarebook.analysis.comfort.ranks import p_helps_as_ranks
from tarebook.analysis.comfort.things import Thing, carried_for_comfort, things_along
from tarebook.analysis.stats.score_model.grid import ComfortData, Priors, ScoreProblem
from tarebook.analysis.stats.score_model.model import fit_comfort
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.tables import TABLES
from tarebook.tripdata.demo import truth
from tarebook.tripdata.store import store_path

PLAIN = Thing(
    item="chair", name="Chair", system="leisure", carried_as="base", load_g=400.0, insurance=False,
    essential=False, borrowed=False, retired_on=None, meant_for=(), cost=1.0, needs=(),
    stays_owned=5, stays_along=3, only_one=False, lately_stays=5, lately_along=3,
)  # fmt: skip


@pytest.fixture(scope="module")
def aspects(demo: Any) -> tuple[AspectGains, ...]:
    return comfort_gains(demo)


def true_gain(gain: Gain) -> float:
    effects = (truth.COMFORT_EFFECT.get((gain.aspect, t.item), 0.0) for t in gain.bundle.things)
    return sum(effects)


def test_the_demos_truth_is_found(aspects: tuple[AspectGains, ...]) -> None:
    known = {(g.aspect, g.bundle.bundle): g for a in aspects for g in a.gains}
    chair, pillow = known["camp", "sit-chair"], known["sleep", "pillow"]
    assert chair.verdict in ("earned", "probably")
    # The nights on the flat mat say nothing of it: .84 with them, .76 without.
    assert pillow.gain.value > 0
    assert pillow.p_helps > 0.7
    for item in truth.DOES_NOT_EARN:
        assert all(known[a.aspect, item].verdict not in ("earned", "probably") for a in aspects)
    # 90 % intervals of some thirty comforts: at least eight in ten hold (the mean is nine in ten).
    comforts = [gain for aspect in aspects for gain in aspect.comforts]
    held = [g.gain.low <= true_gain(g) <= g.gain.high for g in comforts]
    assert len(held) > 25  # what was never taken out is not among them
    assert np.mean(held) > 0.8
    assert chair.gain.high > 0.9, "the true gain of 1.0 is drawn in a little"


def test_items_along_on_the_same_days_are_one_bundle(demo: Any) -> None:
    along = {
        (row[0], row[1]): row[2:]
        for row in demo.execute(
            "SELECT trip, item, min(from_on), max(until_on) FROM carried_rows "
            "WHERE NOT plan GROUP BY trip, item"
        ).fetchall()
    }
    for days in comfort_days(demo):
        night = days.aspect == "sleep"
        for column, bundle in enumerate(days.bundles):
            for thing in bundle.things:
                expected = []
                for trip, day in days.rows:
                    span = along.get((trip, thing.item))
                    inside = span is not None and span[0] <= day
                    inside = inside and (day < span[1] if night else day <= span[1])
                    expected.append(float(inside))
                assert days.data.along[:, column].tolist() == expected
            assert bundle.days_with + bundle.days_without == len(days.rows)
            assert 0 < bundle.days_with < len(days.rows)
        assert days.always is not None
        assert days.always.days_without == 0


def test_weight_by_point_is_turned_round_only_where_told_apart(
    aspects: tuple[AspectGains, ...],
) -> None:
    for gain in (g for a in aspects for g in a.gains):
        grams, per_kg, per_point = gain.bundle.weight_g, gain.points_per_kg, gain.g_per_point
        assert (per_kg is None) == (not grams)
        if per_kg is not None and grams:
            assert per_kg.low * grams / 1000 == pytest.approx(gain.gain.low)
            assert per_kg.high * grams / 1000 == pytest.approx(gain.gain.high)
        assert (per_point is not None) == bool(grams and gain.gain.low > 0)
        if per_point is not None and grams:
            assert per_point.low == pytest.approx(grams / gain.gain.high)
            assert per_point.high == pytest.approx(grams / gain.gain.low)


def test_nothing_lighter_beats_the_edge(aspects: tuple[AspectGains, ...]) -> None:
    gains = [g for a in aspects for g in a.comforts]
    edge = efficient_edge(gains)
    assert edge
    for one in edge:
        assert one.p_helps >= 0.8
        for other in gains:
            lighter = (other.bundle.weight_g or 1e9) <= (one.bundle.weight_g or 0)
            if other is not one and lighter and other.p_helps >= 0.8:
                assert other.gain.value <= one.gain.value


def test_ties_are_told_as_ties(aspects: tuple[AspectGains, ...]) -> None:
    for aspect in aspects:
        places = [(g.best_place, g.worst_place) for g in aspect.comforts]
        assert all(1 <= (best or 0) <= (worst or 0) <= len(places) for best, worst in places)
    fun = next(a for a in aspects if a.aspect == "fun")
    assert {(g.best_place, g.worst_place) for g in fun.comforts} == {(1, len(fun.comforts))}


def test_scores_as_ranks_say_much_the_same(aspects: tuple[AspectGains, ...]) -> None:
    for aspect in aspects:
        ranks = p_helps_as_ranks(aspect)
        assert ranks is not None
        assert np.corrcoef(ranks, aspect.fit.p_helps)[0, 1] > 0.9


@pytest.mark.parametrize(
    "change",
    [
        {"insurance": True},
        {"essential": True},
        {"borrowed": True},
        {"cost": 3.0},
        {"meant_for": ("cold",)},
        {"carried_as": "vehicle"},
        {"carried_as": "consumable"},
        {"system": "safety"},
        {"system": "first_aid"},
        {"system": "fire"},
        {"system": "navigation"},
        {"system": "clothing"},
        {"system": "food"},
        {"system": "repair"},
        {"system": "sleep", "only_one": True},
        {"system": "water", "stays_along": 5},
    ],
)
def test_what_keeps_one_safe_is_no_comfort(change: dict[str, Any]) -> None:
    assert carried_for_comfort(PLAIN)
    assert not carried_for_comfort(replace(PLAIN, **change))


def test_swaps_name_comforts_only_and_the_best_first(
    demo: Any, aspects: tuple[AspectGains, ...]
) -> None:
    swaps = next_swaps(aspects, never_left(demo))
    known = {thing.item: thing for thing in things_along(demo)}
    assert [s.rank for s in swaps] == [1, 2, 3]
    for swap in swaps:
        thing = known[swap.thing.item]
        assert not any((thing.insurance, thing.essential, thing.borrowed, thing.retired_on))
        assert thing.system in ("leisure", "other", "light", "cook", "power", "hygiene")
        assert swap.action == ("leave" if thing.usual else "take")
        assert swap.action == "take" or thing.system == "leisure"
        assert all(n.after < n.before for n in swap.narrows)
    reductions = [s.variance_reduction for s in swaps]
    assert reductions == sorted(reductions, reverse=True)
    assert reductions[-1] > 0
    settle = trips_to_settle(aspects)
    assert settle
    assert all(1 <= n <= MOST_TRIPS_TO_SETTLE + 1 for n in settle.values())
    assert ("camp", "sit-chair") not in settle, "it is told apart already"


def test_what_a_swap_teaches_against_working_it_out_with_the_trip_added(
    aspects: tuple[AspectGains, ...],
) -> None:
    """The trip put to the data as rows of its own: a variance does not ask for scores."""
    aspect = next(a for a in aspects if a.aspect == "camp")
    swap = next(s for s in next_swaps(aspects, ()) if s.narrows[0].aspect == "camp")
    days, data = aspect.days, aspect.days.data
    (place,) = [n for n, b in enumerate(days.bundles) if swap.thing in b.things]
    assert len(days.bundles[place].things) == 1
    last = np.unique(data.trips)[-5:]
    usual = np.mean([data.along[data.trips == t].mean(0) for t in last], 0) > 0.5
    usual = usual.astype(float)
    usual[place] = 0.0 if swap.thing.usual else 1.0
    scored = max(1, round(len(data.scores) / aspect.fit.trips))
    centred = np.vstack([data.along, np.tile(usual, (scored, 1))]) - data.along.mean(0)
    covariates = np.vstack(
        [data.covariates - data.covariates.mean(0), np.zeros((scored, data.covariates.shape[1]))]
    )
    trips = np.append(data.trips, np.full(scored, data.trips.max() + 1))
    fixed = np.hstack([np.ones((len(trips), 1)), covariates])
    variances = {False: 0.0, True: 0.0}
    for comfort, rest, trip, noise in aspect.fit.likely:
        prior = np.where(data.comforts, comfort, rest) ** 2 * data.sizes
        assert data.slope_sds is not None
        priors = np.concatenate([prior, [1.5**2], data.slope_sds**2])
        for more in (False, True):
            n = len(trips) if more else len(data.trips)
            table = np.hstack([centred, fixed])[:n]
            same = trips[:n, None] == trips[:n]
            noisy = same * trip**2 + np.eye(n) * noise**2
            inverse = np.linalg.inv(table.T @ np.linalg.solve(noisy, table) + np.diag(1 / priors))
            variances[more] += inverse[place, place] / len(aspect.fit.likely)
    told = next(n for n in swap.narrows if n.aspect == "camp")
    ninety = NormalDist().inv_cdf(0.95)
    assert told.before == pytest.approx(ninety * variances[False] ** 0.5, rel=1e-6)
    assert told.after == pytest.approx(ninety * variances[True] ** 0.5, rel=1e-6)


def aspect_of(data: ComfortData) -> AspectDays:
    bundles = tuple(
        Bundle(
            (replace(PLAIN, item=f"i{n}", name=f"I {n}"),),
            int(column.sum()),
            int(len(column) - column.sum()),
        )
        for n, column in enumerate(data.along.T)
    )
    rows = tuple((f"t{trip}", date(2026, 5, 1)) for trip in data.trips)
    return AspectDays(
        "camp", replace(data, covariates=np.zeros((len(rows), 0))), bundles, None, (), (), rows, 0.0
    )


def test_intervals_hold_as_often_as_they_say_with_truth_from_the_priors() -> None:
    # Goal 87 to 93 %; the benchmark's figure is 90.3 +- 1.0 over 150 logbooks.
    held = []
    for seed in range(14):
        drawn = draw(WORLDS["prior"], 12, np.random.default_rng([seed, 12]))
        fit = fit_comfort(drawn.data)
        held.append(float(((fit.low <= drawn.gains) & (drawn.gains <= fit.high)).mean()))
    error = np.std(held) / np.sqrt(len(held))
    assert error < 0.05
    assert 0.87 - 2 * error < np.mean(held) < 0.93 + 2 * error, (np.mean(held), error)


def test_where_nothing_helps_hardly_anything_is_called_earned() -> None:
    # The level is one in twenty: a chance of help of .95. The benchmark finds far fewer.
    earned = total = 0
    for seed in range(14):
        drawn = draw(WORLDS["nil"], 12, np.random.default_rng([seed, 7]))
        found = gains_of(aspect_of(drawn.data))
        earned += sum(gain.verdict == "earned" for gain in found.gains)
        total += len(found.gains)
    assert total > 400
    assert earned / total < 0.01


def test_more_scores_say_more() -> None:
    def width(trips: int) -> float:
        drawn = draw(WORLDS["fixed truth"], trips, np.random.default_rng(5))
        fit = fit_comfort(drawn.data)
        return float(np.mean(fit.high - fit.low))

    assert width(40) < 0.9 * width(4)


def test_centred_columns_leave_the_mean_to_a_usual_day() -> None:
    drawn = draw(WORLDS["prior"], 6, np.random.default_rng(2))
    problem = ScoreProblem(drawn.data, Priors())
    assert np.abs(problem.table[:, : problem.p].sum(0)).max() < 1e-9


def test_the_tables_have_the_agreed_columns(demo: Any, logbook: Callable[[str], Path]) -> None:
    agreed = {
        "comfort_gain": "aspect bundle items weight_g nights_with nights_without gain gain_low "
        "gain_high p_helps points_per_kg points_per_kg_low points_per_kg_high g_per_point "
        "g_per_point_low g_per_point_high verdict",
        "next_swap": "rank item action variance_reduction reason",
        "cold_limits": "sleep_system rated_low_c own_limit_c own_limit_low_c own_limit_high_c "
        "nights cold_nights",
    }
    for name, columns in agreed.items():
        wanted = columns.split()
        frame = TABLES[name].frame(demo)
        assert list(frame.columns)[: len(wanted)] == wanted
        relation = TABLES[name].relation(demo)
        assert relation.columns == list(frame.columns)
        assert len(relation.fetchall()) == len(frame) > 0
        with open_store(store_path(logbook("lakes"))) as store:
            assert list(TABLES[name].frame(store).columns) == list(frame.columns)
    gains = TABLES["comfort_gain"].frame(demo)
    assert gains[["aspect", "bundle"]].equals(
        gains[["aspect", "bundle"]].sort_values(["aspect", "bundle"], ignore_index=True)
    )
    always = gains[gains["verdict"] == "always_along"]
    assert len(always) == 4
    unused = gains[gains["verdict"] == "never_taken_out"]
    assert {"draughts-set", "spare-mug"} <= set(unused["bundle"])
    assert unused[["gain", "p_helps", "points_per_kg", "g_per_point"]].isna().all(axis=None)
    assert always[["gain", "p_helps", "points_per_kg", "g_per_point"]].isna().all(axis=None)
    assert set(gains["verdict"]) <= {
        "earned",
        "probably",
        "not_known",
        "always_along",
        "never_taken_out",
        "goes_with_better_days",
    }
    assert gains["items"].str.contains("Charger for the e-bike;E-bike").any()
