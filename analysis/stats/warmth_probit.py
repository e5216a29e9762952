"""Yes or no by a threshold that is not known: a probit model of votes, summed over a grid.

P(yes) = Phi((figure + errors + trip effect - what was voted on) / s). The errors form a tree: a
root, under it kinds, under each the things of that kind, under each the sets with that thing. Each
step down adds a normal error, so that the sum over all of it is a sweep up and one down. The votes
of one trip in one set share a normal effect of standard deviation t; where two sets were there on
one trip, each has an effect of its own, which says a little less than one shared by both. Arrays
are (s, t, h): h is how far even odds lie above the figure.
"""

import math
from collections.abc import Sequence
from functools import cached_property

import numpy as np
from scipy.special import log_ndtr, ndtr  # type: ignore[import-untyped]

from .arrays import Array, Codes, Flags
from .quantile import normal_density

_MOST_KEPT = 32  # places worked out at a time, of a third of a megabyte each


class Beliefs:
    """What the votes say at every place, passed up to the root and down again: weights (s, t, h).

    The places are the k sets, then for each of the m things another set with it, then for each of
    the kinds one with another thing of it. Those of sets are worked where they are asked for; there
    may be thousands. ``own`` (k, s, t, h) is the log likelihood of each set's votes, ``root``
    (s, t, h) the log prior; ``thing`` (k) numbers the thing of each set, ``kinds`` (m) the kind of
    each thing. ``kind_sds`` has for each kind the standard deviation of the error that all of its
    things share, and of that of each; ``set_sd`` is that of a set.
    """

    def __init__(
        self,
        above: Array,
        root: Array,
        own: Array,
        thing: Codes,
        kinds: Sequence[int],
        kind_sds: Sequence[tuple[float, float]],
        set_sd: float,
    ) -> None:
        """Take what is known; nothing is worked out yet."""
        self.above, self.root, self.own, self.thing = above, root, own, thing
        self.kinds, self.set_sd = kinds, set_sd
        self.shared_sds = [shared for shared, _ in kind_sds]
        self.own_sds = [own_sd for _, own_sd in kind_sds]
        self._kept: dict[int, Array] = {}
        self._smoothers: dict[float, Array] = {}

    def __len__(self) -> int:
        return len(self.own) + len(self.kinds) + len(self.own_sds)

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
        sets, things = len(self.own), len(self.kinds)
        if at < sets:
            thing = int(self.thing[at])
            above_it = self._things[thing] - self._up_of_set(at)
            belief: Array = self._smooth(above_it, self.set_sd) + self.own[at]
            return belief
        if at < sets + things:
            return self._smooth(self._things[at - sets], self.set_sd)
        kind = at - sets - things
        return self._smooth(self._by_kind[kind], math.hypot(self.own_sds[kind], self.set_sd))

    def _up_of_set(self, at: int) -> Array:
        return self._smooth(self.own[at], self.set_sd)

    @cached_property
    def _of_things(self) -> Array:
        """What the votes in each thing say of it (m, s, t, h)."""
        of_things = np.zeros((len(self.kinds), *self.root.shape))
        for at, thing in enumerate(self.thing.tolist()):
            of_things[thing] += self._up_of_set(at)
        return of_things

    @cached_property
    def _up_of_things(self) -> list[Array]:
        return [
            self._smooth(of_thing, self.own_sds[kind])
            for of_thing, kind in zip(self._of_things, self.kinds, strict=True)
        ]

    @cached_property
    def _by_kind(self) -> list[Array]:
        """All that is known of each kind."""
        of_kind = [np.zeros(self.root.shape) for _ in self.shared_sds]
        for up, kind in zip(self._up_of_things, self.kinds, strict=True):
            of_kind[kind] += up
        ups = [self._smooth(log, sd) for log, sd in zip(of_kind, self.shared_sds, strict=True)]
        in_all = self.root + sum(ups)
        return [
            self._smooth(in_all - up, sd) + log
            for up, sd, log in zip(ups, self.shared_sds, of_kind, strict=True)
        ]

    @cached_property
    def _things(self) -> list[Array]:
        """All that is known of each thing."""
        return [
            self._smooth(self._by_kind[kind] - up, self.own_sds[kind]) + of_thing
            for up, kind, of_thing in zip(
                self._up_of_things, self.kinds, self._of_things, strict=True
            )
        ]

    def _smooth(self, log: Array, sd: float) -> Array:
        """The logarithm of a function averaged over a normal error of its argument."""
        if sd == 0.0:
            return log
        if sd not in self._smoothers:
            step = self.above[1] - self.above[0]
            nearby = normal_density((self.above[:, None] - self.above) / sd)
            self._smoothers[sd] = nearby * step / sd
        peak = log.max(-1, keepdims=True)
        smoothed = np.exp(log - peak) @ self._smoothers[sd].T
        averaged: Array = np.log(np.maximum(smoothed, 1e-300)) + peak
        return averaged


def shift_kernel(above: Array, sd: float) -> Array:
    """Matrix that averages a function on the grid over a normal shift of its argument.

    Exact for a function that is straight between grid points and flat beyond the grid.
    """
    step = above[1] - above[0]
    apart = above[:, None] - above

    def ramp(by: Array) -> Array:
        """Mean of the positive part of ``by`` plus the shift."""
        z = by / sd
        mean: Array = by * ndtr(z) + sd * normal_density(z)
        return mean

    rising = (ramp(apart + step) - ramp(apart)) / step
    falling = (ramp(apart) - ramp(apart - step)) / step
    kernel: Array = rising - falling
    kernel[:, 0] = 1 - falling[:, 0]
    kernel[:, -1] = rising[:, -1]
    return kernel


def log_likelihood(
    margin: Array, yes: Flags, of_set: Codes, trip: Codes, sets: int, grid: tuple[Array, ...]
) -> Array:
    """Log likelihood (k, s, t, h) of the votes in each of ``sets`` sets, over all trip effects.

    By vote: the ``margin`` by which the set's figure lies above what was voted on, whether the vote
    is a yes, and the numbers of set and trip. ``grid``: places of h, s and t.
    """
    above, spreads, trip_spreads = grid
    total = np.zeros((sets, len(spreads), len(trip_spreads), len(above)))
    if not len(margin):
        return total
    _, group = np.unique(np.stack([trip, of_set]), axis=1, return_inverse=True)
    group = np.ravel(group)
    order = np.argsort(group, kind="stable")
    starts = np.flatnonzero(np.diff(group[order], prepend=-1))
    reach = margin[order, None] + above
    sign = np.where(yes[order], 1.0, -1.0)[:, None]
    of_group = of_set[order][starts]
    kernels = [shift_kernel(above, float(t)) for t in trip_spreads]
    for place, spread in enumerate(spreads):
        votes = np.add.reduceat(log_ndtr(sign * reach / spread), starts, axis=0)
        peak = votes.max(1, keepdims=True)
        shares = np.exp(votes - peak)
        for other, kernel in enumerate(kernels):
            averaged = np.log(np.maximum(shares @ kernel.T, 1e-300)) + peak
            np.add.at(total[:, place, other], of_group, averaged)
    return total
