"""What the ends of the scale hide: a 5 says 4.5 or more, a 1 says 1.5 or less, and no more.

Taken as plain numbers, scores at the ends pull every gain towards nothing. Here they are what they
are, one-sided: the other days are worked exactly, those at the ends by expectation propagation
(Minka 2001, UAI 17: 362; Rasmussen & Williams 2006, Gaussian Processes for Machine Learning, 3.6),
for given spreads. A bound that many days repeat, with next to no noise, counts more than once (of
such redundancy: Cunningham, Hennig & Lacoste-Julien 2011, arXiv:1111.6832, from memory).
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.special import log_ndtr  # type: ignore[import-untyped]

from ..arrays import Array, Codes
from .grid import ComfortData, Priors, ScoreProblem

_SWEEPS = 40
_STEP = 0.6  # of each sweep: whole steps swing to and fro where many days at an end are alike
_CLOSE = 0.01  # points by which a level still moves
LEAST_SITE = 1e-9
EDGE_SD = 0.15
"""In points: an edge is never sharper. A whole score beside it counts as a number with the variance
of rounding, which says little against a level on the edge; with a sharp edge beside that, a scale
of two scores would be explained best by such a level and no noise at all."""

_HELD = 2_000_000
"""Numbers of one array of a batch of points."""

Sites = tuple[Array, Array]
Reader = Callable[[Array, Array, Array], tuple[Array, ...]]
"""Takes means (j, w), covariances (j, w, w) and the spread of gains (j); gives arrays of j each."""


@dataclass(frozen=True, slots=True, eq=False)
class SpreadPosterior:
    """The posterior of gains and fixed effects (w of them) at j values of the three spreads.

    ``read``: what a reader made of it. ``sites`` (m each) stand for the days at the ends at the
    likeliest of the j; from there another search goes faster.
    """

    log_density: Array  # (j), of noise, gain ratio and trip ratio, not normalised
    read: tuple[Array, ...]
    sites: Sites | None


class EndsProblem:
    """The data, those scored at an end of the scale apart from the others."""

    def __init__(self, data: ComfortData, priors: Priors, contrast: tuple[float, float]) -> None:
        if data.ends is None:
            raise ValueError("ends: expected the ends of the scale, got None")
        least, most = data.ends
        at_end = (data.scores <= least) | (data.scores >= most)
        self.plain = ScoreProblem(data, priors, contrast, ~at_end)
        self.rows: Array = self.plain.table[at_end, :-1]
        self.of_trip: Codes = data.trips[at_end]
        top = data.scores[at_end] >= most
        self.side: Array = np.where(top, 1.0, -1.0)
        self.edge: Array = np.where(top, most - 0.5, least + 0.5) - priors.mean

    def at(
        self,
        trip_ratio: Array,
        gain_ratio: Array,
        own: Array,
        sites: Sites | None = None,
        reader: Reader | None = None,
    ) -> SpreadPosterior:
        """The posterior at j values; ``own`` (j) is the noise without rounding's part.

        It is worked in batches, so that only what the ``reader`` keeps grows with j.
        """
        w, m = self.plain.p + self.plain.fixed, len(self.rows)
        step = max(1, _HELD // max(w, m) ** 2)
        batches = [slice(first, first + step) for first in range(0, len(own), step)]
        parts = [self._at(trip_ratio[at], gain_ratio[at], own[at], sites, reader) for at in batches]
        best = max(parts, key=lambda part: float(part.log_density.max()))
        read = zip(*(part.read for part in parts), strict=True)
        return SpreadPosterior(
            np.concatenate([part.log_density for part in parts]),
            tuple(map(np.concatenate, read)),
            best.sites,
        )

    def _at(
        self,
        trip_ratio: Array,
        gain_ratio: Array,
        own: Array,
        sites: Sites | None,
        reader: Reader | None,
    ) -> SpreadPosterior:
        plain = self.plain
        noise = np.hypot(own, plain.floor)
        pull = trip_ratio[:, None] ** 2 / (1 + trip_ratio[:, None] ** 2 * plain.days)
        cross = plain.products - np.matmul(plain.sums.T * pull[:, None, :], plain.sums)
        cross /= noise[:, None, None] ** 2
        w = plain.p + plain.fixed
        prior = np.empty((len(noise), w))
        prior[:, : plain.p] = (gain_ratio * noise)[:, None] ** -2.0
        prior[:, plain.p :] = plain.precision
        precision = cross[:, :w, :w]
        precision[:, range(w), range(w)] += prior
        push = cross[:, :w, w]
        covariance = np.linalg.inv(precision)
        mean = np.einsum("jab,jb->ja", covariance, push)
        log_density = plain.log_prior(noise, gain_ratio, trip_ratio) - 0.5 * (
            2 * plain.n * np.log(noise)
            + np.linalg.slogdet(precision)[1]
            - np.log(prior).sum(1)
            + np.log1p(trip_ratio[:, None] ** 2 * plain.days).sum(1)
            + cross[:, w, w]
            - np.einsum("ja,ja->j", push, mean)
        )
        gain_sd = gain_ratio * noise
        if not len(self.rows):
            read = reader(mean, covariance, gain_sd) if reader else ()
            return SpreadPosterior(log_density, read, None)
        # The level of a day at an end, given the plain days: its own row, less what the plain days
        # of its trip say of the trip.
        held = pull[:, self.of_trip]
        rows = self.rows - held[:, :, None] * plain.sums[self.of_trip, :w]
        reach = np.matmul(rows, covariance)
        level = np.einsum("jma,ja->jm", rows, mean) + held * plain.sums[self.of_trip, w]
        same = self.of_trip[:, None] == self.of_trip
        between = np.matmul(reach, rows.swapaxes(1, 2))
        between += same * (held * noise[:, None] ** 2)[:, None, :]
        ends = _Ends(self.side, self.edge, level, between, own, sites)
        log_density = log_density + ends.log_share
        best = int(np.argmax(log_density))
        if reader is None:
            read = ()
        else:
            mean = mean + np.einsum("jma,jm->ja", reach, ends.gain)
            covariance -= np.matmul(reach.swapaxes(1, 2), np.matmul(ends.drop, reach))
            read = reader(mean, covariance, gain_sd)
        return SpreadPosterior(log_density, read, (ends.precision[best], ends.natural[best]))


class _Ends:
    """Normal vectors (j of them, of m levels) conditioned on each level being beyond its edge.

    ``log_share`` (j) is the log probability of that. Whatever has covariance c with the levels has
    its mean moved by c ``gain`` (j, m), its covariance by -c ``drop`` (j, m, m) c'.
    """

    def __init__(
        self,
        side: Array,
        edge: Array,
        level: Array,
        between: Array,
        own: Array,
        sites: Sites | None,
    ) -> None:
        self._side, self._edge, self._own = side, edge, own[:, None]
        self._level, self._between = level, between
        start = sites or (np.full(level.shape[1], LEAST_SITE), np.zeros(level.shape[1]))
        self.precision, self.natural = (np.tile(part, (len(level), 1)) for part in start)
        going = np.ones(len(level), dtype=bool)
        at = np.full(level.shape, np.inf)
        for _ in range(_SWEEPS):
            before = at[going]
            at[going] = self._sweep(going)
            going[going] = np.abs(at[going] - before).max(1) > _CLOSE
            if not going.any():
                break
        self._finish()

    def _shrunk(self, going: Array) -> tuple[Array, Array, Array]:
        """What the sites take away (drop), and mean and variance of the levels with them."""
        between, natural = self._between[going], self.natural[going]
        root = np.sqrt(self.precision[going])
        inside = root[:, :, None] * between * root[:, None, :]
        inside[:, range(root.shape[1]), range(root.shape[1])] += 1.0
        drop = root[:, :, None] * np.linalg.inv(inside) * root[:, None, :]
        pushed = self._level[going] + np.einsum("jab,jb->ja", between, natural)
        at = pushed - np.einsum("jab,jb->ja", between, np.einsum("jab,jb->ja", drop, pushed))
        variance = np.einsum("jaa->ja", between) - np.einsum(
            "jab,jab->ja", np.matmul(between, drop), between
        )
        return drop, at, np.maximum(variance, 1e-12)

    def _tilted(self, going: Array, at: Array, variance: Array) -> "Tilted":
        sites = self.precision[going], self.natural[going]
        return tilted(self._side, self._edge, self._own[going], *sites, at, variance)

    def _sweep(self, going: Array) -> Array:
        _, at, variance = self._shrunk(going)
        sites = self.precision[going], self.natural[going]
        self.precision[going], self.natural[going] = self._tilted(going, at, variance).step(*sites)
        return at

    def _finish(self) -> None:
        every = np.ones(len(self._level), dtype=bool)
        drop, at, variance = self._shrunk(every)
        off = self.natural / self.precision
        away = off - self._level
        root = np.sqrt(self.precision)
        inside = np.eye(root.shape[1]) + root[:, :, None] * self._between * root[:, None, :]
        self.log_share: Array = (
            self._tilted(every, at, variance).log_share(self.precision, off)
            - 0.5 * np.linalg.slogdet(inside)[1]
            - 0.5 * np.einsum("ja,jab,jb->j", away, drop, away)
        )
        pushed = self._level + np.einsum("jab,jb->ja", self._between, self.natural)
        self.gain: Array = self.natural - np.einsum("jab,jb->ja", drop, pushed)
        self.drop = drop


@dataclass(frozen=True, slots=True, eq=False)
class Tilted:
    """Levels (any, m) without their own sites, and what the normal law with the edge makes of them.

    ``slope`` and ``bend``: of the log probability to be beyond the edge, along the mean.
    """

    cavity: Array
    middle: Array
    log_z: Array
    slope: Array
    bend: Array

    def step(self, precision: Array, natural: Array) -> Sites:
        """Sites, part of the way to those that match."""
        wanted = 1 / np.maximum(1 / self.bend - self.cavity, 1e-12)
        to = wanted * (self.middle + self.slope / self.bend)
        return precision + _STEP * (wanted - precision), natural + _STEP * (to - natural)

    def log_share(self, precision: Array, off: Array) -> Array:
        """The part of the log probability that each level has by itself, summed."""
        held = self.cavity * precision
        share: Array = (self.log_z + 0.5 * np.log1p(held)).sum(-1) + (
            0.5 * (self.middle - off) ** 2 * precision / (1 + held)
        ).sum(-1)
        return share


def tilted(
    side: Array,
    edge: Array,
    own: Array | float,
    precision: Array,
    natural: Array,
    at: Array,
    variance: Array,
) -> Tilted:
    """Each level of mean ``at`` without its own site, and the normal law with its edge instead."""
    cavity = 1 / np.maximum(1 / variance - precision, 1e-12)
    middle = cavity * (at / variance - natural)
    wide = np.sqrt(cavity + own**2 + EDGE_SD**2)
    z = side * (middle - edge) / wide
    log_z = log_ndtr(z)
    slope = np.exp(-0.5 * z**2 - 0.5 * math.log(2 * math.pi) - log_z)
    bend = np.maximum(slope * (z + slope) / wide**2, 1e-12)
    return Tilted(cavity, middle, log_z, side * slope / wide, bend)
