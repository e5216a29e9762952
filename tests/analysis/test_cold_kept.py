"""How chances of a too cold night held so far, beside the chance of a trip to come."""

from datetime import date
from typing import Any

import pytest
from before_trip_reading import plain, points
from tarebook.analysis.ahead import scores
from tarebook.analysis.ahead.kept_words import take_as_too_low, too_low_so_far
from tarebook.analysis.ahead.page.page import BeforeTripPage, read_before_trip
from tarebook.analysis.ahead.scores import ColdScore, cold_score
from tarebook.analysis.cold.trips import chance_beforehand, cold_forecasts
from tarebook.analysis.display.words import Display
from tarebook.analysis.store.rows import ask
from tarebook.analysis.store.trip_choice import TripChoice, choose_trip

TODAY = date(2026, 11, 25)
PLANS = ("2027-04-old-weir-meadow", "2027-05-larkspur-flat")
TAKE = "Your nights were too cold oftener than forecast so far: take this chance as too low."


def page(store: Any, trip: str) -> BeforeTripPage:
    return read_before_trip(store, trip, today=TODAY, display=Display())


@pytest.mark.parametrize("plan", PLANS)
def test_a_plan_says_beside_its_chance_that_such_chances_were_too_low(demo: Any, plan: str) -> None:
    """The demo's camper was too cold on 10 trips of 23, where some 6 were forecast."""
    made = page(demo, plan)
    assert TAKE in points(made)["Will you be cold?"]
    (answer,) = made.cold().answer
    assert (
        "so take the chances here as too low: of 23 trips, about 6 would have had a too cold "
        "night by forecasts made beforehand, and 10 had one." in plain(answer)
    )
    # It stands behind the chance that it corrects.
    if "How likely" in answer:
        assert answer.index("How likely") < answer.index("too cold oftener")


def test_nothing_after_the_start_counts(demo: Any) -> None:
    """Asked of a trip that is over as on the day it began, later trips count for nothing."""
    data = page(demo, "2024-08-lantern-cove").data
    assert data is not None
    start = data.ahead.trip.start_on
    assert data.cold_score == cold_score(demo, start)
    over = [t for t in ask(demo, "store/trips_by_start") if t["end_on"] <= start]
    assert data.cold_score is None or data.cold_score.trips <= len(over)


def test_a_chance_worked_out_alone_is_that_of_the_page(demo: Any) -> None:
    """Without its range and other sets, which cost most of the time."""
    over = [TripChoice(**t) for t in ask(demo, "store/trips_by_start") if not t["plan"]]
    told = []
    for choice in over[::4]:
        (whole,) = cold_forecasts(demo, [choice], sets=False)
        alone = chance_beforehand(demo, choice)
        assert (alone is None) == (whole.chance is None)
        if whole.chance is not None:
            assert alone == pytest.approx(whole.chance.p_any.value, abs=1e-9)
            told.append(alone)
    assert len(told) >= 4
    assert len(set(told)) == len(told)


def test_of_a_long_record_the_latest_trips_alone_are_looked_at(
    demo: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    every = cold_score(demo, TODAY)
    monkeypatch.setattr(scores, "_MOST_TRIPS", 12)
    # Another day on which nothing ended: what was worked out for the other one is remembered.
    latest = cold_score(demo, date(2026, 11, 24))
    assert every is not None
    assert latest is not None
    assert not every.latest_alone
    assert latest.latest_alone
    assert 5 <= latest.trips <= 12
    assert "of the latest" in too_low_so_far(
        ColdScore(latest.trips, 9, 2.0, 0.2, 0.2, 1.0, latest_alone=True)
    )
    # Of as many sets as there are nights nothing is fitted forty times.
    monkeypatch.setattr(scores, "_MOST_SETS", 1)
    assert cold_score(demo, date(2026, 11, 23)) is None


@pytest.mark.parametrize(
    "score",
    [
        None,
        ColdScore(4, 4, 0.5, 0.2, 0.2, 0.6),
        ColdScore(23, 9, 6.05, 0.25, 0.25, 2.0),  # 1.5 standard deviations
        ColdScore(23, 0, 6.05, 0.25, 0.25, 2.0),  # seldomer: no night is told milder for that
        ColdScore(23, 1, 0.0, 0.0, 0.0, 0.0),
    ],
)
def test_what_may_be_luck_corrects_no_chance(score: ColdScore | None) -> None:
    assert take_as_too_low(score) == too_low_so_far(score) == ""


def test_a_plan_of_which_no_chance_is_told_is_not_corrected(demo: Any) -> None:
    """A day out has no night; the record is the same."""
    day_out = demo.sql("SELECT trip FROM trips WHERE nights = 0 AND NOT plan LIMIT 1").fetchall()
    made = page(demo, choose_trip(demo, day_out[0][0]).trip)
    assert made.data is not None
    assert made.data.cold_score is None
    assert TAKE not in str(made.opening())
