"""Points that come twice, backward or without a time; time on the move."""

import math
import random
from datetime import UTC, date, datetime, timedelta

import pytest
from tarebook.tripdata.tracks import read_track
from tarebook.tripdata.tracks.gpx import parse_gpx
from tarebook.tripdata.tracks.reading import measure
from trackfiles import (
    MAY_1,
    START,
    STEP_DEG,
    STEP_KM,
    STEP_S,
    Written,
    gpx,
    line,
    only_day,
    stamp,
    track,
    walk,
)

# Doubled, backward, recorded twice.


@pytest.mark.parametrize("doubles", [11, 96])
def test_doubled_points(doubles: int) -> None:
    points = walk(100)
    again = sorted(points + points[2 : 2 + doubles], key=lambda p: p.time or "")
    for content in (gpx(track(again)), gpx(track(points), track(points[2 : 2 + doubles]))):
        day = only_day(read_track(content))
        assert day.left_out == {"doubled": doubles}
        assert day.distance_km == pytest.approx(99 * STEP_KM, rel=1e-6)


def test_doubled_points_without_times() -> None:
    points = [p for p in walk(20, None) for _ in range(3)]
    day = only_day(read_track(gpx(track(points))))
    assert day.left_out == {"doubled": 40}
    assert day.distance_km == pytest.approx(19 * STEP_KM, rel=1e-6)


def test_a_way_walked_twice_without_times_is_not_doubled() -> None:
    there = walk(20, None)
    day = only_day(read_track(gpx(track(there + there[::-1]))))
    assert day.left_out == {"doubled": 1}
    assert day.distance_km == pytest.approx(38 * STEP_KM, rel=1e-6)


def test_a_track_that_runs_backward_in_time_is_turned() -> None:
    heights = [500.0 + n for n in range(100)]
    turned = read_track(gpx(track(walk(100, heights=heights)[::-1])))
    straight = read_track(gpx(track(walk(100, heights=heights))))
    assert turned.reversed_segments == 1
    assert turned.days == straight.days
    assert only_day(turned).ascent_m == pytest.approx(99)


def test_points_that_go_back_in_time_are_left_out() -> None:
    points = walk(100)
    points[30], points[60] = (
        points[30]._replace(time=stamp(START - timedelta(hours=1))),
        points[60]._replace(time=stamp(START + timedelta(hours=9))),
    )
    day = only_day(read_track(gpx(track(points))))
    assert day.left_out == {"backward": 2}
    assert day.distance_km == pytest.approx(99 * STEP_KM, rel=1e-6)


def test_one_walk_by_two_devices_counts_once() -> None:
    # The second begins and ends later, and stands a few metres beside.
    watch = walk(100, START + timedelta(seconds=203), lon=8.00005, lat=47 + 25 * STEP_DEG)
    files = [parse_gpx(gpx(track(walk(100)))), parse_gpx(gpx(track(watch)))]
    for order in (files, files[::-1]):
        day = only_day(measure(order))
        assert day.points_read == 200
        assert day.points_used + day.left_out["overlap"] == 200
        assert day.left_out["overlap"] == 74
        assert day.distance_km == pytest.approx(124 * STEP_KM, abs=3 * STEP_KM)


def test_another_device_fills_the_pause_of_the_first() -> None:
    pause = START + timedelta(seconds=50 * STEP_S + 1000)
    first = [*walk(50), *walk(50, pause, lat=47.02)]
    second = walk(50, START + timedelta(seconds=60 * STEP_S), lat=47.006)
    day = only_day(read_track(gpx(track(first), track(second))))
    assert day.points_used == 150
    assert (day.gaps, day.left_out) == (2, {})


# Times that are missing.


def test_a_track_without_times_has_no_day_and_no_hours() -> None:
    day = only_day(read_track(gpx(track(walk(100, None, heights=[*range(500, 600)])))))
    assert day.day is None
    assert day.hours is None
    assert (day.ascent_low_m, day.ascent_m, day.ascent_high_m) == (99, 99, 99)
    assert day.distance_km == pytest.approx(99 * STEP_KM, rel=1e-6)


def test_it_can_be_put_on_a_day() -> None:
    result = read_track(gpx(track(walk(100, None)), track(walk(50))))
    assert [d.day for d in result.days] == [None, MAY_1]
    day = only_day(result.on(MAY_1))
    assert (day.day, day.points_used, day.hours) == (MAY_1, 150, None)
    assert day.distance_km == pytest.approx(148 * STEP_KM, rel=1e-6)
    other = result.on(date(2026, 4, 30))
    assert [d.day for d in other.days] == [date(2026, 4, 30), MAY_1]
    timed = read_track(gpx(track(walk(50))))
    assert timed.on(MAY_1) is timed


def test_times_that_lack_partly() -> None:
    points = [p._replace(time=None) if n % 20 == 5 else p for n, p in enumerate(walk(100))]
    day = only_day(read_track(gpx(track(points))))
    assert (day.day, day.points_used) == (MAY_1, 100)
    assert day.distance_km == pytest.approx(99 * STEP_KM, rel=1e-6)
    assert day.hours == pytest.approx(99 * STEP_S / 3600)
    few = [p._replace(time=None) if n % 4 else p for n, p in enumerate(walk(100))]
    day = only_day(read_track(gpx(track(few))))
    assert (day.day, day.points_used, day.hours) == (MAY_1, 100, None)
    assert day.distance_km == pytest.approx(99 * STEP_KM, rel=1e-6)


def test_times_that_lack_at_the_beginning() -> None:
    at = START + timedelta(seconds=200 * STEP_S)
    rest = [
        Written("47.0199", "8.0", None, stamp(at + n * timedelta(minutes=2))) for n in range(30)
    ]
    points = [*walk(200), *rest, *walk(100, at + timedelta(hours=1), lat=47.02)]
    points[:9] = [p._replace(time=None) for p in points[:9]]
    day = only_day(read_track(gpx(track(points))))
    assert (day.day, day.points_used) == (MAY_1, 330)
    assert day.hours == pytest.approx(290 * STEP_S / 3600, abs=3 / 60)


def test_a_step_belongs_to_the_day_on_which_it_begins() -> None:
    start = datetime(2026, 5, 1, 23, 59, 30, tzinfo=UTC)
    days = read_track(
        gpx(track(walk(100, start, heights=[500.0 + 6 * n for n in range(100)])))
    ).days
    assert [d.points_used for d in days] == [4, 96]
    assert [d.distance_km for d in days] == pytest.approx([4 * STEP_KM, 95 * STEP_KM], rel=1e-6)
    assert [d.ascent_m for d in days] == [24, 570]
    assert [d.hours for d in days] == pytest.approx([32 / 3600, 760 / 3600])


# Hours on the move.


def wavering(step_s: int, rest_h: int, metres: float = 4.0) -> tuple[float, list[Written]]:
    """Four hours at 4 km/h with a rest in the middle, by a receiver that wavers.

    Its error goes away by 1/e in a minute; heights waver four times as much. The way is 16 km.
    """
    draw, stays = random.Random(20260501), math.exp(-step_s / 60)
    points, y, errors = [], 0.0, [0.0, 0.0, 0.0]
    for n in range((4 + rest_h) * 3600 // step_s):
        moving = not 2 <= n * step_s / 3600 < 2 + rest_h
        y += 4 / 3.6 * step_s if moving and n else 0.0
        errors = [stays * e + math.sqrt(1 - stays**2) * draw.gauss(0, metres) for e in errors]
        lat, lon = (y + errors[0]) / 110_574, 8 + errors[1] / 111_319
        at = START + timedelta(seconds=n * step_s)
        points.append(Written(f"{lat:.7f}", f"{lon:.7f}", f"{500 + 4 * errors[2]:.1f}", stamp(at)))
    return y / 1000, points


@pytest.mark.parametrize("rest_h", [1, 10])
def test_a_rest_adds_neither_time_nor_way(rest_h: int) -> None:
    way_km, points = wavering(10, rest_h)
    day = only_day(read_track(gpx(track(points)), "UTC", "foot"))
    assert day.hours == pytest.approx(4, abs=0.05)
    assert day.distance_km == pytest.approx(way_km, rel=0.03)
    assert day.rest_km > 0.6 * rest_h
    assert day.points_used == len(points)


def test_a_rest_adds_no_climbing() -> None:
    climbs = [only_day(read_track(gpx(track(wavering(10, h)[1])))).ascent_m or 0 for h in (1, 10)]
    assert climbs[1] == pytest.approx(climbs[0], rel=0.1)


def test_a_point_each_half_hour_still_has_hours() -> None:
    day = only_day(read_track(line([(47 + n / 50, 8.0) for n in range(9)], 1800)))
    assert day.hours == pytest.approx(4)
