"""The normals that come with the program, so that the demo and a first try need no download.

The two stations are Seattle-Tacoma and San Francisco International Airport. Lows: from NOAA's
hourly normals 1981-2010, as the PyPI package vega_datasets 0.9.0 ships them in seattle-temps.csv
and sf-temps.csv (U.S. Government data, public domain; stations by that project's SOURCES.md).
Spread, Seattle only: from the lows observed in 2012-2015 in its seattle-weather.csv, by NOAA's way
of making it. Coordinates: NOAA's inventory of the daily normals 1991-2020. `making` made the table.
"""

from collections import defaultdict

from ..own_files import own_rows
from .calendar import Low
from .station_file import StationNormals

TABLE = "packaged.csv"
HEADER = ("station", "month_day", "low_c", "spread_c")
PERIOD = "1981-2010"
OBSERVED = "observed 2012-2015"


def packaged_stations() -> list[dict[str, str]]:
    """The stations: where each stands, and the files that its columns are made from."""
    return own_rows(__package__, "packaged_stations.csv")


def packaged_normals() -> list[StationNormals]:
    """The packaged stations, with their lows in °C."""
    lows: dict[str, dict[str, Low]] = defaultdict(dict)
    for row in own_rows(__package__, TABLE):
        spread = float(row["spread_c"]) if row["spread_c"] else None
        lows[row["station"]][row["month_day"]] = (float(row["low_c"]), spread)
    return [
        StationNormals(
            station=each["station"],
            name=each["name"],
            latitude=float(each["latitude"]),
            longitude=float(each["longitude"]),
            elevation_m=float(each["elevation_m"]),
            product="hourly",
            period=PERIOD,
            lows=lows[each["station"]],
            spread_from=OBSERVED if each["observed"] else "",
        )
        for each in packaged_stations()
    ]
