"""The table effort: trips by name and mode, then items."""

from typing import TYPE_CHECKING

from ..catalogue.entry import Entry, Rows

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ..stats.estimate import Estimate
    from .carrying_cost import Effort


def carrying_rows(store: "DuckDBPyConnection") -> Rows:
    """A row a trip and mode, then one an item and mode."""
    from .carrying_cost import effort

    return effort_rows(effort(store))


def effort_rows(costs: "Effort") -> Rows:
    """The rows of effort."""
    rows: Rows = []
    for trip in costs.trips:
        reasons = list(trip.reasons)
        if 0 < trip.known_days < trip.days:
            reasons.insert(0, f"{trip.known_days} of {trip.days} days have a cost")
        rows.append(
            {
                "trip": trip.trip,
                "mode": trip.mode,
                "trips": int(trip.known_days > 0),
                "distance_km": trip.distance_km,
                "ascent_m": trip.ascent_m,
                "hours": trip.hours,
                "load_kg": trip.load_kg,
                "moved_kg": trip.moved_kg,
                **_cost("kj_per_kg", trip.per_kg_kj),
                **_cost("kj", trip.total_kj),
                "wh_per_kg": trip.per_kg_wh and trip.per_kg_wh.value,
                "battery_wh": trip.battery_wh,
                "reason": "; ".join(reasons) or None,
            }
        )
    for item in costs.items:
        rows.append(
            {
                "item": item.item,
                "mode": item.mode,
                "trips": item.trips,
                "hauled_kg_km": item.kg_km,
                **_cost("kj", item.total_kj),
                "wh": item.total_wh and item.total_wh.value,
            }
        )
    return rows


def _cost(name: str, cost: "Estimate | None") -> dict[str, float | None]:
    if cost is None:
        return {}
    return {name: cost.value, f"{name}_low": cost.low, f"{name}_high": cost.high}


ENTRIES = (
    Entry(
        "effort",
        room="effort",
        grain="trip and mode of travel, then one per item and mode with trip missing",
        sorted_by=0,
        rows=carrying_rows,
    ),
)
