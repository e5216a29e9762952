"""The marginal likelihood of the comfort model over a grid of its three spreads.

Spreads are taken as ratios to the noise: one eigendecomposition for each ratio of the trips' spread
then serves every gain spread and noise, and the days themselves enter only through cross products.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from ..arrays import Array, Codes, Flags
from .span import span_of

SCALE = (1.0, 5.0)
"""The least and the most that a score can be."""
ROUNDING_SD = 1 / math.sqrt(12)
_COARSE = 14
_COARSE_NOISES = 10
_NEGLIGIBLE = 14.0  # log density below its peak
_FAR = 4.5  # scales of a half-normal prior
_NEXT_TO_NONE = 0.02

Rule = tuple[Array, Array]


@dataclass(frozen=True, slots=True)
class Priors:
    """Scales of the priors, in points.

    ``gain_sd``, ``trip_sd`` and ``noise_sd`` are those of half-normal distributions of the spreads
    of single gains, of trips and of days; the mean score is Normal(mean, mean_sd), slopes are
    Normal(0, slope_sd).
    """

    gain_sd: float = 0.5
    trip_sd: float = 0.5
    noise_sd: float = 1.0
    mean: float = 3.0
    mean_sd: float = 1.5
    slope_sd: float = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class ComfortData:
    """Scored days, n of them, with p bundles and q covariates.

    ``scores`` (n) in points; ``trips`` (n) numbers the trip of each day from 0; ``along`` (n, p) is
    1 where the bundle was there; ``sizes`` (p) counts its items; ``comforts`` (p) tells things
    carried for comfort from the rest; ``covariates`` (n, q) in units in which a slope of half a
    point would not surprise. ``ends``: the least and the most that a score can be, for whole
    scores; None for values as exact as they stand.

    ``slope_sds`` (q): prior SD of each slope, None for ``Priors.slope_sd`` in all. ``doubts`` (p):
    SD of what no day can tell from a bundle's gain, None for nothing of the kind.
    """

    scores: Array
    trips: Codes
    along: Array
    sizes: Array
    comforts: Flags
    covariates: Array
    ends: tuple[float, float] | None = SCALE
    slope_sds: Array | None = None
    doubts: Array | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Slice:
    """The grid at one ratio of trip spread to noise: k gain ratios by s noises.

    Gains are those of single items or of their span, in the orthogonal ``basis`` (p, p): given a
    grid point and the fixed effects f (mean and slopes) they are Normal(response - leverage f,
    noise^2 x shrunk).
    """

    log_weight: Array  # (k, s), prior, likelihood and step
    noise: Array  # (k, s), rounding included
    ratio: Array  # (k), gain spread to noise
    trip_ratio: float
    fixed: Array  # (k, s, f)
    fixed_cov: Array  # (k, s, f, f)
    basis: Array
    shrunk: Array  # (k, p)
    response: Array  # (k, p)
    leverage: Array  # (k, p, f)


class ScoreProblem:
    """The data reduced to cross products. Columns are centred, the mean is that of a usual day.

    ``contrast``: factors on the spread of gains of things carried for comfort, and of the rest.
    ``counted`` (n) tells which days count; the others keep their row in ``table`` (n, p + f + 1),
    whose columns are bundles, scaled (``roots``) so that all gains have one spread, fixed effects
    and the score. Where there are more bundles than different days, their ``span`` stands for
    them, and p is the number of its directions.
    """

    def __init__(
        self,
        data: ComfortData,
        priors: Priors,
        contrast: tuple[float, float] = (1.0, 1.0),
        counted: Flags | None = None,
    ) -> None:
        self.priors = priors
        self.contrast = contrast
        self.roots: Array = np.sqrt(data.sizes) * np.where(data.comforts, *contrast)
        self.span = span_of((data.along - data.along.mean(0)) * self.roots)
        self.p = self.span.table.shape[1]
        self.table: Array = np.hstack(
            [
                self.span.table,
                np.ones((len(data.scores), 1)),
                data.covariates - data.covariates.mean(0),
                (data.scores - priors.mean)[:, None],
            ]
        )
        self.fixed = self.table.shape[1] - self.p - 1
        self.trips = int(data.trips.max()) + 1
        rows, of_trip = self.table, data.trips
        if counted is not None:
            rows, of_trip = rows[counted], of_trip[counted]
        self.n = len(rows)
        self.products: Array = rows.T @ rows
        self.days: Array = np.bincount(of_trip, minlength=self.trips).astype(float)
        self.sums = trip_sums(rows, of_trip, self.trips)
        self.precision = fixed_precision(data, priors)
        exact = 1e-3 * float(data.scores.std())
        self.floor = max(exact, 1e-9) if data.ends is None else ROUNDING_SD

    def slice(self, trip_ratio: float, ratios: Array, noise_rule: Rule) -> Slice:
        """Everything about the gains at one trip ratio, for all gain ratios and noises."""
        p, f = self.p, self.fixed
        pull = trip_ratio**2 / (1 + trip_ratio**2 * self.days)
        cross = self.products - (self.sums.T * pull) @ self.sums
        values, basis = np.linalg.eigh(cross[:p, :p])
        values = np.maximum(values, 0.0)
        turned = basis.T @ cross[:p, p:]
        square = ratios[:, None] ** 2
        shrunk = square / (1 + square * values)
        pulled = shrunk[:, :, None] * turned
        left = cross[p:, p:] - np.einsum("pi,kpj->kij", turned, pulled)
        log_det = np.log1p(square * values).sum(1) + np.log1p(trip_ratio**2 * self.days).sum()
        noise, log_step = self._noises(left, noise_rule)
        precise = left[:, None, :f, :f] / noise[..., None, None] ** 2 + np.diag(self.precision)
        push = left[:, None, :f, f] / noise[..., None] ** 2
        fixed_cov = np.linalg.inv(precise)
        fixed = np.einsum("ksij,ksj->ksi", fixed_cov, push)
        misfit = left[:, None, f, f] / noise**2 - np.einsum("ksi,ksi->ks", push, fixed)
        log_density = -0.5 * (
            2 * self.n * np.log(noise) + log_det[:, None] + np.linalg.slogdet(precise)[1] + misfit
        )
        log_density += self.log_prior(noise, ratios[:, None], trip_ratio)
        return Slice(
            log_density + log_step,
            noise,
            ratios,
            trip_ratio,
            fixed,
            fixed_cov,
            basis,
            shrunk,
            pulled[:, :, f],
            pulled[:, :, :f],
        )

    def log_prior(self, noise: Array, ratios: Array, trip_ratio: float | Array) -> Array:
        """Log density of noise, gain ratio and trip ratio, not normalised, per step of each."""
        priors = self.priors
        squares = (
            (ratios * noise / priors.gain_sd) ** 2
            + (trip_ratio * noise / priors.trip_sd) ** 2
            + (noise**2 - self.floor**2) / priors.noise_sd**2
        )
        # Two spreads are ratios times the noise: their steps are, too.
        log_prior: Array = 2 * np.log(noise) - 0.5 * squares
        return log_prior

    @property
    def largest_ratios(self) -> tuple[float, float]:
        """What the ratios of the trips' and the gains' spread to the noise never exceed."""
        priors = self.priors
        trip, gain = (_FAR * sd / self.floor for sd in (priors.trip_sd, priors.gain_sd))
        return max(trip, 5 * _NEXT_TO_NONE), max(gain, 5 * _NEXT_TO_NONE)

    @property
    def largest_noise(self) -> float:
        """What the noise never exceeds, rounding included."""
        return math.hypot(self.floor, _FAR * self.priors.noise_sd)

    def _noises(self, left: Array, rule: Rule) -> Rule:
        """Noises (k, s) where the posterior can be, and the logarithms of their steps.

        With the floor s0 that rounding sets, noise = s0 cosh t and its own part s0 sinh t, so that
        nothing is rough where the noise has no part of its own.
        """
        f, floor = self.fixed, self.floor
        weak = left[:, :f, :f] + 1e-9 * self.n * np.eye(f)
        explained = np.linalg.solve(weak, left[:, :f, f][..., None])[..., 0]
        rest = left[:, f, f] - np.einsum("ki,ki->k", left[:, :f, f], explained)
        freedom = max(self.n - f, 1)
        centre = np.sqrt(np.maximum(rest, 0) / freedom)
        width = 1 / math.sqrt(2 * freedom)
        most = self.largest_noise
        low = np.clip(centre * math.exp(-5 * width), floor, (floor + most) / 2)
        high = np.clip(np.maximum(centre, floor) * math.exp(7 * width), 1.05 * low, most)
        at, share = rule
        first, last = np.arccosh(low / floor)[:, None], np.arccosh(high / floor)[:, None]
        noise = floor * np.cosh(first + (last - first) * at)
        return noise, np.log((last - first) * share * noise)


def trip_sums(table: Array, of_trip: Codes, trips: int) -> Array:
    """Of days by columns: the sums of each trip."""
    sums = np.zeros((trips, table.shape[1]))
    np.add.at(sums, of_trip, table)
    return sums


def fixed_precision(data: ComfortData, priors: Priors) -> Array:
    """Prior precision of the mean and of each slope."""
    q = data.covariates.shape[1]
    own = np.full(q, priors.slope_sd) if data.slope_sds is None else data.slope_sds
    precision: Array = np.append(priors.mean_sd, own) ** -2.0
    return precision


def grid(problem: ScoreProblem, nodes: int) -> Iterator[tuple[Slice, Array]]:
    """Slices that hold the whole posterior, each with its log weights (k, s), not normalised.

    ``nodes``: grid points along each of the three spreads.
    """
    (trip_low, trip_high), (gain_low, gain_high) = _ranges(problem)
    at, share = unit_rule(nodes)
    ratios = gain_low + (gain_high - gain_low) * at
    # Ranges differ between contrasts: without their sizes evidences would be of unlike measures.
    size = math.log((trip_high - trip_low) * (gain_high - gain_low))
    for place, weight in zip(at, share, strict=True):
        trip_ratio = trip_low + (trip_high - trip_low) * float(place)
        piece = problem.slice(trip_ratio, ratios, (at, share))
        yield piece, piece.log_weight + np.log(share)[:, None] + math.log(weight) + size


def unit_rule(nodes: int) -> Rule:
    """Gauss and Legendre's places and weights on the interval from 0 to 1."""
    at, share = np.polynomial.legendre.leggauss(nodes)
    return (at + 1) / 2, share / 2


def _ranges(problem: ScoreProblem) -> tuple[tuple[float, float], tuple[float, float]]:
    """Where trip ratio and gain ratio have any posterior density to speak of."""
    rule = unit_rule(_COARSE_NOISES)
    trip_ratios, ratios = (
        np.geomspace(_NEXT_TO_NONE, most, _COARSE) for most in problem.largest_ratios
    )
    slices = (problem.slice(float(ratio), ratios, rule) for ratio in trip_ratios)
    density = np.array([np.logaddexp.reduce(piece.log_weight, axis=1) for piece in slices])
    return _range(trip_ratios, density.max(1)), _range(ratios, density.max(0))


def _range(places: Array, density: Array) -> tuple[float, float]:
    (likely,) = np.nonzero(density > density.max() - _NEGLIGIBLE)
    first, last = int(likely[0]), int(likely[-1])
    low = 0.0 if first <= 1 else float(places[first - 1])
    return low, float(places[min(last + 1, len(places) - 1)])
