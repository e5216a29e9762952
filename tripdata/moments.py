"""From the text of one cell to a date or a local time, or to the reason why not."""

import re
from contextlib import suppress
from datetime import UTC, date, datetime, time, timedelta, tzinfo

from .names import shown
from .numbers import Parsed, no, ok

_DATE = re.compile(r"(\d{4})-(\d{2})-(\d{2})", re.ASCII)
_DECLARED = re.compile(r"(\d{1,2})([/.])(\d{1,2})\2(\d{4})", re.ASCII)
"""A date in a form that may be declared: spreadsheets drop the leading zeros on saving."""
_MOMENT = re.compile(
    r"(\d{4}-\d{2}-\d{2})[T ](\d{2}):(\d{2})(?::(\d{2})(?:[.,](\d{1,9}))?)?\s?"
    r"(?:[+-]\d{2}(?::?\d{2})?)?",
    re.ASCII,
)
_DAY_ZERO = date(1899, 12, 30)
_NO_SUCH_DAY = "; there is no such day"
_DECLARE_DOTS = (
    '; write the year first, 2026-05-01, or declare dates = "DD.MM.YYYY" under [reading] in '
    "tarebook.toml"
)
_DECLARE = (
    '; day or month first? Write 2026-02-01, or declare dates = "DD/MM/YYYY" or "MM/DD/YYYY" '
    "under [reading] in tarebook.toml"
)


def strptime_form(declared: str) -> str:
    """How strptime writes a declared date form; empty where none is declared."""
    return declared.replace("DD", "%d").replace("MM", "%m").replace("YYYY", "%Y")


def _spreadsheet_day(text: str) -> str:
    if re.fullmatch(r"\d{5}", text, re.ASCII) and 20000 <= int(text) <= 60000:
        day = _DAY_ZERO + timedelta(days=int(text))
        return f"; looks like a spreadsheet's day number ({day.isoformat()})"
    return ""


def _date_advice(text: str, declared: str) -> str:
    if _spreadsheet_day(text):
        return _spreadsheet_day(text)
    if not declared and _DECLARED.fullmatch(text):
        return _DECLARE if "/" in text else _DECLARE_DOTS
    if re.fullmatch(r"\d{1,4}([./-])\d{1,2}\1\d{1,4}|(19|20)\d{6}", text, re.ASCII):
        return "; write the year first, with dashes and all its digits: 2026-05-01"
    if _DATE.match(text) and text[10:11] in ("T", " "):
        return "; write the day alone, without a time"
    return ""


def parse_date(text: str, declared: str = "") -> Parsed:
    """A date: YYYY-MM-DD, or the ``declared`` form (DD/MM/YYYY, MM/DD/YYYY or DD.MM.YYYY).

    In the declared form day and month may have one digit.
    """
    wanted = "expected a date YYYY-MM-DD" + (f" or {declared}" if declared else "")
    try:
        if _DATE.fullmatch(text):
            return ok(date.fromisoformat(text))
        written = _DECLARED.fullmatch(text) if declared else None
        if written and written[2] in declared:
            first, second, year = int(written[1]), int(written[3]), int(written[4])
            day, month = (first, second) if declared.startswith("DD") else (second, first)
            return ok(date(year, month, day))
    except ValueError:
        return no(f"{wanted}, got {shown(text)}{_NO_SUCH_DAY}")
    return no(f"{wanted}, got {shown(text)}{_date_advice(text, declared)}")


def _moment_advice(text: str, declared: str) -> str:
    if re.search(r"[0-9]\s?[zZ]$", text):
        return "; Z means UTC: write the camp's own clock time, without Z"
    if _spreadsheet_day(text.partition(".")[0]):
        return _spreadsheet_day(text.partition(".")[0])
    day, rest = _day_and_clock(text)
    if not declared and rest and _DECLARED.fullmatch(day):
        return _DECLARE if "/" in day else _DECLARE_DOTS
    return ""


def _day_and_clock(text: str) -> tuple[str, str]:
    """The parts of a text before and after its first blank or T; the latter may be empty."""
    parts = re.split("[T ]", text, maxsplit=1)
    return parts[0], parts[1] if len(parts) == 2 else ""


def _plain_minutes(text: str) -> bool:
    """Whether text has the marks of YYYY-MM-DD HH:MM, by far the most frequent form."""
    marks = len(text) == 16 and text[4] == text[7] == "-" and text[13] == ":"
    return marks and text[10] in "T " and text[11:13] != "24"


def parse_moment(text: str, declared: str = "") -> Parsed:
    """Local date and time, ISO 8601 with `T` or a blank; an offset is dropped, `Z` refused.

    The date may be in the ``declared`` form too, and its hour then have one digit.
    """
    if _plain_minutes(text):
        with suppress(ValueError):  # what is wrong with it is worded below
            return ok(datetime.fromisoformat(text))
    iso = text
    written, rest = _day_and_clock(text)
    if declared and rest and _DECLARED.fullmatch(written):
        day, problem, _ = parse_date(written, declared)
        hour = "0" if rest[1:2] == ":" else ""
        iso = text if problem else f"{day.isoformat()}T{hour}{rest}"
    moment = _MOMENT.fullmatch(iso)
    if moment:
        day_text, hour, minute, second, fraction = moment.groups()
        micro = int((fraction or "0")[:6].ljust(6, "0"))
        try:
            clock = time(int(hour), int(minute), int(second or 0), micro)
            return ok(datetime.combine(date.fromisoformat(day_text), clock))
        except ValueError:
            advice = "; there is no such time"
    else:
        advice = _moment_advice(text, declared)
    return no(f"expected a local time like 2026-05-01 21:30, got {shown(text)}{advice}")


def good_time_format(form: str) -> bool:
    """Whether a strptime format reads a day and a time of day."""
    probe = datetime(2026, 11, 23, 22, 47, tzinfo=UTC)
    try:
        read = datetime.strptime(probe.strftime(form), form)
        return read.replace(tzinfo=UTC) == probe
    except (ValueError, re.error):
        return False


def time_zone(name: str) -> tzinfo | None:
    """The time zone of an IANA name, None where there is none."""
    from zoneinfo import ZoneInfo

    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return None
