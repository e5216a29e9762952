"""The rows of a trip as they stand: read by the logbook's own reader, each with its place."""

import hashlib
from collections import Counter, defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import Any

from ..book import Row
from ..contract import BY_NAME, TABLES, Column, Table
from ..discover import Source
from ..header import Below, Layout
from ..laid_out import laid_out_in
from ..load import Loader
from ..names import folded, slug
from ..numbers import Parser
from ..problems import Problem
from ..text import Record, decode, records, split_lines
from ..thermometers.keeping import folder_of_trip
from .sheet import Sheet

FORM_TABLES = ("trip", "carried", "used", "failures", "distances", "weather", "comfort", "wished")
"""The tables of which a form shows rows."""
_DAYS = ("start_on", "end_on")
_ANY = (date(1, 2, 1), date(9999, 11, 30))
"""The days of a trip of which they are not known yet."""
_NOT_READ = ("weighings", "candidates")


@dataclass(frozen=True, slots=True)
class Standing:
    """A row of a trip: its file, the line on which it begins, its values by column."""

    file: str
    line: int
    row: Row


class TripFiles(Loader):
    """One reading of all files that say something of a trip, and of gear.

    ``rows`` are the trip's, by table, ``laid_out`` those that hold a key and nothing else. A trip
    that is ``begun`` is read as if its row, of which the days or all is missing yet, stood there.
    """

    def __init__(self, logbook: Path, trip: str, begun: bool = False) -> None:
        super().__init__(logbook, None, Path(), bulk_bytes=None)
        self.trip = slug(trip)
        self.begun = begun
        self.rows: dict[str, list[Standing]] = {name: [] for name in BY_NAME}
        self.laid_out: dict[str, list[Standing]] = {name: [] for name in BY_NAME}
        self.layouts: dict[str, Layout] = {}
        self.contents: dict[str, bytes] = {}
        self.sources: dict[str, Source] = {}
        self._digests: dict[str, Any] = {}
        self._names: dict[str, str] = {}
        for name, sources in self.files.sources.items():
            # A row of trip.csv in another trip's folder is needed to know what the trip is called.
            kept = [s for s in sources if name == "trip" or not s.folder or self.own(s.folder)]
            self.files.sources[name] = [] if name in _NOT_READ else kept

    def own(self, text: str) -> bool:
        """Whether a folder or cell names the trip."""
        return folded(slug(text)) == folded(self.trip)

    def read(self) -> "TripFiles":
        """Read all of it."""
        for table in TABLES:
            self._read_table(table)
            if table.name == "trip" and self.begun and not self.rows["trip"]:
                self._begin()
            if table.laid_out:
                self._read_laid_out(table)
        self._doubts.tell()
        return self

    def _begin(self) -> None:
        """Take the trip for one that has a row, unless its row has another mistake."""
        faults: dict[tuple[str, int], list[Problem]] = defaultdict(list)
        for fault in self.findings.records:
            if self.sources[fault.file].table == "trip" and self.own(fault.trip or ""):
                faults[fault.file, fault.line].append(fault)
        for (file, line), its in faults.items():
            layout = self.layouts[file]
            if layout.faults or any(f.column not in _DAYS or f.value for f in its):
                return
            row = self._values(Sheet(self.contents[file], layout.delimiter).record(line), layout)
            row["trip"] = slug(self.sources[file].folder) or row["trip"] or self.trip
            self.laid_out["trip"].append(Standing(file, line, row))
        row = {"trip": self.trip, "start_on": _ANY[0], "end_on": _ANY[1], "mode": None}
        its_own = [standing.row for standing in self.laid_out["trip"][:1]]
        self._book.add_trip(row | {n: each[n] for each in its_own for n in ("trip", "mode")})

    def _values(self, record: Record, layout: Layout) -> Row:
        """What the cells of a record say; one that cannot be read says nothing."""
        row: Row = {c.name: self.blank(c) for c in layout.table.columns}
        for field in layout.fields:
            cell = record.cells[field.position] if field.position < len(record.cells) else ""
            if text := cell.strip():
                parser = self.parser(layout.table.name, field.column, field.unit, False)
                value, problem, _ = parser(text)
                if not problem:
                    row[field.column.name] = value
        return row

    @property
    def folder(self) -> str:
        """The trip's folder inside the logbook, whether it is there or not."""
        return f"trips/{folder_of_trip(self._logbook, self.name).name}"

    @property
    def name(self) -> str:
        """The trip as it was first called."""
        return self._book.trips.find(self.trip) or self.trip

    @cached_property
    def noted(self) -> dict[str, int]:
        """How often used.csv says that a thing was used, by item; for when all is read."""
        times: dict[str, int] = defaultdict(int)
        for each in self.rows["used"]:
            times[each.row["item"]] += each.row["times"]
        return dict(times)

    @cached_property
    def origins(self) -> dict[tuple[str, int], str]:
        """What a row is known by, by file and line: which of the trip's rows of its file it is.

        Rows of other trips may come and go above it.
        """
        count: Counter[str] = Counter()
        found = {}
        read = (row for table in FORM_TABLES for row in self.rows[table])
        for each in (*read, *self.unfinished):
            count[each.file] += 1
            found[each.file, each.line] = f"{each.file}#{count[each.file]}"
        return found

    @cached_property
    def aside(self) -> dict[tuple[str, int], list[Problem]]:
        """The trip's records that were set aside, by file and line; for when all is read.

        Without those that are only unfinished.
        """
        unfinished = {(each.file, each.line) for each in self.unfinished}
        return {at: faults for at, faults in self._all_aside.items() if at not in unfinished}

    @cached_property
    def unfinished(self) -> tuple[Standing, ...]:
        """Rows of the trip's days that lack nothing but the distance; for when all is read.

        What was climbed or drawn from a battery may be noted before it; until then they were set
        aside, and a form shows them to be finished.
        """
        found: dict[Any, Standing] = {}
        for (file, line), faults in sorted(self._all_aside.items()):
            layout, source = self.layouts[file], self.sources[file]
            blank = [f.header for f in layout.fields if f.column.name == "distance"]
            if source.table != "distances" or layout.faults or len(faults) != 1:
                continue
            if [faults[0].column] != blank or faults[0].value:
                continue
            record = Sheet(self.contents[file], layout.delimiter).record(line)
            row = self._values(record, layout) | {"trip": self.name}
            found.setdefault((row["day"], row["mode"]), Standing(file, line, row))
        kept = {(each.row["day"], each.row["mode"]) for each in self.rows["distances"]}
        return tuple(each for key, each in found.items() if key not in kept)

    @cached_property
    def _all_aside(self) -> dict[tuple[str, int], list[Problem]]:
        found: dict[tuple[str, int], list[Problem]] = defaultdict(list)
        laid_out = {(each.file, each.line) for each in self.laid_out["trip"]}
        for fault in self.findings.records:
            source = self.sources.get(fault.file)
            shown = source is not None and source.table in FORM_TABLES
            place = (fault.file, fault.line)
            if shown and fault.trip and self.own(fault.trip) and place not in laid_out:
                found[fault.file, fault.line].append(fault)
        return dict(found)

    def any_aside(self, table: str) -> bool:
        """Whether a record of a table was set aside."""
        return any(self.sources[file].table == table for file, _ in self.aside)

    def trip_names(self) -> tuple[str, ...]:
        """All trips that are known."""
        return tuple(self._book.spans)

    def item(self, text: str) -> str | None:
        """The item that a text names, None where it names none."""
        return self._book.items.find(text)

    def called(self, text: str) -> str:
        """What a thing is called in gear.csv; with its short name where others are called so."""
        item = self.item(text) or text
        name = self._names.get(item, item)
        alone = name == item or sum(each == name for each in self._names.values()) == 1
        return name if alone else f"{name} ({item})"

    def kind(self, item: str) -> str:
        """What an item is carried as where no row says otherwise."""
        return self._book.kinds.get(item, "base")

    def parser(self, table: str, column: Column, unit: str, comma: bool) -> Parser:
        """The parser of a column's cells."""
        return self._parsers.of(table, column, unit, comma)[0]

    def blank(self, column: Column) -> Any:
        """What a blank cell means."""
        return self._parsers.blank(column)

    def others(self, file: str) -> str:
        """A digest of the rows of a file that are of other trips."""
        return self._digests[file].hexdigest() if file in self._digests else ""

    def _content(self, source: Source) -> bytes:
        data = self.contents[source.name] = super()._content(source)
        self.sources[source.name] = source
        return data

    def _layout(
        self, table: Table, source: Source, lines: list[str], below: Below | None = None
    ) -> Layout | None:
        layout = super()._layout(table, source, lines, below)
        if layout is not None:
            self.layouts[source.name] = layout
        return layout

    def _keeper(self, table: Table, source: Source) -> Callable[[Row, int], None]:
        keep = super()._keeper(table, source)
        if table.name == "gear":

            def named(row: Row, line: int) -> None:
                self._names[row["item"]] = row["name"] or row["item"]
                keep(row, line)

            return named
        name, rows = source.name, self.rows[table.name]

        def kept(row: Row, line: int) -> None:
            if self.own(row["trip"]):
                rows.append(Standing(name, line, row.copy()))
                if table.name == "trip":
                    rows[-1].row["title"] = self._title(name, line)
            else:
                digest = self._digests.setdefault(name, hashlib.sha256())
                digest.update(repr(row).encode("utf-8", "surrogatepass"))

        return kept

    def _title(self, file: str, line: int) -> str | None:
        """The title in the cell of a trip's row, not the name that stands in for it."""
        layout = self.layouts[file]
        field = next((f for f in layout.fields if f.column.name == "title"), None)
        cells = Sheet(self.contents[file], layout.delimiter).record(line).cells
        there = field is not None and field.position < len(cells)
        return (cells[field.position].strip() or None) if field is not None and there else None

    def _read_laid_out(self, table: Table) -> None:
        """Find the rows of the trip that hold a key and nothing else."""
        for source in self.files.sources[table.name]:
            layout = self.layouts.get(source.name)
            is_open = laid_out_in(layout) if layout is not None else None
            if layout is None or is_open is None or (source.folder and not self.own(source.folder)):
                continue
            lines = split_lines(decode(self.contents[source.name]))
            for record in records(lines, layout.delimiter, layout.first):
                row = self._key_of(record, layout, source) if is_open(record) else None
                if row is not None:
                    self.laid_out[table.name].append(Standing(source.name, record.line, row))

    def _key_of(self, record: Record, layout: Layout, source: Source) -> Row | None:
        """The values of such a row; None where it is another trip's or cannot be read."""
        row: Row = {c.name: self.blank(c) for c in layout.table.columns}
        if source.folder:
            row["trip"] = self.name
        for field in layout.fields:
            cell = record.cells[field.position] if field.position < len(record.cells) else ""
            if text := cell.strip():
                parser = self.parser(layout.table.name, field.column, field.unit, False)
                value, problem, _ = parser(text)
                if problem:
                    return None
                row[field.column.name] = value
        return row if row["trip"] and row["day"] and self.own(row["trip"]) else None
