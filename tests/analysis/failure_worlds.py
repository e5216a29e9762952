"""Simulated logbooks whose true failure rates are known: what calibration is measured on.

40 things in systems of 10, 8, 6, 5, 4, 3, 2 and 2, each carried on a share U(.3, 1) of 12 or 40
trips of 1 to 4 nights. Each logbook draws a new truth for each system: "as modelled" (mean
and shape from the priors, rates Gamma) or "log-normal" (log mean N(log .7, 1.5) and spread
U(.3, 1.2) on the logarithm).
"""

from dataclasses import dataclass

import numpy as np
from tarebook.analysis.wear.rates import FailurePool, FailureRate

SIZES = (10, 8, 6, 5, 4, 3, 2, 2)
WORLDS = ("as modelled", "log-normal")


@dataclass(frozen=True)
class Logbook:
    """Rates per 100 nights, nights and failures, thing by thing, and each one's system."""

    system: np.ndarray
    rate: np.ndarray
    nights: np.ndarray
    failures: np.ndarray


def simulate(world: str, trips: int, rng: np.random.Generator) -> Logbook:
    """One logbook of so many trips."""
    system = np.repeat(np.arange(len(SIZES)), SIZES)
    rates = []
    for size in SIZES:
        mean = np.exp(rng.normal(np.log(0.7), 1.5))
        if world == "as modelled":
            shape = np.exp(rng.normal(np.log(1.5), 0.8))
            rates.append(rng.gamma(shape, mean / shape, size))
        else:
            rates.append(mean * np.exp(rng.uniform(0.3, 1.2) * rng.normal(size=size)))
    rate = np.concatenate(rates)
    slept = rng.integers(1, 5, trips)
    nights = np.array([slept[rng.uniform(size=trips) < s].sum() for s in rng.uniform(0.3, 1, 40)])
    return Logbook(system, rate, nights, rng.poisson(rate * nights / 100))


def told(book: Logbook) -> list[tuple[float, FailureRate]]:
    """True and told rate of every thing with a night, then of every system as a whole."""
    things, wholes = [], []
    for system in range(len(SIZES)):
        mine = np.flatnonzero((book.system == system) & (book.nights > 0))
        if not len(mine):
            continue
        failures, nights = book.failures[mine].tolist(), book.nights[mine].tolist()
        pool = FailurePool(failures, nights)
        things += list(zip(book.rate[mine].tolist(), pool.rates(failures, nights), strict=True))
        truth = float((book.rate[mine] * book.nights[mine]).sum() / book.nights[mine].sum())
        wholes.append((truth, pool.whole(failures, nights)))
    return [*things, *wholes]


def covered(book: Logbook) -> tuple[float, float, float]:
    """Share of the intervals that hold the truth: things pooled, things exact, systems."""
    found = told(book)
    things = [f for f in found[: sum(book.nights > 0)]]
    wholes = found[len(things) :]
    return (
        float(np.mean([r.low <= t <= r.high for t, r in things])),
        float(np.mean([r.exact.low <= t <= r.exact.high for t, r in things])),
        float(np.mean([r.low <= t <= r.high for t, r in wholes])),
    )


def mean_and_error(values: list[float]) -> tuple[float, float]:
    """The mean and its Monte Carlo error."""
    return float(np.mean(values)), float(np.std(values, ddof=1) / np.sqrt(len(values)))
