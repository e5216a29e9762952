"""How often the need a day is told as promised, in logbooks drawn from the model's own priors.

`python tests/benchmarks/bench_need.py [LOGBOOKS]`: after 3, 12 and 30 trips, how often the 90 %
interval of a trip to come holds what it takes, how often the amount for nine in ten is too little,
and how often it would be by a model that takes what was used up for the need.
"""

import math
import sys

import numpy as np
from tarebook.analysis.stats.log_need import DAY_SCALE, TRIP_SCALE, log_need

SIZES = (3, 12, 30)
CENTRE_G = 700


def tried(trips: int, rng: np.random.Generator) -> tuple[bool, bool, bool]:
    """Of one logbook: held, too little, too little where used up is taken for the need."""
    mu = rng.normal(math.log(CENTRE_G), 0.5)
    trip_sd, day_sd = abs(rng.normal(0, (TRIP_SCALE, DAY_SCALE)))
    days = rng.integers(1, 10, trips + 1)
    spread = np.sqrt(trip_sd**2 + day_sd**2 / days)
    need = days * np.exp(mu + spread * rng.standard_normal(trips + 1))
    taken = days * np.exp(mu + rng.normal(0, 0.3, trips + 1))
    gone = (need >= taken)[:trips]
    amounts = np.minimum(need, taken)[:trips]
    fit = log_need(amounts, days[:trips], gone, centre=CENTRE_G)
    low, generous, high = fit.quantiles([0.05, 0.9, 0.95], float(days[trips]))
    plain = log_need(amounts, days[:trips], [False] * trips, centre=CENTRE_G)
    bare = plain.quantiles([0.9], float(days[trips]))[0]
    wanted = need[trips]
    return bool(low <= wanted <= high), bool(wanted > generous), bool(wanted > bare)


def main(logbooks: int) -> None:
    """Print the shares of all sizes with their Monte-Carlo errors."""
    for trips in SIZES:
        rng = np.random.default_rng(trips)
        found = np.array([tried(trips, rng) for _ in range(logbooks)], dtype=float)
        shares, errors = 100 * found.mean(0), 100 * found.std(0) / math.sqrt(logbooks)
        held, short, bare = (f"{s:.1f} ± {e:.1f} %" for s, e in zip(shares, errors, strict=True))
        print(f"{trips} trips: held {held}, short {short}, by what was used up {bare}", flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
