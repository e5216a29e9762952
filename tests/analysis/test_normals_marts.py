"""Normals beside the nights of trips, against a second computation, and cases worked by hand."""

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given, settings
from normals_drawing import Drawn, drawn, normals, refill, store_of
from scipy.stats import norm
from store_drawing import empty_store, trip
from tarebook.analysis.climate import station_words
from tarebook.analysis.climate.outlook import Outlook, outlook_of_trip, outlook_rows
from tarebook.analysis.climate.season_spread import season_of_night
from tarebook.analysis.climate.station_choice import (
    NoStation,
    Place,
    StationChoice,
    choose_station,
    station_of_trip,
    stations_near,
)
from tarebook.analysis.display.words import Display
from tarebook.analysis.stats.ar1_chain import any_below
from tarebook.analysis.tables import TABLES
from tarebook.tripdata.normals.packaged import packaged_normals
from tarebook.tripdata.normals.station_file import StationNormals

CAMP: dict[str, Any] = {"latitude": 47.6, "longitude": -122.1, "elevation_mm": 200_000}


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def rows_of(store: Any, name: str) -> list[dict[str, Any]]:
    relation = TABLES[name].relation(store)
    return [dict(zip(relation.columns, row, strict=True)) for row in relation.fetchall()]


def all_sets(book: Drawn) -> list[tuple[StationNormals, bool]]:
    keys = {s.key for s in book.sets}
    packaged = [(s, True) for s in packaged_normals() if s.key not in keys]
    return [(s, False) for s in book.sets] + packaged


def best_of(book: Drawn, station: str) -> tuple[StationNormals, bool]:
    """A file's before the packaged, hours last, the newest; daily with a spread beats monthly."""
    own = [p for p in all_sets(book) if p[0].station == station]
    if any(one.product == "daily" and one.spread_from and not packaged for one, packaged in own):
        own = [p for p in own if p[0].product != "monthly"]
    return min(own, key=_worth)


def spread_of(book: Drawn, station: str) -> tuple[StationNormals, bool] | None:
    """Those of which the spread is: the same, else the best of the others that have one."""
    best = best_of(book, station)
    if best[0].spread_from:
        return best
    own = [p for p in all_sets(book) if p[0].station == station and p[0].spread_from]
    return min(own, key=_worth, default=None)


def _worth(pair: tuple[StationNormals, bool]) -> tuple[Any, ...]:
    one, packaged = pair
    first, last = (int(year) for year in one.period.split("-"))
    return packaged, one.product == "hourly", -last, -first, one.product != "daily"


def source_of(book: Drawn, station: str) -> str:
    """The normals, and the spread where it is of others."""
    one, packaged = best_of(book, station)
    words = f"{one.product} {one.period}{', packaged' if packaged else ''}"
    spread = spread_of(book, station)
    if spread is None or spread[0].key == one.key:
        return words
    other, packed = spread
    return f"{words}; spread {other.product} {other.period}{', packaged' if packed else ''}"


def apart(one: StationNormals, row: dict[str, Any]) -> tuple[float | None, float | None]:
    """Distance in km and height difference in m, where known."""
    km = height = None
    if row["latitude"] is not None and one.latitude is not None and one.longitude is not None:
        found = Geodesic.WGS84.Inverse(
            row["latitude"], row["longitude"], one.latitude, one.longitude
        )
        km = found["s12"] / 1000
    if row["elevation_mm"] is not None and one.elevation_m is not None:
        height = row["elevation_mm"] / 1000 - one.elevation_m
    return km, height


def serving(book: Drawn, row: dict[str, Any]) -> StationNormals | None:
    """The station that serves a trip, by the rule in words."""
    wanted = row["station"]
    stations = sorted({s.station for s, _ in all_sets(book)})
    if wanted is not None:
        for station in stations:
            name = best_of(book, station)[0].name
            if wanted.lower() in (station.lower(), name.lower()):
                return best_of(book, station)[0]
        return None
    ranked = []
    for station in stations:
        one, packaged = best_of(book, station)
        km, height = apart(one, row)
        if km is not None and km <= 100 and abs(height or 0) <= 700:
            ranked.append(((packaged, km + abs(height or 0) / 10, station), one))
    return min(ranked, key=lambda pair: pair[0])[1] if ranked else None


@settings(
    max_examples=20,
)
@given(drawn())
def test_the_tables_equal_a_second_computation(store: Any, book: Drawn) -> None:
    refill(store, book.sets, book.trips, book.lows)
    nights, trips = rows_of(store, "nights"), rows_of(store, "trips")
    listed, near = rows_of(store, "normals"), rows_of(store, "trip_normals")
    chosen = {t["trip"]: station_of_trip(store, t["trip"]) for t in book.trips}
    places = {
        t["trip"]: choose_station(store, Place(t["latitude"], t["longitude"], _m(t)))
        for t in book.trips
        if t["latitude"] is not None
    }
    assert {(n["station"], n["product"], n["period"]) for n in listed} == {
        s.key for s, _ in all_sets(book)
    }
    counting = {(n["station"], n["product"], n["period"]) for n in listed if n["counts"]}
    stations = {one.station for one, _ in all_sets(book)}
    assert counting == {best_of(book, s)[0].key for s in stations}
    spreading = {(n["station"], n["product"], n["period"]) for n in listed if n["spread_counts"]}
    assert spreading == {o[0].key for s in stations if (o := spread_of(book, s)) is not None}
    expected = []
    for row in sorted(book.trips, key=lambda t: t["trip"]):
        one = serving(book, row)
        found = chosen[row["trip"]]
        assert (found.station if isinstance(found, StationChoice) else None) == (
            one.station if one else None
        )
        if row["station"] is None and row["trip"] in places:
            # The rule for a place that is no trip is the rule of the tables.
            assert places[row["trip"]] == found
        served = {n["station"] for n in near if n["trip"] == row["trip"] and n["serves"]}
        assert served == ({one.station} if one else set())
        if not row["plan"]:
            expected += _nights(row, one, book)
    assert len(nights) == len(expected)
    for got, want in zip(nights, expected, strict=True):
        for column, value in want.items():
            near = isinstance(value, float)
            same = pytest.approx(value, rel=1e-9, abs=1e-9) if near else value
            assert got[column] == same, (column, got, want)
    for row in trips:
        anomalies = [
            n["low_anomaly_c"]
            for n in expected
            if n["trip"] == row["trip"] and n["low_anomaly_c"] is not None
        ]
        mean = sum(anomalies) / len(anomalies) if anomalies else None
        assert row["low_anomaly_c"] == pytest.approx(mean, abs=1e-6)


def _m(row: dict[str, Any]) -> float | None:
    return None if row["elevation_mm"] is None else row["elevation_mm"] / 1000


def _nights(row: dict[str, Any], one: StationNormals | None, book: Drawn) -> list[dict[str, Any]]:
    found = []
    for k in range((row["end_on"] - row["start_on"]).days):
        night = row["start_on"] + timedelta(k)
        low = book.lows.get((row["trip"], night))
        normal = spread = anomaly = percentile = None
        if one is not None:
            morning = f"{night + timedelta(1):%m-%d}"
            other = spread_of(book, one.station)
            normal = one.lows[morning][0] - 0.0065 * (apart(one, row)[1] or 0)
            spread = other[0].lows[morning][1] if other else None
        if low is not None and normal is not None:
            anomaly = low - normal
            if spread is not None:
                season = season_of_night(night, one.latitude)
                percentile = 100 * float(norm.cdf(season.score(anomaly / spread)))
        found.append(
            {
                "trip": row["trip"],
                "night": night,
                "low_c": low,
                "normal_low_c": normal,
                "normal_low_sd_c": spread,
                "low_anomaly_c": anomaly,
                "low_percentile": percentile,
                "station": one.station if one else None,
                "normal_source": source_of(book, one.station) if one else None,
            }
        )
    return found


def test_a_night_is_set_beside_the_morning_on_which_it_ends() -> None:
    # The lows of `normals` rise by .01 a day from 5.00 on 1 January: 29 February is 5.59.
    one = normals(elevation_m=200.0)
    starts = {"leap": date(2024, 2, 28), "common": date(2023, 2, 28), "eve": date(2023, 12, 31)}
    trips = [trip(name, day, 1, **CAMP) for name, day in starts.items()]
    with store_of([one], trips) as store:
        found = {n["trip"]: n["normal_low_c"] for n in rows_of(store, "nights")}
    assert found == pytest.approx({"leap": 5.59, "common": 5.60, "eve": 5.00})


@pytest.mark.outside(
    "published",
    "ISO 2533, standard atmosphere: 6.5 K per km to 11 km",
    "a camp 100 m above its station is .65 °C colder",
)
def test_normals_are_brought_to_the_height_of_the_camp() -> None:
    # The camp is 100 m above the station.
    with store_of([normals()], [trip("a", date(2024, 6, 1), 1, **CAMP)]) as store:
        higher = rows_of(store, "nights")[0]["normal_low_c"]
    level = {**CAMP, "elevation_mm": 100_000}
    with store_of([normals()], [trip("a", date(2024, 6, 1), 1, **level)]) as store:
        same = rows_of(store, "nights")[0]["normal_low_c"]
    unknown = {**CAMP, "elevation_mm": None}
    with store_of([normals()], [trip("a", date(2024, 6, 1), 1, **unknown)]) as store:
        blank = rows_of(store, "nights")[0]["normal_low_c"]
    assert higher == pytest.approx(same - 0.65)
    assert blank == same


@pytest.mark.outside(
    "published",
    "NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1, standard normal distribution",
    "-1 is at 15.866 %, 1.96 at 97.5 %, 3 at 99.865 %",
)
@pytest.mark.parametrize(
    ("deviations", "percentile"),
    [(0, 50.0), (-1, 15.866), (1, 84.134), (-1.96, 2.5), (1.96, 97.5), (3, 99.865), (-3, 0.135)],
)
def test_percentiles_of_textbook_deviations(deviations: float, percentile: float) -> None:
    # In July the curve of the season is the normal one.
    one = normals(sd_c=2.0, lows=dict.fromkeys(normals().lows, (5.0, 2.0)), elevation_m=200.0)
    day = date(2024, 7, 1)
    low = {("a", day): 5.0 + 2 * deviations}
    with store_of([one], [trip("a", day, 1, **CAMP)], low) as store:
        found = rows_of(store, "nights")[0]["low_percentile"]
    assert found == pytest.approx(percentile, abs=6e-4)


def test_percentiles_are_right_far_out_and_never_beyond_their_ends() -> None:
    one = normals(sd_c=0.5, lows=dict.fromkeys(normals().lows, (0.0, 0.5)), elevation_m=200.0)
    start = date(2024, 6, 1)
    lows = {("a", start + timedelta(k)): -60 + 0.3 * k for k in range(400)}
    with store_of([one], [trip("a", start, 400, **CAMP)], lows) as store:
        found = rows_of(store, "nights")
    for night in found:
        score = season_of_night(night["night"], 47.5).score(night["low_c"] / 0.5)
        assert 0 <= night["low_percentile"] <= 100
        assert night["low_percentile"] == pytest.approx(100 * norm.cdf(score), rel=2e-8, abs=1e-300)


@pytest.mark.parametrize("latitude", [47.5, -41.0, 5.0])
def test_the_seasons_of_the_tables_are_those_of_the_outlook(latitude: float) -> None:
    one = normals(lows=dict.fromkeys(normals().lows, (0.0, 1.0)), latitude=latitude)
    start = date(2023, 12, 25)
    lows = {("a", start + timedelta(k)): -1.7 for k in range(380)}
    where = {"latitude": latitude, "longitude": -122.0, "elevation_mm": 100_000}
    with store_of([one], [trip("a", start, 380, **where)], lows) as store:
        found = rows_of(store, "nights")
    told = [100 * norm.cdf(season_of_night(n["night"], latitude).score(-1.7)) for n in found]
    assert [n["low_percentile"] for n in found] == pytest.approx(told, rel=1e-9)
    assert (len({round(p, 3) for p in told}) == 1) == (latitude == 5.0)


WARM = dict.fromkeys(normals().lows, (7.0, None))
CAMPED = [trip("a", date(2026, 7, 3), 2, **{**CAMP, "elevation_mm": 100_000})]


def outlook_there(store: Any) -> Outlook:
    found = outlook_of_trip(store, "a", 0.0)
    assert isinstance(found, Outlook)
    return found


def test_a_daily_file_beats_a_newer_monthly_one() -> None:
    daily = normals(lows=dict.fromkeys(normals().lows, (5.0, 4.0)))
    monthly = normals(lows=WARM, sd_c=None, product="monthly", period="2006-2020")
    with store_of([daily, monthly], CAMPED) as store:
        found = outlook_there(store)
        night = rows_of(store, "nights")[0]
        listed = {
            n["product"]: n for n in rows_of(store, "normals") if n["station"] == daily.station
        }
    assert found.p_any.value == pytest.approx(any_below([-1.25] * 2), rel=1e-9)
    assert (night["normal_low_c"], night["normal_low_sd_c"]) == (5.0, 4.0)
    assert night["normal_source"] == "daily 1991-2020"
    assert [(listed[p]["counts"], listed[p]["spread_counts"]) for p in ("daily", "monthly")] == [
        (True, True),
        (False, False),
    ]


def test_lows_of_the_newer_file_and_the_spread_of_the_older_are_both_named() -> None:
    # The newer daily file has no spread of single nights.
    name = "FERNHOLLOW AP, WA US"
    newer = normals(lows=WARM, sd_c=None, period="2006-2020", name=name)
    older = normals(lows=dict.fromkeys(normals().lows, (5.0, 4.0)))
    with store_of([newer, older], CAMPED) as store:
        found = outlook_there(store)
        night = rows_of(store, "nights")[0]
        listed = {
            n["period"]: n for n in rows_of(store, "normals") if n["station"] == newer.station
        }
        row = outlook_rows(found)[0]
    assert found.p_any.value == pytest.approx(any_below([-1.75] * 2), rel=1e-9)
    assert (night["normal_low_c"], night["normal_low_sd_c"]) == (7.0, 4.0)
    assert (
        night["normal_source"] == "daily 2006-2020; spread daily 1991-2020" == row["normal_source"]
    )
    assert [(listed[p]["counts"], listed[p]["spread_counts"]) for p in sorted(listed)] == [
        (False, True),
        (True, False),
    ]
    station = found.station
    assert (station.file, station.spread_file) == ("normals/0.csv", "normals/1.csv")
    assert station_words.normals_source(station) == (
        "NOAA’s daily normals 2006–2020 of Fernhollow AP, WA (USW00099999); how much single nights "
        "differ is from its daily normals 1991–2020"
    )


def test_a_monthly_file_takes_the_spread_that_comes_with_the_program() -> None:
    airport = {
        "station": "USW00024233",
        "latitude": 47.4444,
        "longitude": -122.3139,
        "elevation_m": 112.8,
    }
    monthly = normals(lows=WARM, sd_c=None, product="monthly", **airport)
    where = {"latitude": 47.45, "longitude": -122.3, "elevation_mm": 112_800}
    with store_of([monthly], [trip("a", date(2026, 7, 3), 1, **where)]) as store:
        found = outlook_there(store)
        night = rows_of(store, "nights")[0]
    assert found.p_any is None  # 0 °C is farther below than 2.5 deviations
    assert found.rare
    assert night["normal_source"] == "monthly 1991-2020; spread hourly 1981-2010, packaged"
    packaged = next(s for s in packaged_normals() if s.station == "USW00024233")
    assert (night["normal_low_c"], night["normal_low_sd_c"]) == (7.0, packaged.lows["07-04"][1])
    said = station_words.normals_caveats(found.station, Display())
    assert any("that is from another file" in one for one in said)
    assert any("observed in 2012–2015" in one for one in said)


def test_of_daily_files_the_newer_counts_and_a_packaged_one_stays_behind_any_file() -> None:
    flat = dict.fromkeys(normals().lows, (5.0, 4.0))
    for product, period in (("daily", "2006-2020"), ("monthly", "2006-2020")):
        sets = [normals(lows=flat, period="1981-2010"), normals(lows=flat)]
        sets.append(normals(lows=WARM, sd_c=None, product=product, period=period))
        with store_of(sets, CAMPED) as store:
            source = rows_of(store, "nights")[0]["normal_source"]
        assert source == (
            "daily 2006-2020; spread daily 1991-2020" if product == "daily" else "daily 1991-2020"
        )


def test_a_files_station_comes_before_a_packaged_one_that_is_nearer() -> None:
    far = normals(latitude=48.2, longitude=-122.3)
    near_airport = {**CAMP, "latitude": 47.45, "longitude": -122.3}
    with store_of([far], [trip("a", date(2024, 6, 1), 1, **near_airport)]) as store:
        served = rows_of(store, "nights")[0]
        assert (served["station"], served["normal_source"]) == ("USW00099999", "daily 1991-2020")
        assert [s.station for s in stations_near(store, Place(47.45, -122.3))] == [
            "USW00024233",
            "USW00099999",
        ]


def test_the_limits_of_reach_are_100_km_and_700_m() -> None:
    def served(metres: float, height_m: float) -> bool:
        line = Geodesic.WGS84.Direct(47.5, -100.0, 90, metres)
        one = normals(latitude=47.5, longitude=-100.0, elevation_m=1000.0)
        where = {
            "latitude": line["lat2"],
            "longitude": line["lon2"],
            "elevation_mm": round((1000 + height_m) * 1000),
        }
        with store_of([one], [trip("a", date(2024, 6, 1), 1, **where)]) as store:
            return isinstance(station_of_trip(store, "a"), StationChoice)

    assert served(99_999, 700)
    assert not served(100_001, 0)
    assert not served(0, 701)
    assert served(0, -700)
    assert not served(0, -701)


def test_ten_metres_of_height_count_as_one_kilometre() -> None:
    near_high = normals("USC00000001", latitude=47.51, longitude=-100.0, elevation_m=600.0)
    far_level = normals("USC00000002", latitude=47.9, longitude=-100.0, elevation_m=100.0)
    place = Place(47.5, -100.0, 100.0)
    with store_of([near_high, far_level], []) as store:
        found = choose_station(store, place)
        assert isinstance(found, StationChoice)
        # 1.1 km and 500 m (51.1) against 44.5 km at the same height.
        assert found.station == "USC00000002"
        assert found.cost_km == pytest.approx(44.5, abs=0.1)
        level = choose_station(store, Place(47.5, -100.0, 550.0))
    assert isinstance(level, StationChoice)
    assert level.station == "USC00000001"


def test_why_there_is_none() -> None:
    day = date(2024, 6, 1)
    trips = [
        trip("placeless", day, 1, latitude=None, longitude=None, elevation_mm=None),
        trip("unknown", day, 1, station="Mudflat", **CAMP),
        trip("high", day, 1, **{**CAMP, "elevation_mm": 2_000_000}),
        trip("named", day, 1, station="usw00023234", **CAMP),
        trip("asks", day, 1, station="USW00023234", latitude=None, longitude=None),
    ]
    with store_of([], trips) as store:
        assert station_of_trip(store, "placeless") == NoStation("no_place")
        assert station_of_trip(store, "unknown") == NoStation("unknown_station", "Mudflat")
        high = station_of_trip(store, "high")
        assert isinstance(high, NoStation)
        assert high.reason == "out_of_reach"
        assert high.nearest is not None
        assert high.nearest.height_difference_m == pytest.approx(2000 - 112.8)
        named = station_of_trip(store, "named")
        assert isinstance(named, StationChoice)
        assert (named.station, named.named, named.in_reach) == ("USW00023234", True, False)
        asks = station_of_trip(store, "asks")
        assert isinstance(asks, StationChoice)
        assert (asks.distance_km, asks.adjustment_c) == (None, 0.0)
        served = {n["trip"]: n["station"] for n in rows_of(store, "nights")}
    assert served == {
        "placeless": None,
        "unknown": None,
        "high": None,
        "named": "USW00023234",
        "asks": "USW00023234",
    }
