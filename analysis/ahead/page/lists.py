"""What to do before leaving on a trip to come, in lists to tick."""

from dataclasses import replace
from typing import TYPE_CHECKING

from ...display.checklist import Checklist, Task
from ...display.sections import Section
from ...wear.chores import LOOKS, TO_DO, chore_cautions, chore_lists, how_much_to_do
from ..before_trip import BeforeTrip
from ..unlike import of_trips_before
from . import amount_words as much

if TYPE_CHECKING:
    from .page import BeforeTripPage

READY = f"{TO_DO} before leaving"
_AT_ONCE = 2
"""A list of chores of more things than this begins as its heading; what is broken never does."""


def ready_section(page: "BeforeTripPage") -> Section:
    """What to mend, try, check, charge, weigh and buy, of what comes along."""
    lists = tuple(
        replace(each, folds=each.heading in LOOKS and each.things > _AT_ONCE, names_few=True)
        for each in ready_lists(page)
    )
    if page.data is None or not lists:
        return Section.empty(READY, "a chore")
    # What is folded comes last, below the columns of the others.
    lists = tuple(sorted(lists, key=lambda each: each.folds))
    return Section(
        READY,
        (to_do(page),),
        more=lists,
        notes=(
            "Only batteries whose capacity you noted are named: charge lights, phone and beacon, "
            "too.",
        ),
        caution=" ".join(chore_cautions(page.data.chores)) or None,
    )


def to_do(page: "BeforeTripPage") -> str:
    """How many things wait to be seen to, each counted once, as a sentence."""
    lists = ready_lists(page)
    names = {chore.name for chore in page.data.chores} if page.data is not None else set()
    # What is looked over stands by system there: its things are chores, and named already.
    others = (each for each in lists if each.heading not in LOOKS)
    names |= {task.what for each in others for task in each.tasks if task.things == 1}
    return how_much_to_do(lists, len(names), "of this list")


def _to_weigh(data: BeforeTrip) -> tuple[str, ...]:
    """What is not weighed; of all that is owned only what is eaten or burnt, which is measured."""
    if data.packing.source != "gear":
        return data.load.unweighed
    used_up = (each for each in data.packing.things if each.thing.carried_as == "consumable")
    return tuple(each.thing.name for each in used_up if each.row_g is None)


def ready_lists(page: "BeforeTripPage") -> tuple[Checklist, ...]:
    """The checklists of that section, those without a task left out."""
    if page.data is None:
        return ()
    data, display = page.data, page.display
    more = tuple(
        Task(
            much.need_name(need),
            of_trips_before(much.to_buy(need, data.packing, display), data.ahead.unlike),
        )
        for need in much.to_take_more(page.needs)
    )
    gone = tuple(Task(e.thing.name, "given up since") for e in data.packing.things if e.given_up)
    weigh = tuple(map(Task, _to_weigh(data)[:12]))
    lists = (
        *chore_lists(data.chores),
        Checklist("Replace: on the list, but given up", gone),
        Checklist("Take more than the list has", more),
        Checklist("Weigh", weigh),
    )
    return tuple(each for each in lists if each.tasks)
