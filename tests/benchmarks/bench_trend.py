"""How often the trend of base weight is right, from many invented logbooks whose truth is known.

`python tests/benchmarks/bench_trend.py [LOGBOOKS]` prints, each with its Monte-Carlo error: how
often the 90 % interval at equal cold holds the true slope; how wide it is beside the exact mixture
over rho and beside least squares; how often gear that never changes looks as if it did, by the kind
of low that trips are compared by; and how often a true fall is told.
"""

import math
import sys
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
from tarebook.analysis.like_for_like import LikeForLike, like_for_like
from tarebook.analysis.lines import fit_line
from tarebook.analysis.target import reach
from tarebook.analysis.trend import theil_sen

sys.path.insert(0, str(Path(__file__).parents[1] / "analysis"))
from test_lines import by_hand
from trend_worlds import World, colder_seasons, world

RHOS = (0.0, 0.3, 0.6)


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
    for trips in (6, 8, 12, 40):
        for rho in RHOS:
            rng = np.random.default_rng([1, trips, int(10 * rho)])
            held = plain = 0
            for _ in range(logbooks):
                one = world(World(trips, rho), rng)
                line = fit_line(one.design, one.base_g)
                assert line is not None
                found = line.at([1.0] + [0.0] * (len(one.design[0]) - 1))
                held += found.low <= one.slope <= found.high
                low, high = least_squares(one.design, one.base_g)
                plain += low <= one.slope <= high
            print(f"cover, {trips} trips, rho {rho}: {share(held, logbooks)}; least squares "
                  f"{share(plain, logbooks)}", flush=True)  # fmt: skip


def width(logbooks: int) -> None:
    """The t of the mixture's mean and scale beside the mixture itself."""
    for trips in (8, 12, 40):
        rng = np.random.default_rng([2, trips])
        ours = exact = held = held_exact = 0.0
        for _ in range(logbooks):
            one = world(World(trips, 0.3), rng)
            line = fit_line(one.design, one.base_g)
            assert line is not None
            found = line.at([1.0] + [0.0] * (len(one.design[0]) - 1))
            _, low, high, _ = by_hand(np.array(one.design), np.array(one.base_g), 0)
            ours += found.high - found.low
            exact += high - low
            held += found.low <= one.slope <= found.high
            held_exact += low <= one.slope <= high
        print(f"width over the mixture's, {trips} trips: {ours / exact:.3f}; cover "
              f"{share(int(held), logbooks)} against {share(int(held_exact), logbooks)}",
              flush=True)  # fmt: skip


def false_alarms(logbooks: int) -> None:
    """Gear that never changes, in seasons that get colder."""

    def mixed(trips: list[Trip], rng: np.random.Generator) -> list[Trip]:
        some = rng.random(len(trips)) < 0.5
        return [
            replace(t, normal_low_c=t.measured_low_c) if s else t
            for t, s in zip(trips, some, strict=True)
        ]

    kinds: dict[str, Callable[[list[Trip], np.random.Generator], list[Trip]]] = {
        "normal lows": lambda trips, _: trips,
        "measured lows": lambda trips, _: [
            replace(t, normal_low_c=t.measured_low_c) for t in trips
        ],
        "mixed lows": mixed,
    }
    for trips in (12, 40):
        told = dict.fromkeys([*kinds, "as carried"], 0)
        means = dict.fromkeys(told, 0.0)
        rng = np.random.default_rng([3, trips])
        for _ in range(logbooks):
            drawn = colder_seasons(trips, rng)
            for kind, turned in kinds.items():
                fit = like_for_like(turned(drawn, rng), "normal", influence=False)
                assert isinstance(fit, LikeForLike)
                told[kind] += fit.slope.told
                means[kind] += fit.slope.value / logbooks
            slope = theil_sen([t.years for t in drawn], [t.base_g for t in drawn])
            assert slope is not None
            told["as carried"] += slope.low > 0 or slope.high < 0
            means["as carried"] += slope.value / logbooks
        for kind, hits in told.items():
            print(f"false trend, {trips} trips, {kind}: {share(hits, logbooks)}, mean slope "
                  f"{means[kind]:+.0f} g a year", flush=True)  # fmt: skip


def power(logbooks: int) -> None:
    """How often a fall is told that is there."""
    for trips, fall in falls():
        rng = np.random.default_rng([4, trips, fall])
        told = 0
        for _ in range(logbooks):
            drawn = [
                replace(t, base_g=t.base_g - fall * t.years) for t in colder_seasons(trips, rng)
            ]
            fit = like_for_like(drawn, "normal", influence=False)
            assert isinstance(fit, LikeForLike)
            told += fit.slope.high < 0
        print(f"told, {trips} trips, {fall} g a year over 4 years: {share(told, logbooks)}",
              flush=True)  # fmt: skip


def dates(logbooks: int) -> None:
    """The date on which a falling line meets a target that it truly meets up to five years on."""
    for trips in (8, 12, 40):
        for rho in (0.0, 0.6):
            rng = np.random.default_rng([5, trips, int(10 * rho)])
            given = held = drawn = 0
            while drawn < logbooks:
                one = world(World(trips, rho), rng)
                if one.slope >= 0:
                    continue
                drawn += 1
                last = one.trips[-1].years
                when = last + rng.uniform(0, 5)
                fit = like_for_like(one.trips, "measured", influence=False)
                assert isinstance(fit, LikeForLike)
                found = reach(fit.course, one.start_g + one.slope * when, last)
                if found.earliest is not None and found.latest is not None:
                    given += 1
                    held += found.earliest <= when <= found.latest
            print(f"date, {trips} trips, rho {rho}: given {share(given, logbooks)}, holds "
                  f"{share(held, given)}", flush=True)  # fmt: skip


def falls() -> Iterator[tuple[int, int]]:
    """Trips and grams a year."""
    yield from ((trips, fall) for trips in (8, 12, 40) for fall in (100, 200, 400))


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    cover(count)
    width(max(count // 10, 50))
    false_alarms(count)
    power(max(count // 4, 50))
    dates(max(count // 2, 50))
