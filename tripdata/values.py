"""From the text of one cell to a value, or to the reason why not.

A parser takes trimmed, non-empty text. What it makes of a cell's text is remembered, since the
same few texts make up most of a column.
"""

import re
from functools import lru_cache
from typing import Any

from .contract import Column
from .moments import parse_date, parse_moment
from .names import Names, looks_like_total, nearest, normalised, shown, slug, slug_fault, squeezed
from .numbers import Parsed, Parser, no, number_parser, ok, plain_number
from .odd_rows import totals_row
from .thermometers.logger import OwnCells
from .thermometers.times import logger_time_parser

_YES = {"yes": True, "y": True, "true": True, "1": True, "x": True}
_FLAGS = _YES | {"no": False, "n": False, "false": False, "0": False}
_MOST_TIMES = 1000
_REMEMBERED = 50_000


def choice_parser(column: Column) -> Parser:
    """Parser of a column with allowed values, matched without case and separators."""
    by_squeezed = {squeezed(c): c for c in column.choices}
    listed = ", ".join(column.choices)

    def parse(text: str) -> Parsed:
        choice = by_squeezed.get(squeezed(text))
        if choice:
            return ok(choice)
        return no(f"expected one of {listed}, got {shown(text)}", nearest(text, column.choices))

    return parse


def _parse_flag(text: str) -> Parsed:
    flag = _FLAGS.get(text.lower())
    return no(f"expected yes or no, got {shown(text)}") if flag is None else ok(flag)


def _parse_use(text: str) -> Parsed:
    flag = _FLAGS.get(text.lower())
    if flag is not None:
        return ok(int(flag))
    plain = plain_number(text, comma=False)
    times = float(plain) if plain else -1.0
    if 0 <= times <= _MOST_TIMES and times.is_integer():
        return ok(int(times))
    problem = f"expected yes, no or a number of times up to 1000, got {shown(text)}"
    return no(problem + _use_advice(text))


def _use_advice(text: str) -> str:
    """What to write instead, where a mark or a word of its own was meant."""
    times = re.fullmatch(r"(\d{1,3})\s*([x×]|times)|[x×]\s*(\d{1,3})", text.lower(), re.ASCII)
    if times:
        return f"; write {int(times[1] or times[3])}"
    if text.lower() in ("✓", "✔", "☑", "✅", "used", "ja", "oui", "si", "sí"):
        return "; write yes"
    return "; write no" if text.lower() in ("✗", "✘", "☒", "unused", "not used", "nein") else ""


def _parse_key(text: str) -> Parsed:
    name = slug(text)
    if looks_like_total(name):
        return no(totals_row(text))
    fault = slug_fault(name)
    return no(f"{fault}, got {shown(text)}") if fault else ok(name)


def _parse_items(text: str) -> Parsed:
    parts = [slug(p) for p in text.split(";") if p.strip()]
    return ok(list(dict.fromkeys(parts)))


def _parse_words(text: str) -> Parsed:
    words = [normalised(w) for w in text.split(";")]
    return ok(list(dict.fromkeys(w for w in words if w and w != "none")))


def name_parser(names: Names, what: str, where: str) -> Parser:
    """Parser of a reference to a defined slug."""

    def parse(text: str) -> Parsed:
        name = names.find(text)
        if name is not None:
            return ok(name)
        if looks_like_total(slug(text)):
            return no(totals_row(text))
        if several := names.meant(text):
            listed = " or ".join(map(shown, several[:4]))
            return no(f"{shown(text)} means more than one item; write {listed}")
        return no(f"expected {what} of {where}, got {shown(text)}", names.nearest(text))

    return parse


_SIMPLE: dict[str, Parser] = {
    "flag": _parse_flag,
    "use": _parse_use,
    "key": _parse_key,
    "items": _parse_items,
    "names": _parse_items,
    "words": _parse_words,
    "text": ok,
    "group": ok,
}


class BadCellError(Exception):
    """A cell that needs a closer look."""


class Quick(dict[str, Any]):
    """Values by the cell's text as it stands in the file, for a row in which nothing is wrong.

    A blank cell is ``blank``. Looking up a cell that is wrong, or blank where it must not be,
    raises BadCellError; why it is wrong is the parser's to say.
    """

    def __init__(self, parser: Parser, blank: Any, needed: bool) -> None:
        super().__init__()
        self._parser, self._blank, self._needed = parser, blank, needed

    def __missing__(self, cell: str) -> Any:
        text = cell.strip()
        value, problem = self._blank, ""
        if text:
            value, problem, _ = self._parser(text)
        elif self._needed:
            raise BadCellError
        if problem:
            raise BadCellError
        if len(self) < _REMEMBERED:
            self[cell] = value
        return value


class Ignored(dict[str, None]):
    """What stands in for the cells of a column that nobody knows."""

    def __missing__(self, cell: str) -> None:
        return None


class Parsers:
    """The parsers of one load: names known so far, the declared date form, remembered cells."""

    def __init__(self, items: Names, trips: Names, declared: str = "") -> None:
        self._declared = declared
        self._names = {
            "item": name_parser(items, "an item", "gear.csv"),
            "trip": name_parser(trips, "a trip", "trip.csv"),
        }
        self._made: dict[tuple[str, str, str, bool], tuple[Parser, Quick]] = {}

    def of(self, table: str, column: Column, unit: str, comma: bool) -> tuple[Parser, Quick]:
        """The remembering parser of a column as one file writes it, and the values of its cells."""
        key = (table, column.name, unit, comma)
        if key not in self._made:
            parser = self._plain(column, unit, comma)
            quick = Quick(parser, self.blank(column), column.cell)
            self._made[key] = remembering(parser), quick
        return self._made[key]

    def blank(self, column: Column) -> Any:
        """What a blank cell of a column means."""
        if not column.default:
            return None
        return self._plain(column, "", False)(column.default)[0]

    def logger(self, own: OwnCells) -> Parser:
        """The parser of a thermometer's own times."""
        return remembering(logger_time_parser(own.logger, own.header_offset, self._declared))

    def _plain(self, column: Column, unit: str, comma: bool) -> Parser:
        declared = self._declared
        if column.kind == "date":
            return lambda text: parse_date(text, declared)
        if column.kind == "moment":
            return lambda text: parse_moment(text, declared)
        if column.choices:
            return choice_parser(column)
        if column.kind in self._names:
            return self._names[column.kind]
        if column.kind in _SIMPLE:
            return _SIMPLE[column.kind]
        return number_parser(column, unit, comma)


def remembering(parser: Parser) -> Parser:
    """The same parser, remembering the texts it has seen (up to a bound)."""
    return lru_cache(_REMEMBERED)(parser)
