"""How much lighter the kit is now: by conditioning a joint normal, and how often it is right."""

import math

import numpy as np
import pytest
from tarebook.analysis.base_weight.kit_change import _MOST_TRIPS, kit_change
from tarebook.analysis.stats.error_process import processes
from tarebook.analysis.stats.trend_line import fit_line
from trend_worlds import World, persistent, world


def test_it_is_the_joint_normal_of_weights_and_kit_given_the_weights() -> None:
    """One process, the flat prior of the coefficients made a very wide one, conditioned densely."""
    drawn = world(World(11), np.random.default_rng(4))
    x, y = np.array(drawn.design), np.array(drawn.base_g)
    n, p = x.shape
    line = fit_line(drawn.design, drawn.base_g)
    assert line is not None
    grid = processes()
    part, walk = len(grid.rho) + 9, float(grid.walk[9])
    alone = type(line)(
        np.eye(len(line.weight))[part],
        line.means,
        line.scales,
        line.freedom,
        n,
        line.rho,
        line.walk,
    )
    found = kit_change(drawn.design, drawn.base_g, alone)
    assert found is not None
    wide = 1e6
    at = np.arange(n)
    cov = walk * np.minimum.outer(at, at) + (1 - walk) / 2 * np.eye(n) + wide * x @ x.T
    span = np.zeros(p)
    span[0] = x[-1, 0] - x[0, 0]
    shared = walk * at + wide * x @ span
    mean = shared @ np.linalg.solve(cov, y)
    left = walk * (n - 1) + wide * span @ span - shared @ np.linalg.solve(cov, shared)
    inner = x.T @ np.linalg.inv(cov - wide * x @ x.T) @ x
    unit = line.scales[part, 0, 0] / np.linalg.inv(inner)[0, 0]
    from scipy.stats import t as student

    half = student.ppf(0.95, n - p) * math.sqrt(unit * left)
    assert found.change.value == pytest.approx(mean, rel=1e-3, abs=0.5)
    assert found.change.high - found.change.value == pytest.approx(half, rel=2e-3)


def test_it_holds_what_the_kit_did_and_tells_nothing_of_no_change() -> None:
    logbooks = 120
    for walk, rho in ((1.0, 0.0), (0.3, 0.0), (0.0, 0.0), (0.0, 0.6)):
        rng = np.random.default_rng([int(10 * walk), int(10 * rho), 2])
        held = lighter = 0
        for _ in range(logbooks):
            design = world(World(16), rng).design
            kit = np.cumsum(rng.normal(size=16)) * math.sqrt(walk)
            own = rng.normal(size=16) * math.sqrt((1 - walk) / 2) if walk else np.zeros(16)
            errors = kit + own if walk else persistent(16, rho, rng)
            y = (9000 + 200 * errors).tolist()
            line = fit_line(design, y)
            assert line is not None
            found = kit_change(design, y, line)
            assert found is not None
            held += found.change.low <= 200 * (kit[-1] - kit[0]) <= found.change.high
            lighter += found.sure and found.change.high < 0
        if walk:
            assert held / logbooks >= 0.8
        else:
            assert lighter / logbooks <= 0.1 + 3.3 * math.sqrt(0.1 * 0.9 / logbooks)


def test_beyond_so_many_trips_there_is_none() -> None:
    n = _MOST_TRIPS + 1
    design = [[i / 50, 1.0] for i in range(n)]
    y = [8000.0 + 50 * math.sin(i * i) for i in range(n)]
    line = fit_line(design, y)
    assert line is not None
    assert kit_change(design, y, line) is None
