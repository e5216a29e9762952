"""Invented sleepers with a limit of their own, who vote on how warm their nights were.

A night is too cold where its low, the trip's own luck and the night's fall below what the sleeper
bears in that bag. The luck has logistic tails; a bag's printed figure is off by the maker's
optimism and the kind of figure it is. Nothing of it is the form or the prior of a model.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from worlds import PLACE, Book, Outing, Row, lows, nights_of_trip, outing, starts

BAGS = ("winter-bag", "summer-bag")
KINDS = ("limit", "comfort", "maker")
BOTHERS = (
    ("tent", "shelter", 1500),
    ("pot", "cook", 190),
    ("pack", "bags", 1200),
    ("lamp", "light", 90),
)


@dataclass(frozen=True)
class Sleeper:
    """The truth: what low is borne in each bag on an average night, and how nights vary, in °C."""

    middles_c: tuple[float, ...]
    night_scale_c: float
    trip_sd_c: float

    def limit_c(self, bag: int = 0) -> float:
        """The low at which one night in five is too cold, trips and nights of all kinds."""
        rng = np.random.default_rng(11)
        luck = self.trip_sd_c * rng.normal(size=40_000) + rng.logistic(
            scale=self.night_scale_c, size=40_000
        )
        return self.middles_c[bag] - float(np.quantile(luck, 0.2))

    def too_cold(
        self, rng: np.random.Generator, night_lows: np.ndarray, bag: int, warmer: float = 0.0
    ) -> np.ndarray:
        """How far above too cold nights feel, in night scales, trips in rows: below 0 too cold."""
        trip = self.trip_sd_c * rng.normal(size=(*night_lows.shape[:-1], 1))
        night = rng.logistic(scale=self.night_scale_c, size=night_lows.shape)
        return (night_lows + warmer - self.middles_c[bag] + trip + night) / self.night_scale_c


@dataclass
class Night:
    """One night as it was: its low, its bag, how it felt; whether the mat was flat."""

    trip: str
    day: date
    low_c: float
    bag: int
    vote: int
    score: int
    flat: bool
    draw: tuple[float, float, float]  # for what is missing: low, vote, chance of a vote


@dataclass(frozen=True)
class Camps:
    """How far a camper's places lie off what is usual: on average, and from one to the next, °C."""

    mean_c: float = 0.0
    places_c: float = 0.0

    def off_c(self, rng: np.random.Generator, many: int) -> np.ndarray:
        """So many places: most near the mean, some far off to the colder side."""
        skewed = rng.gamma(2.0, 1.0, size=many) - 2.0
        return self.mean_c - self.places_c * skewed / math.sqrt(2)


@dataclass
class Camper:
    """Nights slept, what each bag is called by its label, and the sleeper who slept them."""

    sleeper: Sleeper
    outings: list[Outing]
    bags: list[int]
    nights: list[Night]
    ratings_c: tuple[float, ...]
    fixed: dict[str, date | None]
    camps: "Camps"

    def book(
        self,
        figures: Sequence[tuple[float, str]],
        candidates: Sequence[Row] = (),
        bad_only: bool = False,
        failures: bool = True,
        names: Sequence[str] = BAGS,
        place: bool = True,
    ) -> Book:
        """The logbook, each bag labelled by a figure and its kind.

        bad_only: votes mostly on bad nights; failures: whether flat mats are written down.
        """
        book = Book()
        for name, (figure, kind) in zip(names, figures, strict=False):
            book.add(
                "gear",
                item=name,
                system="sleep",
                weight_g=900,
                rated_low_c=round(figure, 1),
                rated_as=None if kind == "maker" else kind,
            )
        book.add("gear", item="mat", system="sleep", weight_g=450)
        for name, system, grams in BOTHERS:
            book.add("gear", item=name, system=system, weight_g=grams)
        for row in candidates:
            book.add("candidates", **row)
        for one, bag in zip(self.outings, self.bags, strict=True):
            self._trip(book, one, names[bag], failures, place)
        for night in self.nights:
            if night.draw[0] > 0.08:
                book.add("weather", trip=night.trip, day=night.day, low_c=night.low_c)
            often = (0.9 if night.score <= 2 else 0.15) if bad_only else 0.88
            voted = night.draw[1] < often
            if voted or night.draw[2] < 0.9:
                book.add(
                    "comfort",
                    trip=night.trip,
                    day=night.day,
                    score=night.score,
                    warmth=night.vote if voted else None,
                )
        return book

    def _trip(self, book: Book, one: Outing, bag: str, failures: bool, place: bool) -> None:
        latitude, longitude, height = PLACE if place else (None, None, None)
        book.add(
            "trip",
            trip=one.name,
            start_on=one.start,
            end_on=one.end,
            mode="foot",
            latitude=latitude,
            longitude=longitude,
            elevation_m=height,
        )
        for item in (bag, "mat", *(name for name, *_ in BOTHERS)):
            book.add("carried", trip=one.name, item=item)
        flat = [night.day for night in self.nights if night.trip == one.name and night.flat]
        if flat and failures:
            book.add(
                "failures",
                trip=one.name,
                item="mat",
                day=flat[0],
                severity="lost_use",
                what="a leak",
                fixed_on=self.fixed.get(one.name),
            )

    def twice(self, rng: np.random.Generator) -> "Camper":
        """The same with the first bag told as two that are alike, one or the other on a trip."""
        bags = [int(rng.uniform() < 0.5) for _ in self.bags]
        bags[:2] = [0, 1]
        used = dict(zip((o.name for o in self.outings), bags, strict=True))
        nights = [replace(night, bag=used[night.trip]) for night in self.nights]
        return replace(self, bags=bags, nights=nights)

    def chance_of(self, rng: np.random.Generator, number: int, draws: int = 4000) -> float:
        """True chance of any too cold night on the trip of that number, before its nights came."""
        one, bag = self.outings[number], self.bags[number]
        off_c = self.camps.off_c(rng, draws // 8)[:, None]
        drawn = np.array([lows(rng, one.start, one.nights) for _ in range(draws // 8)])
        felt = self.sleeper.too_cold(rng, np.repeat(drawn + off_c, 8, axis=0), bag)
        return float(np.any(felt < 0, axis=1).mean())

    def chance_next_year(self, rng: np.random.Generator, draws: int = 4000) -> float:
        """True chance of any too cold night over the last twelve months' trips, a year later."""
        last = date(2026, 10, 1)
        calm = np.ones(draws, bool)
        for one, bag in zip(self.outings, self.bags, strict=True):
            if one.start > last - timedelta(365):
                calm &= ~self._cold(rng, one, bag, draws)
        return float(1 - calm.mean())

    def _cold(self, rng: np.random.Generator, one: Outing, bag: int, draws: int) -> np.ndarray:
        coming = one.start + timedelta(365)
        night_lows = np.array([lows(rng, coming, one.nights) for _ in range(draws // 8)])
        felt = self.sleeper.too_cold(rng, np.repeat(night_lows, 8, axis=0), bag)
        cold: np.ndarray = np.any(felt < 0, axis=1)
        return cold


def figure_c(rng: np.random.Generator, rating_c: float, kind: str) -> float:
    """What stands on the label of a bag whose limit is `rating_c`."""
    if kind == "comfort":
        return rating_c + 5 + float(rng.normal(0, 0.7))
    if kind == "maker":
        return rating_c + 1 + float(rng.normal(0, 3))
    return rating_c


def camper(
    rng: np.random.Generator,
    trips: int,
    bags: int = 1,
    flat_mats: bool = False,
    camps: Camps | None = None,
) -> Camper:
    """One sleeper's log; with two bags the summer one goes along when no cold is expected.

    camps: how far the places lie off what is usual; by default nowhere.
    """
    ratings = (float(rng.uniform(-5, 5)), float(rng.uniform(6, 11)))[:bags]
    own = float(rng.normal(0.5, 4))
    scale = float(rng.lognormal(math.log(1.6), 0.4))
    sleeper = Sleeper(
        tuple(r + own + float(rng.normal(0, 1.8)) for r in ratings),
        scale,
        abs(float(rng.normal(0, 1.6))),
    )
    days = starts(rng, trips, rng.uniform(4, 9), rng.uniform(0.4, 0.75))
    length = rng.uniform(1.5, 3.5)
    outings = [outing(rng, n, day, nights_of_trip(rng, length)) for n, day in enumerate(days)]
    if camps is not None:
        outings = [_moved(one, float(camps.off_c(rng, 1)[0])) for one in outings]
    made = Camper(sleeper, outings, [], [], ratings, {}, camps or Camps())
    for one in outings:
        bag = int(bags > 1 and min(one.normals_c) + rng.normal(0, 1.5) > 8)
        made.bags.append(bag)
        _sleep(rng, made, one, bag, flat_mats)
    return made


def _moved(one: Outing, off_c: float) -> Outing:
    return replace(one, lows_c=tuple(round(low + off_c, 1) for low in one.lows_c))


def _sleep(rng: np.random.Generator, made: Camper, one: Outing, bag: int, flat_mats: bool) -> None:
    flat_from, flat_until = one.nights, one.nights
    if flat_mats and rng.uniform() < 0.3:
        flat_from = int(rng.integers(0, one.nights))
        if rng.uniform() < 0.4 and flat_from + 1 < one.nights:
            flat_until = flat_from + 1
            made.fixed[one.name] = one.start + timedelta(flat_until)
    felt = made.sleeper.too_cold(rng, np.array([one.lows_c]), bag)[0]
    colder = rng.uniform(4, 10) / made.sleeper.night_scale_c
    usual = rng.normal(3.8, 0.4)
    for n, low in enumerate(one.lows_c):
        flat = flat_from <= n < flat_until
        warm = float(felt[n]) - colder * flat
        vote = int(np.digitize(warm, (-1.5, 0, 1.2, 4.5, 8, 12))) - 3
        score = usual - 1.3 * (vote <= -2) - 0.4 * (vote == -1) - 0.8 * flat + rng.normal(0, 0.8)
        made.nights.append(
            Night(
                one.name,
                one.start + timedelta(n),
                low,
                bag,
                vote,
                int(np.clip(round(score), 1, 5)),
                flat,
                tuple(rng.uniform(size=3)),
            )
        )
