"""Do comfort's intervals and verdicts keep what they promise, on logbooks whose truth is known?

`python tests/benchmarks/bench_comfort_calibration.py [LOGBOOKS [TRIPS [WORLD ...]]]`. Every figure
stands beside its Monte Carlo error; what it says stands in README.md beside it.
"""

import sys
import time
from collections.abc import Sequence
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "analysis"))

from comfort_worlds import WORLDS, World, draw
from tarebook.analysis.stats.score_model.model import fit_comfort


def main(logbooks: int, sizes: Sequence[int], names: Sequence[str]) -> None:
    """Print coverage, power and false verdicts of every world, with Monte-Carlo errors."""
    for trips in sizes:
        for name in names:
            _report(WORLDS[name], trips, logbooks)


def _report(world: World, trips: int, logbooks: int) -> None:
    rows, started = [], time.process_time()
    for seed in range(logbooks):
        drawn = draw(world, trips, np.random.default_rng([seed, trips]))
        fit = fit_comfort(drawn.data)
        held = (fit.low <= drawn.gains) & (drawn.gains <= fit.high)
        earned = fit.p_helps >= 0.95
        comforts = drawn.data.comforts
        large = drawn.gains > 0.5
        rows.append(
            [
                held.mean(),
                held[comforts].mean() if comforts.any() else np.nan,
                earned.mean(),
                (earned & (drawn.gains <= 0)).mean(),
                earned[large].mean() if large.any() else np.nan,
                earned.any(),
                (earned & (drawn.gains <= 0)).any(),
            ]
        )
    seconds = (time.process_time() - started) / logbooks
    table = 100 * np.array(rows, dtype=float)
    names = (
        "held",
        "held of comforts",
        "earned",
        "earned in error",
        "earned of gains over .5",
        "logbooks with any earned",
        "with any in error",
    )
    columns = ((name, table[~np.isnan(table[:, n]), n]) for n, name in enumerate(names))
    told = ", ".join(
        f"{name} {known.mean():.2f} ± {known.std() / np.sqrt(len(known)):.2f} %"
        for name, known in columns
        if len(known)
    )
    print(f"{world.name}, {trips} trips, {logbooks} logbooks, {seconds:.2f} s each: {told}")
    sys.stdout.flush()


if __name__ == "__main__":
    many, size, *chosen = [*sys.argv[1:], *("500", "")[len(sys.argv[1:3]) :]]
    main(int(many), [int(size)] if size else (12, 40), chosen or list(WORLDS))
