"""The rows of the table effort."""

from typing import Any

from ..stats.estimate import Estimate
from .carrying_cost import Effort


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


def _cost(name: str, cost: Estimate | None) -> dict[str, float | None]:
    if cost is None:
        return {name: None, f"{name}_low": None, f"{name}_high": None}
    return {name: cost.value, f"{name}_low": cost.low, f"{name}_high": cost.high}
