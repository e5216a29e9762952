"""From the bytes of a CSV file to records: encoding, delimiter, physical lines.

A record is a list of cells and the physical line on which it begins. A quote that is never closed,
or closed in the middle of a cell, costs its own line only: reading goes on with the next one.
"""

import csv
from collections.abc import Iterator
from contextlib import suppress
from typing import NamedTuple

from .names import normalised

DELIMITERS = (",", ";", "\t")
LONGEST_LINE = 100_000
"""Characters in one line, and lines in one quoted cell's reach: more is a fault, not a row."""
_LONGEST_RECORD_LINES = 2_000


class UnreadableError(Exception):
    """The file is not text in one of the known encodings; the message says why."""


class Record(NamedTuple):
    """One record as it stands in the file; ``fault`` says why its cells cannot be told apart."""

    line: int
    cells: list[str]
    raw: str
    fault: str = ""


def decoded(data: bytes) -> tuple[str, str]:
    """Text of a file with its line ends as they are, and its encoding.

    The encoding is utf-8-sig (with BOM), utf-8, utf-16 (with BOM) or cp1252. Raises UnreadableError
    on NUL bytes without a BOM and on bytes that no encoding explains.
    """
    encodings = ["utf-8-sig" if data.startswith(b"\xef\xbb\xbf") else "utf-8", "cp1252"]
    fault = "is neither UTF-8, UTF-16 nor Windows-1252 text; save it as CSV UTF-8"
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        encodings, fault = ["utf-16"], "looks like UTF-16 but is damaged; save it again"
    elif b"\0" in data:
        raise UnreadableError("is not a text file (it holds NUL bytes); export it as CSV again")
    for encoding in encodings:
        with suppress(UnicodeDecodeError):
            text = data.decode(encoding)
            break
    else:
        raise UnreadableError(fault)
    if "\0" in text:
        raise UnreadableError("is not a text file (it holds NUL characters); export it again")
    return text, encoding


def decode(data: bytes) -> str:
    """Text of a file: UTF-8 with or without BOM, UTF-16 with BOM, else Windows-1252.

    Raises UnreadableError on NUL bytes without a BOM and on bytes that no encoding explains.
    Line ends come out as LF.
    """
    text, _ = decoded(data)
    return text.replace("\r\n", "\n").replace("\r", "\n")


def split_lines(text: str) -> list[str]:
    """The physical lines of decoded text, without their ends; no empty one after the last."""
    lines = text.split("\n")
    if lines and not lines[-1]:
        lines.pop()
    return lines


def records(lines: list[str], delimiter: str, start: int = 0) -> Iterator[Record]:
    """Records from line index ``start`` on; blank lines are no records and are passed over."""
    at, count = start, len(lines)
    while at < count:
        line = lines[at]
        if '"' not in line:
            if len(line) > LONGEST_LINE:
                yield Record(at + 1, [], line, _too_long(line))
            elif line and not line.isspace():
                yield Record(at + 1, line.split(delimiter), line)
            at += 1
            continue
        record, used = _quoted(lines, at, delimiter)
        yield record
        at += used


def _too_long(line: str) -> str:
    return (
        f"expected a row, got a line of {len(line):,} characters; "
        "are the line ends lost, or is this another kind of file?"
    )


def _quoted(lines: list[str], at: int, delimiter: str) -> tuple[Record, int]:
    if len(lines[at]) > LONGEST_LINE:
        return Record(at + 1, [], lines[at], _too_long(lines[at])), 1
    reach = range(at, min(at + _LONGEST_RECORD_LINES, len(lines)))
    reader = csv.reader((lines[i] + "\n" for i in reach), delimiter=delimiter, strict=True)
    try:
        cells = next(reader)
    except (csv.Error, StopIteration):
        fault = "a quote opens here and is not closed before the next cell; close or remove it"
        return Record(at + 1, [], lines[at], fault), 1
    used = reader.line_num
    return Record(at + 1, cells, "\n".join(lines[at : at + used])), used


def header_row(lines: list[str], known: set[str], start: int = 0) -> tuple[Record | None, str]:
    """The header record and the delimiter that gives it the most known columns.

    ``known`` holds normalised column names. A first line `sep=;` is obeyed. The record is None
    where there is no line with anything on it.
    """
    best: tuple[int, Record | None, str] = (-1, None, ",")
    for record, delimiter in first_rows(lines, start):
        hits = sum(normalised(cell) in known for cell in record.cells)
        if hits > best[0]:
            best = (hits, record, delimiter)
    return best[1], best[2]


def first_rows(lines: list[str], start: int = 0) -> Iterator[tuple[Record, str]]:
    """The first record with anything on it, as each delimiter gives it; `sep=;` is obeyed."""
    start, declared = _separator(lines, start)
    while start < len(lines) and not lines[start].strip(_NOTHING + declared):
        start += 1
    for delimiter in (declared,) if declared else DELIMITERS:
        record = next(records(lines, delimiter, start), None)
        if record is not None:
            yield record, delimiter


_NOTHING = ' ,;\t"\u00a0'


def _separator(lines: list[str], start: int) -> tuple[int, str]:
    """Index of the line after a first line `sep=;` and what it declares, if anything."""
    if start >= len(lines) or not lines[start].lower().startswith("sep="):
        return start, ""
    declared = lines[start][4:].strip(" ")
    if len(declared) > 2:  # a header that begins so
        return start, ""
    good = len(declared) == 1 and not declared.isalnum() and declared != '"'
    return start + 1, declared if good else ""


def header_end(lines: list[str], header: Record) -> int:
    """Index of the first line below the header record."""
    return header.line - 1 + header.raw.count("\n") + 1
