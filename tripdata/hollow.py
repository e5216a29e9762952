"""Lines that hold nothing: separators and blanks alone, as spreadsheets leave them by the million.

They are no records wherever they stand. Those of a large file are taken out or emptied while it is
still bytes, so that what is read costs what is written in it. The number of a line stays what it
is: of those that stand before others the line end is kept.
"""

import re

from .text import LONGEST_LINE

_MANY = 1_000
"""Fewer at the end of a file cost little where they are."""
_RUN = re.compile(rb"(?m)(?:^[,;\t ]*+\r?\n){8,}+")
_SHORT = 16
"""Bytes a line, on average: in a file of longer ones hollow lines are not what it costs."""
_FILLING = b",;\t \r\n"
_UTF_16 = (b"\xff\xfe", b"\xfe\xff")


def without_hollow_lines(data: bytes) -> bytes:
    """The bytes of a file without the many hollow lines at its end, others emptied.

    A file of two bytes a character, or one with a quotation mark, in which such a line may be a
    part of a cell, comes back as it is.
    """
    if data.startswith(_UTF_16) or b'"' in data:
        return data
    written = len(data.rstrip(_FILLING))
    if data.count(b"\n", written) > _MANY:
        end = data.find(b"\n", written)
        data = data[: end + 1]
    short = len(data) < _SHORT * data.count(b"\n")
    return _RUN.sub(_emptied, data) if short else data


def without_empty_lines(data: bytes) -> bytes:
    """UTF-8 data without empty lines, but for its first ones, where the header may be.

    For a reader that passes over empty lines, as long as there are few; a file with a quotation
    mark comes back as it is.
    """
    if b'"' in data:
        return data
    end = b"\r\n" if b"\r\n" in data[:LONGEST_LINE] else b"\n"
    start = data.rfind(b"\n", 0, LONGEST_LINE) + 1
    many = end * _MANY
    if data.find(many, start) < 0:
        return data
    head, rest = data[:start], data[start:]
    while end + end in rest:
        rest = rest.replace(end + end, end)
    return head + rest.removeprefix(end)


def _emptied(run: re.Match[bytes]) -> bytes:
    lines = run[0]
    end = b"\r\n" if lines.endswith(b"\r\n") else b"\n"
    return end * lines.count(b"\n")
