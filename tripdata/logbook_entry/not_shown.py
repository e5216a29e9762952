"""Rows of a trip that were set aside, which no form shows: they are named when it is opened."""

from collections import Counter
from collections.abc import Iterator
from itertools import islice

from .typed import Typed

_NAMED = 20
"""Rows that are named."""


def remarks_on(typed: Typed) -> Iterator[str]:
    """A line for each row of the trip that was set aside, or is shown and does not count yet."""
    for each in typed.files.unfinished:
        yield (
            f"{each.file}:{each.line}: the distance of {each.row['day']} is blank, so the row does "
            "not count; write the distance, 0 if you did not move"
        )
    rows: dict[str, int] = Counter()
    for (file, _), faults in typed.files.aside.items():
        layout = typed.files.layouts[file]
        if layout.faults:  # what is wrong with the header is wrong with every row
            column, _, problem, *_ = layout.faults[0]
            rows[f"{file}:{layout.header_line}: {column}: {problem}"] += 1
        else:
            rows[str(faults[0])] += 1
    for fault, count in islice(rows.items(), _NAMED):
        which = "the row is" if count == 1 else f"{count} rows are"
        does = "does" if count == 1 else "do"
        stays = "stays as it is" if count == 1 else "stay as they are"
        yield f"{fault}; {which} not shown here, {does} not count and {stays}"
    if len(rows) > _NAMED:
        yield f"{len(rows) - _NAMED} more rows of this trip do not count; `tarebook check` has them"
