"""Stores with stations, normals, trips and lows drawn at random, and what they are drawn from."""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

import duckdb
from hypothesis import strategies as st
from store_drawing import empty_store, fill, trip
from tarebook.tripdata.normals.calendar import LEAP_DAYS
from tarebook.tripdata.normals.keeping import store_normals
from tarebook.tripdata.normals.station_file import StationNormals

PERIODS = ("1981-2010", "1991-2020", "2006-2020")
PRODUCTS = ("daily", "monthly", "hourly")


def normals(
    station: str = "USW00099999", low_c: float = 5.0, sd_c: float | None = 4.0, **more: Any
) -> StationNormals:
    """Normals of one station, warmer by a hundredth of a degree every day of the year."""
    return StationNormals(
        **{
            "station": station,
            "name": f"{station} AP, WA US",
            "latitude": 47.5,
            "longitude": -122.0,
            "elevation_m": 100.0,
            "product": "daily",
            "period": "1991-2020",
            "lows": {d: (low_c + n / 100, sd_c) for n, d in enumerate(LEAP_DAYS)},
            "spread_from": "" if sd_c is None else "published",
            "records": 366,
            **more,
        }
    )


def store_of(
    sets: list[StationNormals],
    trips: list[dict[str, Any]],
    lows: dict[tuple[str, date], float] | None = None,
    more: dict[str, list[dict[str, Any]]] | None = None,
) -> duckdb.DuckDBPyConnection:
    """A store in memory: these normals and the packaged ones, trips, lows by the weather notes."""
    return refill(empty_store(), sets, trips, lows, more)


def refill(
    connection: duckdb.DuckDBPyConnection,
    sets: list[StationNormals],
    trips: list[dict[str, Any]],
    lows: dict[tuple[str, date], float] | None = None,
    more: dict[str, list[dict[str, Any]]] | None = None,
) -> duckdb.DuckDBPyConnection:
    """Put these, and nothing else, into a store."""
    fill(connection, {"trip": trips, **(more or {})})
    for table in ("stations", "normal_sets", "normals", "station_distances"):
        connection.execute(f"DELETE FROM {table}")
    noted = lows or {}
    connection.execute(
        "INSERT INTO weather (trip, day, low_c) SELECT unnest($trip), unnest($day), unnest($low)",
        {"trip": [t for t, _ in noted], "day": [d for _, d in noted], "low": list(noted.values())},
    )
    store_normals(connection, [replace(s, file=f"normals/{n}.csv") for n, s in enumerate(sets)])
    return connection


@dataclass
class Drawn:
    """What a store is drawn from."""

    sets: list[StationNormals]
    trips: list[dict[str, Any]]
    lows: dict[tuple[str, date], float]


heights = st.one_of(st.none(), st.sampled_from([0.0, 100.0, 690.0, 810.0, 1500.0]))


@st.composite
def drawn(draw: st.DrawFn) -> Drawn:
    """Up to four stations of up to two sets each, and trips near to and far from them."""
    sets = []
    for n in range(draw(st.integers(0, 4))):
        place = {
            "latitude": draw(st.one_of(st.none(), st.floats(46.5, 48.5))),
            "longitude": -122.0 + draw(st.floats(-1, 1)),
            "elevation_m": draw(heights),
        }
        kinds = draw(
            st.lists(
                st.tuples(st.sampled_from(PRODUCTS), st.sampled_from(PERIODS)),
                min_size=1,
                max_size=2,
                unique=True,
            )
        )
        for product, period in kinds:
            spread = draw(st.one_of(st.none(), st.floats(1, 9)))
            sets.append(
                normals(
                    f"USC0000000{n}",
                    draw(st.floats(-20, 20)),
                    spread,
                    product=product,
                    period=period,
                    **place,
                )
            )
    names = [s.station for s in sets] or ["USC00000000"]
    trips, lows = [], {}
    for n in range(draw(st.integers(1, 4))):
        start = draw(st.dates(date(2023, 12, 25), date(2024, 3, 5)))
        nights = draw(st.integers(0, 4))
        where: dict[str, Any] = {"latitude": None, "longitude": None, "elevation_mm": None}
        if draw(st.integers(0, 4)):
            where = {
                "latitude": draw(st.floats(46, 49)),
                "longitude": -122.0 + draw(st.floats(-1, 1)),
            }
            height = draw(heights)
            where["elevation_mm"] = None if height is None else int(height * 1000)
        named = draw(st.sampled_from([None, None, None, names[0], f"{names[-1]} ap, wa us", "Mud"]))
        plan = draw(st.integers(0, 5)) == 0
        trips.append(trip(f"trip-{n}", start, nights, **where, station=named, plan=plan))
        for k in range(nights):
            if draw(st.booleans()):
                lows[f"trip-{n}", start + timedelta(k)] = draw(st.floats(-30, 30))
    return Drawn(sets, trips, lows)
