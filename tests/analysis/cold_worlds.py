"""Invented sleepers: judged nights drawn from the model's own written truth, or a fixed one."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from tarebook.analysis.cold.model import ColdNights
from tarebook.analysis.cold.ratings import RATING_KINDS

Array = np.ndarray[Any, np.dtype[np.float64]]
ONE_IN_FIVE = 0.8416212335729143
"""Standard normal deviate that one in five exceeds."""


@dataclass(frozen=True)
class Sleeper:
    """Nights in two sleep systems, and the true own limits of both.

    ``voted`` (n) marks the nights with a vote where those are mostly bad ones.
    """

    nights: ColdNights
    own_limit_c: Array
    voted: Array


def draw_sleeper(trips: int, rng: np.random.Generator, trip_sd_c: float | None = None) -> Sleeper:
    """A sleeper with truth from the priors; ``trip_sd_c`` fixes what nights of a trip share.

    The ratings of both systems, as they are brought to the limit scale, are of kinds drawn at
    random, each off by what is written of its kind.
    """
    rated = np.array([4.0, -3.0])
    kinds = tuple(str(kind) for kind in rng.choice(list(RATING_KINDS), 2))
    shared = {kind: rng.normal(0, RATING_KINDS[kind].shared_sd_c) for kind in RATING_KINDS}
    figure = np.array([shared[kind] + rng.normal(0, RATING_KINDS[kind].own_sd_c) for kind in kinds])
    offset, deviation = rng.normal(0, 5), rng.normal(0, 2, 2)
    spread = float(np.exp(rng.normal(np.log(3), 0.5)))
    trip_sd = abs(rng.normal(0, 2)) if trip_sd_c is None else trip_sd_c
    lengths = rng.integers(1, 5, trips)
    of_trip = np.repeat(np.arange(trips), lengths)
    system = rng.integers(0, 2, trips)[of_trip]
    low = rng.normal(rated[system] + 5, 5)
    even = rated + figure + offset + deviation
    shifted = even[system] + rng.normal(0, trip_sd, trips)[of_trip]
    cold = (rng.normal(low, spread) < shifted).astype(float)
    limit = even + ONE_IN_FIVE * np.hypot(spread, trip_sd)
    # A bad night is mostly a cold one; all bad nights have a vote, of the others one in ten.
    bad = rng.random(len(low)) < np.where(cold > 0, 0.9, 0.1)
    voted = bad | (rng.random(len(low)) < 0.1)
    nights = ColdNights(system, of_trip, low, cold, rated, np.arange(2), kinds)
    return Sleeper(nights, limit, voted)


def with_votes_on_bad_nights(sleeper: Sleeper) -> ColdNights:
    """Those nights alone that have a vote where votes stand mostly on bad nights."""
    nights, kept = sleeper.nights, sleeper.voted > 0
    return ColdNights(
        nights.system[kept],
        nights.trip[kept],
        nights.low_c[kept],
        nights.too_cold[kept],
        nights.rated_c,
        nights.thing,
        nights.kinds,
    )
