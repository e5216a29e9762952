"""How often the trend of base weight is right, from many invented logbooks whose truth is known.

`python tests/benchmarks/bench_trend.py [LOGBOOKS]` prints, each with its Monte-Carlo error: how
often the 90 % interval at equal cold holds the true slope where errors are independent, fade or
wander; how often gear that never changes for good looks as if it did, by what else changes; how
often one step is told as a rate; how often a true fall is told; and how often a date holds.
"""

import math
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
from tarebook.analysis.base_weight.headline import headline_of
from tarebook.analysis.base_weight.like_for_like import LikeForLike, like_for_like
from tarebook.analysis.base_weight.target import reach
from tarebook.analysis.stats.rank_trend import theil_sen
from tarebook.analysis.stats.trend_line import fit_line

sys.path.insert(0, str(Path(__file__).parents[1] / "analysis"))
from trend_worlds import World, changed, colder_seasons, world

PROCESSES = (
    ("independent", 0.0, 0.0),
    ("rho 0.3", 0.3, 0.0),
    ("rho 0.6", 0.6, 0.0),
    ("a walk alone", 0.0, 1.0),
    ("a walk and half as much besides", 0.0, 0.5),
    ("a walk and much besides", 0.0, 0.1),
)


def share(hits: int, of: int) -> str:
    """A share in per cent with its Monte-Carlo standard error."""
    p = hits / of
    return f"{100 * p:.1f} ± {100 * math.sqrt(p * (1 - p) / of):.1f} %"


def least_squares(design: list[list[float]], y: list[float]) -> tuple[float, float]:
    """The usual 90 % interval, which takes trips as independent."""
    from scipy.stats import t as student

    x, value = np.array(design), np.array(y)
    inverse = np.linalg.inv(x.T @ x)
    beta = inverse @ x.T @ value
    free = len(y) - x.shape[1]
    error = math.sqrt(float(((value - x @ beta) ** 2).sum()) / free * inverse[0, 0])
    half = float(student.ppf(0.95, free)) * error
    return float(beta[0]) - half, float(beta[0]) + half


def cover(logbooks: int) -> None:
    """Cover of the slope at equal cold."""
    for trips in (8, 12, 24, 40):
        for name, rho, walk in PROCESSES:
            rng = np.random.default_rng([1, trips, int(10 * rho), int(10 * walk)])
            held = faded = plain = 0
            for _ in range(logbooks):
                one = world(World(trips, rho, walk), rng)
                row = [1.0] + [0.0] * (len(one.design[0]) - 1)
                for prior in (0.5, 0.0):
                    line = fit_line(one.design, one.base_g, prior)
                    assert line is not None
                    at = line.at(row)
                    inside = at.low <= one.slope <= at.high
                    held, faded = held + (inside and prior > 0), faded + (inside and not prior)
                low, high = least_squares(one.design, one.base_g)
                plain += low <= one.slope <= high
            print(
                f"cover, {trips} trips, {name}: {share(held, logbooks)}; AR(1) alone "
                f"{share(faded, logbooks)}; least squares {share(plain, logbooks)}",
                flush=True,
            )


def headlines(logbooks: int) -> None:
    """What is told of gear that never changes for good, of a steady fall and of one step."""
    kinds = {
        "nothing": World(0),
        "rho 0.6": World(0, 0.6),
        "a walk alone": World(0, walk=1.0),
        "a walk and half as much besides": World(0, walk=0.5),
        "trips grow shorter": World(0),
        "ways drift, noted": World(0),
        "ways drift, one in ten not": World(0),
        "ways drift, three in ten not": World(0),
        "ways drift, none noted": World(0),
        "one step of -900 g": World(0),
        "a fall of 300 g a year": World(0),
    }
    for trips in (8, 12, 24, 40):
        for name, kind in kinds.items():
            rng = np.random.default_rng([6, trips, len(name)])
            told = dict.fromkeys(("lighter", "heavier", "step", "no_trend", "cannot_tell"), 0)
            for _ in range(logbooks):
                drawn = changed(name, replace(kind, trips=trips), rng)
                fit = like_for_like(drawn, "measured", influence=False)
                told[headline_of(fit, 8000)] += 1
            said = ", ".join(f"{each} {share(hits, logbooks)}" for each, hits in told.items())
            print(f"headline, {trips} trips, {name}: {said}", flush=True)


def false_alarms(logbooks: int) -> None:
    """Gear that never changes, in seasons that get colder."""

    for trips in (12, 40):
        told = dict.fromkeys(("normal lows", "measured lows", "as carried"), 0)
        rng = np.random.default_rng([3, trips])
        for _ in range(logbooks):
            drawn = colder_seasons(trips, rng)
            for kind, measure in (("normal lows", "normal"), ("measured lows", "measured")):
                fit = like_for_like(drawn, measure, influence=False)  # type: ignore[arg-type]
                told[kind] += headline_of(fit, 8000) in ("lighter", "heavier")
            slope = theil_sen([t.years for t in drawn], [t.base_g for t in drawn])
            assert slope is not None
            told["as carried"] += slope.low > 0 or slope.high < 0
        for kind, hits in told.items():
            print(
                f"false trend in colder seasons, {trips} trips, {kind}: {share(hits, logbooks)}",
                flush=True,
            )


def power(logbooks: int) -> None:
    """How often a fall is told that is there, as a rate or as a step."""
    for trips, fall in falls():
        rng = np.random.default_rng([4, trips, fall])
        rate = step = 0
        for _ in range(logbooks):
            drawn = [
                replace(t, base_g=t.base_g - fall * t.years) for t in colder_seasons(trips, rng)
            ]
            told = headline_of(like_for_like(drawn, "normal", influence=False), 8000)
            rate, step = rate + (told == "lighter"), step + (told == "step")
        print(
            f"told, {trips} trips, {fall} g a year over 4 years: as a rate "
            f"{share(rate, logbooks)}, as a step as well {share(step, logbooks)}",
            flush=True,
        )


def dates(logbooks: int) -> None:
    """The date on which a falling line meets a target within as many years as the log is long."""
    for trips in (12, 24, 40):
        for name, rho, walk in PROCESSES[::3]:
            rng = np.random.default_rng([5, trips, int(10 * walk)])
            given = held = drawn = 0
            while drawn < logbooks:
                one = world(World(trips, rho, walk), rng)
                if one.slope >= 0:
                    continue
                drawn += 1
                first, last = one.trips[0].years, one.trips[-1].years
                when = last + rng.uniform(0, last - first)
                fit = like_for_like(one.trips, "measured", influence=False)
                if not isinstance(fit, LikeForLike) or headline_of(fit, 8000) != "lighter":
                    continue
                level = one.start_g + (one.second_g if fit.modes[:1] == ("bike",) else 0.0)
                at = reach(fit.course, level + one.slope * when, first, last, trips)
                if at.earliest is not None:
                    given += 1
                    held += at.earliest <= when and (at.latest is None or when <= at.latest)
            holds = share(held, given) if given else "never given"
            print(
                f"date, {trips} trips, {name}: given {share(given, logbooks)}, holds {holds}",
                flush=True,
            )


def falls() -> Iterator[tuple[int, int]]:
    """Trips and grams a year."""
    yield from ((trips, fall) for trips in (12, 24, 40) for fall in (200, 400))


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    cover(count)
    headlines(max(count // 2, 50))
    false_alarms(max(count // 2, 50))
    power(max(count // 4, 50))
    dates(max(count // 2, 50))
