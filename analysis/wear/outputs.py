"""The tables failure_rates and item_life: items by name, then systems."""

from collections.abc import Iterable
from dataclasses import asdict
from datetime import date
from typing import TYPE_CHECKING, Any

from ...tripdata.contract import SEVERITIES
from ..catalogue.entry import Entry, Rows, fields_of, interval_columns

if TYPE_CHECKING:
    from ..store.rows import Store
    from .failures import FailureBook, Failures


def failure_rates(store: "Store") -> Rows:
    """A row an item, then one a system, of all failures noted."""
    from .failures import failure_records

    items, systems, _ = failure_records(store)
    return failure_rows((*items, *systems))


def item_life(store: "Store", today: date) -> Rows:
    """A row an item, then one a system; gear given up by ``today`` is retired."""
    from .failures import failure_book

    return life_rows(failure_book(store, today))


def failure_rows(records: "Iterable[Failures]") -> Rows:
    """The rows of failure_rates."""
    return [_failure_row(record) for record in records]


def _failure_row(record: "Failures") -> dict[str, Any]:
    rate = record.rate
    pooled, exact = (rate, rate.exact) if rate.enough else (None, None)
    return {
        **fields_of(record, "item", "system", "name", "distance_km"),
        **fields_of(rate, "nights", "failures"),
        **interval_columns("rate_per_100_nights", exact, "exact"),
        "worst_severity": record.worst,
        **interval_columns("pooled_rate", pooled, "rate"),
        **dict(zip(SEVERITIES, record.by_severity, strict=True)),
        **interval_columns("rate_per_1000_km", record.per_1000_km, "km_exact"),
    }


def life_rows(book: "FailureBook") -> Rows:
    """The rows of item_life."""
    from .words import life_in_words, system_life_in_words

    items: Rows = [
        {
            **asdict(life),
            "items": 1,
            "failed": int(life.ended == "failed"),
            "in_words": life_in_words(life),
        }
        for life in book.lives
    ]
    systems: Rows = [
        {
            **fields_of(system, "system", "items", "failed"),
            "life_nights": (life := system.survival) and life.median,
            "life_low": life and life.median_low,
            "life_high": life and life.median_high,
            **fields_of(life, "share_left"),
            "in_words": system_life_in_words(system),
        }
        for system in book.system_lives
    ]
    return items + systems


ENTRIES = (
    Entry(
        "failure_rates",
        room="wear",
        grain="item that came along or failed, then one per system with item missing",
        sorted_by=0,
        rows=failure_rates,
    ),
    Entry(
        "item_life",
        room="wear",
        grain="item that came along, then one per system with item missing",
        sorted_by=0,
        rows=item_life,
        options=("today",),
    ),
)
