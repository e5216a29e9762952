"""How often the intervals of failure rates hold the truth, on logbooks whose truth is known.

Prints coverage of the 90 % intervals, averaged over a written distribution of truths, with its
Monte Carlo error; and, conditional on a large true rate, how far shrinkage then misses.
"""

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "analysis"))
from failure_worlds import WORLDS, covered, mean_and_error, simulate, told

MANY = 3.0  # failures per 100 nights


def shown(values: list[float]) -> str:
    """A mean in per cent with its error."""
    mean, error = mean_and_error(values)
    return f"{100 * mean:.1f} ± {100 * error:.1f} %"


def main(logbooks: int) -> None:
    """Print it all."""
    print(f"{logbooks} logbooks of 40 things, 90 % intervals", flush=True)
    for trips in (12, 40):
        for world in WORLDS:
            rng = np.random.default_rng(trips)
            books = [simulate(world, trips, rng) for _ in range(logbooks)]
            pooled, exact, whole = zip(*map(covered, books), strict=True)
            high, enough = [], []
            for book in books[: logbooks // 2]:
                things = [(t, r) for t, r in told(book)[: sum(book.nights > 0)] if r.enough]
                for kept, least in ((enough, 0.0), (high, MANY)):
                    held = [r.low <= t <= r.high for t, r in things if t > least]
                    if held:
                        kept.append(float(np.mean(held)))
            print(
                f"{trips} trips, truth {world}: things pooled {shown(list(pooled))}, exact "
                f"{shown(list(exact))}, systems {shown(list(whole))}; of things with nights "
                f"enough to be shown {shown(enough)}, of those with true rates over {MANY:g} per "
                f"100 nights {shown(high)}",
                flush=True,
            )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 500)
