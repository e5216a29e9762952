"""What the logbook says that bears on buying, worked once for all candidates."""

from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING, Any

import duckdb
from tarebook.analysis import buying_cold as cold
from tarebook.analysis.debrief_chores import a_year_before
from tarebook.analysis.effort import Effort, effort
from tarebook.analysis.failures import FailureBook, failure_book
from tarebook.analysis.frames import ask
from tarebook.tripdata.errors import QuestionError

if TYPE_CHECKING:
    from tarebook.analysis.cold_limit import ColdLimits, SleepSystem
    from tarebook.analysis.culling import Asked


@dataclass(frozen=True)
class Evidence:
    """What the logbook says that bears on buying, as of a day; worked once for all candidates."""

    connection: duckdb.DuckDBPyConnection
    today: date

    @cached_property
    def failures(self) -> FailureBook:
        """What broke."""
        return failure_book(self.connection, self.today)

    @cached_property
    def effort(self) -> Effort:
        """What carrying took."""
        return effort(self.connection)

    @cached_property
    def nights(self) -> tuple[cold.SleptNight, ...]:
        """Nights with sleep gear."""
        return cold.slept_nights(self.connection)

    @cached_property
    def limits(self) -> "ColdLimits":
        """How cold one can sleep."""
        from tarebook.analysis.cold_limit import cold_limits

        return cold_limits(self.connection)

    @cached_property
    def sleep_sets(self) -> "tuple[SleepSystem, ...]":
        """The sleep sets that are owned."""
        from tarebook.analysis.cold_sets import owned_sets, sleep_things

        return owned_sets(self.limits, sleep_things(self.connection), self.today)

    @cached_property
    def gear(self) -> dict[str, dict[str, Any]]:
        """What is owned, by item."""
        return {row["item"]: row for row in ask(self.connection, "gear_today")}

    @cached_property
    def loads(self) -> list[dict[str, Any]]:
        """Rows on one, of trips that took place."""
        return ask(self.connection, "own_loads")

    @cached_property
    def trips(self) -> list[dict[str, Any]]:
        """Trips with a night and a base weight."""
        return ask(self.connection, "past_base")

    @cached_property
    def cull(self) -> "Asked | None":
        """What may be left at home; None where there is no trip to tell by."""
        from tarebook.analysis.cull_results import Wish
        from tarebook.analysis.culling import ask_cull
        from tarebook.analysis.reckoned import regret_of
        from tarebook.analysis.scope import Scope

        regret = regret_of(self.connection)
        try:
            return ask_cull(self.connection, Scope(), Wish(), regret=regret, today=self.today)
        except QuestionError:
            return None

    @property
    def since(self) -> date:
        """The day a year before."""
        return a_year_before(self.today)

    def recent(self, start_on: date) -> bool:
        """Whether a trip is one of the last twelve months'."""
        return self.since < start_on <= self.today
