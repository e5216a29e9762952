"""Comfort as a page: what a point of it weighed, what to try next, and how cold one can sleep."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

import duckdb

from ...cold import sections as cold
from ...cold.limit import ColdLimits, cold_limits
from ...cold.trips import ColdAhead, cold_trips_ahead
from ...display.sections import Opening, Section
from ...display.words import Display, listing, sentence
from ...stats.score_model.grid import Array
from ...store.set_aside import records_set_aside
from ..gain import AspectGains, comfort_gains
from ..next_swap import Swap, held, next_swaps, trips_to_settle
from ..ranks import p_helps_as_ranks
from . import opening, sections


@dataclass(frozen=True)
class ComfortPage:
    """What the logbook tells of comfort and cold, and the units in which it is told.

    ``settle``: trips that would settle a gain, by aspect and item. ``as_ranks``: probability that
    each bundle of an aspect helps, scores taken as ranks. ``set_aside``: records that are missing.
    """

    aspects: tuple[AspectGains, ...]
    swaps: tuple[Swap, ...]
    settle: Mapping[tuple[str, str], int]
    as_ranks: Mapping[str, Array | None]
    limits: ColdLimits
    trips: tuple[ColdAhead, ...]
    set_aside: int
    display: Display

    def opening(self) -> Opening:
        """The answer in short, and what narrows it."""
        return Opening(
            opening.TITLE,
            opening.lines(self.aspects, self.limits),
            opening.notices(self.aspects, self.limits, self.set_aside),
            opening.points(self.aspects, self.swaps, self.limits, self.trips, self.display),
        )

    def shelf(self) -> Section:
        """What earned its grams."""
        return sections.shelf(self.aspects, self.settle, self.display)

    def weight(self) -> Section:
        """Weight against gain."""
        return sections.weight(self.aspects, self.display)

    def next_swap(self) -> Section:
        """The change that would teach the most."""
        return sections.swaps(self.swaps, self.aspects)

    def cold_limit(self) -> Section:
        """How cold one can sleep."""
        return cold.limits_section(self.limits, self.display)

    def cold_ahead(self) -> Section:
        """The chance of a cold night on trips to come."""
        return cold.cold_ahead_section(self.trips, self.display)

    def sureness(self) -> Section:
        """How sure all this is."""
        return sections.sureness(self.aspects, self.as_ranks, self.display)

    def not_told(self) -> Section:
        """What could not be answered, and what it wants."""
        heading = "Not told"
        every = (
            self.shelf(),
            self.weight(),
            self.next_swap(),
            self.cold_limit(),
            self.cold_ahead(),
        )
        wanting = list(dict.fromkeys(s.missing for s in every if s.missing is not None))
        if not wanting:
            return Section.empty(heading, "everything was told")
        return Section(heading, (sentence(f"For more, the logbook wants {listing(wanting)}"),))


def read(
    connection: duckdb.DuckDBPyConnection, trip: str, *, today: date, display: Display
) -> ComfortPage:
    """Return the page. ``trip``: the one to look ahead to; blank is every plan not over by today.

    Raises QuestionError where there is no such trip.
    """
    limits = cold_limits(connection)
    trips = cold_trips_ahead(connection, limits, trip, today)
    aspects = comfort_gains(connection)
    return ComfortPage(
        aspects=aspects,
        swaps=next_swaps(aspects, held(connection)),
        settle=trips_to_settle(aspects),
        as_ranks={a.aspect: p_helps_as_ranks(a) for a in aspects},
        limits=limits,
        trips=trips,
        set_aside=records_set_aside(connection),
        display=display,
    )
