"""How much is needed a day, learnt from trips of different length, on some of which all was used.

Model: a trip of d days takes the amount C with log(C / d) ~ N(mu, s_trip^2 + s_day^2 / d);
mu ~ N(log of a centre, spread^2), s_trip and s_day half-normal. Where all that was taken is gone,
the need was at least that: such a trip is right-censored. mu and both spreads are summed over a
grid, so that few trips stay uncertain; a trip to come is a mixture of log-normals.

The spreads are summed in polar form: r = sqrt(s_trip^2 + s_day^2 / D) at the trips' usual length D,
which they tell well, and the angle between the two, which they hardly tell. At each pair the
density of mu has one peak, and its points are set around it. Quantiles from 5 to 95 % are right to
half a per cent, chances to .002; the tests hold them against a plain sum over a dense box.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import log_ndtr, ndtr  # type: ignore[import-untyped]

from .arrays import Array, Codes
from .quantile import normal_mixture_quantiles

SPREAD = 0.5
"""Of mu, on the logarithm, where its centre is a known median: nine in ten lie between .44 and 2.3
times the centre."""
TRIP_SCALE, DAY_SCALE = 0.3, 0.5
"""Scales of the half-normal priors of how trips differ, and days within a trip."""
_LEAST_R, _MOST_SCALES = 0.01, 4.0
"""r begins at a hundredth: what differs by less differs by scale and notebook."""
_USUAL_DAYS = 4.0
_COARSE, _FINE = (24, 8), (18, 10)
"""Points of r and of the angle: to see where the weight lies, and there."""
_POINTS, _REACH = 33, 4.3
"""Points of mu, and how far they go, in the standard deviations it would have without the
right-censored trips: their density only narrows it."""
_SMOOTH, _MOST_SMOOTHED = 0.6, 0.5
_NEGLIGIBLE = 1e-6
_STEPS, _CLOSE = 50, 1e-2


@dataclass(frozen=True, slots=True)
class LogNeed:
    """The posterior: a mixture of normal laws of mu, each with its spreads; arrays of one length.

    ``weights`` sum to 1. ``trips`` are those it was fitted to, ``used_up`` those of them that are
    right-censored. ``prior_share``: variance of mu over what it was beforehand, 1 at most.
    """

    weights: Array
    means: Array
    variances: Array
    trip_sds: Array
    day_sds: Array
    trips: int
    used_up: int
    prior_share: float

    def quantiles(self, shares: Sequence[float], days: float) -> list[float]:
        """The amounts that are enough on such shares of trips of so many days."""
        means, sds = (self.means + math.log(days))[:, None], self._sds(days)[:, None]
        logs = (normal_mixture_quantiles(share, means, sds, self.weights) for share in shares)
        return [math.exp(at[0]) for at in logs]

    def chance(self, amount: float, days: float) -> float:
        """The chance that an amount is enough on a trip of so many days; 0 of nothing."""
        if amount <= 0:
            return 0.0
        off = (math.log(amount / days) - self.means) / self._sds(days)
        return min(1.0, float(self.weights @ ndtr(off)))

    def _sds(self, days: float) -> Array:
        sds: Array = np.sqrt(self.variances + self.trip_sds**2 + self.day_sds**2 / days)
        return sds


def log_need(
    amounts: Sequence[float],
    days: Sequence[float],
    used_up: Sequence[bool],
    *,
    centre: float,
    spread: float = SPREAD,
) -> LogNeed:
    """Fit trips: amounts and days, both above 0, and whether the need was at least the amount.

    centre: the median need a day beforehand, in the unit of the amounts; spread: how uncertain it
    is, on the logarithm. Without a trip the prior speaks alone.
    """
    record = _Record(amounts, days, used_up, math.log(centre), spread)
    r, angle = record.box()
    for points in (_COARSE, _FINE):
        grid = _Grid(record, r, angle, points)
        r, angle = grid.likely_box()
    return grid.posterior()


class _Record:
    """The trips as the grid needs them: equal lengths together, and logarithms of amounts a day."""

    def __init__(
        self,
        amounts: Sequence[float],
        days: Sequence[float],
        used_up: Sequence[bool],
        centre_log: float,
        spread: float,
    ) -> None:
        d, gone = np.asarray(days, float), np.asarray(used_up, bool)
        x = np.log(np.asarray(amounts, float) / d)
        self.centre_log, self.spread = centre_log, spread
        self.trips, self.used_up = len(d), int(gone.sum())
        self.usual_days = len(d) / float((1 / d).sum()) if len(d) else _USUAL_DAYS
        self.days, of, self.count = np.unique(d[~gone], return_inverse=True, return_counts=True)
        self.mean = np.bincount(of, x[~gone], len(self.days)) / self.count
        self.square = np.bincount(of, (x[~gone] - self.mean[of]) ** 2, len(self.days))
        least, self.times = np.unique(np.stack([x[gone], d[gone]], 1), axis=0, return_counts=True)
        self.least, self.least_days = least[:, 0], least[:, 1]

    def box(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Within which log r and the angle lie beforehand."""
        most = _MOST_SCALES * math.hypot(TRIP_SCALE, DAY_SCALE / self.usual_days**0.5)
        return (math.log(_LEAST_R), math.log(most)), (0.0, math.pi / 2)


class _Grid:
    """A box of log r and angle, and the density of mu at each pair of them; arrays (pair, ...)."""

    def __init__(
        self,
        record: _Record,
        log_r: tuple[float, float],
        angle: tuple[float, float],
        points: tuple[int, int],
    ) -> None:
        self._record, self._ends, self._shape = record, (log_r, angle), points
        (log_rs, r_log_weight), (angles, angle_log_weight) = (
            _gauss(*ends, number) for ends, number in zip(self._ends, points, strict=True)
        )
        self._axes = log_rs, angles
        r, at = (each.ravel() for each in np.meshgrid(np.exp(log_rs), angles, indexing="ij"))
        self._trip_sd = r * np.cos(at)
        self._day_sd = r * np.sin(at) * record.usual_days**0.5
        # Of both spreads, of log r and the angle in their place (r^2), and of the pair's share.
        self._log_weight = (
            -0.5 * (self._trip_sd / TRIP_SCALE) ** 2
            - 0.5 * (self._day_sd / DAY_SCALE) ** 2
            + 2 * np.log(r)
            + np.add.outer(r_log_weight, angle_log_weight).ravel()
        )
        self._known()
        self._climb()

    def _known(self) -> None:
        """What prior and trips of known need make of mu: a normal law times a constant."""
        trips = self._record
        variance = self._variance(trips.days)
        precision = trips.count / variance
        self._precision = 1 / trips.spread**2 + precision.sum(1)
        pull = trips.centre_log / trips.spread**2 + (precision * trips.mean).sum(1)
        self._middle = pull / self._precision
        off = (trips.mean - self._middle[:, None]) ** 2
        self._log_weight = (
            self._log_weight
            - 0.5 * (np.log(variance) * trips.count + trips.square / variance).sum(1)
            - 0.5 * (precision * off).sum(1)
            - 0.5 * ((trips.centre_log - self._middle) / trips.spread) ** 2
        )
        self._least_sd = np.sqrt(self._variance(trips.least_days))

    def _variance(self, days: Array) -> Array:
        variance: Array = self._trip_sd[:, None] ** 2 + self._day_sd[:, None] ** 2 / days
        return variance

    def _climb(self) -> None:
        """To the peak of mu's density, by Newton's steps, and how narrow it is there.

        The logarithm of the density is concave and bends the less the higher mu is, so that no
        step from below goes too far.
        """
        times, at = self._record.times, self._middle.copy()
        for _ in range(_STEPS):
            z = (at[:, None] - self._record.least) / self._least_sd
            steep = np.exp(-0.5 * z**2 - 0.5 * math.log(2 * math.pi) - log_ndtr(z))
            bend = self._precision + (times * steep * (z + steep) / self._least_sd**2).sum(1)
            slope = (times * steep / self._least_sd).sum(1)
            step = (slope - self._precision * (at - self._middle)) / bend
            at = at + step
            if np.all(np.abs(step) * np.sqrt(bend) < _CLOSE):
                break
        self._peak, self._peak_sd = at, 1 / np.sqrt(bend)

    def _log_density(self, mu: Array, pairs: Codes) -> Array:
        """At mu (pair, point), of some of the pairs."""
        off = mu - self._middle[pairs, None]
        z = (mu[:, :, None] - self._record.least) / self._least_sd[pairs, None, :]
        log_density: Array = (
            self._log_weight[pairs, None]
            - 0.5 * self._precision[pairs, None] * off**2
            + log_ndtr(z) @ self._record.times
        )
        return log_density

    def _likely(self) -> Codes:
        """Which pairs matter, by the height and width of their peak."""
        every = np.arange(len(self._peak))
        height = self._log_density(self._peak[:, None], every)[:, 0] + np.log(self._peak_sd)
        return np.flatnonzero(height > height.max() + math.log(_NEGLIGIBLE))

    def likely_box(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """The part of the box in which the weight lies."""
        ends = []
        for (low, high), axis, places in zip(
            self._ends, self._axes, np.unravel_index(self._likely(), self._shape), strict=True
        ):
            first, last = int(places.min()), int(places.max())
            ends.append(
                (
                    float(axis[first - 1]) if first else low,
                    float(axis[last + 1]) if last + 1 < len(axis) else high,
                )
            )
        return ends[0], ends[1]

    def posterior(self) -> LogNeed:
        """The mixture. A point stands for a normal law as wide as the points lie apart.

        Each pair's points are drawn together by as much as that widens them, so that mean and
        variance of mu stay what they are.
        """
        pairs = self._likely()
        narrow, wide = self._peak_sd[pairs, None], _REACH / np.sqrt(self._precision[pairs, None])
        u = np.linspace(-1, 1, _POINTS) * np.arcsinh(wide / narrow)
        mu = self._peak[pairs, None] + narrow * np.sinh(u)
        apart = narrow * np.cosh(u) * (u[:, 1:2] - u[:, :1])
        log_weight = self._log_density(mu, pairs) + np.log(apart)
        weight = np.exp(log_weight - log_weight.max())
        weight /= weight.sum()
        share = weight / weight.sum(1, keepdims=True)
        mean = (share * mu).sum(1, keepdims=True)
        variance = (share * (mu - mean) ** 2).sum(1, keepdims=True)
        smooth = (_SMOOTH * apart) ** 2
        widened = (share * smooth).sum(1, keepdims=True) / variance
        smooth *= np.minimum(1, _MOST_SMOOTHED / widened)
        mu = mean + (mu - mean) * np.sqrt(1 - np.minimum(widened, _MOST_SMOOTHED))
        whole_mean = float((weight * mu).sum())
        whole = float((weight * (smooth + (mu - whole_mean) ** 2)).sum())
        counts = weight.ravel() > _NEGLIGIBLE * weight.max()
        trip_sds, day_sds = (np.repeat(sd[pairs], _POINTS) for sd in (self._trip_sd, self._day_sd))
        return LogNeed(
            weight.ravel()[counts] / weight.ravel()[counts].sum(),
            mu.ravel()[counts],
            smooth.ravel()[counts],
            trip_sds[counts],
            day_sds[counts],
            trips=self._record.trips,
            used_up=self._record.used_up,
            prior_share=min(1.0, whole / self._record.spread**2) if self._record.trips else 1.0,
        )


def _gauss(low: float, high: float, number: int) -> tuple[Array, Array]:
    """Points between two ends, and the logarithms of their weights, by Gauss and Legendre."""
    node, weight = np.polynomial.legendre.leggauss(number)
    return (low + high) / 2 + (high - low) / 2 * node, np.log(weight)
