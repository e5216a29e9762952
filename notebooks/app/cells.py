"""What was typed into a cell: read leniently, asked about where it may mean two things."""

import re
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from ...tripdata.contract import BY_NAME
from ...tripdata.logbook_entry import Amount
from ...tripdata.names import shown, squeezed
from ...tripdata.units import DIMENSIONS

_MINUS = str.maketrans({"\u2212": "-", "\u2013": "-", "\u00a0": None, "\u202f": None})
_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)", re.ASCII)
_GROUPED = re.compile(r"[+-]?\d{1,3}(,\d{3})+(\.\d+)?", re.ASCII)
_FACTORS = {unit: Decimal(f) for d in DIMENSIONS.values() for unit, f in d.factors.items()}
_PLACES = {"g": 0, "kg": 3, "oz": 2, "lb": 3, "c": 1, "f": 1, "km": 2, "mi": 2, "m": 0, "ft": 0}
_WARMTH = ("cold", "cool", "slightlycool", "neutral", "slightlywarm", "warm", "hot")
_YES, _NO = ("yes", "y", "wet", "x"), ("no", "n", "dry")


class CellError(ValueError):
    """What was typed cannot be read; the message says what is expected, in words."""


@dataclass(frozen=True, slots=True)
class Units:
    """The units that the owner of the logbook reads."""

    mass: str
    temperature: str
    distance: str

    @property
    def height(self) -> str:
        """Of climbing."""
        return "ft" if self.distance == "mi" else "m"

    @property
    def rain(self) -> str:
        """Of rain."""
        return "in" if self.distance == "mi" else "mm"


def number(text: str, low: float, high: float, what: str, comma: bool = False) -> Decimal:
    """A number within a range. Raises CellError, which says what was expected.

    ``comma``: the logbook writes decimals with a comma; else what has one is asked about.
    """
    typed = text.strip().translate(_MINUS).replace(" ", "")
    if _GROUPED.fullmatch(typed) and "," in typed:
        plain = typed.replace(",", "")
        raise CellError(f"Is it {plain} or {typed.replace(',', '.', 1)}? Write it like that.")
    if "," in typed and "." not in typed:
        typed = typed.replace(",", ".", 1)
        if not comma and _NUMBER.fullmatch(typed):
            raise CellError(f"Is it {typed}? Write it with a point.")
    if not _NUMBER.fullmatch(typed) or len(typed) > 20:
        raise CellError(f"Expected {what}, as a number alone; got {shown(text.strip(), 20)}.")
    try:
        value = Decimal(typed)
    except InvalidOperation:
        raise CellError(f"Expected {what}; got {shown(text.strip(), 20)}.") from None
    if not low <= value <= high:
        raise CellError(
            f"Expected {what}, {_plain(low)} to {_plain(high)}; got {shown(text.strip(), 20)}."
        )
    return value


def _plain(bound: float) -> str:
    return f"{bound:,.0f}" if abs(bound) >= 100 else f"{bound:g}"


def whole(text: str, low: int, high: int, what: str) -> int:
    """A whole number within a range, which ``what`` names. Raises CellError."""
    value = number(text, -1e9, 1e9, what)
    if value != int(value) or not low <= value <= high:
        raise CellError(f"Write {what}, not {shown(text.strip(), 20)}.")
    return int(value)


def warmth(text: str) -> int:
    """A vote on the seven-point scale, -3 to 3 or in its words. Raises CellError."""
    if squeezed(text) in _WARMTH:
        return _WARMTH.index(squeezed(text)) - 3
    return whole(text, -3, 3, "a whole number from -3, cold, to 3, hot")


def yes_or_no(text: str) -> bool | None:
    """Whether it was wet, where that is said in a word; None where it is no such word."""
    word = squeezed(text)
    return True if word in _YES else False if word in _NO else None


def in_unit(amount: Amount | None, unit: str) -> str:
    """An amount as the form shows it in a unit: as it was typed where the unit is the same."""
    if amount is None:
        return ""
    if amount.unit == unit:
        return f"{amount.value:f}"
    if {amount.unit, unit} == {"c", "f"}:
        to_c = amount.unit == "f"
        value = (amount.value - 32) * 5 / 9 if to_c else amount.value * 9 / 5 + 32
    else:
        value = amount.value * _FACTORS[amount.unit] / _FACTORS[unit]
    places = _PLACES.get(unit, 2)
    text = f"{round(value, places):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def amount(
    text: str,
    unit: str,
    before: Amount | None,
    low: float,
    high: float,
    what: str,
    comma: bool = False,
) -> Amount | None:
    """The amount that a cell holds; that of before where nothing else is typed. Raises CellError.

    ``low`` and ``high`` are in that unit; ``comma`` is as of `number`.
    """
    if not text.strip():
        return None
    if before is not None and text.strip() == in_unit(before, unit):
        return before
    return Amount(number(text, low, high, what, comma), unit)


def bounds(table: str, column: str, unit: str) -> tuple[float, float]:
    """The least and the most that a column takes, in a unit."""
    known = BY_NAME[table].column(column)
    dimension, low, high = known.dimension, known.low or 0.0, known.high or 0.0
    if dimension is None or unit == dimension.range_unit:
        return low, high
    if unit == "f":
        return low * 9 / 5 + 32, high * 9 / 5 + 32
    scale = float(dimension.factors[dimension.range_unit]) / float(dimension.factors[unit])
    return low * scale, high * scale
