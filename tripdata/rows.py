"""Reading a file record by record: every cell, every rule, every fault."""

from collections import Counter
from collections.abc import Callable, Iterable
from datetime import datetime, timedelta
from typing import Any

from .book import CHECKS, Book, Fault, Row, key_of
from .contract import Column
from .discover import Source
from .header import Layout
from .names import Names, folded, shown, slug, slug_fault
from .problems import Findings, Problem
from .text import Record
from .values import Parser, Parsers, logger_moment_parser, remembering

Keep = Callable[[str, Row, int], None]
_RAW_LIMIT = 10_000
_BLANK = "expected a value, the cell is blank; fill it in or delete the row"


class RowReader:
    """Reads the records of one file; accepted rows go to ``keep``, the rest to ``findings``."""

    def __init__(
        self,
        source: Source,
        layout: Layout,
        book: Book,
        parsers: Parsers,
        findings: Findings,
        seen: dict[tuple[Any, ...], tuple[str, int]],
        keep: Keep,
    ) -> None:
        self._source, self._layout, self._table = source, layout, layout.table
        self._book, self._findings, self._keep, self._seen = book, findings, keep, seen
        self._check = CHECKS.get(self._table.name)
        self._soft = self._table.name in ("gear", "trip")
        self._repeats: list[list[Problem]] = []
        self._origins: Counter[str] = Counter()
        self._inside = 0
        self._plan = [self._field_plan(f, parsers) for f in layout.fields]
        filled = {f.column.name for f in layout.fields}
        self._blank: Row = {c.name: None for c in self._table.columns}
        for column in self._table.columns:
            if column.default:
                self._blank[column.name] = parsers.of(self._table.name, column)(column.default)[0]
        self._trip = self._folder_trip() if source.folder and "trip" in self._blank else None
        self._needed = [c for c in self._table.columns if c.cell and c.name not in filled]

    def _field_plan(self, field: Any, parsers: Parsers) -> tuple[int, Column, str, Parser]:
        layout = self._layout
        if layout.logger is not None and field.column.name == "at":
            parser = remembering(logger_moment_parser(layout.logger.format))
        else:
            comma = layout.decimal_comma
            parser = parsers.of(self._table.name, field.column, field.unit, comma)
        return field.position, field.column, field.header, parser

    def _folder_trip(self) -> str | None:
        if self._table.name == "trip":
            return slug(self._source.folder)
        return self._book.trips.find(self._source.folder)

    def read(self, found: Iterable[Record]) -> None:
        """Read all records of the file."""
        count = self._findings.file(self._source.name)
        whole = self._whole_file_fault()
        for record in found:
            if not record.fault and not any(map(str.strip, record.cells)):
                continue
            count.read += 1
            if whole is not None:
                self._aside_with_file(record, *whole)
            elif record.fault:
                self._aside(record, [("", record.raw[:200], record.fault, "")])
            else:
                self._record(record)
        self._tell_repeats()
        self._tell_outside(count.read)

    def count_loaded(self, loaded: int, any_inside: bool) -> None:
        """Count records of the file that were loaded set-based."""
        self._findings.file(self._source.name).read += loaded
        self._inside += any_inside

    def _whole_file_fault(self) -> tuple[list[Fault], str] | None:
        """The faults for which no record of the file can be read, and their cause, if any."""
        if self._layout.faults:
            faults = list(self._layout.faults)
            self._findings.told.extend(
                self._problem(self._layout.header_line, fault) for fault in faults
            )
            return faults, f"{self._source.name}:{self._layout.header_line}"
        folder = self._source.folder
        fault = slug_fault(slug(folder)) if folder and self._table.name == "trip" else ""
        if fault:
            named = ("trip", folder, f"{fault}; rename the folder {shown(folder)}", "")
            self._findings.told.append(self._problem(self._layout.first + 1, named))
            return [named], f"{self._source.name}:{self._layout.first + 1}"
        if folder and self._trip is None and self._table.per_trip:
            cause = self._book.cause("trip", folder)
            near = self._book.trips.nearest(folder)
            problem = f"no row of trip.csv is called {shown(folder)}; add one"
            if not cause:
                self._findings.told.append(
                    self._problem(self._layout.first + 1, ("trip", folder, problem, near))
                )
                cause = f"{self._source.name}:{self._layout.first + 1}"
            return [("trip", folder, problem, near)], cause
        return None

    def _aside_with_file(self, record: Record, faults: list[Fault], cause: str) -> None:
        problems = [self._problem(record.line, f, record.raw, cause=cause) for f in faults]
        self._findings.set_aside(problems, tell=False)
        self._remember_loss(record)

    def _record(self, record: Record) -> None:
        row, cells, faults, causes = self._cells(record)
        if not faults and self._check is not None:
            faults = self._check(self._book, row, cells)
            causes = [""] * len(faults)
            if faults and self._table.name == "used":
                lost = self._book.lost_from_carried(row["trip"], row["item"])
                causes = [lost if f[0] == "item" else "" for f in faults]
        if faults:
            self._aside(record, faults, causes, str(row.get("trip") or ""))
            self._remember_loss(record)
            return
        if self._table.key and not self._first_of_its_key(record, row, cells):
            return
        self._remember(row)
        self._keep(self._table.name, row, record.line)

    def _cells(self, record: Record) -> tuple[Row, dict[str, str], list[Fault], list[str]]:
        row, texts = dict(self._blank), {}
        faults: list[Fault] = []
        causes: list[str] = []
        given, width = record.cells, len(record.cells)
        for position, column, header, parser in self._plan:
            text = given[position].strip() if position < width else ""
            texts[column.name] = text
            if not text:
                if column.cell and not (column.name == "trip" and self._trip):
                    faults.append((header, "", _BLANK, ""))
                    causes.append("")
                continue
            value, problem, near = parser(text)
            if not problem:
                row[column.name] = value
            elif self._soft and not column.cell:
                self._warn(record, header, text, problem + "; the cell was left blank", near)
            else:
                kind = column.kind if column.kind in ("item", "trip") else ""
                faults.append((header, text, problem, near))
                causes.append(self._book.cause(kind, text) if kind else "")
        if width > self._layout.width:
            extra = [c for c in given[self._layout.width :] if c.strip()]
            if extra:
                problem = "more cells than the header has; is a comma inside a cell not in quotes?"
                faults.append(("", extra[0].strip(), problem, ""))
                causes.append("")
        for column in self._needed:
            if not (column.name == "trip" and self._trip):
                faults.append((column.headers[0], "", "expected a value", ""))
                causes.append("")
        self._trip_cell(row, texts, faults, causes)
        return row, texts, faults, causes

    def _trip_cell(
        self, row: Row, texts: dict[str, str], faults: list[Fault], causes: list[str]
    ) -> None:
        if self._trip is None:
            return
        text = texts.setdefault("trip", "")
        if text and folded(slug(text)) != folded(slug(self._source.folder)):
            row["trip"] = self._trip
            problem = f"expected {shown(self._source.folder)} or a blank cell, got {shown(text)}"
            kept = [(f, c) for f, c in zip(faults, causes, strict=True) if f[0] != "trip"]
            faults[:] = [f for f, _ in kept] + [("trip", text, problem, self._source.folder)]
            causes[:] = [c for _, c in kept] + [""]
            return
        row["trip"] = self._trip

    def _problem(
        self, line: int, fault: Fault, raw: str = "", trip: str = "", cause: str = ""
    ) -> Problem:
        column, value, problem, near = fault
        trip = trip or self._trip or ""
        return Problem(self._source.name, line, column, value, problem, near,
                       raw[:_RAW_LIMIT], trip, cause)  # fmt: skip

    def _aside(
        self, record: Record, faults: list[Fault], causes: list[str] | None = None, trip: str = ""
    ) -> None:
        causes = causes or [""] * len(faults)
        total = next((n for n, f in enumerate(faults) if "totals row" in f[2]), None)
        if total is not None:  # what else is wrong with a totals row is no news
            faults, causes = [faults[total]], [causes[total]]
        problems = [
            self._problem(record.line, fault, record.raw, trip, cause)
            for fault, cause in zip(faults, causes, strict=True)
        ]
        self._findings.set_aside(problems, tell=False)
        self._findings.told.extend(p for p in problems if not p.cause)

    def _warn(self, record: Record, column: str, value: str, problem: str, near: str = "") -> None:
        self._findings.warnings.append(
            Problem(self._source.name, record.line, column, value, problem, near)
        )

    def _first_of_its_key(self, record: Record, row: Row, cells: dict[str, str]) -> bool:
        key = key_of(self._book, self._table.name, self._table.key, row)
        first = self._seen.setdefault(key, (self._source.name, record.line))
        if first == (self._source.name, record.line):
            return True
        own = next((c for c in self._table.key if c != "trip" or len(self._table.key) == 1), "")
        value = cells.get(own, "")
        fault = (own, value, f"repeats {first[0]}:{first[1]}; the first one stands", "")
        problem = self._problem(record.line, fault, record.raw, str(row.get("trip") or ""))
        self._repeats.append([problem])
        if first[0] != self._source.name:
            self._origins[first[0]] += 1
        return False

    def _tell_repeats(self) -> None:
        read = self._findings.file(self._source.name).read
        elsewhere = sum(self._origins.values())
        old_copy = elsewhere >= 2 and elsewhere * 2 > read
        for problems in self._repeats:
            self._findings.set_aside(problems, tell=not old_copy)
        if old_copy:
            first = self._repeats[0][0]
            origin = self._origins.most_common(1)[0][0]
            problem = (
                f"looks like an old copy of {origin}: {elsewhere} of its {read} records repeat; "
                "move it out of the logbook"
            )
            self._findings.told.append(
                Problem(first.file, first.line, first.column, first.value, problem)
            )

    def _remember(self, row: Row) -> None:
        book, name = self._book, self._table.name
        if name == "gear":
            book.items.define(row["item"])
            book.kinds[row["item"]] = row["carried_as"]
        elif name == "trip":
            book.trips.define(row["trip"])
            book.spans[row["trip"]] = (row["start_on"], row["end_on"])
            book.modes[row["trip"]] = row["mode"]
        elif name == "carried":
            book.carried.add((row["trip"], row["item"]))
        elif name == "temperatures":
            self._inside += self._is_inside(row)

    def _is_inside(self, row: Row) -> bool:
        start, end = self._book.spans[row["trip"]]
        at: datetime = row["at"]
        return start - timedelta(days=1) <= at.date() <= end + timedelta(days=1)

    def _remember_loss(self, record: Record) -> None:
        """Note what later records will miss because this one was set aside."""
        name, book = self._table.name, self._book
        cause = f"{self._source.name}:{record.line}"
        if name in ("gear", "trip"):
            text = self._text_of(record, self._table.key[0])
            text = text or (self._source.folder if name == "trip" else "")
            lost = book.lost_items if name == "gear" else book.lost_trips
            if text:
                lost.setdefault(folded(slug(text)), cause)
        elif name == "carried":
            text = self._text_of(record, "item")
            trip = self._trip or book.trips.find(self._text_of(record, "trip"))
            item = book.items.find(text) or book.items.nearest(text)
            if trip and item:
                book.lost_carried.setdefault((trip, item), cause)
            if trip and self._layout.faults:
                book.lost_carried_trips.setdefault(trip, cause)

    def _text_of(self, record: Record, column: str) -> str:
        place = next((p for p, c, _, _ in self._plan if c.name == column), None)
        if place is None or place >= len(record.cells):
            return ""
        return record.cells[place].strip()

    def _tell_outside(self, read: int) -> None:
        if self._table.name == "temperatures" and read and not self._inside:
            loaded = self._findings.file(self._source.name).loaded
            if loaded:
                self._findings.warnings.append(
                    Problem(self._source.name, 0, "at", "", "no reading falls inside its trip; is "
                            "the thermometer's date set right? None is used"))  # fmt: skip


def check_references(
    rows: Iterable[tuple[str, int, Row]], items: Names, findings: Findings
) -> None:
    """Write items named in `replaces` and `needs` as first defined; warn where nobody did.

    ``rows`` are (file, line, row) of gear or candidates.
    """
    for file, line, row in rows:
        for column in ("replaces", "needs"):
            named = row.get(column)
            if not named:
                continue
            for item in named:
                if items.find(item) is None:
                    problem = f"{shown(item)} is not an item of gear.csv"
                    near = items.nearest(item)
                    findings.warnings.append(Problem(file, line, column, item, problem, near))
            row[column] = list(dict.fromkeys(items.find(item) or item for item in named))
