"""A step or a line: against dense matrices, and how often each is taken for the other."""

import math

import numpy as np
import pytest
from tarebook.analysis.stats.error_process import processes
from tarebook.analysis.stats.step_or_line import EITHER_SIDE, MOST_PLACES, shape_of
from tarebook.analysis.stats.trend_line import fit_line
from trend_worlds import World, world


def marginal(x: np.ndarray, y: np.ndarray, column: np.ndarray | None) -> float:
    """Log marginal likelihood by dense matrices, summed over the same processes.

    The coefficient of ``column`` is N(0, n sigma^2 / z'Vz) with z the column less what x explains;
    that prior is moved into the covariance of the values, whose likelihood is then that of x alone.
    """
    grid, n, p = processes(), len(y), x.shape[1]
    apart, steps = (
        np.abs(np.subtract.outer(range(n), range(n))),
        np.minimum.outer(range(n), range(n)),
    )
    dense = [rho**apart / (1 - rho**2) for rho in grid.rho]
    dense += [w * steps + max((1 - w) / 2, 1e-6) * np.eye(n) for w in grid.walk]
    logs = []
    for prior, cov in zip(grid.log_prior, dense, strict=True):
        if column is not None:
            inverse = np.linalg.inv(cov)
            left = inverse - inverse @ x @ np.linalg.inv(x.T @ inverse @ x) @ x.T @ inverse
            cov = cov + n / (column @ left @ column) * np.outer(column, column)
        inverse = np.linalg.inv(cov)
        inner = x.T @ inverse @ x
        rest = y - x @ np.linalg.solve(inner, x.T @ inverse @ y)
        logs.append(
            prior
            - np.linalg.slogdet(cov)[1] / 2
            - np.linalg.slogdet(inner)[1] / 2
            - (n - p) / 2 * math.log(rest @ inverse @ rest)
        )
    return float(np.logaddexp.reduce(logs))


@pytest.mark.parametrize("seed", range(4))
def test_the_chances_are_those_of_dense_matrices(seed: int) -> None:
    drawn = world(World(8 + 3 * seed, 0.2 * seed), np.random.default_rng(seed))
    design, y = np.array(drawn.design), np.array(drawn.base_g)
    y = y - 700 * (np.arange(len(y)) >= 4)
    line, x, n = design[:, 0], design[:, 1:], len(y)
    shape = shape_of(line.tolist(), x.tolist(), y.tolist())
    assert shape is not None
    places = range(EITHER_SIDE, n - EITHER_SIDE + 1)
    steps = np.array([marginal(x, y, (np.arange(n) >= k).astype(float)) for k in places])
    straight, neither = marginal(x, y, line), marginal(x, y, None)
    step = float(np.logaddexp.reduce(steps)) - math.log(len(places))
    p_step = 1 / (1 + math.exp(straight - step))
    p_change = 1 / (1 + math.exp(straight - step) + 2 * math.exp(neither - step))
    assert shape.p_step == pytest.approx(p_step, abs=1e-5)
    assert shape.p_change == pytest.approx(p_change, abs=1e-5)
    assert shape.place == places[int(steps.argmax())]
    likely = np.exp(steps - np.logaddexp.reduce(steps))
    inside = [c for k, c in zip(places, likely, strict=True) if shape.first <= k <= shape.last]
    assert sum(inside) >= 0.9 - 1e-9
    assert shape.first <= shape.place <= shape.last


def test_one_clear_step_is_a_step_and_a_clear_line_a_line() -> None:
    rng = np.random.default_rng(1)
    years = np.linspace(0, 3, 16)
    ones = [[1.0]] * 16
    step = 8000 - 900 * (years > 1.1) + rng.normal(0, 60, 16)
    shape = shape_of(years.tolist(), ones, step.tolist())
    assert shape is not None
    assert shape.p_step > 0.99
    assert shape.p_change > 0.95
    assert shape.place == shape.first == shape.last == int((years <= 1.1).sum())
    line = 8000 - 400 * years + rng.normal(0, 60, 16)
    shape = shape_of(years.tolist(), ones, line.tolist())
    assert shape is not None
    assert shape.p_step < 0.05


def test_gear_that_never_changes_has_no_step() -> None:
    shape = shape_of([float(i) for i in range(12)], [[1.0]] * 12, [7000.0] * 12)
    assert shape is not None
    assert shape.p_change < 0.5


def test_the_search_for_the_best_place_is_counted() -> None:
    """Without any change, whatever the errors, a step is hardly ever sure."""
    for kind in (World(12), World(24, 0.6), World(24, walk=1.0)):
        rng = np.random.default_rng([kind.trips, 7])
        sure = 0
        for _ in range(120):
            one = world(kind, rng)
            x = np.array(one.design)
            flat = np.array(one.base_g) - one.slope * x[:, 0]
            shape = shape_of(x[:, 0].tolist(), x[:, 1:].tolist(), flat.tolist())
            assert shape is not None
            sure += shape.p_change >= 0.8
        assert sure / 120 <= 0.07, kind


def test_what_cannot_be_compared_gives_nothing() -> None:
    years = [float(i) for i in range(8)]
    assert shape_of(years[:3], [[1.0]] * 3, years[:3]) is None
    assert shape_of(years, [[1.0, 2.0]] * 8, years) is None
    assert shape_of([0.0] * 8, [[1.0]] * 8, years) is None


def test_very_many_trips_are_searched_at_so_many_places() -> None:
    n = 400
    y = [8000.0 - 500 * (i >= 200) + 50 * math.sin(i * i) for i in range(n)]
    shape = shape_of([i / 100 for i in range(n)], [[1.0]] * n, y)
    assert shape is not None
    assert shape.p_step > 0.9
    assert abs(shape.place - 200) <= n / MOST_PLACES
    assert fit_line([[i / 100, 1.0] for i in range(n)], y) is not None
