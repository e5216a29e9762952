"""The section of a debrief on what to do next: a checklist to print and tick off."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...display.checklist import Checklist
from ...display.markup import fold
from ...display.sections import Section
from ...display.thing_names import named
from ...display.words import count, day
from ...wear.chores import TO_DO, TO_DO_NEXT, chore_cautions, chore_lists, how_much_to_do

if TYPE_CHECKING:
    from .page import DebriefPage


_LOOK_OVER = "Look over"
_TO_TICK = "The list, to tick off"
_MANY = 8
"""Things to look over: more of them are folded on the screen, and printed all the same."""


@dataclass(frozen=True)
class _Folded(Checklist):
    """A checklist under a line that counts its things; its section prints it in full."""

    def html(self) -> str:
        """Return the line, and the list under it."""
        about = self.heading.removeprefix(_LOOK_OVER)
        many = count(_things(self), "thing")
        items = "".join(task.html() for task in self.tasks)
        return fold(f"{_LOOK_OVER} {many}{about}", f'<ul class="checklist">{items}</ul>')


def _things(of: Checklist) -> int:
    return sum(task.things for task in of.tasks)


def to_do_section(page: "DebriefPage") -> Section:
    """What to mend, try, check, charge and restock before the next trip, to tick off."""
    latest, chores = page.data.latest, page.data.chores
    # A trip that others followed is not the one to get ready from.
    # What waits is told as of today, however long ago the trip was.
    as_of = day(page.data.today, weekday=False)
    heading = TO_DO_NEXT if latest else f"{TO_DO}, as of {as_of}"
    lists = chore_lists(chores, page.data.trip.trip)
    if not lists:
        return Section.empty(heading, "nothing waits to be done")
    many = len({chore.item for chore in chores})
    first = how_much_to_do(lists, many, "that you own" if latest else "that came along")
    care = " ".join(chore_cautions(chores))
    shown = tuple(
        _Folded(each.heading, each.tasks)
        if each.heading.startswith(_LOOK_OVER) and _things(each) > _MANY
        else each
        for each in lists
    )
    # What is folded comes last, below the columns of the others.
    in_order = tuple(sorted(shown, key=lambda each: isinstance(each, _Folded)))
    if latest:
        return Section(heading, (first,), more=in_order, caution=care or None)
    # Of a trip that others followed it is no part of the story; what is broken is named still.
    broken = list(dict.fromkeys(chore.name for chore in chores if chore.kind == "mend"))
    first = f"{first} Mend {named(broken)}." if broken else first
    return Section(heading, (first,), more=lists, caution=care or None, fold=_TO_TICK)
