"""From the text of one cell to a number, or to the reason why not."""

import re
from collections.abc import Callable
from typing import Any

from .contract import Column
from .names import shown
from .schema import si_scale
from .units import SIGNS, fahrenheit_to_celsius, to_whole

Parsed = tuple[Any, str, str]
Parser = Callable[[str], Parsed]

_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d{1,9})?", re.ASCII)
_LONGEST = 40
_UNKNOWN = ("nan", "inf", "infinity", "na", "n/a", "?", "none", "null", "unknown")


def ok(value: Any) -> Parsed:
    """A value."""
    return value, "", ""


def no(problem: str, near: str = "") -> Parsed:
    """A problem, and the known value that is near, if any."""
    return None, problem, near


def expected_number(column: Column) -> str:
    """What a numeric column expects, in words."""
    whole = "a whole number" if column.kind == "whole" else "a number"
    if column.above:
        return f"{whole} above {column.low:g}"
    if column.dimension is not None and column.low == 0:
        return f"{whole} from 0"
    if column.low is None or column.high is None or column.dimension is not None:
        return whole
    return f"{whole} from {column.low:.10g} to {column.high:.10g}"


def _number_advice(text: str, comma: bool) -> str:
    low = text.lower().lstrip("+-\u2212")
    if low in _UNKNOWN or not low.strip("-\u2013\u2014"):
        return "; leave the cell blank where it is not known"
    if re.fullmatch(r"[+-]?\d{1,3}(_\d{3})+(\.\d+)?", text, re.ASCII):
        return f"; write {text.replace('_', '')}"
    if ("," in text and "." in text) or re.fullmatch(r"[+-]?\d{1,3}([\s'’]\d{3})+([.,]\d*)?", text):
        return "; write it without thousands marks" + (
            ", with one decimal mark" if "," in text or "." in text else ""
        )
    if "," in text and not comma and not re.fullmatch(r"[+-]?\d{1,3}(,\d{3})+", text, re.ASCII):
        return f"; write {text.replace(',', '.')}" if text.count(",") == 1 else ""
    if "," in text and not comma:
        return "; a comma here may be a thousands or a decimal mark: write 1234 or 1.234"
    if "." in text and comma:
        return "; this file writes decimals with a comma: keep to one mark in a file"
    if not text.isascii() and any(c.isdigit() and not c.isascii() for c in text):
        return "; write it with the digits 0 to 9"
    if re.match(r"[+-]?[\d.,]+\s*[^\d.,\s]", text, re.ASCII):
        return "; a unit belongs in the column's header, the cell holds the number alone"
    return ""


def plain_number(text: str, comma: bool) -> str | None:
    """A number's text with ASCII minus and decimal point; None where it is no number."""
    if len(text) > _LONGEST:
        return None
    plain = text.replace("\u2212", "-")
    if comma:
        if "." in plain:
            return None
        plain = plain.replace(",", ".")
    return plain if _NUMBER.fullmatch(plain) else None


def number_parser(column: Column, unit: str, comma: bool) -> Parser:
    """Parser of a numeric column: float, int or, for a quantity, its stored number."""
    dim, scale = column.dimension, si_scale(column)
    want = expected_number(column)
    assert column.low is not None
    assert column.high is not None
    lowest, highest = column.low * scale, column.high * scale
    # Where one end says little, the message names the end that was passed.
    at_least = at_most = want
    if dim is not None:
        sign = SIGNS.get(dim.range_unit, dim.range_unit)
        at_least = want if column.low == 0 else f"{want}, at least {column.low:.10g} {sign}"
        at_most = f"at most {column.high:.10g} {sign}"

    def parse(text: str) -> Parsed:
        plain = plain_number(text, comma)
        if plain is None:
            return no(f"expected {want}, got {shown(text)}{_number_advice(text, comma)}")
        value: float = float(plain)
        if dim is not None and abs(value) < 1e15:
            if unit == "f":
                value = fahrenheit_to_celsius(value)
            elif dim.whole:
                value = to_whole(plain, dim.factors[unit]) if value else 0
            elif unit != "c":
                value = value * float(dim.factors[unit])
        elif column.kind == "whole" and abs(value) < 1e15:
            if value != int(value):
                return no(f"expected {want}, got {shown(text)}")
            value = int(value)
        if value < lowest or (column.above and value <= lowest):
            return no(f"expected {at_least}, got {shown(text)}")
        if value > highest:
            return no(f"expected {at_most}, got {shown(text)}")
        return ok(value)

    return parse
