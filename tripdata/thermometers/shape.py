"""How the lines of a thermometer's file are laid out: delimiter, header, columns of time."""

from collections import Counter
from dataclasses import dataclass
from itertools import islice

from ..numbers import plain_number
from ..text import Record, first_rows, records
from .time_forms import is_clock, is_date, is_moment

_LOOKED_THROUGH = 1_200
_Place = tuple[int | None, int]
"""Where the date stands, None where it stands with the time, and the time; from 0."""


@dataclass(frozen=True, slots=True)
class Shape:
    """The layout of a file by its content alone; positions count from 0."""

    delimiter: str
    header: Record | None
    rows: tuple[Record, ...]
    date: int | None
    time: int

    @property
    def names(self) -> list[str]:
        """The header's cells, blank ones where there is no header; as many as a row has."""
        cells = [cell.strip() for cell in self.header.cells] if self.header else []
        return cells + [""] * (max(len(row.cells) for row in self.rows) - len(cells))

    def cell(self, row: Record, position: int) -> str:
        """The text of a cell, blank where a row is too short."""
        return row.cells[position].strip() if position < len(row.cells) else ""

    def clocks(self) -> list[int]:
        """Every column in which date and time stand together."""
        first = self.rows[0]
        return [n for n in range(len(first.cells)) if is_moment(self.cell(first, n))]

    def when(self, row: Record) -> str:
        """Date and time of a row."""
        time = self.cell(row, self.time)
        return time if self.date is None else f"{self.cell(row, self.date)} {time}"

    def number(self, text: str) -> float | None:
        """The number that a cell holds, None where it holds none."""
        plain = plain_number(text, self.delimiter != "," and "," in text)
        return float(plain) if plain is not None else None


def find_shape(lines: list[str]) -> Shape | None:
    """The layout of a file in which rows have a time and a number; None where none has."""
    best: tuple[int, int, Shape | None] = (0, 0, None)
    for first, delimiter in first_rows(lines):
        rows = list(islice(records(lines, delimiter, first.line - 1), _LOOKED_THROUGH))
        places = [_place(row) for row in rows]
        counts = Counter(p for p, row in zip(places, rows, strict=True) if p and _numbers(row, p))
        if not counts:
            continue
        place, count = counts.most_common(1)[0]
        at = next(n for n, row in enumerate(rows) if places[n] == place and _numbers(row, place))
        width = len(rows[at].cells)
        while at and places[at - 1] == place and len(rows[at - 1].cells) == width:
            at -= 1
        if (count, width) > best[:2]:
            header = rows[at - 1] if at and _is_header(rows[at - 1], place) else None
            every = records(lines, delimiter, rows[at].line - 1)
            body = tuple(row for row in every if not row.fault and _has_time(row, place[1]))
            best = count, width, Shape(delimiter, header, body, *place)
    return best[2]


def _place(row: Record) -> _Place | None:
    """Where the time of a row stands, None where it has none."""
    cells = [cell.strip() for cell in row.cells[:200]]
    whole = next((n for n, cell in enumerate(cells) if is_moment(cell)), None)
    if whole is not None:
        return None, whole
    date = next((n for n, cell in enumerate(cells) if is_date(cell)), None)
    clock = next((n for n, cell in enumerate(cells) if n != date and is_clock(cell)), None)
    return None if date is None or clock is None else (date, clock)


def _has_time(row: Record, position: int) -> bool:
    """Whether a row has digits where the time stands, which a note at the end has not."""
    return len(row.cells) > position and any(c.isdigit() for c in row.cells[position])


def _numbers(row: Record, place: _Place) -> bool:
    cells = [cell.strip() for n, cell in enumerate(row.cells) if n not in place]
    return any(plain_number(cell, "," in cell) is not None for cell in cells)


def _is_header(row: Record, place: _Place) -> bool:
    """Whether the row above the readings names their columns."""
    cells = [cell.strip() for cell in row.cells]
    words = [cell for cell in cells if cell and plain_number(cell, "," in cell) is None]
    return not row.fault and len(words) > 1 and len(cells) > place[1] and _place(row) is None
