"""Rows laid out in advance: their key stands there and nothing else, so they are no records yet."""

from collections.abc import Callable

from .header import Layout
from .text import Record


def laid_out_in(layout: Layout) -> Callable[[Record], bool] | None:
    """What tells whether a record is not filled in yet; None where the table has no such rows.

    Where the header has a fault, what stands in a row is not known, and every row is a record.
    """
    if not layout.table.laid_out or layout.faults:
        return None
    width, key = layout.width, layout.table.key
    beyond = [f.position for f in layout.fields if f.column.name not in key]

    def laid_out(record: Record) -> bool:
        cells = record.cells
        if record.fault or any(map(str.strip, cells[width:])):
            return False
        filled_in = any(place < len(cells) and cells[place].strip() for place in beyond)
        return not filled_in and any(map(str.strip, cells))

    return laid_out
