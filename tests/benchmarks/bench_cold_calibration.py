"""Do own cold limits hold as often as their 90 % intervals say, on sleepers whose truth is known?

`python tests/benchmarks/bench_cold_calibration.py [SLEEPERS]`, each with two sleep systems whose
ratings are of kinds drawn at random. Figures stand beside their Monte Carlo error. The last lines
tell how far limits are off where only bad nights, and one in ten of the others, have a vote.
"""

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "analysis"))

from cold_worlds import draw_sleeper, with_votes_on_bad_nights
from tarebook.analysis.cold.limit import limit_above_c
from tarebook.analysis.cold.model import fit_cold
from tarebook.analysis.stats.constants import TAILS
from tarebook.analysis.stats.quantile import weighted_quantiles


def main(sleepers: int) -> None:
    """Print coverage by number of trips and by what the nights of a trip share."""
    for trips in (12, 40):
        for trip_sd_c in (None, 0.0, 2.0, 4.0):
            held = []
            for seed in range(sleepers):
                sleeper = draw_sleeper(trips, np.random.default_rng([seed, trips]), trip_sd_c)
                fit = fit_cold(sleeper.nights)
                above = limit_above_c(fit)
                true = sleeper.own_limit_c - sleeper.nights.rated_c
                ends = [weighted_quantiles(above, fit.weight[n].ravel(), TAILS) for n in range(2)]
                held.append(np.mean([a <= t <= b for (a, b), t in zip(ends, true, strict=True)]))
            mean, error = 100 * np.mean(held), 100 * np.std(held) / np.sqrt(sleepers)
            shared = "drawn from the prior" if trip_sd_c is None else f"{trip_sd_c:g} °C"
            print(
                f"{trips} trips, shared by a trip's nights {shared}: held {mean:.1f} ± "
                f"{error:.1f} %",
                flush=True,
            )


def off_by_votes(sleepers: int) -> None:
    """Print how much too warm the median limit is by votes on all nights, and on bad ones."""
    for trips in (12, 40):
        off: dict[str, list[float]] = {"all nights": [], "bad nights": []}
        for seed in range(sleepers):
            sleeper = draw_sleeper(trips, np.random.default_rng([seed, trips, 7]))
            true = sleeper.own_limit_c - sleeper.nights.rated_c
            worlds = {"all nights": sleeper.nights, "bad nights": with_votes_on_bad_nights(sleeper)}
            for name, nights in worlds.items():
                fit = fit_cold(nights)
                above = limit_above_c(fit)
                middles = [
                    weighted_quantiles(above, fit.weight[n].ravel(), (0.5,))[0] for n in range(2)
                ]
                off[name].append(float(np.mean(middles - true)))
        told = ", ".join(
            f"votes on {name} {np.mean(each):+.2f} ± {np.std(each) / np.sqrt(sleepers):.2f} °C"
            for name, each in off.items()
        )
        print(f"{trips} trips, median limit less the true one: {told}", flush=True)


if __name__ == "__main__":
    many = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    main(many)
    off_by_votes(many)
