"""The normals that come with the program, so that the demo and a first try need no download.

The two stations are Seattle-Tacoma and San Francisco International Airport. Lows: from NOAA's
hourly normals 1981-2010, as the PyPI package vega_datasets 0.9.0 ships them in seattle-temps.csv
and sf-temps.csv (U.S. Government data, public domain; stations by that project's SOURCES.md).
Spread, Seattle only: from the lows observed in 2012-2015 in its seattle-weather.csv, by NOAA's way
of making it. Coordinates: NOAA's inventory of the daily normals 1991-2020. `making` made the table.
"""

from dataclasses import dataclass

from ..own_files import own_rows
from .calendar import Low
from .station_file import StationNormals

TABLE = "packaged.csv"
HEADER = ("station", "month_day", "low_c", "spread_c")
PERIOD = "1981-2010"
OBSERVED = "observed 2012-2015"


@dataclass(frozen=True, slots=True)
class Source:
    """A station of the table: where it stands, and the files its columns are made from."""

    name: str
    latitude: float
    longitude: float
    elevation_m: float
    hours: str
    observed: str


SOURCES = {
    "USW00024233": Source(
        "SEATTLE TACOMA INTL AP, WA US",
        47.4444,
        -122.3139,
        112.8,
        "seattle-temps.csv",
        "seattle-weather.csv",
    ),
    "USW00023234": Source(
        "SAN FRANCISCO INTL AP, CA US",
        37.6197,
        -122.3647,
        2.4,
        "sf-temps.csv",
        "",
    ),
}


def packaged_normals() -> list[StationNormals]:
    """The packaged stations, with their lows in °C."""
    lows: dict[str, dict[str, Low]] = {station: {} for station in SOURCES}
    for row in own_rows(__package__, TABLE):
        spread = float(row["spread_c"]) if row["spread_c"] else None
        lows[row["station"]][row["month_day"]] = (float(row["low_c"]), spread)
    return [
        StationNormals(
            station=station,
            name=source.name,
            latitude=source.latitude,
            longitude=source.longitude,
            elevation_m=source.elevation_m,
            product="hourly",
            period=PERIOD,
            lows=lows[station],
            spread_from=OBSERVED if source.observed else "",
        )
        for station, source in SOURCES.items()
    ]
