"""Reading a file record by record: every cell, every rule, every fault.

A record in which nothing is wrong takes the short way: one look-up a cell. Where a cell is wrong
the record is read again slowly, and every fault of it is worded.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable
from datetime import timedelta

from .book import CHECKS, Book, Row, Texts, key_reader
from .contract import Column
from .discover import Source
from .header import Field, Layout
from .laid_out import laid_out_in
from .names import folded, shown, slug, slug_fault
from .numbers import Parsed, Parser, no, ok
from .odd_rows import comma_fault, joined_cells, total_fault
from .problems import Fault, Findings, Problem, UnreadCell, UnreadUse
from .repeats import RecordPlace, Repeats, Seen
from .text import Record
from .values import BadCellError, Ignored, Parsers, Quick

_RAW_LIMIT = 10_000
_BLANK = "expected a value, the cell is blank; fill it in or delete the row"
_NO_DISTANCE = (
    "expected a value, the cell is blank; put 0 if you did not ride: until then the Wh of this day "
    "do not count"
)
_USE_NOT_READ = "the rest of the row counts, its use is not known"
_PROSE = ("text", "group")
"""Kinds of columns whose cells may hold a comma."""
_COMMA_TRIES = 2_000
"""Rows of a file that are tried in vain: where more are wrong, it is not for a comma."""
_FIRST_ALIKE = 3
"""So many problems of a column are shown of a file that a thermometer wrote."""
_TOO_MANY = "more cells than the header has; is a comma inside a cell not in quotes?"


def _cell(record: Record, position: int) -> str:
    return record.cells[position].strip() if position < len(record.cells) else ""


class RowReader:
    """Reads the records of one file; accepted rows go to ``keep``, the rest to ``findings``."""

    def __init__(
        self,
        source: Source,
        layout: Layout,
        book: Book,
        parsers: Parsers,
        findings: Findings,
        seen: Seen,
        keep: Callable[[Row, int], None],
    ) -> None:
        self._source, self._layout, self._table = source, layout, layout.table
        self._book, self._findings, self._keep = book, findings, keep
        self._count = findings.file(source.name)
        self._check = CHECKS.get(self._table.name)
        self._soft = self._table.name in ("gear", "trip")
        self._key = key_reader(book, self._table)
        self._repeats = Repeats(seen, findings)
        self._remember = {
            "gear": book.add_item,
            "trip": book.add_trip,
            "carried": book.add_carried,
            "temperatures": self._remember_reading,
        }.get(self._table.name)
        self._inside = False
        self._tries = _COMMA_TRIES
        self._alike: defaultdict[str, list[int]] = defaultdict(list)
        self._blank: Row = {c.name: parsers.blank(c) for c in self._table.columns}
        self._trip: str | None = None
        if source.folder and "trip" in self._blank:
            own = self._table.name == "trip"
            self._trip = slug(source.folder) if own else book.trips.find(source.folder)
            self._blank["trip"] = self._trip
        self._texts = Texts({f.column.name: f.position for f in layout.fields})
        self._names = [""] * layout.width
        self._quick: list[Quick | Ignored] = [Ignored()] * layout.width
        self._plan: list[tuple[int, Column, str, Parser]] = []
        for field in layout.fields:
            self._add_field(field, parsers)

    def _add_field(self, field: Field, parsers: Parsers) -> None:
        column, comma = field.column, self._layout.decimal_comma
        if self._layout.own is not None and column.name == "at":
            parser = parsers.logger(self._layout.own)
            quick = Quick(parser, None, column.cell)
        elif self._trip is not None and column.name == "trip":
            parser = self._parse_own_trip
            quick = Quick(parser, self._trip, False)
        else:
            parser, quick = parsers.of(self._table.name, column, field.unit, comma)
        self._plan.append((field.position, column, field.header, parser))
        self._names[field.position] = column.name
        self._quick[field.position] = quick

    def _parse_own_trip(self, text: str) -> Parsed:
        """A trip cell in a trip's folder."""
        folder = self._source.folder
        if folded(slug(text)) == folded(slug(folder)):
            return ok(self._trip)
        return no(f"expected {shown(folder)} or a blank cell, got {shown(text)}", folder)

    def read(self, file_records: Iterable[Record]) -> None:
        """Read all records of the file."""
        read = 0
        quick, width = self._quick, self._layout.width
        blank, names = self._blank, self._names
        accept, whole = self._accept, self._whole_file_fault()
        laid_out = laid_out_in(self._layout)
        # Where no cell is required, the short way does not notice a row of blank cells.
        any_blank = not any(self._needs(column) for _, column, _, _ in self._plan)
        for record in file_records:
            line, cells, _, fault = record
            if laid_out is not None and laid_out(record):
                self._count.laid_out += 1
                continue
            if whole or fault or (any_blank and not any(map(str.strip, cells))):
                read += self._odd(record, whole)
                continue
            try:
                if len(cells) != width:
                    cells = self._fitted(cells)
                values = [value[cell] for value, cell in zip(quick, cells, strict=True)]
            except BadCellError:
                read += self._odd(record, whole)
                continue
            read += 1
            row = blank.copy()
            row.update(zip(names, values, strict=True))
            accept(row, record, line)
        self._count.read += read
        self._repeats.report(self._count.read)
        self._tell_of_many()
        self._warn_of_readings_outside()

    def _needs(self, column: Column) -> bool:
        return column.cell and not (column.name == "trip" and self._trip)

    def count_loaded(self, loaded: int, any_inside: bool) -> None:
        """Count records of the file that were loaded set-based."""
        self._count.read += loaded
        self._inside |= any_inside

    def _fitted(self, cells: list[str]) -> list[str]:
        """As many cells as the header has: missing ones are blank, blank ones too many are none."""
        width = self._layout.width
        if any(map(str.strip, cells[width:])):
            raise BadCellError
        return cells[:width] + [""] * (width - len(cells))

    def _odd(self, record: Record, whole: list[Fault]) -> bool:
        """Read a record that is not plainly right; whether it is one at all."""
        if not record.fault and not any(map(str.strip, record.cells)):
            return False
        if whole:
            self._aside_with_file(record, whole)
        elif record.fault:
            self._aside(record, [Fault("", record.raw[:200], record.fault)])
        else:
            row, faults, warnings = self._cells(record)
            if faults:
                self._aside(record, self._comma(record, faults) or faults, row)
            else:
                self._findings.warnings.extend(self._problem(record.line, w) for w in warnings)
                kept = self._accept(row, record, record.line)
                if kept and self._table.name == "gear":
                    self._findings.cells_not_read += self._not_read(row["item"], warnings)
                if kept and self._texts["used"] and row.get("used", ...) is None:
                    unread = UnreadUse(self._source.name, row["trip"], row["item"])
                    self._findings.use_not_read.append(unread)
        return True

    def _not_read(self, item: str, warnings: Iterable[Fault]) -> Iterable[UnreadCell]:
        columns = {header: column.name for _, column, header, _ in self._plan}
        for each in warnings:
            value = each.value[:_RAW_LIMIT]
            yield UnreadCell(self._source.name, item, columns[each.column], value)

    def _accept(self, row: Row, record: Record, line: int) -> bool:
        """Keep a row whose cells are right, unless they do not go together; whether it was kept."""
        self._texts.cells = record.cells
        faults = self._check(self._book, row, self._texts) if self._check else []
        if faults:
            self._aside(record, faults, row)
            return False
        if self._key is not None:
            place = (self._source.name, line)
            first = self._repeats.first(self._key(row), place)
            if first is not None:
                self._repeats.add(self._repeat(row, record, first), first)
                return False
        if self._remember is not None:
            self._remember(row)
        self._keep(row, line)
        return True

    def _repeat(self, row: Row, record: Record, first: RecordPlace) -> Problem:
        key = self._table.key
        own = next((c for c in key if c != "trip" or len(key) == 1), "")
        problem = f"repeats {first[0]}:{first[1]}; the first one stands"
        fault = Fault(own, self._texts[own], problem)
        return self._problem(record.line, fault, record.raw, row.get("trip"))

    def _blank_fault(self, column: str, record: Record) -> str:
        """What to do about a blank cell; of energy without a distance, to say that it was none."""
        if (self._table.name, column) == ("distances", "distance") and any(
            other.name == "battery_wh" and _cell(record, position)
            for position, other, _, _ in self._plan
        ):
            return _NO_DISTANCE
        return _BLANK

    def _cells(self, record: Record) -> tuple[Row, list[Fault], list[Fault]]:
        """Every cell with every fault, the cause of each that another's explains, and warnings."""
        row = self._blank.copy()
        faults: list[Fault] = []
        warnings: list[Fault] = []
        for position, column, header, parser in self._plan:
            text = _cell(record, position)
            if not text:
                if self._needs(column):
                    faults.append(Fault(header, "", self._blank_fault(column.name, record)))
                continue
            value, problem, near = parser(text)
            if not problem:
                row[column.name] = value
            elif self._soft and not column.cell:
                warnings.append(Fault(header, text, f"{problem}; the cell was left blank", near))
            elif column.kind == "use":
                warnings.append(Fault(header, text, f"{problem}; {_USE_NOT_READ}", near))
            else:
                named = column.kind in ("item", "trip") and parser != self._parse_own_trip
                cause = self._book.cause(column.kind, text) if named else ""
                faults.append(Fault(header, text, problem, near, cause))
        extra = [c.strip() for c in record.cells[self._layout.width :] if c.strip()]
        if extra:
            faults.append(Fault("", extra[0], _TOO_MANY))
        return row, faults, warnings

    def _comma(self, record: Record, faults: list[Fault]) -> list[Fault]:
        """The one fault of a record that would be right were a comma in a cell not one more.

        One without a blank after it is thought of only where a required cell is wrong, and never
        where a cell behind it is right as it stands: a weight is no part of a name.
        """
        if self._tries == 0:
            return []
        self._tries -= 1
        faulty = {fault.column for fault in faults}
        needed = any(column.cell and header in faulty for _, column, header, _ in self._plan)
        delimiter = self._layout.delimiter
        texts = {at: header for at, column, header, _ in self._plan if column.kind in _PROSE}
        right = {at for at, _, header, _ in self._plan if header not in faulty} - texts.keys()
        for spaced in (True, False) if needed else (True,):
            for place, cells in joined_cells(record.cells, delimiter, texts, spaced=spaced):
                joined = len(record.cells) - len(cells)
                if not spaced and right.intersection(range(place + 1, place + joined + 1)):
                    continue
                _, others, warnings = self._cells(record._replace(cells=cells))
                if not others and not warnings:
                    self._tries += 1
                    return [comma_fault(texts[place], cells[place], delimiter)]
        return []

    def _whole_file_fault(self) -> list[Fault]:
        """The faults for which no record of the file can be read; those of the header are shown."""
        if self._layout.faults:
            self._findings.problems.extend(
                self._problem(self._layout.header_line, fault) for fault in self._layout.faults
            )
            return self._layout.faults
        folder = self._source.folder
        fault = slug_fault(slug(folder)) if folder and self._table.name == "trip" else ""
        if fault:
            return [Fault("trip", folder, f"{fault}; rename the folder {shown(folder)}")]
        if folder and self._trip is None and self._table.per_trip:
            problem = f"no row of trip.csv is called {shown(folder)}; add one"
            return [Fault("trip", folder, problem, self._book.trips.nearest(folder))]
        return []

    def _aside_with_file(self, record: Record, faults: list[Fault]) -> None:
        """Set a record aside for what is wrong with its whole file; that is shown once."""
        name = self._source.name
        if self._layout.faults:
            cause = f"{name}:{self._layout.header_line}"
        else:
            cause = self._book.cause("trip", self._source.folder)
            if not cause:
                cause = f"{name}:{record.line}"
                self._findings.problems.append(self._problem(record.line, faults[0]))
                self._book.lose("trip", self._source.folder, cause)
        self._findings.set_aside(
            [self._problem(record.line, f._replace(cause=cause), record.raw) for f in faults],
            show=False,
        )
        self._remember_loss(record)

    def _problem(self, line: int, fault: Fault, raw: str = "", trip: str | None = "") -> Problem:
        value, raw, trip = fault.value[:_RAW_LIMIT], raw[:_RAW_LIMIT], trip or self._trip or ""
        where = (line, fault.column, value, fault.nearest, raw, trip, fault.cause)
        return Problem(self._source.name, fault.problem, *where)

    def _aside(self, record: Record, faults: list[Fault], row: Row | None = None) -> None:
        texts = [(header, _cell(record, place)) for place, _, header, _ in self._plan]
        first = [(header, text) for header, text in texts if text][:1]
        total = total_fault(first + [(fault.column, fault.value) for fault in faults])
        if total is not None:  # what else is wrong with a totals row is no news
            faults = [total]
        trip = row.get("trip") if row else ""
        problems = [self._problem(record.line, fault, record.raw, trip) for fault in faults]
        self._findings.set_aside(problems, show=False)
        self._findings.problems.extend(p for p in problems if not p.cause and not self._many(p))
        if row is not None:
            self._remember_loss(record)

    def _many(self, problem: Problem) -> bool:
        """Whether a thermometer's file has shown a few of the like; it may hold thousands."""
        lines = self._alike[problem.column]
        if self._layout.own is not None:
            lines.append(problem.line)
        return len(lines) > _FIRST_ALIKE

    def _tell_of_many(self) -> None:
        for column, lines in self._alike.items():
            if more := max(len(lines) - _FIRST_ALIKE, 0):
                records = "1 more record" if more == 1 else f"{more:,} more records"
                problem = f"{records} set aside for this column; `tarebook table set_aside` has all"
                last = Problem(self._source.name, problem, lines[-1], column)
                self._findings.problems.append(last)

    def _remember_reading(self, row: Row) -> None:
        if not self._inside:
            start, end = self._book.spans[row["trip"]]
            day = row["at"].date()
            self._inside = start - timedelta(days=1) <= day <= end + timedelta(days=1)

    def _remember_loss(self, record: Record) -> None:
        """Note what later records will miss because this one was set aside."""
        self._texts.cells = record.cells
        cause = f"{self._source.name}:{record.line}"
        if self._table.name == "gear":
            self._book.lose("item", self._texts["item"], cause)
        elif self._table.name == "trip":
            self._book.lose("trip", self._texts["trip"] or self._source.folder, cause)
        elif self._table.name == "carried":
            trip = self._trip or self._book.trips.find(self._texts["trip"])
            whole_file = bool(self._layout.faults)
            self._book.lose_carried(trip, self._texts["item"], cause, whole_file)

    def _warn_of_readings_outside(self) -> None:
        if self._table.name == "temperatures" and self._count.loaded and not self._inside:
            self._findings.warn(
                self._source.name,
                "no reading falls inside its trip; is the thermometer's date set right? "
                "None is used",
                column="at",
            )
