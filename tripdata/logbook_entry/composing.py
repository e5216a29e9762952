"""The files of a trip as they are to be: cells written, rows added and removed."""

from collections import Counter
from collections.abc import Container, Mapping
from dataclasses import dataclass, field
from typing import Any

from ..contract import BY_NAME, numeric
from ..header import Field, Layout, known_headers
from ..names import inert, normalised, printable, shown
from ..start import header_of_new
from .aside import AsideKeys
from .cells import Value, alike, cell_text
from .entry import FileChange, TripEntry
from .pairing import Pairs, blank_values, paired
from .sheet import Sheet, UnwritableError, new_sheet
from .standing import Standing
from .telling import told, told_change, told_new
from .typed import Typed, header_of
from .wanted import SPOKEN, Values, Wanted, name_of

_LINES = 400
"""Lines that say what changes in a file, for people."""
_DATES_LOOKED_AT = 200


@dataclass(slots=True)
class _File:
    """A file that is being changed. ``table`` "" is one that is put in as it is."""

    sheet: Sheet
    table: str
    header_line: int
    first: int
    comma: bool
    fields: dict[str, Field]
    dates: str
    is_new: bool
    in_trip: bool
    width: int
    anchor: int = 0
    added: int = 0
    changed: set[int] = field(default_factory=set)
    removed: int = 0
    lines: list[str] = field(default_factory=list)


class Composer:
    """Composes the new files of one entry; ``problems`` are what cannot be written.

    ``gone`` are the rows that are removed, each with all it holds, as text; ``remarks`` say what a
    spreadsheet may make of a cell.
    """

    def __init__(self, typed: Typed, entry: TripEntry) -> None:
        self._typed, self._entry, self._files = typed, entry, typed.files
        self._aside = AsideKeys(typed, entry)
        self._open: dict[str, _File] = {}
        self.problems: list[str] = []
        self.remarks: list[str] = []
        self.gone: list[tuple[Standing, str]] = []

    def take(self, wanted: list[Wanted], spoilt: Container[str]) -> None:
        """Change what differs from what is asked for, but in tables of which a row is wrong.

        There a row that is asked for is not known, and the one that stands would seem to go.
        """
        for table in (name for name in SPOKEN if name not in spoilt):
            rows = [w for w in wanted if w.table == table]
            self._table(table, paired(self._files, self._entry, table, rows))

    def changes(self) -> tuple[FileChange, ...]:
        """The files that come out otherwise than they are."""
        out = []
        for name, file in sorted(self._open.items()):
            try:
                after = file.sheet.data()
            except UnwritableError as error:
                self.problems.append(f"{name}: {error}")
                continue
            before = b"" if file.is_new else self._files.contents[name]
            counts = file.added, len(file.changed), file.removed
            if after != before and any(counts):
                lines = [printable(line) for line in file.lines]
                out.append(FileChange(name, not file.is_new, *counts, tuple(lines), before, after))
        return tuple(out)

    def _table(self, table: str, pairs: Pairs) -> None:
        for wanted, standing, values in pairs.together:
            if standing in self._files.laid_out[table] and self._doubled(wanted):
                continue
            self._guarded(standing.file, self._change, wanted, standing, values)
        for standing, values in pairs.gone:
            self._guarded(standing.file, self._remove, table, standing, values)
        new = [wanted for wanted in pairs.new if not self._doubled(wanted)]
        if new:
            name = self._place_of_new(table)
            for wanted in new:
                self._guarded(name, self._add, name, wanted)

    def _doubled(self, wanted: Wanted) -> bool:
        """Whether a row that was set aside says this already; that is a problem."""
        fault = self._aside.fault(wanted)
        if fault:
            self.problems.append(fault)
        return bool(fault)

    def _guarded(self, name: str, act: Any, *arguments: Any) -> None:
        try:
            act(*arguments)
        except UnwritableError as error:
            text = f"{name}: {printable(str(error))}"
            if text not in self.problems:
                self.problems.append(text)

    def _change(self, wanted: Wanted, standing: Standing, values: Values) -> None:
        """Write the cells of a row whose values differ."""
        said = []
        for column in SPOKEN[wanted.table]:
            if alike(wanted.values[column], values[column]):
                continue
            file = self._file(standing.file)
            former = self._typed.text(standing, column)
            text = self._text(file, column, wanted.cells.get(column))
            if text == former:
                continue
            place = self._position(standing.file, file, column)
            file.sheet.set_cell(standing.line, place, text)
            self._look_at(standing.file, column, text, wanted)
            said.append(told_change(column, *(self._told(file, column, t) for t in (text, former))))
        if said:
            file.changed.add(standing.line)
            self._say(file, f"{self._name(wanted.table, values)}: {'; '.join(said)}")

    def _remove(self, table: str, standing: Standing, values: Values) -> None:
        file = self._file(standing.file)
        file.sheet.remove(standing.line)
        file.removed += 1
        held = self._typed.held(standing, (*BY_NAME[table].key, "item", "day"))
        name = self._name(table, values)
        self.gone.append((standing, held or name))
        self._say(file, f"removed: {name}" + (held and f" ({held})"))

    def _add(self, name: str, wanted: Wanted) -> None:
        """Put in a new row below the trip's last one, or the last of the file."""
        file, blank = self._file(name, wanted.table), None
        cells: dict[int, str] = {}
        said = []
        for column in SPOKEN[wanted.table]:
            text = self._text(file, column, wanted.cells.get(column))
            if not text:
                continue
            if column not in file.fields:
                blank = blank or blank_values(self._files, self._entry, wanted.table, wanted)
                if alike(blank[column], wanted.values[column]):
                    continue
            cells[self._position(name, file, column)] = text
            self._look_at(name, column, text, wanted)
            said.append(told_new(column, self._told(file, column, text)))
        if "trip" in file.fields and (wanted.table == "trip" or not file.in_trip):
            cells[file.fields["trip"].position] = self._files.name
        if not file.anchor:
            rows = self._files.rows[wanted.table] + self._files.laid_out[wanted.table]
            own = [s.line for s in rows if s.file == name]
            last = max(own) if own else file.sheet.last_record(file.first)
            file.anchor = last or file.header_line
        file.sheet.add(file.anchor, cells, file.width)
        file.added += 1
        self._say(file, f"new: {', '.join(filter(None, said))}")

    def _look_at(self, name: str, column: str, text: str, wanted: Wanted) -> None:
        """Remark on a text that a spreadsheet takes for a formula; it is written as it was said."""
        prose = BY_NAME[wanted.table].column(column).kind in ("text", "group")
        if prose and inert(text) != text:
            self.remarks.append(
                f"{name}: {column} {shown(text[:60])} begins as a formula does; a spreadsheet may "
                "show something else, or run it"
            )

    def _name(self, table: str, values: Values) -> str:
        """A row as its owner knows it: a thing by its name in gear.csv."""
        item = values.get("item")
        return name_of(table, {**values, "item": self._files.called(item)} if item else values)

    def _told(self, file: _File, column: str, text: str) -> str:
        if text and BY_NAME[file.table].column(column).kind == "item":
            return self._files.called(text)
        there = file.fields.get(column)
        unit = there.unit if there is not None else ""
        return told(column, text, unit, self._entry.use_record == "full")

    def _say(self, file: _File, line: str) -> None:
        if len(file.lines) < _LINES:
            file.lines.append(line)
        elif len(file.lines) == _LINES:
            file.lines.append("and more")

    def _text(self, file: _File, column: str, value: Value) -> str:
        known = BY_NAME[file.table].column(column)
        there = file.fields.get(column)
        unit = there.unit if there else self._new_field(file, column).unit
        return cell_text(self._files, file.table, known, value, unit, file.comma, file.dates)

    def _new_field(self, file: _File, column: str) -> Field:
        """A column that a file lacks, at its right, in the owner's unit."""
        header = header_of(file.table, column, header_of_new(file.table, self._files.settings))
        known, unit = known_headers(BY_NAME[file.table])[header]
        return Field(file.width, known, header, unit)

    def _position(self, name: str, file: _File, column: str) -> int:
        """Where a column stands; one that is missing is put at the right."""
        if column not in file.fields:
            new = self._new_field(file, column)
            file.sheet.set_cell(file.header_line, new.position, new.header)
            file.fields[column] = new
            file.width += 1
            self._say(file, f"new column: {new.header}")
        return file.fields[column].position

    def _place_of_new(self, table: str) -> str:
        """The file for new rows: the trip's own, else where most of its rows stand."""
        own = f"{self._files.folder}/{table}.csv"
        for source in self._files.files.sources[table]:
            if source.folder and source.name[:-4] == own[:-4]:
                return source.name
        count = Counter(s.file for s in self._files.rows[table] + self._files.laid_out[table])
        return count.most_common(1)[0][0] if count else own

    def _file(self, name: str, table: str = "") -> _File:
        """A file to be changed. Raises UnwritableError where that must not be."""
        if name not in self._open:
            self._open[name] = self._opened(name) or self._made(name, table)
        return self._open[name]

    def _opened(self, name: str) -> _File | None:
        layout, source = self._files.layouts.get(name), self._files.sources.get(name)
        if layout is None or source is None:
            return None
        if layout.faults:
            fault = layout.faults[0]
            raise UnwritableError(f"mend its header first: {fault.column}: {fault.problem}")
        sheet = self._typed.sheet(name)
        fields = {f.column.name: f for f in layout.fields}
        return _File(
            sheet,
            layout.table.name,
            layout.header_line,
            layout.first,
            layout.decimal_comma or self._comma(sheet, layout),
            fields,
            self._dates(sheet, fields, layout.first),
            False,
            bool(source.folder),
            sheet.width(layout.header_line),
        )

    def _made(self, name: str, table: str) -> _File:
        unread = {source.name for each in self._files.files.sources.values() for source in each}
        if name in unread:
            faults = [p.problem for p in self._files.findings.problems if p.file == name]
            raise UnwritableError(f"mend it first: it {faults[0] if faults else 'cannot be read'}")
        header = header_of_new(table, self._files.settings)
        known = known_headers(BY_NAME[table])
        fields = {
            known[h][0].name: Field(n, known[h][0], normalised(h), known[h][1])
            for n, h in enumerate(header)
        }
        dates = self._files.settings.dates
        sheet = new_sheet(header)
        return _File(sheet, table, 1, 1, False, fields, dates, True, True, len(header))

    def _comma(self, sheet: Sheet, layout: Layout) -> bool:
        """Whether decimals get a comma where none stands in a file of semicolons yet."""
        if layout.delimiter != ";":
            return False
        places = [f.position for f in layout.fields if numeric(f.column)]
        return not any("." in cell for cell in sheet.sample(layout.first, None, places))

    def _dates(self, sheet: Sheet, fields: Mapping[str, Field], first: int) -> str:
        """The form in which a file writes dates: the declared one, unless it has the year first."""
        declared = self._files.settings.dates
        places = [f.position for f in fields.values() if f.column.kind == "date"]
        count = Counter(
            "/" in cell or "." in cell for cell in sheet.sample(first, _DATES_LOOKED_AT, places)
        )
        return declared if declared and count[True] >= count[False] else ""
