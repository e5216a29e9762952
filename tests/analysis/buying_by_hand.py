"""One's own nights gone through again in pandas' rows, and a year to come by simulation."""

from typing import Any

import marts_by_hand
import numpy as np
from failures_by_hand import along, past
from marts_by_hand import Book
from store_drawing import Row


def replay(book: Book, candidate: Row, own_limit_c: float | None) -> Row | None:
    """Nights of trips that took place on which the candidate would have been there."""
    rated = {g["item"]: g["rated_low_c"] for g in book.gear.to_dict("records")
             if g["system"] == "sleep"}  # fmt: skip
    replaces = [i for i in candidate["replaces"] if i in set(book.gear["item"])]
    found = {"nights": 0, "inside_now": 0, "inside_then": 0, "votes": 0, "cold_votes": 0,
             "avoided": 0}  # fmt: skip
    judged = inside = 0
    for night in marts_by_hand.nights(book):
        if night["trip"] not in past(book) or night["low_source"] == "logger_part":
            continue
        there = [i for i in rated if night["night"] in along(book, i, night["trip"])[1]]
        if night["low_c"] is None or not there:
            continue
        if replaces and not set(replaces) & set(there):
            continue
        judged += 1
        inside += night["low_c"] >= min(
            [*then_of(rated, there, replaces), candidate["rated_low_c"]]
        )
        now = [rated[i] for i in there if rated[i] is not None]
        then = [*then_of(rated, there, replaces), candidate["rated_low_c"]]
        if now:
            found["nights"] += 1
            found["inside_now"] += night["low_c"] >= min(now)
            found["inside_then"] += night["low_c"] >= min(then)
        if night["warmth"] is None:
            continue
        found["votes"] += 1
        if night["warmth"] <= -2:
            found["cold_votes"] += 1
            if own_limit_c is not None:
                in_it = own_limit_c - (candidate["rated_low_c"] - min(then))
                found["avoided"] += night["low_c"] >= in_it
    if not found["nights"]:
        found |= {"nights": judged, "inside_now": None, "inside_then": inside}
    return found if judged else None


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
