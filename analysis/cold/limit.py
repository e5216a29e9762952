"""How cold one can sleep in each sleep system, moving from its rating as nights are slept in it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache, lru_cache
from typing import Literal

import numpy as np

from ...tripdata.contract import TOO_COLD_VOTE
from ..stats.arrays import Array, Codes
from ..stats.constants import LEVEL, TAILS
from ..stats.estimate import Estimate
from ..stats.quantile import weighted_quantiles
from ..store.remember import remembered
from ..store.rows import Record, Store, ask
from .mild import draws_on_mild_nights, without_mild_nights
from .model import ColdFit, ColdNights, fit_cold
from .votes import Votes, votes_of

COLD_SHARE = 0.2
"""At the own limit one night in five is too cold."""
_COLD_SHARE_DEVIATE = 0.8416  # of the standard normal distribution, exceeded by one in five
Basis = Literal["own", "rated"]
"""What a limit or a chance rests on: own judged nights in that sleep system, or its rating."""


@dataclass(frozen=True, slots=True)
class SleepSystem:
    """Sleep gear that was there together, and the rating among it that is lowest on one scale.

    ``rated_low_c`` is the figure as it was given, by ``rated_as``; ``as_limit_c`` the same brought
    to the limit scale (`cold.ratings`).
    """

    items: tuple[str, ...]
    names: tuple[str, ...]
    rated_item: str
    rated_name: str
    rated_low_c: float
    rated_as: str
    as_limit_c: float


@dataclass(frozen=True, slots=True)
class JudgedNight:
    """One night with a low and a warmth vote, and the number of its sleep system."""

    trip: str
    night: date
    low_c: float
    warmth: int
    system: int

    @property
    def too_cold(self) -> bool:
        """Whether the vote is beyond slightly cool."""
        return self.warmth <= TOO_COLD_VOTE


@dataclass(frozen=True, slots=True)
class NightApart:
    """A night that is left out: its trip, the name of the thing that had failed, and how badly."""

    trip: str
    title: str
    night: date
    name: str
    why: str


@dataclass(frozen=True, slots=True)
class ColdLimit:
    """The low at which one night in five is too cold, in one sleep system: median, 90 % interval.

    ``nights`` judged nights are behind it, ``cold_nights`` of them too cold; ``coldest_c`` is the
    lowest low among them. ``prior_share``: what is left of the prior's variance, 1 without a night.
    ``mild``: these nights were too mild to tell (`cold.mild`), so that it is that of the rating.
    """

    system: SleepSystem
    own_limit_c: Estimate
    nights: int
    cold_nights: int
    coldest_c: float | None
    prior_share: float
    mild: bool = False

    @property
    def basis(self) -> Basis:
        """Whether it rests on own nights in it, or on its rating."""
        return "own" if self.nights and not self.mild else "rated"


@dataclass(frozen=True, slots=True, eq=False)
class ColdCurve:
    """Chance that a night on a new trip is too cold, by its low: mean and 90 % band."""

    low_c: Array
    chance: Array
    chance_low: Array
    chance_high: Array


@dataclass(frozen=True, slots=True, eq=False)
class ColdLimits:
    """Limits of every rated sleep system that was slept in, by its names.

    ``unrated`` nights had sleep gear without a rating, ``unjudged`` ones no low or no vote;
    ``apart`` are those on which sleep or shelter gear had failed, a row a thing: they count
    nowhere. ``slept`` holds the sleep gear of every other night in order, whether rated or judged,
    ``slept_apart`` that of those. ``nights_in``: the judged nights by place.
    ``by_rating``: where nights were too mild to tell a limit, its place in the fit without a night.
    """

    limits: tuple[ColdLimit, ...]
    nights: tuple[JudgedNight, ...]
    unrated: int
    unjudged: int
    fit: ColdFit
    apart: tuple[NightApart, ...]
    votes: Votes
    slept: tuple[tuple[str, ...], ...]
    slept_apart: tuple[tuple[str, ...], ...]
    places: Mapping[tuple[str, ...], int]
    things: Mapping[str, int]
    nights_in: Mapping[int, Sequence[JudgedNight]]
    by_rating: Mapping[int, int] = field(default_factory=dict)

    def place_of(self, system: SleepSystem) -> int:
        """The place of a sleep system in the fit.

        Its own where it has judged nights; else that of another one with the thing whose rating
        it has, where that was slept in; else that of one never slept in.
        """
        if system.items in self.places:
            return self.places[system.items]
        thing = self.things.get(system.rated_item)
        if thing is not None:
            return self.fit.unslept_with(thing)
        return self.fit.unslept_of(system.rated_as)

    def limit_of(self, system: SleepSystem) -> ColdLimit:
        """The limit in any sleep system; ``basis`` says what it rests on.

        Every page asks here, so that one set has one limit wherever it is told.
        """
        place = self.place_of(system)
        own = self.nights_in.get(self.places.get(system.items, -1), ())
        (above, order), weight = _above_c(self.fit), self._limit_weight(place).ravel()
        ends = weighted_quantiles(above, weight, (0.5, *TAILS), order)
        middle, low, high = (system.as_limit_c + end for end in ends)
        return ColdLimit(
            system=system,
            own_limit_c=Estimate(middle, low, high, LEVEL),
            nights=len(own),
            cold_nights=sum(night.too_cold for night in own),
            coldest_c=min((night.low_c for night in own), default=None),
            prior_share=min(1.0, _variance(above, weight) / _prior_variance(system.rated_as)),
            mild=bool(own) and place in self.by_rating,
        )

    def _limit_weight(self, place: int) -> Array:
        if place in self.by_rating:
            unslept = _unslept()
            return unslept.weight[self.by_rating[place]]
        return self.fit.weight[place]

    def curve(self, system: SleepSystem, low_c: Array) -> ColdCurve:
        """The chance of a too cold night in a sleep system, at each low."""
        from scipy.special import ndtr  # type: ignore[import-untyped]

        fit = self.fit
        spread = np.hypot(fit.spread_c[:, None], fit.trip_spread_c)[..., None]
        weight = self._limit_weight(self.place_of(system)).ravel()
        chances = [
            ndtr((system.as_limit_c + fit.above_c - low) / spread).ravel() for low in low_c.tolist()
        ]
        bands = [weighted_quantiles(chance, weight, TAILS) for chance in chances]
        return ColdCurve(
            low_c,
            np.array([float(weight @ chance) for chance in chances]),
            np.array([low for low, _ in bands]),
            np.array([high for _, high in bands]),
        )


@remembered
def cold_limits(store: Store, before: date | None = None) -> ColdLimits:
    """The limits as the whole logbook has them, or its trips over by a day; plans are no nights."""
    every = ask(store, "cold/cold_nights", before=before)
    rows = [row for row in every if not row["set_apart"]]
    rated = [row for row in rows if row["as_limit_c"] is not None]
    systems = sorted({system_of(row) for row in rated}, key=lambda s: (s.names, s.items))
    known = [row for row in rated if row["low_c"] is not None and row["warmth"] is not None]
    judged = {tuple(row["items"]) for row in known}
    places = {s.items: at for at, s in enumerate(s for s in systems if s.items in judged)}
    nights = tuple(
        JudgedNight(r["trip"], r["night"], r["low_c"], r["warmth"], places[tuple(r["items"])])
        for r in known
    )
    data, things = _data(nights, [s for s in systems if s.items in judged])
    nights_in: dict[int, list[JudgedNight]] = {}
    for night in nights:
        nights_in.setdefault(night.system, []).append(night)
    asleep = {(row["trip"], row["night"]) for row in every if row["set_apart"]}
    apart = [NightApart(**row) for row in ask(store, "store/nights_apart")]
    limits = ColdLimits(
        limits=(),
        nights=nights,
        unrated=len(rows) - len(rated),
        unjudged=len(rated) - len(nights),
        fit=fit_cold(data),
        apart=tuple(night for night in apart if (night.trip, night.night) in asleep),
        votes=votes_of(rated),
        slept=tuple(tuple(row["items"]) for row in rows),
        slept_apart=tuple(tuple(row["items"]) for row in every if row["set_apart"]),
        places=places,
        things=things,
        nights_in=nights_in,
    )
    limits, found = _without_mild(limits, [s for s in systems if s.items in judged])
    for system in thing_by_thing(systems):
        if system not in found:
            found[system] = limits.limit_of(system)
    return replace(limits, limits=tuple(found[system] for system in systems))


def sets_slept_in(store: Store, before: date) -> int:
    """How many sleep sets there were on nights of trips over by that day, rated or not."""
    return len({tuple(row["items"]) for row in ask(store, "cold/cold_nights", before=before)})


def _without_mild(
    limits: ColdLimits, systems: Sequence[SleepSystem]
) -> tuple[ColdLimits, dict[SleepSystem, ColdLimit]]:
    """The limits, going by the rating where no judged night was cold enough to tell.

    And those of the sets that still go by their own nights, which this does not change.
    """
    unslept = _unslept()
    by_own: dict[SleepSystem, ColdLimit] = {}
    mild: dict[int, float] = {}
    kinds: dict[int, tuple[int, str]] = {}
    placed = {system: place for place, system in enumerate(systems)}
    for system in thing_by_thing(systems):
        place, by_nights = placed[system], limits.limit_of(system)
        kinds[place] = limits.things[system.rated_item], system.rated_as
        if draws_on_mild_nights(
            by_nights.own_limit_c.value,
            system.as_limit_c + _rated_above_c(system.rated_as),
            system.as_limit_c,
            by_nights.coldest_c,
        ):
            mild[place] = (by_nights.coldest_c or 0.0) - system.as_limit_c
        else:
            by_own[system] = by_nights
    above = limit_above_c(unslept)
    fit, by_rating = without_mild_nights(limits.fit, unslept, above, kinds, mild)
    return replace(limits, fit=fit, by_rating=by_rating), by_own


def thing_by_thing(systems: Iterable[SleepSystem]) -> list[SleepSystem]:
    """In an order in which what sets of one rating and of one rated thing share is worked once."""
    return sorted(systems, key=lambda system: (system.as_limit_c, system.rated_item))


def system_of(row: Record) -> SleepSystem:
    """The sleep system of a row with its fields."""
    rated = ("rated_item", "rated_name", "rated_low_c", "rated_as", "as_limit_c")
    return SleepSystem(tuple(row["items"]), tuple(row["names"]), *(row[name] for name in rated))


def _data(
    nights: Sequence[JudgedNight], systems: Sequence[SleepSystem]
) -> tuple[ColdNights, dict[str, int]]:
    """What is fitted, and the number of every rated thing in it."""
    trips: dict[str, int] = {}
    things: dict[str, int] = {}
    kinds: list[str] = []
    for system in systems:
        if things.setdefault(system.rated_item, len(things)) == len(kinds):
            kinds.append(system.rated_as)
    data = ColdNights(
        system=np.array([n.system for n in nights], dtype=np.intp),
        trip=np.array([trips.setdefault(n.trip, len(trips)) for n in nights], dtype=np.intp),
        low_c=np.array([n.low_c for n in nights], dtype=float),
        too_cold=np.array([n.too_cold for n in nights], dtype=float),
        rated_c=np.array([s.as_limit_c for s in systems], dtype=float),
        thing=np.array([things[s.rated_item] for s in systems], dtype=np.intp),
        kinds=tuple(kinds),
    )
    return data, things


def limit_above_c(fit: ColdFit) -> Array:
    """How far the own limit lies above the rating on the limit scale, by point of the grid.

    The points are (s, t, h), flattened.
    """
    return _above_c(fit)[0]


def _above_c(fit: ColdFit) -> tuple[Array, Codes]:
    """`limit_above_c` and its order, rising."""
    grid = (fit.above_c, fit.spread_c, fit.trip_spread_c)
    return _on_grid(*(tuple(places.tolist()) for places in grid))


@lru_cache(maxsize=4)
def _on_grid(
    above_c: tuple[float, ...], spread_c: tuple[float, ...], trip_spread_c: tuple[float, ...]
) -> tuple[Array, Codes]:
    spread = np.hypot(np.array(spread_c)[:, None], np.array(trip_spread_c))[..., None]
    above: Array = (np.array(above_c) + _COLD_SHARE_DEVIATE * spread).ravel()
    return above, np.argsort(above, kind="stable")


def _variance(values: Array, weight: Array) -> float:
    mean = float(weight @ values)
    return float(weight @ (values - mean) ** 2)


@cache
def _unslept() -> ColdFit:
    """The fit before any night."""
    return fit_cold(_data((), ())[0])


@cache
def _rated_above_c(rated_as: str) -> float:
    """How far the middle of the own limit lies above the rating, before any night."""
    unslept = _unslept()
    above, order = _above_c(unslept)
    weight = unslept.weight[unslept.unslept_of(rated_as)].ravel()
    (middle,) = weighted_quantiles(above, weight, (0.5,), order)
    return middle


@cache
def _prior_variance(rated_as: str) -> float:
    """Variance of the own limit before any night, in square degrees."""
    unslept = _unslept()
    weight = unslept.weight[unslept.unslept_of(rated_as)]
    return _variance(limit_above_c(unslept), weight.ravel())
