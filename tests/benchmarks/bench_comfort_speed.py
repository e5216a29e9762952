"""How long the gains of one camper take, and those of a long life outdoors: seconds of CPU.

`python tests/benchmarks/bench_comfort_speed.py`. Promised: 60 nights and 60 items in a fraction of
a second, 500 nights and 150 items in a few seconds; the cold limits of as many nights likewise.
"""

import time

import numpy as np
import scipy.special  # noqa: F401  (its import is no part of what is timed)
from tarebook.analysis.cold.model import ColdNights, fit_cold
from tarebook.analysis.stats.score_model.grid import ComfortData
from tarebook.analysis.stats.score_model.model import fit_comfort


def camper(nights: int, items: int, rng: np.random.Generator) -> ComfortData:
    """Scores of which about one in six stands at an end of the scale."""
    trips = np.arange(nights) // 3
    packed = rng.random((nights // 3 + 1, items)) < rng.uniform(0.1, 0.9, items)
    comforts = np.arange(items) < items // 4
    gains = rng.normal(0, 0.3, items) * comforts
    level = 3.4 + (packed - packed.mean(0)) @ gains + rng.normal(0, 0.3, len(packed))
    scores = np.clip(np.round(level[trips] + rng.normal(0, 0.6, nights)), 1, 5)
    return ComfortData(
        scores,
        trips,
        packed[trips].astype(float),
        np.ones(items),
        comforts,
        rng.normal(0, 1, (nights, 14)),
    )


def main() -> None:
    """Print the medians of three runs."""
    rng = np.random.default_rng(1)
    for nights, items in ((60, 60), (500, 150)):
        data = camper(nights, items, rng)
        low = rng.normal(6, 4, nights)
        votes = ColdNights(
            np.arange(nights, dtype=np.intp) % 3,
            data.trips,
            low,
            (rng.normal(low, 2.5) < 4).astype(float),
            np.array([4.0, 0.0, -5.0]),
        )
        times: dict[str, list[float]] = {"gains": [], "cold limits": []}
        for _ in range(3):
            started = time.process_time()
            fit_comfort(data)
            between = time.process_time()
            fit_cold(votes)
            times["gains"].append(between - started)
            times["cold limits"].append(time.process_time() - between)
        ends = float(np.isin(data.scores, (1, 5)).mean())
        told = ", ".join(f"{name} {np.median(each):.2f} s" for name, each in times.items())
        print(f"{nights} nights ({ends:.0%} at an end), {items} items: {told}", flush=True)


if __name__ == "__main__":
    main()
