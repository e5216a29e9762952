"""How far two places on the globe are from each other."""

import math
from collections.abc import Mapping

_MEAN_RADIUS_KM = 6371.0088
"""Mean radius of the Earth (IUGG; WGS 84)."""
MAX_DISTANCE_KM = 100.0
MAX_HEIGHT_M = 700.0
KM_PER_M = 0.1
"""A height difference of 10 m counts as much as a distance of 1 km."""
NEAR_KM = 110.0
"""Stations farther away are of no use, as normals serve no farther than 100 km."""


def geodesic_km(latitude: float, longitude: float, other: float, other_longitude: float) -> float:
    """Length of the shortest way on the WGS 84 ellipsoid in km; degrees north and east.

    Source: Karney 2013, J. Geodesy 87, doi:10.1007/s00190-012-0578-z, as geographiclib has it.
    """
    from geographiclib.geodesic import Geodesic  # type: ignore[import-untyped]

    way = Geodesic.WGS84.Inverse(latitude, longitude, other, other_longitude, Geodesic.DISTANCE)
    return float(way["s12"]) / 1000


def sphere_km(latitude: float, longitude: float, other: float, other_longitude: float) -> float:
    """The same on a sphere, within 0.6 % of it and a hundred times as quick: to sort out."""
    north, south = math.radians(latitude), math.radians(other)
    east = math.radians(other_longitude - longitude)
    chord = (
        math.sin((south - north) / 2) ** 2
        + math.cos(north) * math.cos(south) * math.sin(east / 2) ** 2
    )
    return 2 * _MEAN_RADIUS_KM * math.asin(math.sqrt(min(1.0, chord)))


def near(
    place: tuple[float, float], stations: Mapping[str, tuple[float, float]]
) -> dict[str, float]:
    """Geodesic distance in km of the stations within reach, and of the nearest, by station.

    Places are latitude and longitude. Empty where there are no stations.
    """
    rough = {name: sphere_km(*place, *station) for name, station in stations.items()}
    nearest = min(rough.values(), default=0.0)
    return {
        name: geodesic_km(*place, *stations[name])
        for name, km in rough.items()
        if km <= max(NEAR_KM, nearest)
    }
