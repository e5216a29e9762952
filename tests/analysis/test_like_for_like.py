"""Base weight at equal cold: colder seasons are seen through, and what enters is what should."""

import math
from dataclasses import replace

import numpy as np
import pytest
from tarebook.analysis.base_weight.like_for_like import LikeForLike, like_for_like, plain_course
from tarebook.analysis.base_weight.trip_design import NoFit, Trip, measure_of
from tarebook.analysis.stats.rank_trend import theil_sen
from trend_worlds import World, colder_seasons, world


def fitted(trips: list[Trip], measure: str = "measured") -> LikeForLike:
    found = like_for_like(trips, measure)  # type: ignore[arg-type]
    assert isinstance(found, LikeForLike)
    return found


def drawn(n: int = 14, seed: int = 4, rho: float = 0.0) -> list[Trip]:
    return world(World(n, rho), np.random.default_rng(seed)).trips


def test_gear_that_does_not_change_shows_no_trend_more_often_than_its_level() -> None:
    """Seasons that get colder: as carried the weight rises; at equal normal cold it must not."""
    rng = np.random.default_rng(11)
    logbooks, wrong, raw = 300, 0, 0
    for _ in range(logbooks):
        trips = colder_seasons(16, rng)
        found = like_for_like(trips, "normal", influence=False)
        slope = theil_sen([t.years for t in trips], [t.base_g for t in trips])
        assert isinstance(found, LikeForLike)
        assert slope is not None
        wrong += found.slope.sign_known
        raw += slope.low > 0
    level = 0.10
    assert wrong / logbooks <= level + 3.3 * math.sqrt(level * (1 - level) / logbooks)
    assert raw / logbooks > 0.5, "as carried, most of them look heavier"


def test_a_run_of_mild_trips_is_no_progress() -> None:
    """Seasons that get milder: as carried it looks like progress; at equal cold it does not."""
    trips = colder_seasons(20, np.random.default_rng(5), first_c=0, per_year_c=3)
    found = fitted(trips, "normal")
    slope = theil_sen([t.years for t in trips], [t.base_g for t in trips])
    assert slope is not None
    assert slope.high < 0
    assert not found.slope.sign_known


def test_a_true_fall_that_colder_seasons_hide_is_found() -> None:
    rng = np.random.default_rng(6)
    trips = [replace(t, base_g=t.base_g - 300 * t.years) for t in colder_seasons(24, rng)]
    slope = theil_sen([t.years for t in trips], [t.base_g for t in trips])
    found = fitted(trips, "normal")
    assert slope is not None
    assert slope.low < 0 < slope.high
    assert found.slope.low <= -300 <= found.slope.high < 0


def test_one_kind_of_low_for_all_trips() -> None:
    trips = colder_seasons(12, np.random.default_rng(1))
    assert measure_of(trips) == "normal"
    some = [replace(trips[0], normal_low_c=None), *trips[1:]]
    assert measure_of(some) == "measured"
    # Neither of all: the kind that more trips have; the others stay out, and are named.
    neither = [
        replace(some[0], measured_low_c=None),
        replace(trips[1], measured_low_c=None),
        *trips[2:],
    ]
    assert measure_of(neither) == "normal"
    found = fitted(neither, "normal")
    assert found.left_out == ("t0",)
    assert len(found.trips) == 11


def test_the_other_kind_of_low_is_a_sensitivity_where_all_trips_have_it() -> None:
    trips = colder_seasons(12, np.random.default_rng(2))
    found = fitted(trips, "normal")
    other = fitted(trips, "measured")
    assert found.other == other.slope
    assert other.other == found.slope
    some = [replace(trips[0], measured_low_c=None), *trips[1:]]
    assert fitted(some, "normal").other is None


def test_ways_of_travelling_enter_as_soon_as_there_are_two() -> None:
    trips = drawn(12)
    foot = [replace(t, mode="foot") for t in trips]
    assert fitted(foot).modes == ()
    two = [replace(t, mode="bike" if i < 2 else "foot") for i, t in enumerate(trips)]
    assert fitted(two).modes == ("foot", "bike")
    # One that is not noted stays out; with three of twelve not noted there is no fit at all.
    for blank, stays in ((1, True), (2, True), (3, False)):
        some = [replace(t, mode=None) if i < blank else t for i, t in enumerate(foot)]
        fit = like_for_like(some, "measured")
        if stays:
            assert isinstance(fit, LikeForLike)
            assert fit.without_mode == tuple(t.trip for t in trips[:blank])
        else:
            assert fit == NoFit("modes", 9, 12)


def test_two_late_bike_trips_are_no_progress() -> None:
    """A level of its own for each way, however few its trips: else they would look like a fall."""
    rng = np.random.default_rng(8)
    wrong, logbooks = 0, 120
    for _ in range(logbooks):
        trips = [replace(t, mode="foot") for t in world(World(10), rng).trips]
        flat = [replace(t, base_g=9000 + rng.normal(0, 150)) for t in trips]
        late = [replace(t, mode="bike", base_g=t.base_g - 1200) for t in flat[-2:]]
        fit = like_for_like([*flat[:-2], *late], "measured", influence=False)
        assert isinstance(fit, LikeForLike)
        wrong += fit.step is None and fit.slope.high < 0
    assert wrong / logbooks < 0.1


@pytest.mark.parametrize("trips", [8, 24])
def test_trips_that_grow_shorter_are_no_progress(trips: int) -> None:
    """130 g a night, from seven nights to two: the length enters, so that no fall is seen."""
    rng = np.random.default_rng([9, trips])
    wrong, logbooks = 0, 120
    for _ in range(logbooks):
        years = np.sort(rng.uniform(0, 3, trips))
        nights = np.maximum(1, np.round(7 - 5 * years / 3 + rng.normal(0, 1, trips)))
        base = 7000 + 130 * nights + rng.normal(0, 150, trips)
        cold = rng.normal(8, 4, trips)
        drawn = [
            Trip(f"t{i}", float(g), float(y), "foot", None, float(c), int(k))
            for i, (g, y, c, k) in enumerate(zip(base, years, cold, nights, strict=True))
        ]
        fit = like_for_like(drawn, "measured", influence=False)
        assert isinstance(fit, LikeForLike)
        assert fit.nights is not None or trips == 8, "of eight, where it goes with time"
        wrong += fit.step is None and fit.slope.high < 0
    assert wrong / logbooks <= 0.1 + 3.3 * math.sqrt(0.1 * 0.9 / logbooks)


def test_lengths_that_go_with_time_and_too_few_trips_give_no_fit() -> None:
    trips = [replace(t, mode="foot", nights=8 - i) for i, t in enumerate(drawn(6))]
    bike = [replace(t, mode="bike") if i % 2 else t for i, t in enumerate(trips)]
    assert like_for_like(bike, "measured") == NoFit("lengths", 6, 6)
    same = [replace(t, nights=2) for t in bike]
    assert isinstance(like_for_like(same, "measured"), LikeForLike)


def test_trips_within_ten_months_give_no_fit() -> None:
    trips = [replace(t, years=t.years / 10) for t in drawn(12)]
    assert like_for_like(trips, "measured") == NoFit("short", 12, 12)


def on_a_plane(trips: list[Trip]) -> list[Trip]:
    """9 kg, 300 g less every year and 40 g less for every degree above freezing, without error."""
    return [
        replace(t, mode="foot", base_g=9000 - 300 * t.years - 40 * (t.measured_low_c or 0))
        for t in trips
    ]


def test_weights_on_a_plane_come_out_as_the_plane() -> None:
    trips = on_a_plane(drawn(13))
    found = fitted(trips)
    low = float(np.median([t.measured_low_c for t in trips]))
    assert found.median_low_c == low
    assert found.nights is None
    for part, wanted in ((found.slope, -300), (found.per_degree, -40)):
        assert (part.value, part.low, part.high) == pytest.approx((wanted,) * 3, abs=0.01)
    for trip, at, moved in zip(trips, found.fitted_g, found.moved_g, strict=True):
        level = 9000 - 300 * trip.years - 40 * low
        assert (at, moved) == pytest.approx((level, level), abs=0.01)
        assert found.course.at(trip.years).value == pytest.approx(level, abs=0.01)


def test_weights_are_moved_to_the_most_frequent_way() -> None:
    trips = drawn(16, seed=9)
    fit = fitted(trips)
    assert [mode for mode, _ in fit.courses] == list(fit.modes)
    often, other = (course for _, course in fit.courses)
    apart = other.at(1.0).value - often.at(1.0).value
    for trip, moved in zip(trips, fit.moved_g, strict=True):
        cold = fit.per_degree.value * ((trip.measured_low_c or 0) - fit.median_low_c)
        way = 0.0 if trip.mode == fit.modes[0] else apart
        assert moved == pytest.approx(trip.base_g - cold - way)


@pytest.mark.parametrize("n", [8, 30])
def test_the_trip_that_moves_the_slope_most_is_found_by_leaving_out_each(n: int) -> None:
    trips = [replace(t, mode="foot") for t in drawn(n, seed=3, rho=0.3)]
    wild = replace(trips[-1], base_g=trips[-1].base_g + 2500)
    trips = [*trips[:-1], wild]
    found = fitted(trips)
    moved = []
    for place in range(n):
        rest = [*trips[:place], *trips[place + 1 :]]
        moved.append((abs(fitted(rest).slope.value - found.slope.value), rest, trips[place].trip))
    _, rest, name = max(moved, key=lambda each: each[0])
    assert found.influence is not None
    assert found.influence.trip == name
    assert found.influence.without == fitted(rest).slope


def test_too_few_trips_or_dates_and_cold_bound_together_give_no_fit() -> None:
    assert like_for_like(drawn(5), "measured") == NoFit("too_few", 5, 5)
    unknown = [replace(t, measured_low_c=None) for t in drawn(9)]
    assert like_for_like(unknown, "measured") == NoFit("too_few", 0, 9)
    bound = [replace(t, measured_low_c=5 - t.years, mode="foot") for t in drawn(9)]
    assert like_for_like(bound, "measured") == NoFit("alike", 9, 9)
    one_day = [replace(t, years=26.0, mode="foot") for t in drawn(9)]
    assert like_for_like(one_day, "measured") == NoFit("short", 9, 9)
    modes = [replace(t, mode=m) for t, m in zip(drawn(7), "aaabbbc", strict=True)]
    assert isinstance(like_for_like(modes, "measured"), LikeForLike)
    many = [replace(t, mode=m) for t, m in zip(drawn(7), "aaabbbc", strict=True)][:6]
    assert isinstance(like_for_like(many, "measured"), LikeForLike)


def test_the_line_against_time_alone() -> None:
    # Off a line of -300 g a year by what is the same, read backward, with the other sign: by
    # symmetry the line's middle is that of the weights, and its interval as far to either side.
    off = (200, -100, 50, -50, 100, -200)
    trips = [
        replace(t, mode="foot", years=0.4 * n, base_g=9000.0 - 300 * 0.4 * n + off[n])
        for n, t in enumerate(drawn(6))
    ]
    course = plain_course(trips)
    assert course is not None
    middle = course.course.at(1.0)
    assert middle.value == pytest.approx(8700, abs=0.01)
    assert middle.high - 8700 == pytest.approx(8700 - middle.low, rel=1e-4)
    assert middle.high - middle.low > 20
    flat = plain_course(on_a_plane([replace(t, measured_low_c=0.0) for t in drawn(10)]))
    assert flat is not None
    for year in (0.5, 1.5):
        here = flat.course.at(year)
        assert (here.low, here.high) == pytest.approx((9000 - 300 * year,) * 2, abs=0.01)
    assert plain_course(trips[:5]) is None
