"""How likely cold is on trips to come, by the climate normals of their places and dates.

Where someone says which trips lie ahead, usually plans, and a station serves their places, normals
know more of cold than the trips that were: those may have gone elsewhere, at other times of the
year. Rain and all else that things are meant for is still told by the log.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from ..climate.outlook import outlook_of_trip
from ..climate.station_choice import NoStation
from ..stats.estimate import Estimate
from ..store.rows import Store
from ..store.trip_choice import TripChoice, choose_trip
from .conditions import ColdOdds


@dataclass(frozen=True)
class TripsAhead:
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


def trips_ahead(store: Store, names: str) -> TripsAhead | None:
    """The named trips, apart by ``;`` or ``,``, as trips to come; None where none is named.

    Trips that took place may be named, too: they stand for another one there and then. Raises
    QuestionError, naming the nearest trip, where there is none of a name.
    """
    wanted = [name.strip() for name in re.split("[;,]", names) if name.strip()]
    if not wanted:
        return None
    chosen = {trip.trip: trip for trip in (choose_trip(store, name, "coming") for name in wanted)}
    trips = sorted(chosen.values(), key=lambda t: (t.start_on, t.trip))
    served = tuple(t for t in trips if _odds(store, t, 0.0) is not None)
    unserved = tuple(t for t in trips if t not in served)
    return TripsAhead(served, unserved, _chance(store, served) if served else None)


def _chance(store: Store, trips: Sequence[TripChoice]) -> ColdOdds:
    @cache
    def cold(below_c: float) -> Estimate:
        of_trips = [odds for t in trips if (odds := _odds(store, t, below_c)) is not None]
        values, lows, highs = zip(*((o.value, o.low, o.high) for o in of_trips), strict=True)
        n = len(of_trips)
        return Estimate(sum(values) / n, sum(lows) / n, sum(highs) / n)

    return cold


def _odds(store: Store, trip: TripChoice, below_c: float) -> Estimate | None:
    """P(a night of the trip is colder), and its range; of a trip without a night none is."""
    if trip.start_on == trip.end_on:
        return Estimate(0.0, 0.0, 0.0)
    outlook = outlook_of_trip(store, trip.trip, below_c)
    return None if isinstance(outlook, NoStation) else outlook.sum_odds
