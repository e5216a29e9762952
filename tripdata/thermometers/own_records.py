"""The rows of a thermometer's own file as the reader takes them: time and temperature."""

from collections.abc import Callable, Iterable, Iterator

from ..numbers import plain_number
from ..text import Record
from .logger import OwnCells


def missing_test(marks: tuple[str, ...], comma: bool) -> Callable[[str], bool]:
    """What says whether a cell holds no reading: blank, or one of the marks, also as a number."""
    texts = {mark.casefold() for mark in marks} | {""}
    numbers = {float(n) for mark in marks if (n := plain_number(mark, comma="," in mark))}

    def missing(text: str) -> bool:
        if text.casefold() in texts:
            return True
        number = plain_number(text, comma) if numbers else None
        return number is not None and float(number) in numbers

    return missing


def own_records(rows: Iterable[Record], own: OwnCells, decimal_comma: bool) -> Iterator[Record]:
    """Each row with a temperature, its cells in the order time and temperature.

    Rows without one are the device's notes of an event, not records; nor is the header, where it
    stands again. Cells beyond those that a row may have stand at the end, so that the reader names
    them.
    """
    missing = missing_test(own.logger.missing, decimal_comma)
    for row in rows:
        if row.fault:
            yield row
            continue
        cells = [cell.strip() for cell in row.cells]
        cells += [""] * (own.width - len(cells))
        if missing(cells[own.temperature]) or row.raw == own.header:
            continue
        taken = [moment(cells, own), cells[own.temperature]]
        yield row._replace(cells=taken + [cell for cell in cells[own.width :] if cell])


def moment(cells: list[str], own: OwnCells) -> str:
    """The text of a row's time, with its date before it where that stands apart."""
    time = cells[own.time]
    if own.date is None:
        return time
    date = cells[own.date]
    return f"{date} {time}" if date and time else ""
