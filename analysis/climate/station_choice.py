"""Which weather station's normals serve a place: the nearest, with the height counted in.

The same rule stands in `sql/marts/trip_stations` for all trips at once.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from ...tripdata.normals.distance import KM_PER_M, MAX_DISTANCE_KM, MAX_HEIGHT_M, near
from ..store.rows import Store, ask

LAPSE_C_PER_M = -0.0065
"""Standard atmosphere, ICAO/ISO 2533: 6.5 K colder for every kilometre up."""


@dataclass(frozen=True, slots=True)
class Place:
    """A place: degrees north and east, metres above the sea; the height may be unknown."""

    latitude: float
    longitude: float
    elevation_m: float | None = None


@dataclass(frozen=True, slots=True)
class StationChoice:
    """A station, the normals of it that count, and how it lies to the place it serves.

    ``kind`` is published (NOAA's daily normals), curve (days from monthly normals) or hours (daily
    lows from hourly normals, the weaker kind). ``packaged``: they came with the program;
    ``spread_from`` is missing where nothing is known of the spread of single nights; else
    ``spread_product`` and ``spread_period`` say of which normals of the station it is, as a rule of
    the same, and ``spread_file`` which file it is from, missing where it is packaged.
    ``normal_source`` names both as the tables do.
    ``distance_km`` and ``height_difference_m`` (place less station) are missing where a place or
    height is not known. ``named``: the trip asks for it.
    """

    station: str
    name: str
    latitude: float | None
    longitude: float | None
    elevation_m: float | None
    product: Literal["daily", "monthly", "hourly"]
    period: str
    kind: Literal["published", "curve", "hours"]
    spread_from: str | None
    spread_product: Literal["daily", "monthly", "hourly"] | None
    spread_period: str | None
    spread_file: str | None
    normal_source: str
    completeness: str | None
    years: int | None
    file: str | None
    packaged: bool
    distance_km: float | None
    height_difference_m: float | None
    named: bool = False

    @property
    def adjustment_c(self) -> float:
        """What brings a normal of the station to the height of the place, in °C."""
        return LAPSE_C_PER_M * (self.height_difference_m or 0.0)

    @property
    def spread_of_others(self) -> bool:
        """Whether the spread of single nights is that of other normals than the lows are."""
        own = (self.spread_product, self.spread_period) == (self.product, self.period)
        return self.spread_from is not None and not own

    @property
    def cost_km(self) -> float:
        """Distance with the height difference counted in."""
        return (self.distance_km or 0.0) + KM_PER_M * abs(self.height_difference_m or 0.0)

    @property
    def in_reach(self) -> bool:
        """Whether it may serve the place."""
        far = self.distance_km is None or self.distance_km > MAX_DISTANCE_KM
        return not far and abs(self.height_difference_m or 0.0) <= MAX_HEIGHT_M


@dataclass(frozen=True, slots=True)
class NoStation:
    """Why no station serves: no_place, unknown_station (``station`` names it) or out_of_reach.

    ``nearest`` is the nearest known one, where the place is known.
    """

    reason: Literal["no_place", "unknown_station", "out_of_reach"]
    station: str = ""
    nearest: StationChoice | None = None


def choose_station(store: Store, place: Place) -> StationChoice | NoStation:
    """The station that serves a place: least cost within reach, a file's before a packaged one."""
    near_by = stations_near(store, place)
    reached = [each for each in near_by if each.in_reach]
    if not reached:
        return NoStation(
            "out_of_reach", nearest=min(near_by, key=lambda s: s.cost_km, default=None)
        )
    return min(reached, key=lambda s: (s.packaged, s.cost_km, s.station))


def stations_near(store: Store, place: Place) -> list[StationChoice]:
    """The stations within some 100 km of a place and the nearest of all, by identifier."""
    rows = {row["station"]: row for row in ask(store, "climate/known_stations")}
    placed = {
        station: (row["latitude"], row["longitude"])
        for station, row in rows.items()
        if row["latitude"] is not None and row["longitude"] is not None
    }
    distances = near((place.latitude, place.longitude), placed)
    return [_choice(rows[station], place, km) for station, km in sorted(distances.items())]


def station_of_trip(store: Store, trip: str) -> StationChoice | NoStation:
    """The station that serves a trip, named exactly; the one it asks for, where it does."""
    rows = ask(store, "climate/trip_station", trip=trip)
    if rows:
        return StationChoice(**rows[0])
    place = ask(store, "climate/trip_place", trip=trip)[0]
    named = place.pop("station")
    if named is not None:
        return NoStation("unknown_station", named)
    if place["latitude"] is None or place["longitude"] is None:
        return NoStation("no_place")
    none = choose_station(store, Place(**place))
    assert isinstance(none, NoStation)
    return none


def _choice(row: Mapping[str, Any], place: Place, distance_km: float) -> StationChoice:
    heights = (place.elevation_m, row["elevation_m"])
    difference = None if None in heights else place.elevation_m - row["elevation_m"]
    return StationChoice(**row, distance_km=distance_km, height_difference_m=difference)
