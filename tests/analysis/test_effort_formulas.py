"""The formulas of effort against worked values, and where they have no answer."""

import math

import pytest
from tarebook.analysis.effort_formulas import (
    DRIVETRAIN,
    GRAVITY,
    kilogram_by_lcda,
    kilogram_by_pandolf,
    kilogram_cycling,
    lcda_graded,
    pandolf,
)


def test_pandolf() -> None:
    # Pandolf, Givoni & Goldman 1977, J Appl Physiol 43: 577 (formula from memory); the values are
    # worked from it by hand: no published worked example was at hand.
    assert pandolf(70, 20, 1.34, 0, 1.0).watts == pytest.approx(362.100, abs=5e-4)
    assert pandolf(70, 20, 0, 0, 1.0).watts == pytest.approx(119.694, abs=5e-4)
    by_hand = 1.5 * 70 + 2 * 90 * (20 / 70) ** 2 + 1.2 * 90 * (1.5 * 1.1**2 + 0.35 * 1.1 * 6)
    assert pandolf(70, 20, 1.1, 6, 1.2).watts == pytest.approx(by_hand, rel=1e-12)


def test_lcda_graded() -> None:
    # Looney et al. 2019, Med Sci Sports Exerc 51(9): 1954 (formula from memory); values worked.
    assert lcda_graded(1.34, 0).watts == pytest.approx(4.4140, abs=5e-5)
    assert lcda_graded(1.34, 10).watts == pytest.approx(8.6393, abs=5e-5)
    assert lcda_graded(1.34, -10).watts == pytest.approx(3.0738, abs=5e-5)
    # Standing: the paper's resting 1.44 W/kg.
    assert lcda_graded(0, 0).watts == pytest.approx(1.44)


def test_cycling_mass_terms() -> None:
    # Martin et al. 1998, J Appl Biomech 14: 276 (formula from memory): a kilogram at 5 %, 7 m/s.
    assert kilogram_cycling(7, 5, 0.0032).watts == pytest.approx(3.738, abs=5e-4)
    level = GRAVITY * 0.0065 * 5 / DRIVETRAIN
    assert kilogram_cycling(5, 0, 0.0065).watts == pytest.approx(level)
    down = kilogram_cycling(5, -4, 0.0065).watts
    assert down is not None
    assert down < 0


def test_a_kilogram_is_the_slope_of_the_formula() -> None:
    # Against the derivative by load, worked with pen and paper.
    body, load, speed, grade = 70.0, 14.0, 1.2, 5.0
    slope = (
        2 * (load / body) ** 2
        + 4 * (body + load) * load / body**2
        + 1.5 * speed**2
        + 0.35 * speed * grade
    )
    found = kilogram_by_pandolf(body, load, speed, grade).watts
    assert found == pytest.approx(slope, rel=0.02)
    moving = kilogram_by_lcda(1.34, 0).watts
    assert moving == pytest.approx(4.4140 - 1.44, abs=5e-5)


@pytest.mark.parametrize(
    ("found", "reason"),
    [
        (pandolf(70, 80, 1, 0), "Pandolf: load 80 kg is outside 0 to 70 kg"),
        (pandolf(50, 60, 1, 0), "Pandolf: load 60 kg is outside 0 to 50 kg"),
        (pandolf(70, 10, 2.5, 0), "Pandolf: speed 2.5 m/s is outside 0 to 2.2 m/s"),
        (pandolf(70, 10, 1, -3), "Pandolf: grade -3 % is outside 0 to 25 %"),
        (pandolf(20, 10, 1, 0), "Pandolf: body mass 20 kg is outside 30 to 200 kg"),
        (kilogram_by_pandolf(70, 0, 1, 0), "Pandolf: nothing is carried"),
        (lcda_graded(2.1, 0), "LCDA: speed 2.1 m/s is outside 0 to 1.97 m/s"),
        (kilogram_by_lcda(1, 50), "LCDA: grade 50 % is outside -40 to 45 %"),
        (kilogram_cycling(30, 0), "Cycling: speed 30 m/s is outside 0 to 25 m/s"),
        (kilogram_cycling(5, 40), "Cycling: grade 40 % is outside -25 to 25 %"),
        (kilogram_cycling(math.inf, 0), "Cycling: speed inf m/s is outside 0 to 25 m/s"),
    ],
)
def test_outside_a_formulas_range_there_is_a_reason(found: object, reason: str) -> None:
    assert (found.watts, found.reason) == (None, reason)
