"""Kaplan and Meier's estimate against published values and a second implementation."""

from fractions import Fraction
from importlib import resources
from typing import Any

import numpy as np
import pandas as pd
import pytest
from tarebook.analysis.stats.kaplan_meier import kaplan_meier

# Remission in weeks under 6-MP and placebo: Freireich et al. 1963, Blood 21: 699, as in Gehan 1965.
MERCAPTOPURINE = [6, 6, 6, 6, 7, 9, 10, 10, 11, 13, 16, 17, 19, 20, 22, 23, 25, 32, 32, 34, 35]
RELAPSED = [1, 1, 1, 0, 1, 0, 1, 0, 0, 1, 1, 0, 0, 0, 1, 1, 0, 0, 0, 0, 0]
PLACEBO = [1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23]


def treated(**more: Any) -> Any:
    return kaplan_meier([float(t) for t in MERCAPTOPURINE], [bool(r) for r in RELAPSED], **more)


@pytest.mark.outside(
    "published",
    "R's survfit of Freireich's data, as public course notes print it (KMsurv's drug6mp: .857 .807 "
    ".753 .690 .627 .538 .448); a fourth digit and the medians recomputed",
    "6 weeks .8571, 7 .8067, 10 .7529, 13 .6902, 16 .6275, 22 .5378, 23 .4482; medians 23 and 8",
)
def test_the_published_curve_and_medians() -> None:
    found = treated()
    shares = {6: 0.8571, 7: 0.8067, 10: 0.7529, 13: 0.6902, 16: 0.6275, 22: 0.5378, 23: 0.4482}
    assert {s.time: round(s.share, 4) for s in found.steps} == shares
    assert found.median == 23
    assert (found.n, found.failed, found.longest) == (21, 9, 35)
    other = kaplan_meier([float(t) for t in PLACEBO], [True] * 21)
    assert other.median == 8
    assert other.steps[-1].share == 0
    assert other.steps[-1].low is None


@pytest.mark.outside(
    "published",
    "Freireich et al. 1963, Blood 21: 699, and Gehan 1965, as lifelines ships them (gehan.dat)",
    "remission in weeks of 21 under 6-MP and 21 under placebo",
)
def test_the_curve_of_the_data_that_lifelines_ships() -> None:
    import lifelines.datasets

    text = (resources.files(lifelines.datasets) / "gehan.dat").read_text("utf-8")
    rows = [tuple(map(int, line.split())) for line in text.splitlines() if line.strip()]
    drug = sorted((weeks, -gone) for group, weeks, gone in rows if group == 2)
    assert [weeks for weeks, _ in drug] == MERCAPTOPURINE
    assert [-gone for _, gone in drug] == RELAPSED
    assert sorted(weeks for group, weeks, _ in rows if group == 1) == PLACEBO
    found = kaplan_meier([float(w) for w, _ in drug], [bool(gone) for _, gone in drug])
    assert found == treated()


@pytest.mark.outside(
    "published",
    "NIST/SEMATECH e-Handbook of Statistical Methods, 8.2.1.5",
    "20 units, failures at 10, 32, 56, 98, 122, 181 hours: 19/20, x 18/19, x 16/17, x 15/16, x "
    "13/14, x 10/11",
)
def test_the_handbooks_twenty_units() -> None:
    failures, removed = [10, 32, 56, 98, 122, 181], [50, 100, 125, 150]
    times = [*failures, *removed, *[200] * 10]
    found = kaplan_meier([float(t) for t in times], [True] * 6 + [False] * 14)
    # 19/20, x 18/19, x 16/17, x 15/16, x 13/14, x 10/11, as the handbook multiplies them.
    shares = (19 / 20, 18 / 20, 0.847059, 0.794118, 0.737395, 0.670359)
    assert [step.time for step in found.steps] == failures
    assert [step.share for step in found.steps] == pytest.approx(shares, abs=5e-7)
    assert found.median is None


@pytest.mark.outside(
    "published",
    "SAS' documentation of PROC LIFETEST, bone marrow transplants (Klein & Moeschberger 1997), "
    "as statsmodels' own tests hold it (bmt_results.csv)",
    "the share left after each of 23 failures of 38",
)
def test_bone_marrow_transplants_as_sas_has_them() -> None:
    import statsmodels.duration.tests

    folder = resources.files(statsmodels.duration.tests) / "results"
    with (folder / "bmt.csv").open() as file:
        patients = pd.read_csv(file).query("Group == 'ALL'")
    with (folder / "bmt_results.csv").open() as file:
        theirs = pd.read_csv(file)
    assert (len(patients), len(theirs)) == (38, 23)
    found = kaplan_meier(patients["T"].astype(float).tolist(), (patients["Status"] == 1).tolist())
    assert [step.time for step in found.steps] == theirs["t"].tolist()
    assert [step.share for step in found.steps] == pytest.approx(theirs["s"].tolist(), abs=1e-4)


@pytest.mark.outside(
    "published",
    "R's survival package, as statsmodels' own tests hold it (test_survfunc)",
    "ties of failures and of removals: .8750 .7292 .5469 0",
)
def test_tied_failures_as_r_has_them() -> None:
    found = kaplan_meier([3.0, 1, 2, 3, 2, 1, 5, 3], [bool(g) for g in (0, 1, 1, 1, 0, 0, 1, 0)])
    assert [step.time for step in found.steps] == [1, 2, 3, 5]
    shares = [0.8750000, 0.7291667, 0.5468750, 0.0]
    assert [step.share for step in found.steps] == pytest.approx(shares, abs=5e-8)
    assert found.median == 5


def median_in_fractions(times: list[float], gone: list[bool]) -> float | None:
    share = Fraction(1)
    for time in sorted(set(times)):
        at_risk = sum(t >= time for t in times)
        share *= 1 - Fraction(
            sum(t == time and g for t, g in zip(times, gone, strict=True)), at_risk
        )
        if share <= Fraction(1, 2):
            return time
    return None


@pytest.mark.outside(
    "implementation",
    "lifelines 0.30.0, KaplanMeierFitter, exponential Greenwood bands",
    "shares, bands and ends of medians of 300 random samples",
)
def test_bands_and_medians_equal_those_of_a_second_implementation() -> None:
    from lifelines import KaplanMeierFitter
    from lifelines.utils import median_survival_times

    rng = np.random.default_rng(8)
    for n in (1, 2, 5, 9, 30):
        for _ in range(60):
            times = rng.integers(1, rng.choice([4, 12, 400]), n).astype(float)
            gone = rng.uniform(size=n) < 0.6
            found = kaplan_meier(times.tolist(), gone.tolist())
            fitted = KaplanMeierFitter(alpha=0.1).fit(times, gone)
            band = fitted.confidence_interval_survival_function_
            for step in found.steps:
                assert step.share == pytest.approx(float(fitted.predict(step.time)), abs=1e-12)
                if step.low is not None:
                    low, high = band.loc[step.time]
                    assert (step.low, step.high) == pytest.approx((low, high), abs=1e-9)
            # Not lifelines' median: where just half is left, its product of floats may miss that.
            assert found.median == median_in_fractions(times.tolist(), gone.tolist())
            ends = median_survival_times(band.fillna(0.0)).to_numpy().ravel()
            ours = (found.median_low, found.median_high)
            assert ours == tuple(None if np.isinf(e) else e for e in ends)


def test_nothing_failed_is_not_reached() -> None:
    found = kaplan_meier([3.0, 9.0, 9.0], [False] * 3)
    assert found.steps == ()
    assert (found.median, found.median_low, found.median_high) == (None, None, None)
    assert found.share_left == 1.0


def test_no_time_at_all_is_refused() -> None:
    with pytest.raises(ValueError, match="times: expected at least one"):
        kaplan_meier([], [])
