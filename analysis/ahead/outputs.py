"""The tables of what a coming trip takes."""

from datetime import date
from typing import TYPE_CHECKING

from ..catalogue.entry import Entry, Remarked, fields_of
from ..display.cautions import LIST_CARE

if TYPE_CHECKING:
    from ..store.rows import Store


def forgotten_rows(store: "Store", today: date, trip: str = "") -> Remarked:
    """A row a thing that may be missing, by trip and rank, and what to know of the lists."""
    from . import missing_words
    from .forgotten import forgotten_of
    from .plan import trips_ahead_of

    rows, remarks = [], []
    for ahead in sorted(trips_ahead_of(store, trip, today), key=lambda one: one.trip.trip):
        about = fields_of(ahead.trip, "trip", "title")
        if not ahead.listed:
            remarks.append(missing_words.NOTHING_LISTED.format(**about))
        elif not any(like.listed for like in ahead.like):
            remarks.append(missing_words.NO_LIKE_TRIP.format(**about))
        rows += [
            {
                "trip": ahead.trip.trip,
                **fields_of(one, "rank", "item", "what", "reason", "p_along", "p_needed"),
                **fields_of(one, "expected_regret", "why"),
            }
            for one in forgotten_of(store, ahead)
        ]
    return Remarked(rows, tuple(remarks))


ENTRIES = (
    Entry(
        "forgotten",
        room="ahead",
        grain="thing that may be missing from the list of a trip ahead",
        sorted_by=2,
        rows=forgotten_rows,
        options=("trip", "today"),
        caution=LIST_CARE,
    ),
)
