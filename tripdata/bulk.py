"""Large files, set-based: one statement loads what is plainly right, the rest is read row by row.

The statement accepts a subset of what the row reader accepts, with the same values; all that it
does not accept is found again by its line and handed to the row reader, which words the faults.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .contract import Column, Table
from .header import Layout
from .lines import PhysicalLines
from .proof import promises
from .schema import quoted, si_scale
from .settings import DATE_FORMS
from .text import Record, records

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

BULK_BYTES = 2_000_000
"""Files from this size on are loaded set-based."""
BULK_TABLES = ("carried", "used", "temperatures", "distances", "weather", "comfort")


class NotPlainError(Exception):
    """The file cannot be read a line a record; the row reader must take it whole."""


@dataclass(frozen=True, slots=True)
class _Pick:
    """How one stored column is taken from a line: its value and when that is plainly right."""

    stored: str
    value: str
    good: str


def _literal(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"


def _number(column: Column, raw: str, unit: str, comma: bool) -> tuple[str, str]:
    dim, scale = column.dimension, si_scale(column)
    text = f"replace({raw}, ',', '.')" if comma else raw
    number = f"try_cast({text} AS DOUBLE)"
    good = f"length({raw}) <= 40 AND NOT contains({raw}, '_')"
    good += f" AND ({number} = 0 OR abs({number}) >= 1e-15)"
    if comma:
        good += f" AND NOT contains({raw}, '.')"
    value = number
    if dim is not None and dim.whole:
        product = f"({number} * {dim.factors[unit]}::DOUBLE)"
        value = f"try_cast(floor({product} + 0.5) AS BIGINT)"
        # Next to a half the exact decimal decides, which the row reader works out.
        good += f" AND abs({product} - floor({product}) - 0.5) > 1e-4"
    elif unit == "f":
        value = f"(({number} - 32) * 5 / 9)"
    elif dim is not None and unit != "c":
        value = f"({number} * {dim.factors[unit]}::DOUBLE)"
    low, high = (column.low or 0) * scale, (column.high or 0) * scale
    good += f" AND {value} {'>' if column.above else '>='} {low!r} AND {value} <= {high!r}"
    return value, good


def _whole(raw: str, column: Column) -> tuple[str, str]:
    value = f"try_cast({raw} AS INTEGER)"
    digits = f"translate({raw}, '0123456789', '') IN ('', '-') AND length({raw}) <= 6"
    return value, f"{digits} AND {value} BETWEEN {column.low:g} AND {column.high:g}"


def _pick(column: Column, raw: str, unit: str, comma: bool, date_form: str) -> tuple[str, str]:
    """Value and test of a non-blank cell."""
    if column.kind in ("item", "trip"):
        return raw, "true"
    if column.kind in ("text", "group"):
        return raw, f"{raw}[1] BETWEEN '!' AND '~' AND {raw}[-1] BETWEEN '!' AND '~'"
    if column.choices:
        return raw, f"{raw} IN ({', '.join(map(_literal, column.choices))})"
    if column.kind == "flag":
        return (
            f"{raw} IN ('yes', 'true', '1')",
            f"{raw} IN ('yes', 'no', 'true', 'false', '1', '0')",
        )
    if column.kind == "use":
        number, good = _whole(raw, Column("", "whole", "", low=0, high=1000))
        value = f"CASE {raw} WHEN 'yes' THEN 1 WHEN 'no' THEN 0 ELSE {number} END"
        return value, f"({raw} IN ('yes', 'no') OR ({good}))"
    if column.kind == "whole":
        return _whole(raw, column)
    if column.kind == "date":
        if date_form:
            value = f"try_strptime({raw}, {_literal(date_form)})::DATE"
            return value, f"strftime({value}, {_literal(date_form)}) = {raw}"
        return f"try_cast({raw} AS DATE)", f"try_cast({raw} AS DATE)::VARCHAR = {raw}"
    if column.kind == "moment":
        value = f"try_cast({raw} AS TIMESTAMP)"
        same = f"starts_with({value}::VARCHAR, replace({raw}, 'T', ' '))"
        return value, f"length({raw}) IN (16, 19) AND {same}"
    if column.kind == "words":
        value = f"string_split({raw}, ';')"
        plain = f"regexp_full_match({raw}, '[a-z0-9]+(;[a-z0-9]+)*')"
        return (
            value,
            f"{plain} AND NOT contains({raw}, 'none') AND list_unique({value}) = len({value})",
        )
    return _number(column, raw, unit, comma)


class BulkFile:
    """One large file of a per-trip table, each record on one line."""

    def __init__(
        self,
        connection: "DuckDBPyConnection",
        path: Path,
        data: bytes,
        layout: Layout,
        trip: str | None,
        dates: str,
    ) -> None:
        self._connection, self._path, self._layout, self._data = connection, path, layout, data
        self._table: Table = layout.table
        self._picks = self._make_picks(trip, DATE_FORMS.get(dates, ""))
        self.lines = data.count(b"\n") + (not data.endswith(b"\n")) - layout.first

    def _make_picks(self, trip: str | None, date_form: str) -> list[_Pick]:
        layout = self._layout
        places = {f.column.name: f for f in layout.fields}
        picks = []
        for column in self._table.columns:
            field = places.get(column.name)
            blank = _literal(column.default) if column.default else "NULL"
            if column.kind == "trip" and trip is not None:
                blank = _literal(trip)
            if column.default and column.kind == "whole":
                blank = column.default
            if field is None:
                picks.append(_Pick(column.stored, blank, "false" if column.cell and blank == "NULL"
                                   else "true"))  # fmt: skip
                continue
            raw = f"c{field.position}"
            form = date_form if column.kind == "date" and self._uses(field.position) else ""
            value, good = _pick(column, raw, field.unit, layout.decimal_comma, form)
            if column.kind == "trip" and trip is not None:
                good = f"{raw} = {blank}"
            needed = column.cell and blank == "NULL"
            good = f"({raw} IS NOT NULL AND {good})" if needed else f"({raw} IS NULL OR ({good}))"
            if blank != "NULL":
                value = f"CASE WHEN {raw} IS NULL THEN {blank} ELSE {value} END"
            picks.append(_Pick(column.stored, value, good))
        return picks

    def _uses(self, position: int) -> bool:
        """Whether the first dated line writes dates in the declared form rather than ISO."""
        for line in self._data[: 1 << 16].split(b"\n")[self._layout.first :]:
            cells = line.split(self._layout.delimiter.encode())
            cell = cells[position].strip(b' "\r') if position < len(cells) else b""
            if cell:
                return b"/" in cell
        return False

    def _read_csv(self) -> str:
        layout = self._layout
        columns = ", ".join(f"'c{n}': 'VARCHAR'" for n in range(layout.width + 1))
        line_end = "\\r\\n" if b"\r\n" in self._data[: 1 << 16] else "\\n"
        return (
            f"read_csv($path, header = false, auto_detect = false, skip = {layout.first}, "
            f"delim = {_literal(layout.delimiter)}, quote = '\"', escape = '\"', "
            f"null_padding = true, new_line = '{line_end}', columns = {{{columns}}})"
        )

    def _good(self) -> str:
        return " AND ".join([p.good for p in self._picks] + [f"c{self._layout.width} IS NULL"])

    def any_inside(self) -> bool:
        """Whether some reading in the table falls within a day of its trip."""
        if self._table.name != "temperatures":
            return True
        query = (
            "SELECT 1 FROM temperatures AS v JOIN trip AS k ON k.trip = v.trip "
            "WHERE v.read_at >= k.start_on - INTERVAL 1 DAY "
            "AND v.read_at < k.end_on + INTERVAL 2 DAY LIMIT 1"
        )
        return bool(self._connection.execute(query).fetchall())

    def load(self) -> int:
        """Load every plainly right line; returns how many were.

        Raises NotPlainError where the reader cannot make out the lines.
        """
        import duckdb

        values = ", ".join(p.value for p in self._picks)
        statement = (
            f"INSERT INTO {quoted(self._table.name)} SELECT {values} "
            f"FROM {self._read_csv()} WHERE {self._good()}"
        )
        try:
            done = self._connection.execute(statement, {"path": str(self._path)}).fetchall()
        except (duckdb.InvalidInputException, duckdb.ConversionException) as error:
            raise NotPlainError from error
        return int(done[0][0])

    def unload_strangers(self) -> int:
        """Take out rows that name what is not known or lie outside their trip; how many."""
        kept = " AND ".join(f"({p.predicate})" for p in promises(self._table))
        statement = f"DELETE FROM {quoted(self._table.name)} AS v WHERE NOT ({kept})"
        return int(self._connection.execute(statement).fetchall()[0][0])

    def rest(self) -> Iterator[Record]:
        """Every line that was not loaded, with its physical line number.

        Raises NotPlainError where lines and records do not agree after all.
        """
        promised = " AND ".join(f"({p.predicate})" for p in promises(self._table))
        values = ", ".join(f"{p.value} AS {quoted(p.stored)}" for p in self._picks)
        raws = ", ".join(f"c{n}" for n in range(self._layout.width + 1))
        inner = (
            f"SELECT nth, {raws}, {values}, ({self._good()}) AS good "
            f"FROM (SELECT row_number() OVER () AS nth, * FROM {self._read_csv()})"
        )
        outer = (
            f"SELECT nth, {raws} FROM ({inner}) AS v "
            f"WHERE NOT coalesce(good AND {promised}, false) ORDER BY nth"
        )
        found = self._connection.execute(outer, {"path": str(self._path)}).fetchall()
        lines = PhysicalLines(self._data)
        numbers = lines.written(self._layout.first)
        for nth, *cells in found:
            if nth > len(numbers):
                raise NotPlainError
            yield self._record(int(numbers[nth - 1]), lines, cells)

    def _record(self, line: int, lines: "PhysicalLines", cells: list[Any]) -> Record:
        raw = lines.text(line)
        record = next(records([raw], self._layout.delimiter), None)
        width = self._layout.width
        padded = ((record.cells if record else []) + [""] * width)[:width]
        if record and record.fault == "" and padded != [c or "" for c in cells[:width]]:
            raise NotPlainError
        return Record(line, record.cells if record else [], raw, record.fault if record else "")
