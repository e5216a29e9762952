"""The table buying_case."""

from datetime import date
from typing import TYPE_CHECKING

from ..catalogue.entry import Entry, Rows

if TYPE_CHECKING:
    from ..store.rows import Store


def case_rows(store: "Store", today: date) -> Rows:
    """A row a candidate, by name; the last twelve months end with ``today``."""
    from .case_rows import buying_rows
    from .cases import buying_case

    return buying_rows(buying_case(store, today))


ENTRIES = (
    Entry(
        "buying_case",
        room="buying",
        grain="candidate",
        sorted_by=1,
        rows=case_rows,
        options=("today",),
    ),
)
