"""The debrief of a trip as a page: an opening that answers, and a section a question.

Every section stands for itself; one of which nothing was logged shows nothing.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any

import duckdb

from ...display.sections import Opening, Section, part
from ...display.words import Display
from ..facts import Debrief, debrief
from . import days_sections, load_sections
from .to_do_section import to_do_section
from .words import debrief_opening


def _part(section: Callable[[Debrief, Display], Section]) -> Callable[[Any], Section]:
    return part(section, "data", "display")


@dataclass(frozen=True)
class DebriefPage:
    """The data of a trip and the units in which it is told; a part of the page a method."""

    data: Debrief
    display: Display

    def opening(self) -> Opening:
        """What it was, the answer in short, and what narrows it."""
        return debrief_opening(self.data, self.display)

    weight = _part(load_sections.carried_weight_section)
    bags = _part(load_sections.bags_section)
    never_out = _part(load_sections.never_out_section)
    insurance = _part(load_sections.insurance_carried_section)
    food_and_fuel = _part(load_sections.food_and_fuel_section)
    nights = _part(days_sections.trip_nights_section)
    days = _part(days_sections.days_section)
    moving = _part(days_sections.moving_section)
    failures = _part(days_sections.trip_failures_section)
    wishes = _part(days_sections.wished_section)
    changes = _part(load_sections.changes_section)
    to_do = _part(to_do_section)
    not_logged = _part(days_sections.not_logged_section)


def read_debrief(
    connection: duckdb.DuckDBPyConnection, trip: str, *, today: date, display: Display
) -> DebriefPage:
    """Return the page of a trip; a blank name is the latest trip that is no plan.

    Raises QuestionError where there is no such trip, or where it is a plan.
    """
    return DebriefPage(debrief(connection, trip or None, today=today), display)
