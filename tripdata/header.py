"""What one file's header says: which cell is which column, in which unit, with which marks."""

from dataclasses import dataclass, field
from functools import cache
from typing import Protocol

from .contract import Column, Table, numeric
from .names import nearest, normalised, shown
from .numbers import plain_number
from .problems import Fault, Problem
from .text import Record, header_end, header_row, records
from .thermometers.logger import Logger, OwnCells

_OWN_FILE = (
    "; if a thermometer wrote this file, `tarebook thermometer FILE` names the lines for "
    "tarebook.toml with which it can be read"
)


_UNIT_WORDS = {
    "lb": "lbs pound pounds",
    "oz": "ounce ounces",
    "g": "gr gram grams gramme grammes",
    "kg": "kgs kilo kilos kilogram kilograms",
    "c": "celsius degc deg_c",
    "f": "fahrenheit degf deg_f",
    "mi": "mile miles",
    "km": "kms kilometer kilometers kilometre kilometres",
    "ft": "foot feet",
    "m": "meter meters metre metres",
    "in": "inch inches",
    "mm": "millimeter millimeters millimetre millimetres",
    "kmh": "kph km_h",
    "mph": "mi_h",
}
"""Other words for a unit, by the suffix that a header may carry."""


@dataclass(slots=True)
class Field:
    """One known column of a file: where it stands and how it is written there."""

    position: int
    column: Column
    header: str
    unit: str = ""


@dataclass(slots=True)
class Layout:
    """How a file is laid out.

    ``faults`` are those of the header; where there is one, no record of the file can be read.
    ``unnamed``: a column has no header. ``own`` is where the cells of a thermometer's own file
    stand; the fields are then those of its records as `own_records` gives them.
    """

    table: Table
    delimiter: str = ","
    header_line: int = 0
    first: int = 0
    width: int = 0
    fields: list[Field] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    decimal_comma: bool = False
    unnamed: bool = False
    own: OwnCells | None = None

    @property
    def logger(self) -> Logger | None:
        """The thermometer that wrote the file, where it is one's own."""
        return None if self.own is None else self.own.logger

    @property
    def plain(self) -> bool:
        """Whether nothing about it depends on the lines below the header."""
        odd = self.faults or self.unnamed or self.logger is not None
        return self.delimiter == "," and not odd


@cache
def known_headers(table: Table) -> dict[str, tuple[Column, str]]:
    """Every header a table knows: normalised name to its column and unit."""
    return {
        header: (column, unit)
        for column in table.columns
        for header, unit in zip(column.headers, column.units or ("",), strict=True)
    }


class Below(Protocol):
    """What the lines below a header say about it."""

    def holds(self, layout: Layout, position: int) -> bool:
        """Whether a cell at that position holds anything."""

    def decimal_comma(self, layout: Layout) -> bool:
        """Whether the file writes decimals with a comma."""


@dataclass(frozen=True, slots=True)
class LinesBelow:
    """The lines of a file, looked through one by one."""

    lines: list[str]

    def holds(self, layout: Layout, position: int) -> bool:
        """Whether a cell at that position holds anything."""
        rest = records(self.lines, layout.delimiter, layout.first)
        return any(len(r.cells) > position and r.cells[position].strip() for r in rest)

    def decimal_comma(self, layout: Layout) -> bool:
        """Whether the file writes decimals with a comma.

        A file keeps to one mark: the one that more of its numbers show, of as many the first.
        """
        places = [f.position for f in layout.fields if numeric(f.column)]
        count, first = {",": 0, ".": 0}, ""
        for record in records(self.lines, layout.delimiter, layout.first):
            for place in places:
                cell = record.cells[place].strip() if place < len(record.cells) else ""
                mark = "," if "," in cell else "." if "." in cell else ""
                if mark and cell.count(mark) == 1 and plain_number(cell, mark == ",") is not None:
                    count[mark] += 1
                    first = first or mark
        if count[","] == count["."]:
            return first == ","
        return count[","] > count["."]


def read_layout(
    table: Table,
    lines: list[str],
    name: str,
    in_trip_folder: bool,
    below: Below | None = None,
) -> tuple[Layout | None, list[Problem]]:
    """The layout of a file and warnings about its header; None where nothing is written in it.

    ``lines`` need only be the first ones where ``below`` knows the rest.
    """
    below = below or LinesBelow(lines)
    known = known_headers(table)
    header, delimiter = header_row(lines, set(known))
    if header is None:
        return None, []
    layout = layout_below(table, lines, header, delimiter)
    warnings = _map_columns(layout, header, name, below)
    _missing_columns(layout, header, in_trip_folder)
    faulty = {fault.value for fault in layout.faults}
    warnings = [w for w in warnings if w.value not in faulty]
    layout.decimal_comma = delimiter != "," and below.decimal_comma(layout)
    return layout, warnings


def layout_below(table: Table, lines: list[str], header: Record, delimiter: str) -> Layout:
    """The layout of a file with that header, before its columns are looked for."""
    return Layout(table, delimiter, header.line, header_end(lines, header), len(header.cells))


def complete(table: Table, lines: list[str]) -> bool:
    """Whether the first line names every column that the table needs."""
    known = known_headers(table)
    header, _ = header_row(lines, set(known))
    cells = header.cells if header else []
    there = {known[h][0].name for c in cells if (h := normalised(c)) in known}
    return all(c.name in there for c in table.columns if c.required and c.name != "trip")


def _map_columns(layout: Layout, header: Record, name: str, below: Below) -> list[Problem]:
    """Fill in the fields; warnings about cells that are no column of the table."""
    warnings: list[Problem] = []
    taken: dict[str, str] = {}
    if header.fault:
        layout.faults.append(Fault("", header.raw[:200], header.fault))
    for position, cell in enumerate(header.cells):
        written = normalised(cell)
        column, unit = known_headers(layout.table).get(written, (None, ""))
        if column is not None and column.name in taken:
            layout.faults.append(_twice(column, taken[column.name], written, cell))
        elif column is not None:
            taken[column.name] = written
            layout.fields.append(Field(position, column, written, unit))
        elif cell.strip():
            warnings.append(_unknown_column(layout.table, cell.strip(), name, header.line))
        else:
            layout.unnamed = True
            if below.holds(layout, position):
                problem = "has no header; its cells were ignored"
                warnings.append(Problem(name, problem, header.line, f"column {position + 1}"))
    return warnings


def _twice(column: Column, first: str, second: str, cell: str) -> Fault:
    if first == second:
        return Fault(second, cell, f'expected one column "{second}", got two; rename or remove one')
    problem = f'expected one unit for {column.name}, got "{first}" and "{second}"; keep one'
    return Fault(second, cell, problem)


def _with_known_unit(table: Table, cell: str) -> str:
    """The header that a cell means by another word for its unit: `Weight (lbs)` is weight_lb."""
    written, known = normalised(cell), known_headers(table)
    for unit, words in _UNIT_WORDS.items():
        for word in words.split():
            name = written.removesuffix(f"_{word}")
            if name != written and f"{name}_{unit}" in known:
                return f"{name}_{unit}"
    return ""


def _unknown_column(table: Table, cell: str, name: str, line: int) -> Problem:
    quantities = (c for c in table.columns if c.dimension and c.name == normalised(cell))
    without_unit = next((c.headers[0] for c in quantities), "")
    near = _with_known_unit(table, cell) or nearest(normalised(cell), known_headers(table))
    near = near or without_unit
    problem = f"no such column in {table.name}; it was ignored"
    return Problem(name, problem, line, cell, cell, near)


def _missing_columns(layout: Layout, header: Record, in_trip_folder: bool) -> None:
    there = {f.column.name for f in layout.fields}
    twice = {fault.column for fault in layout.faults}
    written = [normalised(c) for c in header.cells if c.strip()]
    strangers = [c for c in written if c not in known_headers(layout.table)]
    for column in layout.table.columns:
        needless = column.name == "trip" and in_trip_folder
        if not column.required or column.name in there or needless:
            continue
        if twice.intersection(column.headers):
            continue
        wanted = " or ".join(column.headers)
        bare = next((c for c in header.cells if normalised(c) == column.name), "")
        meant = {_with_known_unit(layout.table, c): c for c in header.cells}
        other = next((h for h in column.headers if h in meant), "")
        if other and not bare:
            bare, near = meant[other], other
            problem = f"expected a column {wanted}, got {shown(bare)}"
        elif bare:
            problem, near = f"{shown(bare)} has no unit; name the column {wanted}", ""
        else:
            problem = f"expected a column {wanted}, and there is none"
            near = nearest(column.headers[0], strangers)
            problem += _OWN_FILE if column.kind == "moment" else ""
        layout.faults.append(Fault(column.headers[0], bare, problem, near))
