import math
from datetime import date

import pandas as pd
import pytest
from tarebook.analysis.display import words
from tarebook.analysis.display.words import Display

SI = Display()
US = Display(mass="oz", temperature="f", distance="mi")
S = "\u202f"


@pytest.mark.outside("published", "NIST Handbook 44, appendix C", "1 oz is 28.349523125 g")
@pytest.mark.parametrize(
    ("oz", "shown"), [(19.75, "19.75 oz"), (3.05, "3.05 oz"), (3.1, "3.1 oz"), (7, "7.0 oz")]
)
def test_a_thing_is_as_heavy_as_it_was_typed(oz: float, shown: str) -> None:
    """It is stored in whole milligrams, which are a little more or less."""
    stored_g = round(oz * 28349.523125) / 1000
    assert words.thing_mass(stored_g, US) == shown.replace(" ", S)
    # What was weighed in grams is no hundredth of an ounce.
    assert words.thing_mass(560.0, US) == "19.8 oz".replace(" ", S)
    assert words.thing_mass(None, US) == "not known"


@pytest.mark.outside(
    "published",
    "NIST Handbook 44, appendix C",
    "1 oz = 28.349523125 g, 1 lb = 453.59237 g",
)
@pytest.mark.parametrize(
    ("g", "metric", "imperial"),
    [
        (0, "0 g", "0.0 oz"),
        (2.5, "2.5 g", "0.1 oz"),
        (28.349523125, "28 g", "1.0 oz"),
        (840, "840 g", "1.85 lb"),
        (453.59237, "454 g", "1.00 lb"),
        (452.8, "453 g", "1.00 lb"),  # 15.97 oz would read 16.0 oz
        (999.4, "999 g", "2.20 lb"),
        (999.6, "1.00 kg", "2.20 lb"),
        (-1234, "−1.23 kg", "−2.72 lb"),
        (None, "not known", "not known"),
        (math.nan, "not known", "not known"),
        (math.inf, "not known", "not known"),
    ],
)
def test_mass(g: float | None, metric: str, imperial: str) -> None:
    assert words.mass(g, SI) == metric.replace(" ", S).replace(f"not{S}known", "not known")
    assert words.mass(g, US) == imperial.replace(" ", S).replace(f"not{S}known", "not known")


def test_mass_of_unweighed_items_reads_at_least_and_changes_carry_a_sign() -> None:
    assert words.mass(4210, SI, at_least=True) == f"at least 4.21{S}kg"
    assert words.mass(None, SI, at_least=True) == "not known"
    assert words.mass(120, SI, signed=True) == f"+120{S}g"
    assert words.mass(-120, SI, signed=True) == f"−120{S}g"
    assert words.mass(0, SI, signed=True) == f"0{S}g"


@pytest.mark.outside(
    "published",
    "NIST SP 811, B.8: t/°C = (t/°F - 32)/1.8",
    "0 °C is 32 °F, -40 the same on both scales, a difference of 5 °C is 9 °F",
)
def test_temperatures_and_their_differences() -> None:
    assert words.temperature(-40, SI) == f"−40{S}°C"
    assert words.temperature(-40, US) == f"−40{S}°F"
    assert words.temperature(0, US) == f"32{S}°F"
    assert words.temperature(-0.4, SI) == f"0{S}°C"
    assert words.temperature(-1.25, SI, 1) == f"−1.3{S}°C"
    assert words.temperature_difference(5, US) == f"9.0{S}°F"
    assert words.temperature_difference(-5, SI, signed=True) == f"−5.0{S}°C"
    assert words.temperature(pd.NA, SI) == "not known"
    assert words.temperature(pd.NaT, SI) == "not known"


@pytest.mark.outside(
    "published",
    "NIST Handbook 44, appendix C",
    "1 mi = 1.609344 km, 1 ft = .3048 m",
)
def test_distances_and_heights() -> None:
    assert words.distance(42.195, SI) == f"42.2{S}km"
    assert words.distance(1.609344, US) == f"1.0{S}mi"
    assert words.distance(312.4, SI) == f"312{S}km"
    assert words.height(304.8, US) == f"1000{S}ft"
    assert words.height(12345, SI) == f"12{S}345{S}m"


def test_scales_give_numbers_for_tables_and_charts() -> None:
    assert words.large_mass(SI).number(5610) == "5.61"
    assert words.large_mass(US).value(453.59237) == pytest.approx(1)
    assert words.small_mass(SI).number(None) == "–"
    assert words.small_mass(SI).value(math.nan) is None
    # Halves go away from zero, in every figure alike.
    assert words.temperature_scale(SI).number(-1.25) == "−1.3"


@pytest.mark.parametrize(
    ("n", "text"),
    [(0, "no nights"), (1, "1 night"), (3, "3 nights"), (None, "an unknown number of nights")],
)
def test_counts(n: int | None, text: str) -> None:
    assert words.count(n, "night") == text


def test_irregular_plurals_and_thousands() -> None:
    assert words.count(2, "battery", "batteries") == "2 batteries"
    assert words.number(1234) == "1234"
    assert words.number(1234567) == f"1{S}234{S}567"


def test_days() -> None:
    # 1 May 2026 is a Friday.
    first = date(2026, 5, 1)
    assert words.day(first) == "Fri 1 May 2026"
    assert words.day(pd.Timestamp(first), weekday=False, year=False) == "1 May"
    assert words.day(None) == "not known"
    assert words.days(first, first) == "1 May 2026"
    assert words.days(first, date(2026, 5, 3)) == "1–3 May 2026"
    assert words.days(date(2026, 4, 30), date(2026, 5, 2)) == "30 April – 2 May 2026"
    assert words.days(date(2026, 12, 30), date(2027, 1, 2)) == "30 December 2026 – 2 January 2027"


@pytest.mark.parametrize(
    ("chance", "text"),
    [
        (0.14168, "about 1 in 7"),
        (0.5, "about 1 in 2"),
        (0.63, "about 6 in 10"),
        (0.94, "about 9 in 10"),
        (0.97, "almost certain"),
        (1.0, "almost certain"),
        (0.0295, "about 1 in 30"),
        (0.0036, "about 1 in 300"),
        (0.0, "rarer than 1 in 1000"),
        (math.nan, "not known"),
    ],
)
def test_chances(chance: float, text: str) -> None:
    assert words.one_in(chance) == text


def test_a_chance_outside_0_to_1_is_a_fault_of_the_program() -> None:
    with pytest.raises(ValueError, match=r"expected 0 to 1, got 1\.2"):
        words.one_in(1.2)


def test_lists_labels_and_sentences() -> None:
    assert words.listing([]) == ""
    assert words.listing(["a"]) == "a"
    assert words.listing(["a", "b", "c"]) == "a, b and c"
    assert words.listing("abcdef", at_most=2) == "a, b and 4 more"
    assert words.quoted([]) == ""
    assert words.quoted(["Tarp, 2.4 by 3 m", "Pegs"]) == "“Tarp, 2.4 by 3 m” and “Pegs”"
    assert words.quoted("abcdef", at_most=2) == "“a”, “b” and 4 more"
    assert words.label("first_aid") == "First aid"
    assert words.label("lost_use") == "Lost use"
    assert words.label("ebike") == "E-bike"
    assert words.label(None) == "–"
    assert words.sentence("n = 1 trip") == "N = 1 trip."
    assert words.percent(0.123) == f"12{S}%"


def test_display_units_come_from_the_settings() -> None:
    assert Display.of({}) == Display("g", "c", "km")
    given = {"display.mass": "oz", "display.temperature": "f", "display.distance": "mi"}
    assert Display.of(given) == US


@pytest.mark.parametrize(
    ("expected", "things", "text"),
    [
        (0, 2, "you would want one of them less than once in 1000 trips"),
        (0.0049, 2, "you would want one of them about once in 200 trips"),
        (0.145, 6, "you would want one of them about once in 7 trips"),
        (0.145, 1, "you would want it about once in 7 trips"),
        (0.66, 2, "you would want one of them about once in 2 trips"),
        # Once in "1 trips" is never said: from two in three on it is every trip.
        (0.69, 2, "you would want one of them about once on every trip"),
        (1.74, 3, "you would want one of them about 1.7 times on every trip"),
    ],
)
def test_the_price_of_leaving_has_one_wording(expected: float, things: int, text: str) -> None:
    assert words.wanted(expected, things) == text
