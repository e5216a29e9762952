"""The readings of one file of temperatures, as the logbook's reader takes them."""

from dataclasses import dataclass, replace
from datetime import datetime

from ..contract import BY_NAME
from ..header import Layout, LinesBelow, read_layout
from ..names import Names, printable
from ..text import Record
from ..values import Parsers
from .clocks import clock_remark
from .layout import add_unit_faults, own_layout, records_of
from .logger import Logger

TEMPERATURES = BY_NAME["temperatures"]
_NAMED_FAULTS = 5


@dataclass(frozen=True, slots=True)
class Reading:
    """One temperature, at the camp's own time."""

    at: datetime
    temperature_c: float


@dataclass(frozen=True, slots=True)
class FileReadings:
    """What a file gives: its readings, and what is wrong with the rest, the first of it in words.

    ``logger`` is the description it was read by, None where it has the logbook's own columns.
    ``remark`` is what is to be said of its clock.
    """

    readings: tuple[Reading, ...]
    logger: Logger | None
    faulty: int = 0
    faults: tuple[str, ...] = ()
    remark: str = ""


def file_readings(
    lines: list[str],
    name: str,
    loggers: tuple[Logger, ...],
    declared: str = "",
    timezone: str = "",
) -> FileReadings:
    """Read a file of that name as one in a trip's folder is read.

    ``declared`` is the logbook's form of dates, ``timezone`` its time zone, where it has one.
    """
    below = LinesBelow(lines)
    layout = own_layout(TEMPERATURES, lines, name, True, loggers, below, declared)
    if layout is None:
        layout, _ = read_layout(TEMPERATURES, lines, name, True, below)
    if layout is None:
        return FileReadings((), None, faults=("it is empty",))
    if layout.own is None:
        add_unit_faults(layout, lines)
    if layout.faults:
        rows = sum(1 for _ in records_of(lines, layout))
        words = tuple(_words(layout.header_line, f.column, f.problem) for f in layout.faults)
        return FileReadings((), layout.logger, rows, words)
    read = _read(lines, layout, Parsers(Names(), Names(), declared))
    if layout.own is None:
        return read
    every = list(records_of(lines, layout))
    return replace(read, remark=clock_remark(every, layout.own, timezone, declared))


def _read(lines: list[str], layout: Layout, parsers: Parsers) -> FileReadings:
    at, value = TEMPERATURES.column("at"), TEMPERATURES.column("temperature")
    fields = {field.column.name: field for field in layout.fields}
    number, _ = parsers.of("temperatures", value, fields[value.name].unit, layout.decimal_comma)
    moment, _ = parsers.of("temperatures", at, "", False)
    if layout.own is not None:
        moment = parsers.logger(layout.own)
    readings, faults, faulty = [], [], 0
    for row in records_of(lines, layout):
        if not row.fault and not any(map(str.strip, row.cells)):
            continue
        when, time_fault, _ = moment(_cell(row, fields[at.name].position))
        celsius, value_fault, _ = number(_cell(row, fields[value.name].position))
        extra = "more cells than the header has" if any(row.cells[layout.width :]) else ""
        fault = row.fault or time_fault or value_fault or extra
        if fault:
            faulty += 1
            faults += [_words(row.line, "", fault)] if faulty <= _NAMED_FAULTS else []
        else:
            readings.append(Reading(when, celsius))
    return FileReadings(tuple(readings), layout.logger, faulty, tuple(faults))


def _cell(row: Record, position: int) -> str:
    return row.cells[position].strip() if position < len(row.cells) else ""


def _words(line: int, column: str, problem: str) -> str:
    return printable(f"line {line}: {column}{column and ': '}{problem}")
