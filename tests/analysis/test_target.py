"""When a target is reached: Fieller's interval, and the band of which it is the reading."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from scipy.stats import t as student
from tarebook.analysis.base_weight.like_for_like import (
    Course,
    LikeForLike,
    like_for_like,
    plain_course,
)
from tarebook.analysis.base_weight.target import SHORTEST_INTERVAL_YEARS, reach
from tarebook.analysis.base_weight.trip_weights import day_of, years_of
from tarebook.analysis.stats.trend_line import fit_line
from trend_worlds import World, world


def fieller(
    a: float, b: float, var_a: float, var_b: float, covariance: float, critical: float
) -> tuple[float, float] | None:
    """The interval of a / b by Fieller 1954, J. R. Stat. Soc. B 16:175; None where unbounded."""
    square = critical * critical
    if square * var_b >= b * b:
        return None
    lead = b * b - square * var_b
    middle = a * b - square * covariance
    root = (middle * middle - lead * (a * a - square * var_a)) ** 0.5
    return (middle - root) / lead, (middle + root) / lead


@pytest.mark.outside(
    "published",
    "Fieller 1954, J. R. Stat. Soc. B 16: 175",
    "the interval of a ratio; of 10 / 5 with variances 1 and .25 at 1.96 it is 1.50895 2.65086",
)
def test_the_band_read_sideways_is_fiellers_interval() -> None:
    """With one process of error the band is that of one t, and its inversion that of Fieller."""
    # The ruler itself, with pen and paper: (50 -+ sqrt(2500 - 24.0396 x 96.1584)) / 24.0396.
    assert fieller(10, 5, 1, 0.25, 0, 1.96) == pytest.approx((1.50895, 2.65086), abs=5e-6)
    assert fieller(10, 1.96 * 0.5, 1, 0.25, 0, 1.96) is None
    seen = 0
    for seed in range(40):
        drawn = world(World(20), np.random.default_rng([seed, 3]))
        line = fit_line(
            [[t.years, 1.0] for t in drawn.trips], [t.base_g - 900 * t.years for t in drawn.trips]
        )
        assert line is not None
        alone = replace(line, weight=np.eye(len(line.weight))[0])
        last = drawn.trips[-1].years
        at = reach(Course(alone, 0.0, (1.0,)), alone.value((last, 1.0)) - 500, 0.0, last, 20)
        if at.state != "on_the_way" or at.latest is None or at.earliest is None:
            continue
        here, step, scale = np.array([last, 1.0]), np.array([1.0, 0.0]), alone.scales[0]
        ends = fieller(
            500,
            -float(alone.means[0] @ step),
            here @ scale @ here,
            step @ scale @ step,
            -float(here @ scale @ step),
            float(student.ppf(0.95, alone.freedom)),
        )
        assert ends is not None
        least = max(last / 19, SHORTEST_INTERVAL_YEARS) / 2
        if ends[0] > 0 and at.when is not None and at.latest > at.when + least * 1.001:
            seen += 1
            assert at.latest - last == pytest.approx(ends[1], rel=1e-5)
            if at.earliest < at.when - least * 1.001:
                assert at.earliest - last == pytest.approx(ends[0], rel=1e-5)
    assert seen > 5


def courses() -> list[Course]:
    rng = np.random.default_rng(7)
    found = []
    for _ in range(120):
        drawn = world(World(14), rng)
        fit = like_for_like(drawn.trips, "measured", influence=False)
        assert isinstance(fit, LikeForLike)
        plain = plain_course(drawn.trips)
        assert plain is not None
        found += [fit.course, plain.course]
    return found


def test_its_ends_are_where_the_band_meets_the_target() -> None:
    seen = set()
    for course in courses():
        now = course.at(4.0).value
        at = reach(course, now - 800, 0.0, 4.0, 14)
        seen.add(at.state)
        step = (1.0, *(0.0 for _ in course.usual))
        falls = course.line.at(step).high < 0
        assert (at.state == "not_at_this_rate") == (not falls)
        if at.when is None or at.earliest is None:
            continue
        assert course.at(at.when).value == pytest.approx(at.target_g)
        assert 4.0 < at.when <= 8.0
        assert at.earliest <= at.when - SHORTEST_INTERVAL_YEARS / 2
        assert course.at(at.when - 4 / 13 / 2).low <= at.target_g
        if at.latest is not None:
            assert at.when + SHORTEST_INTERVAL_YEARS / 2 <= at.latest <= 8.0 + 4 / 13
            assert course.at(at.latest).high <= at.target_g + 1e-6
    assert seen == {"on_the_way", "beyond", "not_at_this_rate"}


def test_no_date_beyond_as_many_years_as_the_log_is_long() -> None:
    line = fit_line([[i / 4, 1.0] for i in range(9)], [8000.0 - 100 * i / 4 for i in range(9)])
    assert line is not None
    course = Course(line, 0.0, (1.0,))
    assert reach(course, 7700, 0.0, 2.0, 9).state == "on_the_way"
    assert reach(course, 7601, 0.0, 2.0, 9).when == pytest.approx(3.99, abs=1e-3)
    assert reach(course, 7599, 0.0, 2.0, 9).state == "beyond"


def test_gear_without_any_rest_has_no_interval_of_no_width() -> None:
    """Weights exactly on a line: a weight shows on trips only, so the ends are a trip apart."""
    line = fit_line([[i / 4, 1.0] for i in range(9)], [8000.0 - 100 * i / 4 for i in range(9)])
    assert line is not None
    at = reach(Course(line, 0.0, (1.0,)), 7700, 0.0, 2.0, 9)
    assert at.earliest is not None
    assert at.latest is not None
    assert at.latest - at.earliest == pytest.approx(2 / 8, abs=1e-3)


def test_a_target_that_the_line_is_under_is_reached() -> None:
    course = courses()[0]
    now = course.at(4.0).value
    assert reach(course, now + 1, 0.0, 4.0, 14).state == "reached"
    assert reach(course, now, 0.0, 4.0, 14).state == "reached"


def test_dates_as_years_and_back() -> None:
    for day in ("1999-12-31", "2026-11-25", "2035-10-07"):
        assert day_of(years_of(date.fromisoformat(day))) == date.fromisoformat(day)
    assert day_of(1e4) is None
