"""Proportional odds against a published fit."""

from importlib import resources

import numpy as np
import pandas as pd
import pytest
from tarebook.analysis.stats.proportional_odds import fit_ordinal


def test_the_example_of_the_textbooks() -> None:
    # UCLA's "ologit" data as shipped with statsmodels, and its coefficients there (R's polr gives
    # the same: pared 1.0477, public -0.0588, gpa 0.6159). Thresholds: Stata's 2.2033 and 4.2988,
    # from memory; R's 2.2039 and 4.2994 stop a little short of the summit.
    folder = resources.files("statsmodels.miscmodels.tests.results")
    with (folder / "ologit_ucla.csv").open() as file:
        data = pd.read_csv(file)
    order = {"unlikely": 1, "somewhat likely": 2, "very likely": 3}
    scores = data["apply"].map(order).to_numpy(dtype=float)
    table = data[["pared", "public", "gpa"]].to_numpy(dtype=float)
    found = fit_ordinal(scores, table, np.zeros(3))
    assert found.coefficients == pytest.approx([1.0477, -0.0588, 0.6159], abs=2e-4)
    assert found.thresholds == pytest.approx([2.2033, 4.2988], abs=2e-4)
    errors = np.sqrt(np.diag(found.covariance))
    assert errors == pytest.approx([0.2658, 0.2979, 0.2606], abs=2e-4)  # polr's, from memory


def test_a_prior_pulls_towards_nothing_and_one_score_is_refused() -> None:
    scores = np.array([1.0, 2, 2, 3, 3, 4])
    table = np.arange(6.0)[:, None]
    free = fit_ordinal(scores, table, np.array([0.1])).coefficients[0]
    held = fit_ordinal(scores, table, np.array([10.0])).coefficients[0]
    assert 0 < held < free
    with pytest.raises(ValueError, match="two different ones at least"):
        fit_ordinal(np.full(4, 3.0), table[:4], np.zeros(1))
