"""Invented loggers of base weight whose true slope is known.

Each draws a new truth from a written, continuous distribution: the span from 1.5 to 4 years, the
slope N(0, 300) g a year, a degree of cold N(-50, 50) g, a second way of travelling N(0, 800) g,
the error's SD U(100, 500) g, correlated from one trip to the next.
"""

import math
from dataclasses import dataclass

import numpy as np
from tarebook.analysis.base_weight.trip_design import Trip


@dataclass(frozen=True)
class World:
    """How many trips, and how errors persist from one to the next.

    ``rho`` where they fade; else the kit wanders, ``walk`` being the walk's share of the variance
    of the difference between neighbouring trips (1: the walk alone).
    """

    trips: int
    rho: float = 0.0
    walk: float = 0.0


@dataclass(frozen=True)
class Drawn:
    """Trips in the order of time; design columns are years, cold, one, second mode if any.

    ``start_g`` is the true line at nought years and the median low on foot, ``second_g`` what
    travelling by bike adds to it.
    """

    slope: float
    start_g: float
    second_g: float
    design: list[list[float]]
    base_g: list[float]
    trips: list[Trip]


def persistent(n: int, rho: float, rng: np.random.Generator) -> np.ndarray:
    """Errors of SD 1, correlated from one trip to the next."""
    errors = rng.normal(size=n)
    for i in range(1, n):
        errors[i] = rho * errors[i - 1] + math.sqrt(1 - rho**2) * errors[i]
    return errors


def errors_of(of: World, rng: np.random.Generator) -> np.ndarray:
    """Errors of about SD 1 over the log."""
    if not of.walk:
        return persistent(of.trips, of.rho, rng)
    own = rng.normal(size=of.trips) * math.sqrt((1 - of.walk) / 2)
    kit = np.cumsum(rng.normal(size=of.trips)) * math.sqrt(of.walk)
    errors = own + kit - kit.mean()
    return np.asarray(errors / math.sqrt((1 - of.walk) / 2 + of.walk * of.trips / 6))


def world(of: World, rng: np.random.Generator) -> Drawn:
    """Draw one logbook."""
    n = of.trips
    years = np.sort(rng.uniform(0, rng.uniform(1.5, 4), n))
    cold = 7 - 7 * np.cos(2 * np.pi * (years + rng.uniform())) + rng.normal(0, 2, n)
    second = rng.integers(0, 2, n)
    slope, degree, way = rng.normal(0, 300), rng.normal(-50, 50), rng.normal(0, 800)
    errors = errors_of(of, rng) * rng.uniform(100, 500)
    base = 9000 + slope * years + degree * cold + way * second + errors
    both = min(np.bincount(second, minlength=2)) >= 3
    if not both:
        base -= way * second
    columns = [years - years.mean(), cold - np.median(cold), np.ones(n)]
    columns += [second.astype(float)] if both else []
    trips = [
        Trip(
            f"t{i}",
            float(base[i]),
            float(years[i]),
            ("foot", "bike")[second[i] if both else 0],
            None,
            float(cold[i]),
        )
        for i in range(n)
    ]
    design = np.column_stack(columns).tolist()
    usual = float(9000 + degree * np.median(cold))
    return Drawn(float(slope), usual, float(way if both else 0), design, base.tolist(), trips)


def changed(name: str, of: World, rng: np.random.Generator) -> list[Trip]:
    """Trips over 1.5 to 4 years by the name of what changes; the error's SD is U(100, 400) g.

    Trips that grow shorter go from about seven nights to two, 130 g a night; ways that drift go
    from one bike trip in ten to nine, 1,000 g lighter; a step stands between any two trips.
    """
    n = of.trips
    years = np.sort(rng.uniform(0, rng.uniform(1.5, 4), n))
    cold = 7 - 7 * np.cos(2 * np.pi * (years + rng.uniform())) + rng.normal(0, 2, n)
    base = 9000 - 50 * cold + errors_of(of, rng) * rng.uniform(100, 400)
    along = (years - years[0]) / (years[-1] - years[0])
    nights, bike = rng.integers(1, 6, n), np.zeros(n, bool)
    unnoted = {"one": 0.1, "three": 0.3, "none": 1.0}
    blank = next((p for word, p in unnoted.items() if f", {word}" in name), 0.0)
    if name == "trips grow shorter":
        nights = np.maximum(1, np.round(7 - 5 * along + rng.normal(0, 1, n))).astype(int)
        base = base + 130 * nights
    if name.startswith("ways drift"):
        bike = rng.uniform(size=n) < 0.1 + 0.8 * along
        base = base - 1000 * bike
    if name.startswith("one step"):
        base = base - 900 * (np.arange(n) >= rng.integers(2, n - 1))
    if name.startswith("a fall"):
        base = base - 300 * years
    modes = [None if rng.uniform() < blank else ("foot", "bike")[int(b)] for b in bike]
    return [
        Trip(
            f"t{i}", float(base[i]), float(years[i]), modes[i], None, float(cold[i]), int(nights[i])
        )
        for i in range(n)
    ]


def colder_seasons(
    n: int, rng: np.random.Generator, *, first_c: float = 10.0, per_year_c: float = -3.0
) -> list[Trip]:
    """Gear that never changes, but for clothes that go along by the normal low; seasons drift.

    The normal low of each trip starts about first_c and drifts year by year; the measured low
    differs from it by N(0, 3) °C; below 8 °C normal a jacket comes along (350 g), below 4 °C a
    warmer bag (500 g more than the quilt), and whatever else one likes, N(0, 200) g.
    """
    years = np.sort(rng.uniform(0, 4, n))
    swing = 4 * np.cos(2 * np.pi * (years + rng.uniform()))
    normal = first_c + per_year_c * years + swing + rng.normal(0, 1, n)
    measured = normal + rng.normal(0, 3, n)
    base = 7000 + 350.0 * (normal < 8) + 500.0 * (normal < 4) + rng.normal(0, 200, n)
    return [
        Trip(f"t{i}", float(base[i]), float(years[i]), "foot", float(normal[i]), float(measured[i]))
        for i in range(n)
    ]
