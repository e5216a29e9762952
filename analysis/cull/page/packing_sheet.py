"""The section of a season's page to print and tick off: what to do when packing."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from ...display.cautions import LEAVING_CARE, WATER_CARE
from ...display.checklist import Checklist, Sheet, Task
from ...display.sections import Section
from ...display.thing_names import listed
from ...display.words import count, label, mass
from ...store.scope import AFLOAT, by_mode
from ...usage.guard_words import keeps_a_boat_safe, may_be_for_riding
from ...usage.verdict_words import meant_for, only_while
from ...usage.verdicts import Judged
from ..results import LeftItem
from .shelves import due_for_a_check
from .trips_to_come import for_weather
from .words import (
    IF_WEATHER,
    held_notices,
    names_by_weight,
    shelves,
    weight_g,
    which_trips,
)

if TYPE_CHECKING:
    from .page import CullPage

WHEN_PACKING = "When packing"
"""What its lists are called; the list of a coming trip is `ahead.page.packing_section.PACK`."""
_MOST_TASKS = 14
_ON_WATER = "On the water: see that these come along"
ON_THE_WATER = f"By boat: {WATER_CARE[0].lower()}{WATER_CARE[1:]}"


def checklist_section(page: "CullPage") -> Section:
    """What to do when packing, a sheet a way of travelling."""
    cull, ways = page.data, _ways(page)
    afloat = goes_afloat(page)
    shown: tuple[Checklist | Sheet, ...] = _lists(page, afloat=afloat)
    if not shown:
        return Section.empty(WHEN_PACKING, "nothing to tick off")
    answer = [f"Pack as you usually do {which_trips(cull)}, without what is under “Leave at home”."]
    if not cull.answer.left:
        answer = [f"Nothing can stay at home yet {which_trips(cull)}. Pack as you usually do."]
    if len(ways) > 1:
        # What failed badly is in sight before a sheet is opened; on paper only the sheets have it.
        shown = (*_broken(page), *_sheets(page, ways))
        printed = next(iter(ways))
        answer.append(
            "Open the sheet of your way of travelling: it prints on a page of its own. With none "
            f"open, {f'the one {by_mode(printed)}' if printed else 'the first'} is printed."
        )
    return Section(
        WHEN_PACKING,
        tuple(answer),
        notes=held_notices(cull),
        caution=f"{LEAVING_CARE} {ON_THE_WATER}" if afloat else LEAVING_CARE,
        more=shown,
    )


def _ways(page: "CullPage") -> dict[str | None, int]:
    """How many trips there are of each way of travelling that has a sheet, the most first.

    Where trips to come are named, they are meant, else those looked back on.
    """
    modes = [trip.mode for trip in page.data.around.to_come or page.data.usage.scoped.trips]
    ways, latest = Counter(modes), {mode: place for place, mode in enumerate(modes)}
    in_order = sorted(ways, key=lambda way: (-ways[way], -latest[way]))
    return {way: ways[way] for way in in_order if _of_way(page, way)}


def _sheets(page: "CullPage", ways: Mapping[str | None, int]) -> Iterator[Sheet]:
    """A sheet a way; those of trips to come are open."""
    for way, trips in ways.items():
        words = by_mode(way) if way else "where the way of travelling is not noted"
        title = f"{label(words)}: {count(trips, 'trip')}"
        shown = bool(page.data.around.to_come)
        care = f"{LEAVING_CARE} {ON_THE_WATER}" if _afloat(page, way) else LEAVING_CARE
        yield Sheet(title, _of_way(page, way), care, shown)


def _of_way(page: "CullPage", way: str | None) -> tuple[Checklist, ...]:
    """The lists of what came along by one way; left at home is only what was seen by it.

    Of a way by which no trip was yet, those of everything: what it is beyond stays packed anyway.
    """
    afloat = _afloat(page, way)
    if way not in page.along:
        return _lists(page, afloat=afloat)
    along = page.along[way]
    seen = {j.about.item for j in page.data.judged if way is None or way in j.usage.seen.modes}
    return _lists(page, along, along & seen, afloat=afloat)


def _lists(
    page: "CullPage",
    along: frozenset[str] | None = None,
    seen: frozenset[str] | None = None,
    *,
    afloat: bool = False,
) -> tuple[Checklist, ...]:
    """The lists of everything, or of what came ``along``; what may stay at home is of ``seen``.

    What failed badly and what to take for the weather is on all of them; where one goes
    ``afloat``, what keeps safe on the water, too.
    """
    cull, display = page.data, page.display
    kinds, by_item, by_verdict = {k.kind: k for k in cull.by_kind}, cull.by_item, shelves(cull)
    by_weather = {*kinds["wet"].add, *kinds["cold"].add}
    left = [i for i in cull.answer.left if seen is None or i.item in seen]
    left.sort(key=lambda i: (-i.weight_g, i.item))
    warm = kinds["dry_warm"].answer.items & by_weather
    dry_warm = [by_item[i] for i in sorted(warm if seen is None else warm & seen)]
    take = {kind: (*kinds[kind].add, *kinds[kind].meant) for kind in IF_WEATHER}

    named_already = {i for items in take.values() for i in items}

    def of(*verdicts: str) -> list[Judged]:
        shelf = [j for verdict in verdicts for j in by_verdict.get(verdict, [])]
        return [j for j in shelf if along is None or j.about.item in along]

    unchecked: dict[str, list[str]] = {}
    for j in due_for_a_check(of("kept_on_purpose"), page.today):
        unchecked.setdefault(label(j.about.system), []).append(j.about.name)
    silent = listed([j.about.name for j in of("owner_to_say")])

    def dry_warm_words(j: Judged) -> str:
        return f"{mass(weight_g(cull, j), display)}, {meant_for(j.about.meaning, display)}"

    beside = cull.only_beside(cull.answer.point.items)

    def left_words(i: LeftItem) -> str:
        weighs = mass(i.weight_g, display)
        return f"{weighs}, {only_while(beside[i.item])}" if i.item in beside else weighs

    def wait(j: Judged) -> str:
        if j.held or j.more is None:
            return ""
        needs = "; it depends on charging on the way" if j.about.item in page.batteries else ""
        return f"{count(j.more, 'more occasion')} would tell{needs}"

    tasks = {
        # What must come along stands before what need not.
        _ON_WATER: [Task(j.about.name) for j in _for_the_water(page, of(*_STAYING)) if afloat],
        "For the weather: see that these come along": [
            Task(IF_WEATHER[kind], told)
            for kind, items in take.items()
            if named_already and (told := for_weather(kind, names_by_weight(cull, items)))
        ],
        "Leave at home": [Task(i.name, left_words(i)) for i in left if i.item not in by_weather],
        "Could stay at home, too, where it is dry and warm; else take them": [
            Task(j.about.name, dry_warm_words(j)) for j in dry_warm
        ],
        "Look over before packing: no check within a year": [
            Task(system, listed(names)) for system, names in unchecked.items()
        ],
        "If you pack them, note whether they are used": [
            Task(j.about.name, wait(j))
            for j in of("too_few_trips", "no_chance_yet")
            if j.about.item not in named_already
        ],
        "Stay packed until gear.csv says what they are for": [Task(silent)] if silent else [],
    }
    lists = (
        # What keeps safe on the water is named whole.
        Checklist(heading, tuple(each) if heading == _ON_WATER else _shortened(each))
        for heading, each in tasks.items()
        if each
    )
    return (*_broken(page), *lists)


_STAYING = ("kept_on_purpose", "keep", "owner_to_say", "too_few_trips", "no_chance_yet")


def _afloat(page: "CullPage", way: str | None) -> bool:
    """Whether one goes by boat that way; where the way is not noted, whether one came along."""
    if way is not None:
        return way in AFLOAT
    return any(page.data.by_item[i].about.system == "boat" for i in page.along.get(None, ()))


def goes_afloat(page: "CullPage") -> bool:
    """Whether one goes by boat on any trip of the page."""
    trips = page.data.around.to_come or page.data.usage.scoped.trips
    return any(_afloat(page, way) for way in {trip.mode for trip in trips})


def _for_the_water(page: "CullPage", along: Sequence[Judged]) -> list[Judged]:
    """What keeps safe on the water: of what came along, and the boat's of every trip by boat.

    A helmet that came along by bike and on no trip by boat alone is none of it.
    """
    by_way = page.along
    ridden = by_way.get("bike", frozenset()) | by_way.get("ebike", frozenset())
    dry = ridden - by_way["paddle"] if "paddle" in by_way else frozenset()
    chosen = {
        j.about.item: j
        for j in along
        if j.about.system == "safety"
        and not (j.about.item in dry and may_be_for_riding(j.about.item, j.about.name))
    }
    for j in page.data.judged:
        about, by_name = j.about, keeps_a_boat_safe(j.about.item, j.about.name)
        of_the_boat = about.system == "boat" and (about.insurance or about.essential)
        if j.verdict in _STAYING and (of_the_boat or by_name):
            chosen[about.item] = j
    return sorted(chosen.values(), key=lambda j: (j.about.system, j.about.name))


def _broken(page: "CullPage") -> tuple[Checklist, ...]:
    tasks = tuple(Task(name) for name in page.broken)
    return (Checklist("Do not use before it is mended", tasks),) if tasks else ()


def _shortened(tasks: Sequence[Task]) -> tuple[Task, ...]:
    """Return so many tasks as leave the sheet one sheet."""
    if len(tasks) <= _MOST_TASKS:
        return tuple(tasks)
    rest = len(tasks) - _MOST_TASKS + 1
    return (*tasks[: _MOST_TASKS - 1], Task(f"{rest} more", "see the tables"))
