"""Invented campers whose true needs are known: food and gas.

What is forecast of a trip is set against what that trip truly took. None of it is the form or the
prior of a model: what a camper needs is the sum of single days, each person's each day by itself;
what is seen of it is what the camper happened to take, less what came home.

Food: a camper's median is log-normal about 680 g a person-day, gas about 17 g a person-night; trips
vary by a factor of their own, days by another (`Camper`). The worlds bend what a model may assume:

- "plain": trips and days are log-normal;
- "hungry": more on cold days and on long ones, and the first and the last day are part days;
- "rough": days are Gamma, trips have tails of Student's t, and now and then a guest eats along;
- "tight": so little is taken that on about half of the trips all is eaten;
- "forgetful": of two trips in five it is not noted what came home;
- "pairs": one, two or three people, whose appetites differ; gas is shared;
- "resupplied": on trips of three nights and more half of the food comes along later.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

import numpy as np
from worlds import PLACE, Book, Outing, nights_of_trip, outing, starts

Array = np.ndarray[Any, np.dtype[np.float64]]
FOODS = ("dinners", "snacks")
GAS, WATER = "gas", "water-bottle"
CONSUMABLES = {"dinners": "food", "snacks": "food", "gas": "cook", "water-bottle": "water"}
OTHERS = (("tent", "shelter", 1500), ("quilt", "sleep", 700), ("pot", "cook", 150))


@dataclass(frozen=True)
class World:
    """How a camper's trips and notes go; ``bias`` is how much too much is taken, on the log."""

    name: str
    bias: tuple[float, float] = (0.0, 0.5)
    hungry: bool = False
    rough: bool = False
    unnoted: float = 0.05
    people: tuple[int, ...] = (1,)
    resupplied: bool = False


WORLDS = {
    world.name: world
    for world in (
        World("plain"),
        World("hungry", hungry=True),
        World("rough", rough=True),
        World("tight", bias=(-0.15, 0.12)),
        World("forgetful", unnoted=0.4),
        World("pairs", people=(1, 2, 2, 3)),
        World("resupplied", resupplied=True),
    )
}


@dataclass(frozen=True)
class Camper:
    """The truth: medians in g a person-day and a person-night, and spreads on the log."""

    food_g: float
    dinners: float
    gas_g: float
    trip_sd: Mapping[str, float]
    day_sd: Mapping[str, float]
    bias: float
    cold: float
    far: float

    @classmethod
    def drawn(cls, world: World, rng: np.random.Generator) -> "Camper":
        """Somebody new."""
        things = (*FOODS, GAS)
        return cls(
            float(680 * np.exp(rng.normal(0, 0.28))),
            float(rng.uniform(0.5, 0.75)),
            float(17 * np.exp(rng.normal(0, 0.4))),
            {thing: float(rng.uniform(0.04, 0.3)) for thing in things},
            {thing: float(rng.uniform(0.1, 0.6)) for thing in things},
            float(rng.uniform(*world.bias)),
            float(rng.uniform(0.005, 0.025)) if world.hungry else 0.0,
            float(rng.uniform(0.0, 0.015)) if world.hungry else 0.0,
        )

    def median_g(self, thing: str) -> float:
        """Of one person, a day or night."""
        share = {"dinners": self.dinners, "snacks": 1 - self.dinners}
        return self.gas_g if thing == GAS else self.food_g * share[thing]


@dataclass(frozen=True)
class Seen:
    """A consumable on one trip: what it truly took, what was taken, what came home if noted."""

    need_g: float
    taken_g: float
    home_g: float | None
    person_days: int

    @property
    def eaten_g(self) -> float | None:
        """What was used up, where that is known."""
        return None if self.home_g is None else self.taken_g - self.home_g


@dataclass
class Supplies:
    """A logbook of such a camper, the first trip first, and the truth of every trip."""

    book: Book
    outings: list[Outing]
    people: list[int]
    seen: list[dict[str, Seen]]

    def before(self, trips: int, thing: str) -> list[Seen]:
        """What was seen on the first so many trips; food is all that is eaten, where known."""
        return [_whole(seen, thing) for seen in self.seen[:trips]]

    def need_g(self, trip: int, thing: str) -> float:
        """What the trip of that number truly takes."""
        return _whole(self.seen[trip], thing).need_g


def _whole(seen: Mapping[str, Seen], thing: str) -> Seen:
    if thing != "food":
        return seen[thing]
    parts = [seen[food] for food in FOODS]
    homes = [part.home_g for part in parts]
    return Seen(
        sum(part.need_g for part in parts),
        sum(part.taken_g for part in parts),
        None if None in homes else sum(home for home in homes if home is not None),
        parts[0].person_days,
    )


def supplies(
    world: World, trips: int, rng: np.random.Generator, plan: bool = False, later: int = 0
) -> Supplies:
    """A camper's log of so many trips and one more, which is a plan without notes where asked.

    ``later``: trips after that one, drawn after all else, so that what is before stays the same.
    """
    camper = Camper.drawn(world, rng)
    days = starts(rng, trips + 1, rng.uniform(4, 9), rng.uniform(0.4, 0.8))
    made = Supplies(Book(), [], [], [])
    for thing, system in CONSUMABLES.items():
        made.book.add("gear", item=thing, system=system, weight_g=500, carried_as="consumable")
    for item, system, grams in OTHERS:
        made.book.add("gear", item=item, system=system, weight_g=grams)
    length = rng.uniform(2, 4)
    for n, day in enumerate(days):
        one = outing(rng, n, day, short_nights(rng, length))
        _away(made, world, camper, one, rng, noted=not plan or n < trips)
    for n in range(later):
        start = days[-1] + timedelta(30 + 20 * n)
        one = outing(rng, trips + 1 + n, start, short_nights(rng, length))
        _away(made, world, camper, one, rng, noted=True)
    return made


def short_nights(rng: np.random.Generator, mean: float) -> int:
    """How many nights a trip has, so few that it is over before the next one begins."""
    return min(8, nights_of_trip(rng, mean))


def _away(
    made: Supplies,
    world: World,
    camper: Camper,
    one: Outing,
    rng: np.random.Generator,
    noted: bool,
) -> None:
    people = int(rng.choice(world.people))
    km = np.round(rng.gamma(6, 2.5, one.nights + 1), 1)
    made.outings.append(one)
    made.people.append(people)
    made.book.add(
        "trip",
        trip=one.name,
        start_on=one.start,
        end_on=one.end,
        mode="foot",
        latitude=PLACE[0],
        longitude=PLACE[1],
        elevation_m=PLACE[2],
        people=people if people > 1 else None,
        plan=None if noted else "yes",
    )
    for day, low, far in zip(one.days, (*one.lows_c, one.lows_c[-1]), km, strict=True):
        made.book.add("distances", trip=one.name, day=day, distance_km=far)
        if noted:
            made.book.add("weather", trip=one.name, day=day, low_c=low)
    for item, *_ in OTHERS:
        made.book.add("carried", trip=one.name, item=item)
    water, left = round(rng.uniform(500, 2000)), round(rng.uniform(0, 400))
    made.book.add(
        "carried",
        trip=one.name,
        item=WATER,
        weight_g=water,
        brought_home_g=left if noted else None,
    )
    own = rng.normal(0, 0.15, 3)  # how much more or less each of the people needs
    seen = {}
    for thing in (*FOODS, GAS):
        need = _need_g(world, camper, thing, one, km, own[:people], rng)
        units = (one.nights if thing == GAS else one.nights + 1) * people
        guess = camper.median_g(thing) * units * np.exp(camper.bias + rng.normal(0, 0.15))
        taken = float(max(10, 10 * round(guess / 10)))
        rest = float(max(0, round(taken - need)))
        known = (rng.uniform() >= world.unnoted) and noted
        seen[thing] = Seen(need, taken, rest if known else None, units)
        _note(made.book, one, thing, seen[thing], world.resupplied and one.nights > 2)
    made.seen.append(seen)


def _need_g(
    world: World,
    camper: Camper,
    thing: str,
    one: Outing,
    km: Array,
    own: Array,
    rng: np.random.Generator,
) -> float:
    """The sum of each person's days, or nights where it is gas."""
    units = one.nights if thing == GAS else one.nights + 1
    z = rng.standard_t(4) / 1.41 if world.rough else rng.normal()
    sd = camper.day_sd[thing]
    if world.rough:
        shape = 1 / sd**2
        days = rng.gamma(shape, 1 / shape, (len(own), units))
    else:
        days = np.exp(sd * rng.normal(size=(len(own), units)))
    low = np.array((*one.lows_c, one.lows_c[-1]))[:units]
    days = days * np.exp(own)[:, None] * np.exp(camper.cold * (8 - low))
    if thing != GAS:
        days = days * np.exp(camper.far * (km - 15))
        if world.hungry:
            days[:, 0] *= 0.7
            days[:, -1] *= 0.6
    if thing == GAS:
        days = days * len(own) ** -0.25  # one flame cooks for all
    guest = 1.4 if world.rough and rng.uniform() < 1 / 15 else 1.0
    return float(guest * camper.median_g(thing) * np.exp(camper.trip_sd[thing] * z) * days.sum())


def _note(book: Book, one: Outing, thing: str, seen: Seen, resupplied: bool) -> None:
    if not resupplied or thing == GAS or seen.taken_g < 40:
        book.add(
            "carried",
            trip=one.name,
            item=thing,
            weight_g=seen.taken_g,
            brought_home_g=seen.home_g,
        )
        return
    first = 10 * round(seen.taken_g / 20)
    later = seen.taken_g - first
    left = None if seen.home_g is None else max(0.0, seen.home_g - later)
    book.add("carried", trip=one.name, item=thing, weight_g=first, brought_home_g=left)
    book.add(
        "carried",
        trip=one.name,
        item=thing,
        weight_g=later,
        from_day=one.start + timedelta(one.nights // 2 + 1),
        brought_home_g=None if seen.home_g is None or left is None else seen.home_g - left,
    )


def bare(seen: Sequence[Seen], person_days: int) -> tuple[float, float, float] | None:
    """Low, high and the amount for nine in ten, taking what was used up for the need.

    Plain quantiles of what was used up a person-day; None where nothing is noted.
    """
    rates = [one.eaten_g / one.person_days for one in seen if one.eaten_g is not None]
    if not rates:
        return None
    low, high, most = np.quantile(rates, (0.05, 0.95, 0.9)) * person_days
    return float(low), float(high), float(most)
