"""The normal laws of the gains at points of the spreads, read off for some bundles at a time.

Kept are the laws of the directions that the days tell apart (`score_model.span`); a bundle's law is
worked from them where it is asked for, so that what is held does not grow with what is owned.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..arrays import Array, Codes
from .grid import ScoreProblem, Slice
from .span import Columns

_HELD = 4_000_000  # numbers of one array at a time

Moments = tuple[Array, Array]


@dataclass(frozen=True, slots=True, eq=False)
class GridLaws:
    """At points (i) of one slice, of some weight: places in its gain ratios and noises."""

    piece: Slice
    weight: Array
    k: Codes
    s: Codes

    @property
    def spreads(self) -> Array:
        """Of gains, trips and noise (i, 3)."""
        noise = self._noise
        return np.stack([self._gain_sd, self.piece.trip_ratio * noise, noise], axis=1)

    @property
    def fixed(self) -> Moments:
        """Mean and standard deviation of the fixed effects (i, f)."""
        at = self.k, self.s
        return self.piece.fixed[at], np.sqrt(np.einsum("iff->if", self.piece.fixed_cov[at]))

    @property
    def _noise(self) -> Array:
        noise: Array = self.piece.noise[self.k, self.s]
        return noise

    @property
    def _gain_sd(self) -> Array:
        sd: Array = self.piece.ratio[self.k] * self._noise
        return sd

    def moments(self, problem: ScoreProblem, columns: Columns) -> Moments:
        """Mean and variance (i, c) of the gains of some bundles, of one spread."""
        piece, own, basis, lift, moved = self._parts(problem, columns)
        fixed = piece.fixed[self.k, self.s]
        mean = (piece.response @ basis.T)[self.k] - np.einsum("iaf,if->ia", lift, fixed)
        variance = own @ (basis**2).T + np.einsum("iaf,iaf->ia", moved, lift)
        return mean, variance + self._gain_sd[:, None] ** 2 * problem.span.untold(columns)

    def within(self, problem: ScoreProblem, columns: Columns) -> Array:
        """Their covariance (c, c), summed by weight."""
        _, own, basis, lift, moved = self._parts(problem, columns)
        within: Array = (basis * (self.weight @ own)) @ basis.T
        within += np.tensordot(moved * self.weight[:, None, None], lift, axes=((0, 2), (0, 2)))
        untold = float(self.weight @ self._gain_sd**2)
        return within + untold * problem.span.untold_within(columns)

    def _parts(
        self, problem: ScoreProblem, columns: Columns
    ) -> tuple[Slice, Array, Array, Array, Array]:
        piece, k = self.piece, self.k
        basis = problem.span.turned(piece.basis, columns)
        own = self._noise[:, None] ** 2 * piece.shrunk[k]
        lift = np.einsum("ab,kbf->kaf", basis, piece.leverage)[k]
        return piece, own, basis, lift, np.einsum("iaf,ifg->iag", lift, piece.fixed_cov[k, self.s])


@dataclass(frozen=True, slots=True, eq=False)
class EndLaws:
    """At points (i) of some weight: gains of bundles (p) read off already, fixed effects (f).

    ``chosen_within`` is the covariance of the chosen gains, summed by weight.
    """

    weight: Array
    spreads: Array
    mean: Array
    variance: Array
    fixed: Moments
    chosen_within: Array

    def moments(self, _: ScoreProblem, columns: Columns) -> Moments:
        """Mean and variance (i, c) of the gains of some bundles, of one spread."""
        return self.mean[:, columns], self.variance[:, columns]

    def within(self, _: ScoreProblem, columns: Columns) -> Array:
        """The covariance of the chosen gains; no other is known."""
        del columns
        return self.chosen_within


class EndReader:
    """Reads the gains off normal laws of directions and fixed effects, a batch of points a time."""

    def __init__(self, problem: ScoreProblem, chosen: Codes) -> None:
        self._problem, self.chosen = problem, chosen
        # Of covariances what is smaller is kept: that of the chosen gains, or of the directions.
        self._few = len(chosen) <= problem.p

    def read(self, mean: Array, covariance: Array, gain_sd: Array) -> tuple[Array, ...]:
        """Of j laws (j, w): mean and variance of all gains, of fixed effects, and a covariance."""
        span, r = self._problem.span, self._problem.p
        variance = np.einsum("jww->jw", covariance)
        gains = mean[:, :r], variance[:, :r]
        if span.loads is not None:
            untold = gain_sd[:, None] ** 2 * span.untold(slice(None))
            gains = mean[:, :r] @ span.loads.T, self._variance(covariance, span.loads) + untold
        kept = covariance[:, :r, :r]
        if self._few:
            kept = np.stack([self._of_chosen(each) for each in kept])
        return *gains, mean[:, r:], variance[:, r:], kept.copy()

    def laws(self, weight: Array, spreads: Array, parts: Sequence[Array]) -> EndLaws:
        """The laws of points of some weight, from what was read of them."""
        mean, variance, fixed, fixed_variance, kept = parts
        within = np.tensordot(weight, kept, axes=1)
        if not self._few:
            within = self._of_chosen(within)
        untold = float(weight @ spreads[:, 0] ** 2)
        within = within + untold * self._problem.span.untold_within(self.chosen)
        return EndLaws(weight, spreads, mean, variance, (fixed, np.sqrt(fixed_variance)), within)

    def _variance(self, covariance: Array, loads: Array) -> Array:
        p, r = loads.shape
        variance = np.empty((len(covariance), p))
        step = max(1, _HELD // max(1, r * r))
        for place, each in enumerate(covariance):
            for first in range(0, p, step):
                some = loads[first : first + step]
                reach = some @ each[:r, :r]
                variance[place, first : first + step] = np.einsum("pr,pr->p", reach, some)
        return variance

    def _of_chosen(self, covariance: Array) -> Array:
        """Of a covariance of the directions (r, r): that of the chosen gains (c, c)."""
        span = self._problem.span
        reach = span.turned(covariance, self.chosen)
        within: Array = span.turned(reach.T, self.chosen)
        return within


Laws = Sequence[GridLaws] | Sequence[EndLaws]
