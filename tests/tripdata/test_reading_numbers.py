"""Numbers: the forms that are read, the forms that are refused with advice, units and ranges."""

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import Any

import kit
import pint
import pytest
from tarebook.tripdata.problems import Findings
from tarebook.tripdata.units import DIMENSIONS, fahrenheit_to_celsius

Check = Callable[..., Findings]
Read = Callable[..., tuple[Findings, kit.Kept]]
KEEP = "; a unit belongs in the column's header, the cell holds the number alone"
BLANK = "; leave the cell blank where it is not known"


@pytest.mark.outside(
    "published",
    "NIST Handbook 44, appendix C",
    "1 oz = 28.349523125 g, 1 lb = 453.59237 g",
)
@pytest.mark.parametrize(
    ("header", "text", "stored"),
    [
        ("weight_g", "1", 1_000),
        ("weight_kg", "1", 1_000_000),
        ("weight_oz", "1", 28_350),  # 28.349523125 g, to the whole milligram
        ("weight_oz", "1000", 28_349_523),
        ("weight_lb", "1", 453_592),
        ("weight_lb", "100", 45_359_237),
        ("Weight (oz)", "8", 226_796),
        (" WEIGHT - OZ ", "8", 226_796),
        ("weight_g", "0.0005", 1),  # half a milligram rounds up
        ("weight_g", "0.0015", 2),
        ("weight_g", "1.0005", 1_001),
        ("weight_g", "1.00049999999999999999999999999999", 1_000),
        ("weight_g", "12.", 12_000),
        ("weight_g", ".5", 500),
        ("weight_g", "+5", 5_000),
        ("weight_g", "1e2", 100_000),
        ("weight_g", "1.5E+1", 15_000),
        ("weight_kg", "2.5e-3", 2_500),
        ("weight_kg", "100", 100_000_000),
        ("weight_g", "0012", 12_000),
    ],
)
def test_masses_are_read_once_to_whole_milligrams(
    read: Read, header: str, text: str, stored: int
) -> None:
    row = {"item": "spoon", "system": "cook", header: text}
    findings, kept = read({"gear-more.csv": kit.csv_text([row, row.values()])})
    assert findings.clean
    assert kept.rows("gear", "item", "weight_mg")[-1] == ("spoon", stored)


@pytest.mark.outside(
    "published",
    "NIST Handbook 44, appendix C, and SP 811, B.8",
    "1 mi = 1.609344 km, 1 ft = .3048 m, 1 in = 25.4 mm; 41 °F is 5 °C",
)
@pytest.mark.parametrize(
    ("table", "header", "text", "stored"),
    [
        ("temperatures", "temperature_c", "-5.5", -5.5),
        ("temperatures", "temperature_c", "\u22125.5", -5.5),
        ("temperatures", "Temperature °C", "5", 5.0),
        ("temperatures", "temperature_f", "41", 5.0),
        ("temperatures", "temperature_f", "\u221276", -60.0),
        ("temperatures", "temperature_f", "140", 60.0),
        ("temperatures", "temperature_c", "1e-400", 0.0),
        ("temperatures", "temperature_c", "-0", 0.0),
        ("distances", "distance_mi", "1", 1_609_344),
        ("distances", "distance_km", "0.0000005", 1),
        ("distances", "ascent_ft", "1000", 304_800),
        ("weather", "rain_in", "1", 25.4),
        ("weather", "wind_mph", "10", 16.09344),
        ("weather", "low_f", "32", 0.0),
        ("gear", "rated_low_f", "14", -10.0),
        ("gear", "cold_below_f", "50", 10.0),
        ("trip", "elevation_ft", "1000", 304_800),
        ("carried", "brought_home_lb", "0", 0),
        ("carried", "quantity", "2.0", 2),
        ("trip", "people", "3", 3),
        ("carried", "quantity", "1e2", 100),
        ("comfort", "warmth", "\u22123", -3),
        ("comfort", "warmth", "+3", 3),
    ],
)
def test_quantities_are_stored_in_one_unit(
    read: Read, table: str, header: str, text: str, stored: Any
) -> None:
    known = {"Temperature °C": "temperature_c"}.get(header, header)
    files = kit.one_cell(table, known, text)
    name = kit.file_of(table)
    files[name] = str(files[name]).replace(known, header)
    findings, kept = read(files)
    assert findings.clean
    assert not findings.warnings
    column = next(c for c in kit.BY_NAME[table].columns if known in c.headers)
    assert kept.rows(table, column.stored)[-1] == (stored,)


@pytest.mark.parametrize(
    ("table", "header", "text", "message"),
    [
        ("weighings", "weight_g", "abc", 'expected a number above 0, got "abc"'),
        ("weighings", "weight_g", "nan", f'expected a number above 0, got "nan"{BLANK}'),
        ("weighings", "weight_g", "-inf", f'expected a number above 0, got "-inf"{BLANK}'),
        ("weighings", "weight_g", "Infinity", f'expected a number above 0, got "Infinity"{BLANK}'),
        ("weighings", "weight_g", "n/a", f'expected a number above 0, got "n/a"{BLANK}'),
        ("weighings", "weight_g", "?", f'expected a number above 0, got "?"{BLANK}'),
        ("weighings", "weight_g", "-", f'expected a number above 0, got "-"{BLANK}'),
        ("weighings", "weight_g", "1_000", 'expected a number above 0, got "1_000"; write 1000'),
        ("weighings", "weight_g", "1,234",
         'expected a number above 0, got "1,234"; a comma here may be a thousands or a decimal '
         "mark: write 1234 or 1.234"),
        ("weighings", "weight_g", "1.234,5",
         'expected a number above 0, got "1.234,5"; write it without thousands marks, with one '
         "decimal mark"),
        ("weighings", "weight_g", "1,234.5",
         'expected a number above 0, got "1,234.5"; write it without thousands marks, with one '
         "decimal mark"),
        ("weighings", "weight_g", "1 234",
         'expected a number above 0, got "1 234"; write it without thousands marks'),
        ("weighings", "weight_g", "1\u202f234",
         'expected a number above 0, got "1\\u202f234"; write it without thousands marks'),
        ("weighings", "weight_g", "1'234",
         'expected a number above 0, got "1\'234"; write it without thousands marks'),
        ("weighings", "weight_g", "250 g", f'expected a number above 0, got "250 g"{KEEP}'),
        ("weighings", "weight_g", "250g", f'expected a number above 0, got "250g"{KEEP}'),
        ("weighings", "weight_oz", "2 lb 3 oz",
         f'expected a number above 0, got "2 lb 3 oz"{KEEP}'),
        ("weather", "low_c", "5°", f'expected a number, got "5°"{KEEP}'),
        ("weighings", "weight_g", "٣", 'expected a number above 0, got "٣"; write it with the '
         "digits 0 to 9"),
        ("weighings", "weight_g", "１２",
         'expected a number above 0, got "１２"; write it with the digits 0 to 9'),
        ("weighings", "weight_g", "0x10", f'expected a number above 0, got "0x10"{KEEP}'),
        ("weighings", "weight_g", "1e", f'expected a number above 0, got "1e"{KEEP}'),
        ("weighings", "weight_g", "--5", 'expected a number above 0, got "--5"'),
        ("weighings", "weight_g", "1e999", 'expected at most 100 kg, got "1e999"'),
        ("weighings", "weight_g", "1e-999", 'expected a number above 0, got "1e-999"'),
        ("weighings", "weight_g", "9" * 70,
         f'expected a number above 0, got "{"9" * 59}…"'),
        ("carried", "quantity", "1.5", 'expected a whole number from 1 to 1000, got "1.5"'),
        ("carried", "quantity", "many", 'expected a whole number from 1 to 1000, got "many"'),
    ],
)  # fmt: skip
def test_other_forms_are_refused_with_advice(
    check: Check, table: str, header: str, text: str, message: str
) -> None:
    findings = check(kit.one_cell(table, header, text))
    assert [str(p) for p in findings.problems] == [f"{kit.file_of(table)}:2: {header}: {message}"]


RANGES = [
    # table, header, lowest, highest, below, above; the contract's ranges, both ends
    ("weighings", "weight_g", "0.001", "100000", "expected a number above 0", "at most 100 kg"),
    ("weighings", "weight_oz", "0.0001", "3527.3961", "expected a number above 0",
     "at most 100 kg"),
    ("carried", "brought_home_g", "0", "100000", "expected a number from 0", "at most 100 kg"),
    ("temperatures", "temperature_c", "-60", "60", "expected a number, at least -60 °C",
     "at most 60 °C"),
    ("temperatures", "temperature_f", "-76", "140", "expected a number, at least -60 °C",
     "at most 60 °C"),
    ("weather", "high_c", "-60", "60", "expected a number, at least -60 °C", "at most 60 °C"),
    ("distances", "distance_km", "0", "1000", "expected a number from 0", "at most 1000 km"),
    ("distances", "ascent_m", "0", "10000", "expected a number from 0", "at most 10000 m"),
    ("distances", "hours", "0", "24", "expected a number from 0 to 24", None),
    ("distances", "battery_wh", "0", "1e6", "expected a number from 0 to 1000000", None),
    ("weather", "rain_mm", "0", "1000", "expected a number from 0", "at most 1000 mm"),
    ("weather", "wind_kmh", "0", "300", "expected a number from 0", "at most 300 km/h"),
    ("candidates", "price", "0", "1e6", "expected a number from 0 to 1000000", None),
    ("candidates", "capacity_wh", "0", "1e6", "expected a number from 0 to 1000000", None),
    ("candidates", "expected_nights", "0", "10000", "expected a number from 0 to 10000", None),
    ("used", "times", "0", "1000", "expected a whole number from 0 to 1000", None),
    ("carried", "quantity", "1", "1000", "expected a whole number from 1 to 1000", None),
    ("comfort", "score", "1", "5", "expected a whole number from 1 to 5", None),
    ("comfort", "warmth", "-3", "3", "expected a whole number from -3 to 3", None),
]  # fmt: skip
SOFT_RANGES = [
    ("trip", "people", "1", "1000", "expected a whole number from 1 to 1000", None),
    ("gear", "r_value", "0", "20", "expected a number from 0 to 20", None),
    ("gear", "going_without", "0", "10", "expected a number from 0 to 10", None),
    ("gear", "rated_low_c", "-60", "60", "expected a number, at least -60 °C", "at most 60 °C"),
    ("trip", "latitude", "-90", "90", "expected a number from -90 to 90", None),
    ("trip", "longitude", "-180", "180", "expected a number from -180 to 180", None),
    ("trip", "elevation_m", "-500", "9000", "expected a number, at least -500 m", "at most 9000 m"),
]


def _beyond(text: str, whole: bool, up: bool) -> str:
    """The next number beyond one end of a range."""
    step = 1 if whole else 0.01 if abs(float(text)) >= 1 else 0.0011
    value = float(text) + (step if up else -step)
    return str(int(value)) if whole else repr(value)


@pytest.mark.parametrize(("table", "header", "low", "high", "below", "above"), RANGES)
def test_both_ends_of_a_range_are_in_and_the_next_is_out(
    check: Check, table: str, header: str, low: str, high: str, below: str, above: str | None
) -> None:
    whole = "whole" in below
    for text in (low, high):
        assert check(kit.one_cell(table, header, text)).clean
    where = f"{kit.file_of(table)}:2: {header}: "
    under, over = _beyond(low, whole, False), _beyond(high, whole, True)
    found = check(kit.one_cell(table, header, under))
    assert [str(p) for p in found.problems] == [f'{where}{below}, got "{under}"']
    found = check(kit.one_cell(table, header, over))
    wanted = f"expected {above}" if above else below
    assert [str(p) for p in found.problems] == [f'{where}{wanted}, got "{over}"']


@pytest.mark.parametrize(("table", "header", "low", "high", "below", "above"), SOFT_RANGES)
def test_in_gear_and_trip_a_number_out_of_range_is_blanked_with_a_warning(
    read: Read, table: str, header: str, low: str, high: str, below: str, above: str | None
) -> None:
    where = f"{kit.file_of(table)}:2: {header}: "
    column = next(c for c in kit.BY_NAME[table].columns if header in c.headers)
    for text, wanted in (
        (low, ""),
        (high, ""),
        (_beyond(low, False, False), below),
        (_beyond(high, False, True), f"expected {above}" if above else below),
    ):
        findings, kept = read(kit.one_cell(table, header, text))
        assert findings.clean
        said = [f'{where}{wanted}, got "{text}"; the cell was left blank'] if wanted else []
        assert [str(w) for w in findings.warnings] == said
        blank = int(column.default) if column.default else None
        assert (kept.rows(table, column.stored)[-1] == (blank,)) is (
            bool(wanted) or text == column.default
        )


SEMICOLON = "day;rain_mm;wind_kmh;conditions\n"


@pytest.mark.parametrize("delimiter", [";", "\t"])
def test_a_semicolon_or_tab_file_may_write_decimal_commas(read: Read, delimiter: str) -> None:
    text = SEMICOLON + "2026-05-01;1,5;10;a,b\n2026-05-02;,5;7,;1.5 l\n2026-05-03;2;1,25e1;\n"
    findings, kept = read({"trips/river/weather.csv": text.replace(";", delimiter)})
    assert findings.clean
    assert kept.rows("weather", "rain_mm", "wind_kmh") == [(1.5, 10.0), (0.5, 7.0), (2.0, 12.5)]


@pytest.mark.parametrize(
    ("cells", "bad"),
    [
        (["1,5", "2.5", "3,5"], [3]),
        (["1.5", "2,5", "3.5"], [3]),
        (["1.5", "2,5", "3,5"], [2]),  # the mark that more of its numbers use
        (["1.5", "2,5", "3"], [3]),  # of as many, the first
        (["about 1.5", "2,5", "3"], [2]),  # what is no number shows no mark
    ],
)
def test_one_decimal_mark_a_file(check: Check, cells: list[str], bad: list[int]) -> None:
    rows = [f"2026-05-0{n};{cell};;" for n, cell in enumerate(cells, start=1)]
    findings = check({"trips/river/weather.csv": SEMICOLON + "\n".join(rows)})
    assert [p.line for p in findings.problems] == bad
    value = cells[bad[0] - 2]
    comma = "," in value
    advice = (
        f"write {value.replace(',', '.')}"
        if comma
        else "this file writes decimals with a comma: keep to one mark in a file"
    )
    if value.startswith("about"):
        assert findings.problems[0].problem.startswith(f'expected a number from 0, got "{value}"')
    else:
        assert findings.problems[0].problem == f'expected a number from 0, got "{value}"; {advice}'


def test_a_comma_file_never_has_decimal_commas(check: Check) -> None:
    findings = check({"trips/river/weather.csv": 'day,rain_mm\n2026-05-01,"1,5"\n'})
    assert [p.value for p in findings.problems] == ["1,5"]


# --- against an outside registry of units ------------------------------------------------------
PINT_UNITS = {
    "mass": ({"g": "gram", "kg": "kilogram", "oz": "ounce", "lb": "pound"}, "milligram"),
    "length": ({"km": "kilometer", "mi": "mile"}, "millimeter"),
    "height": ({"m": "meter", "ft": "foot"}, "millimeter"),
    "rain": ({"mm": "millimeter", "in": "inch"}, "millimeter"),
    "speed": ({"kmh": "kilometer/hour", "mph": "mile/hour"}, "kilometer/hour"),
}


@pytest.fixture(scope="module")
def registry() -> Any:
    return pint.UnitRegistry(non_int_type=Fraction)


@pytest.mark.outside(
    "implementation",
    "pint's default registry, exact",
    "every factor of mass, length, height, rain and speed",
)
@pytest.mark.parametrize("name", PINT_UNITS)
def test_factors_equal_the_registry_to_the_last_digit(registry: Any, name: str) -> None:
    units, stored = PINT_UNITS[name]
    assert set(units) == set(DIMENSIONS[name].units)
    for suffix, factor in DIMENSIONS[name].factors.items():
        exact = registry.Quantity(Fraction(1), units[suffix]).to(stored).magnitude
        assert Fraction(Decimal(factor)) == exact


@pytest.mark.outside(
    "implementation",
    "pint's default registry",
    "-76 to 140 °F in °C",
)
def test_fahrenheit_equals_the_registry(registry: Any) -> None:
    for value in range(-76, 141, 3):
        theirs = registry.Quantity(Fraction(value), "degF").to("degC").magnitude
        assert fahrenheit_to_celsius(value) == pytest.approx(float(theirs), abs=1e-9)
    assert fahrenheit_to_celsius(-40) == -40  # both scales meet
