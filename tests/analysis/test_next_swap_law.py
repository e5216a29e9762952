"""What a swapped trip would teach: the law behind it, written out anew."""

from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest
from comfort_worlds import a_logbook
from tarebook.analysis.comfort import next_swap
from tarebook.analysis.stats.score_model.grid import Priors, ScoreProblem, fixed_precision


@pytest.mark.parametrize("days", [30, 90], ids=["more things than days", "more days than things"])
def test_what_a_trip_would_teach_rests_on_the_covariance_written_out(days: int) -> None:
    data = a_logbook(days, 12 if days > 30 else 40, 5)
    along, covariates = (each - each.mean(0) for each in (data.along, data.covariates))
    p, fixed = along.shape[1], 1 + covariates.shape[1]
    rows = np.random.default_rng(3).normal(0, 1, (4, p + fixed))
    table = np.hstack([along, np.ones((len(along), 1)), covariates])
    shared = (data.trips[:, None] == data.trips).astype(float)
    problems: dict[tuple[float, float], ScoreProblem] = {}
    for spreads in ([0.4, 0.12, 0.3, 0.7], [0.6, 0.18, 0.2, 0.9], [0.2, 0.2, 0.3, 0.7]):
        comfort, rest, trip, noise = spreads
        gain = np.where(data.comforts, comfort, rest) * np.sqrt(data.sizes)
        prior = np.diag(np.concatenate([gain**-2, fixed_precision(data, Priors())]))
        scores = noise**2 * np.eye(len(along)) + trip**2 * shared
        whole = np.linalg.inv(table.T @ np.linalg.solve(scores, table) + prior)
        found = next_swap._covariance(
            cast(Any, SimpleNamespace(data=data)), np.array(spreads), rows, problems
        )
        assert found == pytest.approx(rows @ whole @ rows.T, rel=1e-8, abs=1e-10)
    # Spreads in the same proportion share what is dear.
    assert len(problems) == 2
