"""Which columns of a file that nobody has described may be the temperature, and in which unit."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from ..names import normalised, shown
from ..numbers import plain_number
from .columns import stem
from .shape import Shape
from .unit_columns import UnitsBeside, column_texts, says_unit, units_beside
from .units_named import named_units, signed_units

SAMPLE = 5_000
"""Rows by which a column is judged."""
_ENOUGH = 10
_WORDS = ("temp", "celsius", "fahrenheit")
_OTHER_QUANTITY = {"dew", "dewpoint", "humidity", "rh", "heat", "wind", "chill", "wet", "bulb"} | {
    *("limit", "alarm", "max", "min", "high", "low", "battery", "index", "internal")
}
_BARE = {"value", "values", "reading", "readings", "measurement", "measured", "data", "sensor"} | {
    *("probe", "channel", "ch", "wert", "messwert", "valeur", "valor", "valore", "waarde")
}
"""Names of a column that say nothing of what is in it."""


@dataclass(frozen=True, slots=True)
class UnitSaid:
    """The unit that a file names, c or f, and where; else empty. ``why_not``: it is not read."""

    unit: str = ""
    named_by: str = ""
    why_not: str = ""


def _numeric(shape: Shape) -> list[int]:
    """The columns, apart from those of the time, in which most filled cells hold numbers."""
    rows, numeric = shape.rows[:SAMPLE], []
    for n in range(len(shape.names)):
        filled = [text for row in rows if (text := shape.cell(row, n))]
        numbers = sum(shape.number(text) is not None for text in filled)
        if n not in (shape.date, shape.time) and numbers and numbers * 2 >= len(filled):
            numeric.append(n)
    return numeric


def temperature_columns(shape: Shape) -> list[int]:
    """The columns that may be the temperature, those of one name included."""
    numeric = _numeric(shape)
    if shape.header is None:
        return [n for n in numeric if not _counts(shape, n)]
    named = [n for n in numeric if is_temperature(shape.names[n])]
    if not named:
        return _unnamed(shape, numeric)
    plain = [n for n in named if not _of_other_quantity(shape.names[n])]
    celsius = [n for n in plain or named if named_units(shape.names[n]) == {"c"}]
    return celsius if len(celsius) == 1 else plain or named


def _unnamed(shape: Shape, numeric: Sequence[int]) -> list[int]:
    """The columns that may be the temperature where no header says so: by the units beside them.

    Without any, those whose header does not say what they hold.
    """
    plain = [n for n in numeric if not _of_other_quantity(shape.names[n])]
    free = [n for n in plain if not _counts(shape, n)]
    beside = {n: _beside(shape, n) for n in free}
    good = [n for n, units in beside.items() if units is not None]
    bare = [n for n in good if _is_bare(shape.names[n])]
    return bare or good or [n for n in free if _is_bare(shape.names[n])]


def _is_bare(name: str) -> bool:
    words = normalised(stem(name)).split("_")
    return all(word in _BARE or word.isdecimal() or not word for word in words)


def _beside(shape: Shape, position: int) -> UnitsBeside | None:
    """What the rows name as the unit of a column."""
    others = [n for n in range(len(shape.names)) if n not in (shape.date, shape.time, position)]
    rows = [row.cells for row in shape.rows if shape.number(shape.cell(row, position)) is not None]
    return units_beside(shape.names, column_texts(rows, others), position, len(rows))


def is_temperature(name: str) -> bool:
    """Whether a header names a temperature, or its unit."""
    words = normalised(name).split("_")
    return bool(
        named_units(name) & {"c", "f"}
        or words[0] == "t"
        or any(word.startswith(_WORDS) for word in words)
    )


def _of_other_quantity(name: str) -> bool:
    return not _OTHER_QUANTITY.isdisjoint(normalised(stem(name)).split("_"))


def _counts(shape: Shape, position: int) -> bool:
    """Whether a column only numbers the rows, which a few rows cannot show."""
    numbers = [shape.number(shape.cell(row, position)) for row in shape.rows[:SAMPLE]]
    known = [n for n in numbers if n is not None]
    steps = [b - a for a, b in pairwise(known)]
    rising = len(steps) >= _ENOUGH and set(steps) <= {0.0, 1.0}
    return rising and sum(steps) > 0.9 * len(steps) and all(n == int(n) for n in known)


def unit_said(lines: list[str], shape: Shape, position: int) -> UnitSaid:
    """The unit that the file names and where; of one that names several, or K, why it is not read.

    Where only the header names several, they may be those of other columns.
    """
    beside = _beside(shape, position)
    if beside is not None and beside.mixed:
        return UnitSaid(why_not=f"{beside.mixed}; have the thermometer write one")
    own, by_rows = named_units(shape.names[position]), set(beside.rows) if beside else set()
    if beside is not None and own and not own & by_rows:
        header, cell = shown(shape.names[position]), shown(next(iter(beside.cells.values())))
        return UnitSaid(why_not=f"its header names {header} and its rows {cell} as the unit")
    above = lines[: shape.rows[0].line - 1]
    for where, units in (
        ("the header of the column", own),
        (_named_in(shape, beside), by_rows),
        ("the header", {u for name in shape.names for u in signed_units(name)}),
        ("the lines above", signed_units("\n".join(above))),
    ):
        if units == {"k"}:
            return UnitSaid(why_not="it is in K; have the thermometer write °C or °F")
        if units:
            (unit,) = units if len(units) == 1 else ("",)
            return UnitSaid(unit, where) if unit in ("c", "f") else UnitSaid()
    return UnitSaid()


def _named_in(shape: Shape, beside: UnitsBeside | None) -> str:
    """Where the rows name their unit."""
    header = shape.names[beside.column] if beside else ""
    return f"its column {shown(header)}" if says_unit(header) else "the cells beside it"


def why_no_temperature(shape: Shape) -> str:
    """Why no column can be the temperature."""
    named = [n for n, name in enumerate(shape.names) if is_temperature(name)]
    cells = [shape.cell(row, n) for n in named for row in shape.rows[:SAMPLE]]
    if shape.delimiter == "," and any(plain_number(cell, True) for cell in cells if "," in cell):
        return (
            "its numbers have a decimal comma, and commas separate its columns, too; export it "
            "with semicolons"
        )
    return "none of its columns can be a temperature by its name and its cells"
