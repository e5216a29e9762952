"""The section of a debrief on what to do next: a checklist to print and tick off."""

from typing import TYPE_CHECKING

from ...display.sections import Section
from ...display.words import count
from ...wear.chores import chore_cautions, chore_lists

if TYPE_CHECKING:
    from .page import DebriefPage


def to_do_section(page: "DebriefPage") -> Section:
    """What to mend, check, charge and restock before the next trip, to tick off."""
    heading, chores = "Mend and restock", page.data.chores
    lists = chore_lists(chores, "opened on this trip", page.data.trip.trip)
    if not lists:
        return Section.empty(heading, "nothing waits to be done")
    many = len({chore.item for chore in chores})
    verb = "is" if many == 1 else "are"
    boxes = sum(len(each.tasks) for each in lists)
    in_boxes = "" if boxes == many else f", in {count(boxes, 'box', 'boxes')}"
    first = f"There {verb} {count(many, 'thing')} to see to before the next trip{in_boxes}."
    care = " ".join(chore_cautions(chores))
    return Section(heading, (first,), more=lists, caution=care or None)
