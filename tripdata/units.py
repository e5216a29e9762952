"""Exact conversion factors between what people type and what the store keeps.

Source: NIST Handbook 44 appendix C and NIST SP 811 (exact definitions): 1 lb = 0.45359237 kg,
1 oz = 1/16 lb, 1 mi = 1.609344 km, 1 ft = 0.3048 m, 1 in = 25.4 mm; degree Fahrenheit by 5/9.
"""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal


@dataclass(frozen=True, slots=True)
class Dimension:
    """A kind of quantity: the unit suffixes a header may carry and how the store keeps it.

    ``factors`` maps a suffix to the number of stored units in one typed unit, as exact decimal
    text; ``stored`` is the suffix of the stored column; ``whole`` says that the stored number is
    rounded once, half up, to an integer (so that sums are exact); ``range_unit`` is the unit of the
    contract's ranges.
    """

    name: str
    factors: dict[str, str]
    stored: str
    whole: bool
    range_unit: str

    @property
    def units(self) -> tuple[str, ...]:
        """The unit suffixes a header may carry, the first being the usual one."""
        return tuple(self.factors)


_MG = {"g": "1000", "kg": "1000000", "oz": "28349.523125", "lb": "453592.37"}
MASS = Dimension("mass", _MG, "mg", True, "kg")
TEMPERATURE = Dimension("temperature", {"c": "1", "f": "1"}, "c", False, "c")
LENGTH = Dimension("length", {"km": "1000000", "mi": "1609344"}, "mm", True, "km")
HEIGHT = Dimension("height", {"m": "1000", "ft": "304.8"}, "mm", True, "m")
RAIN = Dimension("rain", {"mm": "1", "in": "25.4"}, "mm", False, "mm")
SPEED = Dimension("speed", {"kmh": "1", "mph": "1.609344"}, "kmh", False, "kmh")
DIMENSIONS = {d.name: d for d in (MASS, TEMPERATURE, LENGTH, HEIGHT, RAIN, SPEED)}
SIGNS = {"kmh": "km/h", "c": "°C", "f": "°F"}
"""How a unit is written in a sentence, where not as the suffix."""

OZ_G = float(MASS.factors["oz"]) / 1000
LB_G = float(MASS.factors["lb"]) / 1000
MI_KM = float(LENGTH.factors["mi"]) / 1e6
IN_MM = float(RAIN.factors["in"])
FT_M = float(HEIGHT.factors["ft"]) / 1000
F_PER_C = 9 / 5
"""Degrees Fahrenheit in one degree Celsius."""
FREEZING_F = 32.0


# Wide enough for every digit of the product, so that it is rounded once only.
_EXACT = Context(prec=80, rounding=ROUND_HALF_UP)


def to_whole(text: str, factor: str) -> int:
    """Convert decimal text by an exact factor and round once, half up, to an integer.

    ``text`` has at most 40 characters and the result at most 30 digits.
    """
    product = _EXACT.multiply(Decimal(text), Decimal(factor))
    return int(product.quantize(Decimal(1), context=_EXACT))


def fahrenheit_step_to_celsius(value: float) -> float:
    """A difference in degrees Fahrenheit, or a spread, in degrees Celsius."""
    return value * 5 / 9


def fahrenheit_to_celsius(value: float) -> float:
    """Degrees Fahrenheit to degrees Celsius, (x - 32) x 5 / 9."""
    return fahrenheit_step_to_celsius(value - FREEZING_F)


def sql_fahrenheit_to_celsius(expression: str) -> str:
    """The same of an SQL expression, step by step, so that the number is the same."""
    return f"(({expression} - {FREEZING_F:g}) * 5 / 9)"
