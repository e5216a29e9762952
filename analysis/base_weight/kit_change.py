"""How much lighter the kit is now than at first, whatever it did between.

A kit that wanders may weigh less on the last trip than on the first without any trend. At equal
cold, length and way of travelling that change is the line's over the log and, where errors wander,
what the walk did besides: the best linear prediction of the random walk's rise from first to last
trip, beside coefficients that are not known (Goldberger 1962, J. Am. Stat. Assoc. 57:369, from
memory). Errors that fade are no kit. Processes are mixed as in `lines`.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from ..stats.error_process import LEAST_NOISE, processes
from ..stats.estimate import Estimate
from ..stats.trend_line import TrendLine

_MOST_TRIPS = 300
SURE = 0.975
"""Confidence at which the change must leave out nought to be told: where errors fade slowly, they
look like a kit, and at 90 % such a change would be told too often."""


@dataclass(frozen=True, slots=True)
class KitChange:
    """The change from the first trip to the last in g; ``sure`` says that it may be told."""

    change: Estimate
    sure: bool


def kit_change(
    design: Sequence[Sequence[float]], y: Sequence[float], line: TrendLine
) -> KitChange | None:
    """The change at the design's other columns; its first is time, and ``line`` its fit.

    None beyond 300 trips, where the dense matrices grow too large.
    """
    import numpy as np

    x, value = np.asarray(design, float), np.asarray(y, float)
    n, grid = len(value), processes()
    if n > _MOST_TRIPS:
        return None
    span = float(x[-1, 0] - x[0, 0])
    means, scales = line.means[:, :1] * span, line.scales[:, :1, :1] * span**2
    steps = np.minimum.outer(np.arange(n), np.arange(n))
    for part, walk in enumerate(grid.walk, start=len(grid.rho)):
        noise = max((1 - float(walk)) / 2, LEAST_NOISE)
        shared = walk * np.arange(n)
        solved = np.linalg.solve(walk * steps + noise * np.eye(n), np.column_stack([x, shared]))
        inverse = np.linalg.inv(x.T @ solved[:, :-1])
        weight = solved[:, -1]
        unit = line.scales[part, 0, 0] / inverse[0, 0]
        row = -x.T @ weight
        row[0] += span
        means[part] = row @ line.means[part] + weight @ value
        # Of its coefficients, and of what no trip shows of the walk.
        unseen = max(float(walk * (n - 1) - shared @ weight), 0.0)
        scales[part] = unit * (max(float(row @ inverse @ row), 0.0) + unseen)
    change = TrendLine(line.weight, means, scales, line.freedom, n, line.rho, line.walk)
    return KitChange(change.at((1.0,)), change.at((1.0,), SURE).sign_known)
