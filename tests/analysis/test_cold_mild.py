"""Mild nights alone draw no limit below the rating, and what they do not say is told."""

from collections.abc import Iterator
from typing import Any

import pytest
from store_drawing import empty_store, gear
from tarebook.analysis.ahead.page.page import read_before_trip
from tarebook.analysis.cold import sections as cold_sections
from tarebook.analysis.cold import words
from tarebook.analysis.cold.limit import cold_limits
from tarebook.analysis.cold.mild import draws_on_mild_nights
from tarebook.analysis.cold.page_tables import sets_table
from tarebook.analysis.cold.trips import cold_forecasts
from tarebook.analysis.display.words import SPACE, Display
from tarebook.analysis.store.trip_choice import choose_trip
from test_cold_answers import LOWS, TODAY, ahead_of, joined, limit_in, nights_in, plan, put

QUILT = gear("quilt", "sleep", 700_000, name="Summer quilt", rated_low_c=5.0)
MAT = gear("mat", "sleep", 400_000, name="Foam mat")
OTHER = gear("other", "sleep", 500_000, name="Air mat")
MILD = [9.0 + n % 8 for n in range(30)]


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def plain(text: str) -> str:
    return text.replace(SPACE, " ")


def test_mild_nights_leave_the_limit_of_the_rating_and_say_so(store: Any) -> None:
    put(store, joined({"gear": [QUILT, MAT]}, plan("quilt", "mat")))
    unslept = ahead_of(store)
    assert unslept.limit is not None
    assert unslept.chance is not None
    put(store, joined(nights_in([QUILT, MAT], MILD, -9.0), plan("quilt", "mat")))
    ahead = ahead_of(store)
    assert ahead.limit is not None
    assert ahead.chance is not None
    assert (ahead.limit.nights, ahead.limit.coldest_c) == (30, 9.0)
    assert ahead.limit.mild
    assert ahead.limit.basis == "rated"
    assert ahead.limit.own_limit_c == unslept.limit.own_limit_c
    assert ahead.limit.own_limit_c.value > 5
    # Warmer nights than any slept in it are nights like those; of colder ones they say little.
    put(store, joined(nights_in([QUILT, MAT], MILD, -9.0), plan("quilt", "mat")), 16.0)
    warm = ahead_of(store)
    assert warm.chance is not None
    assert warm.chance.p_any.value < 0.05
    put(store, joined(nights_in([QUILT, MAT], MILD, -9.0), plan("quilt", "mat")), 0.0)
    cold = ahead_of(store)
    assert cold.chance is not None
    assert cold.chance.p_any.value > 0.5
    put(store, joined(nights_in([QUILT, MAT], MILD, -9.0), plan("quilt", "mat")), 4.0)
    ahead = ahead_of(store)
    assert ahead.chance is not None
    told = plain(words.basis(ahead.limit, Display()))
    assert told == (
        "its maker’s rating of 5 °C, taken as a limit of 4 °C: the coldest of the 30 nights that "
        "you judged in it fell to 9 °C, and of colder ones nothing is known"
    )
    opening = read_before_trip(store, "plan", today=TODAY, display=Display()).opening()
    (point,) = (p for p in opening.points if p.about == "Will you be cold?")
    assert "very likely" in point.answer
    assert "too wide to rely on" in point.answer
    assert words.percent_range(ahead.chance.p_any) in point.answer
    assert plain(point.more).startswith(
        "The coldest of the 30 nights that you judged in it fell to 9 °C, and of colder ones "
        "nothing is known."
    )
    section = cold_sections.limits_section(cold_limits(store), Display())
    assert (
        plain(" ".join(section.answer)).count(
            "None was colder than 9 °C, so your own limit is not known below that: this one goes "
            "by the rating."
        )
        == 1
    )
    forecasts = cold_forecasts(store, [choose_trip(store, "plan")])
    rows = sets_table(forecasts, Display()).rows
    assert {row["basis"] for row in rows} == {"Its rating"}


def test_another_mat_below_the_same_quilt_has_no_more_from_mild_nights(store: Any) -> None:
    put(store, joined({"gear": [QUILT, MAT, OTHER]}, plan("quilt", "other")))
    unslept = ahead_of(store).limit
    tables = joined(nights_in([QUILT, MAT], MILD, -9.0), {"gear": [OTHER]}, plan("quilt", "other"))
    put(store, tables)
    limit = ahead_of(store).limit
    assert limit is not None
    assert unslept is not None
    assert limit.own_limit_c == unslept.own_limit_c
    bag = gear("bag", "sleep", 900_000, name="Bag", rated_low_c=0.0)
    put(store, joined({"gear": [bag, MAT]}, plan("bag", "mat")))
    alone = ahead_of(store).limit
    put(store, joined(nights_in([QUILT, MAT], MILD, -9.0), {"gear": [bag]}, plan("bag", "mat")))
    limit = ahead_of(store).limit
    assert limit is not None
    assert alone is not None
    assert limit.own_limit_c == alone.own_limit_c


def test_nights_as_cold_as_the_rating_tell_a_limit(store: Any) -> None:
    put(store, nights_in([QUILT, MAT], [*MILD, 4.0, 4.5], -9.0))
    limit = limit_in(cold_limits(store), "quilt", "mat")
    assert (limit.basis, limit.mild) == ("own", False)
    assert (
        cold_sections.limits_section(cold_limits(store), Display()).answer[0].endswith("too cold.")
    )
    put(store, nights_in([QUILT, MAT], [*MILD, *LOWS], 12.0))
    limit = limit_in(cold_limits(store), "quilt", "mat")
    assert limit.basis == "own", "nights that were too cold raise a limit"
    assert limit.own_limit_c.value > 5


def test_never_of_what_a_night_reached_or_raised() -> None:
    assert draws_on_mild_nights(2.1, 7.3, 5.0, 9.0)
    assert not draws_on_mild_nights(2.1, 7.3, 5.0, None)
    assert not draws_on_mild_nights(2.1, 7.3, 5.0, 5.0), "as cold as the rating"
    assert not draws_on_mild_nights(9.4, 7.3, 5.0, 9.0), "raised by cold nights"
    assert not draws_on_mild_nights(7.0, 7.3, 5.0, 6.9), "reached"
