"""Lengths of tracks that are known, and the days that a track is of."""

from datetime import UTC, date, datetime

import pytest
from tarebook.tripdata.errors import QuestionError
from tarebook.tripdata.tracks import read_track
from trackfiles import (
    EQUATOR_DEGREE_KM,
    MAY_1,
    QUADRANT_KM,
    START,
    gpx,
    line,
    only_day,
    track,
    walk,
)


@pytest.mark.outside(
    "published",
    "WGS 84 (NIMA TR8350.2, table 3.1): radius 6378137 m",
    "a track along a degree of the equator is 111.319490793 km long",
)
@pytest.mark.parametrize("east", [0.0, 8.0, -71.0, 179.5])
def test_a_degree_of_the_equator(east: float) -> None:
    # From 179.5 it crosses the date line.
    places = [(0.0, (east + n / 1000 + 180) % 360 - 180) for n in range(1001)]
    day = only_day(read_track(line(places)))
    assert day.distance_km == pytest.approx(EQUATOR_DEGREE_KM, abs=1e-6)
    assert day.points_used == 1001


@pytest.mark.outside(
    "published",
    "NIST Digital Library of Mathematical Functions, 19.30(i): a quarter of an ellipse, of WGS 84",
    "a track from the equator to a pole is 10001.965729 km long",
)
@pytest.mark.parametrize("sign", [1, -1])
def test_a_quadrant_of_the_meridian_north_and_south(sign: int) -> None:
    day = only_day(read_track(line([(sign * n / 100, 8.0) for n in range(9001)])))
    assert day.distance_km == pytest.approx(QUADRANT_KM, abs=1e-5)


def test_the_sum_is_that_of_the_days_also_where_each_has_a_time() -> None:
    # A point each 11 km and 40 minutes, 16.7 km/h, for 25 days.
    result = read_track(line([(n / 10, 8.0) for n in range(901)], 2400))
    assert len(result.days) == 26
    assert sum(d.distance_km for d in result.days) == pytest.approx(QUADRANT_KM, abs=1e-5)
    assert result.left_out == {}


# Days.


def test_an_evening_belongs_to_the_day_of_the_trips_clock() -> None:
    evening = datetime(2026, 5, 1, 23, tzinfo=UTC)  # 16:00 of that day in Los Angeles
    content = gpx(track(walk(900, evening, lat=37, lon=-119)))
    assert [d.day for d in read_track(content).days] == [MAY_1, date(2026, 5, 2)]
    day = only_day(read_track(content, "America/Los_Angeles"))
    assert (day.day, day.points_used) == (MAY_1, 900)


def test_days_of_utc_are_doubted_only_near_midnight_at_the_place() -> None:
    noon = read_track(gpx(track(walk(50, START.replace(hour=12)))))
    assert noon.near_midnight == 0
    late = gpx(track(walk(50, START.replace(hour=22))))
    assert read_track(late).near_midnight == 50
    assert read_track(late, "Europe/Zurich").near_midnight == 0
    pacific = read_track(gpx(track(walk(50, START.replace(hour=2), lat=37, lon=-119))))
    assert pacific.near_midnight == 50


def test_the_clock_that_is_put_back_makes_a_day_of_25_hours() -> None:
    # 2026-10-25 in Zurich runs from 22:00 to 23:00 UTC.
    start = datetime(2026, 10, 24, 22, tzinfo=UTC)
    content = gpx(track(walk(25 * 60, start, step_s=60)))
    assert only_day(read_track(content, "Europe/Zurich")).day == date(2026, 10, 25)


def test_may_and_october_in_one_file() -> None:
    october = datetime(2026, 10, 9, 8, tzinfo=UTC)
    result = read_track(gpx(track(walk(100)), track(walk(60, october))))
    assert [(d.day, d.points_used) for d in result.days] == [(MAY_1, 100), (october.date(), 60)]
    trip = result.within(date(2026, 10, 8), date(2026, 10, 10))
    assert [d.day for d in trip.days] == [october.date()]
    assert trip.left_out == {"outside": 100}
    assert trip.points_read == trip.points_used + sum(trip.left_out.values()) == 160


def test_an_unknown_time_zone_is_one_line() -> None:
    for name in ("Nowhere/At-All", "../../etc/passwd", "/etc/localtime", "Europe"):
        with pytest.raises(QuestionError, match="there is no time zone"):
            read_track(gpx(track(walk(3))), name)
