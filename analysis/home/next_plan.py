"""The plan that comes first and those after it, and how cold each may be."""

from dataclasses import dataclass
from datetime import date

from ..cold.trips import ColdAhead, cold_forecasts
from ..store.rows import Store
from ..store.trip_choice import TripChoice, choose_ahead


@dataclass(frozen=True, slots=True)
class NextPlan:
    """The first plan not over by a day; ``cold``: its odds; ``later``: those of the plans after."""

    plan: TripChoice
    cold: ColdAhead
    later: tuple[ColdAhead, ...]

    @property
    def nights(self) -> int:
        """How many nights it is to last."""
        return (self.plan.end_on - self.plan.start_on).days


def next_plan(store: Store, today: date) -> NextPlan | None:
    """The plan that comes first; None where nothing is planned."""
    plans = choose_ahead(store, "", today)
    if not plans:
        return None
    cold, *later = cold_forecasts(store, plans)
    return NextPlan(plans[0], cold, tuple(later))
