"""Reads a whole logbook, in reading order, into a store's tables or only into findings."""

import re
import tempfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .book import Book, Row
from .bulk import BULK_BYTES, BULK_TABLES, BulkFile, NotPlainError
from .contract import TABLES, Table
from .discover import Found, Source, discover
from .header import Layout, read_layout
from .lines import one_record_a_line
from .names import folded, slug
from .problems import Findings, Problem
from .proof import broken_promises, prove, repeated_keys
from .rows import RowReader, check_references
from .settings import DATE_FORMS, FILE, Settings, read_settings
from .sink import Sink
from .text import UnreadableError, decode, records, split_lines
from .values import Parsers

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_HEAD = 1 << 16
Progress = Callable[[str], None]


class Loader:
    """One reading of one logbook.

    ``connection`` is an empty store (its tables made) or None to check only; ``work`` is a folder
    for files on the way. ``bulk_bytes`` is the size from which on files are loaded set-based.
    """

    def __init__(
        self,
        logbook: Path,
        connection: "DuckDBPyConnection | None",
        work: Path,
        progress: Progress = lambda _: None,
        bulk_bytes: int = BULK_BYTES,
    ) -> None:
        self.settings: Settings = read_settings(logbook)
        self.found: Found = discover(logbook)
        self.findings = Findings()
        self._connection, self._work, self._progress = connection, work, progress
        self._bulk_bytes = bulk_bytes
        self._book = Book()
        form = DATE_FORMS.get(self.settings.dates, "")
        self._parsers = Parsers(self._book.items, self._book.trips, form)
        self._sink = Sink(work, connection)
        self._held: list[tuple[str, int, Row]] = []

    def run(self) -> Findings:
        """Read every table; the findings are complete afterwards."""
        for fault in self.settings.faults:
            self.findings.warnings.append(Problem(FILE, 0, "", "", fault))
        self.findings.warnings.extend(self.found.warnings)
        for name, reason in self.found.unreadable:
            self.findings.unreadable(name, reason)
        for table in TABLES:
            self._progress(table.name)
            self._read_table(table)
        self._tell_consequences()
        return self.findings

    def _read_table(self, table: Table) -> None:
        sources = self.found.sources[table.name]
        before = _Mark(self.findings)
        try:
            bulk = self._read_sources(table, sources, self._bulk_bytes)
            again = bulk and self._connection is not None
            again = again and repeated_keys(self._connection, table) > 0  # type: ignore[arg-type]
        except NotPlainError:
            again = True
        if again and self._connection is not None:
            # Which of two rows stands first is the row reader's to say, for the whole table.
            before.restore(self.findings, sources)
            self._sink.discard(table.name)
            self._connection.execute(_DELETE[table.name])
            self._read_sources(table, sources, None)
        if self._connection is not None and table.per_trip:
            prove(self._connection, table)

    def _read_sources(self, table: Table, sources: list[Source], bulk_bytes: int | None) -> bool:
        seen: dict[tuple[Any, ...], tuple[str, int]] = {}
        bulk = False
        for source in sources:
            large = bulk_bytes is not None and source.size >= bulk_bytes
            bulk |= self._read_source(table, source, seen, large and table.name in BULK_TABLES)
        if table.name in ("gear", "candidates"):
            check_references(self._held, self._book.items, self.findings)
            for _, _, row in self._held:
                self._keep_row(table, row)
            self._held.clear()
        self._sink.flush(table.name)
        return bulk

    def _keep_row(self, table: Table, row: Row) -> None:
        self._sink.keep(table.name, [row[c.name] for c in table.columns])

    def _read_source(
        self,
        table: Table,
        source: Source,
        seen: dict[tuple[Any, ...], tuple[str, int]],
        large: bool,
    ) -> bool:
        self.findings.file(source.name)
        try:
            data = source.path.read_bytes()
            if large and self._connection is not None:
                done = self._read_bulk(table, source, data, seen)
                if done:
                    return True
            lines = split_lines(decode(data))
        except OSError as error:
            self._unreadable(table, source, f"cannot be opened ({error.strerror})")
            return False
        except UnreadableError as error:
            self._unreadable(table, source, str(error))
            return False
        layout = self._layout(table, source, lines)
        if layout is not None:
            reader = self._row_reader(source, layout, seen)
            reader.read(records(lines, layout.delimiter, layout.first))
        return False

    def _layout(self, table: Table, source: Source, lines: list[str]) -> Layout | None:
        logger = self.settings.logger if table.name == "temperatures" else None
        layout, warnings = read_layout(table, lines, source.name, bool(source.folder), logger)
        if layout is None:
            self._unreadable(table, source, "is empty; a header line is expected")
            return None
        self.findings.warnings.extend(warnings)
        return layout

    def _row_reader(
        self, source: Source, layout: Layout, seen: dict[tuple[Any, ...], tuple[str, int]]
    ) -> RowReader:
        return RowReader(
            source, layout, self._book, self._parsers, self.findings, seen,
            self._keeper(layout.table, source),
        )  # fmt: skip

    def _keeper(self, table: Table, source: Source) -> Callable[[str, Row, int], None]:
        if table.name in ("gear", "candidates"):
            return lambda _, row, line: self._held.append((source.name, line, row))
        columns = [c.name for c in table.columns]
        keep, name = self._sink.keep, table.name
        return lambda _, row, line: keep(name, [row[c] for c in columns])

    def _unreadable(self, table: Table, source: Source, problem: str) -> None:
        self.findings.unreadable(source.name, problem)
        book, name = self._book, source.name
        if not source.folder:
            book.lost_tables.setdefault(table.name, name)
        elif table.name == "trip":
            book.lost_trips.setdefault(folded(slug(source.folder)), name)
        elif table.name == "carried":
            trip = book.trips.find(source.folder)
            book.lost_carried_trips.setdefault(trip or source.folder, name)

    def _read_bulk(
        self,
        table: Table,
        source: Source,
        data: bytes,
        seen: dict[tuple[Any, ...], tuple[str, int]],
    ) -> bool:
        """Load a large file set-based; False where the row reader must take it whole."""
        assert self._connection is not None
        path = source.path
        if b"\0" in data or not _plain_text(data):
            data = decode(data).encode("utf-8")
            path = self._work / "plain.csv"
            path.write_bytes(data)
        mark = _Mark(self.findings)
        layout = self._plain_layout(table, source, data)
        trip = self._book.trips.find(source.folder) if source.folder else None
        if layout is None or (source.folder and trip is None):
            mark.restore(self.findings, [source])
            self.findings.file(source.name)
            return False
        self._sink.flush(table.name)
        bulk = BulkFile(self._connection, path, data, layout, trip, self.settings.dates)
        loaded = bulk.load()
        if broken_promises(self._connection, table):
            loaded -= bulk.unload_strangers()
        reader = self._row_reader(source, layout, seen)
        reader.count_loaded(loaded, bulk.any_inside())
        reader.read(bulk.rest() if loaded < bulk.lines else ())
        if table.name == "carried" and self.found.sources["used"]:
            pairs = self._connection.execute("SELECT DISTINCT trip, item FROM carried").fetchall()
            self._book.carried.update(pairs)
        return True

    def _plain_layout(self, table: Table, source: Source, data: bytes) -> Layout | None:
        """The layout of a large file, None where it is not a plain one."""
        head = data[:_HEAD].decode("utf-8-sig", errors="ignore").replace("\r\n", "\n")
        layout = self._layout(table, source, split_lines(head))
        if layout is None or layout.faults or layout.logger is not None:
            return None
        # Which decimal mark a file keeps to may show only below its head.
        unsure = layout.delimiter != "," and not layout.decimal_comma
        if unsure and re.search(rb"\d,\d", data):
            return None
        return layout if one_record_a_line(data, layout.delimiter) else None

    def _tell_consequences(self) -> None:
        """One line per cause for the records that failed only because of another's fault."""
        lines: dict[str, set[tuple[str, int]]] = {}
        for problem in self.findings.records:
            if problem.cause:
                lines.setdefault(problem.cause, set()).add((problem.file, problem.line))
        told = {f"{p.file}:{p.line}" if p.line else p.file: p for p in self.findings.told[::-1]}
        for cause, found in lines.items():
            file, _, line = cause.rpartition(":")
            first = told.get(cause) or Problem(file, int(line), "", "", "set aside")
            records_ = "1 record" if len(found) == 1 else f"{len(found)} records"
            words = f"{records_} set aside with it, until it is mended"
            self.findings.told.append(replace(first, problem=words, nearest="", raw=""))


_DELETE = {name: f"DELETE FROM {name}" for name in BULK_TABLES}  # noqa: S608


class _Mark:
    """The findings as they were before some files were read, to go back to."""

    def __init__(self, findings: Findings) -> None:
        self._lengths = (len(findings.told), len(findings.records), len(findings.warnings))

    def restore(self, findings: Findings, sources: list[Source]) -> None:
        """Forget what was found in the given files since."""
        told, kept, warned = self._lengths
        del findings.told[told:], findings.records[kept:], findings.warnings[warned:]
        findings.forget({s.name for s in sources})


def _plain_text(data: bytes) -> bool:
    """Whether data is UTF-8 with LF or CRLF ends, as the set-based reader takes it."""
    if b"\r" in data and data.count(b"\r") != data.count(b"\r\n"):
        return False
    if b"\r\n" in data and data.count(b"\r\n") != data.count(b"\n"):
        return False
    if data.isascii():
        return True
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return False
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def check_logbook(logbook: Path, progress: Progress = lambda _: None) -> Findings:
    """Read everything, store nothing.

    Raises LogbookError where the folder is no logbook.
    """
    from .store import memory_store

    with tempfile.TemporaryDirectory() as work:
        loader = Loader(logbook, None, Path(work), progress)
        sizes = (s.size for sources in loader.found.sources.values() for s in sources)
        if max(sizes, default=0) < BULK_BYTES:
            return loader.run()
        with memory_store() as connection:
            return Loader(logbook, connection, Path(work), progress).run()
