"""What to leave, or to take, on the next mild trips to learn most about comfort.

How far a trip shrinks the variance of the gains does not depend on how it will be scored: it is
worked for likely values of the spreads, as for scores inside the scale, and averaged. A swap is
worth what it takes from the variance of the comforts' gains, over all aspects, beyond what the same
trip would take without it.

The next mild trip has no name, so the record cannot be asked whether it covers it: only leisure
things are ever named to be left at home, and of them nothing that is held back (`leaving`).
"""

import math
from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from ..stats.arrays import Array
from ..stats.constants import NINE_IN_TEN_SD
from ..stats.score_model.grid import Priors, ScoreProblem
from ..store.rows import Store
from ..usage.leaving import held_back
from .days import AspectDays
from .gain import AspectGains
from .things import COMFORT_SYSTEMS, Thing, carried_for_comfort

_SWAPS = 3
MOST_TRIPS_TO_SETTLE = 30
"""More trips than this are not counted."""
_LATELY = 5
_WORTH = 0.01  # of an item's own variance
_DIGITS = 12  # of a contrast: what comes of dividing is its own but for rounding


@dataclass(frozen=True, slots=True)
class Narrowing:
    """What a swap does to what is known of the item's gain in one aspect: 90 % half-widths, points.

    ``days_with`` of ``days`` scored days had it along.
    """

    aspect: str
    before: float
    after: float
    days_with: int
    days: int


@dataclass(frozen=True, slots=True)
class Swap:
    """One change on a coming mild trip.

    ``action`` is leave or take. ``variance_reduction``: what it takes from the variance of the
    comforts' gains, in square points. ``narrows``: of the item's own gain, most first.
    """

    rank: int
    thing: Thing
    action: str
    variance_reduction: float
    narrows: tuple[Narrowing, ...]


def never_left(store: Store) -> Container[str]:
    """Items that no swap may leave at home. Nothing counts as given up, which holds back more."""
    return held_back(store, date.min)


def next_swaps(aspects: Sequence[AspectGains], never_left: Container[str]) -> tuple[Swap, ...]:
    """The changes that would teach the most, at most three, the most instructive first.

    ``never_left``: items that must not be left at home, as `never_left` gives them.
    """
    comforts = _comforts(aspects)
    candidates = [
        item
        for item, thing in comforts.items()
        if _may_change(thing, aspects)
        and (not thing.usual or (thing.system in COMFORT_SYSTEMS and item not in never_left))
    ]
    totals = dict.fromkeys(candidates, 0.0)
    narrows: dict[str, list[Narrowing]] = {item: [] for item in candidates}
    for aspect in aspects:
        study = _Study(aspect, comforts)
        for item in candidates:
            lesson = study.learn(comforts[item])
            if lesson is not None:
                totals[item] += lesson[0]
                narrows[item].append(lesson[1])
    worth = [item for item in candidates if _is_worth(totals[item], narrows[item])]
    worth.sort(key=lambda item: (-totals[item], item))
    return tuple(
        Swap(
            rank,
            comforts[item],
            "leave" if comforts[item].usual else "take",
            totals[item],
            tuple(sorted(narrows[item], key=lambda n: (n.after**2 - n.before**2, n.aspect))),
        )
        for rank, item in enumerate(worth[:_SWAPS], start=1)
    )


def trips_to_settle(aspects: Sequence[AspectGains]) -> dict[tuple[str, str], int]:
    """How many swapped trips would tell the gain of a comfort from nothing, by aspect and item.

    Were the gain what it seems now: then the 90 % interval would end at 0. Each trip is taken to
    add as much precision as the next one. At most ``MOST_TRIPS_TO_SETTLE`` + 1; what is told apart
    already, and what was always along, has no entry.
    """
    comforts = _comforts(aspects)
    trips: dict[tuple[str, str], int] = {}
    for aspect in aspects:
        study = _Study(aspect, comforts)
        for gain in aspect.comforts:
            for thing in gain.bundle.things:
                lesson = study.learn(thing)
                if lesson is None or gain.gain.low > 0 or gain.gain.high < 0:
                    continue
                seems = abs(gain.gain.value) / len(gain.bundle.things)
                trips[aspect.aspect, thing.item] = _trips(lesson[1], seems)
    return trips


def _trips(narrowing: Narrowing, seems: float) -> int:
    step = narrowing.after**-2 - narrowing.before**-2
    wanted = max(seems, 1e-3) ** -2 - narrowing.before**-2
    if step <= 0 or wanted > MOST_TRIPS_TO_SETTLE * step:
        return MOST_TRIPS_TO_SETTLE + 1
    return max(1, math.ceil(wanted / step))


def _is_worth(total: float, narrows: Sequence[Narrowing]) -> bool:
    """Whether a swap teaches anything to speak of, about the item itself in the first place."""
    own = max((1 - (n.after / n.before) ** 2 for n in narrows), default=0.0)
    return total > 0 and own > _WORTH


def _comforts(aspects: Sequence[AspectGains]) -> dict[str, Thing]:
    things = _things(aspects)
    return {item: things[item] for item in sorted(things) if carried_for_comfort(things[item])}


def _things(aspects: Sequence[AspectGains]) -> dict[str, Thing]:
    """Everything along on a scored day of any aspect."""
    bundles = (bundle for aspect in aspects for bundle in aspect.days.along)
    return {thing.item: thing for bundle in bundles for thing in bundle.things}


def _may_change(thing: Thing, aspects: Sequence[AspectGains]) -> bool:
    """Whether it is owned still, and whether nothing hangs on it, nor it on what stays at home."""
    if thing.retired_on is not None:
        return False
    others = _things(aspects)
    if thing.usual:
        return not any(thing.item in other.needs for other in others.values() if other.usual)
    return all(need in others and others[need].usual for need in thing.needs)


class _Study:
    """What a trip like the usual ones would teach about the comforts in one aspect."""

    def __init__(self, aspect: AspectGains, comforts: Mapping[str, Thing]) -> None:
        days = aspect.days
        self._aspect, self._n = aspect.aspect, len(days.data.scores)
        self._scored = max(1, round(self._n / aspect.fit.trips))
        bundles = days.along
        things = [(b, thing) for b, bundle in enumerate(bundles) for thing in bundle.things]
        chosen = [(b, thing) for b, thing in things if thing.item in comforts]
        self._place = {thing.item: n for n, (_, thing) in enumerate(chosen)}
        self._with = [bundles[b].days_with for b, _ in chosen]
        self._bundle = np.array([b for b, _ in chosen], dtype=int)
        self._size = np.array([len(bundles[b].things) for b, _ in chosen], dtype=float)
        self._judged = self._bundle < len(days.bundles)
        self._comfort = np.array([bundles[b].for_comfort for b, _ in chosen], dtype=bool)
        along = _usually_along(days)
        self._along = np.append(along, 1.0)[np.minimum(self._bundle, len(along))]
        usual = np.concatenate([along - days.data.along.mean(0), [1.0]])
        problems: _Problems = {}
        self._nodes = [self._node(days, each, usual, problems) for each in aspect.fit.likely]

    def _node(
        self, days: AspectDays, spreads: Array, usual: Array, problems: "_Problems"
    ) -> tuple[Array, Array, float]:
        """For given spreads: the items' covariance, that with a usual day, a trip's variance."""
        c, p = len(self._size), len(days.bundles)
        rows = np.zeros((c + 1, p + days.data.covariates.shape[1] + 1))
        judged = np.flatnonzero(self._judged)
        rows[judged, self._bundle[judged]] = 1 / self._size[judged]
        rows[c, : len(usual)] = usual
        cov = _covariance(days, spreads, rows, problems)
        # What is along with others, or always, may differ within its bundle as the prior has it.
        own = np.where(self._comfort, spreads[0], spreads[1]) ** 2
        same = self._bundle[:, None] == self._bundle
        pooled = np.where(self._judged, own / self._size, 0.0)
        within = np.diag(own) - same * pooled[:, None]
        noise = float(spreads[2] ** 2 + spreads[3] ** 2 / self._scored)
        return (
            cov[:c, :c] + within,
            cov[:c, c],
            float(cov[c, c]) + noise,
        )

    def learn(self, thing: Thing) -> tuple[float, Narrowing] | None:
        """Variance taken away beyond the usual trip's, and the item's own narrowing.

        None where the item has never come along on a scored day of the aspect.
        """
        place = self._place.get(thing.item)
        if place is None:
            return None
        gained, before, after = 0.0, 0.0, 0.0
        for items, reach, variance in self._nodes:
            taken = []
            for wanted in (thing.usual, not thing.usual):
                step = float(wanted) - self._along[place]
                reached = reach + step * items[:, place]
                total = variance + 2 * step * reach[place] + step**2 * items[place, place]
                taken.append(reached**2 / total)
            gained += float((taken[1] - taken[0]).sum())
            before += float(items[place, place])
            after += float(items[place, place] - taken[1][place])
        n = len(self._nodes)
        return gained / n, Narrowing(
            self._aspect,
            NINE_IN_TEN_SD * (before / n) ** 0.5,
            NINE_IN_TEN_SD * (after / n) ** 0.5,
            self._with[place],
            self._n,
        )


def _usually_along(days: AspectDays) -> Array:
    """1 for each bundle that was along on most of the last scored trips."""
    last = np.unique(days.data.trips)[-_LATELY:]
    shares = [days.data.along[days.data.trips == trip].mean(0) for trip in last]
    usual: Array = (np.mean(shares, axis=0) > 0.5).astype(float)
    return usual


_Problems = dict[tuple[float, float], ScoreProblem]
"""By contrast: spreads of gains in the same proportion have the same directions of packing."""


def _covariance(days: AspectDays, spreads: Array, rows: Array, problems: _Problems) -> Array:
    """Covariance of sums of the bundles' gains and the fixed effects, given the spreads.

    ``rows`` (k, p + f): how much of each is in each sum.
    """
    comfort, rest, trip, noise = (float(s) for s in spreads)
    gain = max(comfort, rest)
    contrast = round(comfort / gain, _DIGITS), round(rest / gain, _DIGITS)
    if contrast not in problems:
        problems[contrast] = ScoreProblem(days.data, Priors(), contrast)
    problem = problems[contrast]
    ratio = (trip / noise) ** 2
    pull = ratio / (1 + ratio * problem.days)
    w = problem.p + problem.fixed
    cross = (problem.products - (problem.sums.T * pull) @ problem.sums)[:w, :w] / noise**2
    prior = np.concatenate([np.full(problem.p, gain**-2), problem.precision])
    gains, fixed = np.split(rows, [len(problem.roots)], axis=1)
    gains, loads = gains * problem.roots, problem.span.loads
    told = gains if loads is None else gains @ loads
    reach = np.hstack([told, fixed])
    covariance = reach @ np.linalg.inv(cross + np.diag(prior)) @ reach.T
    if loads is not None:
        covariance += gain**2 * (gains @ gains.T - told @ told.T)
    return np.asarray(covariance, dtype=np.float64)
