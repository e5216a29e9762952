"""Climbing by heights that waver, and that every point is used or left out for one reason."""

import math
from datetime import timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tarebook.tripdata.contract import MODES
from tarebook.tripdata.tracks import read_track
from tarebook.tripdata.tracks.climbing import STEPS_M, climbed_m
from tarebook.tripdata.tracks.gpx import parse_gpx
from tarebook.tripdata.tracks.reading import measure
from trackfiles import (
    MAY_1,
    START,
    Written,
    gpx,
    only_day,
    stamp,
    track,
    walk,
)

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
