"""The formulas of effort against worked values, and where they have no answer."""

import math

import pytest
from tarebook.analysis.effort.formulas import (
    Power,
    kilogram_by_lcda,
    kilogram_by_pandolf,
    kilogram_cycling,
    lcda_backpacking,
    lcda_walking,
    pandolf,
)


def watts(found: Power) -> float:
    assert found.watts is not None, found.reason
    return found.watts


def test_pandolf() -> None:
    # Pandolf, Givoni & Goldman 1977, J Appl Physiol 43: 577 (formula from memory); the values are
    # worked from it: no published worked example was at hand.
    assert watts(pandolf(70, 20, 1.34, 0, 1.0)) == pytest.approx(362.100, abs=5e-4)
    assert watts(pandolf(70, 20, 0, 0, 1.0)) == pytest.approx(119.694, abs=5e-4)
    # With pen and paper: 105 + 14.694 + 1.2 x 90 x (1.815 + 2.31) = 105 + 14.694 + 445.5.
    assert watts(pandolf(70, 20, 1.1, 6, 1.2)) == pytest.approx(565.194, abs=5e-4)


def test_walking_without_a_load() -> None:
    # Looney et al. 2019, Med Sci Sports Exerc 51(9): 1954 (formula from memory); values worked.
    assert watts(lcda_walking(1.34, 0)) == pytest.approx(4.4140, abs=5e-5)
    assert watts(lcda_walking(1.34, 10)) == pytest.approx(8.6393, abs=5e-5)
    assert watts(lcda_walking(1.34, -10)) == pytest.approx(3.0738, abs=5e-5)
    # Standing: the paper's resting 1.44 W/kg (from memory).
    assert watts(lcda_walking(0, 0)) == pytest.approx(1.44)


def test_walking_with_a_load() -> None:
    # Looney et al. 2022, Med Sci Sports Exerc 54(4): 646 (PMC8919998): 70 kg with 14 kg at 1.34 m/s
    # on a treadmill, above rest. Values worked from the paper's equation; three public codes agree.
    assert watts(lcda_backpacking(70, 14, 1.34, 0)) / 70 == pytest.approx(3.87, abs=5e-3)
    assert watts(kilogram_by_lcda(70, 14, 1.34, 0)) == pytest.approx(4.73, abs=5e-3)


def test_without_a_load_both_decision_aids_agree() -> None:
    # Two papers, one quantity: level walking above rest, unladen; they agree within a tenth between
    # 3 and 6 km/h (and part by 11 % at 1.9 m/s).
    for speed in (0.85, 1.1, 1.34, 1.6):
        before = watts(lcda_walking(speed, 0)) - 1.44
        assert watts(lcda_backpacking(70, 0, speed, 0)) / 70 == pytest.approx(before, rel=0.1)


def test_a_climb_takes_what_lifting_takes() -> None:
    # A kilogram up a slope of 15 % gains 9.81 x .15 J a metre; muscles turn some 25 % of what they
    # use into work (common practice, no published source). Within a third.
    speed, grade = 1.0, 15
    level, climb = (watts(kilogram_by_lcda(70, 14, speed, g)) for g in (0, grade))
    assert climb - level == pytest.approx(9.81 * grade / 100 * speed / 0.25, rel=1 / 3)
    assert watts(kilogram_by_lcda(70, 14, speed, -10)) < level


@pytest.mark.parametrize("grade", [0.0, 5.0, 12.0])
@pytest.mark.parametrize("load", [4.0, 14.0, 30.0])
def test_a_kilogram_is_the_slope_of_the_formula(load: float, grade: float) -> None:
    # Against the difference of a gram more and a gram less.
    for whole, kilogram in (
        (pandolf, kilogram_by_pandolf),
        (lcda_backpacking, kilogram_by_lcda),
    ):
        more, less = (watts(whole(70, load + g, 1.2, grade, 1.1)) for g in (0.001, -0.001))
        slope = (more - less) / 0.002
        assert watts(kilogram(70, load, 1.2, grade, 1.1)) == pytest.approx(slope, rel=1e-6)


def test_cycling_mass_terms() -> None:
    # Martin et al. 1998, J Appl Biomech 14: 276 (formula from memory): a kilogram at 5 %, 7 m/s.
    assert watts(kilogram_cycling(7, 5, 0.0032)) == pytest.approx(3.738, abs=5e-4)
    # With pen and paper: 9.81 x .0065 x 5 = .318825 W at the wheel, / .976.
    assert watts(kilogram_cycling(5, 0, 0.0065)) == pytest.approx(0.326665, abs=5e-6)
    assert watts(kilogram_cycling(5, -4, 0.0065)) < 0


@pytest.mark.parametrize(
    ("found", "reason"),
    [
        (pandolf(70, 80, 1, 0), "Pandolf: load 80 kg is outside 0 to 70 kg"),
        (pandolf(50, 60, 1, 0), "Pandolf: load 60 kg is outside 0 to 50 kg"),
        (pandolf(70, 10, 2.5, 0), "Pandolf: speed 2.5 m/s is outside 0 to 2.2 m/s"),
        (pandolf(70, 10, 1, -3), "Pandolf: grade -3 % is outside 0 to 25 %"),
        (pandolf(20, 10, 1, 0), "Pandolf: body mass 20 kg is outside 30 to 200 kg"),
        (kilogram_by_pandolf(70, 0, 1, 0), "Pandolf: nothing is carried"),
        # Abstracts of the two papers: unladen to 1.96 m/s, with a load .45 to 1.97 m/s and up to
        # 66 % of body mass (the first from memory).
        (lcda_walking(1.97, 0), "LCDA walking: speed 1.97 m/s is outside 0 to 1.96 m/s"),
        (lcda_backpacking(70, 10, 2, 0), "LCDA: speed 2 m/s is outside 0.45 to 1.97 m/s"),
        (lcda_backpacking(70, 10, 0.4, 0), "LCDA: speed 0.4 m/s is outside 0.45 to 1.97 m/s"),
        (lcda_backpacking(50, 34, 1, 0), "LCDA: load 34 kg is outside 0 to 33 kg"),
        (kilogram_by_lcda(70, 10, 1, 50), "LCDA: grade 50 % is outside -40 to 45 %"),
        (kilogram_by_lcda(70, 0, 1, 0), "LCDA: nothing is carried"),
        (kilogram_cycling(30, 0), "Cycling: speed 30 m/s is outside 0 to 25 m/s"),
        (kilogram_cycling(5, 40), "Cycling: grade 40 % is outside -25 to 25 %"),
        (kilogram_cycling(math.inf, 0), "Cycling: speed inf m/s is outside 0 to 25 m/s"),
    ],
)
def test_outside_a_formulas_range_there_is_a_reason(found: Power, reason: str) -> None:
    assert (found.watts, found.reason) == (None, reason)
