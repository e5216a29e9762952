"""What is not published as it is used: days from months, the packaged stations, distances."""

import csv
import importlib.resources
import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import ellipe
from tarebook.tripdata.normals.calendar import DAYS, LEAP_DAYS, MONTH_DAYS
from tarebook.tripdata.normals.distance import NEAR_KM, geodesic_km, near, sphere_km
from tarebook.tripdata.normals.harmonics import days_from_months
from tarebook.tripdata.normals.making import spread_of_lows
from tarebook.tripdata.normals.packaged import packaged_normals, packaged_stations
from tarebook.tripdata.normals.station_file import read_station_file

Noaa = Callable[[str], Path]


def month_means(days: dict[str, float]) -> list[float]:
    return [
        sum(days[d] for d in DAYS if d.startswith(f"{m:02d}")) / MONTH_DAYS[m - 1]
        for m in range(1, 13)
    ]


@settings(max_examples=50)
@given(st.lists(st.floats(-60, 60), min_size=12, max_size=12))
def test_the_curve_keeps_the_mean_of_every_month(monthly: list[float]) -> None:
    assert month_means(days_from_months(monthly)) == pytest.approx(monthly, abs=1e-9)


def test_the_curve_of_a_single_wave_is_that_wave() -> None:
    # A year of one harmonic bends least of all that have its months, but for rounding.
    turn = 2 * np.pi * np.arange(1, 366) / 365
    wave = dict(zip(DAYS, 10 - 15 * np.cos(turn - 0.4), strict=True))
    found = days_from_months(month_means(wave))
    assert max(abs(found[d] - wave[d]) for d in DAYS) < 0.01


@pytest.mark.outside(
    "official data",
    "NOAA, U.S. Climate Normals, daily, three files",
    "days made of the months' means lie by .17 °C (rms) from the daily normals, at most .28 °C",
)
def test_the_curve_stays_near_the_real_daily_normals(noaa: Noaa) -> None:
    # NOAA's own daily normals, made by the same constraints from daily records.
    for name in (
        "daily-1991-2020-USW00094765",
        "daily-1991-2020-USW00094728",
        "daily-1981-2010-USW00094765",
    ):
        lows = read_station_file("", noaa(f"normals-{name}.csv").read_bytes()).lows
        real = {d: lows[d][0] for d in DAYS}
        found = days_from_months(month_means(real))
        errors = [found[d] - real[d] for d in DAYS]
        rms, most = math.sqrt(sum(e * e for e in errors) / 365), max(map(abs, errors))
        print(f"{name}: curve from months off by {rms:.3f} °C (rms), at most {most:.3f} °C")
        assert rms < 0.17
        assert most < 0.28


def shipped(name: str) -> pd.DataFrame:
    source = importlib.resources.files("vega_datasets") / "_data" / name
    with importlib.resources.as_file(source) as path:
        return pd.read_csv(path)


def packaged_by_pandas(source: str) -> pd.Series:
    """Lows by `MM-DD`, noon to noon, once more in pandas."""
    hours = shipped(source)
    when = pd.to_datetime(hours["date"])
    night = (when + pd.Timedelta(hours=12)).dt.strftime("%m-%d")
    # What comes after noon of 31 December belongs to the night that ends on 1 January.
    lows = hours["temp"].groupby(night).min()
    return (lows - 32) / 1.8


@pytest.mark.outside(
    "official data",
    "NOAA's hourly normals 1981-2010 of Seattle and San Francisco, as vega_datasets ships "
    "them, read by pandas",
    "the lowest hour of each night, 365 days of two stations",
)
def test_the_packaged_lows_are_those_of_the_package_they_are_made_from() -> None:
    for normals, source in zip(packaged_normals(), packaged_stations(), strict=True):
        expected = packaged_by_pandas(source["hours"])
        assert tuple(normals.lows) == LEAP_DAYS
        for day in DAYS:
            # Kept to a hundredth of a degree.
            assert normals.lows[day][0] == pytest.approx(expected[day], abs=0.0051), day
        leap = (normals.lows["02-28"][0] + normals.lows["03-01"][0]) / 2
        assert normals.lows["02-29"][0] == pytest.approx(leap, abs=0.0101)


@pytest.mark.outside(
    "official data",
    "NOAA's daily records of Seattle 2012-2015, as vega_datasets ships them, read by pandas",
    "standard deviations of 15 days, smoothed over 29",
)
def test_the_packaged_spread_is_that_of_the_observed_years() -> None:
    observed = shipped("seattle-weather.csv")
    when = pd.to_datetime(observed["date"])
    assert (when.min(), when.max()) == (pd.Timestamp("2012-01-01"), pd.Timestamp("2015-12-31"))
    day = when.dt.strftime("%m-%d")
    table = observed["temp_min"].groupby(day).apply(list).reindex(list(DAYS))
    pools = pd.concat([table, table, table], ignore_index=True)
    raw = [np.std(np.concatenate(pools[i - 7 : i + 8].tolist()), ddof=1) for i in range(365, 730)]
    tripled = pd.Series(raw * 3)
    smooth = tripled.rolling(29, center=True).mean()[365:730].to_numpy()
    seattle, francisco = packaged_normals()
    spreads = [seattle.lows[d][1] for d in DAYS]
    assert spreads == pytest.approx(list(smooth), abs=0.0051)
    assert all(spread is None for _, spread in francisco.lows.values())


@pytest.mark.outside(
    "official data",
    "NOAA, GHCN-Daily 2009-2020 and DLY-TMIN-STDDEV 1991-2020, USW00094728",
    "Central Park's spread by this way is NOAA's within 6 % (rms)",
)
def test_the_way_of_making_a_spread_gives_back_a_published_one(noaa: Noaa) -> None:
    # Central Park: STDDEV as NOAA publishes it, of 1991-2020, against the lows of 2009-2020.
    published = read_station_file(
        "", noaa("normals-daily-1991-2020-USW00094728.csv").read_bytes()
    ).lows
    with noaa("ghcn-daily-observed-USW00094728-2009-2024.csv").open(newline="") as file:
        lows = {r["DATE"]: (float(r["TMIN"]) - 32) / 1.8 for r in csv.DictReader(file)}
    for first, last, allowed in ((2009, 2020, 0.06), (2012, 2015, 0.12), (2016, 2019, 0.12)):
        found = spread_of_lows({d: low for d, low in lows.items() if first <= int(d[:4]) <= last})
        ratios = [found[d] / (published[d][1] or 0) for d in DAYS]
        off = math.sqrt(sum((r - 1) ** 2 for r in ratios) / 365)
        print(
            f"spread from {first}-{last} against the published one: off by {off:.1%} (rms), "
            f"{min(ratios):.2f} to {max(ratios):.2f}"
        )
        assert off < allowed


@pytest.mark.outside(
    "official data",
    "NOAA, inventory of the daily normals 1991-2020",
    "latitude, longitude and height of the packaged stations",
)
def test_the_packaged_stations_stand_where_noaa_has_them(noaa: Noaa) -> None:
    with noaa("inventory-daily-1991-2020.csv").open(newline="") as file:
        inventory = {row["station_id"]: row for row in csv.DictReader(file)}
    for station in packaged_normals():
        row = inventory[station.station]
        assert float(row["latitude"]) == station.latitude
        assert float(row["longitude"]) == station.longitude
        assert float(row["elevation"]) == station.elevation_m
        assert station.name == f"{row['name']}, {row['state']} US"


@pytest.mark.outside(
    "published",
    "Karney, test set of geodesics (doi:10.5281/zenodo.32156), the cases that GeographicLib ships",
    "(35.60777, -139.44815) to (-11.17491, -69.95921) is 8935.2445604818 km, and 19 more",
)
def test_distances_are_those_of_the_published_geodesics() -> None:
    found = geodesic_km(35.60777, -139.44815, -11.17491, -69.95921)
    assert found == pytest.approx(8935.2445604818, abs=1e-9)
    from geographiclib.test.test_geodesic import GeodesicTest

    cases = GeodesicTest.testcases
    assert len(cases) >= 20
    for lat1, lon1, _, lat2, lon2, _, metres, *_ in cases:
        assert geodesic_km(lat1, lon1, lat2, lon2) == pytest.approx(metres / 1000, abs=1e-8)


@pytest.mark.outside(
    "implementation",
    "SciPy's ellipe on WGS 84 (NIMA TR8350.2: 6378.137 km, 1/298.257223563)",
    "from the equator to the pole it is 10001.965729 km",
)
def test_a_degree_of_the_meridian_is_as_surveyed() -> None:
    # 6378.137 km x E(e²), the complete elliptic integral of the second kind.
    squared = (2 - 1 / 298.257223563) / 298.257223563
    assert geodesic_km(0, 0, 90, 0) == pytest.approx(6378.137 * float(ellipe(squared)), abs=1e-9)
    assert geodesic_km(0, 0, 90, 0) == pytest.approx(10001.965729, abs=1e-6)


@pytest.mark.outside(
    "published",
    "WGS 84 (NIMA TR8350.2, table 3.1): radius 6378137 m",
    "a degree of longitude at the equator is 111.319490793 km",
)
def test_a_degree_of_the_equator_is_that_of_its_circle() -> None:
    for east in (0.0, 8.0, -71.0, 179.5):
        found = geodesic_km(0, east, 0, (east + 1 + 180) % 360 - 180)
        assert found == pytest.approx(111.319490793, abs=5e-10)


degrees = st.tuples(st.floats(-89, 89), st.floats(-180, 180))


@settings(max_examples=100)
@given(degrees, degrees)
def test_the_quick_distance_is_near_enough_to_sort_by(
    one: tuple[float, float], other: tuple[float, float]
) -> None:
    exact, rough = geodesic_km(*one, *other), sphere_km(*one, *other)
    assert abs(rough - exact) <= 0.006 * exact + 1e-6


def test_near_keeps_what_is_in_reach_and_the_nearest() -> None:
    places = {"here": (47.0, -122.0), "there": (47.5, -122.0), "far": (52.0, -122.0)}
    found = near((47.1, -122.0), places)
    assert set(found) == {"here", "there"}
    assert found["there"] < NEAR_KM
    assert set(near((60.0, -122.0), places)) == {"far"}
    assert near((60.0, -122.0), {}) == {}
