"""The plan that comes first, how cold it may be, and what is planned after it."""

from dataclasses import dataclass
from datetime import date

from ..cold.trips import ColdAhead, cold_forecasts
from ..store.rows import Store
from ..store.trip_choice import TripChoice, choose_ahead


@dataclass(frozen=True, slots=True)
class NextPlan:
    """The first plan not over by a day; ``cold``: its odds; ``later``: the plans after it."""

    plan: TripChoice
    cold: ColdAhead
    later: tuple[TripChoice, ...]

    @property
    def nights(self) -> int:
        """How many nights it is to last."""
        return (self.plan.end_on - self.plan.start_on).days


def next_plan(store: Store, today: date) -> NextPlan | None:
    """The plan that comes first; None where nothing is planned."""
    plans = choose_ahead(store, "", today)
    if not plans:
        return None
    (cold,) = cold_forecasts(store, plans[:1])
    return NextPlan(plans[0], cold, plans[1:])
