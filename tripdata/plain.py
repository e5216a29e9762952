"""Columns as SQL sees them: which cells are plainly right, and the values that they hold.

Every test here accepts a part of what the row reader accepts, with the same value; what it does
not accept is not wrong, but somebody else's to look at.
"""

from dataclasses import dataclass

from .contract import Column
from .schema import quoted, si_scale
from .units import sql_fahrenheit_to_celsius

_DATE = "[12][0-9]{3}-[0-9]{2}-[0-9]{2}"
_TIME = "([01][0-9]|2[0-3]):[0-5][0-9](:[0-5][0-9])?"


@dataclass(frozen=True, slots=True)
class Pick:
    """How a stored column is taken from a line.

    ``value`` is an expression over the raw cells; ``good`` is a predicate over the raw cells and
    the column's own name, under which the value stands.
    """

    stored: str
    value: str
    good: str


def literal(text: str) -> str:
    """Text as an SQL literal."""
    return "'" + text.replace("'", "''") + "'"


def constant(column: Column, default: str) -> str:
    """What a blank cell is stored as."""
    if not default:
        return "NULL"
    return default if column.kind == "whole" else literal(default)


def pick(column: Column, raw: str, unit: str, comma: bool, date_form: str) -> tuple[str, str]:
    """Value of a non-blank cell ``raw`` and what must be true of it.

    ``date_form`` is a declared strptime form or empty.
    """
    name = quoted(column.stored)
    there = f"{name} IS NOT NULL"
    if column.kind in ("item", "trip"):
        return raw, "true"  # whether it is known is asked of the stored rows
    if column.kind in ("text", "group"):
        return raw, f"ascii({raw}) BETWEEN 33 AND 126 AND ascii(right({raw}, 1)) BETWEEN 33 AND 126"
    if column.choices:
        return raw, f"{raw} IN ({', '.join(map(literal, column.choices))})"
    if column.kind == "flag":
        yes, no = "'yes', 'true', '1'", "'no', 'false', '0'"
        return f"{raw} IN ({yes})", f"{raw} IN ({yes}, {no})"
    if column.kind == "use":
        times = f"try_cast({raw} AS INTEGER)"
        value = f"CASE {raw} WHEN 'yes' THEN 1 WHEN 'no' THEN 0 ELSE {times} END"
        typed = f"({raw} IN ('yes', 'no') OR {name}::VARCHAR = {raw})"
        return value, f"{typed} AND {name} BETWEEN 0 AND 1000"
    if column.kind == "whole":
        between = f"{name} BETWEEN {column.low:.10g} AND {column.high:.10g}"
        return f"try_cast({raw} AS INTEGER)", f"{name}::VARCHAR = {raw} AND {between}"
    if column.kind == "date":
        return _date(raw, date_form), there
    if column.kind == "moment":
        match = f"regexp_full_match({raw}, '{_DATE}[T ]{_TIME}')"
        return f"CASE WHEN {match} THEN try_cast({raw} AS TIMESTAMP) END", there
    if column.kind == "words":
        plain = f"regexp_full_match({raw}, '[a-z0-9]+(;[a-z0-9]+)*')"
        once = f"list_unique({name}) = len({name})"
        return f"string_split({raw}, ';')", f"{plain} AND NOT contains({raw}, 'none') AND {once}"
    return _number(column, raw, unit, comma)


def _date(raw: str, date_form: str) -> str:
    iso = f"WHEN regexp_full_match({raw}, '{_DATE}') THEN try_cast({raw} AS DATE)"
    declared = ""
    if date_form:
        mark = date_form[2]
        form = f"[0-9]{{2}}[{mark}][0-9]{{2}}[{mark}][12][0-9]{{3}}"
        declared = (
            f"WHEN regexp_full_match({raw}, '{form}') "
            f"THEN try_strptime({raw}, {literal(date_form)})::DATE"
        )
    return f"CASE {iso} {declared} END"


def _number(column: Column, raw: str, unit: str, comma: bool) -> tuple[str, str]:
    dim, scale, name = column.dimension, si_scale(column), quoted(column.stored)
    # DuckDB reads 1_000 and +-5 as numbers; a + goes the long way.
    plain = f"length({raw}) <= 40 AND NOT contains({raw}, '_') AND NOT contains({raw}, '+')"
    text = raw
    if comma:
        text = f"replace({raw}, ',', '.')"
        plain += f" AND NOT contains({raw}, '.')"
    value = f"try_cast({text} AS DOUBLE)"
    if dim is not None and dim.whole:
        product = f"({value} * {dim.factors[unit]}::DOUBLE)"
        value = f"try_cast(floor({product} + 0.5) AS BIGINT)"
        # Next to a half the exact decimal decides, which the row reader works out.
        plain += f" AND abs({product} - floor({product}) - 0.5) > 1e-4"
    elif unit == "f":
        value = sql_fahrenheit_to_celsius(value)
    elif dim is not None and unit != "c":
        value = f"({value} * {dim.factors[unit]}::DOUBLE)"
    low, high = (column.low or 0) * scale, (column.high or 0) * scale
    good = f"{name} {'>' if column.above else '>='} {low!r} AND {name} <= {high!r}"
    return f"CASE WHEN {plain} THEN {value} END", good
