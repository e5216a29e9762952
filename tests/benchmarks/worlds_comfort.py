"""Invented campers who score their nights, with what each thing truly adds to a score.

A night's score is a feeling, rounded to 1 to 5: the camper's usual, how easy the day was (short,
dry, warm, and something that no column holds), a slow drift, what the luxuries add, the trip, the
night. None of it is the form of a model: ease acts through a bend, noise has long tails.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

import numpy as np
from worlds import PLACE, Book, Outing, nights_of_trip, outing, starts

World = Literal["ease", "drift", "plain", "gains"]

ALWAYS = (
    ("tent", "shelter", 1450),
    ("mat", "sleep", 480),
    ("bag", "sleep", 900),
    ("pot", "cook", 180),
    ("stove", "cook", 95),
    ("bottle", "water", 140),
    ("lamp", "light", 80),
    ("first-aid", "first_aid", 160),
    ("pack", "bags", 1100),
)
WEATHER = (
    ("rain-jacket", "rain", 310, "wet"),
    ("overtrousers", "rain", 240, "wet"),
    ("warm-jacket", "clothing", 420, "cold"),
    ("hat", "clothing", 60, "cold"),
    ("gloves", "clothing", 75, "cold"),
    ("fleece", "clothing", 290, "cold"),
)
NOW_AND_THEN = (
    ("second-pan", "cook", 210),
    ("map-case", "navigation", 70),
    ("saw", "other", 130),
    ("spare-shirt", "clothing", 150),
    ("towel", "hygiene", 90),
    ("rope", "other", 160),
    ("soap", "hygiene", 40),
)
LUXURIES = (
    ("chair", "leisure", 540),
    ("pillow", "sleep", 90),
    ("book", "leisure", 260),
    ("camp-shoes", "clothing", 310),
    ("flask", "cook", 330),
    ("kite", "leisure", 190),
    ("thick-socks", "clothing", 95),
    ("radio", "leisure", 220),
)

BLANKS: dict[str, Sequence[str]] = {
    "gear": ("rated_low_c", "rated_as", "price", "meant_for", "cold_below_c"),
    "trip": ("mode", "latitude", "longitude", "elevation_m", "use_record"),
    "carried": ("used",),
    "comfort": ("warmth",),
    "weather": ("*",),
    "distances": ("*",),
}
"""The columns that a lazy camper leaves blank: distances, weather, ways of travel, use."""


@dataclass
class Camper:
    """A logbook, and the points that each thing truly adds to a night's score."""

    book: Book
    gains: dict[str, float]
    ease_not_logged: float
    luxuries: tuple[str, ...]
    latent: list[float] = field(default_factory=list)


def camper(rng: np.random.Generator, trips: int, world: World, aspects: int = 1) -> Camper:
    """One camper in a world: luxuries on easy trips, scores that drift, neither, or real gains."""
    a_year = rng.uniform(4, 9)
    days = starts(rng, trips, a_year, rng.uniform(0.55, 0.85))
    mean_nights = rng.uniform(1.6, 4)
    outings = [outing(rng, n, day, nights_of_trip(rng, mean_nights)) for n, day in enumerate(days)]
    luxuries = [LUXURIES[i] for i in rng.permutation(len(LUXURIES))[: rng.integers(3, 7)]]
    others = [NOW_AND_THEN[i] for i in rng.permutation(len(NOW_AND_THEN))[: rng.integers(2, 6)]]
    names = [row[0] for row in (*others, *luxuries)] + [row[0] for row in WEATHER]
    gains = dict.fromkeys(names, 0.0)
    if world == "gains":
        gains |= {name: float(rng.exponential(0.45)) for name, *_ in luxuries}
        gains |= {name: float(rng.normal(0, 0.08)) for name in names if not gains[name]}
    book = Book()
    _gear(rng, book, [*luxuries, *others])
    life = _Life.draw(rng, world, outings, [name for name, *_ in luxuries])
    made = Camper(book, gains, float(life.parts[3]), tuple(name for name, *_ in luxuries))
    for n, one in enumerate(outings):
        _trip(rng, made, life, one, n, [name for name, *_ in others], aspects)
    return made


@dataclass
class _Life:
    """What stays of a camper over the years."""

    world: World
    outings: list[Outing]
    parts: np.ndarray  # shares of short, dry, warm, not logged in ease
    unlogged: np.ndarray  # a trip's ease that no column holds
    usual: float
    weight_of_ease: float
    drift: float
    trip_sd: float
    night_sd: float
    bikes: float
    habit: dict[str, tuple[float, float]]
    bought: dict[str, tuple[date, float]]
    trip_effects: np.ndarray
    records_use: bool

    @classmethod
    def draw(
        cls, rng: np.random.Generator, world: World, outings: list[Outing], luxuries: list[str]
    ) -> "_Life":
        ease = world == "ease"
        taking = (1, 3) if ease else (0, 0.7) if world == "gains" else (0, 0)
        first, last = outings[0].start.toordinal(), outings[-1].start.toordinal()
        return cls(
            world,
            outings,
            rng.dirichlet([1, 1, 1, 1]),
            rng.normal(size=len(outings)),
            rng.normal(3.4, 0.4),
            rng.uniform(0.3, 0.8) if ease else rng.uniform(0, 0.4),
            0.3 if world == "drift" else 0.0,
            rng.uniform(0.1, 0.45),
            rng.uniform(0.5, 0.9),
            rng.uniform(0, 1) if rng.uniform() < 0.5 else 0.0,
            {name: (rng.normal(0, 0.8), rng.uniform(*taking)) for name in luxuries},
            {
                name: (
                    date.fromordinal(int(first + (last - first) * rng.uniform(0.15, 0.85))),
                    rng.uniform(0.6, 0.97),
                )
                for name in luxuries
            },
            rng.standard_t(6, size=len(outings)) / 1.22,
            bool(rng.uniform() < 0.6),
        )

    def takes(self, rng: np.random.Generator, name: str, one: Outing, ease: float) -> bool:
        if self.world == "drift":
            day, often = self.bought[name]
            return bool(one.start >= day and rng.uniform() < often)
        lean, with_ease = self.habit[name]
        return bool(rng.uniform() < 1 / (1 + np.exp(-(lean + with_ease * ease))))


def _gear(rng: np.random.Generator, book: Book, chosen: Sequence[tuple[str, str, int]]) -> None:
    for name, system, grams in (*ALWAYS, *chosen):
        rated = {"rated_low_c": 2, "rated_as": "comfort"} if name == "bag" else {}
        weight = round(grams * rng.lognormal(0, 0.15))
        book.add("gear", item=name, system=system, weight_g=weight, **rated)
    for name, system, grams, meant in WEATHER:
        cold = {"cold_below_c": 6} if meant == "cold" else {}
        weight = round(grams * rng.lognormal(0, 0.15))
        book.add("gear", item=name, system=system, weight_g=weight, meant_for=meant, **cold)


def _trip(
    rng: np.random.Generator,
    camper: Camper,
    life: _Life,
    one: Outing,
    n: int,
    others: Sequence[str],
    aspects: int,
) -> None:
    book = camper.book
    mode = "bike" if rng.uniform() < life.bikes else "foot"
    usual_km = 55 if mode == "bike" else 17
    push = rng.normal(0, 0.35)
    km = [usual_km * float(np.exp(push + rng.normal(0, 0.3))) for _ in one.days]
    damp = rng.beta(1.2, 2.2 if 5 <= one.start.month <= 9 else 1.4)
    wet = [bool(rng.uniform() < damp) for _ in one.days]
    lows = np.array(one.lows_c)
    logged = (
        -np.log(np.mean(km) / usual_km) / 0.4,
        (0.4 - np.mean(wet)) / 0.3,
        (lows.mean() - 8) / 4,
    )
    shares = np.sqrt(life.parts)
    ease = float(shares @ [*logged, life.unlogged[n]])
    latitude, longitude, height = PLACE
    book.add(
        "trip",
        trip=one.name,
        start_on=one.start,
        end_on=one.end,
        mode=mode,
        latitude=latitude,
        longitude=longitude,
        elevation_m=height,
        use_record="full" if life.records_use else None,
    )
    along = [name for name, *_ in ALWAYS]
    along += [
        name
        for name, *_, meant in WEATHER
        if rng.uniform() < (0.25 + 0.7 * (damp > 0.3 if meant == "wet" else lows.min() < 7))
    ]
    along += [name for name in others if rng.uniform() < 0.45]
    luxuries = [x for x in camper.luxuries if life.takes(rng, x, one, ease)]
    for name in (*along, *luxuries):
        used = "yes" if rng.uniform() < 0.8 else "no"
        book.add("carried", trip=one.name, item=name, used=used if life.records_use else None)
    gain = sum(camper.gains.get(name, 0.0) for name in (*along, *luxuries))
    years = one.years - life.outings[len(life.outings) // 2].years
    level = life.usual + life.drift * years + gain + life.trip_sd * float(life.trip_effects[n])
    aspect_names = ("sleep", "camp")[:aspects]
    for i, day in enumerate(one.days):
        if rng.uniform() > 0.08:
            book.add(
                "weather",
                trip=one.name,
                day=day,
                wet="yes" if wet[i] else "no",
                low_c=one.lows_c[i] if i < one.nights else None,
            )
        if rng.uniform() > 0.08:
            book.add(
                "distances",
                trip=one.name,
                day=day,
                mode=mode,
                distance_km=round(km[i], 1),
                ascent_m=round(15 * km[i]),
            )
        if i == one.nights:
            break
        of_day = (
            -np.log(km[i] / usual_km) / 0.4,
            (0.4 - wet[i]) / 0.5,
            (lows[i] - 8) / 4,
            life.unlogged[n] + rng.normal(0, 0.4),
        )
        easy = 1.6 * np.tanh(float(shares @ of_day) / 1.6)
        for aspect in aspect_names:
            feeling = level + life.weight_of_ease * easy + life.night_sd * rng.standard_t(5) / 1.29
            if rng.uniform() > 0.12:
                warmth = int(np.clip(round((lows[i] - 4) / 4 + rng.normal(0, 0.8)), -3, 3))
                book.add(
                    "comfort",
                    trip=one.name,
                    day=day,
                    aspect=aspect,
                    score=int(np.clip(round(feeling), 1, 5)),
                    warmth=warmth if aspect == "sleep" else None,
                )
