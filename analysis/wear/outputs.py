"""The rows of the tables failure_rates, item_life and effort."""

from typing import Any

from ..effort.carrying_cost import Effort
from ..effort.days import Cost
from .failures import SEVERITIES, FailureBook, Failures
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
        "pooled_rate": rate.pooled if rate.enough else None,
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
                "share_left": found and found.share_at(found.longest),
                "in_words": system_life_in_words(system),
            }
        )
    return rows


def effort_rows(found: Effort) -> list[dict[str, Any]]:
    """The rows of ``buying_glossary.EFFORT``: trips by name and mode, then items."""
    rows: list[dict[str, Any]] = []
    for trip in found.trips:
        reasons = list(trip.reasons)
        if 0 < trip.known_days < trip.days:
            reasons.insert(0, f"{trip.known_days} of {trip.days} days have a cost")
        rows.append(
            {
                "trip": trip.trip,
                "item": None,
                "mode": trip.mode,
                "trips": int(trip.known_days > 0),
                "distance_km": trip.distance_km,
                "ascent_m": trip.ascent_m,
                "hours": trip.hours,
                "load_kg": trip.load_kg,
                "moved_kg": trip.moved_kg,
                "hauled_kg_km": None,
                **_cost("kj_per_kg", trip.per_kg_kj),
                **_cost("kj", trip.total_kj),
                "wh_per_kg": trip.per_kg_wh and trip.per_kg_wh.value,
                "wh": None,
                "battery_wh": trip.battery_wh,
                "reason": "; ".join(reasons) or None,
            }
        )
    for item in found.items:
        rows.append(
            {
                **dict.fromkeys(
                    (
                        "trip",
                        "distance_km",
                        "ascent_m",
                        "hours",
                        "load_kg",
                        "moved_kg",
                        "wh_per_kg",
                        "battery_wh",
                        "reason",
                    )
                ),
                "item": item.item,
                "mode": item.mode,
                "trips": item.trips,
                "hauled_kg_km": item.kg_km,
                **_cost("kj_per_kg", None),
                **_cost("kj", item.total_kj),
                "wh": item.total_wh and item.total_wh.value,
            }
        )
    return rows


def _cost(name: str, cost: Cost | None) -> dict[str, float | None]:
    if cost is None:
        return {name: None, f"{name}_low": None, f"{name}_high": None}
    return {name: cost.value, f"{name}_low": cost.low, f"{name}_high": cost.high}
