"""Kaplan and Meier's estimate against published values and a second implementation."""

from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from tarebook.analysis.stats.kaplan_meier import kaplan_meier

# Remission in weeks under 6-MP and placebo: Freireich et al. 1963, Blood 21: 699, as reprinted by
# Gehan 1965 (data from memory; that they are these is held by the log-rank statistic below).
MERCAPTOPURINE = [6, 6, 6, 6, 7, 9, 10, 10, 11, 13, 16, 17, 19, 20, 22, 23, 25, 32, 32, 34, 35]
RELAPSED = [1, 1, 1, 0, 1, 0, 1, 0, 0, 1, 1, 0, 0, 0, 1, 1, 0, 0, 0, 0, 0]
PLACEBO = [1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23]


def treated(**more: Any) -> Any:
    return kaplan_meier([float(t) for t in MERCAPTOPURINE], [bool(r) for r in RELAPSED], **more)


def test_the_published_curve_and_medians() -> None:
    # As given by textbooks on these data (Cox & Oakes 1984; from memory, recomputed).
    found = treated()
    shares = {6: 0.8571, 7: 0.8067, 10: 0.7529, 13: 0.6902, 16: 0.6275, 22: 0.5378, 23: 0.4482}
    assert {s.time: round(s.share, 4) for s in found.steps} == shares
    assert found.median == 23
    assert (found.n, found.failed, found.longest) == (21, 9, 35)
    other = kaplan_meier([float(t) for t in PLACEBO], [True] * 21)
    assert other.median == 8
    assert other.steps[-1].share == 0
    assert other.steps[-1].low is None


@pytest.mark.filterwarnings("ignore::DeprecationWarning", "ignore:Starting with pandas")
def test_the_data_are_the_published_ones() -> None:
    from lifelines.statistics import logrank_test

    found = logrank_test(MERCAPTOPURINE, PLACEBO, RELAPSED, [1] * 21)
    assert found.test_statistic == pytest.approx(16.793, abs=5e-4)


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


def test_bands_and_medians_equal_those_of_a_second_implementation() -> None:
    # lifelines 0.30.0: KaplanMeierFitter, exponential Greenwood bands.
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
