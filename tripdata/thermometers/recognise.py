"""Makes out a thermometer's file that nobody has described.

What the file does not say is not guessed: which number of a date is the day, which unit, which of
two columns. It is then named, and the lines to paste hold a question mark in its place.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import islice

from ..header import complete
from ..names import normalised, shown
from ..text import UnreadableError, decode, first_rows, split_lines
from .candidates import (
    SAMPLE,
    UnitSaid,
    is_temperature,
    temperature_columns,
    unit_said,
    why_no_temperature,
)
from .columns import positions, stem
from .logger import ColumnName, Logger
from .paste import logger_lines
from .readings import TEMPERATURES, Reading, file_readings
from .shape import Shape, find_shape
from .time_forms import time_forms

MOST_BYTES = 10_000_000
_HEADER_ALONE = "it has a header and no readings below it"
_NAME = "temperatures-new.csv"
_FAR_OUT = (-90.0, 150.0)
"""Beyond what any camp has, in either unit: the mark of a reading that failed."""


@dataclass(frozen=True, slots=True)
class ColumnMade:
    """One column of a file: number from 1, header, what it is taken for.

    ``role``: date, time, temperature, temperature? (one of several that may be) or empty.
    """

    number: int
    header: str
    role: str


@dataclass(frozen=True, slots=True)
class Recognised:
    """What was made of a file.

    ``plain``: it has the logbook's own columns, no description is needed. ``unit`` is c, f or,
    where the file does not say, empty; ``unit_named_by`` says where it is named. ``format``
    (strptime; "" for ISO) is empty too where several may be: these are ``formats``. ``loggers``
    are the descriptions that may be meant, one where nothing is open; ``readings`` are then all of
    them. ``possible`` are, where a column or the clock is open, those that read its times.
    ``first_rows`` are the cells of the first rows as they stand. ``questions`` are what the file
    does not say, ``lines`` what to paste into `tarebook.toml`, ``why_not`` why there are none.
    """

    plain: bool = False
    columns: tuple[ColumnMade, ...] = ()
    first_rows: tuple[tuple[str, ...], ...] = ()
    unit: str = ""
    unit_named_by: str = ""
    formats: tuple[str, ...] = ()
    skip_lines: int = 0
    missing: tuple[str, ...] = ()
    loggers: tuple[Logger, ...] = ()
    possible: tuple[Logger, ...] = ()
    readings: tuple[Reading, ...] = ()
    faulty: int = 0
    faults: tuple[str, ...] = ()
    questions: tuple[str, ...] = ()
    lines: str = ""
    why_not: str = ""

    @property
    def format(self) -> str:
        """The form of its times, where the file leaves no choice."""
        return self.formats[0] if len(self.formats) == 1 else ""


def recognise(content: bytes) -> Recognised:
    """What can be made of the content of a thermometer's file; never raises."""
    if len(content) > MOST_BYTES:
        limit = f"{MOST_BYTES // 1_000_000} MB"
        return Recognised(why_not=f"it is larger than {limit}, which no thermometer writes")
    try:
        lines = split_lines(decode(content))
    except UnreadableError as error:
        return Recognised(why_not=f"it {error}")
    if not any(map(str.strip, lines)):
        return Recognised(why_not="it is empty")
    if complete(TEMPERATURES, lines):
        read = file_readings(lines, _NAME, ())
        why_not = "" if read.readings else next(iter(read.faults), _HEADER_ALONE)
        return Recognised(
            plain=True,
            readings=read.readings,
            faulty=read.faulty,
            faults=read.faults,
            why_not=why_not,
        )
    shape = find_shape(lines)
    if shape is None:
        return Recognised(why_not=_no_shape(lines))
    return _made_of(lines, shape)


def _no_shape(lines: list[str]) -> str:
    """Why a file has no row that could be a reading."""
    filled = [line for line in lines if line.strip()]
    for header, _ in first_rows(filled[-1:]):
        cells = [cell.strip() for cell in header.cells if cell.strip()]
        words = len(cells) > 1 and not any(c.isdigit() for cell in cells for c in stem(cell))
        if words and (len(filled) == 1 or any(map(is_temperature, cells))):
            return _HEADER_ALONE
    return (
        "no row has a time, with its date, and a number alone in its cell; columns are set apart "
        "by comma, semicolon or tab"
    )


def _made_of(lines: list[str], shape: Shape) -> Recognised:
    open_ends: dict[str, str] = {}
    questions = []
    clocks = shape.clocks()
    local = [n for n in clocks if "local" in normalised(shape.names[n])]
    if len(local) == 1:
        shape = replace(shape, time=local[0])
    elif len(clocks) > 1:
        numbers = " or ".join(str(n + 1) for n in clocks)
        questions.append(f"Which column is the camp's time: {numbers}? The file does not say.")
        open_ends["time"] = f"{numbers}: the column of the camp's time, by its number"
    candidates = temperature_columns(shape)
    if not candidates:
        return replace(_described(shape, []), why_not=why_no_temperature(shape))
    position = candidates[0]
    if len(candidates) > 1:
        numbers = " or ".join(str(n + 1) for n in candidates)
        questions.append(f"Which column is the temperature: {numbers}? The file does not say.")
        open_ends["temperature"] = f"{numbers}: the column of the temperature, by its number"
    of_each = {unit_said(lines, shape, n) for n in candidates}
    refused = next((each.why_not for each in of_each if each.why_not), "")
    if refused:
        return replace(_described(shape, candidates), why_not=refused)
    named = of_each.pop() if len(of_each) == 1 else UnitSaid()
    unit, named_by = named.unit, named.named_by
    if not unit:
        questions.append("Which unit? The file does not name one, or it names several.")
        open_ends["unit"] = '"c" or "f": the file does not say'
    rows = [row for row in shape.rows if shape.number(shape.cell(row, position)) is not None]
    texts = [shape.when(row) for row in rows[:SAMPLE]]
    utc = bool(texts) and all(text[-1:] in "zZ" for text in texts)
    formats = time_forms([text[:-1].strip() for text in texts] if utc else texts)
    if not formats:
        return replace(_described(shape, candidates), why_not="the form of its times is not known")
    if utc:
        questions.append("Its times are UTC: how did the camp's clock stand to that?")
        open_ends["utc_offset"] = 'the camp\'s clock against UTC, such as "+02:00"'
        formats = tuple(form and form + "%z" for form in formats)
    if len(formats) > 1:
        questions.append(_which_day(formats, texts))
        open_ends["format"] = " or ".join(f'"{form}"' for form in formats)
    missing = _marks(shape, position)
    loggers = [
        _logger(shape, position, each, form, missing)
        for each in ([unit] if unit else ["c", "f"])
        for form in formats
    ]
    made = replace(
        _described(shape, candidates),
        unit=unit,
        unit_named_by=named_by,
        formats=formats,
        skip_lines=loggers[0].skip_lines,
        missing=missing,
        questions=tuple(questions),
        lines=logger_lines(loggers[0], open_ends),
    )
    if {"time", "temperature", "utc_offset"} & open_ends.keys():
        clocks = clocks if "time" in open_ends else [shape.time]
        possible = [_by_its_clock(shape, n, position, missing) for n in clocks]
        return replace(made, possible=tuple(each for several in possible for each in several))
    reads = [file_readings(lines, _NAME, (each,)) for each in loggers]
    able = [n for n, read in enumerate(reads) if read.readings]
    if not able:
        why = next(iter(reads[0].faults), "no row of it can be read")
        return replace(made, lines="", questions=(), why_not=why)
    if len(loggers) > 1:
        return replace(made, loggers=tuple(loggers[n] for n in able))
    (read,) = reads
    return replace(
        made,
        loggers=tuple(loggers),
        readings=read.readings,
        faulty=read.faulty,
        faults=read.faults,
    )


def _by_its_clock(
    shape: Shape, clock: int, position: int, missing: tuple[str, ...]
) -> list[Logger]:
    """Descriptions that read the times of one column, those of UTC as they stand."""
    own = replace(shape, time=clock)
    texts = [own.when(row) for row in own.rows[:SAMPLE]]
    utc = bool(texts) and all(text[-1:] in "zZ" for text in texts)
    forms = time_forms([text[:-1].strip() for text in texts] if utc else texts)
    loggers = [
        _logger(own, position, "c", form + "%z" * bool(form and utc), missing) for form in forms
    ]
    return [replace(each, utc_offset=0.0 if utc else None) for each in loggers]


def _described(shape: Shape, candidates: Sequence[int]) -> Recognised:
    """The columns and the first rows, whatever else is known."""
    role = "temperature" if len(candidates) == 1 else "temperature?"
    roles = {shape.time: "time"} | dict.fromkeys(candidates, role)
    if shape.date is not None:
        roles[shape.date] = "date"
    columns = tuple(ColumnMade(n + 1, name, roles.get(n, "")) for n, name in enumerate(shape.names))
    first = tuple(tuple(map(str.strip, row.cells)) for row in islice(shape.rows, 3))
    return Recognised(columns=columns, first_rows=first)


def _marks(shape: Shape, position: int) -> tuple[str, ...]:
    """What stands in the column where there is no reading."""
    texts = dict.fromkeys(shape.cell(row, position) for row in shape.rows)
    marks: dict[str, None] = {}
    for text in filter(None, texts):
        number = shape.number(text)
        if number is None:
            # With a digit in it, it may be a reading that is written otherwise.
            if not any(c.isdigit() for c in text):
                marks[text] = None
        elif not _FAR_OUT[0] < number < _FAR_OUT[1]:
            marks[f"{number:g}"] = None
    good = len(marks) <= 3 and all(mark.isprintable() and len(mark) <= 20 for mark in marks)
    return tuple(marks) if good else ()


def _logger(shape: Shape, position: int, unit: str, form: str, missing: tuple[str, ...]) -> Logger:
    header = shape.header
    above = header.line if header else shape.rows[0].line
    return Logger(
        time=_column(shape, shape.time),
        temperature=_column(shape, position),
        date=None if shape.date is None else _column(shape, shape.date),
        unit=unit,
        format=form,
        skip_lines=above - 1,
        header=header is not None,
        missing=missing,
        title="[[logger]]",
    )


def _column(shape: Shape, position: int) -> ColumnName:
    """How a column is best named: by what of its header does not change, else by its number."""
    names = shape.names
    name = stem(names[position])
    sure = name.isprintable() and len(name) <= 80 and positions(name, names) == [position]
    return name if sure and normalised(name) else position + 1


def _which_day(formats: Sequence[str], texts: Sequence[str]) -> str:
    words = {"d": "day", "m": "month", "y": "year"}
    orders = [
        ", ".join(words[c.lower()] for c in form if c in "dmyY" and c.lower() in words)
        if "%b" not in form and "%B" not in form
        else form
        for form in formats
    ]
    return (
        f"Is {shown(texts[0])} written {' or '.join(orders)}? The dates of the file allow for "
        "either, and nothing is guessed."
    )
