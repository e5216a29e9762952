"""Which trip a question is about."""

from dataclasses import dataclass
from datetime import date

import duckdb

from ...tripdata.errors import QuestionError
from ...tripdata.names import folded, guess, shown, slug
from .rows import ask


@dataclass(frozen=True, slots=True)
class TripChoice:
    """A trip as the logbook names it."""

    trip: str
    title: str
    start_on: date
    end_on: date
    mode: str | None
    plan: bool


def choose_trip(
    connection: duckdb.DuckDBPyConnection, trip: str | None = None, option: str = "trip"
) -> TripChoice:
    """The trip of that name or, where none is named, the latest by its start that is no plan.

    Names are matched as in the logbook: without regard to case, blanks read as ``-``. Raises
    QuestionError that begins with the option, naming the nearest trip, where there is none of that
    name, or none at all.
    """
    known = [TripChoice(**row) for row in ask(connection, "store/trips_by_start")]
    if trip is None or not trip.strip():
        happened = [t for t in known if not t.plan]
        if happened:
            return happened[-1]
        raise QuestionError(
            "expected a logbook with a trip that took place, found none; add a row to trip.csv "
            "and run `tarebook load`"
        )
    for each in known:
        if folded(each.trip) == folded(slug(trip)):
            return each
    advice = guess(trip, [t.trip for t in known], 'the table "trips" lists them all')
    raise QuestionError(f"{option}: expected a trip of this logbook, got {shown(trip)}; {advice}")


def choose_ahead(
    connection: duckdb.DuckDBPyConnection, trip: str, today: date
) -> tuple[TripChoice, ...]:
    """The trip of that name, plan or past; for a blank name every plan not over by ``today``.

    The first to begin stands first. Raises QuestionError where there is no such trip.
    """
    if trip.strip():
        return (choose_trip(connection, trip),)
    known = (TripChoice(**row) for row in ask(connection, "store/trips_by_start"))
    return tuple(each for each in known if each.plan and each.end_on >= today)


def choose_past_trip(connection: duckdb.DuckDBPyConnection, trip: str | None = None) -> TripChoice:
    """As `choose_trip`, but a plan, which has nothing to look back on, raises QuestionError."""
    chosen = choose_trip(connection, trip)
    if chosen.plan:
        raise QuestionError(
            f'trip: expected a trip that took place, got the plan "{chosen.trip}"; `tarebook '
            f"report before_trip --trip {chosen.trip}` looks ahead to it. Once it is over, set "
            "plan to no in trip.csv"
        )
    return chosen
