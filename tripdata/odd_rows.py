"""Rows in which something is wrong that has a name of its own: a sum, a comma without quotes."""

from collections.abc import Container, Iterable, Iterator

from .names import looks_like_total, shown, slug
from .problems import Fault

_SEPARATORS = {",": "comma", ";": "semicolon", "\t": "tab"}
_MOST_COMMAS = 3


def totals_row(text: str) -> str:
    """What is wrong with a row that a spreadsheet's sum stands in."""
    return f"{shown(text)} looks like a totals row; remove it"


def total_fault(texts: Iterable[tuple[str, str]]) -> Fault | None:
    """The fault of a row that is a spreadsheet's sum: one of these headers and cells says so."""
    for column, text in texts:
        if len(text) < 30 and looks_like_total(slug(text)):
            return Fault(column, text, totals_row(text))
    return None


def joined_cells(
    cells: list[str], delimiter: str, places: Container[int], *, spaced: bool
) -> Iterator[tuple[int, list[str]]]:
    """Ways in which a row's cells may have been meant: two to four in a row are one with commas.

    Yields where that one stands and the cells then. ``places`` are those that may hold a comma;
    ``spaced``: as in a sentence, with a blank after each.
    """
    for more in range(1, _MOST_COMMAS + 1):
        for place in range(len(cells) - more):
            parts = cells[place : place + more + 1]
            if place not in places or not all(map(str.strip, parts)):
                continue
            if all(part[0] == " " for part in parts[1:]) is spaced:
                text = delimiter.join(parts).strip()
                yield place, [*cells[:place], text, *cells[place + more + 1 :]]


def comma_fault(header: str, text: str, delimiter: str) -> Fault:
    """The fault of a cell that holds the separator and is not in quotation marks."""
    mark = _SEPARATORS.get(delimiter, "separator")
    problem = f"a {mark} stands inside {shown(text)}; put the cell in quotation marks, as here"
    return Fault(header, text, problem)
