"""A trip that is over beside its forecast: by hand, on the demo and its truth, over seasons."""

import math
from datetime import date, timedelta
from pathlib import Path
from typing import Any, Literal

import pytest
from tarebook.analysis.ahead.after import (
    AmountAfter,
    AmountScore,
    ColdAfter,
    ColdScore,
    after_trip,
    amount_scores,
    main_amounts,
    score,
)
from tarebook.analysis.ahead.after import _amount_scores, _cold_score
from tarebook.analysis.ahead.energy import formula_wh
from tarebook.analysis.ahead.needs import needs_of
from tarebook.analysis.ahead.plan import trip_ahead
from tarebook.analysis.ahead.results import Need
from tarebook.analysis.debrief.page.expected_section import kept_sentence
from tarebook.analysis.stats.estimate import Estimate
from tarebook.analysis.store.trip_choice import choose_trip
from tarebook.tripdata.demo import truth, write_demo
from tarebook.tripdata.demo.consumption import level_wh
from tarebook.tripdata.store import load_logbook

TODAY = date(2026, 11, 25)


def need(
    system: str = "food",
    item: str | None = None,
    take: float = 1000,
    trips: int = 3,
    expected: float = 800,
    unit: Literal["g", "Wh"] = "g",
) -> Need:
    amount = Estimate(expected, expected / 2, expected * 2, 0.9, trips)
    return Need(system, item, item or system, unit, 3, amount, take, None, None, trips, 0, 0.2)


@pytest.mark.parametrize(
    ("used", "used_up", "held"),
    [
        (1000.0, False, "enough"),
        (1000.1, False, "short"),
        (900.0, True, "open"),
        (1000.0, True, "open"),
        (1000.1, True, "short"),
    ],
)
def test_an_amount_that_was_used_up_says_only_that_more_was_too_little(
    used: float, used_up: bool, held: str
) -> None:
    assert AmountAfter(need(), used, 1200, 1200 - used, used_up).held == held


def test_a_system_counts_once_by_its_own_forecast() -> None:
    whole, bread = AmountAfter(need(), 500), AmountAfter(need(item="bread"), 400)
    oil = AmountAfter(need(item="oil", expected=90, take=100), 101)
    gas = AmountAfter(need("cook", "gas", take=60, expected=40), 61)
    assert main_amounts((whole, bread, oil, gas)) == (whole, gas)
    assert main_amounts((oil, bread, gas)) == (bread, gas)
    prior = AmountAfter(need("cook", "gas", trips=0), 5)
    scores = _amount_scores([(whole, bread, oil, gas), (oil, bread), (prior,)])
    assert [(s.system, s.enough, s.short, s.open_ended) for s in scores] == [
        ("cook", 0, 1, 0),
        ("food", 2, 0, 0),
    ]


def test_energy_stands_after_what_is_eaten_and_burnt() -> None:
    wh = AmountAfter(need("bike", "e-bike", unit="Wh"), 900)
    scores = _amount_scores([(wh, AmountAfter(need(), 500, used_up=True))])
    assert [(s.system, s.unit, s.trips, s.open_ended) for s in scores] == [
        ("food", "g", 1, 1),
        ("bike", "Wh", 1, 0),
    ]


def chance(p: float) -> Estimate:
    return Estimate(p, 0.0, 1.0)


def test_brier_by_hand() -> None:
    """(.2^2 + .5^2 + .9^2) / 3 = .3667; who says 1/3 each time: 1/3 x 2/3. Brier 1950."""
    seen = [
        ColdAfter(chance(0.2), 2, 2, 0),
        ColdAfter(chance(0.5), 3, 1, 1),
        ColdAfter(chance(0.9), 1, 1, 0),
        ColdAfter(chance(0.9), 2, 1, 0),  # not all nights judged, none too cold: not known
    ]
    assert [each.came for each in seen] == [False, True, False, None]
    found = _cold_score(seen)
    assert isinstance(found, ColdScore)
    assert (found.trips, found.came) == (3, 1)
    assert found.expected == pytest.approx(1.6)
    assert found.brier == pytest.approx((0.04 + 0.25 + 0.81) / 3)
    assert found.usual_brier == pytest.approx(2 / 9)
    assert _cold_score(seen[3:]) is None


def amounts(system: str, enough: int, short: int, open_ended: int, unit: Any = "g") -> AmountScore:
    return AmountScore(system, system, unit, enough, short, open_ended)


@pytest.mark.parametrize(
    ("scores", "sentence"),
    [
        ((), ""),
        ((amounts("food", 4, 0, 0),), ""),
        (
            (amounts("food", 17, 2, 0),),
            "The amount for nine in ten trips was enough on 17 of 19 trips for food.",
        ),
        (
            (amounts("cook", 5, 0, 0), amounts("food", 8, 1, 3), amounts("bike", 4, 1, 0, "Wh")),
            "The amount for nine in ten trips was enough on 5 of 5 trips for fuel, on 8 of 12 "
            "trips for food and on 4 of 5 trips for the battery; where all was used up, nobody "
            "knows (3 for food).",
        ),
    ],
)
def test_the_score_is_one_whole_sentence(scores: tuple[AmountScore, ...], sentence: str) -> None:
    assert kept_sentence(scores).replace("\u202f", " ") == sentence


def test_the_demos_battery_and_the_formula_are_one() -> None:
    for km, ascent_m, kg in ((50.0, 500.0, 120.0), (70.0, 90.0, 110.0), (20.0, 900.0, 130.0)):
        ours, theirs = formula_wh(km, ascent_m, kg), level_wh(kg, km, ascent_m)
        assert ours == pytest.approx(theirs, rel=1e-9)
