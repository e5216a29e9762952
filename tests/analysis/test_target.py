"""When a target is reached: Fieller's interval, and the band of which it is the reading."""

from datetime import date

import numpy as np
import pytest
from tarebook.analysis.base_weight import day_of, years_of
from tarebook.analysis.like_for_like import Course, LikeForLike, like_for_like, plain_course
from tarebook.analysis.target import fieller, reach
from trend_worlds import World, world


def test_fiellers_interval_worked_beforehand() -> None:
    # Fieller 1954, J. R. Stat. Soc. B 16:175; values recomputed from the theorem.
    found = fieller(10, 5, 1, 0.25, 0, 1.96)
    assert (found.value, found.bounded) == (2, True)
    assert found.low == pytest.approx(1.50895, abs=5e-6)
    assert found.high == pytest.approx(2.65086, abs=5e-6)


def test_from_g_of_one_on_there_are_no_ends() -> None:
    b = 1.96 * 0.5
    assert not fieller(10, b, 1, 0.25, 0, 1.96).bounded
    assert not fieller(10, b * 0.9, 1, 0.25, 0, 1.96).bounded
    assert fieller(10, b * 1.001, 1, 0.25, 0, 1.96).bounded


def test_a_covariance_moves_the_interval_as_a_simulation_does() -> None:
    """With a far from nought the ratio's own quantiles are near Fieller's, by drawing it."""
    rng = np.random.default_rng(4)
    cov = np.array([[1.0, -0.3], [-0.3, 0.25]])
    a, b = rng.multivariate_normal([20, 6], cov, 200_000).T
    found = fieller(20, 6, 1, 0.25, -0.3, 1.6449)
    assert found.low == pytest.approx(np.quantile(a / b, 0.05), rel=0.01)
    assert found.high == pytest.approx(np.quantile(a / b, 0.95), rel=0.01)


def courses() -> list[Course]:
    rng = np.random.default_rng(7)
    found = []
    for _ in range(120):
        drawn = world(World(14), rng)
        fit = like_for_like(drawn.trips, "measured", influence=False)
        assert isinstance(fit, LikeForLike)
        found += [c for c in (fit.course, plain_course(drawn.trips)) if c is not None]
    return found


def test_its_ends_are_where_the_band_meets_the_target() -> None:
    seen = set()
    for course in courses():
        now = course.at(4.0).value
        found = reach(course, now - 800, 4.0)
        seen.add(found.state)
        step = (1.0, *(0.0 for _ in course.usual))
        falls = course.line.at(step).high < 0
        assert found.state == ("on_the_way" if falls else "not_at_this_rate")
        if found.when is None or found.earliest is None or found.latest is None:
            continue
        assert found.earliest < found.when < found.latest
        assert course.at(found.when).value == pytest.approx(found.target_g)
        assert course.at(found.earliest).low == pytest.approx(found.target_g)
        assert course.at(found.latest).high == pytest.approx(found.target_g)
    assert seen == {"on_the_way", "not_at_this_rate"}


def test_a_target_that_the_line_is_under_is_reached() -> None:
    course = courses()[0]
    now = course.at(4.0).value
    assert reach(course, now + 1, 4.0).state == "reached"
    assert reach(course, now, 4.0).state == "reached"


def test_dates_as_years_and_back() -> None:
    for day in ("1999-12-31", "2026-11-25", "2035-10-07"):
        assert day_of(years_of(date.fromisoformat(day))) == date.fromisoformat(day)
    assert day_of(1e4) is None
