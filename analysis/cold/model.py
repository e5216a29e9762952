"""How cold is too cold: a probit model of warmth votes, integrated in full.

P(too cold | low) = Phi((rating + offset + shift of the kind of rating + error of the figure +
deviation of the sleep system + trip effect - low) / s). Too cold is a warmth vote of -2 or -3 (ISO
7730 counts votes beyond +-1 as dissatisfied). Ratings come on the limit scale (`cold.ratings`),
where the priors of shift and error have mean 0. In degrees Celsius: offset Normal(0, 5), deviations
Normal(0, 2), log s Normal(log 3, .5), and nights of a trip share an effect whose standard deviation
is half-normal with scale 2. Without that effect the limits are too sure of themselves: 90 %
intervals hold 80 to 85 % where it is 2 to 4 °C, with it 89 to 94.

Everything is summed over a grid. What is not known forms a tree: the sleeper, under it the kinds of
rating, under each the things that are rated, under each the sleep systems with it. Each step down
adds a normal error, so that the sum over all of it is a sweep up and one down. Where two sleep
systems were used on one trip, each has a trip effect of its own, which says a little less than one
shared by both.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np

from ..stats.arrays import Array, Codes
from ..stats.quantile import normal_density
from .ratings import RATING_KINDS, kind_of

OFFSET_SD_C = 5.0
DEVIATION_SD_C = 2.0
SPREAD_C = 3.0
SPREAD_LOG_SD = 0.5
TRIP_SD_C = 2.0
_STEP_C = 0.25
_REACH_C = 24.0
_SPREADS = 19
_TRIP_SPREADS = 12
_FAR = 3.2  # standard deviations of a prior, or scales of a half-normal one
_MOST_KEPT = 32  # places worked out at a time, of a third of a megabyte each
_KIND_NAMES = tuple(RATING_KINDS)


@dataclass(frozen=True, slots=True, eq=False)
class ColdNights:
    """Judged nights, n of them, k sleep systems and m rated things.

    ``system`` and ``trip`` (n) number the night's sleep system and trip from 0; ``low_c`` (n);
    ``too_cold`` (n) is 1 where the vote says so; ``rated_c`` (k) on the limit scale. ``thing`` (k)
    numbers the thing whose rating that is, ``kinds`` (m) says of each whose figure it has. Without
    them every system has a thing of its own, rated by its limit. A system may have no night.
    """

    system: Codes
    trip: Codes
    low_c: Array
    too_cold: Array
    rated_c: Array
    thing: Codes | None = None
    kinds: tuple[str, ...] | None = None


class Weights(Protocol):
    """One (s, t, h) for each place, summing to 1."""

    def __getitem__(self, place: int, /) -> Array: ...


@dataclass(frozen=True, slots=True, eq=False)
class ColdFit:
    """Posterior over a grid: where even odds lie above the rating on the limit scale (h), of one
    night's spread (s) and of the trips' (t), in degrees Celsius.

    ``weight[place]`` (s, t, h): the k sleep systems come first, then for each of the m rated things
    a system with it that was never slept in, then for each kind of rating one with a thing never
    slept in; -1 is that of a limit rating. `unslept_with` and `unslept_of` give the places.
    """

    above_c: Array
    spread_c: Array
    trip_spread_c: Array
    weight: Weights
    systems: int = 0
    things: int = 0

    def unslept_with(self, thing: int) -> int:
        """The place of another system with a rated thing that was slept in."""
        return self.systems + thing

    def unslept_of(self, rated_as: str) -> int:
        """The place of a system with a thing never slept in, rated so."""
        return self.systems + self.things + _ORDER.index(kind_of(rated_as))


_ORDER = tuple(reversed(_KIND_NAMES))  # the scale's own kind stands last


def fit_cold(nights: ColdNights) -> ColdFit:
    """The posterior of every sleep system, and of systems never slept in."""
    above = np.arange(-_REACH_C, _REACH_C + _STEP_C / 2, _STEP_C)
    deviates = np.linspace(-_FAR, _FAR, _SPREADS)
    spreads = SPREAD_C * np.exp(SPREAD_LOG_SD * deviates)
    at, share = np.polynomial.legendre.leggauss(_TRIP_SPREADS)
    trip_spreads = (at + 1) / 2 * _FAR * TRIP_SD_C
    log_prior = np.log(share) - 0.5 * deviates[:, None] ** 2 - 0.5 * (trip_spreads / TRIP_SD_C) ** 2
    log_root = log_prior[..., None] - 0.5 * (above / OFFSET_SD_C) ** 2
    systems = len(nights.rated_c)
    thing = np.arange(systems) if nights.thing is None else nights.thing
    kinds = ("limit",) * systems if nights.kinds is None else nights.kinds
    own = _by_system(nights, above, spreads, trip_spreads)
    tree = _Tree(above, log_root, own, thing, kinds)
    return ColdFit(above, spreads, trip_spreads, tree, systems, len(kinds))


class _Tree:
    """What the nights say at every place, passed up to the sleeper and down again, as logarithms.

    The places of systems are worked where they are asked for; a logbook may have thousands.
    """

    def __init__(
        self, above: Array, root: Array, own: Array, thing: Codes, kinds: Sequence[str]
    ) -> None:
        self.above, self.own, self.thing = above, own, thing
        self.kinds = [_ORDER.index(kind_of(kind)) for kind in kinds]
        self.root = root
        self._kept: dict[int, Array] = {}
        self._smoothers: dict[float, Array] = {}

    def __len__(self) -> int:
        return len(self.own) + len(self.kinds) + len(_ORDER)

    def __iter__(self) -> Iterator[Array]:
        return (self[place] for place in range(len(self)))

    def __getitem__(self, place: int) -> Array:
        """Weights (s, t, h) of one place."""
        if not -len(self) <= place < len(self):
            raise IndexError(place)
        at = place % len(self)
        if at not in self._kept:
            log = self._belief(at)
            weight = np.exp(log - log.max())
            while len(self._kept) >= _MOST_KEPT:
                del self._kept[next(iter(self._kept))]
            self._kept[at] = weight / weight.sum()
        return self._kept[at]

    def _belief(self, at: int) -> Array:
        systems, things = len(self.own), len(self.kinds)
        if at < systems:
            thing = int(self.thing[at])
            above_it = self._things[thing] - self._up_of_system(at)
            belief: Array = self._smooth(above_it, DEVIATION_SD_C) + self.own[at]
            return belief
        if at < systems + things:
            return self._smooth(self._things[at - systems], DEVIATION_SD_C)
        kind = at - systems - things
        spread = math.hypot(RATING_KINDS[_ORDER[kind]].own_sd_c, DEVIATION_SD_C)
        return self._smooth(self._by_kind[kind], spread)

    def _up_of_system(self, system: int) -> Array:
        return self._smooth(self.own[system], DEVIATION_SD_C)

    @cached_property
    def _of_things(self) -> Array:
        """What the nights with each thing say of its rating (m, s, t, h)."""
        of_things = np.zeros((len(self.kinds), *self.root.shape))
        for system, thing in enumerate(self.thing.tolist()):
            of_things[thing] += self._up_of_system(system)
        return of_things

    @cached_property
    def _up_of_things(self) -> list[Array]:
        return [
            self._smooth(of_thing, RATING_KINDS[_ORDER[kind]].own_sd_c)
            for of_thing, kind in zip(self._of_things, self.kinds, strict=True)
        ]

    @cached_property
    def _by_kind(self) -> list[Array]:
        """All that is known of each kind."""
        shared = [RATING_KINDS[name].shared_sd_c for name in _ORDER]
        of_kind = [np.zeros(self.root.shape) for _ in _ORDER]
        for up, kind in zip(self._up_of_things, self.kinds, strict=True):
            of_kind[kind] += up
        ups = [self._smooth(log, sd) for log, sd in zip(of_kind, shared, strict=True)]
        sleeper = self.root + sum(ups)
        return [
            self._smooth(sleeper - up, sd) + log
            for up, sd, log in zip(ups, shared, of_kind, strict=True)
        ]

    @cached_property
    def _things(self) -> list[Array]:
        """All that is known of each thing."""
        return [
            self._smooth(self._by_kind[kind] - up, RATING_KINDS[_ORDER[kind]].own_sd_c) + of_thing
            for up, kind, of_thing in zip(
                self._up_of_things, self.kinds, self._of_things, strict=True
            )
        ]

    def _smooth(self, log: Array, sd_c: float) -> Array:
        """The logarithm of a function averaged over a normal error of its argument."""
        if sd_c == 0.0:
            return log
        if sd_c not in self._smoothers:
            step = self.above[1] - self.above[0]
            nearby = normal_density((self.above[:, None] - self.above) / sd_c)
            self._smoothers[sd_c] = nearby * step / sd_c
        peak = log.max(-1, keepdims=True)
        smoothed = np.exp(log - peak) @ self._smoothers[sd_c].T
        averaged: Array = np.log(np.maximum(smoothed, 1e-300)) + peak
        return averaged


def trip_kernel(above: Array, sd_c: float) -> Array:
    """Matrix that averages a function on the grid over a normal shift of its argument.

    Exact for a function that is straight between grid points and flat beyond the grid.
    """
    from scipy.special import ndtr  # type: ignore[import-untyped]

    step = above[1] - above[0]
    apart = above[:, None] - above

    def ramp(by: Array) -> Array:
        """Mean of the positive part of ``by`` plus the shift."""
        z = by / sd_c
        mean: Array = by * ndtr(z) + sd_c * normal_density(z)
        return mean

    rising = (ramp(apart + step) - ramp(apart)) / step
    falling = (ramp(apart) - ramp(apart - step)) / step
    kernel: Array = rising - falling
    kernel[:, 0] = 1 - falling[:, 0]
    kernel[:, -1] = rising[:, -1]
    return kernel


def _by_system(nights: ColdNights, above: Array, spreads: Array, trip_spreads: Array) -> Array:
    """Log likelihood (k, s, t, h) of the nights of each system, trip effects averaged over."""
    from scipy.special import log_ndtr

    shape = len(nights.rated_c), len(spreads), len(trip_spreads), len(above)
    log_likelihood = np.zeros(shape)
    if not len(nights.low_c):
        return log_likelihood
    _, group = np.unique(np.stack([nights.trip, nights.system]), axis=1, return_inverse=True)
    group = np.ravel(group)
    order = np.argsort(group, kind="stable")
    starts = np.flatnonzero(np.diff(group[order], prepend=-1))
    colder = (nights.rated_c[nights.system] - nights.low_c)[order, None] + above
    sign = np.where(nights.too_cold[order] > 0, 1.0, -1.0)[:, None]
    of_group = nights.system[order][starts]
    kernels = [trip_kernel(above, float(t)) for t in trip_spreads]
    for place, spread in enumerate(spreads):
        votes = np.add.reduceat(log_ndtr(sign * colder / spread), starts, axis=0)
        peak = votes.max(1, keepdims=True)
        shares = np.exp(votes - peak)
        for other, kernel in enumerate(kernels):
            averaged = np.log(np.maximum(shares @ kernel.T, 1e-300)) + peak
            np.add.at(log_likelihood[:, place, other], of_group, averaged)
    return log_likelihood
