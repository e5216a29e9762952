"""The chance of a too cold night on a planned trip: own limit and climate normals together."""

from collections import Counter
from dataclasses import dataclass
from datetime import date

import duckdb
from tarebook.analysis.cold_chance import ColdChance, NightAhead, chance_of_cold_night
from tarebook.analysis.cold_limit import ColdLimits
from tarebook.analysis.frames import ask
from tarebook.analysis.outlook import Outlook, outlook_of_trip
from tarebook.analysis.station_choice import NoStation
from tarebook.analysis.trip_choice import TripChoice, choose_trip


@dataclass(frozen=True, slots=True)
class Bedding:
    """The sleep gear that comes along on most nights of a trip, and the lowest rating among it."""

    items: tuple[str, ...]
    names: tuple[str, ...]
    rated_low_c: float
    rated_name: str


@dataclass(frozen=True, slots=True)
class ColdAhead:
    """A trip to come. ``chance`` is missing where ``why_not`` says why it cannot be told.

    ``why_not``: no_nights, no_bedding (no rated sleep gear is noted for it), no_station or
    no_spread (normals without the spread of single nights). ``judged_nights`` are those behind the
    limit of this bedding. ``varies``: on some night the bedding is another.
    """

    trip: TripChoice
    outlook: Outlook | NoStation
    bedding: Bedding | None
    judged_nights: int
    varies: bool
    chance: ColdChance | None
    why_not: str | None


def trips_ahead(
    connection: duckdb.DuckDBPyConnection, limits: ColdLimits, trip: str, today: date
) -> tuple[ColdAhead, ...]:
    """The trip of that name, or for a blank name every plan not over by ``today``.

    Raises QuestionError where there is no such trip.
    """
    if trip.strip():
        return (cold_ahead(connection, limits, choose_trip(connection, trip)),)
    every = [TripChoice(**row) for row in ask(connection, "trips_by_start")]
    plans = [one for one in every if one.plan and one.end_on >= today]
    return tuple(cold_ahead(connection, limits, plan) for plan in plans)


def cold_ahead(
    connection: duckdb.DuckDBPyConnection, limits: ColdLimits, trip: TripChoice
) -> ColdAhead:
    """The chance of at least one too cold night on a trip, planned or past."""
    found = outlook_of_trip(connection, trip.trip)
    beds = [
        Bedding(tuple(r["items"]), tuple(r["names"]), r["rated_low_c"], r["rated_name"])
        for r in ask(connection, "trip_bedding", trip=trip.trip)
    ]
    bedding = Counter(beds).most_common(1)[0][0] if beds else None
    number = limits.number_of(bedding.items) if bedding else len(limits.limits)
    judged = limits.limits[number].nights if number < len(limits.limits) else 0
    chance, why_not = None, _why_not(trip, found, bedding)
    if why_not is None and isinstance(found, Outlook) and bedding is not None:
        nights = [
            NightAhead(n.normal_low_c, n.sd_c, n.season) for n in found.nights if n.sd_c is not None
        ]
        chance = chance_of_cold_night(limits.fit, number, bedding.rated_low_c, nights)
    return ColdAhead(trip, found, bedding, judged, len(set(beds)) > 1, chance, why_not)


def _why_not(trip: TripChoice, found: Outlook | NoStation, bedding: Bedding | None) -> str | None:
    if trip.end_on <= trip.start_on:
        return "no_nights"
    if bedding is None:
        return "no_bedding"
    if isinstance(found, NoStation):
        return "no_station"
    known = [night for night in found.nights if night.sd_c is not None]
    return None if len(known) == (trip.end_on - trip.start_on).days else "no_spread"
