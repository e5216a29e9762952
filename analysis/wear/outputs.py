"""The tables failure_rates and item_life: items by name, then systems."""

from datetime import date
from typing import TYPE_CHECKING, Any

from ...tripdata.contract import SEVERITIES
from ..catalogue.entry import Entry, Rows
from ..catalogue.row_parts import fields_of

if TYPE_CHECKING:
    from ..store.rows import Store
    from .failures import FailureBook, Failures


def failure_rates(store: "Store", today: date) -> Rows:
    """A row an item, then one a system, of all failures noted."""
    from .failures import failure_book

    return failure_rows(failure_book(store, today))


def item_life(store: "Store", today: date) -> Rows:
    """A row an item, then one a system; gear given up by ``today`` is retired."""
    from .failures import failure_book

    return life_rows(failure_book(store, today))


def failure_rows(book: "FailureBook") -> Rows:
    """The rows of failure_rates."""
    return [_failure_row(record) for record in (*book.items, *book.systems)]


def _failure_row(record: "Failures") -> dict[str, Any]:
    rate = record.rate
    return {
        **fields_of(record, "item", "system", "name", "distance_km"),
        **fields_of(rate, "nights", "failures"),
        "rate_per_100_nights": rate.per_100 if rate.enough else None,
        "rate_low": rate.low if rate.enough else None,
        "rate_high": rate.high if rate.enough else None,
        **fields_of(rate if rate.enough else None, "exact_low", "exact_high"),
        "worst_severity": record.worst,
        "pooled_rate": rate.value if rate.enough else None,
        **dict(zip(SEVERITIES, record.by_severity, strict=True)),
        "rate_per_1000_km": record.per_1000_km,
        "km_exact_low": record.km_low,
        "km_exact_high": record.km_high,
    }


def life_rows(book: "FailureBook") -> Rows:
    """The rows of item_life."""
    from .words import life_in_words, system_life_in_words

    items: Rows = [
        {
            **fields_of(life, "item", "name", "system", "ended", "ended_on"),
            **fields_of(life, "price", "currency", "nights_carried", "cost_per_night"),
            "life_nights": float(life.life_nights),
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
        options=("today",),
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
