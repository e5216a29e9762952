"""How likely cold is on trips to come, by the climate normals of their places and dates.

Where someone says which trips lie ahead, usually plans, and a station serves their places, normals
know more of cold than the trips that were: those may have gone elsewhere, at other times of the
year. The normals are taken to be as much colder as one's camps were, as on every page. Rain and all
else that things are meant for is still told by the log.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from ..climate.outlook import outlook_of_trip
from ..climate.station_choice import NoStation
from ..cold.camps import camps_off
from ..stats.estimate import Estimate
from ..store.rows import Store
from ..store.trip_choice import TripChoice, choose_trip
from .conditions import ColdOdds

_WARMEST_C = 60.0
"""No outlook is asked about a warmer low."""


@dataclass(frozen=True)
class TripsAhead:
    """The trips that lie ahead, in order of their start.

    ``served`` are those of whose nights normals tell, ``unserved`` those without a station in reach
    or without the spread of single nights. ``cold`` is the chance over the former, each as likely
    to be the next; missing where there are none. ``colder``: whether they are told with how much
    colder one's camps were than such normals.
    """

    served: tuple[TripChoice, ...]
    unserved: tuple[TripChoice, ...]
    cold: ColdOdds | None
    colder: bool = False

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
    served = tuple(t for t in trips if _odds(store, t, 0.0, 0.0) is not None)
    unserved = tuple(t for t in trips if t not in served)
    found = {t: camps_off(store, t.start_on) for t in served}
    colder_c = {t: -camps.taken_c if camps is not None else 0.0 for t, camps in found.items()}
    chance = _chance(store, colder_c) if served else None
    told = any(camps is not None and camps.colder for camps in found.values())
    return TripsAhead(served, unserved, chance, told)


def _chance(store: Store, colder_c: Mapping[TripChoice, float]) -> ColdOdds:
    @cache
    def cold(below_c: float) -> Estimate:
        every = (_odds(store, t, below_c, by) for t, by in colder_c.items())
        of_trips = [odds for odds in every if odds is not None]
        values, lows, highs = zip(*((o.value, o.low, o.high) for o in of_trips), strict=True)
        n = len(of_trips)
        return Estimate(sum(values) / n, sum(lows) / n, sum(highs) / n)

    return cold


def _odds(store: Store, trip: TripChoice, below_c: float, colder_c: float) -> Estimate | None:
    """P(a night of the trip is colder), and its range; of a trip without a night none is.

    ``colder_c``: by how much its nights are taken to be colder than the normals.
    """
    if trip.start_on == trip.end_on:
        return Estimate(0.0, 0.0, 0.0)
    # A night is as likely to fall below a low as one that is 2 °C milder below 2 °C more.
    outlook = outlook_of_trip(store, trip.trip, min(below_c + colder_c, _WARMEST_C))
    return None if isinstance(outlook, NoStation) else outlook.sum_odds
