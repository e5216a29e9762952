"""NOAA's inventory of the stations of its daily normals, and which of them suit a place.

As published each line has the columns of GHCN-Daily's list of stations; the
same as a CSV with a header is read as well. It does not say which elements a station has. The third
character of an identifier is its network (source: GHCN-Daily's readme): 1 is CoCoRaHS, S SNOTEL, of
which there are normals of rain and snow alone (source: NOAA's abstract of the normals).
"""

import csv
import re
from collections.abc import Sequence
from typing import NamedTuple

from ..names import normalised
from ..text import UnreadableError, decode, split_lines
from .columns import NotNormalsError
from .distance import KM_PER_M, MAX_DISTANCE_KM, MAX_HEIGHT_M, geodesic_km, near

_STATION = re.compile(r"[A-Z]{2}[A-Za-z0-9_]{9}")
_RAIN_AND_SNOW = "1S"
_CELLS = ((0, 11), (12, 20), (21, 30), (31, 37), (38, 40), (41, 71))
_HEADER = "station_id,latitude,longitude,elevation,state,name"


class InventoryStation(NamedTuple):
    """A station: degrees north and east, metres above the sea (None where not known)."""

    station: str
    name: str
    latitude: float
    longitude: float
    elevation_m: float | None


class Candidate(NamedTuple):
    """A station as it lies to a place; the height difference is place less station."""

    station: InventoryStation
    distance_km: float
    height_difference_m: float | None


def is_inventory(data: bytes) -> bool:
    """Whether the first line is that of an inventory."""
    first = data[:400].decode("utf-8-sig", "replace").partition("\n")[0]
    return _has_header(first) or _station(_fixed(first)) is not None


def read_inventory(data: bytes) -> list[InventoryStation]:
    """The stations of an inventory; raises NotNormalsError where it is another file or broken."""
    try:
        lines = split_lines(decode(data))
    except UnreadableError as error:
        raise NotNormalsError(str(error)) from error
    if not is_inventory(data):
        raise NotNormalsError("is not NOAA's list of stations")
    header = _has_header(lines[0])
    rows = csv.reader(lines[1:]) if header else map(_fixed, lines)
    stations = []
    for number, cells in enumerate(rows, 1 + header):
        station = _station(cells[: len(_CELLS)])
        if station is None:
            raise NotNormalsError("expected a station as NOAA lists it; is the list cut?", number)
        stations.append(station)
    return stations


def _has_header(line: str) -> bool:
    return line.replace('"', "").replace(" ", "").casefold().startswith(_HEADER)


def _fixed(line: str) -> list[str]:
    return [line[start:end] for start, end in _CELLS]


def _station(cells: Sequence[str]) -> InventoryStation | None:
    try:
        station, north, east, height, state, name = (cell.strip() for cell in cells)
        latitude, longitude, elevation_m = float(north), float(east), float(height or "nan")
    except ValueError:
        return None
    on_earth = abs(latitude) <= 90 and abs(longitude) <= 180
    if not (_STATION.fullmatch(station) and on_earth and name):
        return None
    known = -500 < elevation_m < 9000
    full = ", ".join(filter(None, (name, state)))
    return InventoryStation(station, full, latitude, longitude, elevation_m if known else None)


def suited(
    place: tuple[float, float],
    elevation_m: float | None,
    named: str | None,
    stations: Sequence[InventoryStation],
) -> list[Candidate]:
    """The stations that may serve a place, best first: within reach, and not of rain or snow alone.

    Where one is named, by identifier or name, it is those that are called so, however far.
    """
    if named:
        want = normalised(named)
        calls = [
            s for s in stations if want in map(normalised, (s.station, s.name, f"{s.name} US"))
        ]
        reach = {s: geodesic_km(*place, s.latitude, s.longitude) for s in calls}
    else:
        warm = {s.station: s for s in stations if s.station[2] not in _RAIN_AND_SNOW}
        km = near(place, {name: (s.latitude, s.longitude) for name, s in warm.items()})
        reach = {warm[name]: far for name, far in km.items() if far <= MAX_DISTANCE_KM}
    candidates = []
    for station, distance_km in reach.items():
        unknown = elevation_m is None or station.elevation_m is None
        higher = None if unknown else (elevation_m or 0.0) - (station.elevation_m or 0.0)
        if named or abs(higher or 0.0) <= MAX_HEIGHT_M:
            candidates.append(Candidate(station, distance_km, higher))
    cost = {c: c.distance_km + KM_PER_M * abs(c.height_difference_m or 0.0) for c in candidates}
    return sorted(candidates, key=lambda c: (cost[c], c.station.station))
