"""What one file's header says: which cell is which column, in which unit, with which marks."""

from dataclasses import dataclass, field
from functools import cache

from .contract import Column, Table, numeric
from .names import nearest, normalised, shown
from .problems import Problem
from .settings import Logger
from .text import Record, header_end, header_row, records


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

    ``faults`` are (column, value, problem, nearest) of the header; where there is one, no record
    of the file can be read. ``logger`` is set where the file is the thermometer's own.
    """

    table: Table
    delimiter: str = ","
    header_line: int = 0
    first: int = 0
    width: int = 0
    fields: list[Field] = field(default_factory=list)
    faults: list[tuple[str, str, str, str]] = field(default_factory=list)
    decimal_comma: bool = False
    logger: Logger | None = None


@cache
def known_headers(table: Table) -> dict[str, tuple[Column, str]]:
    """Every header a table knows: normalised name to its column and unit."""
    found = {}
    for column in table.columns:
        dim = column.dimension
        for header, unit in zip(column.headers, dim.units if dim else ("",), strict=True):
            found[header] = (column, unit)
    return found


def read_layout(
    table: Table, lines: list[str], name: str, in_trip_folder: bool, logger: Logger | None = None
) -> tuple[Layout | None, list[Problem]]:
    """The layout of a file and warnings about its header; None where nothing is written in it."""
    known = known_headers(table)
    header, delimiter = header_row(lines, set(known))
    if header is None:
        return None, []
    if logger is not None and not _complete(header, known, table):
        own = _logger_layout(table, lines, logger)
        if own is not None:
            return own, []
    layout = Layout(table, delimiter, header.line, header_end(lines, header), len(header.cells))
    warnings = _map_columns(layout, header, known, name, lines)
    _missing_columns(layout, header, in_trip_folder)
    layout.decimal_comma = delimiter != "," and _decimal_comma(layout, lines)
    return layout, warnings


def _complete(header: Record, known: dict[str, tuple[Column, str]], table: Table) -> bool:
    there = {known[h][0].name for c in header.cells if (h := normalised(c)) in known}
    return all(c.name in there for c in table.columns if c.required and c.name != "trip")


def _map_columns(
    layout: Layout,
    header: Record,
    known: dict[str, tuple[Column, str]],
    name: str,
    lines: list[str],
) -> list[Problem]:
    warnings: list[Problem] = []
    taken: dict[str, str] = {}
    if header.fault:
        layout.faults.append(("", header.raw[:200], header.fault, ""))
    for position, cell in enumerate(header.cells):
        column, unit = known.get(normalised(cell), (None, ""))
        if column is None:
            warning = _unknown_column(layout, header, position, known, name, lines)
            warnings += [warning] if warning else []
        elif column.name in taken:
            layout.faults.append(_twice(column, taken[column.name], normalised(cell), cell))
        else:
            taken[column.name] = normalised(cell)
            layout.fields.append(Field(position, column, normalised(cell), unit))
    return warnings


def _twice(column: Column, first: str, second: str, cell: str) -> tuple[str, str, str, str]:
    if first == second:
        return (second, cell, f'expected one column "{second}", got two; rename or remove one', "")
    problem = f'expected one unit for {column.name}, got "{first}" and "{second}"; keep one'
    return (second, cell, problem, "")


def _unknown_column(
    layout: Layout,
    header: Record,
    position: int,
    known: dict[str, tuple[Column, str]],
    name: str,
    lines: list[str],
) -> Problem | None:
    cell = header.cells[position].strip()
    if cell:
        near = nearest(normalised(cell), known) or _without_unit(layout.table, cell)
        return Problem(name, header.line, cell, cell, f"no such column in {layout.table.name}; "
                       "it was ignored", near)  # fmt: skip
    rest = records(lines, layout.delimiter, layout.first)
    if any(len(r.cells) > position and r.cells[position].strip() for r in rest):
        return Problem(name, header.line, f"column {position + 1}", "", "has no header; its cells "
                       "were ignored")  # fmt: skip
    return None


def _without_unit(table: Table, cell: str) -> str:
    found = next((c for c in table.columns if c.dimension and c.name == normalised(cell)), None)
    return found.headers[0] if found else ""


def _missing_columns(layout: Layout, header: Record, in_trip_folder: bool) -> None:
    there = {f.column.name for f in layout.fields}
    twice = {f[0] for f in layout.faults}
    for column in layout.table.columns:
        needless = column.name == "trip" and in_trip_folder
        if not column.required or column.name in there or needless:
            continue
        if twice.intersection(column.headers):
            continue
        wanted = " or ".join(column.headers)
        bare = next((c for c in header.cells if normalised(c) == column.name), "")
        near = nearest(column.headers[0], [normalised(c) for c in header.cells if c.strip()])
        if bare:
            problem = f"{shown(bare)} has no unit; name the column {wanted}"
            layout.faults.append((column.headers[0], bare, problem, ""))
        else:
            problem = f"expected a column {wanted}, and there is none"
            layout.faults.append((column.headers[0], "", problem, near))


def _decimal_comma(layout: Layout, lines: list[str]) -> bool:
    """Which decimal mark the file keeps to: the first one that a number in it shows."""
    places = [f.position for f in layout.fields if numeric(f.column)]
    for record in records(lines, layout.delimiter, layout.first):
        for place in places:
            cell = record.cells[place] if place < len(record.cells) else ""
            marks = [c for c in cell if c in ",."]
            if len(marks) == 1 and any(c.isdigit() for c in cell):
                return marks[0] == ","
    return False


def _logger_layout(table: Table, lines: list[str], logger: Logger) -> Layout | None:
    wanted = {normalised(logger.time): "at", normalised(logger.temperature): "temperature"}
    header, delimiter = header_row(lines, set(wanted), logger.skip_lines)
    if header is None:
        return None
    layout = Layout(table, delimiter, header.line, header_end(lines, header), len(header.cells))
    for position, cell in enumerate(header.cells):
        target = wanted.pop(normalised(cell), "")
        if target:
            column = table.column(target)
            unit = logger.unit if target == "temperature" else ""
            layout.fields.append(Field(position, column, cell.strip(), unit))
    if wanted:
        return None
    layout.logger = logger
    layout.decimal_comma = delimiter != "," and _decimal_comma(layout, lines)
    return layout
