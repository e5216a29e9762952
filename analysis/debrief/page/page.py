"""The debrief of a trip as a page: an opening that answers, and a section a question.

Every section stands for itself; one of which nothing was logged shows nothing.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date

from ...display.sections import Opening, Section
from ...display.words import Display, listing
from ...store.rows import Store
from ..facts import Debrief, debrief
from . import days_sections, load_sections, packed_section
from .expected_section import expected_section
from .opening import debrief_opening
from .to_do_section import to_do_section
from .trip_section import trip_section

TOGETHER: Mapping[str, tuple[str, ...]] = {
    "failed_and_missed": ("failures", "wishes"),
    "nights_and_days": ("nights", "days"),
    "packed": ("never_out", "insurance"),
    "load": ("weight", "bags", "changes"),
    "eaten_and_burnt": ("food_and_fuel", "expected"),
}
"""The sections of a page that stand in one, by its name."""


def together(name: str, heading: str) -> Callable[["DebriefPage"], Section]:
    """Return a method for a section of several parts: their answers, and one fold for the rest.

    Where there is only one of them, it is that part under its own heading.
    """

    def method(page: "DebriefPage") -> Section:
        parts: list[Section] = [getattr(page, part)() for part in TOGETHER[name]]
        there = [part for part in parts if part.missing is None]
        if not there:
            return Section.empty(heading, listing([part.missing or "" for part in parts]))
        first, *others = there
        if not others:
            return first
        shown = [*first.more]
        for each in others:
            shown += [piece for piece in (each.figure, each.table, *each.more) if piece]
        folds = [each.fold for each in there if each.fold]
        return Section(
            heading,
            (
                " ".join(each.answer[0] for each in there),
                *(line for each in there for line in each.answer[1:]),
            ),
            first.figure,
            first.table,
            tuple(note for each in there for note in each.notes),
            " ".join(each.caution for each in there if each.caution) or None,
            more=tuple(shown),
            for_index=" ".join(each.for_index for each in there if each.for_index),
            fold=listing([folds[0], *(f[0].lower() + f[1:] for f in folds[1:])]) if folds else "",
        )

    method.__doc__ = f"{heading}: {listing(TOGETHER[name])} in one."
    return method


@dataclass(frozen=True)
class DebriefPage:
    """The data of a trip and the units in which it is told: a section a method."""

    data: Debrief
    display: Display

    def opening(self) -> Opening:
        """What it was, the answer in short, and what narrows it."""
        return debrief_opening(self.data, self.display)

    story = trip_section
    failed_and_missed = together("failed_and_missed", "What failed, and what was missed")
    nights_and_days = together("nights_and_days", "Nights and days")
    packed = together("packed", "What stayed packed")
    load = together("load", "What it weighed")
    eaten_and_burnt = together("eaten_and_burnt", "Food, fuel and what was expected")
    to_do = to_do_section
    not_logged = days_sections.not_logged_section

    failures = days_sections.trip_failures_section
    wishes = days_sections.wished_section
    nights = days_sections.trip_nights_section
    days = days_sections.days_section
    never_out = packed_section.never_out_section
    insurance = packed_section.insurance_carried_section
    weight = load_sections.carried_weight_section
    bags = load_sections.bags_section
    changes = load_sections.changes_section
    food_and_fuel = load_sections.food_and_fuel_section
    expected = expected_section


def read_debrief(store: Store, trip: str, *, today: date, display: Display) -> DebriefPage:
    """Return the page of a trip; a blank name is the latest trip that is no plan.

    Raises QuestionError where there is no such trip, or where it is a plan.
    """
    return DebriefPage(debrief(store, trip or None, today=today), display)
