"""The invented worlds load without a complaint and are what they say they are, seed by seed."""

import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))

import worlds
import worlds_cold
import worlds_comfort
import worlds_trend


@pytest.mark.parametrize("world", ["ease", "drift", "plain", "gains"])
def test_a_comfort_world_loads(world: worlds_comfort.World) -> None:
    made = worlds_comfort.camper(np.random.default_rng(7), 12, world, 2)
    with worlds.loaded(made.book) as folder:
        names = {row["item"] for row in worlds.table(folder, "items")}
    assert len(names & set(made.luxuries)) > 1
    assert any(made.gains.values()) == (world == "gains")


def test_a_comfort_world_of_blank_columns_loads_and_is_judged() -> None:
    made = worlds_comfort.camper(np.random.default_rng(7), 12, "ease")
    with worlds.loaded(made.book.without(worlds_comfort.BLANKS)) as folder:
        rows = worlds.table(folder, "comfort_gain")
    assert set(made.luxuries) & {name for row in rows for name in row["items"].split(";")}


def test_luxuries_go_along_on_easy_trips_and_only_there_where_the_world_says_so() -> None:
    """Short trips are easy: the chair is along on shorter days where ease rules, else not."""
    leaning = {}
    for world in ("ease", "plain"):
        with_it, without = [], []
        for seed in range(30):
            made = worlds_comfort.camper(np.random.default_rng(seed), 20, world)
            along = {(r["trip"], r["item"]) for r in made.book.tables["carried"]}
            for trip in {row["trip"] for row in made.book.tables["trip"]}:
                scores = [r["score"] for r in made.book.tables["comfort"] if r["trip"] == trip]
                for luxury in made.luxuries:
                    (with_it if (trip, luxury) in along else without).extend(scores)
        leaning[world] = np.mean(with_it) - np.mean(without)
    assert leaning["ease"] > 0.25
    assert abs(leaning["plain"]) < 0.1


@pytest.mark.parametrize(
    "world", ["even", "rho", "walk", "colder", "modes", "shorter", "step", "fall"]
)
def test_a_trend_world_loads(world: worlds_trend.World) -> None:
    made = worlds_trend.camper(np.random.default_rng(7), 12, world, "measured")
    with worlds.loaded(made.book) as folder:
        rows = worlds.table(folder, "base_weight")
    assert len(rows) == 12
    assert all(row["left_out"] is None for row in rows)


def test_a_true_fall_and_a_true_step_are_in_the_weights() -> None:
    """Over many campers the mean change is the true one, within its error."""
    for world in ("fall", "step", "even"):
        off = []
        for seed in range(60):
            made = worlds_trend.camper(np.random.default_rng(seed), 16, world)
            weights = {r["item"]: r["weight_g"] for r in made.book.tables["gear"]}
            warm = {name for name, _ in worlds_trend.WARM}
            modes = {n for things in worlds_trend.BY_MODE.values() for n, *_ in things}
            sums: dict[str, float] = {}
            for r in made.book.tables["carried"]:
                if r["item"] not in warm | modes:
                    grams = r.get("weight_g") or weights[r["item"]]
                    sums[r["trip"]] = sums.get(r["trip"], 0) + grams
            first, *_, last = sums.values()
            off.append(last - first - made.slope_g * made.years - made.step_g)
        assert abs(np.mean(off)) < 4 * np.std(off) / np.sqrt(len(off)) + 25


@pytest.mark.parametrize(("bags", "flat"), [(1, False), (2, True)])
def test_a_cold_world_loads(bags: int, flat: bool) -> None:
    made = worlds_cold.camper(np.random.default_rng(8), 14, bags, flat)
    figures = [(rating + 5, "comfort") for rating in made.ratings_c]
    for bad_only in (False, True):
        with worlds.loaded(made.book(figures, bad_only=bad_only)) as folder:
            assert worlds.table(folder, "cold_limits")


def test_one_night_in_five_is_too_cold_at_the_true_limit() -> None:
    made = worlds_cold.camper(np.random.default_rng(9), 12)
    limit = made.sleeper.limit_c()
    felt = made.sleeper.too_cold(np.random.default_rng(1), np.full((40_000, 1), limit), 0)
    assert np.mean(felt < 0) == pytest.approx(0.2, abs=0.01)


def test_a_page_is_read_without_its_kernel() -> None:
    made = worlds_trend.camper(np.random.default_rng(7), 8, "even")
    with worlds.loaded(made.book) as folder:
        opening = worlds.page(folder, "base_weight_trend", ["opening"])
    assert opening["opening"].startswith("Base weight over the seasons")
