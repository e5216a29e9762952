"""Everything that the debrief of one trip shows, as data.

The tables' columns stand in `debrief_glossary`, their data types in `frames`.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

import duckdb

from ..catalogue.frames import typed_frame
from ..climate.normals import TripContext, trip_context
from ..store.rows import ask
from ..store.trip_choice import choose_past_trip
from . import glossary as words
from .changes import Changes, changes_since_previous
from .chores import Chore, chores
from .cold import with_limits
from .load import NeverOut, Weight, by_bag, never_out

if TYPE_CHECKING:
    import pandas as pd

TRACE_POINTS = 1500
_LOGGER = ("logger", "logger_part")


@dataclass(frozen=True, slots=True)
class TripFacts:
    """The trip itself. ``set_aside`` counts its records that could not be loaded.

    ``use_record`` is full, partial or none; ``items_used`` is missing unless it is full.
    """

    trip: str
    title: str
    start_on: date
    end_on: date
    nights: int
    season: str
    mode: str | None
    place: str | None
    use_record: str
    items_carried: int
    items_used: int | None
    set_aside: int


@dataclass(frozen=True, slots=True)
class ColdestNight:
    """The night with the lowest low, and how it was slept.

    ``limit_c`` and what follows it are those of `debrief_cold.with_limits`. ``margin_c`` is the low
    less that limit, in kelvins: below 0 it was colder.
    """

    night: date
    low_c: float
    low_source: str
    sleep_score: int | None
    warmth: int | None
    rated_low_c: float | None
    rated_as: str | None
    rated_name: str | None
    limit_c: float | None
    limit_basis: str | None
    limit_nights: int | None
    too_cold_share: float | None
    failed: tuple[str, ...]

    @property
    def margin_c(self) -> float | None:
        """Low less limit; missing where nothing is rated."""
        return None if self.limit_c is None else self.low_c - self.limit_c


@dataclass(frozen=True, slots=True)
class Effort:
    """Totals of the trip, each the sum of what is known, missing where nothing is."""

    distance_km: float | None
    ascent_m: float | None
    hours: float | None
    battery_wh: float | None


@dataclass(frozen=True, slots=True, eq=False)
class Debrief:
    """One trip looked back on. Tables without a row stay empty; what cannot be told is None.

    ``evidence`` tells for each kind of evidence how much of the trip it covers; ``not_logged``
    names those of which there is none.
    """

    trip: TripFacts
    weight: Weight
    by_system: "pd.DataFrame"
    by_bag: "pd.DataFrame"
    along: "pd.DataFrame"
    never_out: NeverOut | None
    insurance: "pd.DataFrame"
    brought_home: "pd.DataFrame"
    nights: "pd.DataFrame"
    coldest: ColdestNight | None
    trace: "pd.DataFrame"
    effort: Effort
    moves: "pd.DataFrame"
    comfort: "pd.DataFrame"
    failures: "pd.DataFrame"
    wished: "pd.DataFrame"
    changes: Changes | None
    chores: tuple[Chore, ...]
    evidence: "pd.DataFrame"
    not_logged: tuple[str, ...]
    context: TripContext


def debrief(connection: duckdb.DuckDBPyConnection, trip: str | None, today: date) -> Debrief:
    """The debrief of one trip; where ``trip`` is None, of the latest that is no plan.

    ``today`` is the day from which checks fall due. Raises QuestionError where there is no such
    trip, or where it is a plan.
    """
    name = choose_past_trip(connection, trip).trip
    facts = ask(connection, "debrief/trip_facts", trip=name)[0]
    gear = ask(connection, "debrief/trip_gear", trip=name)
    brought_home = ask(connection, "debrief/brought_home", trip=name)
    nights = with_limits(connection, name, ask(connection, "debrief/trip_nights", trip=name))
    moves = ask(connection, "debrief/trip_moves", trip=name)
    lost = int(ask(connection, "debrief/carried_set_aside", trip=name)[0]["records"])
    evidence = _evidence(
        facts, gear, nights, ask(connection, "debrief/trip_evidence", trip=name)[0]
    )

    def table(frame: words.Frame, question: str, **more: object) -> "pd.DataFrame":
        return typed_frame(ask(connection, question, trip=name, **more), frame.terms)

    return Debrief(
        trip=TripFacts(**{field: facts[field] for field in TripFacts.__slots__}),
        weight=_weight(facts, gear, lost),
        by_system=table(words.BY_SYSTEM, "debrief/system_weights"),
        by_bag=by_bag(ask(connection, "debrief/bag_rows", trip=name)),
        along=typed_frame(gear, words.ALONG.terms),
        never_out=never_out(gear, lost),
        insurance=typed_frame([g for g in gear if g["insurance"]], words.INSURANCE.terms),
        brought_home=typed_frame(brought_home, words.BROUGHT_HOME.terms),
        nights=typed_frame(nights, words.NIGHTS.terms),
        coldest=_coldest(nights),
        trace=table(words.TRACE, "debrief/temperature_trace", points=TRACE_POINTS),
        effort=Effort(
            facts["distance_km"],
            facts["ascent_m"],
            _total(m["hours"] for m in moves),
            _total(m["battery_wh"] for m in moves),
        ),
        moves=typed_frame(moves, words.MOVES.terms),
        comfort=table(words.COMFORT, "debrief/trip_comfort"),
        failures=table(words.FAILURES, "debrief/trip_failures"),
        wished=table(words.WISHED, "debrief/trip_wished"),
        changes=changes_since_previous(connection, name, any(g["on_me"] for g in gear)),
        chores=chores(connection, name, gear, brought_home, today),
        evidence=typed_frame(evidence, words.EVIDENCE.terms),
        not_logged=tuple(e["kind"] for e in evidence if not e["logged"]),
        context=trip_context(connection, name),
    )


def _weight(facts: Mapping[str, Any], gear: Sequence[Mapping[str, Any]], lost: int) -> Weight:
    own = ("unweighed", "carried_set_aside")
    sums = {field: facts[field] for field in Weight.__slots__ if field not in own}
    unweighed = tuple(g["name"] for g in gear if g["unweighed"])
    return Weight(**sums, unweighed=unweighed, carried_set_aside=lost)


def _coldest(nights: Sequence[Mapping[str, Any]]) -> ColdestNight | None:
    """The coldest night, the first of equals; None where no low is known."""
    known = [n for n in nights if n["low_c"] is not None]
    if not known:
        return None
    night = min(known, key=lambda n: (n["low_c"], n["night"]))
    return ColdestNight(**{field: night[field] for field in ColdestNight.__slots__})


def _total(values: Iterable[float | None]) -> float | None:
    """The sum of what is known, free of the last digits in which float sums differ."""
    known = [v for v in values if v is not None]
    return round(math.fsum(known), 6) if known else None


def _evidence(
    facts: Mapping[str, Any],
    gear: Sequence[Mapping[str, Any]],
    nights: Sequence[Mapping[str, Any]],
    days: Mapping[str, int],
) -> list[dict[str, Any]]:
    """How much of what could be logged was, kind by kind; only kinds that the trip could have."""
    on_me = [g for g in gear if g["on_me"]]
    food = [g for g in gear if g["consumable_rows"]]
    length, stay = facts["nights"] + 1, len(nights)
    counts = [
        ("carried", len(gear), max(len(gear), 1)),
        ("weights", sum(not g["unweighed"] for g in on_me), len(on_me)),
        ("use", sum(g["known"] for g in gear), len(gear)),
        ("brought_home", sum(g["weighed_home_rows"] > 0 for g in food), len(food)),
        ("distances", days["distance_days"], length),
        ("ascent", days["ascent_days"], length),
        ("hours", days["hours_days"], length),
        ("battery", days["battery_days"], length if facts["mode"] == "ebike" else 0),
        ("weather", days["weather_days"], length),
        ("temperatures", sum(n["low_source"] in _LOGGER for n in nights), stay),
        ("lows", sum(n["low_c"] is not None for n in nights), stay),
        ("sleep", sum(n["sleep_score"] is not None for n in nights), stay),
        ("warmth", sum(n["warmth"] is not None for n in nights), stay),
        ("ratings", sum(n["rated_low_c"] is not None for n in nights), stay),
    ]
    return [{"kind": k, "logged": n, "expected": of} for k, n, of in counts if of]
