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
        method="trust-exact",
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
        self._upper = np.hstack([np.vstack([cuts, 0 * cuts[:1]])[self.place], -table])
        self._lower = np.hstack([np.vstack([0 * cuts[:1], cuts])[self.place], -table])
        self._top, self._bottom = self.place == values - 1, self.place == 0
        self._prior = np.concatenate([np.zeros(values - 1), precision])

    def _shares(self, at: Array) -> tuple[Array, Array, Array]:
        upper = np.where(self._top, 1.0, expit(self._upper @ at))
        lower = np.where(self._bottom, 0.0, expit(self._lower @ at))
        return upper, lower, upper - lower

    def value(self, at: Array) -> float:
        """Log posterior, not normalised; minus infinity where thresholds are out of order."""
        share = self._shares(at)[2]
        log_likelihood = float(np.log(share).sum()) if (share > 0).all() else -math.inf
        return log_likelihood - 0.5 * float(self._prior @ at**2)

    def derivatives(self, at: Array) -> tuple[Array, Array]:
        """Gradient and negative curvature."""
        upper, lower, share = self._shares(at)
        steep_up, steep_down = upper * (1 - upper), lower * (1 - lower)
        up, down = steep_up / share, steep_down / share
        gradient = self._upper.T @ up - self._lower.T @ down - self._prior * at
        bend_up = up * (1 - 2 * upper) - up**2
        bend_down = -down * (1 - 2 * lower) - down**2
        mixed = (self._upper.T * (up * down)) @ self._lower
        curvature = (
            (self._upper.T * bend_up) @ self._upper
            + (self._lower.T * bend_down) @ self._lower
            + mixed
            + mixed.T
        )
        return gradient, np.diag(self._prior) - curvature
