"""One step or a steady line: which of the two explains a series better.

A line through a step, such as one lighter tent makes in base weight, is a rate that was never
there. Both shapes are compared by their marginal likelihoods under the same processes of error
(`error_process`), beside the same covariates. Either shape's coefficient has a unit-information
prior (Zellner's g = n; Kass & Wasserman 1995, J. Am. Stat. Assoc. 90:928, from memory), which is
what BIC approximates. The step may stand between any two trips that leave at
least two on either side; its likelihood is the mean over all these places, so that the search for
the best one is counted.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import logsumexp  # type: ignore[import-untyped]

from .arrays import Array
from .constants import LEVEL
from .error_process import WALK_PRIOR, processes
from .trend_line import independent, least_square

EITHER_SIDE = 2
MOST_PLACES = 60
_BOUND = 1e-9


@dataclass(frozen=True, slots=True)
class Shape:
    """How likely each shape is, and where a step would stand.

    ``p_step`` is the chance of a step where the choice is a step or a line, ``p_change`` that of a
    step where it is a step, a line or neither (beforehand a quarter, a quarter, a half). ``place``
    is the number of trips before the likeliest step, ``first`` and ``last`` the ends of the places
    that together are 90 % likely.
    """

    p_step: float
    p_change: float
    place: int
    first: int
    last: int


def shape_of(
    line: Sequence[float],
    others: Sequence[Sequence[float]],
    y: Sequence[float],
    walk_prior: float = WALK_PRIOR,
) -> Shape | None:
    """Compare a step with a line in ``line``, both beside ``others``, a row a trip in time's order.

    None where no place leaves two trips on either side, or the covariates explain every step.
    """
    x, value = np.asarray(others, float), np.asarray(y, float)
    every = range(EITHER_SIDE, len(value) - EITHER_SIDE + 1)
    if not every or not independent(x) or len(value) - x.shape[1] < 2:
        return None
    places = _places(every, x, value)
    steps = (np.arange(len(value))[:, None] >= np.array(places)[None, :]).astype(float)
    columns = np.column_stack([np.asarray(line, float), steps])
    neither, shapes = _log_marginals(columns, x, value, walk_prior)
    apart = np.isfinite(shapes[1:])
    if not apart.any() or not np.isfinite(shapes[0]):
        return None
    top = max(float(shapes.max()), neither)
    by_place = np.where(apart, np.exp(shapes[1:] - top), 0.0)
    by_place /= max(len(every) - int((~apart).sum()), 1)
    step, straight, none = by_place.sum(), np.exp(shapes[0] - top), np.exp(neither - top)
    # Of places that are alike the first, whatever the last digits of their sums.
    chance = np.round(by_place / step, 9)
    first, last = _likely(chance)
    return Shape(
        p_step=float(step / (step + straight)),
        p_change=float(step / (step + straight + 2 * none)),
        place=places[int(chance.argmax())],
        first=places[first],
        last=places[last],
    )


def _places(every: Sequence[int], x: Array, y: Array) -> list[int]:
    """Numbers of trips before a step; of very many those that least squares names first.

    The others then count as places searched, of no likelihood.
    """
    if len(every) <= MOST_PLACES:
        return list(every)
    steps = (np.arange(len(y))[:, None] >= np.array(every)[None, :]).astype(float)
    basis = np.linalg.qr(x).Q
    rest, value = steps - basis @ (basis.T @ steps), y - basis @ (basis.T @ y)
    own = (rest**2).sum(axis=0)
    gain = np.where(own > _BOUND * len(y), (value @ rest) ** 2 / np.maximum(own, _BOUND), 0.0)
    best = np.argsort(-gain, kind="stable")[:MOST_PLACES]
    return sorted(every[place] for place in best)


def _log_marginals(columns: Array, x: Array, y: Array, walk_prior: float) -> tuple[float, Array]:
    """Log marginal likelihood without and with each column, up to one constant shared by all.

    Minus infinity where a column follows from x.
    """
    n, p = x.shape
    grid = processes(walk_prior)
    white, half_log = grid.whitened(np.column_stack([x, y, columns]))
    basis = np.linalg.qr(white[:, :, :p])
    root = np.abs(np.diagonal(basis.R, axis1=1, axis2=2))
    rest = white[:, :, p:]
    size = (rest**2).sum(axis=1)
    rest = rest - basis.Q @ (np.swapaxes(basis.Q, 1, 2) @ rest)
    value, shapes = rest[:, :, 0], rest[:, :, 1:]
    square = np.maximum((value**2).sum(axis=1), least_square(y))
    own = (shapes**2).sum(axis=1)
    bound = own <= _BOUND * size[:, 1:]
    gain = np.einsum("gn,gnk->gk", value, shapes) ** 2 / np.where(bound, 1.0, own)
    left = np.maximum(square[:, None] - n / (n + 1) * gain, least_square(y))
    prior = grid.log_prior - half_log - np.log(root).sum(axis=1)
    neither = prior - (n - p) / 2 * np.log(square)
    each = prior[:, None] - np.log1p(n) / 2 - (n - p) / 2 * np.log(left)
    each[:, bound.any(axis=0)] = -np.inf
    return float(logsumexp(neither)), logsumexp(each, axis=0)


def _likely(chance: Array) -> tuple[int, int]:
    """The ends of the likeliest places that are 90 % together."""
    order = np.argsort(-chance, kind="stable")
    enough = int(np.searchsorted(np.cumsum(chance[order]), LEVEL)) + 1
    chosen = order[:enough]
    return int(chosen.min()), int(chosen.max())
