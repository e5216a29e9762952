"""Scores as ranks, by proportional odds: whether a verdict hangs on scores being numbers.

P(score <= k) = logistic(threshold_k - x b), with a normal prior on b, at its most probable value
and with the normal approximation there. McCullagh 1980, J. R. Stat. Soc. B 42: 109.
"""

import math
from dataclasses import dataclass

import numpy as np
from scipy.optimize import minimize  # type: ignore[import-untyped]
from scipy.special import expit  # type: ignore[import-untyped]

from .arrays import Array

LOGISTIC_SD = math.pi / math.sqrt(3)
_CLOSE = 1e-9  # of the gradient


@dataclass(frozen=True, slots=True, eq=False)
class OrdinalFit:
    """Thresholds (one fewer than there are scores), coefficients (c) and their covariance."""

    thresholds: Array
    coefficients: Array
    covariance: Array


def fit_ordinal(scores: Array, table: Array, precision: Array) -> OrdinalFit:
    """The most probable fit of scores (n) to the columns of a table (n, c).

    ``precision`` (c): of the normal prior of each coefficient, 0 for none. Raises ValueError where
    fewer than two different scores are given.
    """
    values, place = np.unique(scores, return_inverse=True)
    if len(values) < 2:
        raise ValueError(f"scores: expected two different ones at least, got {values.tolist()}")
    model = _Model(np.ravel(place), len(values), table, precision)
    shares = np.cumsum(np.bincount(model.place))[:-1] / len(scores)
    at = np.concatenate([np.log(shares / (1 - shares)), np.zeros(table.shape[1])])
    at = minimize(
        lambda at: -model.value(at),
        at,
        jac=lambda at: -model.derivatives(at)[0],
        hess=lambda at: model.derivatives(at)[1],
        method="trust-exact",  # asks for gradient and curvature one after the other
        options={"gtol": _CLOSE},
    ).x
    covariance = np.asarray(np.linalg.inv(model.derivatives(at)[1]), dtype=np.float64)
    cut = len(values) - 1
    return OrdinalFit(at[:cut], at[cut:], covariance[cut:, cut:])


class _Model:
    """The log posterior of thresholds and coefficients, in one vector, and its derivatives."""

    def __init__(self, place: Array, values: int, table: Array, precision: Array) -> None:
        self.place = place.astype(int)
        cuts = np.eye(values - 1)
        self._table, self._cuts = table, values - 1
        self._above: Array = np.vstack([cuts, 0 * cuts[:1]])[self.place]
        self._below: Array = np.vstack([0 * cuts[:1], cuts])[self.place]
        self._last: tuple[Array, tuple[Array, Array]] | None = None
        self._top, self._bottom = self.place == values - 1, self.place == 0
        self._prior = np.concatenate([np.zeros(values - 1), precision])

    def _shares(self, at: Array) -> tuple[Array, Array, Array]:
        cuts, level = at[: self._cuts], self._table @ at[self._cuts :]
        upper = np.where(self._top, 1.0, expit(self._above @ cuts - level))
        lower = np.where(self._bottom, 0.0, expit(self._below @ cuts - level))
        return upper, lower, upper - lower

    def value(self, at: Array) -> float:
        """Log posterior, not normalised; minus infinity where thresholds are out of order."""
        share = self._shares(at)[2]
        log_likelihood = float(np.log(share).sum()) if (share > 0).all() else -math.inf
        return log_likelihood - 0.5 * float(self._prior @ at**2)

    def derivatives(self, at: Array) -> tuple[Array, Array]:
        """Gradient and negative curvature."""
        if self._last is None or not np.array_equal(self._last[0], at):
            self._last = at.copy(), self._derivatives(at)
        return self._last[1]

    def _derivatives(self, at: Array) -> tuple[Array, Array]:
        upper, lower, share = self._shares(at)
        steep_up, steep_down = upper * (1 - upper), lower * (1 - lower)
        up, down = steep_up / share, steep_down / share
        bend_up = up * (1 - 2 * upper) - up**2
        bend_down = -down * (1 - 2 * lower) - down**2
        mixed = up * down
        table, above, below = self._table, self._above, self._below
        gradient = np.concatenate([above.T @ up - below.T @ down, table.T @ (down - up)])
        gradient -= self._prior * at
        crossed = (above.T * mixed) @ below
        cuts = (above.T * bend_up) @ above + (below.T * bend_down) @ below + crossed + crossed.T
        beside = -(above.T * (bend_up + mixed) + below.T * (bend_down + mixed)) @ table
        slopes = (table.T * (bend_up + bend_down + 2 * mixed)) @ table
        curvature = np.block([[cuts, beside], [beside.T, slopes]])
        return gradient, np.diag(self._prior) - curvature
