"""What the logbook says that bears on buying, worked once for all candidates."""

from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING, Any

from ...tripdata.errors import QuestionError
from ..effort.carrying_cost import effort
from ..store.rows import Store, ask
from ..wear.checks import a_year_before
from ..wear.failures import failure_book
from .nights import slept_nights

if TYPE_CHECKING:
    from ..cold.camps import CampsOff
    from ..cold.limit import ColdLimits, SleepSystem
    from ..cull.culling import CullQuestion


@dataclass(frozen=True)
class Evidence:
    """What the logbook says that bears on buying, as of a day; worked once for all candidates."""

    store: Store
    today: date

    failures = cached_property(lambda self: failure_book(self.store, self.today))
    """What broke."""
    effort = cached_property(lambda self: effort(self.store))
    """What carrying took."""
    nights = cached_property(lambda self: slept_nights(self.store))
    """Nights with sleep gear."""
    missed = cached_property(lambda self: ask(self.store, "buying/wished_things"))
    """What was wished for on trips and is not owned."""
    loads = cached_property(lambda self: ask(self.store, "store/own_loads"))
    """Rows on one, of trips that took place."""
    trips = cached_property(lambda self: ask(self.store, "buying/past_base"))
    """Trips with a night and a base weight."""

    @cached_property
    def limits(self) -> "ColdLimits":
        """How cold one can sleep."""
        from ..cold.limit import cold_limits

        return cold_limits(self.store)

    @cached_property
    def camps(self) -> "CampsOff | None":
        """How far one's camps lie off the normals."""
        from ..cold.camps import camps_off

        return camps_off(self.store, self.today)

    @cached_property
    def sleep_sets(self) -> "tuple[SleepSystem, ...]":
        """The sleep sets that are owned."""
        from ..cold.sets import owned_sets, sleep_things

        return owned_sets(self.limits, sleep_things(self.store), self.today)

    @cached_property
    def gear(self) -> dict[str, dict[str, Any]]:
        """What is owned, by item."""
        return {row["item"]: row for row in ask(self.store, "store/gear_today")}

    @cached_property
    def cull(self) -> "CullQuestion | None":
        """What may be left at home; None where there is no trip to tell by."""
        from ..cull.culling import ask_cull
        from ..cull.results import Wish
        from ..store.scope import Scope
        from ..store.settings import settings_of

        regret = settings_of(self.store).regret
        try:
            return ask_cull(self.store, Scope(), Wish(), regret=regret, today=self.today)
        except QuestionError:
            return None

    @property
    def nights_a_year(self) -> int:
        """Nights on trips of the last twelve months."""
        return sum(trip["nights"] for trip in self.trips if self.recent(trip["start_on"]))

    def recent(self, start_on: date) -> bool:
        """Whether a trip is one of the last twelve months'."""
        return a_year_before(self.today) < start_on <= self.today
