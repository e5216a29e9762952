"""The table effort: trips by name and mode, then items."""

from typing import TYPE_CHECKING

from ..catalogue.entry import Entry, Rows, interval_columns

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from .carrying_cost import Effort


_OF_TRIPS = [
    "trip",
    "mode",
    "distance_km",
    "ascent_m",
    "hours",
    "load_kg",
    "moved_kg",
    "battery_wh",
]


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
                **{name: getattr(trip, name) for name in _OF_TRIPS},
                "trips": int(trip.known_days > 0),
                **interval_columns("kj_per_kg", trip.per_kg_kj),
                **interval_columns("kj", trip.total_kj),
                "wh_per_kg": trip.per_kg_wh and trip.per_kg_wh.value,
                "reason": "; ".join(reasons) or None,
            }
        )
    items: Rows = [
        {
            "item": item.item,
            "mode": item.mode,
            "trips": item.trips,
            "hauled_kg_km": item.kg_km,
            **interval_columns("kj", item.total_kj),
            "wh": item.total_wh and item.total_wh.value,
        }
        for item in costs.items
    ]
    return rows + items


ENTRIES = (
    Entry(
        "effort",
        room="effort",
        grain="trip and mode of travel, then one per item and mode with trip missing",
        sorted_by=0,
        rows=carrying_rows,
    ),
)
