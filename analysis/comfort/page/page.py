"""Comfort as a page: what a point of it weighed, what to try next, and how cold one can sleep."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from ...cold import sections as cold
from ...cold.limit import ColdLimits, cold_limits
from ...cold.trips import ColdAhead, cold_trips_ahead
from ...display.sections import Section
from ...display.words import Display, listing, sentence
from ...stats.arrays import Array
from ...store.rows import Store
from ...store.scope import Scope
from ...store.set_aside import records_set_aside
from ..days import EVERY_TRIP
from ..gain import AspectGains, comfort_gains
from ..next_swap import Swap, never_left, next_swaps, trips_to_settle
from ..ranks import p_helps_as_ranks
from . import sections
from .opening import comfort_opening


@dataclass(frozen=True)
class ComfortPage:
    """What the logbook tells of comfort and cold: a section a method.

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
    scope: Scope = EVERY_TRIP

    opening = comfort_opening
    shelf = sections.shelf_section
    weight = sections.gain_by_weight_section
    next_swap = sections.swaps_section
    sureness = sections.sureness_section

    def cold_limit(self) -> Section:
        """How cold one can sleep, by sleep system."""
        return cold.limits_section(self.limits, self.display)

    def cold_ahead(self) -> Section:
        """How likely a too cold night is on each trip to come."""
        return cold.cold_ahead_section(self.trips, self.display)

    def not_told(self) -> Section:
        """What could not be answered, and what it wants."""
        heading = "What the log cannot say"
        answers = (self.shelf, self.weight, self.next_swap, self.cold_limit, self.cold_ahead)
        wanting = list(dict.fromkeys(m for show in answers if (m := show().missing) is not None))
        if not wanting:
            return Section.empty(heading, "nothing is missing")
        return Section(heading, (sentence(f"For more, the logbook wants {listing(wanting)}"),))


def read_comfort(
    store: Store, trip: str, *, today: date, display: Display, scope: Scope = EVERY_TRIP
) -> ComfortPage:
    """Return the page. ``trip``: the one to look ahead to; blank is every plan not over by today.

    ``scope``: a period whose trips tell of comforts. Raises QuestionError where there is no such
    trip, or more than can be judged at once.
    """
    limits = cold_limits(store)
    trips = cold_trips_ahead(store, limits, trip, today)
    aspects = comfort_gains(store, scope)
    return ComfortPage(
        aspects=aspects,
        swaps=next_swaps(aspects, never_left(store)),
        settle=trips_to_settle(aspects),
        as_ranks={a.aspect: p_helps_as_ranks(a) for a in aspects},
        limits=limits,
        trips=trips,
        set_aside=records_set_aside(store),
        display=display,
        scope=scope,
    )
