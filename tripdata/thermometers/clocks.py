"""Whether the offset that a thermometer's file names is that of the camp's clock."""

from collections.abc import Sequence
from datetime import datetime

from ..moments import time_zone
from ..text import Record
from .logger import OwnCells
from .times import logger_time_parser, written_offset

_LOOKED_AT = 50


def clock_remark(rows: Sequence[Record], own: OwnCells, timezone: str, declared: str) -> str:
    """What is to be said of an offset from UTC that header or cells name and that is passed over.

    Empty where there is none, where ``utc_offset`` is set, or where the clock of ``timezone`` stood
    so. ``rows`` are records as `own_records` gives them; ``timezone`` may be empty.
    """
    if own.logger.utc_offset is not None:
        return ""
    parse = logger_time_parser(own.logger, own.header_offset, declared)
    read = [
        (row.cells[0], parsed[0])
        for row in (*rows[:_LOOKED_AT], *rows[-_LOOKED_AT:])
        if not row.fault and not (parsed := parse(row.cells[0]))[1]
    ]
    if not read:
        return ""
    named = {written_offset(text, own.logger, own.header_offset) for text, _ in read} - {None}
    its = sorted(_hours(at, timezone) for _, at in read) if timezone else []
    if not named or named <= set(its):
        return ""
    offset = as_text(min(hours for hours in named if hours is not None))
    where = "header" if own.header_offset is not None else "file"
    names = f"the {where} says that the times are UTC{offset}"
    if not its:
        return (
            f"{names}; they are read as the camp's clock. If that stood otherwise, write under "
            f'{own.logger.title} how it stood to UTC, such as utc_offset = "+02:00"'
        )
    camp = as_text(its[0])
    return (
        f"{names}, but the clock of {timezone} stood at UTC{camp}; they are read as they stand. If "
        f'they must be put right, write utc_offset = "{camp}" under {own.logger.title} in '
        f'tarebook.toml, if not utc_offset = "{offset}"'
    )


def _hours(at: datetime, timezone: str) -> float:
    offset = at.replace(tzinfo=time_zone(timezone)).utcoffset()
    return offset.total_seconds() / 3600 if offset is not None else 0.0


def as_text(hours: float) -> str:
    """Hours against UTC as +02:00."""
    minutes = round(abs(hours) * 60)
    return f"{'-' if hours < 0 else '+'}{minutes // 60:02}:{minutes % 60:02}"
