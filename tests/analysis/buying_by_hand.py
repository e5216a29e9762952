"""One's own nights gone through again in pandas' rows, and a year to come by simulation."""

from typing import Any

import marts_by_hand
import numpy as np
from failures_by_hand import along, past
from marts_by_hand import Book
from scipy.stats import norm
from store_drawing import Row

SHIFT_C = {"limit": 0.0, "comfort": 5.0, "maker": 1.0, None: 1.0}
"""How far the figures of each kind stand above the limit scale."""


def replay(book: Book, candidate: Row) -> Row | None:
    """Nights of trips that took place on which the candidate would have been there.

    ``cold``: of those felt too cold the low, the items, and the lowest rating now and then.
    """
    gear = {g["item"]: g for g in book.gear.to_dict("records") if g["system"] == "sleep"}
    rated = {i: as_limit(g["rated_low_c"], g["rated_as"]) for i, g in gear.items()}
    new = as_limit(candidate["rated_low_c"], candidate["rated_as"])
    replaces = [i for i in candidate["replaces"] if i in set(book.gear["item"])]
    found: Row = {
        "nights": 0,
        "inside_now": 0,
        "inside_then": 0,
        "votes": 0,
        "cold_votes": 0,
        "set_apart": 0,
        "cold": [],
    }
    judged = inside = 0
    for night in marts_by_hand.nights(book):
        there = [i for i in rated if night["night"] in along(book, i, night["trip"])[1]]
        if night["trip"] not in past(book) or not there:
            continue
        if replaces and not set(replaces) & set(there):
            continue
        if is_apart(book, night):
            found["set_apart"] += 1
            continue
        if night["low_c"] is None or night["low_source"] == "logger_part":
            continue
        judged += 1
        then = min([*then_of(rated, there, replaces), new])
        inside += night["low_c"] >= then
        now = min((rated[i] for i in there if rated[i] is not None), default=None)
        if now is not None:
            found["nights"] += 1
            found["inside_now"] += night["low_c"] >= now
            found["inside_then"] += night["low_c"] >= then
        if night["warmth"] is None:
            continue
        found["votes"] += 1
        if night["warmth"] <= -2:
            found["cold_votes"] += 1
            found["cold"].append((night["low_c"], tuple(sorted(there)), now, then))
    if not found["nights"]:
        found |= {"nights": judged, "inside_now": None, "inside_then": inside}
    return found if judged else None


def as_limit(rated: Any, rated_as: Any) -> float | None:
    """A figure on the limit scale."""
    if rated is None or rated != rated:
        return None
    return float(rated) - SHIFT_C[rated_as if isinstance(rated_as, str) else None]


def is_apart(book: Book, night: Row) -> bool:
    """Whether sleep or shelter gear had failed that night, and was not fixed yet."""
    system = dict(zip(book.gear["item"], book.gear["system"], strict=True))
    for failure in book.failures.to_dict("records"):
        if failure["trip"] != night["trip"] or failure["severity"] == "nuisance":
            continue
        if system[failure["item"]] not in ("sleep", "shelter"):
            continue
        day, fixed = failure.get("day"), failure.get("fixed_on")
        if (day is None or night["night"] >= day) and (fixed is None or night["night"] < fixed):
            return True
    return False


def spared(
    fit: Any, place: int, now_c: float, then_c: float, low_c: float, draws: int = 40_000
) -> float:
    """P(not too cold where the rating is another | too cold), by nights that are drawn."""
    rng = np.random.default_rng(5)
    weight = fit.weight[place]
    s, t, h = np.unravel_index(rng.choice(weight.size, draws, p=weight.ravel()), weight.shape)
    spread = np.hypot(fit.spread_c[s], fit.trip_spread_c[t])
    even = now_c + fit.above_c[h]
    # What is felt on a night that was too cold: normal around its low, below where even odds lie.
    at = rng.uniform(size=draws) * norm.cdf((even - low_c) / spread)
    felt = low_c + spread * norm.ppf(at)
    return float(np.mean(felt > even + min(0.0, then_c - now_c)))


def then_of(rated: dict[str, Any], there: list[str], replaces: list[str]) -> list[float]:
    """Ratings of what stays beside the candidate."""
    return [rated[i] for i in there if i not in replaces and rated[i] is not None]


def chance_of_cold_year(
    fit: Any, number: int, rated_c: float, trips: list[list[tuple[float, float]]], draws: int
) -> tuple[float, float]:
    """Share of simulated years with a too cold night, and its Monte Carlo error.

    ``trips``: normal low and spread of each night.
    """
    rng = np.random.default_rng(11)
    weight = fit.weight[number]
    at = rng.choice(weight.size, size=draws, p=(weight / weight.sum()).ravel())
    s, t, h = np.unravel_index(at, weight.shape)
    cold = np.zeros(draws, bool)
    for nights in trips:
        shared = rng.normal(size=draws) * fit.trip_spread_c[t]
        z = rng.normal(size=draws)
        for place, (normal, sd) in enumerate(nights):
            if place:
                z = 0.68 * z + np.sqrt(1 - 0.68**2) * rng.normal(size=draws)
            low = normal + sd * z
            felt = rated_c + fit.above_c[h] + shared + rng.normal(size=draws) * fit.spread_c[s]
            cold |= felt > low
    return float(cold.mean()), float(cold.std() / np.sqrt(draws))
