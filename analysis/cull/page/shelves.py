"""The sections of a season's page on its shelves: never used, insurance, too early, all, to do."""

from collections.abc import Sequence
from datetime import date

from ...display.bars import Bar, Group, bar_chart
from ...display.checklist import Checklist, Task
from ...display.figure import Figure
from ...display.sections import Section
from ...display.theme import ACCENT, CONTEXT, OKABE_ITO
from ...display.thing_names import in_marks, listed, named
from ...display.words import Display, count, day, mass, sentence, small_mass
from ...usage.conditions import Kind
from ...usage.verdict_words import meant_for, reversal
from ...usage.verdicts import Judged
from ...wear.checks import a_year_before
from ..results import Cull
from . import tables
from . import words as said

_COLOURS = {
    "leave": ACCENT,
    "too_few_trips": OKABE_ITO["orange"],
    "owner_to_say": OKABE_ITO["purple"],
}
_MOST_BARS, _MOST_TASKS = 12, 14


def never_used(cull: Cull, display: Display) -> Section:
    """What was carried and never used, told apart from what never had its occasion."""
    heading = "Carried but never used"
    here = [j for shelf in said.shelves(cull).values() for j in shelf if j.verdict]
    here.sort(key=lambda j: (-(said.weight_g(cull, j) or 0), j.about.item))
    never = [j for j in here if j.counts.never_used]
    had = [j for j in never if j.counts.chances - j.counts.wished]
    idle = [j for j in never if not j.counts.chances - j.counts.wished]
    if not cull.usage.scoped.recorded:
        return Section.empty(heading, "what was used")
    if not never:
        return Section(heading, ("Everything whose use is noted was used at least once.",))
    insured = [j for j in had if j.about.insurance]
    first = f"{count(len(had), 'thing')} had {_its(had)} occasion and {_was(had)} never used"
    told = [sentence(first)]
    if insured:
        told.append(f"{len(insured)} of them {_is(insured)} insurance, kept on purpose.")
    if idle:
        names = named([j.about.name for j in idle])
        told.append(f"{names} never had {_its(idle)} occasion, which is another matter.")
    bars = [j for j in had if not j.about.insurance and j.about.item in cull.loads_g]
    more = tables.never_used(idle, cull, display, "Never had their occasion") if idle else None
    return Section(
        heading,
        tuple(told),
        _never_figure(bars, cull, display) if bars else None,
        tables.never_used(had, cull, display, "Had their occasion, never used"),
        more=(more,) if more else (),
    )


def _never_figure(had: Sequence[Judged], cull: Cull, display: Display) -> Figure:
    scale = small_mass(display)
    bars = tuple(
        Bar(
            j.about.name,
            scale.value(said.weight_g(cull, j)),
            f"{mass(said.weight_g(cull, j), display)}, {count(j.counts.chances, 'occasion')}",
            _COLOURS.get(j.verdict or "", CONTEXT),
        )
        for j in had[:_MOST_BARS]
    )
    return Figure(
        "never-used",
        f"Bars of what was never used, insurance apart: {named([j.about.name for j in had])}.",
        lambda layout: bar_chart([Group("", bars)], layout, f"Weight ({scale.unit})"),
        "Of base weight, insurance apart, the heaviest first. Dark orange: leave at home; light "
        "orange: too early to say; purple: for you to say; grey: kept for another reason.",
    )


def _is(shelf: Sequence[Judged]) -> str:
    return "is" if len(shelf) == 1 else "are"


def _was(shelf: Sequence[Judged]) -> str:
    return "was" if len(shelf) == 1 else "were"


def _its(shelf: Sequence[Judged]) -> str:
    return "its" if len(shelf) == 1 else "their"


def insurance(cull: Cull, display: Display, today: date) -> Section:
    """What is carried in the hope of not needing it: its weight, its last check, no blame."""
    heading, shelf = "The insurance shelf", said.shelves(cull).get("kept_on_purpose", [])
    if not shelf:
        return Section.empty(heading, "no insurance was carried")
    known = [g for j in shelf if (g := said.weight_g(cull, j)) is not None]
    weighs = f", {mass(sum(known), display, at_least=len(known) < len(shelf))}" if known else ""
    first = f"{count(len(shelf), 'thing')}{weighs}, {_is(shelf)} carried on purpose and stay"
    needed = [j for j in shelf if j.counts.used]
    told = [sentence(first + ("s" if len(shelf) == 1 else ""))]
    if needed:
        told.append(f"{len(needed)} of them {_was(needed)} needed at least once.")
    return Section(
        heading,
        (*told, _checked(shelf, today)),
        table=tables.insurance(shelf, cull, display),
        notes=("Used or not, it is no waste.",),
    )


def _checked(shelf: Sequence[Judged], today: date) -> str:
    due = due_for_a_check(shelf, today)
    never = [j for j in due if j.about.checked_on is None]
    dated = [j for j in due if j.about.checked_on is not None]
    if not due:
        return "All of it was looked over within a year."
    told = []
    if dated:
        oldest = min(dated, key=lambda j: (j.about.checked_on or today, j.about.item))
        told.append(
            f"{count(len(dated), 'thing')} {_was(dated)} last looked over more than a year ago, "
            f"{oldest.about.name} on {day(oldest.about.checked_on, weekday=False)}"
        )
    if never:
        told.append(f"of {count(len(never), 'thing')} no check is noted")
    return sentence("; ".join(told))


def due_for_a_check(shelf: Sequence[Judged], today: date) -> list[Judged]:
    """Return what was not looked over within a year."""
    limit = a_year_before(today)
    return [j for j in shelf if j.about.checked_on is None or j.about.checked_on < limit]


def to_say(cull: Cull, display: Display) -> Section:
    """What its owner has not said the purpose of: one question each, and what to type."""
    heading, shelf = "For you to say", said.shelves(cull).get("owner_to_say", [])
    if not shelf:
        return Section.empty(heading, "nothing waits for a word from you")
    one = len(shelf) == 1
    return Section(
        heading,
        (
            f"What {'is this' if one else f'are these {len(shelf)} things'} for? Staying packed on "
            "these trips does not prove that others do not need it.",
            f"Until you say so in gear.csv, {'it comes' if one else 'they come'} along. Then run "
            "this report again.",
        ),
        table=tables.to_say(shelf, cull, display),
        caution=said.CARE,
    )


def undecided(cull: Cull, display: Display) -> Section:
    """What it is too early to judge, and what would decide it."""
    heading, by_verdict = "Too early to say", said.shelves(cull)
    shelf = by_verdict.get("too_few_trips", []) + by_verdict.get("no_chance_yet", [])
    if not shelf:
        return Section.empty(heading, "nothing is undecided")
    free = [j for j in shelf if j.held is None and j.more is not None]
    first = f"{count(len(shelf), 'thing')} had too few occasions, or none, to be judged"
    told = [sentence(first)]
    if free:
        nearest = min(free, key=lambda j: (tables.trips_to_tell(j) or 10**6, j.about.item))
        told.append(f"{in_marks(nearest.about.name)} is nearest. {reversal(nearest, display)}")
    told.append("Until then they stay on the list.")
    bars = tuple(
        Bar(
            j.about.name,
            float(j.more or 0),
            f"{j.usage.rate.n} so far, {j.more} to go" if j.more else "",
            _COLOURS["too_few_trips"],
            float(j.usage.rate.n),
        )
        for j in sorted(free, key=lambda j: (j.more or 0, j.about.item))[:_MOST_BARS]
    )
    figure = Figure(
        "undecided",
        f"Bars of how many occasions without a use are still missing for a verdict. {told[0]}",
        lambda layout: bar_chart([Group("", bars)], layout, "Occasions without a use"),
        "Each bar runs from the occasions so far to those after which it could stay at home. What "
        "must come along for another reason has none.",
    )
    table = tables.undecided(shelf, cull, display)
    return Section(heading, tuple(told), figure if bars else None, table)


def everything(cull: Cull, display: Display) -> Section:
    """Every thing with its verdict, its figures and its reason."""
    by_verdict = said.shelves(cull)
    counts = [
        f"{len(by_verdict[key])} {words}"
        for key, words in (
            ("keep", "to keep"),
            ("leave", "to leave at home"),
            ("kept_on_purpose", "on purpose"),
            ("owner_to_say", "for you to say"),
            ("too_few_trips", "with too few trips"),
            ("no_chance_yet", "without an occasion yet"),
        )
        if by_verdict.get(key)
    ]
    told = [sentence(f"{count(len(cull.judged), 'thing')} came along: {', '.join(counts)}")]
    gone = by_verdict.get("given_up", [])
    if gone:
        told.append(f"{count(len(gone), 'thing')} {_was(gone)} given up since and not judged.")
    return Section(
        "Every thing and its verdict",
        tuple(told),
        table=tables.figures(by_verdict, cull, display),
        more=(tables.reasons(by_verdict, display),),
        notes=(
            "A thing may be left at home where even the highest rate that its record leaves "
            "credible stays under its threshold: one third, divided by the cost of missing it.",
            "Rate: share of its occasions on which a thing is used, with its 90 % interval. Next "
            "trip: how likely it is used then. Last used: year and month.",
        ),
    )


def checklist(cull: Cull, display: Display, today: date, broken: Sequence[str] = ()) -> Section:
    """What to do when packing, on one sheet."""
    kinds = {k.kind: k for k in cull.by_kind}
    by_item = {j.about.item: j for j in cull.judged}
    shelf = said.shelves(cull).get("kept_on_purpose", [])
    early = said.shelves(cull)
    by_weather = {*kinds["wet"].add, *kinds["cold"].add}
    weather = [
        Task(when, listed(said.names_of(cull, (*kinds[kind].add, *kinds[kind].meant))))
        for kind, when in _WHEN
        if kinds[kind].add or kinds[kind].meant
    ]
    lists = (
        Checklist("Do not use before it is mended", _shortened([Task(name) for name in broken])),
        Checklist("Leave at home", _shortened([
            Task(item.name, mass(item.weight_g, display))
            for item in sorted(cull.answer.left, key=lambda i: (-i.weight_g, i.item))
            if item.item not in by_weather
        ])),
        Checklist("Also leave at home where it is dry and warm; else take them", _shortened([
            Task(by_item[i].about.name, _dry_warm(by_item[i], cull, display))
            for i in kinds["dry_warm"].answer.items
            if i in by_weather
        ])),
        Checklist("For the weather: see that these come along", tuple(weather)),
        Checklist("Look over before it goes along: no check within a year", tuple(
            Task(system, listed(names))
            for system, names in tables.system_names(due_for_a_check(shelf, today)).items()
        )),
        Checklist("If you pack them, note whether they are used", _shortened([
            Task(j.about.name, "" if j.held else f"{count(j.more, 'more occasion')} would tell")
            for key in ("too_few_trips", "no_chance_yet") for j in early.get(key, [])
        ])),
        Checklist("Stay packed until gear.csv says what they are for", (
            *([Task(listed([j.about.name for j in early["owner_to_say"]]))]
              if early.get("owner_to_say") else []),
        )),
    )  # fmt: skip
    shown = tuple(each for each in lists if each.tasks)
    if not shown:
        return Section.empty("The packing sheet", "nothing to tick off")
    first = "Leave out what stands under “Leave at home”; pack the rest as you usually do"
    if not cull.answer.left:
        first = "Nothing stays at home by this record"
    return Section(
        "The packing sheet",
        (f"{first}, {said.ahead(cull)}.", *said.held_notices(cull)),
        caution=said.CARE,
        more=shown,
    )


_WHEN: tuple[tuple[Kind, str], ...] = (
    ("wet", "If it may be wet"),
    ("cold", "If nights may be cold"),
)


def _dry_warm(judged: Judged, cull: Cull, display: Display) -> str:
    weighs = mass(said.weight_g(cull, judged), display)
    return f"{weighs}, {meant_for(judged.about.meaning, display)}"


def _shortened(tasks: Sequence[Task]) -> tuple[Task, ...]:
    """Return so many tasks as leave the sheet one sheet."""
    if len(tasks) <= _MOST_TASKS:
        return tuple(tasks)
    rest = len(tasks) - _MOST_TASKS + 1
    return (*tasks[: _MOST_TASKS - 1], Task(f"{rest} more", "see the tables"))
