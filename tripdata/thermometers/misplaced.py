"""What is said of a thermometer's file whose header does not stand where its description says."""

from collections.abc import Iterator, Sequence

from ..contract import Table
from ..header import Layout, layout_below
from ..names import nearest, shown
from ..problems import Fault
from ..text import Record, first_rows
from .columns import positions
from .logger import ColumnName, Logger

LOOKED_THROUGH = 1000
"""Lines in which a header is looked for that does not stand where it should."""
_REACH = 50


def misplaced_layout(
    table: Table, lines: list[str], loggers: Sequence[Logger], named: Sequence[Logger]
) -> Layout | None:
    """A layout with the fault that the columns stand on another line, or on none."""
    rows = list(_headers(lines))
    for logger in (each for each in loggers if each.header and not _all_numbers(each)):
        for header, delimiter in rows:
            if all(positions(column, header.cells) for column in logger.columns.values()):
                layout = layout_below(table, lines, header, delimiter)
                problem = (
                    f"expected the header on line {logger.skip_lines + 1}, it stands on line "
                    f"{header.line}; write skip_lines = {header.line - 1} under {logger.title} in "
                    "tarebook.toml"
                )
                layout.faults.append(Fault(str(logger.temperature), "", problem))
                return layout
    for logger in loggers:
        there = list(first_rows(lines, logger.skip_lines)) or list(first_rows(lines))
        if there:
            header, delimiter = max(there, key=lambda row: len(row[0].cells))
            if logger not in named and not any(_there(logger, header)):
                continue
            layout = layout_below(table, lines, header, delimiter)
            layout.faults.append(_lacking(logger, header))
            return layout
    return None


def _there(logger: Logger, header: Record) -> Iterator[bool]:
    """Whether each column that a description names by its header is in that line."""
    names = (each for each in logger.columns.values() if isinstance(each, str))
    return (bool(positions(name, header.cells)) for name in names)


def _lacking(logger: Logger, header: Record) -> Fault:
    """The fault that a line has not the columns of the thermometer whose file it should be."""
    advice = "`tarebook thermometer FILE` shows how the file is laid out"
    if not logger.header:
        problem = f"no time and temperature in the columns that {logger.title} names; {advice}"
        return Fault("", "", problem)
    columns = logger.columns.values()
    lacking: ColumnName = next(
        (each for each in columns if not positions(each, header.cells)), logger.temperature
    )
    problem = f"expected a column {shown(str(lacking))}, as {logger.title} in tarebook.toml has it"
    near = nearest(str(lacking), [cell.strip() for cell in header.cells if cell.strip()])
    return Fault(str(lacking), "", f"{problem}, and there is none; {advice}", near)


def _all_numbers(logger: Logger) -> bool:
    return all(isinstance(column, int) for column in logger.columns.values())


def _headers(lines: list[str]) -> Iterator[tuple[Record, str]]:
    """The first rows that could be a header, with each delimiter."""
    for start in range(min(len(lines), LOOKED_THROUGH)):
        for header, delimiter in first_rows(lines[: LOOKED_THROUGH + _REACH], start):
            if header.line == start + 1:
                yield header, delimiter
