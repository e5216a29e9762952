"""Normals on their way into the store, with the distance of every trip from their stations."""

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from ..names import normalised
from ..own_files import own_sql
from .distance import geodesic_km, near
from .named import by_name
from .packaged import packaged_normals
from .station_file import StationNormals

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_KEY = ("station", "product", "period")


def store_normals(connection: "DuckDBPyConnection", filed: Sequence[StationNormals]) -> None:
    """Put these normals, and the packaged ones that none of them replaces, into an empty store.

    The trips must be in the store already.
    """
    replaced = {each.key for each in filed}
    sets = [*filed, *(each for each in packaged_normals() if each.key not in replaced)]
    stations: dict[str, StationNormals] = {}
    # Where a station moved, its place in the newest period counts; a file's before the packaged.
    for normals in sorted(sets, key=lambda s: (s.file is not None, s.period), reverse=True):
        stations.setdefault(normals.station, normals)
    places = ("station", "name", "latitude", "longitude", "elevation_m")
    _insert(connection, "add_stations", places, [_fields(s, places) for s in stations.values()])
    facts = (*_KEY, "kind", "spread_from", "completeness", "years", "file")
    _insert(connection, "add_normal_sets", facts, [_fields(normals, facts) for normals in sets])
    for normals in sets:
        _keep_lows(connection, normals)
    _keep_distances(connection, stations.values(), by_name(sets))


def _fields(normals: StationNormals, names: Iterable[str]) -> tuple[object, ...]:
    values = (getattr(normals, name) for name in names)
    return tuple(None if value == "" else value for value in values)


def _keep_lows(connection: "DuckDBPyConnection", normals: StationNormals) -> None:
    columns = {
        "days": " ".join(normals.lows),
        "lows": " ".join([repr(low) for low, _ in normals.lows.values()]),
        "spreads": " ".join([repr(s) if s is not None else "" for _, s in normals.lows.values()]),
    }
    key = dict(zip(_KEY, normals.key, strict=True))
    connection.execute(own_sql("add_normals"), key | columns)


def _insert(
    connection: "DuckDBPyConnection",
    name: str,
    names: Sequence[str],
    rows: Sequence[tuple[object, ...]],
) -> None:
    """One statement for all rows, each column a bound list."""
    if rows:
        columns = [list(column) for column in zip(*rows, strict=True)]
        connection.execute(own_sql(name), dict(zip(names, columns, strict=True)))


def _keep_distances(
    connection: "DuckDBPyConnection", stations: Iterable[StationNormals], names: Mapping[str, str]
) -> None:
    trips = connection.execute(own_sql("trips_with_a_place")).fetchall()
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
        reach = {} if place is None else known[place]
        wanted = names.get(normalised(named)) if named else None
        rows += [(trip, station, km, station == wanted) for station, km in reach.items()]
        if wanted and wanted not in reach:
            far = placed.get(wanted)
            km = geodesic_km(*place, *far) if place is not None and far is not None else None
            rows.append((trip, wanted, km, True))
    _insert(connection, "add_station_distances", ("trips", "stations", "distances", "named"), rows)
