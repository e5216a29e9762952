"""Invented loggers of base weight whose true slope is known.

Each draws a new truth from a written, continuous distribution: the span from 1.5 to 4 years, the
slope N(0, 300) g a year, a degree of cold N(-50, 50) g, a second way of travelling N(0, 800) g,
the error's SD U(100, 500) g, correlated from one trip to the next.
"""

import math
from dataclasses import dataclass

import numpy as np
from tarebook.analysis.trip_design import Trip


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

    ``start_g`` is the true line at nought years, the median low and the mixture of modes drawn.
    """

    slope: float
    start_g: float
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
        Trip(f"t{i}", float(base[i]), float(years[i]), ("foot", "bike")[second[i] if both else 0],
             None, float(cold[i]))
        for i in range(n)
    ]  # fmt: skip
    design = np.column_stack(columns).tolist()
    usual = 9000 + degree * np.median(cold) + (way * second.mean() if both else 0)
    return Drawn(float(slope), float(usual), design, base.tolist(), trips)


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
        Trip(f"t{i}", float(base[i]), float(years[i]), "foot", float(normal[i]),
             float(measured[i]))
        for i in range(n)
    ]  # fmt: skip
