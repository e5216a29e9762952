"""The section of a season's page to print and tick off: what to do when packing."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ...display.cautions import LEAVING_CARE
from ...display.checklist import Checklist, Task
from ...display.sections import Section
from ...display.thing_names import listed
from ...display.words import count, label, mass
from ...usage.verdict_words import meant_for
from ...usage.verdicts import Judged
from .shelves import due_for_a_check
from .words import IF_WEATHER, held_notices, names_by_weight, shelves, weight_g, which_trips

if TYPE_CHECKING:
    from .page import CullPage

_MOST_TASKS = 14


def checklist_section(page: "CullPage") -> Section:
    """What to do when packing, on one sheet."""
    cull = page.data
    shown = _checklists(page)
    if not shown:
        return Section.empty("The packing sheet", "nothing to tick off")
    first = "Leave out what stands under “Leave at home”; pack the rest as you usually do"
    if not cull.answer.left:
        first = "Nothing stays at home by this record"
    return Section(
        "The packing sheet",
        (f"{first}, {which_trips(cull)}.", *held_notices(cull)),
        caution=LEAVING_CARE,
        more=shown,
    )


def _checklists(page: "CullPage") -> tuple[Checklist, ...]:
    cull, display = page.data, page.display
    kinds, by_item, by_verdict = {k.kind: k for k in cull.by_kind}, cull.by_item, shelves(cull)
    by_weather = {*kinds["wet"].add, *kinds["cold"].add}
    leave = sorted(cull.answer.left, key=lambda i: (-i.weight_g, i.item))
    dry_warm = [by_item[i] for i in sorted(kinds["dry_warm"].answer.items) if i in by_weather]
    along = {when: (*kinds[kind].add, *kinds[kind].meant) for kind, when in IF_WEATHER.items()}
    unchecked: dict[str, list[str]] = {}
    for j in due_for_a_check(by_verdict.get("kept_on_purpose", []), page.today):
        unchecked.setdefault(label(j.about.system), []).append(j.about.name)
    early = by_verdict.get("too_few_trips", []) + by_verdict.get("no_chance_yet", [])
    silent = listed([j.about.name for j in by_verdict.get("owner_to_say", [])])

    def dry_warm_words(j: Judged) -> str:
        return f"{mass(weight_g(cull, j), display)}, {meant_for(j.about.meaning, display)}"

    def wait(j: Judged) -> str:
        return "" if j.held else f"{count(j.more, 'more occasion')} would tell"

    tasks = {
        "Do not use before it is mended": [Task(name) for name in page.broken],
        "Leave at home": [
            Task(i.name, mass(i.weight_g, display)) for i in leave if i.item not in by_weather
        ],
        "Also leave at home where it is dry and warm; else take them": [
            Task(j.about.name, dry_warm_words(j)) for j in dry_warm
        ],
        "For the weather: see that these come along": [
            Task(when, listed(names_by_weight(cull, i))) for when, i in along.items() if i
        ],
        "Look over before it goes along: no check within a year": [
            Task(system, listed(names)) for system, names in unchecked.items()
        ],
        "If you pack them, note whether they are used": [
            Task(j.about.name, wait(j)) for j in early
        ],
        "Stay packed until gear.csv says what they are for": [Task(silent)] if silent else [],
    }
    return tuple(Checklist(heading, _shortened(each)) for heading, each in tasks.items() if each)


def _shortened(tasks: Sequence[Task]) -> tuple[Task, ...]:
    """Return so many tasks as leave the sheet one sheet."""
    if len(tasks) <= _MOST_TASKS:
        return tuple(tasks)
    rest = len(tasks) - _MOST_TASKS + 1
    return (*tasks[: _MOST_TASKS - 1], Task(f"{rest} more", "see the tables"))
