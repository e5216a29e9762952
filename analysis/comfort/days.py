"""Scored days as the comfort model takes them: what was along, what the day was like."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np

from ...tripdata.contract import ASPECTS
from ...tripdata.errors import QuestionError
from ..stats.arrays import Array, Flags
from ..stats.score_model.grid import ComfortData
from ..store.rows import Store, ask
from ..store.scope import Scope
from .ease import Covariate, ease_of, trip_numbers
from .things import Thing, carried_for_comfort, things_along

Stays = Mapping[tuple[str, str], Sequence[tuple[date, date]]]


@dataclass(frozen=True, slots=True)
class Bundle:
    """Items that always travelled together on the scored days of an aspect.

    ``days_with`` and ``days_without``: scored days on which they were along, and were not.
    ``weight_g`` is missing where one of them is not weighed.
    """

    things: tuple[Thing, ...]
    days_with: int
    days_without: int

    @classmethod
    def of(cls, things: Sequence[Thing], days: Flags) -> "Bundle":
        """Things by the days (n), whether they were along."""
        days_with = int(days.sum())
        return cls(tuple(things), days_with, len(days) - days_with)

    @property
    def bundle(self) -> str:
        """A short name, unique within its aspect."""
        more = f"+{len(self.things) - 1}" if len(self.things) > 1 else ""
        return f"{self.things[0].item}{more}"

    @property
    def names(self) -> tuple[str, ...]:
        """The items' names."""
        return tuple(thing.name for thing in self.things)

    @property
    def for_comfort(self) -> bool:
        """Whether all of it is carried for comfort."""
        return all(carried_for_comfort(thing) for thing in self.things)

    @property
    def weight_g(self) -> float | None:
        """What they weigh together."""
        loads = [thing.load_g for thing in self.things]
        known = [load for load in loads if load is not None]
        return sum(known) if len(known) == len(loads) else None


@dataclass(frozen=True, slots=True, eq=False)
class AspectDays:
    """The scored days of one aspect, the earliest first.

    ``bundles`` are those along on some of the days and not on others, in the order of the model's
    columns; ``always`` is what was along on every one of them, None where nothing was. ``unused``
    came along and was never taken out as far as use is noted: it cannot have added to a score, and
    is not judged. ``rows`` holds a tuple (trip, day) for each day. ``blank``: the share of ease
    that is not written down, 0 to 1.
    """

    aspect: str
    data: ComfortData
    bundles: tuple[Bundle, ...]
    always: Bundle | None
    unused: tuple[Bundle, ...]
    covariates: tuple[Covariate, ...]
    rows: tuple[tuple[str, date], ...]
    blank: float

    @property
    def along(self) -> tuple[Bundle, ...]:
        """What was along on any of the days, what was on all of them last."""
        return self.bundles if self.always is None else (*self.bundles, self.always)


EVERY_TRIP = Scope()


def comfort_days(store: Store, scope: Scope = EVERY_TRIP) -> tuple[AspectDays, ...]:
    """The scored days of every aspect that has any, in the order of ``ASPECTS``.

    ``scope``: of trips that start in a period only. Raises QuestionError where all are of others.
    """
    since, until = scope.since or date.min, scope.until or date.max
    things = things_along(store)
    stays: defaultdict[tuple[str, str], list[tuple[date, date]]] = defaultdict(list)
    for row in ask(store, "comfort/comfort_stays"):
        stays[row["trip"], row["item"]].append((row["from_on"], row["until_on"]))
    days: defaultdict[str, list[dict[str, Any]]] = defaultdict(list)
    scored = ask(store, "comfort/comfort_days")
    for row in scored:
        if since <= row["start_on"] <= until:
            days[row["aspect"]].append(row)
    if scored and not days:
        first, last = scored[0]["start_on"], scored[-1]["start_on"]
        raise QuestionError(
            f"no trip of that period has a comfort score; those that have one start from {first} "
            f"to {last}"
        )
    return tuple(_aspect(a, days[a], things, stays) for a in ASPECTS if days[a])


def _aspect(
    aspect: str, days: Sequence[Mapping[str, Any]], things: Sequence[Thing], stays: Stays
) -> AspectDays:
    along = _along(aspect, days, things, stays)
    bundles, columns, always = _bundles(along, things)
    unused = _unused(along, things)
    scores = np.array([float(day["score"]) for day in days])
    sizes = np.array([float(len(bundle.things)) for bundle in bundles])
    comforts = np.array([bundle.for_comfort for bundle in bundles], dtype=bool)
    beside = [column for bundle, column in unused if bundle.for_comfort]
    ease = ease_of(
        aspect, days, columns, comforts, np.array(beside, dtype=float).T if beside else None
    )
    return AspectDays(
        aspect=aspect,
        data=ComfortData(
            scores,
            trip_numbers(days),
            columns,
            sizes,
            comforts,
            ease.table,
            slope_sds=ease.slope_sds,
            doubts=ease.doubts,
        ),
        bundles=bundles,
        always=always,
        unused=tuple(bundle for bundle, _ in unused),
        covariates=ease.covariates,
        rows=tuple((day["trip"], day["day"]) for day in days),
        blank=ease.blank,
    )


def _along(
    aspect: str, days: Sequence[Mapping[str, Any]], things: Sequence[Thing], stays: Stays
) -> Flags:
    """Days by things, whether it was there; a night is there until the day before the last."""
    night = aspect == "sleep"
    by_trip: defaultdict[str, list[tuple[int, date]]] = defaultdict(list)
    for number, day in enumerate(days):
        by_trip[day["trip"]].append((number, day["day"]))
    place = {thing.item: number for number, thing in enumerate(things)}
    along = np.zeros((len(days), len(things)), dtype=bool)
    for (trip, item), spans in stays.items():
        for number, when in by_trip.get(trip, ()):
            if any(a <= when and (when < b if night else when <= b) for a, b in spans):
                along[number, place[item]] = True
    return along


def _bundles(
    along: Flags, things: Sequence[Thing]
) -> tuple[tuple[Bundle, ...], Array, Bundle | None]:
    """Things grouped by the days they were along on, those that never were left out."""
    groups: defaultdict[bytes, list[int]] = defaultdict(list)
    for column, thing in enumerate(things):
        if not thing.never_used:
            groups[along[:, column].tobytes()].append(column)
    apart: list[tuple[Bundle, Flags]] = []
    always: Bundle | None = None
    for columns in groups.values():
        days = along[:, columns[0]]
        bundle = Bundle.of([things[c] for c in columns], days)
        if bundle.days_with and not bundle.days_without:
            always = bundle
        elif bundle.days_with:
            apart.append((bundle, days))
    table = np.zeros((len(along), len(apart)))
    for place, (_, days) in enumerate(apart):
        table[:, place] = days
    return tuple(bundle for bundle, _ in apart), table, always


def _unused(along: Flags, things: Sequence[Thing]) -> list[tuple[Bundle, Flags]]:
    """What came along and was never taken out, each by itself."""
    pairs = zip(things, along.T, strict=True)
    return [(Bundle.of([t], days), days) for t, days in pairs if t.never_used and days.any()]
