"""What the method says against what NOAA observed: Central Park 2009-2020; a simulation."""

import csv
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from normals_drawing import store_of
from store_drawing import trip
from tarebook.analysis.stats.ar1_chain import NIGHT_TO_NIGHT, any_below
from tarebook.analysis.tables import TABLES
from tarebook.tripdata.normals.station_file import StationNormals, read_station_file

Noaa = Callable[[str], Path]
YEARS = range(2009, 2021)


@pytest.fixture(scope="module")
def park(noaa: Noaa) -> StationNormals:
    path = noaa("normals-daily-1991-2020-USW00094728.csv")
    return read_station_file(path.name, path.read_bytes())


@pytest.fixture(scope="module")
def observed(noaa: Noaa) -> dict[date, float]:
    """Daily minima of Central Park in °C, GHCN-Daily."""
    with noaa("ghcn-daily-observed-USW00094728-2009-2024.csv").open(newline="") as file:
        rows = {date.fromisoformat(r["DATE"]): r["TMIN"] for r in csv.DictReader(file)}
    return {d: (float(t) - 32) / 1.8 for d, t in rows.items() if d.year in YEARS}


@pytest.fixture(scope="module")
def deviations(park: StationNormals, observed: dict[date, float]) -> np.ndarray:
    found = [
        (low - park.lows[f"{d:%m-%d}"][0]) / (park.lows[f"{d:%m-%d}"][1] or 0)
        for d, low in observed.items()
    ]
    assert len(found) == 4383
    # Records are whole degrees and normals tenths: many fall on a threshold to the last digit.
    return np.round(found, 9)


def by_year(hits: np.ndarray, days: list[date]) -> tuple[float, float]:
    """Share of hits and its standard error, by blocks of a year: nights are not independent."""
    years = np.array([d.year for d in days])
    shares = [hits[years == y].mean() for y in YEARS]
    return float(hits.mean()), float(np.std(shares, ddof=1) / np.sqrt(len(shares)))


@pytest.mark.outside(
    "official data",
    "NOAA, GHCN-Daily 2009-2020 and U.S. Climate Normals 1991-2020, USW00094728",
    "Central Park's nights lie below each percentile as often as it says",
)
def test_percentiles_of_real_nights_are_uniform(
    park: StationNormals, observed: dict[date, float]
) -> None:
    # Every night of twelve years as trips of the store, each low that of the morning after.
    trips, lows = [], {}
    for year in YEARS:
        name, start = f"{year}", date(year, 1, 1)
        for part in range(13):
            first = start + timedelta(28 * part)
            nights = min(28, (date(year, 12, 31) - first).days)
            trips.append(
                trip(
                    f"{name}-{part:02d}",
                    first,
                    nights,
                    latitude=40.78,
                    longitude=-73.97,
                    elevation_mm=39_600,
                )
            )
            for k in range(nights):
                night = first + timedelta(k)
                lows[f"{name}-{part:02d}", night] = observed[night + timedelta(1)]
    with store_of([park], trips, lows) as store:
        rows = [
            dict(zip(("night", "percentile"), r, strict=True))
            for r in TABLES["nights"].relation(store).project("night, low_percentile").fetchall()
        ]
    assert len(rows) > 4300
    days = [r["night"] for r in rows]
    found = np.array([r["percentile"] for r in rows])
    for percent in (5, 10, 25, 50, 75, 90, 95):
        share, error = by_year(found < percent, days)
        print(f"percentile under {percent}: {share:.3f} ± {error:.3f} of the nights")
        assert abs(share - percent / 100) < 2.5 * error


@pytest.mark.outside(
    "official data",
    "NOAA, GHCN-Daily 2009-2020 and U.S. Climate Normals 1991-2020, USW00094728",
    "of 3 and 7 nights any is 1.5 or 2 SD below the normal about as often as told",
)
@pytest.mark.parametrize("nights", [3, 7])
@pytest.mark.parametrize("threshold", [-1.5, -2.0])
def test_chances_are_those_of_the_record_within_a_third(
    deviations: np.ndarray, observed: dict[date, float], nights: int, threshold: float
) -> None:
    starts = len(deviations) - nights + 1
    hits = np.array([(deviations[i : i + nights] < threshold).any() for i in range(starts)])
    found, error = by_year(hits, list(observed)[:starts])
    chance = any_below([threshold] * nights)
    print(f"{nights} nights under {threshold}: {found:.3f} ± {error:.3f}, model {chance:.3f}")
    # The model errs on the side of the cold, by no more than 30 %.
    assert 0.7 < found / chance < 1.05


@pytest.mark.outside(
    "official data",
    "NOAA, GHCN-Daily 2009-2020 and U.S. Climate Normals 1991-2020, USW00094728",
    "neighbouring nights correlate at .682 ± .01",
)
def test_neighbouring_nights_are_alike_as_the_model_has_it(deviations: np.ndarray) -> None:
    found = np.corrcoef(deviations[:-1], deviations[1:])[0, 1]
    assert found == pytest.approx(NIGHT_TO_NIGHT, abs=0.01)


def test_three_nights_at_lebanon_agree_with_a_simulation(noaa: Noaa) -> None:
    from tarebook.analysis.climate.outlook import Outlook, outlook
    from tarebook.analysis.climate.station_choice import Place

    path = noaa("normals-daily-1991-2020-USW00094765.csv")
    lebanon = read_station_file("", path.read_bytes())
    with store_of([lebanon], []) as store:
        found: Any = outlook(
            store, Place(43.7, -72.2, 300.0), date(2027, 10, 8), date(2027, 10, 11), -4.0
        )
    assert isinstance(found, Outlook)
    means = np.array([n.normal_low_c for n in found.nights])
    spreads = np.array([n.sd_c for n in found.nights])
    # 8 October: the normal of the 9th, 117.7 m higher than the station.
    low, spread = lebanon.lows["10-09"]
    assert means[0] == pytest.approx(low - 0.0065 * 117.7)
    assert spreads[0] == spread
    rng = np.random.default_rng(4)
    draws = 1_000_000
    steps = rng.standard_normal((draws, 3))
    for k in (1, 2):
        steps[:, k] = 0.68 * steps[:, k - 1] + np.sqrt(1 - 0.68**2) * steps[:, k]
    # Each low bent by the season's curve of its night.
    lows = [
        night.normal_low_c + night.sd_c * night.season.deviations(steps[:, k])
        for k, night in enumerate(found.nights)
    ]
    share = (np.array(lows) < -4.0).any(axis=0).mean()
    error = np.sqrt(share * (1 - share) / draws)
    print(f"three nights at Lebanon: {found.p_any.value:.5f}, simulated {share:.5f} ± {error:.5f}")
    assert abs(found.p_any.value - share) < 4 * error
    product = 1 - np.prod([1 - n.p_below for n in found.nights])
    assert found.p_any.value < product
    assert found.p_any.low < found.p_any.value < found.p_any.high
