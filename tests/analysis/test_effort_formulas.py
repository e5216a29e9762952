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


@pytest.mark.outside(
    "published",
    "Pandolf, Givoni & Goldman 1977, J Appl Physiol 43: 577, the equation as public code quotes it "
    "(PubMed 908672), worked with pen and paper",
    "80 kg with 40 kg: 180 W standing, 780 W at 1 m/s up 10 %, 1260 W at 2 m/s on ground of 1.5",
)
def test_pandolf() -> None:
    # Standing 1.5 x 80 + 2 x 120 x (40 / 80)^2 = 120 + 60; walking 120 x (1.5 + 3.5) and, on harder
    # ground, 1.5 x 120 x 6 more.
    assert watts(pandolf(80, 40, 0, 0)) == pytest.approx(180)
    assert watts(pandolf(80, 40, 1, 10)) == pytest.approx(780)
    assert watts(pandolf(80, 40, 2, 0, 1.5)) == pytest.approx(1260)
    # 105 + 14.694 + 1.2 x 90 x (1.815 + 2.31) = 105 + 14.694 + 445.5.
    assert watts(pandolf(70, 20, 1.1, 6, 1.2)) == pytest.approx(565.194, abs=5e-4)
    # The last kilogram of the 40: 2 x .5^2 + 4 x 1.5 x .5 = 3.5 standing, and 1.5 + 3.5 walking.
    assert watts(kilogram_by_pandolf(80, 40, 1, 10)) == pytest.approx(8.5)


@pytest.mark.outside(
    "published",
    "Looney et al. 2019, Med Sci Sports Exerc 51(9): 1954, the equation as public code quotes it "
    "(some have 1.11 where the same authors' paper of 2022 has 1.1), worked with pen and paper",
    "1.44 W/kg standing; at 1 m/s 3.62 on the level and down 32 %, 6.7732 up and 2.6198 down 10 %",
)
def test_walking_without_a_load() -> None:
    # At 1 m/s 1.44 + 1.94 + .24; down 32 % the slope's term is 1 - 1.05^0, nought. Up 10 %:
    # 1.1^42 = 54.764, 1.05^-53.764 = .072575, 3.4 x .927425 = 3.153245 more; down 10 %:
    # 1.1^22 = 8.1403, 1.05^-7.1403 = .705833, 3.4 x .294167 = 1.000168 less (by logarithms).
    assert watts(lcda_walking(0, 0)) == pytest.approx(1.44)
    assert watts(lcda_walking(1, 0)) == pytest.approx(3.62)
    assert watts(lcda_walking(1, -32)) == pytest.approx(3.62)
    assert watts(lcda_walking(1, 10)) == pytest.approx(6.773245, abs=5e-6)
    assert watts(lcda_walking(1, -10)) == pytest.approx(2.619832, abs=5e-6)


@pytest.mark.outside(
    "published",
    "Looney et al. 2022, Med Sci Sports Exerc 54(4): 646 (PMC8919998), equation 2 as public code "
    "quotes it, worked with pen and paper",
    "70 kg with 14 kg at 1.34 m/s, level: 3.87 W/kg above rest, 4.73 W for the last "
    "kilogram; 80 kg at 1 m/s: 179.2 W unladen, 316.03 W with 40 kg",
)
def test_walking_with_a_load() -> None:
    # 1.34^.58 = 1.185007 and 1.34^4 = 3.224180, so that .19 + 2.109313 + .870529 = 3.169842 W/kg
    # unladen; .2^1.36 = .112047 makes it 1.219612 times as much. The last kilogram:
    # 3.169842 x 1.96 x 1.36 x .2^.36 (.560236).
    assert watts(lcda_backpacking(70, 14, 1.34, 0)) / 70 == pytest.approx(3.865975, abs=5e-6)
    assert watts(kilogram_by_lcda(70, 14, 1.34, 0)) == pytest.approx(4.73373, abs=5e-5)
    # At 1 m/s .19 + 1.78 + .27 = 2.24 W/kg; half the body's mass makes it 1 + 1.96 x .389582 times.
    assert watts(lcda_backpacking(80, 0, 1, 0)) == pytest.approx(179.2)
    assert watts(lcda_backpacking(80, 40, 1, 0)) == pytest.approx(316.0337, abs=5e-4)


@pytest.mark.outside(
    "published",
    "Looney et al. 2019 and 2022 (as above): two papers, one quantity",
    "level walking above rest, unladen, is the same within a tenth between 3 and 6 km/h",
)
def test_without_a_load_both_decision_aids_agree() -> None:
    # They part by 11 % at 1.9 m/s.
    for speed in (0.85, 1.1, 1.34, 1.6):
        before = watts(lcda_walking(speed, 0)) - 1.44
        assert watts(lcda_backpacking(70, 0, speed, 0)) / 70 == pytest.approx(before, rel=0.1)


@pytest.mark.outside(
    "published",
    "Minetti et al. 2002, J Appl Physiol 93: 1039, abstract: 17.33 J/(kg m) up a slope of 45 %, of "
    "which lifting is 23 %; above 15 % walking attains the efficiency of concentric contraction",
    "a kilogram up a slope of 15 % takes 9.81 x .15 / .25 J a metre more, within a third",
)
def test_a_climb_takes_what_lifting_takes() -> None:
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


@pytest.mark.outside(
    "memory",
    "Martin et al. 1998, J Appl Biomech 14(3): 276: mass terms, .0032 and .976 from memory; worked "
    "with pen and paper",
    "a kilogram at 7 m/s up 5 % takes 3.738 W; at 5 m/s on the level, rolling at .0065, .326665 W",
)
def test_cycling_mass_terms() -> None:
    # 9.81 x (.0032 x .998752 + .0499376) = .521241 N, x 7 / .976.
    assert watts(kilogram_cycling(7, 5, 0.0032)) == pytest.approx(3.738, abs=5e-4)
    # 9.81 x .0065 x 5 = .318825 W at the wheel, / .976.
    assert watts(kilogram_cycling(5, 0, 0.0065)) == pytest.approx(0.326665, abs=5e-6)
    assert watts(kilogram_cycling(5, -4, 0.0065)) < 0


@pytest.mark.outside(
    "published",
    "Looney et al. 2022, Med Sci Sports Exerc 54(4): 646, abstract: backpacks up to 66 % of body "
    "mass at speeds between 0.45 and 1.97 m/s",
    "beyond these the formula for backpacks gives no watts",
)
@pytest.mark.outside(
    "memory",
    "ranges of the others, from memory: Pandolf to 2.2 m/s and 70 kg, LCDA walking to 1.96 m/s and "
    "-40 to 45 %",
    "beyond these there are no watts",
)
@pytest.mark.parametrize(
    ("found", "reason"),
    [
        (pandolf(70, 80, 1, 0), "Pandolf: load 80 kg is outside 0 to 70 kg"),
        (pandolf(50, 60, 1, 0), "Pandolf: load 60 kg is outside 0 to 50 kg"),
        (pandolf(70, 10, 2.5, 0), "Pandolf: speed 2.5 m/s is outside 0 to 2.2 m/s"),
        (pandolf(70, 10, 1, -3), "Pandolf: grade -3 % is outside 0 to 25 %"),
        (pandolf(20, 10, 1, 0), "Pandolf: body mass 20 kg is outside 30 to 200 kg"),
        (kilogram_by_pandolf(70, 0, 1, 0), "Pandolf: nothing is carried"),
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
