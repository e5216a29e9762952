"""Which `[[logger]]` a file is read by, and where its columns stand."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from fnmatch import fnmatchcase
from itertools import islice

from ..contract import Table
from ..header import Below, Field, Layout, complete, layout_below
from ..names import folded, shown
from ..numbers import plain_number
from ..problems import Fault
from ..text import Record, first_rows, records
from .columns import positions
from .logger import Logger, OwnCells
from .misplaced import LOOKED_THROUGH, misplaced_layout
from .own_records import missing_test, moment, own_records
from .times import logger_time_parser, named_offset
from .unit_columns import UnitsBeside, column_texts, says_unit, units_beside
from .units_named import named_units, other_unit, other_unit_beside

_WHOSE = "a thermometer's own file does not say which trip; move it into the trip's folder"
_SAMPLE = 50


@dataclass(slots=True)
class _Placed:
    """A thermometer's columns in a file.

    ``fits``: some of the first rows have a time as it writes them. ``body`` is the index of the
    first line that is a reading, or of the last that was looked at.
    """

    own: OwnCells
    delimiter: str
    header: Record | None
    first: int
    faults: list[Fault] = field(default_factory=list)
    fits: bool = False
    body: int = 0

    @property
    def reading(self) -> tuple[object, ...]:
        """What makes a difference to how the file is read."""
        logger = replace(self.own.logger, files="", time="", date=None, temperature="")
        return self.delimiter, self.first, replace(self.own, logger=logger)


def own_layout(
    table: Table,
    lines: list[str],
    name: str,
    in_trip_folder: bool,
    loggers: Sequence[Logger],
    below: Below,
    declared: str = "",
) -> Layout | None:
    """The layout of a file that a thermometer wrote; None where the table's own columns hold.

    ``name`` is the file's own, without its folder; ``declared`` the date form of the logbook.
    """
    named = [each for each in loggers if each.files and _called(name, each.files)]
    plain = complete(table, lines)
    for group in (named, [each for each in loggers if not each.files]):
        if group is not named and plain:
            return None
        placed = [one for each in group if (one := _place(each, lines, declared)) is not None]
        if placed:
            return _layout(table, lines, _choose(placed), in_trip_folder, below)
    if plain:
        return None
    rest = named or [each for each in loggers if not each.files]
    return misplaced_layout(table, lines, rest, named)


def _called(name: str, pattern: str) -> bool:
    return fnmatchcase(folded(name), folded(pattern))


def _choose(placed: list[_Placed]) -> _Placed:
    """The description that fits; where two do that would read the file otherwise, a fault."""
    good = [each for each in placed if not each.faults and each.fits]
    good = good or [each for each in placed if not each.faults]
    if not good:
        return placed[0]
    first, *others = good
    rival = next((each for each in others if each.reading != first.reading), None)
    if rival is not None:
        both = f"{first.own.logger.title} and {rival.own.logger.title} of tarebook.toml"
        problem = f"{both} both fit this file and read it differently; say with files which is its"
        first.faults.append(Fault("", "", problem))
    return first


def _place(logger: Logger, lines: list[str], declared: str) -> _Placed | None:
    """Where the columns stand, None where they do not stand on the line that is expected."""
    if not logger.header:
        return _place_by_number(logger, lines, declared)
    best: _Placed | None = None
    for header, delimiter in first_rows(lines, logger.skip_lines):
        places = {what: positions(c, header.cells) for what, c in logger.columns.items()}
        if not all(places.values()) or (best and best.own.width >= len(header.cells)):
            continue
        own = OwnCells(
            logger,
            places["time"][0],
            places["temperature"][0],
            places["date"][0] if "date" in places else None,
            len(header.cells),
            named_offset(header.cells[places["time"][0]]),
            header.raw,
        )
        first = header.line + header.raw.count("\n")
        best = _Placed(own, delimiter, header, first, _twofold(logger, places, header))
    if best is not None:
        _look_at_rows(best, lines, declared)
        best.faults += _unit_faults(best, lines)
    return best


def _place_by_number(logger: Logger, lines: list[str], declared: str) -> _Placed | None:
    """The same of a file without a header: by the delimiter with which its first rows read."""
    columns = {what: number for what, number in logger.columns.items() if isinstance(number, int)}
    best: tuple[int, _Placed | None] = (0, None)
    for row, delimiter in first_rows(lines, logger.skip_lines):
        rows = list(islice(records(lines, delimiter, row.line - 1), _SAMPLE))
        width = max(len(each.cells) for each in rows)
        if width < max(columns.values()):
            continue
        places = {what: number - 1 for what, number in columns.items()}
        own = OwnCells(logger, places["time"], places["temperature"], places.get("date"), width)
        hits = sum(1 for each in rows if _reads(each, own, delimiter, declared))
        if hits > best[0]:
            best = hits, _Placed(own, delimiter, None, row.line - 1)
    placed = best[1]
    if placed is not None:
        _look_at_rows(placed, lines, declared)
        placed.faults += _unit_faults(placed, lines)
    return placed


def _reads(row: Record, own: OwnCells, delimiter: str, declared: str) -> bool:
    """Whether a row without a header has a time and, where there is one, a temperature."""
    cells = [cell.strip() for cell in row.cells] + [""] * own.width
    time = logger_time_parser(own.logger, own.header_offset, declared)
    text, value = moment(cells, own), cells[own.temperature]
    if row.fault or not text or time(text)[1]:
        return False
    number = plain_number(value, delimiter != "," and "," in value)
    return number is not None or missing_test(own.logger.missing, "," in value)(value)


def _twofold(logger: Logger, places: dict[str, list[int]], header: Record) -> list[Fault]:
    """Names by which two columns go."""
    faults = []
    for what, there in places.items():
        if len(there) > 1:
            cells, name = [header.cells[n].strip() for n in there], logger.columns[what]
            numbers = " and ".join(str(n + 1) for n in there)
            problem = (
                f"expected one column {shown(str(name))}, got {len(there)}, of number {numbers}; "
                f"say which is meant under {logger.title} in tarebook.toml, as "
                f"{what} = {there[0] + 1}"
            )
            faults.append(Fault(cells[0], cells[0], problem))
    taken = [there[0] for there in places.values()]
    if len(set(taken)) < len(taken) and not faults:
        problem = f"{logger.title} in tarebook.toml takes one column for two things; name each"
        faults.append(Fault(header.cells[taken[0]].strip(), "", problem))
    return faults


def _look_at_rows(placed: _Placed, lines: list[str], declared: str) -> None:
    """Find out by the first rows whether times read, and where the readings begin."""
    own, comma = placed.own, placed.delimiter != ","
    missing = missing_test(own.logger.missing, comma)
    parse = logger_time_parser(own.logger, own.header_offset, declared)
    placed.body, placed.fits, rows = placed.first, True, 0
    for row in islice(records(lines, placed.delimiter, placed.first), LOOKED_THROUGH):
        cells = [cell.strip() for cell in row.cells] + [""] * own.width
        if row.fault or missing(cells[own.temperature]):
            continue
        rows, placed.body = rows + 1, row.line - 1
        placed.fits = not parse(moment(cells, own))[1]
        if placed.fits or rows == _SAMPLE:
            break


def _beside(placed: _Placed, lines: list[str]) -> UnitsBeside | None:
    """What the rows themselves say of their unit, in columns of their own."""
    own = placed.own
    rows = [
        row.cells
        for row in records(lines, placed.delimiter, placed.body)
        if len(row.cells) > own.temperature and any(map(str.isdigit, row.cells[own.temperature]))
    ]
    others = [n for n in range(own.width) if n not in (own.time, own.date, own.temperature)]
    names = placed.header.cells if placed.header else []
    return units_beside(names, column_texts(rows, others), own.temperature, len(rows))


def _unit_faults(placed: _Placed, lines: list[str]) -> list[Fault]:
    """Where the header, or what stands beside or above the readings, names another unit."""
    logger, header, position = placed.own.logger, placed.header, placed.own.temperature
    for cell in _texts_below(placed, lines):
        if fault := other_unit(cell, logger.unit, logger.title):
            return [Fault(cell, cell, f"{shown(cell)}, further down, {fault}")]
    cells = [cell.strip() for cell in header.cells] if header else []
    name = cells[position] if header else ""
    beside = _beside(placed, lines)
    if beside is not None and (fault := beside.fault(logger.unit, logger.title)):
        called = cells[beside.column] if beside.column < len(cells) else ""
        return [Fault(called or f"column {beside.column + 1}", "", fault)]
    if named_units(name):
        fault = other_unit(name, logger.unit, logger.title)
        return [Fault(name, name, fault)] if fault else []
    # A row above the readings that is none may be the header, where the setting misses it or, by
    # numbers, passes it over.
    rest = [*records(lines[: placed.body], placed.delimiter, placed.first)]
    if header is None:
        above = records(lines[: placed.first], placed.delimiter, 0)
        rest += [row for row in above if len(row.cells) >= placed.own.width]
    for cell in (row.cells[position].strip() for row in rest if len(row.cells) > position):
        if fault := other_unit(cell, logger.unit, logger.title):
            return [Fault(name or "unit", cell, f"{shown(cell)} {fault}")]
    for texts in (cells, lines[: placed.body]):
        if fault := other_unit_beside("\n".join(texts), logger.unit, logger.title):
            says = next(t for t in texts if other_unit_beside(t, logger.unit, "")).strip()
            return [Fault(name or "unit", says, f"{shown(says)} {fault}")]
    return []


def add_unit_faults(layout: Layout, lines: list[str]) -> None:
    """Hold a column of units against the logbook's own columns, which say their unit."""
    value = next((f for f in layout.fields if f.column.name == "temperature"), None)
    if value is None or layout.faults:
        return
    names = next(iter(records(lines, layout.delimiter, layout.header_line - 1))).cells
    known = {f.position for f in layout.fields}
    others = [n for n in range(len(names)) if n not in known and says_unit(names[n])]
    if not others:
        return
    rows = [row.cells for row in records(lines, layout.delimiter, layout.first)]
    beside = units_beside(names, column_texts(rows, others), value.position, len(rows))
    if beside is not None and (fault := beside.under(value.unit, value.header)):
        layout.faults.append(Fault(names[beside.column].strip(), "", fault))


def _texts_below(placed: _Placed, lines: list[str]) -> Iterator[str]:
    """What stands in the column of temperatures without a digit: a header that stands again."""
    position = placed.own.temperature
    for row in records(lines, placed.delimiter, placed.body):
        cell = row.cells[position] if len(row.cells) > position else ""
        if cell and not any(map(str.isdigit, cell)):
            yield cell.strip()


def _layout(
    table: Table, lines: list[str], placed: _Placed, in_trip_folder: bool, below: Below
) -> Layout:
    own, header = placed.own, placed.header
    if header is not None:
        layout = layout_below(table, lines, header, placed.delimiter)
    else:
        line = placed.first + 1
        layout = Layout(table, placed.delimiter, line, placed.first, own.width)
    layout.faults = placed.faults
    if not in_trip_folder:
        layout.faults.append(Fault("trip", "", _WHOSE))

    def called(position: int) -> str:
        cell = header.cells[position].strip() if header else ""
        return cell or f"column {position + 1}"

    at, value = table.column("at"), table.column("temperature")
    time = called(own.time) if own.date is None else f"{called(own.date)} + {called(own.time)}"
    layout.fields = [Field(own.temperature, value, called(own.temperature), own.logger.unit)]
    layout.decimal_comma = placed.delimiter != "," and below.decimal_comma(layout)
    layout.fields = [Field(0, at, time), replace(layout.fields[0], position=1)]
    layout.width, layout.own = 2, own
    return layout


def records_of(lines: list[str], layout: Layout) -> Iterator[Record]:
    """The records of a file, be it a thermometer's own or not."""
    rows = records(lines, layout.delimiter, layout.first)
    own = layout.own
    return rows if own is None else own_records(rows, own, layout.decimal_comma)
