"""Many scored days: the same laws at given spreads, and a rule about the peak of the spreads."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from comfort_worlds import a_logbook
from scipy.integrate import simpson
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


@pytest.mark.parametrize("each", [0.8, 0.0])
@pytest.mark.parametrize("at_ends", [True, False])
def test_about_the_peak_gains_are_nearly_those_of_the_box(
    at_ends: bool, each: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Rules differ, and hold the same posterior: gains and their ends within .02 of a point of
    # those of a box of many more points than is usual. Without gains their spread is next to none.
    monkeypatch.setattr(points, "_END_NODES", (10, 14, 14))
    data = a_logbook(240, 16, 8, at_ends=at_ends)
    worth = np.where(np.arange(16) < 4, each, 0.0)
    scores = np.clip(np.round(data.scores + (data.along - data.along.mean(0)) @ worth), 1, 5)
    data = replace(data, scores=scores)
    box = fit_comfort(data)
    monkeypatch.setattr(points, "MANY", 200)
    peak = fit_comfort(data)
    assert len(peak.likely) == len(box.likely)
    assert not np.array_equal(peak.gain, box.gain)
    for name in ("gain", "low", "high", "p_helps"):
        assert getattr(peak, name) == pytest.approx(getattr(box, name), abs=0.02), name
    assert (box.gain[:4].min() > 0.2) == (each > 0)
    for name in ("trip_sd", "noise_sd", "comfort_sd", "rest_sd"):
        one, other = getattr(peak, name), getattr(box, name)
        assert one.value == pytest.approx(other.value, abs=0.1 * (other.high - other.low)), name


def test_contrasts_are_as_likely_by_a_grid_as_by_the_peak(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # Of no score at an end, and hardly any gain: the grids of the contrasts have ranges of unlike
    # size, and what each holds is to be of one measure.
    data = a_logbook(240, 16, 8, at_ends=False)
    data = replace(data, scores=np.clip(np.round(data.scores), 1, 5))
    assert data.ends is not None
    assert not np.isin(data.scores, data.ends).any()
    whole = points.posterior_points(data, Priors())
    monkeypatch.setattr(points, "MANY", 200)
    peak = points.posterior_points(data, Priors())
    assert len(whole.parts) == len(peak.parts) == 4
    shares = [[share for share, _ in each.parts] for each in (whole, peak)]
    assert shares[0] == pytest.approx(shares[1], abs=0.01)


def test_a_peak_is_found_from_afar_and_its_rule_integrates() -> None:
    # Three spreads with gamma laws in their logarithms: shapes 2, 5 and 60.
    shapes = np.array([2.0, 5.0, 60.0])

    def log_density(logs: Any) -> Any:
        own = logs - np.array([-3.0, 1.0, -0.5])
        return (shapes * own - shapes * np.exp(own)).sum(1)

    peak = narrow.peak_of(log_density, np.zeros(3), np.eye(3) * 0.3, np.full(3, 5.0))
    assert not peak.climbed
    total = float((gammaln(shapes) - shapes * np.log(shapes)).sum())
    # Were it normal: the law of shape 2 is not, by .15.
    assert peak.log_total == pytest.approx(total, abs=0.2)
    for nodes in (3, 4, 5):
        at, weights = narrow.peak_rule(log_density, peak, nodes, np.full(3, 5.0))
        assert len(at) == nodes**3
        share = np.exp(log_density(at) + np.log(weights) - total)
        assert share.sum() == pytest.approx(1, abs=0.01)
        # The mean of a gamma law of shape and rate alike is 1, of its square 1 + 1 / shape.
        own = np.exp(at - np.array([-3.0, 1.0, -0.5]))
        assert share @ own == pytest.approx(np.ones(3), rel=0.01)
        assert share @ own**2 == pytest.approx(1 + 1 / shapes, rel=0.02)


GROUPS = (40, 120, 800)  # degrees of freedom of things, of trips, of days
ADDED = (12.0, 3.0)  # variances of a mean of things and of trips, by days, per squared ratio


def balanced(gain_ms: float, trip_ms: float) -> Any:
    """The posterior of trip ratio, gain ratio and noise, as logarithms, of a balanced layout.

    Mean squares of things and of trips are so much, of days .7. Where one is below that, its
    spread may be next to nothing.
    """

    def log_density(logs: Any) -> Any:
        trip, gain, noise = np.exp(2 * logs.T)
        found = logs.sum(1) + np.log(noise)
        means = (noise * (1 + ADDED[0] * gain), noise * (1 + ADDED[1] * trip), noise)
        for freedom, mean, square in zip(GROUPS, means, (gain_ms, trip_ms, 0.7), strict=True):
            found = found - 0.5 * freedom * (np.log(mean) + square / mean)
        return found - 0.5 * (gain * noise / 0.25 + trip * noise + noise / 4)

    return log_density


def told_of(trip: Any, gain: Any, noise: Any, mean: Any) -> Any:
    """What a fit tells of the spreads: squares, how far gains and trips are believed, noise."""
    believed = [ADDED[n] * x**2 / (1 + ADDED[n] * x**2) for n, x in ((0, gain), (1, trip))]
    return np.array([mean(x) for x in (trip**2, gain**2, *believed, gain, noise)])


@pytest.mark.parametrize("trip_ms", [0.6, 0.7, 0.8, 1.2])
@pytest.mark.parametrize("gain_ms", [0.5, 0.7, 0.85, 1.0, 1.4, 3.0])
def test_spreads_next_to_nothing_are_those_of_a_dense_grid(gain_ms: float, trip_ms: float) -> None:
    log_density = balanced(gain_ms, trip_ms)
    axes = [np.linspace(-9, 1.5, 121), np.linspace(-9, 1.5, 121), np.linspace(-0.45, 0.15, 41)]
    grid_at = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1)
    log = log_density(grid_at.reshape(-1, 3)).reshape(grid_at.shape[:-1])

    def summed(values: Any) -> float:
        for axis in reversed(axes):
            values = simpson(values, x=axis, axis=-1)
        return float(values)

    dense = np.exp(log - log.max())
    theirs = told_of(*np.moveaxis(np.exp(grid_at), -1, 0), lambda x: summed(dense * x)) / summed(
        dense
    )
    start = np.log([0.3, 0.1, 1.5])
    most = np.array([3.0, 3.0, 2.0])
    peak = narrow.peak_of(log_density, start, np.eye(3) * 0.3, most)
    assert not peak.climbed
    # A share of 1.5 %: a gain of one point is believed to .015 points, less than its rule's .02.
    # With three nodes of Hermite's rule a squared spread was off by up to half.
    for nodes, close in ((3, 0.015), (5, 0.01)):
        at, weights = narrow.peak_rule(log_density, peak, nodes, most)
        share = np.exp(log_density(at) + np.log(weights) - log.max())
        ours = told_of(*np.exp(at).T, lambda x, share=share: share @ x) / share.sum()
        assert ours == pytest.approx(theirs, rel=close), nodes
        assert share.sum() == pytest.approx(summed(dense), rel=0.02)


def test_a_rule_lies_about_the_higher_of_two_peaks_and_never_beyond_the_most() -> None:
    # Two normal laws along the first spread, the higher one further up.
    sds, most = np.array([0.5, 0.3, 0.05]), np.array([2.5, 5.0, 5.0])

    def log_density(logs: Any) -> Any:
        off = (logs / sds) ** 2
        low, high = -0.5 * off[:, 0], 3.0 - 0.5 * ((logs[:, 0] - 2.2) / 0.5) ** 2
        return np.logaddexp(low, high) - 0.5 * off[:, 1:].sum(1)

    lower = narrow.Peak(np.zeros(3), np.diag([0.7, *sds[1:]]), 0.0)
    at, weights = narrow.peak_rule(log_density, lower, 5, most)
    assert (at <= most + 1).all()
    grid_at = np.linspace(-4, 7, 4001)
    along = np.exp(np.logaddexp(-2 * grid_at**2, 3 - 2 * (grid_at - 2.2) ** 2))
    total = float(simpson(along, x=grid_at)) * 2 * np.pi * 0.3 * 0.05
    assert float(np.exp(log_density(at)) @ weights) == pytest.approx(total, rel=0.1)


def test_a_rule_of_spreads_that_are_all_well_known() -> None:
    sds = np.array([0.08, 0.02, 0.004])

    def log_density(logs: Any) -> Any:
        if not len(logs):
            raise ValueError("logs: expected points, got none")
        return -0.5 * ((logs / sds) ** 2).sum(1)

    peak = narrow.peak_of(log_density, np.zeros(3), np.diag(sds), np.full(3, 5.0))
    at, weights = narrow.peak_rule(log_density, peak, 3, np.full(3, 5.0))
    total = (2 * np.pi) ** 1.5 * sds.prod()
    assert float(np.exp(log_density(at)) @ weights) == pytest.approx(total, rel=1e-6)


def test_a_peak_is_not_settled_while_it_gets_narrower() -> None:
    # From its very top, with a first guess ten times and more too wide.
    sds = np.array([0.2, 0.02, 0.004])

    def log_density(logs: Any) -> Any:
        return -0.5 * ((logs / sds) ** 2).sum(1)

    peak = narrow.peak_of(log_density, np.zeros(3), np.eye(3) * 0.3, np.full(3, 5.0))
    assert np.diag(peak.root) == pytest.approx(sds, rel=1e-6)


def test_a_peak_on_which_quadratics_do_not_settle_is_climbed_to(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(narrow, "ROUNDS", 2)
    log_density = balanced(1.4, 1.2)
    start, most = np.log([0.01, 2.0, 1.5]), np.array([3.0, 3.0, 2.0])
    climbed = narrow.peak_of(log_density, start, np.eye(3) * 0.3, most)
    monkeypatch.setattr(narrow, "ROUNDS", 40)
    settled = narrow.peak_of(log_density, start, np.eye(3) * 0.3, most)
    assert climbed.climbed
    assert not settled.climbed
    assert climbed.centre == pytest.approx(settled.centre, abs=0.1)
    top = log_density(np.vstack([climbed.centre, climbed.centre + np.eye(3) * 0.05]))
    assert top[0] >= top.max() - 0.05
