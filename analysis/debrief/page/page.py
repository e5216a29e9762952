"""The debrief of a trip as a page: an opening that answers, and a section a question.

Every section stands for itself; one of which nothing was logged shows nothing.
"""

from dataclasses import dataclass
from datetime import date

from ...display.sections import Opening
from ...display.words import Display
from ...store.rows import Store
from ..facts import Debrief, debrief
from . import days_sections, load_sections, packed_section
from .expected_section import expected_section
from .opening import debrief_opening
from .to_do_section import to_do_section
from .trip_section import trip_section


@dataclass(frozen=True)
class DebriefPage:
    """The data of a trip and the units in which it is told: a section a method."""

    data: Debrief
    display: Display

    def opening(self) -> Opening:
        """What it was, the answer in short, and what narrows it."""
        return debrief_opening(self.data, self.display)

    story = trip_section
    weight = load_sections.carried_weight_section
    bags = load_sections.bags_section
    never_out = packed_section.never_out_section
    insurance = packed_section.insurance_carried_section
    food_and_fuel = load_sections.food_and_fuel_section
    nights = days_sections.trip_nights_section
    days = days_sections.days_section
    moving = days_sections.moving_section
    expected = expected_section
    failures = days_sections.trip_failures_section
    wishes = days_sections.wished_section
    changes = load_sections.changes_section
    to_do = to_do_section
    not_logged = days_sections.not_logged_section


def read_debrief(store: Store, trip: str, *, today: date, display: Display) -> DebriefPage:
    """Return the page of a trip; a blank name is the latest trip that is no plan.

    Raises QuestionError where there is no such trip, or where it is a plan.
    """
    return DebriefPage(debrief(store, trip or None, today=today), display)
