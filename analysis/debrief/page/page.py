"""The debrief of a trip as a page: an opening that answers, and a section a question.

Every section stands for itself; one of which nothing was logged shows nothing.
"""

from dataclasses import dataclass
from datetime import date

import duckdb

from ...display.sections import Opening, Section
from ...display.words import Display
from ..facts import Debrief, debrief
from . import days_sections as days
from . import load_sections as load
from . import words as debrief_words
from .to_do_section import to_do


@dataclass(frozen=True)
class DebriefPage:
    """The data of a trip and the units in which it is told."""

    data: Debrief
    display: Display

    def opening(self) -> Opening:
        """What it was, the answer in short, and what narrows it."""
        return Opening(
            self.data.trip.title,
            debrief_words.lines(self.data, self.display),
            debrief_words.notices(self.data),
            debrief_words.points(self.data, self.display),
        )

    def weight(self) -> Section:
        """What it weighed, by system."""
        return load.weight(self.data, self.display)

    def bags(self) -> Section:
        """How the bags were loaded."""
        return load.bags(self.data, self.display)

    def never_out(self) -> Section:
        """What came along and was never taken out."""
        return load.never_out(self.data, self.display)

    def insurance(self) -> Section:
        """What was carried in the hope of not needing it."""
        return load.insurance(self.data, self.display)

    def food_and_fuel(self) -> Section:
        """What was left of food and fuel."""
        return load.food_and_fuel(self.data, self.display)

    def nights(self) -> Section:
        """How cold the nights were and how they were slept."""
        return days.nights(self.data, self.display)

    def days(self) -> Section:
        """How the days felt."""
        return days.days(self.data)

    def moving(self) -> Section:
        """How far and how high, by day and mode."""
        return days.moving(self.data, self.display)

    def failures(self) -> Section:
        """What failed and how it was fixed."""
        return days.failures(self.data)

    def wishes(self) -> Section:
        """What was missed."""
        return days.wishes(self.data)

    def changes(self) -> Section:
        """What changed since the previous comparable trip."""
        return load.changes(self.data, self.display)

    def to_do(self) -> Section:
        """What to mend, check, charge and restock."""
        return to_do(self.data)

    def not_logged(self) -> Section:
        """What was not logged."""
        return days.not_logged(self.data)


def read(
    connection: duckdb.DuckDBPyConnection, trip: str, *, today: date, display: Display
) -> DebriefPage:
    """Return the page of a trip; a blank name is the latest trip that is no plan.

    Raises QuestionError where there is no such trip, or where it is a plan.
    """
    return DebriefPage(debrief(connection, trip or None, today=today), display)
