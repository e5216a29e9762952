"""All facts of the logbook's first page."""

from dataclasses import dataclass
from datetime import date

from ..display.words import Display
from ..store.rows import Store
from ..store.set_aside import records_set_aside
from ..store.settings import settings_of
from .logbook import Totals, TripBack, totals, trips_back
from .next_plan import NextPlan, next_plan
from .to_do import ToDo, after_latest_trip


@dataclass(frozen=True, slots=True)
class FirstPage:
    """``title``: the owner's, else missing. ``trips``: those that took place, the latest last.

    ``set_aside``: records not read.
    """

    display: Display
    title: str | None
    trips: tuple[TripBack, ...]
    totals: Totals
    plan: NextPlan | None
    to_do: tuple[ToDo, ...]
    set_aside: int

    @property
    def latest(self) -> TripBack | None:
        """The latest trip; None before the first."""
        return self.trips[-1] if self.trips else None


def first_page(store: Store, today: date) -> FirstPage:
    """The facts as of a day, from which plans count as ahead and checks fall due."""
    trips, settings = trips_back(store), settings_of(store)
    return FirstPage(
        settings.display,
        settings.title,
        trips,
        totals(trips),
        next_plan(store, today),
        after_latest_trip(store, trips[-1].trip, today) if trips else (),
        records_set_aside(store),
    )
