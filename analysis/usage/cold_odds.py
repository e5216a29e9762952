"""How likely cold is on trips to come, by the climate normals of their places and dates.

Where someone says which trips lie ahead, usually plans, and a station serves their places, normals
know more of cold than the trips that were: those may have gone elsewhere, at other times of the
year. Rain and all else that things are meant for is still told by the log.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import duckdb

from ..climate.outlook import outlook_of_trip
from ..climate.station_choice import NoStation
from ..stats.estimate import Estimate
from ..store.trip_choice import TripChoice, choose_trip
from .conditions import ColdOdds


@dataclass(frozen=True)
class Ahead:
    """The trips that lie ahead, in order of their start.

    ``served`` are those of whose nights normals tell, ``unserved`` those without a station in reach
    or without the spread of single nights. ``cold`` is the chance over the former, each as likely
    to be the next; missing where there are none.
    """

    served: tuple[TripChoice, ...]
    unserved: tuple[TripChoice, ...]
    cold: ColdOdds | None

    @property
    def trips(self) -> tuple[TripChoice, ...]:
        """All of them, by their start."""
        return tuple(sorted((*self.served, *self.unserved), key=lambda t: (t.start_on, t.trip)))


def trips_ahead(connection: duckdb.DuckDBPyConnection, names: str) -> Ahead | None:
    """The named trips, apart by ``;`` or ``,``, as trips to come; None where none is named.

    Trips that took place may be named, too: they stand for another one there and then. Raises
    QuestionError, naming the nearest trip, where there is none of a name.
    """
    asked = [name.strip() for name in re.split("[;,]", names) if name.strip()]
    if not asked:
        return None
    chosen = {trip.trip: trip for trip in (choose_trip(connection, name) for name in asked)}
    trips = sorted(chosen.values(), key=lambda t: (t.start_on, t.trip))
    served = tuple(t for t in trips if _odds(connection, t, 0.0) is not None)
    unserved = tuple(t for t in trips if t not in served)
    return Ahead(served, unserved, _chance(connection, served) if served else None)


def _chance(connection: duckdb.DuckDBPyConnection, trips: Sequence[TripChoice]) -> ColdOdds:
    @cache
    def cold(below_c: float) -> Estimate:
        found = [odds for t in trips if (odds := _odds(connection, t, below_c)) is not None]
        values, lows, highs = zip(*((o.value, o.low, o.high) for o in found), strict=True)
        n = len(found)
        return Estimate(sum(values) / n, sum(lows) / n, sum(highs) / n)

    return cold


def _odds(
    connection: duckdb.DuckDBPyConnection, trip: TripChoice, below_c: float
) -> Estimate | None:
    """P(a night of the trip is colder), and its range; of a trip without a night none is."""
    if trip.start_on == trip.end_on:
        return Estimate(0.0, 0.0, 0.0)
    found = outlook_of_trip(connection, trip.trip, below_c)
    if isinstance(found, NoStation) or found.sum_odds is None:
        return None
    return Estimate(*found.sum_odds)
