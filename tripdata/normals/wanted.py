"""Which stations' files the trips of a logbook want: named, or fetched where that is asked for."""

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from ..errors import LogbookError
from ..names import shown
from ..own_files import own_sql
from ..store import FOLDER as DERIVED
from ..store import open_for_reading, store_path
from .columns import NoLowError, NotNormalsError
from .distance import MAX_DISTANCE_KM, MAX_HEIGHT_M
from .fetching import (
    BASE,
    INVENTORY,
    STATION_FILES,
    FetchError,
    NotThereError,
    Tell,
    base_address,
    fetch,
    put,
)
from .folder import NORMALS_FOLDER, inventory_at_hand
from .inventory import Candidate, InventoryStation, read_inventory, suited
from .station_file import read_station_file

TRIES = 5
"""How many stations are asked for one place before it is left for another time."""
_NAMED = 3
_WITHOUT = "stations-without-lows.txt"


class PlaceOfTrips(NamedTuple):
    """Where trips went: degrees, metres (None: not known), the station they ask for, the trips."""

    latitude: float
    longitude: float
    elevation_m: float | None
    station: str | None
    trips: list[str]

    @property
    def name(self) -> str:
        """The trips, at most three by name."""
        more = len(self.trips) - _NAMED
        return ", ".join(self.trips[:_NAMED]) + (f" and {more} more" if more > 0 else "")

    def candidates(
        self, stations: Sequence[InventoryStation], without: Iterable[str]
    ) -> list[Candidate]:
        """The stations for it, best first, less those known to be without normals of the low."""
        place = self.latitude, self.longitude
        every = suited(place, self.elevation_m, self.station, stations)
        return [each for each in every if each.station.station not in without]


def _asked(logbook: Path) -> tuple[list[PlaceOfTrips], set[str]]:
    """The places of a logbook whose store is current, and the stations with a daily file."""
    with open_for_reading(store_path(logbook)) as connection:
        rows = connection.execute(own_sql("places_of_trips")).fetchall()
        filed = connection.execute(own_sql("daily_files")).fetchall()
    return [PlaceOfTrips(*row) for row in rows], {row[0] for row in filed}


def _without_lows(logbook: Path) -> set[str]:
    path = logbook / DERIVED / _WITHOUT
    return set(path.read_text(encoding="utf-8").split()) if path.exists() else set()


def stations_named(logbook: Path) -> Iterator[str]:
    """For each place the best stations of the inventory at hand; nothing where there is none.

    The store must be current. Raises LogbookError where the inventory cannot be read.
    """
    have = inventory_at_hand(logbook)
    places, filed = _asked(logbook)
    if have is None or not places:
        return
    without = _without_lows(logbook)
    yield f"stations near your trips, by {have[0]}:"
    for place in places:
        yield place.name
        candidates = place.candidates(have[1], without)
        for each in candidates[:_NAMED]:
            at_hand = "; its file is at hand" if each.station.station in filed else ""
            yield f"  {_lies(each)}{at_hand}"
        if not candidates:
            yield f"  {_none(place)}"
        elif candidates[0].station.station not in filed:
            file = f"{BASE}{STATION_FILES}{candidates[0].station.station}.csv"
            yield f"  to put into {NORMALS_FOLDER}/: {file}"
    yield (
        "The list does not say which stations have temperature normals. Rain and snow networks are "
        "left out; of the others about 4 in 5 have them. Where the file has none, take the next."
    )


def where_to_look(logbook: Path) -> str:
    """What to do where no trip has a place or no inventory is at hand, else empty."""
    if not _asked(logbook)[0]:
        return "no trip has latitude and longitude in trip.csv, so no station can be looked for"
    if inventory_at_hand(logbook) is not None:
        return ""
    return (
        f"NOAA's station files are in {BASE}{STATION_FILES}; put {BASE}{INVENTORY} into "
        f"{NORMALS_FOLDER}/ to see here which ones suit your trips, or fetch all with --get"
    )


def _none(place: PlaceOfTrips) -> str:
    if place.station:
        return f"no station of the list is called {shown(place.station)}"
    return f"no station within {MAX_DISTANCE_KM:g} km and {MAX_HEIGHT_M:g} m of height"


def _lies(candidate: Candidate) -> str:
    (station, name, _, _, height), km, higher = candidate
    text = f"{name} ({station}), {km:.1f} km away"
    text += "" if height is None else f", {height:.0f} m high"
    if higher is not None:
        text += f", the camp {abs(higher):.0f} m {'higher' if higher >= 0 else 'lower'}"
    return text


def get(logbook: Path, tell: Tell) -> bool:
    """Fetch the inventory and for each place the file of the best station with a normal of the low.

    What is at hand is not asked for again, and no file is replaced. The store must be current; it
    is not afterwards. Returns whether nothing that came was wrong. Raises FetchError where a
    connection fails, LogbookError where a file cannot be written; files that were whole stay.
    """
    places, filed = _asked(logbook)
    try:
        return not places or _Getter(logbook, tell, filed).get(places)
    except OSError as error:
        raise LogbookError(f"{error.filename}: cannot be written ({error.strerror})") from error


class _Getter:
    def __init__(self, logbook: Path, tell: Tell, filed: set[str]) -> None:
        self._logbook, self._tell, self._filed = logbook, tell, filed
        self._base, self._without = base_address(), _without_lows(logbook)
        self._wrong: set[str] = set()

    def get(self, places: Sequence[PlaceOfTrips]) -> bool:
        have = inventory_at_hand(self._logbook)
        stations = have[1] if have else self._inventory()
        for place in places:
            self._get_for(place, place.candidates(stations, self._without))
        return not self._wrong

    def _inventory(self) -> list[InventoryStation]:
        path = self._new_file(INVENTORY.rpartition("/")[2])
        data = fetch(self._base + INVENTORY, self._tell)
        try:
            stations = read_inventory(data)
        except NotNormalsError as error:
            raise FetchError(f"{self._base}{INVENTORY}:{error.line}: {error}") from error
        put(path, data)
        self._tell(f"{NORMALS_FOLDER}/{path.name} is new, with {len(stations):,} stations")
        return stations

    def _get_for(self, place: PlaceOfTrips, candidates: Sequence[Candidate]) -> None:
        for candidate in candidates[:TRIES]:
            station = candidate.station.station
            if station in self._filed or station in self._wrong:
                return
            try:
                self._get_station(station)
            except (NoLowError, NotThereError) as error:
                self._tell(f"{station}: {error}")
            except NotNormalsError as error:
                self._tell(f"{station}: what came was left out: {error}")
                self._wrong.add(station)
                return
            else:
                self._tell(f"{place.name}: {_lies(candidate)}; its file is new")
                return
        none = "none of the stations that were asked has temperature normals"
        self._tell(f"{place.name}: {none if candidates else _none(place)}")

    def _get_station(self, station: str) -> None:
        """Fetch a daily file; that a station is without normals of the low is kept in mind."""
        # NOAA gives the files of all its products one name: what this one is stands in its own.
        path = self._new_file(f"{station}-daily-1991-2020.csv")
        data = fetch(f"{self._base}{STATION_FILES}{station}.csv", self._tell)
        try:
            normals = read_station_file(path.name, data)
        except NoLowError:
            if not (f'"{station}"'.encode() in data and b'"DLY-' in data):
                raise NotNormalsError("it is not the station's daily file") from None
            self._without.add(station)
            text = "".join(f"{each}\n" for each in sorted(self._without))
            (self._logbook / DERIVED / _WITHOUT).write_text(text, encoding="utf-8")
            raise
        if normals.key != (station, "daily", "1991-2020"):
            raise NotNormalsError(f"it holds normals of {' '.join(normals.key)}")
        put(path, data)
        self._filed.add(station)

    def _new_file(self, name: str) -> Path:
        path = self._logbook / NORMALS_FOLDER / name
        if path.exists():
            raise LogbookError(f"{path}: is there already; move it away to fetch it anew")
        return path
