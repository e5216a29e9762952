"""Whether intervals are as wide as they say, on logbooks whose truth is known.

A small seeded run; `tests/benchmarks/bench_usage_calibration.py` prints the whole of it.
"""

import numpy as np
import pytest
from tarebook.analysis.stats.beta_binomial import bare_bound
from tarebook.analysis.usage.costs import limit_of
from usage_worlds import WORLDS, covered, exact, mean_and_error, pooled, simulate

LOGBOOKS = 30


@pytest.mark.parametrize("trips", [12, 40])
@pytest.mark.parametrize("world", WORLDS)
def test_intervals_are_as_wide_as_they_say_and_verdicts_keep_to_their_limit(
    world: str, trips: int
) -> None:
    # Goal 87 to 93 %; the Monte Carlo error of so few logbooks, about a point, stands beside it.
    rng = np.random.default_rng(trips)
    limit = limit_of(1.0)
    held, held_exactly = [], []
    wrong = let_go = 0
    for _ in range(LOGBOOKS):
        book = simulate(world, trips, rng)
        _, low, high = pooled(book)
        held.append(covered(book, low, high))
        held_exactly.append(covered(book, *exact(book)))
        alone = np.array([bare_bound(int(n)) for n in book.n])
        leave = np.where(book.used > 0, high, alone) < limit
        let_go += leave.sum()
        wrong += (leave & (book.rate >= limit)).sum()
    mean, error = mean_and_error(held)
    assert error < 0.015
    assert 0.87 - 2 * error < mean < 0.93 + 2 * error, (mean, error)
    mean, error = mean_and_error(held_exactly)
    assert mean > 0.90 - 2 * error
    assert let_go > LOGBOOKS
    # Bounds are one-sided 95 %, and most things let go lie far under the limit.
    assert wrong / let_go < 0.05, (wrong, let_go)
