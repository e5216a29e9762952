"""What tracks say of days: lengths that are known, and files made to the patterns of real ones."""

import math
import random
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ellipe
from tarebook.tripdata.contract import MODES
from tarebook.tripdata.errors import QuestionError
from tarebook.tripdata.normals.distance import geodesic_km
from tarebook.tripdata.tracks import Track, TrackDay, read_track
from tarebook.tripdata.tracks.climbing import STEPS_M, climbed_m
from tarebook.tripdata.tracks.gpx import parse_gpx
from tarebook.tripdata.tracks.reading import measure
from tarebook.tripdata.tracks.speeds import TOP_KMH, top_kmh
from trackfiles import START, STEP_DEG, STEP_S, Written, gpx, stamp, track, walk

MAY_1 = date(2026, 5, 1)
STEP_KM = geodesic_km(47, 8, 47 + STEP_DEG, 8)


def only_day(result: Track) -> TrackDay:
    (day,) = result.days
    return day


def line(
    places: list[tuple[float, float]], step_s: float = 0, heights: list[float] | None = None
) -> bytes:
    """A track through places, a step each time, or without times."""
    return gpx(
        track(
            [
                Written(
                    f"{lat:.10f}",
                    f"{lon:.10f}",
                    None if heights is None else str(heights[n]),
                    stamp(START + timedelta(seconds=n * step_s)) if step_s else None,
                )
                for n, (lat, lon) in enumerate(places)
            ]
        )
    )


# Lengths that are known.

EQUATOR_DEGREE_KM = 111.319490793
"""6378.137 km x pi / 180; the radius is that of WGS 84."""
QUADRANT_KM = 6378.137 * float(ellipe((2 - 1 / 298.257223563) / 298.257223563))
"""Equator to pole on WGS 84, by the complete elliptic integral of the second kind of e²."""


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
    "implementation",
    "SciPy's ellipe on WGS 84 (NIST Digital Library of Mathematical Functions, 19.30(i))",
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


# Heights.


@pytest.mark.parametrize(
    "heights",
    [
        None,
        [0.0] * 100,
        [512.0] * 100,
        [-32768.0] * 100,
        [500.0 + n for n in range(50)] + [0.0] * 50,
    ],
)
def test_climbing_is_not_known(heights: list[float] | None) -> None:
    day = only_day(read_track(gpx(track(walk(100, heights=heights)))))
    assert (day.ascent_low_m, day.ascent_m, day.ascent_high_m) == (None, None, None)


def test_a_height_of_0_here_and_there_is_no_fall_to_the_sea() -> None:
    heights = [0.0 if n in (0, 40, 70) else 500.0 + n for n in range(100)]
    day = only_day(read_track(gpx(track(walk(100, heights=heights)))))
    assert day.ascent_m == pytest.approx(98)


def test_climbing_is_a_range_by_steps() -> None:
    # Up 100 m in all, on the way ten dips of 4 m and ten of 8 m.
    heights = [500.0]
    for dip in (4, 8) * 10:
        heights += [heights[-1] + 5 + dip, heights[-1] + 5]
    day = only_day(read_track(gpx(track(walk(len(heights), heights=heights)))))
    assert (day.ascent_low_m, day.ascent_m, day.ascent_high_m) == (100 + 8, 100 + 80, 100 + 120)


def test_nothing_is_climbed_across_a_gap() -> None:
    low = walk(50, heights=[500.0 + n % 2 for n in range(50)])
    high = walk(50, START + timedelta(hours=2), lat=47.1, heights=[900.0 + n for n in range(50)])
    day = only_day(read_track(gpx(track([*low, *high]))))
    assert day.ascent_m == pytest.approx(49, abs=1)


@given(
    st.lists(st.integers(-200, 200), min_size=1, max_size=60).map(
        lambda steps: [float(sum(steps[: n + 1])) for n in range(len(steps))]
    )
)
def test_a_wider_step_never_climbs_more(profile: list[float]) -> None:
    figures = [climbed_m(profile, step) for step in (1e-9, *STEPS_M, 50, 1e9)]
    assert figures == sorted(figures, reverse=True)
    raw = sum(max(b - a, 0) for a, b in pairwise(profile))
    assert figures[0] == pytest.approx(raw)
    # What is climbed and what is descended differ by what lies between first and last.
    down = climbed_m([-h for h in profile], 1e-9)
    assert figures[0] - down == pytest.approx(profile[-1] - profile[0])
    assert figures[-1] == 0


@given(st.lists(st.integers(0, 60), min_size=2, max_size=12), st.sampled_from(STEPS_M))
def test_climbing_is_the_most_that_climbs_of_a_step_can_add_up_to(
    heights: list[int], step: float
) -> None:
    """By trying every choice of lows and highs, each a step and more from the one before."""

    def most(start: int) -> float:
        top = 0.0
        for low in range(start, len(heights)):
            for high in range(low + 1, len(heights)):
                if heights[high] - heights[low] >= step:
                    rest = max(
                        (most_after(high, d) for d in range(high + 1, len(heights))), default=0.0
                    )
                    top = max(top, heights[high] - heights[low] + rest)
        return top

    def most_after(high: int, down: int) -> float:
        return most(down) if heights[high] - heights[down] >= step else 0.0

    assert climbed_m([float(h) for h in heights], step) == most(0)


# Conservation.

PLACES = st.tuples(
    st.sampled_from(["47", "47.00005", "47.0001", "47.3", "-33", "90", "91", "", "nan"]),
    st.sampled_from(["8", "8.0001", "180", "-180", "179.9999", "181"]),
)
TIMES = st.none() | st.integers(-5, 400_000).map(lambda s: stamp(START + timedelta(seconds=s)))
POINTS = st.builds(
    lambda place, ele, time: Written(*place, ele, time),
    PLACES,
    st.none() | st.sampled_from(["0", "500", "503.5", "510", "x"]),
    TIMES | st.just("never"),
)
SEGMENTS = st.lists(st.lists(POINTS, max_size=12), max_size=5)


@given(
    SEGMENTS,
    SEGMENTS,
    st.sampled_from(["", "Pacific/Auckland", "America/Los_Angeles"]),
    st.sampled_from([None, *MODES]),
)
def test_every_point_is_used_or_left_out_for_one_reason(
    one: list[list[Written]], other: list[list[Written]], zone: str, mode: str | None
) -> None:
    files = [parse_gpx(gpx(track(*one))), parse_gpx(gpx(*map(track, other)))]
    written = sum(map(len, one)) + sum(map(len, other))
    whole = measure(files, zone, mode)
    views = (
        whole,
        whole.within(MAY_1, MAY_1),
        whole.on(MAY_1),
        whole.on(MAY_1).within(MAY_1, MAY_1),
    )
    for result in views:
        assert result.points_read == written
        assert result.points_used + sum(result.left_out.values()) == written
        for day in result.days:
            assert day.distance_km >= 0
            assert math.isfinite(day.distance_km)
            assert day.hours is None or 0 <= day.hours <= 25
            assert (
                (day.ascent_m is None) == (day.ascent_low_m is None) == (day.ascent_high_m is None)
            )
            if day.ascent_low_m is not None and day.ascent_m is not None:
                assert 0 <= day.ascent_low_m <= day.ascent_m <= (day.ascent_high_m or 0)
    names = [day.day for day in whole.days]
    assert len(names) == len(set(names))


@given(st.permutations(range(6)), st.integers(1, 39))
def test_the_order_of_tracks_in_a_file_changes_nothing(order: list[int], cut: int) -> None:
    parts = [walk(40, START + timedelta(hours=h), lat=47 + h / 50) for h in range(3)]
    halves = [half for part in parts for half in (part[:cut], part[cut:])]
    straight = read_track(gpx(*map(track, halves)))
    assert read_track(gpx(*(track(halves[n]) for n in order))).days == straight.days
