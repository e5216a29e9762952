"""From what was typed on the form to a value, as the reader would take it, and to a cell."""

from datetime import date
from decimal import Decimal, localcontext
from typing import Any

from ..contract import Column
from ..moments import strptime_form
from ..names import printable
from .entry import Amount
from .sheet import UnwritableError
from .standing import TripFiles

Value = Amount | Decimal | int | bool | date | str | None
"""What the form says of one column; None: nothing."""
_LONGEST = 40
_MOST_DECIMALS = 12
_ALIKE = 1e-6
"""Two readings of a quantity that is no whole number of its stored unit are the same within this:
what was typed in another unit than the file's has no end of decimals."""


def typed_text(column: Column, value: Value) -> str:
    """A value as text with a decimal point and the year first; empty where there is none.

    Raises UnwritableError where it is no text of a cell.
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Amount):
        value = value.value
    if isinstance(value, Decimal):
        if not value.is_finite() or abs(value.adjusted()) > _LONGEST:
            raise UnwritableError(f"{column.name}: expected a number, got {value}")
        return f"{value:f}"
    if isinstance(value, date):
        return value.isoformat()
    text = str(value).replace("\r\n", "\n").replace("\r", "\n").strip()
    if "\0" in text:
        raise UnwritableError(
            f'{column.name}: "{printable(text)[:60]}" holds a NUL character, which no text file can'
        )
    return text


def read_value(files: TripFiles, table: str, column: Column, value: Value) -> Any:
    """What the reader takes a value for, None or the default where nothing is said.

    Raises UnwritableError, in the reader's words, where it takes it for none.
    """
    unit = value.unit if isinstance(value, Amount) else ""
    if isinstance(value, Amount) and unit not in column.units:
        expected = " or ".join(column.units) or "no unit"
        raise UnwritableError(f"{column.name}: expected {expected}, got the unit {unit}")
    text = typed_text(column, value)
    if not text:
        return hashable(files.blank(column))
    found, problem, near = files.parser(table, column, unit or _any_unit(column), False)(text)
    if problem:
        raise UnwritableError(f"{column.name}: {problem}" + (f'; "{near}"?' if near else ""))
    return hashable(found)


def hashable(value: Any) -> Any:
    """A value that can be compared and looked up."""
    return tuple(value) if isinstance(value, list) else value


def _any_unit(column: Column) -> str:
    return column.units[0] if column.units else ""


def alike(one: Any, other: Any) -> bool:
    """Whether two values are the same to the reader."""
    if isinstance(one, float) and isinstance(other, float):
        return abs(one - other) <= _ALIKE
    return bool(one == other)


def cell_text(
    files: TripFiles,
    table: str,
    column: Column,
    value: Value,
    unit: str,
    comma: bool,
    dates: str,
) -> str:
    """The cell of a file for a value: in its unit, with its decimal mark and its form of dates."""
    if isinstance(value, date) and dates:
        return value.strftime(strptime_form(dates))
    if isinstance(value, Amount) and value.unit != unit:
        value = _converted(files, table, column, value, unit)
    text = typed_text(column, value)
    if column.kind in ("item", "trip"):
        return files.item(text) or text if column.kind == "item" else text
    number = isinstance(value, Amount | Decimal)
    return text.replace(".", ",") if comma and number else text


def _converted(files: TripFiles, table: str, column: Column, value: Amount, unit: str) -> Decimal:
    """An amount in another unit, with as few decimals as tell it apart."""
    wanted = read_value(files, table, column, value)
    parse = files.parser(table, column, unit, False)
    with localcontext(prec=60):
        exact = _exactly(column, value, unit)
        for decimals in range(_MOST_DECIMALS + 1):
            rounded = round(exact, decimals)
            found, problem, _ = parse(f"{rounded:f}")
            if not problem and alike(found, wanted):
                return rounded
    return exact


def _exactly(column: Column, value: Amount, unit: str) -> Decimal:
    if value.unit == "c":
        return value.value * 9 / 5 + 32
    if value.unit == "f":
        return (value.value - 32) * 5 / 9
    assert column.dimension is not None
    factors = column.dimension.factors
    return value.value * Decimal(factors[value.unit]) / Decimal(factors[unit])
