"""The table effort: trips by name and mode, then items."""

from typing import TYPE_CHECKING

from ..catalogue.entry import Entry, Rows, fields_of, interval_columns

if TYPE_CHECKING:
    from ..store.rows import Store
    from .carrying_cost import Effort


def carrying_rows(store: "Store") -> Rows:
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
                **fields_of(trip, "trip", "mode", "distance_km", "ascent_m", "hours"),
                **fields_of(trip, "load_kg", "moved_kg", "battery_wh"),
                "trips": int(trip.known_days > 0),
                **interval_columns("kj_per_kg", trip.per_kg_kj),
                **interval_columns("kj", trip.total_kj),
                "wh_per_kg": trip.per_kg_wh and trip.per_kg_wh.value,
                "reason": "; ".join(reasons) or None,
            }
        )
    for item in costs.items:
        rows.append(
            {
                **fields_of(item, "item", "mode", "trips"),
                "hauled_kg_km": item.kg_km,
                **interval_columns("kj", item.total_kj),
                "wh": item.total_wh and item.total_wh.value,
            }
        )
    return rows


ENTRIES = (
    Entry(
        "effort",
        room="effort",
        grain="trip and mode of travel, then one per item and mode with trip missing",
        sorted_by=0,
        rows=carrying_rows,
    ),
)
