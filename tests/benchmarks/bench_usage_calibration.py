"""How well intervals, verdicts and culls keep what they promise, on simulated logbooks.

`python tests/benchmarks/bench_usage_calibration.py [LOGBOOKS]`; a quantity with one value per
logbook uses four times as many. Every figure stands beside its Monte Carlo error.
"""

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "analysis"))

from tarebook.analysis.stats.beta_binomial import Pool, bare_bound
from tarebook.analysis.stats.zero_one import Choice, Programme
from tarebook.analysis.usage.costs import limit_of
from usage_worlds import (
    SIZES,
    WORLDS,
    Logbook,
    covered,
    exact,
    jeffreys,
    mean_and_error,
    plugged_in,
    pooled,
    simulate,
)

SAVE_MG = 1_200_000


def shown(values: list[float], scale: float = 1.0, digits: int = 3) -> str:
    """A mean and its error."""
    mean, error = mean_and_error(values)
    return f"{mean * scale:.{digits}f} ± {error * scale:.{digits}f}"


def coverage(logbooks: int) -> None:
    """Print the coverage of 90 % intervals, pooled and three other ways."""
    ways = {
        "pooled": lambda b: pooled(b)[1:],
        "plug-in empirical Bayes": plugged_in,
        "Jeffreys": jeffreys,
        "Clopper-Pearson": exact,
    }
    for trips in (12, 40):
        for world in WORLDS:
            rng = np.random.default_rng(trips)
            books = [simulate(world, trips, rng) for _ in range(logbooks)]
            told = ", ".join(
                f"{name} {shown([covered(b, *way(b)) for b in books], 100, 1)}"
                for name, way in ways.items()
            )
            print(f"coverage in %, {trips} trips, truth {world}: {told}", flush=True)


def verdicts(logbooks: int) -> None:
    """Print how many things are let go, and how many of them are needed beyond the limit."""
    for cost in (1.0, 3.0):
        limit = limit_of(cost)
        for trips in (12, 40):
            for world in WORLDS:
                rng = np.random.default_rng(trips)
                let_go, wrong, missed = [], [], []
                for _ in range(logbooks):
                    book = simulate(world, trips, rng)
                    alone = np.array([bare_bound(int(n)) for n in book.n])
                    leave = np.where(book.used > 0, pooled(book)[2], alone) < limit
                    let_go.append(float(leave.mean()))
                    if leave.any():
                        wrong.append(float((book.rate[leave] >= limit).mean()))
                        missed.append(float(book.rate[leave].mean()))
                those = "nothing"
                if len(wrong) > 1:
                    those = f"beyond the limit {shown(wrong, 100, 2)} %, true rate {shown(missed)}"
                print(
                    f"verdicts at cost {cost:g} (limit {limit:.3f}), {trips} trips, truth {world}: "
                    f"let go {shown(let_go, 100, 1)} %, of those {those}",
                    flush=True,
                )


def promises(logbooks: int) -> None:
    """Print what leaving 1.2 kg promised and cost, by raw k/n and by pooled rates."""
    for world in WORLDS:
        rng = np.random.default_rng(7)
        told: dict[str, tuple[list[float], list[float]]] = {"raw k/n": ([], []), "pooled": ([], [])}
        for _ in range(logbooks):
            book = simulate(world, 12, rng)
            mg = np.round(np.exp(rng.normal(np.log(120), 0.8, 40)) * 1000).astype(int)
            raw = np.divide(book.used, book.n, out=np.full(40, 0.5), where=book.n > 0)
            for name, rate in (("raw k/n", raw), ("pooled", pooled(book)[0])):
                options = [Choice(str(i), int(mg[i]), float(rate[i]), 1.0) for i in range(40)]
                left = Programme(options).solve(SAVE_MG, heaviest=False) or ()
                places = [int(i) for i in left]
                told[name][0].append(float(rate[places].sum()))
                told[name][1].append(float(book.rate[places].sum()))
        for name, (promised, cost) in told.items():
            print(
                f"leaving 1.2 kg, 12 trips, truth {world}, by {name}: promised {shown(promised)} "
                f"misses a trip, cost {shown(cost)}",
                flush=True,
            )


def besides(logbooks: int) -> None:
    """Print how far P(needed) is off for things used outside what they are meant for, too.

    Twelve trips, the condition on a share U(.2, .8) of them; rates in and outside it U(0, 1) and
    Beta(1, 3), a thing a logbook.
    """
    rng = np.random.default_rng(3)
    plain, ours = [], []
    for _ in range(logbooks):
        share, on, off = rng.uniform(0.2, 0.8), rng.uniform(), rng.beta(1, 3)
        n = int(rng.binomial(12, share))
        used, used_off = int(rng.binomial(n, on)), int(rng.binomial(12 - n, off))
        if not used_off:
            continue
        p = (n + 0.5) / 13
        rate = float(Pool([used], [n]).mean(used, n)[0])
        truth = share * on + (1 - share) * off
        plain.append(p * rate - truth)
        ours.append(p * rate + (1 - p) * (used_off + 0.5) / (12 - n + 1) - truth)
    for name, errors in (("P(condition) x rate", plain), ("with the uses outside it", ours)):
        size = [abs(e) for e in errors]
        print(f"P(needed), {name}: bias {shown(errors)}, mean error {shown(size)}", flush=True)


def main(logbooks: int) -> None:
    """Print it all."""
    print(f"{logbooks} logbooks of {sum(SIZES)} things, {Logbook.__module__}", flush=True)
    coverage(logbooks)
    verdicts(logbooks)
    promises(4 * logbooks)
    besides(4 * logbooks)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 500)
