"""A thermometer's clock: from its own form of time to the camp's clock."""

import re
from contextlib import suppress
from datetime import datetime, timedelta

from ..moments import parse_moment
from ..names import shown
from ..numbers import Parsed, Parser, no, ok
from .logger import Logger

_OFFSET = re.compile(r"\s*(?:(Z)|(?:GMT|UTC)?\s*([+-])(\d{1,2})(?::?([0-5]\d))?)$", re.IGNORECASE)
_NAMED = re.compile(r"\b(?:GMT|UTC)\b\s*(?:([+-])\s*(\d{1,2})(?::?([0-5]\d))?)?", re.IGNORECASE)
_LONGEST = 60


def offset_hours(sign: str, hours: str, minutes: str | None) -> float:
    """Hours against UTC from the parts of +02:00."""
    size = int(hours) + int(minutes or 0) / 60
    return -size if sign == "-" else size


def named_offset(header: str) -> float | None:
    """The offset from UTC, in hours, that a header names; None where it names none."""
    named = _NAMED.search(header)
    if named is None:
        return None
    return offset_hours(named[1], named[2], named[3]) if named[1] else 0.0


def _own_offset(text: str) -> tuple[str, float | None]:
    """A time without the offset that stands behind it, and that offset in hours."""
    there = _OFFSET.search(text) if ":" in text else None
    if there is None:
        return text, None
    hours = 0.0 if there[1] else offset_hours(there[2], there[3], there[4])
    return text[: there.start()], hours


def written_offset(text: str, logger: Logger, header_offset: float | None) -> float | None:
    """Hours against UTC that a time names, else the header; None where neither does."""
    hours = None
    if not logger.format:
        hours = _own_offset(text)[1]
    elif "%z" in logger.format:
        with suppress(ValueError):
            gap = datetime.strptime(text, logger.format).utcoffset()
            hours = None if gap is None else gap.total_seconds() / 3600
    return header_offset if hours is None else hours


def logger_time_parser(logger: Logger, header_offset: float | None, declared: str) -> Parser:
    """Parser of a thermometer's own times: its format (strptime), else ISO or the declared form.

    Without ``utc_offset`` the clock time stands as it is and an offset is dropped. With it, times
    are brought from the offset that the cell or else the header names, or from UTC.
    """
    form = logger.format

    def clock(text: str) -> tuple[Parsed, float | None]:
        if not form:
            bare, hours = _own_offset(text) if logger.utc_offset is not None else (text, None)
            parsed = parse_moment(bare, declared)
            if parsed[1] and re.search(r"\d\s?[zZ]$", text):
                return no(_utc(text, logger)), None
            return parsed, hours
        try:
            if len(text) > _LONGEST:
                raise ValueError
            read = datetime.strptime(text, form)
        except (ValueError, OverflowError):
            expected = f"expected a time in the {logger.title} format {shown(form)}"
            return no(f"{expected}, got {shown(text)}"), None
        gap = read.utcoffset()
        if gap is not None and text[-1:] in "zZ" and logger.utc_offset is None:
            return no(_utc(text, logger)), None
        return ok(read.replace(tzinfo=None)), None if gap is None else gap.total_seconds() / 3600

    def parse(text: str) -> Parsed:
        parsed, own = clock(text)
        if parsed[1] or logger.utc_offset is None:
            return parsed
        its = own if own is not None else header_offset or 0.0
        try:
            return ok(parsed[0] + timedelta(hours=logger.utc_offset - its))
        except OverflowError:
            return no(f"expected a time, got {shown(text)}")

    return parse


def _utc(text: str, logger: Logger) -> str:
    return (
        f"expected the camp's clock, got {shown(text)}; Z means UTC: say under {logger.title} in "
        'tarebook.toml how the camp\'s clock stood to UTC, such as utc_offset = "+02:00"'
    )
