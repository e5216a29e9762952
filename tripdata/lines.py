"""Physical lines of a large file, by number, without making five million strings of them."""

from pathlib import Path
from typing import Any


def plain_text(data: bytes) -> bool:
    """Whether data is UTF-8 with LF or CRLF ends throughout and no NUL."""
    if b"\0" in data:
        return False
    if b"\r" in data:
        pairs = data.count(b"\r\n")
        if not data.count(b"\r") == pairs == data.count(b"\n"):
            return False
    if data.isascii():
        return True
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def has_pattern(path: Path) -> bool:
    """Whether a path could mean other files too where it is searched for as a pattern."""
    return bool(set("*?[\\") & set(str(path)))


class PhysicalLines:
    """Where each line of UTF-8 data with LF or CRLF ends begins and ends; lines count from 1."""

    def __init__(self, data: bytes) -> None:
        import numpy as np

        self._data = data
        ends = np.flatnonzero(np.frombuffer(data, dtype=np.uint8) == 10)
        if not data.endswith(b"\n"):
            ends = np.append(ends, len(data))
        # A line of many millions takes four bytes where they do.
        self._ends = ends.astype(np.uint32) if len(data) < 2**32 else ends

    def written(self, first: int) -> Any:
        """Numbers of the lines after the first ``first`` that are not empty (int array)."""
        import numpy as np

        bytes_ = np.frombuffer(self._data, dtype=np.uint8)
        lengths = np.diff(self._ends, prepend=self._ends.dtype.type(0))
        lengths[1:] -= 1
        filled = lengths > 0
        ones = np.flatnonzero(lengths == 1)
        filled[ones[bytes_[self._ends[ones] - 1] == 13]] = False
        numbers = np.flatnonzero(filled[first:])
        numbers += first + 1
        return numbers

    def text(self, line: int) -> str:
        """The text of one line, without its end."""
        start = int(self._ends[line - 2]) + 1 if line > 1 else 0
        end = int(self._ends[line - 1])
        return self._data[start:end].decode("utf-8").removesuffix("\r")


def no_long_line(data: bytes, longest: int) -> bool:
    """Whether no line has more than ``longest`` bytes."""
    at = 0
    while len(data) - at > longest:
        end = data.rfind(b"\n", at, at + longest + 1)
        if end < 0:
            return False
        at = end + 1
    return True


def one_record_a_line(data: bytes, delimiter: str) -> bool:
    """Whether every record of UTF-8 data surely stands on one line.

    Quotes must come in pairs within a line, the first of a pair at the start of a cell and the
    second at its end; anything else is left to the row reader, which has a rule for it.
    """
    if b'"' not in data:
        return True
    import numpy as np

    bytes_ = np.frombuffer(data, dtype=np.uint8)
    quotes = np.flatnonzero(bytes_ == 34)
    if len(quotes) % 2:
        return False
    opening, closing = quotes[::2], quotes[1::2]
    edge = (10, 13, ord(delimiter))
    before = bytes_[np.maximum(opening - 1, 0)]
    after = bytes_[np.minimum(closing + 1, len(bytes_) - 1)]
    start = 3 if data.startswith(b"\xef\xbb\xbf") else 0
    opens = np.isin(before, edge) | (opening == 0) | (opening == start)
    closes = np.isin(after, edge) | (closing == len(bytes_) - 1)
    ends = np.flatnonzero(bytes_ == 10)
    same_line = np.searchsorted(ends, opening) == np.searchsorted(ends, closing)
    return bool(opens.all() and closes.all() and same_line.all())
