"""Many scored days: the same laws at given spreads, and a rule about the peak of the spreads."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from comfort_worlds import a_logbook
from scipy.special import gammaln
from tarebook.analysis.stats.score_model import ends, many, narrow, points
from tarebook.analysis.stats.score_model.grid import ComfortData, Priors
from tarebook.analysis.stats.score_model.laws import EndReader
from tarebook.analysis.stats.score_model.model import fit_comfort

SAME = 1e-9


def with_ends_often(days: int, things: int, seed: int) -> ComfortData:
    """A logbook whose scores lie mostly at the ends; trips differ in their number of days."""
    data = a_logbook(days, things, seed)
    rng = np.random.default_rng(seed)
    scores = np.where(rng.random(days) < 0.7, rng.choice([1.0, 5.0], days), data.scores)
    trips = np.unique(np.sort(rng.integers(0, days // 3, days)), return_inverse=True)[1]
    return replace(data, scores=scores, trips=trips)


@pytest.mark.parametrize(("days", "things"), [(60, 12), (40, 60), (90, 6), (30, 3), (75, 25)])
@pytest.mark.parametrize("often", [True, False])
def test_one_point_at_a_time_is_the_same_law_on_days_and_on_effects(
    days: int, things: int, often: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The sweeps are taken to their fixed point, where the batched form by days has it, too.
    for name in ("SETTLED", "NEARLY_SETTLED"):
        monkeypatch.setattr(many, name, 1e-13)
    monkeypatch.setattr(many, "_GROUPS", 2)
    monkeypatch.setattr(many, "_SWEEPS", 400)
    monkeypatch.setattr(ends, "_CLOSE", 1e-13)
    monkeypatch.setattr(ends, "_SWEEPS", 400)
    data = with_ends_often(days, things, 3) if often else a_logbook(days, things, 3)
    problem = ends.EndsProblem(data, Priors(), (1.0, 0.3))
    reader = EndReader(problem.plain, np.flatnonzero(data.comforts))
    at = [np.array(three) for three in ([0.3, 0.8, 0.05], [0.3, 0.5, 0.2], [0.4, 0.9, 0.1])]
    theirs = problem.at(*at, reader=reader.read)
    ours = many.ManyDays(problem.plain, problem).at(*at, reader=reader.read)
    assert ours.log_density == pytest.approx(theirs.log_density, abs=1e-7)
    for one, other in zip(ours.read, theirs.read, strict=True):
        assert one == pytest.approx(other, abs=SAME)
    assert ours.sites is not None
    assert theirs.sites is not None
    assert ours.sites[0] == pytest.approx(theirs.sites[0], abs=SAME)


def test_both_forms_of_sweeps_are_tried() -> None:
    ways = []
    for days, things, often in ((90, 6, True), (40, 60, False)):
        data = with_ends_often(days, things, 3) if often else a_logbook(days, things, 3)
        problem = ends.EndsProblem(data, Priors(), (1.0, 1.0))
        ways.append(len(problem.rows) < problem.plain.p + problem.plain.fixed)
    assert ways == [False, True]


@pytest.mark.parametrize("at_ends", [True, False])
def test_about_the_peak_gains_are_nearly_those_of_the_box(
    at_ends: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Rules differ, and hold the same posterior: gains and their ends within .02 of a point of
    # those of a box of many more points than is usual.
    monkeypatch.setattr(points, "_END_NODES", (10, 14, 14))
    data = a_logbook(240, 16, 8, at_ends=at_ends)
    worth = np.where(np.arange(16) < 4, 0.8, 0.0)
    scores = np.clip(np.round(data.scores + (data.along - data.along.mean(0)) @ worth), 1, 5)
    data = replace(data, scores=scores)
    box = fit_comfort(data)
    monkeypatch.setattr(points, "MANY", 200)
    peak = fit_comfort(data)
    assert len(peak.likely) == len(box.likely)
    assert not np.array_equal(peak.gain, box.gain)
    for name in ("gain", "low", "high", "p_helps"):
        assert getattr(peak, name) == pytest.approx(getattr(box, name), abs=0.02), name
    assert box.gain[:4].min() > 0.2
    for name in ("trip_sd", "noise_sd", "comfort_sd", "rest_sd"):
        one, other = getattr(peak, name), getattr(box, name)
        assert one.value == pytest.approx(other.value, abs=0.1 * (other.high - other.low)), name


def test_a_peak_is_found_from_afar_and_its_rule_integrates() -> None:
    # Three spreads with gamma laws in their logarithms, turned: shapes 2, 5 and 60.
    shapes = np.array([2.0, 5.0, 60.0])
    turn = np.linalg.qr(np.random.default_rng(4).normal(size=(3, 3)))[0]

    def log_density(logs: Any) -> Any:
        own = (logs - np.array([-3.0, 1.0, -0.5])) @ turn
        return (shapes * own - shapes * np.exp(own)).sum(1)

    peak = narrow.peak_of(log_density, np.zeros(3), np.eye(3) * 0.3, np.full(3, 5.0))
    total = float((gammaln(shapes) - shapes * np.log(shapes)).sum())
    assert peak.log_total == pytest.approx(total, abs=0.1)
    # Shape 2 is that of a spread that may be next to nothing: three nodes lose 6 % of it.
    for nodes, close in ((3, 0.08), (4, 0.02), (5, 0.01)):
        at, weights = narrow.peak_rule(peak, nodes)
        log_weights = log_density(at) + np.log(weights)
        assert np.logaddexp.reduce(log_weights) == pytest.approx(total, abs=close)
