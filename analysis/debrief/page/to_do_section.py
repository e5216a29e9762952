"""The section of a debrief on what to do next: a checklist to print and tick off."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ...display import words
from ...display.cautions import CHARGING_CARE, FAILED_CARE, FIRST_AID_CARE
from ...display.checklist import Checklist, Task
from ...display.sections import Section
from ...display.thing_names import listed
from ...display.words import count, label
from ...wear.words import SEVERITY_WORDS, UNFIT
from ..chores import Chore

if TYPE_CHECKING:
    from .page import DebriefPage


def to_do_section(page: "DebriefPage") -> Section:
    """What to mend, check, charge and restock before the next trip, to tick off."""
    heading, chores = "Mend and restock", page.data.chores
    lists = tuple(each for each in _checklists(chores, page.data.trip.trip) if each.tasks)
    if not lists:
        return Section.empty(heading, "nothing waits to be done")
    many = sum(len(each.tasks) for each in lists)
    kinds = {chore.kind for chore in chores}
    care = [FAILED_CARE] if any(c.severity in UNFIT for c in chores) else []
    if "replenish" in kinds or any(chore.system == "first_aid" for chore in chores):
        care.append(FIRST_AID_CARE)
    if "charge" in kinds:
        care.append(CHARGING_CARE)
    first = f"{count(many, 'thing')} to do before the next trip."
    return Section(heading, (first,), more=lists, caution=" ".join(care) or None)


def _checklists(chores: Sequence[Chore], trip: str) -> tuple[Checklist, ...]:
    of = {
        kind: [c for c in chores if c.kind == kind]
        for kind in ("mend", "replenish", "check", "charge", "restock")
    }
    refilled = {chore.item for chore in of["replenish"]}
    checks: dict[str, list[str]] = {}
    for chore in of["check"]:
        if chore.item not in refilled:
            checks.setdefault(chore.system, []).append(chore.name)
    return (
        Checklist("Mend", _mend(of["mend"], trip)),
        Checklist(
            "Check and refill",
            tuple(Task(chore.name, "opened on this trip") for chore in of["replenish"]),
        ),
        Checklist(
            "Look over: no check within the last year",
            tuple(Task(label(system), listed(names)) for system, names in checks.items()),
        ),
        Checklist("Charge", tuple(Task(chore.name) for chore in of["charge"])),
        Checklist("Restock", tuple(Task(chore.name, "used up") for chore in of["restock"])),
    )


def _mend(chores: Sequence[Chore], trip: str) -> tuple[Task, ...]:
    """One task an item, whatever failed of it and when."""
    by_item: dict[str, list[Chore]] = {}
    for chore in chores:
        by_item.setdefault(chore.item, []).append(chore)
    return tuple(
        Task(of_item[0].name, "; ".join(_failing(chore, trip) for chore in of_item))
        for of_item in by_item.values()
    )


def _failing(chore: Chore, trip: str) -> str:
    about = [chore.what or "", SEVERITY_WORDS[chore.severity or "nuisance"]]
    if chore.fixed_with:
        about.append(f"helped along: {chore.fixed_with}")
    if chore.trip != trip and chore.day is not None:
        about.append(f"since {words.day(chore.day, weekday=False)}")
    return ", ".join(part for part in about if part)
