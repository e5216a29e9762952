"""From the text of one cell to a value, or to the reason why not.

A parser takes trimmed, non-empty text and returns ``(value, "")`` or ``(None, problem)`` or, where
a known value is near, ``(None, problem, nearest)``. Parsers are remembered per cell text, since
the same few texts make up most of a column.
"""

import re
from collections.abc import Callable
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from .contract import Column
from .names import Names, looks_like_total, nearest, normalised, shown, slug, slug_fault, squeezed
from .schema import si_scale
from .units import fahrenheit_to_celsius, to_whole

Parsed = tuple[Any, str, str]
Parser = Callable[[str], Parsed]

_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?", re.ASCII)
_DATE = re.compile(r"(\d{4})-(\d{2})-(\d{2})", re.ASCII)
_MOMENT = re.compile(
    r"(\d{4}-\d{2}-\d{2})[T ](\d{2}):(\d{2})(?::(\d{2})(?:[.,](\d{1,9}))?)?\s?"
    r"(?:[+-]\d{2}(?::?\d{2})?)?",
    re.ASCII,
)
_YES = {"yes": True, "y": True, "true": True, "1": True, "x": True}
_FLAGS = _YES | {"no": False, "n": False, "false": False, "0": False}
_RANGE_UNIT = {"mass": " kg", "temperature": " °C", "length": " km", "height": " m",
               "rain": " mm", "speed": " km/h"}  # fmt: skip
_DAY_ZERO = date(1899, 12, 30)


def _ok(value: Any) -> Parsed:
    return value, "", ""


def _no(problem: str, near: str = "") -> Parsed:
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
    return f"{whole} from {column.low:g} to {column.high:g}"


def _number_advice(text: str, comma: bool) -> str:
    low = text.lower()
    if low.lstrip("+-") in ("nan", "inf", "infinity", "na", "n/a", "?", "-", "none", "null"):
        return "; leave the cell blank where it is not known"
    if re.fullmatch(r"[+-]?\d{1,3}(_\d{3})+(\.\d+)?", text, re.ASCII):
        return f"; write {text.replace('_', '')}"
    if "," in text and "." in text:
        return "; write it without thousands marks, with one decimal mark"
    if "," in text and not comma:
        return "; a comma here may be a thousands or a decimal mark: write 1234 or 1.234"
    if "." in text and comma:
        return "; this file writes decimals with a comma: keep to one mark in a file"
    if re.match(r"[+-]?[\d.,]+\s*[^\d.,\s]", text):
        return "; a unit belongs in the column's header, the cell holds the number alone"
    return ""


def plain_number(text: str, comma: bool) -> str | None:
    """A number's text with ASCII minus and decimal point; None where it is no number."""
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

    def parse(text: str) -> Parsed:
        plain = plain_number(text, comma) if len(text) <= 40 else None
        if plain is None:
            return _no(f"expected {want}, got {shown(text)}{_number_advice(text, comma)}")
        value: float = float(plain)
        if abs(value) > 1e15 or (value != 0 and abs(value) < 1e-15):
            return _no(f"expected {want}, got {shown(text)}")
        if dim is not None:
            if unit == "f":
                value = fahrenheit_to_celsius(value)
            elif dim.whole:
                value = to_whole(plain, dim.factors[unit])
            elif unit != "c":
                value = value * float(dim.factors[unit])
        elif column.kind == "whole":
            if value != int(value):
                return _no(f"expected {want}, got {shown(text)}")
            value = int(value)
        low, high = column.low, column.high
        if low is not None and (value < low * scale or (column.above and value <= low * scale)):
            least = "" if dim is None or low == 0 else f", at least {low:g}"
            unit_ = _RANGE_UNIT.get(column.kind, "") if least else ""
            return _no(f"expected {want}{least}{unit_}, got {shown(text)}")
        if high is not None and value > high * scale:
            most = f"at most {high:g}{_RANGE_UNIT.get(column.kind, '')}"
            return _no(f"expected {most}, got {shown(text)}")
        return _ok(value)

    return parse


def _spreadsheet_day(text: str) -> str:
    if re.fullmatch(r"\d{5}", text, re.ASCII) and 20000 <= int(text) <= 60000:
        day = _DAY_ZERO + timedelta(days=int(text))
        return f"; looks like a spreadsheet's day number ({day.isoformat()})"
    return ""


def _date_advice(text: str, form: str) -> str:
    if _spreadsheet_day(text):
        return _spreadsheet_day(text)
    if re.fullmatch(r"\d{1,4}([./-])\d{1,2}\1\d{1,4}", text, re.ASCII):
        if _DATE.fullmatch(text):
            return "; there is no such day"
        if not form and re.fullmatch(r"\d{2}/\d{2}/\d{4}", text, re.ASCII):
            return (
                '; day or month first? Write 2026-02-01, or declare dates = "DD/MM/YYYY" or '
                '"MM/DD/YYYY" under [reading] in tarebook.toml'
            )
        return "; write four digits for the year and two for month and day"
    return ""


def parse_date(text: str, form: str = "") -> Parsed:
    """A date: YYYY-MM-DD, or the declared strptime ``form``."""
    found = _DATE.fullmatch(text)
    try:
        if found:
            return _ok(date(int(found[1]), int(found[2]), int(found[3])))
        if form and re.fullmatch(r"\d{2}/\d{2}/\d{4}", text, re.ASCII):
            return _ok(datetime.strptime(text, form).date())
    except ValueError:
        return _no(f"expected a date YYYY-MM-DD, got {shown(text)}; there is no such day")
    return _no(f"expected a date YYYY-MM-DD, got {shown(text)}{_date_advice(text, form)}")


def parse_moment(text: str, form: str = "") -> Parsed:
    """Local date and time, ISO 8601 with `T` or a blank; an offset is dropped, `Z` refused."""
    typed = text
    if form and re.match(r"\d{2}/\d{2}/\d{4}[T ]", text, re.ASCII):
        day, problem, _ = parse_date(text[:10], form)
        text = text if problem else day.isoformat() + text[10:]
    found = _MOMENT.fullmatch(text)
    advice = ""
    if found:
        day_text, hour, minute, second, fraction = found.groups()
        micro = int((fraction or "0")[:6].ljust(6, "0"))
        try:
            day = date.fromisoformat(day_text)
            return _ok(datetime(day.year, day.month, day.day, int(hour), int(minute),
                                int(second or 0), micro))  # fmt: skip
        except ValueError:
            advice = "; there is no such time"
    elif re.search(r"[0-9]\s?[zZ]$", text):
        advice = "; Z means UTC: write the camp's own clock time, without Z"
    return _no(f"expected a local time like 2026-05-01 21:30, got {shown(typed)}{advice}")


def logger_moment_parser(form: str) -> Parser:
    """Parser of a thermometer's own time format (strptime), else ISO; an offset is dropped."""

    def parse(text: str) -> Parsed:
        if not form:
            return parse_moment(text)
        try:
            return _ok(datetime.strptime(text, form).replace(tzinfo=None))
        except ValueError:
            return _no(f"expected a time in the [logger] format {shown(form)}, got {shown(text)}")

    return parse


def choice_parser(column: Column) -> Parser:
    """Parser of a column with allowed values, matched without case and separators."""
    by_squeezed = {squeezed(c): c for c in column.choices}
    listed = ", ".join(column.choices)

    def parse(text: str) -> Parsed:
        found = by_squeezed.get(squeezed(text))
        if found:
            return _ok(found)
        return _no(f"expected one of {listed}, got {shown(text)}", nearest(text, column.choices))

    return parse


def _parse_flag(text: str) -> Parsed:
    flag = _FLAGS.get(text.lower())
    return _no(f"expected yes or no, got {shown(text)}") if flag is None else _ok(flag)


def _parse_use(text: str) -> Parsed:
    flag = _FLAGS.get(text.lower())
    if flag is not None:
        return _ok(int(flag))
    plain = plain_number(text, comma=False)
    if plain and abs(Decimal(plain)) <= 1000 and Decimal(plain) == int(Decimal(plain)) >= 0:
        return _ok(int(Decimal(plain)))
    return _no(f"expected yes, no or a number of times up to 1000, got {shown(text)}")


def _parse_key(text: str) -> Parsed:
    name = slug(text)
    if looks_like_total(name):
        return _no(f"{shown(text)} looks like a totals row; remove it")
    fault = slug_fault(name)
    return _no(f"{fault}, got {shown(text)}") if fault else _ok(name)


def _parse_items(text: str) -> Parsed:
    parts = [slug(p) for p in text.split(";") if p.strip()]
    return _ok(list(dict.fromkeys(parts)))


def _parse_words(text: str) -> Parsed:
    words = [normalised(w) for w in text.split(";")]
    return _ok(list(dict.fromkeys(w for w in words if w and w != "none")))


def name_parser(names: Names, what: str, where: str) -> Parser:
    """Parser of a reference to a defined slug."""

    def parse(text: str) -> Parsed:
        found = names.find(text)
        if found is not None:
            return _ok(found)
        if looks_like_total(slug(text)):
            return _no(f"{shown(text)} looks like a totals row; remove it")
        return _no(f"expected {what} of {where}, got {shown(text)}", names.nearest(text))

    return parse


def _parse_text(text: str) -> Parsed:
    return _ok(text)


_SIMPLE: dict[str, Parser] = {
    "flag": _parse_flag,
    "use": _parse_use,
    "key": _parse_key,
    "items": _parse_items,
    "words": _parse_words,
    "text": _parse_text,
    "group": _parse_text,
}


class Parsers:
    """The parsers of one load: names known so far, the declared date form, remembered cells."""

    def __init__(self, items: Names, trips: Names, date_form: str = "") -> None:
        self._date_form = date_form
        self._names = {
            "item": name_parser(items, "an item", "gear.csv"),
            "trip": name_parser(trips, "a trip", "trip.csv"),
        }
        self._made: dict[tuple[str, Column, str, bool], Parser] = {}

    def of(self, table: str, column: Column, unit: str = "", comma: bool = False) -> Parser:
        """The remembering parser of a column as one file writes it."""
        key = (table, column, unit, comma)
        if key not in self._made:
            self._made[key] = remembering(self._plain(column, unit, comma))
        return self._made[key]

    def _plain(self, column: Column, unit: str, comma: bool) -> Parser:
        form = self._date_form
        if column.kind == "date":
            return lambda text: parse_date(text, form)
        if column.kind == "moment":
            return lambda text: parse_moment(text, form)
        if column.choices:
            return choice_parser(column)
        if column.kind in self._names:
            return self._names[column.kind]
        if column.kind in _SIMPLE:
            return _SIMPLE[column.kind]
        return number_parser(column, unit, comma)


class _Memo(dict[str, Parsed]):
    def __init__(self, parser: Parser) -> None:
        super().__init__()
        self._parser = parser

    def __missing__(self, text: str) -> Parsed:
        found = self._parser(text)
        if len(self) < 50_000:
            self[text] = found
        return found


def remembering(parser: Parser) -> Parser:
    """The same parser, remembering the texts it has seen (up to a bound)."""
    return _Memo(parser).__getitem__
