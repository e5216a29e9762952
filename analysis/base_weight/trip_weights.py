"""Base weight trip by trip: what each weighed, how cold it was, and what is left out, and why."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cached_property
from typing import Any

from ...tripdata.contract import SYSTEMS
from ...tripdata.errors import QuestionError
from ..store.rows import Store, ask
from ..store.scope import Scope
from ..store.typed import read_system, where_named
from .trip_design import Measure, Trip, measure_of

MOST_TRIPS = 3000
_EPOCH = date(2000, 1, 1)
_YEAR_DAYS = 365.25


def years_of(day: date) -> float:
    """A day as years of 365.25 days."""
    return (day - _EPOCH).days / _YEAR_DAYS


def day_of(years: float) -> date | None:
    """The day of `years_of`; None before the year 1900 or after the year 2999."""
    if not -100 < years < 999:
        return None
    return _EPOCH + timedelta(days=round(years * _YEAR_DAYS))


@dataclass(frozen=True, slots=True)
class Selection:
    """Which trips, and of which system; None for the whole base weight."""

    scope: Scope = field(default_factory=Scope)
    system: str | None = None

    @classmethod
    def of(cls, since: str = "", until: str = "", mode: str = "", system: str = "") -> "Selection":
        """Read what a person typed; empty text leaves a bound out. Raises QuestionError."""
        return cls(Scope.of(since, until, mode), where_named("system", system, read_system))


@dataclass(frozen=True, slots=True)
class TripWeight:
    """One trip. ``base_g`` is missing where nothing is carried as base or nothing of it weighed.

    ``left_out`` says why it is not counted: plan, day_trip (no night), nothing_carried (as base) or
    not_weighed (something of it; ``unweighed`` names what). The lows are the trip's lowest.
    ``unmarked``: food, fuel or worn clothes count in it, so that it has no class.
    """

    trip: str
    title: str
    start_on: date
    nights: int
    season: str
    mode: str | None
    base_g: float | None
    normal_low_c: float | None
    measured_low_c: float | None
    left_out: str | None
    unweighed: tuple[str, ...]
    unmarked: bool

    @property
    def years(self) -> float:
        """Its start as years."""
        return years_of(self.start_on)

    def low_c(self, measure: Measure) -> float | None:
        """The low of that kind."""
        return self.normal_low_c if measure == "normal" else self.measured_low_c

    @property
    def known_low_c(self) -> float | None:
        """The measured low, else the normal one."""
        return self.normal_low_c if self.measured_low_c is None else self.measured_low_c

    @property
    def season_name(self) -> str:
        """Winter, spring, summer or autumn, in lower case."""
        return self.season.split()[1]


@dataclass(frozen=True)
class TripWeights:
    """All trips asked for, the latest last."""

    selection: Selection
    trips: tuple[TripWeight, ...]

    @cached_property
    def counted(self) -> tuple[TripWeight, ...]:
        """The trips that count."""
        return tuple(t for t in self.trips if t.left_out is None)

    @property
    def years(self) -> float:
        """From the first trip that counts to the last."""
        return self.counted[-1].years - self.counted[0].years

    @cached_property
    def measure(self) -> Measure:
        """The kind of low by which trips are compared, one for all of them."""
        return measure_of(self.fitted())

    def fitted(self, base_g: Sequence[float] | None = None) -> list[Trip]:
        """The trips that count as a fit takes them, with their own weights or with others."""
        weights = [t.base_g or 0.0 for t in self.counted] if base_g is None else base_g
        return [
            Trip(t.trip, g, t.years, t.mode, t.normal_low_c, t.measured_low_c, t.nights)
            for t, g in zip(self.counted, weights, strict=True)
        ]


def trip_weights(store: Store, selection: Selection) -> TripWeights:
    """Every trip asked for; none is no error. Raises QuestionError where there are too many."""
    scope = selection.scope
    rows = ask(
        store,
        "base_weight/base_weight_trips",
        since=scope.since,
        until=scope.until,
        mode=scope.mode,
        system=selection.system,
    )
    if len(rows) > MOST_TRIPS:
        raise QuestionError(
            f"base weight over time: expected at most {MOST_TRIPS} trips, got {len(rows)}; "
            "narrow them with since, until or mode"
        )
    return TripWeights(selection, tuple(_trip_weight(**row) for row in rows))


def _trip_weight(
    *, plan: bool, base_rows: int, base_mg: int | None, unweighed: list[str], **about: Any
) -> TripWeight:
    known = base_rows and (base_mg or not unweighed)
    return TripWeight(
        **about,
        base_g=(base_mg or 0) / 1000 if known else None,
        left_out=_left_out(plan, about["nights"], base_rows, unweighed),
        unweighed=tuple(unweighed),
    )


def base_by_system(store: Store, weights: TripWeights) -> dict[str, list[float]]:
    """Base weight in g of each system that weighed anything, one value a trip that counts."""
    place = {t.trip: i for i, t in enumerate(weights.counted)}
    grams: dict[str, list[float]] = {}
    for row in ask(store, "base_weight/base_by_system", trips=list(place)):
        of_system = grams.setdefault(row["system"], [0.0] * len(place))
        of_system[place[row["trip"]]] = row["base_mg"] / 1000
    return {system: grams[system] for system in SYSTEMS if system in grams}


def _left_out(plan: bool, nights: int, base_rows: int, unweighed: Sequence[str]) -> str | None:
    if plan:
        return "plan"
    if not nights:
        return "day_trip"
    if not base_rows:
        return "nothing_carried"
    return "not_weighed" if unweighed else None
