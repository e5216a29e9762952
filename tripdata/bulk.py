"""Large files, set-based: one statement loads what is plainly right, the rest is read row by row.

The statement accepts a part of what the row reader accepts, with the same values; all that it
does not accept is looked up by its line and handed to the row reader, which words the faults.
"""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .contract import Table, numeric
from .header import Layout
from .lines import PhysicalLines
from .moments import strptime_form
from .plain import Pick, constant, literal, pick
from .proof import one_number, promises
from .schema import quoted
from .text import LONGEST_LINE, Record, records

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

BULK_BYTES = 2_000_000
"""Files from this size on are loaded set-based."""
BULK_TABLES = ("carried", "used", "temperatures", "distances", "weather", "comfort")
_FEW, _MANY = 1, 8
"""Cells beyond the header's that a line may have: few are quick, many are tried where few fail."""


class NotPlainError(Exception):
    """The file cannot be read a line a record; the row reader must take it whole."""


class PlainFile:
    """The lines of a large UTF-8 file, each one record, as SQL reads them.

    ``path`` holds ``data``; its name must mean nothing to a search for files.
    """

    def __init__(self, connection: "DuckDBPyConnection", path: Path, data: bytes) -> None:
        self.connection, self.path, self.data = connection, path, data
        self._extra = _FEW

    def cells(self, layout: Layout) -> list[str]:
        """Names of the header's cells, then of those that a line may have beyond them."""
        return [f"c{n}" for n in range(layout.width + self._extra)]

    def source(self, layout: Layout) -> str:
        """The table function that gives each line's cells as c0, c1, ...; blank ones are NULL."""
        columns = ", ".join(f"'{name}': 'VARCHAR'" for name in self.cells(layout))
        line_end = "\\r\\n" if b"\r\n" in self.data[:LONGEST_LINE] else "\\n"
        return (
            f"read_csv($path, header = false, auto_detect = false, skip = {layout.first}, "
            f"delim = {literal(layout.delimiter)}, quote = '\"', escape = '\"', "
            "null_padding = true, hive_partitioning = false, "
            f"new_line = '{line_end}', columns = {{{columns}}})"
        )

    def ask(self, query: Callable[[], str]) -> list[tuple[Any, ...]]:
        """Answer a query over the file; ``query`` words it anew for every try.

        Raises NotPlainError where the reader cannot make out the lines.
        """
        import duckdb

        try:
            return self.connection.execute(query(), {"path": str(self.path.absolute())}).fetchall()
        except (
            duckdb.InvalidInputException,
            duckdb.ConversionException,
            duckdb.NotImplementedException,  # of a file with tens of megabytes of blank lines
        ) as error:
            if self._extra == _MANY:
                raise NotPlainError from error
        self._extra = _MANY
        return self.ask(query)

    def holds(self, layout: Layout, position: int) -> bool:
        """Whether a cell at that position holds anything."""
        cell = f"c{position}"
        some = f"WHERE {cell} IS NOT NULL LIMIT 1000"
        texts = self.ask(lambda: f"SELECT DISTINCT {cell} FROM {self.source(layout)} {some}")
        return any(text.strip() for (text,) in texts)

    def decimal_comma(self, layout: Layout) -> bool:
        """Whether the file writes decimals with a comma.

        Raises NotPlainError where both marks stand in its numeric columns.
        """
        cells = [f"c{f.position}" for f in layout.fields if numeric(f.column)]
        if not cells or layout.delimiter == "," or b"," not in self.data:
            return False
        comma, dot = (
            " OR ".join(f"contains({cell}, '{mark}')" for cell in cells) for mark in (",", ".")
        )
        number = " OR ".join(
            rf"regexp_full_match({cell}, '\s*[+-]?([0-9]+,[0-9]*|,[0-9]+)\s*')" for cell in cells
        )
        query = f"SELECT bool_or({comma}), bool_or({dot}), bool_or({number})"
        answer = self.ask(lambda: f"{query} FROM {self.source(layout)}")
        any_comma, any_dot, any_number = answer[0]
        if any_comma and (any_dot or not any_number):
            raise NotPlainError
        return bool(any_comma)


class BulkFile:
    """One large file of a per-trip table, each record on one line.

    ``trip`` is the trip whose folder it stands in, ``dates`` the declared date form.
    """

    def __init__(self, file: PlainFile, layout: Layout, trip: str | None, dates: str) -> None:
        self._file, self._layout, self._trip = file, layout, trip
        self._table: Table = layout.table
        self._picks = self._make_picks(strptime_form(dates))
        last = f"SELECT coalesce(max(rowid), -1) FROM {quoted(self._table.name)}"
        self._before = one_number(file.connection, last)
        self._loaded = 0

    def _make_picks(self, date_form: str) -> list[Pick]:
        places = {f.column.name: f for f in self._layout.fields}
        picks = []
        for column in self._table.columns:
            own = column.kind == "trip" and self._trip is not None
            blank = literal(self._trip or "") if own else constant(column, column.default)
            field = places.get(column.name)
            if field is None:
                picks.append(Pick(column.stored, blank, "true"))
                continue
            raw = f"c{field.position}"
            value, good = pick(column, raw, field.unit, self._layout.decimal_comma, date_form)
            if own:
                good = f"{raw} = {blank}"
            needed = column.cell and blank == "NULL"
            good = f"({raw} IS NOT NULL AND {good})" if needed else f"({raw} IS NULL OR ({good}))"
            if blank != "NULL":
                value = f"CASE WHEN {raw} IS NULL THEN {blank} ELSE {value} END"
            picks.append(Pick(column.stored, value, good))
        return picks

    def _good(self) -> str:
        beyond = self._file.cells(self._layout)[self._layout.width :]
        empty = [f"{name} IS NULL" for name in beyond]
        return " AND ".join([p.good for p in self._picks] + empty + self._filled_in())

    def _filled_in(self) -> list[str]:
        """That a line holds something beyond its key, where it would be no record else."""
        if not self._table.laid_out:
            return []
        key = self._table.key
        cells = [f.position for f in self._layout.fields if f.column.name not in key]
        return [f"({' OR '.join([f'c{n} IS NOT NULL' for n in cells] or ['false'])})"]

    def _values(self) -> str:
        return ", ".join(f"{p.value} AS {quoted(p.stored)}" for p in self._picks)

    def _promised(self) -> str:
        return " AND ".join(f"({p.predicate})" for p in promises(self._table))

    def any_inside(self) -> bool:
        """Whether some reading of the file falls within a day of its trip."""
        if self._table.name != "temperatures":
            return True
        query = (
            "SELECT 1 FROM temperatures AS v JOIN trip AS k ON k.trip = v.trip "
            "WHERE v.rowid > $before AND v.read_at >= k.start_on - INTERVAL 1 DAY "
            "AND v.read_at < k.end_on + INTERVAL 2 DAY LIMIT 1"
        )
        return bool(self._file.connection.execute(query, {"before": self._before}).fetchall())

    def load(self) -> int:
        """Load every plainly right line; returns how many were.

        Raises NotPlainError where the reader cannot make out the lines.
        """
        names = ", ".join(quoted(p.stored) for p in self._picks)
        # Values are worked out once, for the test and for the table.
        settings = self._file.connection
        settings.execute("SET disabled_optimizers = 'filter_pushdown'")
        try:
            done = self._file.ask(
                lambda: (
                    f"INSERT INTO {quoted(self._table.name)} SELECT {names} FROM "
                    f"(SELECT *, {self._values()} FROM {self._file.source(self._layout)}) "
                    f"WHERE {self._good()}"
                )
            )
        finally:
            settings.execute("SET disabled_optimizers = ''")
        self._loaded = int(done[0][0])
        return self._loaded

    def unload_strangers(self) -> int:
        """Take out rows that name what is not known or lie outside their trip; how many."""
        strange = f"v.rowid > $before AND NOT ({self._promised()})"
        statement = f"DELETE FROM {quoted(self._table.name)} AS v WHERE {strange}"
        done = self._file.connection.execute(statement, {"before": self._before}).fetchall()
        self._loaded -= int(done[0][0])
        return int(done[0][0])

    def rest(self) -> Iterator[Record]:
        """Every line that was not loaded, with its physical line number.

        Raises NotPlainError where lines and records do not agree after all.
        """
        rest = self._file.ask(self._rest)
        lines = PhysicalLines(self._file.data)
        numbers = lines.written(self._layout.first)
        found = len(rest) + self._loaded
        if found != len(numbers) and found + self._hollow() != len(numbers):
            raise NotPlainError
        for nth, *cells in rest:
            if nth > len(numbers):
                raise NotPlainError
            yield self._record(int(numbers[nth - 1]), lines, cells)

    def _rest(self) -> str:
        raws = ", ".join(self._file.cells(self._layout))
        source = self._file.source(self._layout)
        plain = f"coalesce({self._good()} AND {self._promised()}, false)"
        return (
            f"SELECT nth, {raws} FROM (SELECT nth, {raws}, {self._values()} "
            f"FROM (SELECT row_number() OVER () AS nth, * FROM {source})) AS v "
            f"WHERE NOT {plain} AND NOT ({self._holds_nothing()}) ORDER BY nth"
        )

    def _hollow(self) -> int:
        """How many lines hold separators and blanks alone, and so are no records."""
        count = self._file.ask(
            lambda: (
                f"SELECT count(*) FROM {self._file.source(self._layout)} "
                f"WHERE {self._holds_nothing()}"
            )
        )
        return int(count[0][0])

    def _holds_nothing(self) -> str:
        cells = self._file.cells(self._layout)
        return " AND ".join(f"coalesce(trim({cell}, ' \t'), '') = ''" for cell in cells)

    def _record(self, line: int, lines: PhysicalLines, cells: list[Any]) -> Record:
        raw = lines.text(line)
        record = next(records([raw], self._layout.delimiter), None)
        width = self._layout.width
        padded = ((record.cells if record else []) + [""] * width)[:width]
        if record and record.fault == "" and padded != [c or "" for c in cells[:width]]:
            raise NotPlainError
        return Record(line, record.cells if record else [], raw, record.fault if record else "")
