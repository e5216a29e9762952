"""Which stations' files the trips of a logbook want: named, or fetched where that is asked for."""

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from ..discover import NORMALS_FOLDER
from ..errors import LogbookError
from ..lock import FOLDER as DERIVED
from ..names import shown
from ..own_files import own_sql
from ..store import open_for_reading, store_path
from . import fetching
from .columns import NoLowError, NotNormalsError
from .distance import MAX_DISTANCE_KM, MAX_HEIGHT_M
from .fetching import Tell
from .folder import inventory_at_hand
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
        more = [f"{len(self.trips) - _NAMED} more"] if len(self.trips) > _NAMED else []
        return ", ".join(self.trips[:_NAMED] + more)

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


def station_advice(logbook: Path) -> Iterator[str]:
    """For each place the best stations of the inventory at hand, or where to look for one; lines.

    The store must be current. Raises LogbookError where the inventory cannot be read.
    """
    have, (places, filed) = inventory_at_hand(logbook), _asked(logbook)
    if not places:
        yield "No trip has latitude and longitude in trip.csv, so no station can be looked for."
    elif have is None:
        yield f"NOAA's station files are in {fetching.BASE}{fetching.STATION_FILES}."
        yield f"With {fetching.BASE}{fetching.INVENTORY} in {NORMALS_FOLDER}/,"
        yield "the stations near your trips are named here; `tarebook normals --get` fetches both."
    else:
        yield f"stations near your trips, by {have[0]}:"
        without = _without_lows(logbook)
        for place in places:
            yield place.name
            yield from (f"  {line}" for line in _stations(place, have[1], without, filed))
        yield "The list does not say which stations have temperature normals. Rain and snow"
        yield "networks are left out; of the others about 4 in 5 have them. Where one has none,"
        yield "take the next."


def _stations(
    place: PlaceOfTrips, stations: list[InventoryStation], without: set[str], filed: set[str]
) -> Iterator[str]:
    candidates = place.candidates(stations, without)
    for each in candidates[:_NAMED]:
        yield _lies(each) + ("; its file is at hand" if each.station.station in filed else "")
    if not candidates:
        yield _none(place)
    elif candidates[0].station.station not in filed:
        file = f"{fetching.BASE}{fetching.STATION_FILES}{candidates[0].station.station}.csv"
        yield f"to put into {NORMALS_FOLDER}/: {file}"


def _none(place: PlaceOfTrips) -> str:
    if place.station:
        return (
            f"no station on the list is called {shown(place.station)} and has temperature normals"
        )
    reach = f"{MAX_DISTANCE_KM:g} km and {MAX_HEIGHT_M:g} m of height"
    return f"no station within {reach} can have temperature normals"


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
        self._base, self._without = fetching.base_address(), _without_lows(logbook)
        self._wrong: set[str] = set()

    def get(self, places: Sequence[PlaceOfTrips]) -> bool:
        have = inventory_at_hand(self._logbook)
        stations = have[1] if have else self._inventory()
        for place in places:
            self._get_for(place, place.candidates(stations, self._without))
        return not self._wrong

    def _inventory(self) -> list[InventoryStation]:
        path = self._new_file(fetching.INVENTORY.rpartition("/")[2])
        data = fetching.fetch(self._base + fetching.INVENTORY, self._tell)
        try:
            stations = read_inventory(data)
        except NotNormalsError as error:
            raise fetching.FetchError(
                f"{self._base}{fetching.INVENTORY}:{error.line}: {error}"
            ) from error
        fetching.put(path, data)
        self._tell(f"{NORMALS_FOLDER}/{path.name} is new, with {len(stations):,} stations")
        return stations

    def _get_for(self, place: PlaceOfTrips, candidates: Sequence[Candidate]) -> None:
        for candidate in candidates[:TRIES]:
            station = candidate.station.station
            if station in self._filed or station in self._wrong:
                return
            try:
                self._get_station(station)
            except (NoLowError, fetching.NotThereError) as error:
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
        data = fetching.fetch(f"{self._base}{fetching.STATION_FILES}{station}.csv", self._tell)
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
        fetching.put(path, data)
        self._filed.add(station)

    def _new_file(self, name: str) -> Path:
        path = self._logbook / NORMALS_FOLDER / name
        if path.exists():
            raise LogbookError(f"{path}: is there already; move it away to fetch it again")
        return path
