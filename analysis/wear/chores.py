"""What is to be done for a thing before it goes along again, and how its lists are told."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from ..display import words
from ..display.cautions import CHARGING_CARE, FAILED_CARE, FIRST_AID_CARE
from ..display.checklist import Checklist, Task
from ..display.thing_names import listed
from ..display.words import label
from .checks import a_year_before
from .words import STATE_WORDS, UNFIT, WAS_WORDS, times

TO_DO = "To do"
TO_DO_NEXT = f"{TO_DO} before the next trip"
"""What the list of all that waits is called on every page; some say before what, or as of when."""
_REFILL = "Check and refill"
_LOOK_OVER = "Look over: no check within the last year"
_DUE_THEN = "Look over, too: the last check will be a year old by then"
LOOKS = frozenset((_REFILL, _LOOK_OVER, _DUE_THEN))
"""Headings of the lists of what is whole, as far as anybody noted, and is to be looked at."""
TO_TRY = frozenset(("mend", "try_out"))
"""Kinds of chores of what failed before."""
_CHECKED_SYSTEMS = ("first_aid", "safety")


@dataclass(frozen=True, slots=True)
class Chore:
    """One thing to do for one item.

    ``kind``: mend (failed, not fixed), try_out (mended, but failed on its last trip, or more than
    once), replenish (first aid that was opened: check and restock), check (insurance, first aid or
    safety gear not looked over for a year, or never), due_then (the same by the start of the trip
    that is asked about), charge (a battery), restock (a consumable of which nothing came home).
    ``trip`` and ``day`` tell where and when it failed or was opened; ``day`` of a check is the last
    one, None where there was none. ``times``: how often it failed in all.
    """

    kind: Literal["mend", "try_out", "replenish", "check", "due_then", "charge", "restock"]
    item: str
    name: str
    system: str
    trip: str | None = None
    day: date | None = None
    severity: str | None = None
    what: str | None = None
    fixed_with: str | None = None
    times: int = 1


def is_check_due(system: str, insurance: bool, checked_on: date | None, day: date) -> bool:
    """Whether a thing is to be looked over, its last check being a year old by a day, or none."""
    if not insurance and system not in _CHECKED_SYSTEMS:
        return False
    return checked_on is None or checked_on < a_year_before(day)


def chore_lists(chores: Sequence[Chore], trip: str = "") -> tuple[Checklist, ...]:
    """The checklists, by kind, those without a task left out; ``trip``: the one looked back on."""
    of = {kind: [c for c in chores if c.kind == kind] for kind in {c.kind for c in chores}}
    used_up = of.get("restock", [])
    every = (
        Checklist("Mend", _mend(of.get("mend", ()), trip)),
        Checklist(
            "Mended since it failed: try it at home first",
            tuple(Task(c.name, _tried(c)) for c in of.get("try_out", ())),
        ),
        Checklist(_REFILL, tuple(Task(c.name, _opened(c)) for c in of.get("replenish", ()))),
        Checklist(_LOOK_OVER, _by_system(of.get("check", ())), part=2),
        Checklist(_DUE_THEN, _by_system(of.get("due_then", ())), part=2),
        Checklist("Charge", tuple(Task(chore.name) for chore in of.get("charge", ()))),
        Checklist("Restock", tuple(Task(c.name, "used up") for c in used_up if not from_tap(c))),
        Checklist("Fill", tuple(Task(c.name) for c in used_up if from_tap(c))),
    )
    return tuple(each for each in every if each.tasks)


def how_much_to_do(lists: Sequence[Checklist], things: int, of: str) -> str:
    """How many things these lists name, each once: "... 44 things that you own, in 9 boxes."."""
    boxes = sum(len(each.tasks) for each in lists)
    in_boxes = "" if boxes == things else f", in {words.count(boxes, 'box', 'boxes')}"
    return f"There is something to do for {words.count(things, 'thing')} {of}{in_boxes}."


def _by_system(chores: Sequence[Chore]) -> tuple[Task, ...]:
    names: dict[str, list[str]] = {}
    for chore in chores:
        names.setdefault(chore.system, []).append(chore.name)
    return tuple(
        Task(label(system), listed(those), things=len(those)) for system, those in names.items()
    )


def _opened(chore: Chore) -> str:
    if chore.day is None:
        return "opened, and not checked since"
    return f"opened on {words.day(chore.day, weekday=False)}, and not checked since"


def _tried(chore: Chore) -> str:
    """How often it failed, when last, and how."""
    last = "" if chore.day is None else words.day(chore.day, weekday=False)
    if chore.times > 1:
        return f"Failed {times(chore.times)}" + (f", last on {last}." if last else ".")
    on = f" on {last}" if last else ""
    return " ".join(
        words.sentence(part)
        for part in (chore.what or "", f"{WAS_WORDS[chore.severity or 'nuisance']}{on}")
        if part
    )


def first_try(chore: Chore, what: str = "It") -> str:
    """That it failed, and what to do first: "It failed 3 times, last on 1 May 2026: try it ..."."""
    often = f"{what} failed {times(chore.times)}"
    if chore.day is not None and (chore.times == 1 or chore.kind == "try_out"):
        last = "" if chore.times == 1 else "last "
        often += f", {last}on {words.day(chore.day, weekday=False)}"
    if chore.kind == "try_out":
        return f"{often}: try it at home first."
    return f"{often}, and no repair is noted: mend it first."


def from_tap(chore: Chore) -> bool:
    """Whether it is water, which is filled, not bought."""
    return chore.system == "water"


def chore_cautions(chores: Sequence[Chore]) -> tuple[str, ...]:
    """What can hurt someone in doing these."""
    kinds = {chore.kind for chore in chores}
    care = [FAILED_CARE] if any(c.severity in UNFIT for c in chores) else []
    if "replenish" in kinds or any(chore.system == "first_aid" for chore in chores):
        care.append(FIRST_AID_CARE)
    if "charge" in kinds:
        care.append(CHARGING_CARE)
    return tuple(care)


def _mend(chores: Sequence[Chore], trip: str) -> tuple[Task, ...]:
    """One task an item, whatever failed of it and when."""
    by_item: dict[str, list[Chore]] = {}
    for chore in chores:
        by_item.setdefault(chore.item, []).append(chore)
    return tuple(
        Task(of_item[0].name, " ".join(_failing(chore, trip) for chore in of_item))
        for of_item in by_item.values()
    )


def _failing(chore: Chore, trip: str) -> str:
    state = STATE_WORDS[chore.severity or "nuisance"]
    if chore.trip != trip and chore.day is not None:
        state += f" since {words.day(chore.day, weekday=False)}"
    helped = f"Made do with: {chore.fixed_with}" if chore.fixed_with else ""
    return " ".join(words.sentence(part) for part in (chore.what or "", state, helped) if part)
