"""A CSV file that is changed cell by cell: what is not changed keeps its very bytes."""

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from itertools import islice

from ..names import shown
from ..text import Record, decoded, records

_END = re.compile(r"\r\n|\r|\n")
_MOST_LINES = 500
_LONGEST_CELL = 20_000
"""What a cell that is written may hold: the reader takes 2,000 lines a row, and a line of 100,000
characters."""
_ENCODINGS = {"cp1252": "Windows-1252", "utf-16": "UTF-16"}


class UnwritableError(Exception):
    """A cell or row cannot be written as it should; the message says why."""


class Sheet:
    """The text of a file as physical lines with their own ends, and what is to become of it.

    Lines count from 1, as in records and messages.
    """

    def __init__(self, data: bytes, delimiter: str) -> None:
        text, self._encoding = decoded(data)
        self._bom = data[:2] if self._encoding == "utf-16" else b""
        self._delimiter = delimiter
        self._ends = _END.findall(text)
        self._lines = _END.split(text)
        if not self._lines[-1]:
            self._lines.pop()
        self._ends += [""] * (len(self._lines) - len(self._ends))
        counted = Counter(filter(None, self._ends)).most_common(1)
        self._usual_end = counted[0][0] if counted else "\n"
        self._records: dict[int, Record] = {}
        self._cells: dict[int, list[str]] = {}
        self._changed: set[int] = set()
        self._spans: dict[int, int] = {}
        self._removed: set[int] = set()
        self._added: dict[int, list[str]] = {}

    def record(self, line: int) -> Record:
        """The record that begins on a line, as the reader takes it."""
        if line not in self._records:
            self._records[line] = next(records(self._lines, self._delimiter, line - 1))
        return self._records[line]

    def _raw(self, line: int) -> list[str]:
        """The cells of a record as they stand, with their quotation marks."""
        if line not in self._cells:
            record = self.record(line)
            count = record.raw.count("\n") + 1
            parts = [self._lines[at] + self._ends[at] for at in range(line - 1, line - 1 + count)]
            parts[-1] = self._lines[line - 2 + count]
            cells = _split("".join(parts), self._delimiter)
            if record.fault or [_plain(cell) for cell in cells] != record.cells:
                raise UnwritableError(
                    f"line {line} is written so that no cell of it can be changed"
                )
            self._cells[line], self._spans[line] = cells, count
        return self._cells[line]

    def cells(self, line: int) -> list[str]:
        """The cells of a record, trimmed."""
        return [_plain(cell).strip() for cell in self._raw(line)]

    def set_cell(self, line: int, position: int, text: str) -> None:
        """Write a cell; a record that ends before it is made as long."""
        cells = self._raw(line)
        cells += [""] * (position + 1 - len(cells))
        quoted = cells[position].startswith('"')
        cells[position] = self._cell(text, quoted)
        self._changed.add(line)

    def width(self, line: int) -> int:
        """How many cells a record has."""
        return len(self._raw(line))

    def remove(self, line: int) -> None:
        """Take a record out, with its line."""
        self._raw(line)
        self._removed.add(line)

    def add(self, after: int, cells: Mapping[int, str], width: int) -> None:
        """Put a new row below the record on line ``after``, with as many cells as the header."""
        self._raw(after)
        wide = max(width, max(cells, default=0) + 1)
        row = [self._cell(cells.get(place, ""), False) for place in range(wide)]
        if wide == 1 and not row[0]:
            raise UnwritableError("a row without a single filled cell cannot be written")
        self._added.setdefault(after, []).append(self._delimiter.join(row))

    def last_record(self, first: int) -> int:
        """The line of the last record with anything in it, from line index ``first`` on, or 0."""
        last = 0
        for record in records(self._lines, self._delimiter, first):
            if not record.fault and any(map(str.strip, record.cells)):
                last = record.line
        return last

    def sample(self, first: int, most: int | None, places: Sequence[int]) -> list[str]:
        """The filled cells at some places of the first records from line index ``first`` on.

        ``most``: None for all of them.
        """
        rows = islice(records(self._lines, self._delimiter, first), most)
        cells = (row.cells[at].strip() for row in rows for at in places if at < len(row.cells))
        return [cell for cell in cells if cell]

    def _cell(self, text: str, quoted: bool) -> str:
        if "\0" in text:
            raise UnwritableError(f"{shown(text)} holds a NUL character, which no text file can")
        if text.count("\n") >= _MOST_LINES or len(text) > _LONGEST_CELL:
            raise UnwritableError(
                f"{shown(text[:60])} and so on is too long; a cell takes {_MOST_LINES:,} lines and "
                f"{_LONGEST_CELL:,} characters"
            )
        text = text.replace("\n", self._usual_end)
        special = (self._delimiter, '"', "\r", "\n")
        if quoted or any(mark in text for mark in special):
            return '"' + text.replace('"', '""') + '"'
        return text

    def data(self) -> bytes:
        """The bytes of the file as it is to be. Raises UnwritableError where it cannot be."""
        out: list[tuple[str, str]] = []
        at = 1
        while at <= len(self._lines):
            count = self._spans.get(at, 1)
            end = self._ends[at - 2 + count]
            if at in self._changed and at not in self._removed:
                out.append((self._delimiter.join(self._cells[at]), end))
            elif at not in self._removed:
                span = slice(at - 1, at - 1 + count)
                out += zip(self._lines[span], self._ends[span], strict=True)
            out += [(row, end) for row in self._added.get(at, ())]
            at += count
        # Below a last line without an end another may stand now.
        ended = [text + (end or self._usual_end) for text, end in out[:-1]]
        return self._encoded("".join([*ended, *map("".join, out[-1:])]))

    def _encoded(self, text: str) -> bytes:
        encoding = self._encoding
        if encoding == "utf-16":
            encoding = "utf-16-le" if self._bom == b"\xff\xfe" else "utf-16-be"
        try:
            return self._bom + text.encode(encoding)
        except UnicodeEncodeError as error:
            bad, known = text[error.start], _ENCODINGS.get(self._encoding, "UTF-8")
            raise UnwritableError(
                f"its encoding, {known}, has no {shown(bad)}; save the file as CSV UTF-8, or leave "
                "that character out"
            ) from error


def new_sheet(header: Sequence[str]) -> Sheet:
    """The sheet of a file that is not there yet, with its header."""
    return Sheet((",".join(header) + "\n").encode(), ",")


def _plain(cell: str) -> str:
    """A cell as the reader takes it."""
    text = cell[1:-1].replace('""', '"') if cell.startswith('"') else cell
    return _END.sub("\n", text)


def _split(raw: str, delimiter: str) -> list[str]:
    """The cells of a record with their quotation marks; joined they are the record."""
    cells, at = [], 0
    while True:
        start = at
        if raw.startswith('"', at):
            at += 1
            while (at := raw.find('"', at)) >= 0 and raw.startswith('""', at):
                at += 2
            if at < 0:
                raise UnwritableError("a quotation mark in it is not closed")
            at += 1
        end = raw.find(delimiter, at)
        cells.append(raw[start:] if end < 0 else raw[start:end])
        if end < 0:
            return cells
        at = end + 1
