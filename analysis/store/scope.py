"""Which trips a question looks back on: a period, a way of travelling, a season."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from typing import Any

import duckdb

from ...tripdata.errors import QuestionError
from ...tripdata.names import guess, normalised, shown
from ..display.words import count, days
from .rows import ask
from .typed import check_period, read_day, read_mode, read_season, where_named

BY_MODE = {
    "foot": "on foot",
    "bike": "by bike",
    "ebike": "by e-bike",
    "paddle": "by boat",
    "mixed": "by several means",
}
AFLOAT = ("paddle", "mixed")
"""Ways of travelling that take to the water, or may."""


def may_go_afloat(modes: Collection[str | None], systems: Collection[str]) -> bool:
    """Whether a way of travelling takes to the water or may, or something of a boat is along."""
    return "boat" in systems or any(mode in AFLOAT for mode in modes)


def by_mode(mode: str) -> str:
    """Return a way of travelling as a phrase: "on foot", "by bike", "by boat"."""
    return BY_MODE[mode]


def way_label(mode: str | None) -> str:
    """The same at the head of a line: "On foot", "By boat"; "Not noted" without one.

    Every page, table and picture names ways of travelling so; the words of the files stand in the
    files alone.
    """
    return "Not noted" if mode is None else f"{BY_MODE[mode][:1].upper()}{BY_MODE[mode][1:]}"


@dataclass(frozen=True, slots=True)
class Scope:
    """What is asked for. A trip belongs to the day on which it starts; both ends are included.

    ``season`` is a meteorological season and its year, as the table of trips has it. None: no
    matter which.
    """

    since: date | None = None
    until: date | None = None
    mode: str | None = None
    season: str | None = None

    @classmethod
    def of(cls, since: str = "", until: str = "", mode: str = "", season: str = "") -> "Scope":
        """Read what a person typed; empty text leaves a bound out. Raises QuestionError."""
        return cls(
            where_named("since", since, read_day),
            where_named("until", until, read_day),
            where_named("mode", mode, read_mode),
            where_named("season", season, read_season),
        )

    def __post_init__(self) -> None:
        check_period(self.since, self.until)

    @property
    def whole(self) -> bool:
        """Whether nothing is left out."""
        return self == Scope()


@dataclass(frozen=True, slots=True)
class ScopedTrip:
    """One trip of a scope. ``use_record`` is full, all_but, partial or none."""

    trip: str
    start_on: date
    end_on: date
    nights: int
    mode: str | None
    season: str
    use_record: str


@dataclass(frozen=True, slots=True)
class Scoped:
    """A scope and the trips in it that are no plans, the latest last."""

    scope: Scope
    trips: tuple[ScopedTrip, ...]

    @property
    def names(self) -> list[str]:
        """The trips' names."""
        return [t.trip for t in self.trips]

    @property
    def recorded(self) -> int:
        """Trips whose use was noted, at least in part."""
        return sum(t.use_record != "none" for t in self.trips)

    @property
    def text(self) -> str:
        """The trips in words: "28 trips by bike, 12 May 2023 – 8 November 2026"."""
        if not self.trips:
            return "no trips"
        how = f" {by_mode(self.scope.mode)}" if self.scope.mode else ""
        when = f" of {self.scope.season}" if self.scope.season else ""
        span = days(min(t.start_on for t in self.trips), max(t.end_on for t in self.trips))
        return f"{count(len(self.trips), 'trip')}{how}{when}, {span}"


def choose(connection: duckdb.DuckDBPyConnection, scope: Scope) -> Scoped:
    """The trips of a scope. Raises QuestionError where it has none, and says which there are."""
    season = None
    if scope.season is not None:
        season = _season(connection, scope.season)
    rows = ask(
        connection,
        "store/scope_trips",
        since=scope.since,
        until=scope.until,
        mode=scope.mode,
        season=season,
    )
    if not rows:
        raise QuestionError(_nothing(connection, scope))
    known = Scope(scope.since, scope.until, scope.mode, season)
    return Scoped(known, tuple(ScopedTrip(**row) for row in rows))


def _nothing(connection: duckdb.DuckDBPyConnection, scope: Scope) -> str:
    every = _every(connection)
    if not every:
        return (
            "expected a logbook with a trip that took place, found none; add a row to trip.csv "
            "and run `tarebook load`"
        )
    bounds = ", ".join(
        f"{name} {value}"
        for name, value in (
            ("since", scope.since),
            ("until", scope.until),
            ("mode", scope.mode),
            ("season", scope.season),
        )
        if value is not None
    )
    modes = sorted({t["mode"] for t in every if t["mode"]})
    by = f", by {', '.join(modes)}" if modes else ""
    return (
        f"expected a trip that took place ({bounds}), found none; the logbook has "
        f"{len(every)} from {every[0]['start_on']} to {every[-1]['start_on']}{by}"
    )


def _every(connection: duckdb.DuckDBPyConnection) -> list[dict[str, Any]]:
    return ask(connection, "store/scope_trips", since=None, until=None, mode=None, season=None)


def _season(connection: duckdb.DuckDBPyConnection, season: str) -> str:
    known: list[str] = list(dict.fromkeys(t["season"] for t in _every(connection)))
    words = set(normalised(season).split("_"))
    for each in known:
        if set(each.split()) == words:
            return each
    example = f", e.g. {shown(known[-1])}" if known else ""
    advice = guess(season, known, f"there are {', '.join(known) or 'none'}")
    raise QuestionError(
        f"season: expected one of this logbook{example}, got {shown(season)}; {advice}"
    )
