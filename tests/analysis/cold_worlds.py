"""Invented sleepers: judged nights drawn from the model's own written truth, or a fixed one."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from tarebook.analysis.cold_model import ColdNights

Array = np.ndarray[Any, np.dtype[np.float64]]
ONE_IN_FIVE = 0.8416212335729143
"""Standard normal deviate that one in five exceeds."""


@dataclass(frozen=True)
class Sleeper:
    """Nights in two sleep systems, and the true own limits of both."""

    nights: ColdNights
    own_limit_c: Array


def draw_sleeper(trips: int, rng: np.random.Generator, trip_sd_c: float | None = None) -> Sleeper:
    """A sleeper with truth from the priors; ``trip_sd_c`` fixes what nights of a trip share."""
    rated = np.array([4.0, -3.0])
    offset, deviation = rng.normal(0, 5), rng.normal(0, 2, 2)
    spread = float(np.exp(rng.normal(np.log(3), 0.5)))
    trip_sd = abs(rng.normal(0, 2)) if trip_sd_c is None else trip_sd_c
    lengths = rng.integers(1, 5, trips)
    of_trip = np.repeat(np.arange(trips), lengths)
    system = rng.integers(0, 2, trips)[of_trip]
    low = rng.normal(rated[system] + 5, 5)
    even = rated + offset + deviation
    shifted = even[system] + rng.normal(0, trip_sd, trips)[of_trip]
    cold = (rng.normal(low, spread) < shifted).astype(float)
    limit = even + ONE_IN_FIVE * np.hypot(spread, trip_sd)
    return Sleeper(ColdNights(system, of_trip, low, cold, rated), limit)
