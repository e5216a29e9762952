"""Invented campers whose base weight truly changes, or does not while all else does.

A trip's base weight is the sum of what lies in the pack: a kit whose pieces are replaced, warm
things by the cold that is expected, things of the way of travel, what more nights take, and a
habit of packing more or less. True change at equal cold, mode and length is known by construction.
"""

import math
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

import numpy as np
from worlds import PLACE, Book, Outing, nights_of_trip, outing, starts

World = Literal["even", "rho", "walk", "colder", "modes", "shorter", "step", "fall"]
Lows = Literal["normal", "measured", "none"]

KIT = (
    ("tent", "shelter", 1700),
    ("bag", "sleep", 1050),
    ("mat", "sleep", 520),
    ("pack", "bags", 1250),
    ("stove", "cook", 210),
    ("pot", "cook", 240),
    ("filter", "water", 170),
    ("lamp", "light", 110),
    ("power-bank", "power", 280),
    ("first-aid", "first_aid", 190),
    ("repair-kit", "repair", 140),
    ("wash-bag", "hygiene", 230),
    ("rain-jacket", "rain", 350),
    ("spare-clothes", "clothing", 640),
)
WARM = (
    ("fleece", 330),
    ("warm-jacket", 450),
    ("hat", 65),
    ("gloves", 85),
    ("long-johns", 190),
    ("thick-socks", 100),
    ("inner-bag", 210),
)
BY_MODE = {
    "foot": (("poles", "other", 420),),
    "bike": (("tool-roll", "bike", 640), ("lock", "bike", 480), ("tubes", "bike", 260)),
    "paddle": (("dry-bags", "bags", 720), ("throw-line", "safety", 330)),
}


@dataclass
class Camper:
    """A logbook, its true change a year at equal cold, mode and length, and where a step lies."""

    book: Book
    slope_g: float
    step_g: float = 0.0
    step_on: date | None = None
    years: float = 0.0
    last: date | None = None


@dataclass
class _Life:
    """How a camper packs."""

    world: World
    weights: dict[str, float]
    colder_than: dict[str, float]
    pack_sd: float
    rho: float
    walk_sd: float
    fall_g: float
    modes: tuple[str, ...]
    extra: float  # grams a night beyond the first

    @classmethod
    def draw(cls, rng: np.random.Generator, world: World) -> "_Life":
        several = world == "modes" or (world in ("even", "walk") and rng.uniform() < 0.4)
        second = "bike" if rng.uniform() < 0.6 else "paddle"
        return cls(
            world,
            {name: grams * float(rng.lognormal(0, 0.2)) for name, *_, grams in (*KIT, *WARM)}
            | {
                name: grams * float(rng.lognormal(0, 0.3))
                for things in BY_MODE.values()
                for name, _, grams in things
            },
            {name: float(rng.uniform(2, 13)) for name, _ in WARM},
            float(rng.lognormal(math.log(150), 0.4)),
            0.6 if world == "rho" else 0.0,
            float(rng.lognormal(math.log(120), 0.5)) if world == "walk" else 0.0,
            -float(rng.uniform(80, 450)) if world == "fall" else 0.0,
            ("foot", second) if several else ("foot",),
            float(rng.uniform(60, 220)) if world == "shorter" else float(rng.uniform(0, 30)),
        )


def camper(rng: np.random.Generator, trips: int, world: World, lows: Lows = "normal") -> Camper:
    """One camper; lows says whether cold is known by place, by thermometer or not at all."""
    days = starts(rng, trips, rng.uniform(3, 7), rng.uniform(0.5, 0.75))
    if world == "colder":
        days = _colder(rng, days)
    life = _Life.draw(rng, world)
    first, span = days[0], (days[-1] - days[0]).days
    outings = []
    for n, day in enumerate(days):
        gone = (day - first).days / span
        mean_nights = 6.5 - 4.5 * gone if world == "shorter" else 2.8
        outings.append(outing(rng, n, day, nights_of_trip(rng, mean_nights)))
    made = Camper(Book(), life.fall_g, years=span / 365.25, last=days[-1])
    if world == "step":
        at = int(rng.integers(max(2, trips // 5), trips - max(1, trips // 5)))
        made.step_g, made.step_on = -float(rng.uniform(450, 1200)), days[at]
    _gear(made.book, life)
    _pack(rng, made, life, outings, lows)
    return made


def _colder(rng: np.random.Generator, days: list[date]) -> list[date]:
    """The same years with their trips going from midsummer towards winter."""
    span = (days[-1] - days[0]).days
    moved: set[date] = set()
    for day in days:
        gone = (day - days[0]).days / span
        month_day = date(day.year, 7, 10) + timedelta(int(150 * gone + rng.normal(0, 25)))
        while any(abs((month_day - other).days) < 9 for other in moved):
            month_day += timedelta(3)
        moved.add(month_day)
    return sorted(moved)


def _gear(book: Book, life: _Life) -> None:
    rows = [*KIT, *((name, "clothing", grams) for name, grams in WARM)]
    rows += [thing for mode in life.modes for thing in BY_MODE[mode]]
    if life.world == "step":
        rows.append(("light-tent", "shelter", 0))
    for name, system, _ in rows:
        replaced = {"replaces": "tent"} if name == "light-tent" else {}
        weight = None if name == "light-tent" else round(life.weights[name])
        book.add("gear", item=name, system=system, weight_g=weight, **replaced)
    for name, system, grams in (("small-things", "other", 300), ("odds-and-ends", "other", 200)):
        book.add("gear", item=name, system=system, weight_g=grams)


def _pack(
    rng: np.random.Generator, made: Camper, life: _Life, outings: list[Outing], lows: Lows
) -> None:
    latitude, longitude, height = PLACE
    book, habit, walk = made.book, float(rng.normal()), 0.0
    kit = dict(life.weights)
    if made.step_on is not None:
        # The new tent is lighter by the step, and never weighs less than a light one does.
        kit["tent"] = life.weights["tent"] = max(kit["tent"], 900 - made.step_g)
        book.tables["gear"][0]["weight_g"] = round(kit["tent"])
        book.tables["gear"][-3]["weight_g"] = round(kit["tent"] + made.step_g)
    slow = rng.dirichlet(np.ones(len(KIT)))
    for n, one in enumerate(outings):
        gone = (one.start - outings[0].start).days / 365.25
        part = n / max(len(outings) - 1, 1)
        drifting = life.world == "modes"
        second = (0.1 + 0.8 * part) if drifting else 0.4
        mode = life.modes[1] if len(life.modes) > 1 and rng.uniform() < second else life.modes[0]
        place = lows == "normal"
        book.add(
            "trip",
            trip=one.name,
            start_on=one.start,
            end_on=one.end,
            mode=mode,
            latitude=latitude if place else None,
            longitude=longitude if place else None,
            elevation_m=height if place else None,
        )
        if lows != "none":
            for day, low in zip(one.days[:-1], one.lows_c, strict=True):
                book.add("weather", trip=one.name, day=day, low_c=low)
        habit = life.rho * habit + math.sqrt(1 - life.rho**2) * float(rng.normal())
        walk += life.walk_sd * float(rng.normal())
        _carry(
            rng,
            made,
            life,
            one,
            mode,
            kit,
            slow * (life.fall_g * gone + walk),
            life.pack_sd * habit + life.extra * (one.nights - 1),
        )


def _carry(
    rng: np.random.Generator,
    made: Camper,
    life: _Life,
    one: Outing,
    mode: str,
    kit: dict[str, float],
    change: np.ndarray,
    packing: float,
) -> None:
    """One trip's rows: pieces of the kit as they weigh then, and what cold, mode, nights add."""
    stepped = made.step_on is not None and one.start >= made.step_on
    expected = min(one.normals_c) + float(rng.normal(0, 1.5))
    rest = 0.0
    for (name, *_), moved in zip(KIT, change, strict=True):
        grams = max(kit[name] + moved, 20.0)
        rest += kit[name] + moved - grams
        item = "light-tent" if name == "tent" and stepped else name
        grams += made.step_g if item == "light-tent" else 0.0
        made.book.add("carried", trip=one.name, item=item, weight_g=round(grams))
    for name, _ in WARM:
        if expected < life.colder_than[name]:
            made.book.add("carried", trip=one.name, item=name)
    for name, *_ in BY_MODE[mode]:
        made.book.add("carried", trip=one.name, item=name)
    loose = 900 + packing + rest
    for name, part in (("small-things", 0.6), ("odds-and-ends", 0.4)):
        made.book.add("carried", trip=one.name, item=name, weight_g=max(round(part * loose), 1))
