"""Proportional odds against a published fit."""

import numpy as np
import pandas as pd
import pytest
from tarebook.analysis.stats.proportional_odds import fit_ordinal


def columns(frame: pd.DataFrame, *names: str) -> np.ndarray:
    return frame[list(names)].to_numpy(dtype=float)


@pytest.mark.outside(
    "published",
    "R's MASS::polr on UCLA's ologit data, as statsmodels' own tests hold them "
    "(results_ordinal_model)",
    "slopes 1.0477 (pared), -.0588 (public), .6159 (gpa), errors .2658 .2979 .2606, thresholds "
    "2.2039 4.2994",
)
def test_the_example_of_the_textbooks() -> None:
    from statsmodels.miscmodels.tests.results.results_ordinal_model import (
        data_store,
        res_ord_logit,
    )

    data = data_store.df
    scores = data["apply"].cat.codes.to_numpy(dtype=float) + 1
    found = fit_ordinal(scores, columns(data, "pared", "public", "gpa"), np.zeros(3))
    assert len(scores) == 400
    assert found.coefficients == pytest.approx([1.0477, -0.0588, 0.6159], abs=2e-4)
    assert found.coefficients == pytest.approx(res_ord_logit.coefficients_val, abs=2e-4)
    errors = np.sqrt(np.diag(found.covariance))
    assert errors == pytest.approx(res_ord_logit.coefficients_stdE, abs=2e-4)
    # R's stop a little short of the summit.
    assert found.thresholds == pytest.approx(res_ord_logit.thresholds, abs=1e-3)


@pytest.mark.outside(
    "implementation",
    "statsmodels' OrderedModel, logit, maximum likelihood",
    "the same slopes and thresholds",
)
def test_thresholds_are_those_of_another_program() -> None:
    from statsmodels.miscmodels.ordinal_model import OrderedModel
    from statsmodels.miscmodels.tests.results.results_ordinal_model import data_store

    data = data_store.df
    names = ["pared", "public", "gpa"]
    model = OrderedModel(data["apply"], data[names], distr="logit")
    theirs = model.fit(method="bfgs", disp=False, gtol=1e-9)
    scores = data["apply"].cat.codes.to_numpy(dtype=float) + 1
    found = fit_ordinal(scores, columns(data, *names), np.zeros(3))
    assert found.coefficients == pytest.approx(theirs.params[:3], abs=1e-4)
    cuts = model.transform_threshold_params(theirs.params)[1:-1]
    assert found.thresholds == pytest.approx(cuts, abs=1e-4)


@pytest.mark.outside(
    "published",
    "Stata 11's logit of Spector & Mazzeo's data (1980), as statsmodels' own tests hold it "
    "(results_discrete; in Greene's Econometric Analysis, too)",
    "GPA 2.826113, TUCE .0951577, PSI 2.378688, constant -13.02135, with their errors",
)
def test_two_kinds_of_score_are_a_logistic_regression() -> None:
    from statsmodels.datasets import spector

    data = spector.load_pandas()
    scores = data.endog.to_numpy(dtype=float) + 1
    found = fit_ordinal(scores, columns(data.exog, "GPA", "TUCE", "PSI"), np.zeros(3))
    assert found.coefficients == pytest.approx([2.826113, 0.0951577, 2.378688], abs=2e-5)
    assert found.thresholds == pytest.approx([13.02135], abs=1e-4)
    errors = np.sqrt(np.diag(found.covariance))[:3]
    assert errors == pytest.approx([1.262941, 0.1415542, 1.064564], abs=1e-4)


def test_a_prior_pulls_towards_nothing_and_one_score_is_refused() -> None:
    scores = np.array([1.0, 2, 2, 3, 3, 4])
    table = np.arange(6.0)[:, None]
    free = fit_ordinal(scores, table, np.array([0.1])).coefficients[0]
    held = fit_ordinal(scores, table, np.array([10.0])).coefficients[0]
    assert 0 < held < free
    with pytest.raises(ValueError, match="two different ones at least"):
        fit_ordinal(np.full(4, 3.0), table[:4], np.zeros(1))
