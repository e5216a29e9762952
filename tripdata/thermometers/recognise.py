"""Makes out a thermometer's file that nobody has described.

What the file does not say is not guessed: which number of a date is the day, which unit, which of
two columns. It is then named, and the lines to paste hold a question mark in its place.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import islice, pairwise

from ..header import complete
from ..names import normalised, shown
from ..numbers import plain_number
from ..text import UnreadableError, decode, first_rows, split_lines
from .columns import positions, stem
from .logger import ColumnName, Logger
from .paste import logger_lines
from .readings import TEMPERATURES, Reading, file_readings
from .shape import Shape, find_shape
from .time_forms import time_forms
from .unit_columns import UnitsBeside, column_texts, says_unit, units_beside
from .units_named import named_units, signed_units

MOST_BYTES = 10_000_000
_HEADER_ALONE = "it has a header and no readings below it"
_NAME = "temperatures-new.csv"
_SAMPLE = 5_000
_ENOUGH = 10
_WORDS = ("temp", "celsius", "fahrenheit")
_OTHER_QUANTITY = {"dew", "dewpoint", "humidity", "rh", "heat", "wind", "chill", "wet", "bulb"} | {
    *("limit", "alarm", "max", "min", "high", "low", "battery", "index", "internal")
}
_BARE = {"value", "values", "reading", "readings", "measurement", "measured", "data", "sensor"} | {
    *("probe", "channel", "ch", "wert", "messwert", "valeur", "valor", "valore", "waarde")
}
"""Names of a column that say nothing of what is in it."""
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
    them. ``first_rows`` are the cells of the first rows as they stand. ``questions`` are what the
    file does not say, ``lines`` what to paste into `tarebook.toml`, ``why_not`` why there are none.
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
        if words and (len(filled) == 1 or any(map(_is_temperature, cells))):
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
    candidates = _temperatures(shape)
    if not candidates:
        return replace(_described(shape, []), why_not=_no_temperature(shape))
    position = candidates[0]
    if len(candidates) > 1:
        numbers = " or ".join(str(n + 1) for n in candidates)
        questions.append(f"Which column is the temperature: {numbers}? The file does not say.")
        open_ends["temperature"] = f"{numbers}: the column of the temperature, by its number"
    of_each = {_unit(lines, shape, n) for n in candidates}
    refused = next((each.why_not for each in of_each if each.why_not), "")
    if refused:
        return replace(_described(shape, candidates), why_not=refused)
    named = of_each.pop() if len(of_each) == 1 else _Unit()
    unit, named_by = named.unit, named.named_by
    if not unit:
        questions.append("Which unit? The file does not name one, or it names several.")
        open_ends["unit"] = '"c" or "f": the file does not say'
    rows = [row for row in shape.rows if shape.number(shape.cell(row, position)) is not None]
    texts = [shape.when(row) for row in rows[:_SAMPLE]]
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
        return made
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


def _described(shape: Shape, candidates: Sequence[int]) -> Recognised:
    """The columns and the first rows, whatever else is known."""
    role = "temperature" if len(candidates) == 1 else "temperature?"
    roles = {shape.time: "time"} | dict.fromkeys(candidates, role)
    if shape.date is not None:
        roles[shape.date] = "date"
    columns = tuple(ColumnMade(n + 1, name, roles.get(n, "")) for n, name in enumerate(shape.names))
    first = tuple(tuple(map(str.strip, row.cells)) for row in islice(shape.rows, 3))
    return Recognised(columns=columns, first_rows=first)


def _no_temperature(shape: Shape) -> str:
    """Why no column can be the temperature."""
    named = [n for n, name in enumerate(shape.names) if _is_temperature(name)]
    cells = [shape.cell(row, n) for n in named for row in shape.rows[:_SAMPLE]]
    if shape.delimiter == "," and any(plain_number(cell, True) for cell in cells if "," in cell):
        return (
            "its numbers have a decimal comma, and commas part its columns, too; export it with "
            "semicolons"
        )
    return "none of its columns can be a temperature by its name and its cells"


@dataclass(frozen=True, slots=True)
class _Unit:
    """The unit that a file names, c or f, and where; else empty. ``why_not``: it is not read."""

    unit: str = ""
    named_by: str = ""
    why_not: str = ""


def _numeric(shape: Shape) -> list[int]:
    """The columns, apart from those of the time, in which most filled cells hold numbers."""
    rows, numeric = shape.rows[:_SAMPLE], []
    for n in range(len(shape.names)):
        filled = [text for row in rows if (text := shape.cell(row, n))]
        numbers = sum(shape.number(text) is not None for text in filled)
        if n not in (shape.date, shape.time) and numbers and numbers * 2 >= len(filled):
            numeric.append(n)
    return numeric


def _temperatures(shape: Shape) -> list[int]:
    """The columns that may be the temperature, those of one name included."""
    numeric = _numeric(shape)
    if shape.header is None:
        return [n for n in numeric if not _counts(shape, n)]
    named = [n for n in numeric if _is_temperature(shape.names[n])]
    if not named:
        return _unnamed(shape, numeric)
    plain = [n for n in named if not _of_other_quantity(shape.names[n])]
    celsius = [n for n in plain or named if named_units(shape.names[n]) == {"c"}]
    return celsius if len(celsius) == 1 else plain or named


def _unnamed(shape: Shape, numeric: Sequence[int]) -> list[int]:
    """The columns that may be the temperature where no header says so: by the units beside them.

    Without any, those whose header does not say what they hold.
    """
    plain = [n for n in numeric if not _of_other_quantity(shape.names[n])]
    free = [n for n in plain if not _counts(shape, n)]
    beside = {n: _beside(shape, n) for n in free}
    good = [n for n, units in beside.items() if units is not None]
    bare = [n for n in good if _is_bare(shape.names[n])]
    return bare or good or [n for n in free if _is_bare(shape.names[n])]


def _is_bare(name: str) -> bool:
    words = normalised(stem(name)).split("_")
    return all(word in _BARE or word.isdecimal() or not word for word in words)


def _beside(shape: Shape, position: int) -> UnitsBeside | None:
    """What the rows name as the unit of a column."""
    others = [n for n in range(len(shape.names)) if n not in (shape.date, shape.time, position)]
    rows = [row.cells for row in shape.rows if shape.number(shape.cell(row, position)) is not None]
    return units_beside(shape.names, column_texts(rows, others), position, len(rows))


def _is_temperature(name: str) -> bool:
    words = normalised(name).split("_")
    return bool(
        named_units(name) & {"c", "f"}
        or words[0] == "t"
        or any(word.startswith(_WORDS) for word in words)
    )


def _of_other_quantity(name: str) -> bool:
    return not _OTHER_QUANTITY.isdisjoint(normalised(stem(name)).split("_"))


def _counts(shape: Shape, position: int) -> bool:
    """Whether a column only numbers the rows, which a few rows cannot show."""
    numbers = [shape.number(shape.cell(row, position)) for row in shape.rows[:_SAMPLE]]
    known = [n for n in numbers if n is not None]
    steps = [b - a for a, b in pairwise(known)]
    rising = len(steps) >= _ENOUGH and set(steps) <= {0.0, 1.0}
    return rising and sum(steps) > 0.9 * len(steps) and all(n == int(n) for n in known)


def _unit(lines: list[str], shape: Shape, position: int) -> _Unit:
    """The unit that the file names and where; of one that names several, or K, why it is not read.

    Where only the header names several, they may be those of other columns.
    """
    beside = _beside(shape, position)
    if beside is not None and beside.mixed:
        return _Unit(why_not=f"{beside.mixed}; have the thermometer write one")
    own, by_rows = named_units(shape.names[position]), set(beside.rows) if beside else set()
    if beside is not None and own and not own & by_rows:
        header, cell = shown(shape.names[position]), shown(next(iter(beside.cells.values())))
        return _Unit(why_not=f"its header names {header} and its rows {cell} as the unit")
    above = lines[: shape.rows[0].line - 1]
    for where, units in (
        ("the header of the column", own),
        (_named_in(shape, beside), by_rows),
        ("the header", {u for name in shape.names for u in signed_units(name)}),
        ("the lines above", signed_units("\n".join(above))),
    ):
        if units == {"k"}:
            return _Unit(why_not="it is in K; have the thermometer write °C or °F")
        if units:
            (unit,) = units if len(units) == 1 else ("",)
            return _Unit(unit, where) if unit in ("c", "f") else _Unit()
    return _Unit()


def _named_in(shape: Shape, beside: UnitsBeside | None) -> str:
    """Where the rows name their unit."""
    header = shape.names[beside.column] if beside else ""
    return f"its column {shown(header)}" if says_unit(header) else "the cells beside it"


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
