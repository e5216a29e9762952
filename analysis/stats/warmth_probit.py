"""Yes or no by a threshold that is not known: a probit model of votes, summed over a grid.

P(yes) = Phi((figure + errors + trip effect - what was voted on) / s). The errors form a tree: a
root, under it kinds, under each the things of that kind, under each the sets with that thing. Each
step down adds a normal error, so that the sum over all of it is a sweep up and one down. The votes
of one trip in one set share a normal effect of standard deviation t; where two sets were there on
one trip, each has an effect of its own, which says a little less than one shared by both. Arrays
are (s, t, h): h is how far even odds lie above the figure.
"""

import math
from collections.abc import Callable, Sequence
from functools import cached_property, lru_cache

import numpy as np
from scipy.special import log_ndtr, ndtr  # type: ignore[import-untyped]

from .arrays import Array, Codes, Flags
from .quantile import normal_density

_MOST_KEPT = 32  # places worked out at a time, of a third of a megabyte each
_MOST_THINGS = 512  # what votes say of things, of as much each
_MOST_ROWS = 64  # of trips by spreads, averaged over effects at once


class Beliefs:
    """What the votes say at every place, passed up to the root and down again: weights (s, t, h).

    The places are the k sets, then for each of the m things another set with it, then for each of
    the kinds one with another thing of it. There may be thousands of sets and of things: what is
    said of one is worked where it is asked for, and little of it kept. ``own`` gives the log
    likelihood (s, t, h) of a set's votes, ``root`` (s, t, h) is the log prior; ``thing`` (k)
    numbers the thing of each set, ``kinds`` (m) the kind of each thing. ``kind_sds`` has for each
    kind the standard deviation of the error that all of its things share, and of that of each;
    ``set_sd`` is that of a set.
    """

    def __init__(
        self,
        above: Array,
        root: Array,
        own: Callable[[int], Array],
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
        self._known: dict[int, Array] = {}
        self._smoothers: dict[float, Array] = {}
        self._told: dict[int, Array] = {}
        self._sets: dict[int, list[int]] = {at: [] for at in range(len(kinds))}
        for at, number in enumerate(thing.tolist()):
            self._sets[number].append(at)

    def __len__(self) -> int:
        return len(self.thing) + len(self.kinds) + len(self.own_sds)

    def __getitem__(self, place: int) -> Array:
        """Weights (s, t, h) of one place."""
        if not -len(self) <= place < len(self):
            raise IndexError(place)
        at = place % len(self)
        if at not in self._kept:
            log = self._belief(at)
            weight = np.exp(log - log.max())
            _keep(self._kept, at, weight / weight.sum(), _MOST_KEPT)
        return self._kept[at]

    def _belief(self, at: int) -> Array:
        sets, things = len(self.thing), len(self.kinds)
        if at < sets:
            own = self.own(at)
            above_it = self._thing(int(self.thing[at])) - self._smooth(own, self.set_sd)
            belief: Array = self._smooth(above_it, self.set_sd) + own
            return belief
        if at < sets + things:
            return self._smooth(self._thing(at - sets), self.set_sd)
        kind = at - sets - things
        return self._smooth(self._by_kind[kind], math.hypot(self.own_sds[kind], self.set_sd))

    def _of_thing(self, number: int) -> Array:
        """What the votes in each set with a thing say of it."""
        if number not in self._told:
            told = np.zeros(self.root.shape)
            for at in self._sets[number]:
                told += self._smooth(self.own(at), self.set_sd)
            _keep(self._told, number, told, _MOST_THINGS)
        return self._told[number]

    def _up_of_thing(self, number: int) -> Array:
        return self._smooth(self._of_thing(number), self.own_sds[self.kinds[number]])

    @cached_property
    def _by_kind(self) -> list[Array]:
        """All that is known of each kind."""
        of_kind = [np.zeros(self.root.shape) for _ in self.shared_sds]
        for number, kind in enumerate(self.kinds):
            of_kind[kind] += self._up_of_thing(number)
        ups = [self._smooth(log, sd) for log, sd in zip(of_kind, self.shared_sds, strict=True)]
        in_all = self.root + sum(ups)
        return [
            self._smooth(in_all - up, sd) + log
            for up, sd, log in zip(ups, self.shared_sds, of_kind, strict=True)
        ]

    def _thing(self, number: int) -> Array:
        """All that is known of a thing: the same for every set with it."""
        if number not in self._known:
            kind = self.kinds[number]
            rest = self._by_kind[kind] - self._up_of_thing(number)
            known: Array = self._smooth(rest, self.own_sds[kind]) + self._of_thing(number)
            _keep(self._known, number, known, _MOST_KEPT)
        return self._known[number]

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


def _keep(kept: dict[int, Array], number: int, worked: Array, most: int) -> None:
    """Keep what was worked out, of so many at most; what was kept first goes first."""
    while len(kept) >= most:
        del kept[next(iter(kept))]
    kept[number] = worked


def shift_kernel(above: Array, sd: float) -> Array:
    """Matrix that averages a function on the grid over a normal shift of its argument.

    Exact for a function that is straight between points of the grid, which is even, and flat
    beyond it.
    """
    step, many = above[1] - above[0], len(above)
    # The grid is even, so that all depends on how many steps apart two points are.
    by = step * np.arange(-many, many + 1)
    ramp = by * ndtr(by / sd) + sd * normal_density(by / sd)  # mean of by plus the shift, above 0
    slope, apart = np.diff(ramp) / step, np.arange(many)[:, None] - np.arange(many) + many
    rising, falling = slope[apart], slope[apart - 1]
    kernel: Array = rising - falling
    kernel[:, 0] = 1 - falling[:, 0]
    kernel[:, -1] = rising[:, -1]
    return kernel


@lru_cache(maxsize=2)
def _every_kernel(above: tuple[float, ...], trip_spreads: tuple[float, ...]) -> Array:
    """Matrix (h, t h): one product averages over the effects of every spread."""
    return np.hstack([shift_kernel(np.array(above), spread).T for spread in trip_spreads])


class VoteLikelihood:
    """The log likelihood (s, t, h) of the votes in each set, over all trip effects.

    By vote: the ``margin`` by which the set's figure lies above what was voted on, whether the vote
    is a yes, and the numbers of set and trip. ``grid``: places of h, s and t.
    """

    def __init__(
        self, margin: Array, yes: Flags, of_set: Codes, trip: Codes, grid: tuple[Array, ...]
    ) -> None:
        self._margin, self._sign, self._trip = margin, np.where(yes, 1.0, -1.0), trip
        self._above, self._spreads, trip_spreads = grid
        self._kernels = _every_kernel(tuple(self._above.tolist()), tuple(trip_spreads.tolist()))
        self._shape = (len(self._spreads), len(trip_spreads), len(self._above))
        order = np.argsort(of_set, kind="stable")
        numbers, starts = np.unique(of_set[order], return_index=True)
        votes = np.split(order, starts[1:])
        self._votes = dict(zip(numbers.tolist(), votes, strict=True)) if len(order) else {}

    def __call__(self, number: int) -> Array:
        """Of one set; nothing is known of one without a vote."""
        total = np.zeros(self._shape)
        votes = self._votes.get(number)
        if votes is None:
            return total
        trips = self._trip[votes]
        order = votes[np.argsort(trips, kind="stable")]
        starts = np.flatnonzero(np.diff(self._trip[order], prepend=-1))
        scaled = self._sign[order, None] * (self._margin[order, None] + self._above)
        # Few trips are averaged for several spreads at once: the kernels are large, and read once.
        several = max(1, _MOST_ROWS // len(starts))
        for first in range(0, len(self._spreads), several):
            spreads = self._spreads[first : first + several]
            by_trip = np.add.reduceat(log_ndtr(scaled / spreads[:, None, None]), starts, axis=1)
            peak = by_trip.max(2, keepdims=True)
            share = np.exp(by_trip - peak).reshape(-1, len(self._above))
            averaged = np.log(np.maximum(share @ self._kernels, 1e-300))
            of_trip = averaged.reshape(len(spreads), len(starts), *self._shape[1:])
            total[first : first + several] = of_trip.sum(1) + peak.sum((1, 2))[:, None, None]
        return total
