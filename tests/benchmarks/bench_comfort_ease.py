"""How often is a comfort that gains nothing said to help, where ease or time feign it?

`python tests/benchmarks/bench_comfort_ease.py [LOGBOOKS [TRIPS [WORLD ...]]]`. Of the logbooks of
each world: those with a false "earned", and a false "probably" or better; how often 90 % intervals
hold; what is told of gains over half a point; and what is called past telling apart. Beside it the
same with days taken as alike. Every figure stands beside its Monte-Carlo error.
"""

import sys
import time
from collections.abc import Sequence
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "analysis"))

from ease_worlds import EASE_WORLDS, EaseWorld, drawn, gains_in

LARGE = 0.5
MODES = (True, False)


def main(logbooks: int, sizes: Sequence[int], names: Sequence[str]) -> None:
    """Print a line a world and number of trips."""
    for trips in sizes:
        for name in names:
            for allowing in MODES:
                _report(EASE_WORLDS[name], trips, logbooks, allowing)


def _report(world: EaseWorld, trips: int, logbooks: int, allowing: bool) -> None:
    rows, started = [], time.process_time()
    for seed in range(logbooks):
        book = drawn(world, trips, np.random.default_rng([seed, trips]))
        found, true = gains_in(book, allowing=allowing)
        truth = dict(zip((b.bundle for b in found.days.bundles), true, strict=True))
        gains = found.comforts
        nil = [g for g in gains if truth[g.bundle.bundle] <= 0]
        large = [g for g in gains if truth[g.bundle.bundle] > LARGE]
        rows.append(
            [
                any(g.verdict == "earned" for g in nil),
                any(g.helps for g in nil),
                np.mean([g.gain.low <= truth[g.bundle.bundle] <= g.gain.high for g in found.gains]),
                np.mean(
                    [g.gain.low <= truth[g.bundle.bundle] <= g.gain.high for g in gains] or np.nan
                ),
                np.mean([g.verdict == "earned" for g in large] or np.nan),
                np.mean([g.helps for g in large] or np.nan),
                np.mean([g.verdict == "goes_with_better_days" for g in gains] or np.nan),
            ]
        )
    seconds = (time.process_time() - started) / logbooks
    table = 100 * np.array(rows, dtype=float)
    names = (
        "logbooks with a false earned",
        "false probably",
        "held",
        "held of comforts",
        "earned of gains over half a point",
        "probably or better of them",
        "goes with better days",
    )
    columns = ((name, table[~np.isnan(table[:, n]), n]) for n, name in enumerate(names))
    told = ", ".join(
        f"{name} {known.mean():.1f} ± {known.std() / np.sqrt(len(known)):.1f} %"
        for name, known in columns
        if len(known)
    )
    how = "" if allowing else ", days as alike"
    print(
        f"{world.name}, {trips} trips{how}, {logbooks} logbooks, {seconds:.2f} s: {told}",
        flush=True,
    )


if __name__ == "__main__":
    many, size, *chosen = [*sys.argv[1:], *("100", "")[len(sys.argv[1:3]) :]]
    main(int(many), [int(size)] if size else (12, 40), chosen or list(EASE_WORLDS))
