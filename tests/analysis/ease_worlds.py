"""Invented campers whose comforts come along on easy trips, or were bought over the years.

A trip has an ease of its own. It acts on what comes along, on what is written down of the trip
(distance, climb, nights, rain, lows, way of travelling), and on the scores, through what is written
down and beyond it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

import numpy as np
from comfort_worlds import bundled
from tarebook.analysis.comfort.days import AspectDays, Bundle
from tarebook.analysis.comfort.ease import ease_of
from tarebook.analysis.comfort.gain import AspectGains, gains_of
from tarebook.analysis.comfort.things import Thing
from tarebook.analysis.stats.score_model.grid import ComfortData
from tarebook.analysis.stats.score_model.points import CONTRAST_SHARES, CONTRASTS

Array = np.ndarray[Any, np.dtype[np.float64]]
ALL = ("distance", "ascent", "wet", "low", "mode")
NOTHING: tuple[str, ...] = ()
START = date(2020, 1, 1)
YEAR = 365.25
PLAIN = Thing(
    item="chair", name="Chair", system="leisure", carried_as="base", load_g=400.0, insurance=False,
    essential=False, borrowed=False, retired_on=None, meant_for=(), cost=1.0, needs=(),
    stays_owned=5, stays_along=3, only_one=False, lately_stays=5, lately_along=3,
)  # fmt: skip


@dataclass(frozen=True)
class EaseWorld:
    """How ease and time act.

    ``pull``: log odds by which a comfort follows a trip's ease, for each standard deviation of it.
    ``shows``: how far ease shows in what can be written down. ``helps``: points for each SD of ease
    that nothing written down shows; ``felt``: whether distance, rain and warmth count by
    themselves. ``written``: what is. ``drift``: points a year; ``bought``: comforts appear over the
    years. ``gains``: of the comforts, by turns; ``from_priors``: gains and spreads are drawn from
    the model's priors instead.
    """

    name: str
    pull: float = 1.5
    shows: float = 1.0
    helps: float = 0.5
    felt: float = 1.0
    written: tuple[str, ...] = ALL
    drift: float = 0.0
    bought: bool = False
    comforts: int = 6
    rest: int = 24
    gains: tuple[float, ...] = (0.0,)
    from_priors: bool = False
    trip_sd: float = 0.3
    noise: float = 0.6
    trips_a_year: float = 8.0


EASE_WORLDS = {
    world.name: world
    for world in (
        EaseWorld("easy, all written"),
        EaseWorld("easy, nothing written", written=NOTHING),
        EaseWorld("easy, nothing to be seen", shows=0.0),
        EaseWorld("easy, three that follow closely", shows=0.0, comforts=3, pull=4.0),
        EaseWorld(
            "bought while scores drift", pull=0.0, helps=0.2, shows=0.3, drift=0.3, bought=True
        ),
        EaseWorld(
            "the same, 5 trips a year",
            pull=0.0,
            helps=0.2,
            shows=0.3,
            drift=0.3,
            bought=True,
            trips_a_year=5.0,
        ),
        EaseWorld("easy and drift", drift=0.3, bought=True),
        EaseWorld("packed at random", pull=0.0, helps=0.0, felt=0.5),
        EaseWorld(
            "packed at random, gains 0, .4, .8",
            pull=0.0,
            helps=0.0,
            felt=0.5,
            gains=(0.0, 0.4, 0.8),
        ),
        EaseWorld("easy, gains 0, .4, .8", gains=(0.0, 0.4, 0.8)),
        EaseWorld(
            "priors, packed at random", pull=0.0, helps=0.0, felt=0.5, comforts=10, from_priors=True
        ),
        EaseWorld("priors, easy", comforts=10, from_priors=True),
        EaseWorld("one comfort, nothing written", written=NOTHING, comforts=1),
        EaseWorld("one comfort, all written", comforts=1),
    )
}


@dataclass(frozen=True)
class Book:
    """Days as the question `comfort_days` gives them, what was along (n, p), and the truth (p)."""

    days: list[dict[str, Any]]
    along: Array
    comforts: Array
    gains: Array


def drawn(world: EaseWorld, trips: int, rng: np.random.Generator) -> Book:
    """One logbook of camp scores."""
    years = trips / world.trips_a_year
    when = np.sort(rng.uniform(0, YEAR * years, trips)).astype(int)
    ease = rng.normal(0, 1, trips)
    packed, comforts = _packed(world, ease, when / (YEAR * years), rng)
    gains, trip_sd, noise = _truth(world, comforts, rng)
    days: list[dict[str, Any]] = []
    along = []
    for t in range(trips):
        mood = rng.normal(0, trip_sd) + world.helps * ease[t]
        mood += world.drift * (when[t] / YEAR - years / 2) + float((packed[t] - 0.5) @ gains)
        start = START + timedelta(days=int(when[t]))
        for day in _trip(world, f"t{t:03}", float(ease[t]), start, rng):
            felt = day.pop("felt") + mood + rng.normal(0, noise)
            days.append({**day, "score": int(np.clip(np.floor(3.4 + felt + 0.5), 1, 5))})
            along.append(packed[t].astype(float))
    return Book(days, np.array(along), comforts, gains)


def _packed(
    world: EaseWorld, ease: Array, course: Array, rng: np.random.Generator
) -> tuple[Array, Array]:
    p = world.comforts + world.rest
    comforts = np.arange(p) < world.comforts
    pull = np.where(comforts, world.pull * rng.uniform(0.6, 1.4, p), 0.0)
    odds = rng.normal(0.3, 0.8, p) + ease[:, None] * pull
    packed = rng.random(odds.shape) < 1 / (1 + np.exp(-odds))
    if world.bought:
        late = comforts | (rng.random(p) < 0.3)
        owned = course[:, None] >= rng.uniform(0, 0.9, p)
        packed = np.where(late, owned & (rng.random(odds.shape) < 0.85), packed)
    return packed, comforts


def _truth(
    world: EaseWorld, comforts: Array, rng: np.random.Generator
) -> tuple[Array, float, float]:
    if not world.from_priors:
        gains = np.where(comforts, np.resize(world.gains, len(comforts)), 0.0)
        return gains, world.trip_sd, world.noise
    tau, trip_sd = np.abs(rng.normal(0, 0.5, 2))
    contrast = CONTRASTS[rng.choice(len(CONTRASTS), p=CONTRAST_SHARES)]
    gains = rng.normal(0, 1, len(comforts)) * tau * np.where(comforts, *contrast)
    return gains, float(trip_sd), abs(float(rng.normal(0, 1)))


def _trip(
    world: EaseWorld, trip: str, ease: float, start: date, rng: np.random.Generator
) -> list[dict[str, Any]]:
    shown = world.shows * ease
    nights = int(1 + rng.poisson(np.exp(0.6 - 0.25 * shown)))
    mode = "bike" if rng.random() < 1 / (1 + np.exp(1 - shown)) else "foot"
    usual = 45.0 if mode == "bike" else 14.0
    season = 5 * np.sin(2 * np.pi * (start - START).days / YEAR)
    found = []
    for number in range(nights):
        ratio = float(np.exp(-0.25 * shown + rng.normal(0, 0.3)))
        climb = float(500 * np.exp(-0.35 * shown + rng.normal(0, 0.5)))
        wet = bool(rng.random() < 1 / (1 + np.exp(1 + 0.8 * shown)))
        low = float(8 + season + 2 * shown + rng.normal(0, 2.5))
        has = {fact: fact in world.written for fact in ALL}
        found.append(
            {
                "trip": trip,
                "day": start + timedelta(days=number),
                "aspect": "camp",
                "nights": nights,
                "mode": mode if has["mode"] else None,
                "wet": wet if has["wet"] else None,
                "distance_km": usual * ratio if has["distance"] else None,
                "usual_km": usual if has["mode"] else 25.0,
                "ascent_m": climb if has["ascent"] else None,
                "usual_ascent_m": 500.0,
                "low_c": low if has["low"] else None,
                "normal_low_c": None,
                "rated_low_c": None,
                "felt": world.felt * (-0.4 * (ratio - 1) - 0.4 * wet + 0.05 * (low - 8)),
            }
        )
    return found


def gains_in(book: Book, *, allowing: bool = True) -> tuple[AspectGains, Array]:
    """The gains of a logbook and their truth, in the order of the bundles.

    ``allowing``: with ease and time beside them; without, as if days were alike.
    """
    along, true, sizes, comforts = bundled(book.along > 0.5, book.gains, book.comforts)
    days = aspect_days(book.days, along, sizes, comforts, allowing=allowing)
    return gains_of(days), true


def aspect_days(
    days: Sequence[dict[str, Any]],
    along: Array,
    sizes: Array,
    comforts: Array,
    *,
    allowing: bool = True,
) -> AspectDays:
    """Days as the analysis has them, things named by their number."""
    number: dict[str, int] = {}
    codes = np.array([number.setdefault(day["trip"], len(number)) for day in days], dtype=np.intp)
    ease = ease_of("camp", days, along, comforts)
    kept = ease.table if allowing else np.zeros((len(days), 0))
    data = ComfortData(
        np.array([float(day["score"]) for day in days]),
        codes,
        along,
        sizes,
        comforts,
        kept,
        slope_sds=ease.slope_sds if allowing else None,
        doubts=ease.doubts if allowing else None,
    )
    bundles = tuple(
        Bundle(
            tuple(_thing(n, m, bool(comforts[n])) for m in range(int(sizes[n]))),
            int(column.sum()),
            int(len(column) - column.sum()),
        )
        for n, column in enumerate(along.T)
    )
    rows = tuple((str(day["trip"]), day["day"]) for day in days)
    covariates = ease.covariates if allowing else ()
    return AspectDays("camp", data, bundles, None, (), covariates, rows, ease.blank)


def _thing(n: int, m: int, comfort: bool) -> Thing:
    return replace(
        PLAIN, item=f"i{n:03}-{m}", name=f"I {n} {m}", system="leisure" if comfort else "clothing"
    )
