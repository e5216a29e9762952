"""Normals on their way into the store, with the distance of every trip from their stations."""

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from ..names import normalised
from .distance import geodesic_km, near
from .folder import FiledNormals
from .named import by_name
from .packaged import packaged_normals
from .station_file import StationNormals

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

NORMALS_DDL = """
CREATE TABLE stations (
  station VARCHAR PRIMARY KEY, name VARCHAR NOT NULL, latitude DOUBLE, longitude DOUBLE,
  elevation_m DOUBLE);
CREATE TABLE normal_sets (
  station VARCHAR NOT NULL, product VARCHAR NOT NULL CHECK (product IN ('daily', 'monthly',
  'hourly')), period VARCHAR NOT NULL, kind VARCHAR NOT NULL CHECK (kind IN ('published', 'curve',
  'hours')), spread_from VARCHAR, completeness VARCHAR, years INTEGER, "file" VARCHAR,
  PRIMARY KEY (station, product, period));
CREATE TABLE normals (
  station VARCHAR NOT NULL, product VARCHAR NOT NULL, period VARCHAR NOT NULL,
  month_day VARCHAR NOT NULL, low_c DOUBLE NOT NULL CHECK (low_c BETWEEN -90 AND 60),
  sd_c DOUBLE CHECK (sd_c > 0), PRIMARY KEY (station, product, period, month_day));
CREATE TABLE station_distances (
  trip VARCHAR NOT NULL, station VARCHAR NOT NULL, distance_km DOUBLE, named BOOLEAN NOT NULL,
  PRIMARY KEY (trip, station));
"""
_STATIONS = (
    "INSERT INTO stations SELECT unnest($station), unnest($name), unnest($latitude), "
    "unnest($longitude), unnest($elevation_m)"
)
_SETS = (
    "INSERT INTO normal_sets SELECT unnest($station), unnest($product), unnest($period), "
    "unnest($kind), unnest($spread_from), unnest($completeness), unnest($years), unnest($file)"
)
_LOWS = (
    "INSERT INTO normals SELECT $station, $product, $period, day, CAST(low AS DOUBLE), "
    "CAST(nullif(spread, '') AS DOUBLE) FROM (SELECT unnest(string_split($days, ' ')) AS day, "
    "unnest(string_split($lows, ' ')) AS low, unnest(string_split($spreads, ' ')) AS spread)"
)
_DISTANCES = (
    "INSERT INTO station_distances SELECT unnest($trips), unnest($stations), unnest($distances), "
    "unnest($named)"
)
_TRIPS = (
    "SELECT trip, latitude, longitude, station FROM trip "
    "WHERE (latitude IS NOT NULL AND longitude IS NOT NULL) OR station IS NOT NULL ORDER BY trip"
)


def store_normals(connection: "DuckDBPyConnection", filed: Sequence[FiledNormals]) -> None:
    """Put these normals, and the packaged ones that none of them replaces, into an empty store.

    The trips must be in the store already.
    """
    replaced = {each.normals.key for each in filed}
    sets: list[tuple[StationNormals, str | None]] = [(each.normals, each.file) for each in filed]
    sets += [(each, None) for each in packaged_normals() if each.key not in replaced]
    stations: dict[str, StationNormals] = {}
    # Where a station moved, its place in the newest period counts; a file's before the packaged.
    for normals, _ in sorted(sets, key=lambda s: (s[1] is not None, s[0].period), reverse=True):
        stations.setdefault(normals.station, normals)
    places = ("station", "name", "latitude", "longitude", "elevation_m")
    _insert(connection, _STATIONS, places, [_fields(s, places) for s in stations.values()])
    key = ("station", "product", "period")
    facts = (*key, "kind", "spread_from", "completeness", "years")
    rows = [(*_fields(normals, facts), file) for normals, file in sets]
    _insert(connection, _SETS, (*facts, "file"), rows)
    for normals, _ in sets:
        _keep_lows(connection, normals)
    _keep_distances(connection, stations.values(), by_name(normals for normals, _ in sets))


def _fields(normals: StationNormals, names: Iterable[str]) -> tuple[object, ...]:
    return tuple(_blank_as_none(getattr(normals, name)) for name in names)


def _keep_lows(connection: "DuckDBPyConnection", normals: StationNormals) -> None:
    # Three long texts are bound several times quicker than three lists of 366.
    columns = {
        "days": " ".join(normals.lows),
        "lows": " ".join([repr(low) for low, _ in normals.lows.values()]),
        "spreads": " ".join([repr(s) if s is not None else "" for _, s in normals.lows.values()]),
    }
    key = dict(zip(("station", "product", "period"), normals.key, strict=True))
    connection.execute(_LOWS, key | columns)


def _blank_as_none(value: object) -> object:
    return None if value == "" else value


def _insert(
    connection: "DuckDBPyConnection",
    statement: str,
    names: Sequence[str],
    rows: Sequence[tuple[object, ...]],
) -> None:
    """One statement for all rows, each column a bound list."""
    if rows:
        columns = [list(column) for column in zip(*rows, strict=True)]
        connection.execute(statement, dict(zip(names, columns, strict=True)))


def _keep_distances(
    connection: "DuckDBPyConnection", stations: Iterable[StationNormals], names: Mapping[str, str]
) -> None:
    trips = connection.execute(_TRIPS).fetchall()
    placed = {
        s.station: (s.latitude, s.longitude)
        for s in stations
        if s.latitude is not None and s.longitude is not None
    }
    known: dict[tuple[float, float], dict[str, float]] = {}
    rows: list[tuple[str, str, float | None, bool]] = []
    for trip, latitude, longitude, named in trips:
        place = None if latitude is None or longitude is None else (latitude, longitude)
        if place is not None and place not in known:
            known[place] = near(place, placed)
        found = {} if place is None else known[place]
        wanted = names.get(normalised(named)) if named else None
        rows += [(trip, station, km, station == wanted) for station, km in found.items()]
        if wanted and wanted not in found:
            far = placed.get(wanted)
            km = geodesic_km(*place, *far) if place is not None and far is not None else None
            rows.append((trip, wanted, km, True))
    _insert(connection, _DISTANCES, ("trips", "stations", "distances", "named"), rows)
