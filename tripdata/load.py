"""Reads a whole logbook, in reading order, into a store's tables or only into findings."""

from collections.abc import Callable
from datetime import date
from operator import itemgetter
from pathlib import Path
from typing import TYPE_CHECKING

from .book import Book, Row
from .bulk import BULK_BYTES, BULK_TABLES, BulkFile, NotPlainError, PlainFile
from .consequences import add_consequences
from .contract import TABLES, Table
from .discover import LogbookFiles, Source, discover
from .errors import QuestionError
from .header import Below, Layout, LinesBelow, known_headers, read_layout
from .hollow import without_empty_lines, without_hollow_lines
from .lines import has_pattern, no_long_line, one_record_a_line, plain_text
from .normals.folder import read_folder
from .normals.keeping import store_normals
from .normals.named import NamedStation, check_named
from .plausible import Doubts
from .problems import Findings
from .proof import broken_promises, broken_table, strangers
from .references import check_former_names, check_references
from .repeats import Seen
from .rows import RowReader
from .settings import SETTINGS_FILE, Settings, idle_limits, read_settings
from .sink import Sink
from .text import (
    LONGEST_LINE,
    UnreadableError,
    decode,
    header_end,
    header_row,
    split_lines,
)
from .thermometers.clocks import clock_remark
from .thermometers.layout import add_unit_faults, own_layout, records_of
from .today import made_on
from .units import MASS
from .values import Parsers

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

Progress = Callable[[str], None]


class Loader:
    """One reading of one logbook.

    ``connection`` is an empty store (its tables made) or None to check only; ``work`` is a folder
    for files on the way. files of ``bulk_bytes`` and more are loaded set-based (None: none).
    """

    def __init__(
        self,
        logbook: Path,
        connection: "DuckDBPyConnection | None",
        work: Path,
        progress: Progress = lambda _: None,
        bulk_bytes: int | None = BULK_BYTES,
    ) -> None:
        self.settings: Settings = read_settings(logbook)
        self.files: LogbookFiles = discover(logbook)
        self.findings = Findings()
        self._connection, self._work, self._progress = connection, work, progress
        self._logbook = logbook
        self._bulk_bytes = bulk_bytes
        self._book = Book()
        self._parsers = Parsers(self._book.items, self._book.trips, self.settings.dates)
        self._sink = Sink(work, connection)
        self._order = {t.name: itemgetter(*(c.name for c in t.columns)) for t in TABLES}
        self._layouts: dict[tuple[str, str, bool], Layout] = {}
        self._held: list[tuple[str, int, Row]] = []
        self._doubts = Doubts(self.findings, _today())
        self._stations: list[NamedStation] = []
        self._mass_units: set[str] = set()

    @property
    def largest_bytes(self) -> int:
        """The size of the largest file."""
        sizes = (s.size for sources in self.files.sources.values() for s in sources)
        return max(sizes, default=0)

    def run(self) -> Findings:
        """Read every table and the normals; the findings are complete afterwards."""
        self.findings.unopened = self.settings.unopened or self.files.unopened
        for fault in self.settings.faults:
            self.findings.warn(SETTINGS_FILE, fault)
        self.findings.warnings.extend(self.files.warnings)
        self._execute("BEGIN")
        for table in TABLES:
            self._progress(table.name)
            self._read_table(table)
        self._execute("COMMIT")
        for name, reason in self.files.unreadable:
            self.findings.unreadable(name, reason)
        self._doubts.tell()
        self.settings = self.settings.by_weights(self._mass_units)
        self.findings.in_ounces = self.settings.mass_open and self.settings.mass == "oz"
        self._warn_of_limits()
        add_consequences(self.findings)
        self._progress("normals")
        normals = read_folder(self._logbook, self.findings)
        check_named(self._stations, normals, self.findings)
        if self._connection is not None:
            store_normals(self._connection, normals)
        return self.findings

    def _warn_of_limits(self) -> None:
        """Tell of limits that limit nothing, where no row that is lost could name their bag."""
        book = self._book
        if not (book.lost_carried_trips or "carried" in book.lost_tables):
            for fault in idle_limits(self.settings, book.bags.values()):
                self.findings.warn(SETTINGS_FILE, fault)

    def _execute(self, statement: str) -> None:
        if self._connection is not None:
            self._connection.execute(statement)

    def _read_table(self, table: Table) -> None:
        sources = self.files.sources[table.name]
        try:
            bulk = self._read_sources(table, sources, self._bulk_bytes)
            broken = self._broken(table) if sources else []
        except NotPlainError:
            bulk, broken = True, ["lines"]
        if bulk and broken:
            # Which of two rows stands first is the row reader's to say, for the whole table.
            names = {source.name for source in sources}
            self.findings.forget(names)
            self._doubts.forget(names)
            self._sink.discard(table.name)
            self._execute(_DELETE[table.name])
            self._read_sources(table, sources, None)
            broken = self._broken(table)
        if broken:
            raise broken_table(table, broken)

    def _broken(self, table: Table) -> list[str]:
        """What the table promises and does not hold."""
        return broken_promises(self._connection, table) if self._connection is not None else []

    def _read_sources(self, table: Table, sources: list[Source], bulk_bytes: int | None) -> bool:
        seen: Seen = {}
        bulk = False
        for source in sources:
            large = bulk_bytes is not None and source.size >= bulk_bytes
            bulk |= self._read_source(table, source, seen, large and table.name in BULK_TABLES)
        if table.name in _HELD:
            check_references(self._held, self._book.items, self.findings)
            check_former_names(self._held, self._book.items, self.findings)
            for _, _, row in self._held:
                self._sink.keep(table.name, self._order[table.name](row))
            self._held.clear()
        self._sink.flush(table.name)
        return bulk

    def _read_source(self, table: Table, source: Source, seen: Seen, large: bool) -> bool:
        """Read one file; whether that was done set-based."""
        self.findings.file(source.name)
        try:
            if source.fault:
                raise UnreadableError(source.fault)
            data = self._content(source)
            if source.size >= BULK_BYTES:
                data = without_hollow_lines(data)
                large = large and len(data) >= BULK_BYTES
            if large and self._read_bulk(table, source, data, seen):
                return True
            lines = split_lines(decode(data))
        except OSError as error:
            self.findings.cannot_open(source.name, error)
            self._lost(table, source)
            return False
        except UnreadableError as error:
            self._unreadable(table, source, str(error))
            return False
        layout = self._layout(table, source, lines)
        if layout is not None:
            self._note_mass_units(layout, LinesBelow(lines))
            reader = self._row_reader(source, layout, seen)
            reader.read(records_of(lines, layout))
            self._warn_of_clock(source, layout, lines)
            count = self.findings.file(source.name)
            if layout.own is not None and not count.read:
                header = layout.fields[1].header
                self.findings.warn(source.name, "no row has a temperature", column=header)
        return False

    def _warn_of_clock(self, source: Source, layout: Layout, lines: list[str]) -> None:
        if layout.own is None or layout.faults or not self.settings.timezone:
            return
        rows, settings = list(records_of(lines, layout)), self.settings
        if remark := clock_remark(rows, layout.own, settings.timezone, settings.dates):
            header = layout.fields[0].header
            self.findings.warn(source.name, remark, layout.header_line, column=header)

    def _note_mass_units(self, layout: Layout, below: Below) -> None:
        """Take note of the units of the weights in a file; a column of blank cells has none."""
        for field in layout.fields:
            new = field.column.kind == MASS.name and field.unit not in self._mass_units
            if new and self.settings.mass_open and below.holds(layout, field.position):
                self._mass_units.add(field.unit)

    def _content(self, source: Source) -> bytes:
        with open(source.path, "rb", buffering=0) as file:  # noqa: PTH123  (4,000 files)
            return file.readall()

    def _layout(
        self, table: Table, source: Source, lines: list[str], below: Below | None = None
    ) -> Layout | None:
        """The layout of a file; the same plain header is worked out once."""
        if table.name == "temperatures" and self.settings.loggers and any(lines):
            own = own_layout(
                table,
                lines,
                source.path.name,
                bool(source.folder),
                self.settings.loggers,
                below or LinesBelow(lines),
                self.settings.dates,
            )
            if own is not None:
                return own
        key = (table.name, lines[0] if lines else "", bool(source.folder))
        if key in self._layouts:
            return self._layouts[key]
        layout, warnings = read_layout(table, lines, source.name, bool(source.folder), below)
        if layout is None:
            self._unreadable(table, source, "is empty; a header line is expected")
            return None
        self.findings.warnings.extend(warnings)
        if table.name == "temperatures":
            add_unit_faults(layout, lines)
        if layout.plain and not warnings and layout.first == 1:
            self._layouts[key] = layout
        return layout

    def _row_reader(self, source: Source, layout: Layout, seen: Seen) -> RowReader:
        keeper = self._keeper(layout.table, source)
        if layout.table.name in _DOUBTED:
            keeper = self._doubting(keeper, source, layout)
        return RowReader(source, layout, self._book, self._parsers, self.findings, seen, keeper)

    def _keeper(self, table: Table, source: Source) -> Callable[[Row, int], None]:
        if table.name in _HELD:
            return lambda row, line: self._held.append((source.name, line, row))
        keep, name, order = self._sink.keep, table.name, self._order[table.name]
        if name != "trip":
            return lambda row, _: keep(name, order(row))

        def keep_trip(row: Row, line: int) -> None:
            if row.get("station"):
                self._stations.append(NamedStation(source.name, line, row["station"]))
            keep(name, order(row))

        return keep_trip

    def _doubting(
        self, keep: Callable[[Row, int], None], source: Source, layout: Layout
    ) -> Callable[[Row, int], None]:
        """The same keeper, which notes what may be doubtful when all is known."""
        header = next((f.header for f in layout.fields if f.column.name == "weight"), "")

        def kept(row: Row, line: int) -> None:
            self._doubts.note(layout.table.name, source.name, line, row, header)
            keep(row, line)

        return kept

    def _unreadable(self, table: Table, source: Source, problem: str) -> None:
        self.findings.unreadable(source.name, problem)
        self._lost(table, source)

    def _lost(self, table: Table, source: Source) -> None:
        """Take note of what is not known without a file."""
        book, name = self._book, source.name
        if not source.folder:
            book.lost_tables.setdefault(table.name, name)
        elif table.name == "trip":
            book.lose("trip", source.folder, name)
        elif table.name == "carried":
            trip = book.trips.find(source.folder)
            book.lost_carried_trips.setdefault(trip or source.folder, name)

    def _read_bulk(self, table: Table, source: Source, data: bytes, seen: Seen) -> bool:
        """Load a large file set-based; False where the row reader must take it whole."""
        if self._connection is None:
            return False
        path, read = source.path, data
        if not plain_text(data):
            data = decode(data).encode("utf-8")
        packed = without_empty_lines(data)
        if packed is not read or len(read) != source.size or has_pattern(path):
            path = self._work / "plain.csv"
            path.write_bytes(packed)
        trip = self._book.trips.find(source.folder) if source.folder else None
        if source.folder and trip is None:
            return False
        self._sink.flush(table.name)
        self._execute("COMMIT")  # a statement that cannot make out the file ends a transaction
        try:
            file = PlainFile(self._connection, path, data)
            return self._read_plain(table, source, file, trip, seen)
        finally:
            self._execute("BEGIN")

    def _read_plain(
        self, table: Table, source: Source, file: PlainFile, trip: str | None, seen: Seen
    ) -> bool:
        layout = self._plain_layout(table, source, file)
        if layout is None:
            self.findings.forget({source.name})
            self.findings.file(source.name)
            return False
        self._note_mass_units(layout, file)
        bulk = BulkFile(file, layout, trip, self.settings.dates)
        loaded = bulk.load()
        if strangers(file.connection, table):
            loaded -= bulk.unload_strangers()
        reader = self._row_reader(source, layout, seen)
        reader.count_loaded(loaded, bulk.any_inside())
        written = file.data.count(b"\n") + (not file.data.endswith(b"\n")) - layout.first
        reader.read(bulk.rest() if loaded < written else ())
        retired = self._doubts.retired
        if table.name == "carried" and (self.files.sources["used"] or retired):
            pairs = file.connection.execute("SELECT DISTINCT trip, item FROM carried").fetchall()
            self._book.carried.update(pairs)
            for one, item in pairs if retired else ():
                self._doubts.carried(source.name, 0, one, item)
        if table.name == "carried":
            bags = file.connection.execute("SELECT DISTINCT bag FROM carried WHERE bag <> ''")
            for (bag,) in bags.fetchall():
                self._book.add_bag(bag)
            left = file.connection.execute(
                "SELECT DISTINCT trip, item, weight_mg, brought_home_mg FROM carried "
                "WHERE brought_home_mg > 0 ORDER BY ALL"
            )
            for row in left.fetchall():
                self._doubts.brought_home(source.name, 0, row)
        return True

    def _plain_layout(self, table: Table, source: Source, file: PlainFile) -> Layout | None:
        """The layout of a large file, None where it is not a plain one."""
        head = file.data[:LONGEST_LINE].decode("utf-8-sig", errors="ignore")
        lines = split_lines(head.replace("\r\n", "\n"))
        known = known_headers(table)
        header, delimiter = header_row(lines, set(known))
        if header is None or header_end(lines, header) >= len(lines):
            return None
        if not (no_long_line(file.data, LONGEST_LINE) and one_record_a_line(file.data, delimiter)):
            return None
        try:
            layout = self._layout(table, source, lines, file)
        except NotPlainError:
            return None
        plain = layout is not None and not layout.faults and layout.own is None
        return layout if plain else None


_HELD = ("gear", "candidates")
"""Tables whose rows name items of gear, and so wait until all of it is known."""
_DOUBTED = ("gear", "weighings", "trip", "carried")
_DELETE = {name: f"DELETE FROM {name}" for name in BULK_TABLES}  # noqa: S608


def _today() -> date | None:
    """The day of the reports; missing where they will say themselves that it cannot be told."""
    try:
        return made_on()
    except QuestionError:
        return None
