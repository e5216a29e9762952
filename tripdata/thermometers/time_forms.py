"""In which forms the times of a file may be read, without guessing between day and month."""

import re
from collections.abc import Iterator, Sequence
from contextlib import suppress
from datetime import datetime, timedelta

from ..moments import parse_moment

_DATE = (
    r"(?:\d{4}([-/.])\d{1,2}\1\d{1,2}|\d{1,2}([-/.])\d{1,2}\2(?:\d{4}|\d{2})"
    r"|\d{1,2}([-/. ])[A-Za-z]{3,9}\3(?:\d{4}|\d{2})|(?:19|20)\d{6})"
)
_CLOCK = r"\d{1,2}:\d{2}(?::\d{2}(?:\.\d{1,6})?)?(?: ?[AaPp][Mm])?"
_DOTTED_CLOCK = r"\d{1,2}\.\d{2}\.\d{2}"
_OFFSET = r"(?: ?(?:[Zz]|[+-]\d{2}:?\d{2}))?"
_LONGEST = 40
_MOST_TEXTS = 20_000
_MOST_DAYS = 400
"""A trip is not longer: a reading of the dates that makes a log last longer gives way to one that
does not."""


def _full(pattern: str) -> re.Pattern[str]:
    return re.compile(pattern, re.ASCII)


_DATES, _CLOCKS = _full(_DATE), _full(f"(?:{_CLOCK}|{_DOTTED_CLOCK}){_OFFSET}")
_PARTS = _full(rf"(.+?)(T|,? {{1,3}})((?:{_CLOCK}|{_DOTTED_CLOCK}))({_OFFSET})")


def is_moment(text: str) -> bool:
    """Whether a cell holds a date and a time of day."""
    parts = _PARTS.fullmatch(text) if len(text) <= _LONGEST else None
    return parts is not None and is_date(parts[1])


def is_date(text: str) -> bool:
    """Whether a cell holds a date alone; 18.00.00 is a time."""
    return len(text) <= _LONGEST and _DATES.fullmatch(text) is not None and any(_read_date(text))


def is_clock(text: str) -> bool:
    """Whether a cell holds a time of day alone."""
    return len(text) <= _LONGEST and _CLOCKS.fullmatch(text) is not None


def _read_date(text: str) -> Iterator[bool]:
    for form in _date_forms(text):
        with suppress(ValueError):
            datetime.strptime(text, form)
            yield True


def _date_forms(text: str) -> tuple[str, ...]:
    """The forms of which a date may be.

    With dots the day stands before the month (common practice, no published source).
    """
    if re.fullmatch(r"\d{8}", text, re.ASCII):
        return ("%Y%m%d",)
    sign = next((c for c in text if c in "-/. "), "")
    parts = text.split(sign) if sign else [text]
    if len(parts) != 3:
        return ()
    first, middle, last = parts
    if middle.isalpha():
        year = "%Y" if len(last) == 4 else "%y"
        return tuple(sign.join(("%d", month, year)) for month in ("%b", "%B"))
    if len(first) == 4:
        return (sign.join(("%Y", "%m", "%d")),)
    year = "%Y" if len(last) == 4 else "%y"
    orders = [("%d", "%m", year)]
    if sign != ".":
        orders.append(("%m", "%d", year))
    if year == "%y":
        orders.append(("%y", "%m", "%d"))
    return tuple(sign.join(order) for order in orders)


def _forms(text: str) -> Iterator[str]:
    """The forms of which a date and a time, with a blank between, may be."""
    parts = _PARTS.fullmatch(text)
    if parts is None:
        return
    date, join, clock, offset = parts[1], parts[2], parts[3], parts[4]
    half = clock[-1:] in "mM"
    sign = ":" if ":" in clock else "."
    hour = "%I" if half else "%H"
    bare = clock[:-2].strip() if half else clock
    seconds = bare.count(sign) == 2
    form = sign.join([hour, "%M", "%S"][: 3 if seconds else 2])
    form += ".%f" if sign == ":" and "." in bare else ""
    form += (" %p" if " " in clock else "%p") if half else ""
    form += (" %z" if offset.startswith(" ") else "%z") if offset else ""
    for day in _date_forms(date):
        yield day + re.sub(" +", " ", join) + form


def time_forms(texts: Sequence[str]) -> tuple[str, ...]:
    """The forms (strptime; "" for ISO) that read as many of the texts as any: one where it is sure.

    Several where the file does not say which number is the day; none where nothing reads them.
    """
    distinct = list(dict.fromkeys(texts[:_MOST_TEXTS]))
    if distinct and all(not parse_moment(text)[1] for text in distinct):
        return ("",)
    candidates = dict.fromkeys(form for text in distinct[:50] for form in _forms(text))
    read = {form: _read(distinct, form) for form in candidates}
    most = max((len(days) for days in read.values()), default=0)
    if most == 0:
        return ()
    best = {form: days for form, days in read.items() if len(days) == most}
    short = [f for f, days in best.items() if max(days) - min(days) <= timedelta(_MOST_DAYS)]
    likely = short or list(best)
    # In May, short and long names of months are alike; 05/05 says nothing of the next file.
    return tuple(f for f in likely if "%B" not in f or f.replace("%B", "%b") not in likely)


def _read(texts: Sequence[str], form: str) -> list[datetime]:
    days = []
    for text in texts:
        with suppress(ValueError):
            days.append(datetime.strptime(text, form).replace(tzinfo=None))
    return days
