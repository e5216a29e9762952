"""Invented campers whose comforts come along on easy trips, or were bought over the years."""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import numpy as np

Array = np.ndarray[Any, np.dtype[np.float64]]


@dataclass(frozen=True)
class EaseWorld:
    """How ease and time act.

    ``pull``: log odds by which a comfort follows the trip's ease, per standard deviation of it.
    ``shows``: how far ease shows in distance, climbing, nights, rain and warmth. ``helps``: points
    per SD of ease that nothing recorded shows; ``felt``: whether distance, rain and warmth count
    themselves. ``recorded``: facts written down. ``drift``: points a year; ``bought``: comforts
    appear over the years. ``gains``: of the comforts, by turns.
    """

    name: str
    pull: float = 1.5
    shows: float = 1.0
    helps: float = 0.5
    felt: float = 1.0
    recorded: tuple[str, ...] = ("distance", "ascent", "wet", "low", "mode")
    drift: float = 0.0
    bought: bool = False
    comforts: int = 6
    rest: int = 24
    gains: tuple[float, ...] = (0.0,)
    trip_sd: float = 0.3
    noise: float = 0.6
    years: float = 0.0


def drawn(world: EaseWorld, trips: int, rng: np.random.Generator) -> tuple[list[dict[str, Any]], Array, Array, Array]:
    """Days as the question `comfort_days` gives them, along (n, p), comforts (p), gains (p)."""
    years = world.years or trips / 8
    when = np.sort(rng.uniform(0, 365.25 * years, trips)).astype(int)
    ease = rng.normal(0, 1, trips)
    p = world.comforts + world.rest
    comforts = np.arange(p) < world.comforts
    odds = rng.normal(0.3, 0.8, p)
    pull = np.where(comforts, world.pull * rng.uniform(0.6, 1.4, p), 0.0)
    chance = 1 / (1 + np.exp(-(odds + ease[:, None] * pull)))
    packed = rng.random((trips, p)) < chance
    if world.bought:
        bought = rng.uniform(0, 0.9, p) * 365.25 * years
        new = comforts | (rng.random(p) < 0.3)
        packed = np.where(new, (rng.random((trips, p)) < 0.85) & (when[:, None] >= bought), packed)
    gains = np.where(comforts, np.resize(world.gains, p), 0.0)
    rows, along = [], []
    s = world.shows
    for t in range(trips):
        e = ease[t]
        nights = 1 + rng.poisson(np.exp(0.6 - 0.25 * s * e))
        mode = "bike" if rng.random() < 1 / (1 + np.exp(1 - s * e)) else "foot"
        usual = 45.0 if mode == "bike" else 14.0
        season = 5 * np.sin(2 * np.pi * when[t] / 365.25)
        mood = rng.normal(0, world.trip_sd)
        for d in range(nights):
            ratio = np.exp(-0.25 * s * e + rng.normal(0, 0.3))
            ascent = 500 * np.exp(-0.35 * s * e + rng.normal(0, 0.5))
            wet = bool(rng.random() < 1 / (1 + np.exp(1 + 0.8 * s * e)))
            low = 8 + season + 2 * s * e + rng.normal(0, 2.5)
            value = 3.4 + mood + world.helps * e + world.drift * (when[t] / 365.25 - years / 2)
            value += world.felt * (-0.4 * (ratio - 1) - 0.4 * wet + 0.05 * (low - 8))
            value += float((packed[t] - 0.5) @ gains) + rng.normal(0, world.noise)
            day = date(2020, 1, 1) + timedelta(days=int(when[t]) + d)
            has = world.recorded
            rows.append({
                "trip": f"t{t:03}", "day": day, "aspect": "camp",
                "score": int(np.clip(np.floor(value + 0.5), 1, 5)), "nights": nights,
                "mode": mode if "mode" in has else None,
                "wet": wet if "wet" in has else None,
                "distance_km": usual * ratio if "distance" in has else None,
                "usual_km": usual if "mode" in has else 25.0,
                "ascent_m": ascent if "ascent" in has else None, "usual_ascent_m": 500.0,
                "low_c": low if "low" in has else None, "normal_low_c": None, "rated_low_c": None,
            })  # fmt: skip
            along.append(packed[t].astype(float))
    return rows, np.array(along), comforts, gains


NONE: tuple[str, ...] = ()
EASE_WORLDS = {
    w.name: w
    for w in (
        EaseWorld("easy recorded"),
        EaseWorld("easy shown only", helps=0.0, felt=1.5),
        EaseWorld("easy unrecorded", recorded=NONE),
        EaseWorld("easy hidden", shows=0.0),
        EaseWorld("easy hidden strong", shows=0.0, helps=0.7, pull=2.5),
        EaseWorld("easy two comforts", recorded=NONE, comforts=2),
        EaseWorld("easy twelve comforts", recorded=NONE, comforts=12),
        EaseWorld("drift bought", pull=0, helps=0.2, shows=0.3, drift=0.3, bought=True),
        EaseWorld("drift bought ten years", pull=0, helps=0.2, shows=0.3, drift=0.3, bought=True, years=8.0),
        EaseWorld("drift and easy", drift=0.3, bought=True),
        EaseWorld("calm", pull=0, helps=0.0, felt=0.5),
        EaseWorld("calm gains", pull=0, helps=0.0, felt=0.5, gains=(0.0, 0.4, 0.8)),
        EaseWorld("easy gains", gains=(0.0, 0.4, 0.8)),
        EaseWorld("demo-like", pull=0.3, helps=0.1, felt=1.0, gains=(1.0, 0.0, 0.0, 0.0), comforts=10, rest=60, trip_sd=.25, noise=.5),
    )
}
