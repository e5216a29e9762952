"""Gaps and jumps of tracks: what is not added, what is left out, what stays."""

import random
from datetime import timedelta

import pytest
from tarebook.tripdata.contract import MODES
from tarebook.tripdata.normals.distance import geodesic_km
from tarebook.tripdata.tracks import read_track
from tarebook.tripdata.tracks.speeds import TOP_KMH, top_kmh
from trackfiles import (
    EQUATOR_DEGREE_KM,
    START,
    STEP_DEG,
    STEP_KM,
    STEP_S,
    Written,
    gpx,
    line,
    only_day,
    track,
    walk,
)

# Gaps: nothing is added across one.


@pytest.mark.parametrize("tracks", [1, 3, 4, 8])
def test_a_walk_in_several_tracks_is_one_day(tracks: int) -> None:
    points = walk(80)
    share = 80 // tracks
    parts = [points[n : n + share] for n in range(0, share * tracks, share)]
    shuffled = random.Random(7).sample(parts, len(parts))
    day = only_day(read_track(gpx(*(track(part) for part in shuffled))))
    legs = share * tracks - tracks
    assert day.distance_km == pytest.approx(legs * STEP_KM, rel=1e-6)
    assert (day.gaps, day.jumps) == (tracks - 1, 0)
    assert day.gap_km == pytest.approx((tracks - 1) * STEP_KM, rel=1e-6)


def test_fourteen_segments() -> None:
    points = walk(140, heights=[500 + n / 2 for n in range(140)])
    day = only_day(read_track(gpx(track(*(points[n : n + 10] for n in range(0, 140, 10))))))
    assert day.distance_km == pytest.approx(126 * STEP_KM, rel=1e-5)
    # Each segment climbs 4.5 m, less than the steps of 5 and 10 m: the day is one profile.
    assert day.ascent_low_m == day.ascent_m == day.ascent_high_m == pytest.approx(14 * 4.5)


@pytest.mark.parametrize(("pause_s", "gaps"), [(300, 0), (301, 1), (2309, 1)])
def test_a_long_pause_inside_a_segment(pause_s: int, gaps: int) -> None:
    before = walk(50)
    at = START + timedelta(seconds=49 * STEP_S + pause_s)
    after = walk(50, at, lat=47 + 59 * STEP_DEG)
    day = only_day(read_track(gpx(track([*before, *after]))))
    assert day.gaps == gaps
    assert day.distance_km == pytest.approx((98 if gaps else 108) * STEP_KM, rel=1e-6)
    assert day.gap_km == pytest.approx(gaps * 10 * STEP_KM, rel=1e-6)
    assert day.points_used == 100


def test_a_device_that_records_rarely_has_no_gaps() -> None:
    day = only_day(read_track(line([(47 + n / 100, 8.0) for n in range(20)], 900)))
    assert day.gaps == 0
    assert day.distance_km == pytest.approx(geodesic_km(47, 8, 47.19, 8), rel=1e-9)


# Jumps.


def moved(point: Written, metres: float) -> Written:
    return point._replace(lat=f"{float(point.lat) + metres / 1000 / STEP_KM * STEP_DEG:.7f}")


@pytest.mark.parametrize("kmh", [118, 331])
@pytest.mark.parametrize("at", [0, 1, 50, 98, 99])
def test_a_point_that_jumps_is_left_out(kmh: float, at: int) -> None:
    points = walk(100)
    points[at] = moved(points[at], -kmh / 3.6 * STEP_S)
    day = only_day(read_track(gpx(track(points)), mode="foot"))
    assert day.left_out == {"jump": 1}
    legs = 98 if at in (0, 99) else 99
    assert day.distance_km == pytest.approx(legs * STEP_KM, rel=1e-6)


def test_several_points_that_jump_together_are_left_out() -> None:
    points = walk(100)
    points[40:44] = [moved(p, 5000) for p in points[40:44]]
    day = only_day(read_track(gpx(track(points)), mode="foot"))
    assert day.left_out == {"jump": 4}
    assert (day.gaps, day.jumps) == (0, 0)
    assert day.distance_km == pytest.approx(99 * STEP_KM, rel=1e-6)


def test_a_place_beside_the_way_that_leads_nowhere_is_left_out() -> None:
    # After a jump three points stand 65 m ahead: to be reached in the 16 s from the last good one,
    # but not to be come back from in the 8 s to the next.
    points = walk(100)
    points[50] = moved(points[50], 50_000)
    points[51:54] = [moved(p, 65) for p in points[51:54]]
    day = only_day(read_track(gpx(track(points)), mode="foot"))
    assert day.left_out == {"jump": 4}
    assert (day.gaps, day.jumps) == (0, 0)
    assert day.distance_km == pytest.approx(99 * STEP_KM, rel=1e-6)


def test_a_ride_between_two_walks_is_left_out_and_both_walks_stay() -> None:
    ride = [moved(p, 33 * STEP_S * (n + 1)) for n, p in enumerate(walk(150)[100:])]  # 118 km/h
    at = START + timedelta(seconds=150 * STEP_S)
    there = walk(100, at, lat=float(ride[-1].lat) + STEP_DEG)
    day = only_day(read_track(gpx(track([*walk(100), *ride, *there])), mode="foot"))
    assert day.points_used + day.left_out["jump"] == 250
    assert 45 <= day.left_out["jump"] <= 50
    assert day.jumps == 1
    assert day.distance_km == pytest.approx(198 * STEP_KM, rel=0.02)


KM_DEG = 1 / EQUATOR_DEGREE_KM
"""A kilometre of the equator in degrees."""


def north_km(first: int, last: int) -> float:
    """How far it is along a walk from one point to another, by their numbers."""
    return geodesic_km(47 + first * STEP_DEG, 8, 47 + last * STEP_DEG, 8)


def equator(*parts: tuple[int, float, float], step_s: float) -> bytes:
    """A track along the equator: of each part how many points, degrees east, km between them."""
    places = [(0.0, east + n * km * KM_DEG) for count, east, km in parts for n in range(count)]
    return line(places, step_s)


@pytest.mark.parametrize("count", range(2, 12))
@pytest.mark.parametrize("first", [True, False])
def test_a_slow_recording_loses_nothing_at_a_jump(count: int, first: bool) -> None:
    # A point each 15 minutes and km, then 55 km by train to the next: 220 km/h.
    few, many = (count, 0.0, 1.0), (30, 0.5, 1.0)
    parts = (few, many) if first else ((30, 0.0, 1.0), (count, 1.0, 1.0))
    day = only_day(read_track(equator(*parts, step_s=900), mode="foot"))
    assert (day.left_out, day.jumps) == ({}, 1)
    assert day.distance_km == pytest.approx(count - 1 + 29, abs=1e-6)


@pytest.mark.parametrize(
    ("count", "step_s", "km", "stays"),
    [
        (7, 8, 0.011, False),  # 48 s, 66 m
        (9, 8, 0.011, True),  # 64 s, 88 m
        (50, 1, 0.0014, False),  # 49 s, 69 m
        (62, 1, 0.0014, True),  # 61 s, 85 m
        (5, 8, 0.044, False),  # 32 s, 176 m, 20 km/h
        (6, 8, 0.044, True),  # 40 s, 220 m
        (2, 61, 0.05, True),
    ],
)
def test_time_and_distance_say_what_stays_before_a_jump(
    count: int, step_s: float, km: float, stays: bool
) -> None:
    parts = ((count, 0.0, km), (400, 1.0, km))
    day = only_day(read_track(equator(*parts, step_s=step_s), mode="foot"))
    assert day.left_out == ({} if stays else {"jump": count})
    assert day.jumps == stays
    assert day.distance_km == pytest.approx(km * (399 + (count - 1) * stays), abs=1e-6)


@pytest.mark.parametrize("count", [1, 2, 20, 35])
def test_another_place_that_can_be_passed_over_is(count: int) -> None:
    # Up to 35 points, 280 s, stand 5 km aside: the way goes on from before them, 11.1 m a point.
    points = walk(200)
    points[80 : 80 + count] = [moved(p, 5000) for p in points[80 : 80 + count]]
    day = only_day(read_track(gpx(track(points)), mode="foot"))
    assert (day.left_out, day.gaps, day.jumps) == ({"jump": count}, 0, 0)
    assert day.distance_km == pytest.approx(north_km(0, 199), abs=1e-6)


def test_an_hour_elsewhere_between_two_rides_stays() -> None:
    # A walk, 50 km by train, an hour's walk there, and back to where the first one ended.
    places = [(0.0, n * 0.011 * KM_DEG) for n in range(100)]
    there = [(0.0, 0.5 + n * 0.011 * KM_DEG) for n in range(450)]
    day = only_day(read_track(line([*places, *there, *places[::-1]], 8), mode="foot"))
    assert (day.left_out, day.jumps) == ({}, 2)
    assert day.distance_km == pytest.approx(0.011 * (99 + 449 + 99), abs=1e-6)


def test_nothing_is_added_across_a_long_time_that_is_left_out() -> None:
    # For ten minutes each point is in another place, none to be reached from the next.
    points = walk(300)
    points[100:175] = [moved(p, 5000 + 400 * n) for n, p in enumerate(points[100:175])]
    day = only_day(read_track(gpx(track(points)), mode="foot"))
    assert (day.left_out, day.gaps, day.jumps) == ({"jump": 75}, 1, 0)
    assert day.distance_km == pytest.approx(north_km(0, 99) + north_km(175, 299), abs=1e-6)
    assert day.gap_km == pytest.approx(north_km(99, 175), abs=1e-6)


def test_what_is_a_jump_depends_on_the_mode() -> None:
    places = [(47 + n / 1000, 8.0) for n in range(50)]  # 111 m in 10 s, 40 km/h
    legs = {mode: only_day(read_track(line(places, 10), mode=mode)).points_used for mode in MODES}
    assert legs["bike"] == legs["ebike"] == legs["mixed"] == 50
    assert legs["foot"] < 5
    assert legs["paddle"] < 5
    assert only_day(read_track(line(places, 10))).points_used == 50


def test_every_mode_has_its_speed() -> None:
    assert {mode: top_kmh(mode) for mode in MODES} == dict(TOP_KMH) | {
        "mixed": max(TOP_KMH.values())
    }


def test_without_times_nothing_is_a_jump() -> None:
    points = walk(100, None)
    points[50] = moved(points[50], 50_000)
    day = only_day(read_track(gpx(track(points)), mode="foot"))
    assert day.points_used == 100
    assert day.distance_km > 99
