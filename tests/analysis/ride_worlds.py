"""Invented riders of electric bikes: what their batteries truly give on a trip is known.

A day takes the work of moving the whole (Martin et al. 1998, J Appl Biomech 14:276, equations
from memory: rolling, climbing, air; chain and gears .95, from memory), less what hills give back on
the way down, times the motor's share, over the motor's efficiency. Air drag areas of .4 to .65 m²
and rolling coefficients of .005 to .011 are from memory, and so is the motor's efficiency of .8.
Riders, trips and days differ by factors of their own (`Rider`).
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import timedelta

import numpy as np
from ahead_worlds import short_nights
from worlds import PLACE, Book, Outing, outing, starts

BIKE, SPARE = "e-bike", "second-battery"
GRAVITY = 9.81
AIR_KG_M3 = 1.2
CHAIN, MOTOR = 0.95, 0.8


@dataclass(frozen=True)
class Rider:
    """The truth of one rider and bike; spreads are on the log."""

    body_kg: float
    bike_g: int
    rolling: float
    drag_m2: float
    speed_m_s: float
    share: float
    trip_sd: float
    day_sd: float
    capacity_wh: int

    @classmethod
    def drawn(cls, rng: np.random.Generator) -> "Rider":
        """Somebody new, on a bike of 20 to 29 kg."""
        return cls(
            round(float(rng.uniform(52, 98)), 1),
            int(rng.uniform(20_000, 29_000)),
            float(rng.uniform(0.005, 0.011)),
            float(rng.uniform(0.4, 0.65)),
            float(rng.uniform(4, 6)),
            float(rng.uniform(0.3, 0.75)),
            float(rng.uniform(0.0, 0.15)),
            float(rng.uniform(0.08, 0.3)),
            int(rng.choice([400, 500, 625, 750])),
        )

    def usual_wh(self, load_kg: float, km: float, ascent_m: float) -> float:
        """What the battery gives on a day of no luck, good or bad.

        Of the way down, taken to be as steep as 5 %, air and rolling are paid by the hill.
        """
        mass = self.body_kg + self.bike_g / 1000 + load_kg
        coasting = min(0.4, ascent_m / 50 / km)
        rolling = mass * GRAVITY * self.rolling * km * 1000
        air = AIR_KG_M3 / 2 * self.drag_m2 * self.speed_m_s**2 * km * 1000
        climbing = mass * GRAVITY * ascent_m
        work = climbing + (rolling + air) * (1 - coasting)
        return work / CHAIN * self.share / MOTOR / 3600


@dataclass
class Rides:
    """A logbook of such a rider, and what each trip truly takes in Wh, day by day."""

    book: Book
    outings: list[Outing]
    need_wh: list[list[float]] = field(default_factory=list)
    ways: list[list[tuple[float, float]]] = field(default_factory=list)
    noted: list[tuple[int, float, float]] = field(default_factory=list)
    """Trip, km and Wh of each day whose energy is noted."""


def rides(
    trips: int,
    rng: np.random.Generator,
    plan: bool = False,
    whole: Sequence[int] = (),
    gaps: bool = True,
    later: int = 0,
) -> Rides:
    """A rider's log of so many trips and one more; of those in ``whole`` every day has its row.

    ``gaps``: one day in ten has no row, one row in five no energy. ``plan``: the last is a plan
    with its distances and climbing alone. ``later``: trips after it, drawn after all else.
    """
    rider = Rider.drawn(rng)
    days = starts(rng, trips + 1, rng.uniform(4, 9), rng.uniform(0.6, 0.9))
    length = rng.uniform(1.5, 3.5)
    made = Rides(Book(settings=f"[person]\nbody_kg = {rider.body_kg}\n"), [])
    bike = {"system": "bike", "carried_as": "vehicle", "capacity_wh": rider.capacity_wh}
    made.book.add("gear", item=BIKE, weight_g=rider.bike_g, **bike)
    made.book.add("gear", item=SPARE, weight_g=rider.capacity_wh * 6, needs=BIKE, **bike)
    made.book.add("gear", item="panniers", system="bags", weight_g=1800, carried_as="vehicle")
    made.book.add("gear", item="camp-kit", system="shelter", weight_g=7000)
    far, steep = rng.uniform(30, 60), rng.uniform(5, 16)
    for n, day in enumerate(days):
        one = outing(rng, n, day, short_nights(rng, length))
        made.outings.append(one)
        full = n == trips or n in whole or not gaps
        _ridden(made, rider, one, (far, steep), rng, full, noted=not plan or n < trips)
    for n in range(later):
        start = days[-1] + timedelta(30 + 20 * n)
        one = outing(rng, trips + 1 + n, start, short_nights(rng, length))
        made.outings.append(one)
        _ridden(made, rider, one, (far, steep), rng, True, noted=True)
    return made


def _ridden(
    made: Rides,
    rider: Rider,
    one: Outing,
    usual: tuple[float, float],
    rng: np.random.Generator,
    full: bool,
    noted: bool,
) -> None:
    name = one.name
    made.book.add(
        "trip",
        trip=name,
        start_on=one.start,
        end_on=one.end,
        mode="ebike",
        latitude=PLACE[0],
        longitude=PLACE[1],
        elevation_m=PLACE[2],
        plan=None if noted else "yes",
    )
    spare = rng.uniform() < 0.6
    for item in (BIKE, "panniers", "camp-kit", *([SPARE] if spare else [])):
        made.book.add("carried", trip=name, item=item)
    load_kg = 8.8 + spare * rider.capacity_wh * 0.006
    luck = rider.trip_sd * rng.normal()
    needs, way = [], []
    for day in one.days:
        km = round(float(np.clip(usual[0] * np.exp(rng.normal(0, 0.4)), 5, 160)), 1)
        ascent = round(float(km * usual[1] * np.exp(rng.normal(0, 0.4))))
        wh = rider.usual_wh(load_kg, km, ascent) * np.exp(luck + rider.day_sd * rng.normal())
        needs.append(float(wh))
        way.append((km, float(ascent)))
        there, energy = rng.uniform(size=2)
        if not full and there < 0.1:
            continue
        read = noted and energy >= 0.2
        made.book.add(
            "distances",
            trip=name,
            day=day,
            distance_km=km,
            ascent_m=ascent,
            battery_wh=round(wh) if read else None,
        )
        if read:
            made.noted.append((len(made.need_wh), km, float(round(wh))))
    made.need_wh.append(needs)
    made.ways.append(way)


def bare_wh(made: Rides, trips: int, trip: int) -> tuple[float, float, float] | None:
    """Low, high and the amount for nine in ten by plain quantiles of Wh a km of single days."""
    rates = [wh / km for n, km, wh in made.noted if n < trips]
    if not rates:
        return None
    far = sum(km for km, _ in made.ways[trip])
    low, high, most = np.quantile(rates, (0.05, 0.95, 0.9)) * far
    return float(low), float(high), float(most)
