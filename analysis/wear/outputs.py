"""The rows of the tables failure_rates and item_life."""

from typing import Any

from ...tripdata.contract import SEVERITIES
from .failures import FailureBook, Failures
from .words import life_in_words, system_life_in_words


def failure_rows(book: FailureBook) -> list[dict[str, Any]]:
    """The rows of ``buying_glossary.FAILURE_RATES``: items by name, then systems."""
    return [_failure_row(found) for found in (*book.items, *book.systems)]


def _failure_row(found: Failures) -> dict[str, Any]:
    rate = found.rate
    return {
        "item": found.item,
        "system": found.system,
        "nights": rate.nights,
        "failures": rate.failures,
        "rate_per_100_nights": rate.per_100 if rate.enough else None,
        "rate_low": rate.low if rate.enough else None,
        "rate_high": rate.high if rate.enough else None,
        "exact_low": rate.exact_low if rate.enough else None,
        "exact_high": rate.exact_high if rate.enough else None,
        "worst_severity": found.worst,
        "name": found.name,
        "pooled_rate": rate.value if rate.enough else None,
        **dict(zip(SEVERITIES, found.by_severity, strict=True)),
        "distance_km": found.distance_km,
        "rate_per_1000_km": found.per_1000_km,
        "km_exact_low": found.km_low,
        "km_exact_high": found.km_high,
    }


def life_rows(book: FailureBook) -> list[dict[str, Any]]:
    """The rows of ``buying_glossary.ITEM_LIFE``: items by name, then systems."""
    rows: list[dict[str, Any]] = [
        {
            "item": life.item,
            "system": life.system,
            "life_nights": float(life.life_nights),
            "life_low": None,
            "life_high": None,
            "items": 1,
            "failed": int(life.ended == "failed"),
            "ended": life.ended,
            "ended_on": life.ended_on,
            "share_left": None,
            "price": life.price,
            "currency": life.currency,
            "nights_carried": life.nights_carried,
            "cost_per_night": life.cost_per_night,
            "name": life.name,
            "in_words": life_in_words(life),
        }
        for life in book.lives
    ]
    for system in book.system_lives:
        found = system.survival
        blank = dict.fromkeys(
            (
                "item",
                "ended",
                "ended_on",
                "price",
                "currency",
                "nights_carried",
                "cost_per_night",
                "name",
            )
        )
        rows.append(
            {
                **blank,
                "system": system.system,
                "life_nights": found and found.median,
                "life_low": found and found.median_low,
                "life_high": found and found.median_high,
                "items": system.items,
                "failed": system.failed,
                "share_left": found and found.share_left,
                "in_words": system_life_in_words(system),
            }
        )
    return rows
