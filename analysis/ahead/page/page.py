"""A trip to come as a page: an opening that answers, then what to take, how much and how cold."""

from dataclasses import dataclass
from datetime import date

from ...display.sections import Opening
from ...display.words import Display
from ...store.rows import Store
from ...store.set_aside import records_set_aside, set_aside_notice
from ..before_trip import BeforeTrip, before_trip
from ..plan import trips_ahead_of
from ..results import Need
from . import lists, opening, packing_section, sections, stays_section

_ORDER = ("food", "cook", "fire")


@dataclass(frozen=True)
class BeforeTripPage:
    """What is known of a trip to come, and the units in which it is told: a section a method.

    ``data`` is missing where no trip lies ahead. ``set_aside``: records of the logbook that are
    missing.
    """

    data: BeforeTrip | None
    display: Display
    today: date
    set_aside: int

    @property
    def needs(self) -> tuple[Need, ...]:
        """How much of what is eaten, burnt or charged, food first."""
        if self.data is None:
            return ()
        needs = self.data.consumption.needs
        order = {system: place for place, system in enumerate(_ORDER)}
        eaten = sorted(needs, key=lambda need: order.get(need.system, len(order)))
        charged = (b.need for b in self.data.batteries if b.need is not None)
        return (*eaten, *charged)

    def opening(self) -> Opening:
        """Which trip, the answer in short, and what narrows it."""
        notices = set_aside_notice(self.set_aside)
        if self.data is None:
            return opening.nothing_planned(notices)
        return opening.before_trip_opening(self, self.data, notices)

    forgotten = sections.missing_section
    amounts = sections.amounts_section
    battery = sections.battery_section
    cold = sections.cold_section
    before_leaving = lists.ready_section
    packing = packing_section.packing_section
    stays_at_home = stays_section.stays_section


def read_before_trip(
    store: Store, trip: str = "", *, today: date, display: Display
) -> BeforeTripPage:
    """The page of a plan, or of any trip asked as on the day it began; by default the next plan.

    Raises QuestionError where there is no trip of that name.
    """
    ahead = trips_ahead_of(store, trip, today)
    first = min(ahead, key=lambda each: (each.trip.start_on, each.trip.trip), default=None)
    data = before_trip(store, first, today) if first is not None else None
    return BeforeTripPage(data, display, today, records_set_aside(store))
