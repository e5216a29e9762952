"""The sections of a season's page on its shelves: never used, insurance, to say, too early, all."""

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from ...display.bars import Bar, bars_alone
from ...display.figure import Figure
from ...display.sections import Section
from ...display.theme import ACCENT, COLOURS, CONTEXT
from ...display.thing_names import in_marks, named
from ...display.words import Display, count, day, mass, sentence, small_mass
from ...usage.verdict_words import verdict_reversal
from ...usage.verdicts import Judged
from ...wear.checks import a_year_before
from ..results import Cull
from . import tables
from .words import agreeing, conditions, shelves, weight_g

if TYPE_CHECKING:
    from .page import CullPage

_COLOURS = {
    "leave": ACCENT,
    "too_few_trips": COLOURS["orange"],
    "owner_to_say": COLOURS["purple"],
}
_MOST_BARS = 12


def never_used_section(page: "CullPage") -> Section:
    """What was carried and never used, told apart from what never had its occasion."""
    cull, display, heading = page.data, page.display, "Carried but never used"
    if not cull.usage.scoped.recorded:
        return Section.empty(heading, "what was used")
    here = [j for shelf in shelves(cull).values() for j in shelf if j.verdict]
    here.sort(key=lambda j: (-(weight_g(cull, j) or 0), j.about.item))
    never = [j for j in here if j.counts.never_used]
    if not never:
        return Section(heading, ("Everything whose use is noted was used at least once.",))
    had = [j for j in never if j.counts.chances - j.counts.wished]
    idle = [j for j in never if not j.counts.chances - j.counts.wished]
    insured = [j for j in had if j.about.insurance]
    first = f"{count(len(had), 'thing')} had {_its(had)} occasion and {_was(had)} never used"
    sentences = [sentence(first)]
    if insured:
        sentences[0] += f" {len(insured)} of them {agreeing(insured)} insurance, kept on purpose."
    if idle:
        names = named([j.about.name for j in idle])
        sentences.append(f"{names} had no occasion yet, which is another matter.")
    bars = [j for j in had if not j.about.insurance and j.about.item in cull.loads_g]
    more = tables.never_used_table(idle, cull, display, "No occasion yet")
    return Section(
        heading,
        tuple(sentences),
        _never_figure(bars, cull, display) if len(bars) > 1 else None,
        tables.never_used_table(had, cull, display, "Each, and why"),
        more=(more,) if idle else (),
        fold="Which they are, what they weigh, and why they were not used",
    )


def _never_figure(had: Sequence[Judged], cull: Cull, display: Display) -> Figure:
    scale = small_mass(display)
    bars = tuple(
        Bar(
            j.about.name,
            scale.value(weight_g(cull, j)),
            f"{mass(weight_g(cull, j), display)}, {count(j.counts.chances, 'occasion')}",
            _COLOURS.get(j.verdict or "", CONTEXT),
        )
        for j in had[:_MOST_BARS]
    )
    return Figure(
        "never-used",
        "Bars of what was never used, not counting insurance: "
        f"{named([j.about.name for j in had])}.",
        bars_alone(bars, f"Weight ({scale.unit})"),
        "Base weight only, without insurance, the heaviest first. Dark orange: leave at home; "
        "ochre: too early to say; purple: for you to say; grey: kept for another reason.",
    )


def _its(shelf: Sequence[Judged]) -> str:
    return agreeing(shelf, "its", "their")


def _was(shelf: Sequence[Judged]) -> str:
    return agreeing(shelf, "was", "were")


def insurance_section(page: "CullPage") -> Section:
    """What is carried in the hope of not needing it: its weight, its last check, no blame."""
    cull, display, heading = page.data, page.display, "The insurance shelf"
    shelf = shelves(cull).get("kept_on_purpose", [])
    if not shelf:
        return Section.empty(heading, "no insurance was carried")
    known = [g for j in shelf if (g := weight_g(cull, j)) is not None]
    weighs = f", {mass(sum(known), display, at_least=len(known) < len(shelf))}" if known else ""
    stay = f"{agreeing(shelf, 'stays', 'stay')}, used or not"
    first = f"{count(len(shelf), 'thing')}{weighs}, {agreeing(shelf)} kept on purpose and {stay}"
    needed = [j for j in shelf if j.counts.used]
    used = (f"{len(needed)} of them {_was(needed)} needed at least once.",) if needed else ()
    return Section(
        heading,
        (sentence(first), *used, _checked(shelf, page.today)),
        table=tables.insurance_table(shelf, cull, display),
    )


def _checked(shelf: Sequence[Judged], today: date) -> str:
    due = due_for_a_check(shelf, today)
    never = [j for j in due if j.about.checked_on is None]
    dated = [j for j in due if j.about.checked_on is not None]
    if not due:
        return "All of it was looked over within a year."
    parts = []
    if dated:
        oldest = min(dated, key=lambda j: (j.about.checked_on or today, j.about.item))
        parts.append(
            f"{count(len(dated), 'thing')} {_was(dated)} last looked over more than a year ago, "
            f"{in_marks(oldest.about.name)} on {day(oldest.about.checked_on, weekday=False)}"
        )
    if never:
        parts.append(f"of {count(len(never), 'thing')} no check is noted")
    return sentence("; ".join(parts))


def due_for_a_check(shelf: Sequence[Judged], today: date) -> list[Judged]:
    """Return what was not looked over within a year."""
    limit = a_year_before(today)
    return [j for j in shelf if j.about.checked_on is None or j.about.checked_on < limit]


def to_say_section(page: "CullPage") -> Section:
    """What its owner has not said the purpose of: one question each, and what to type."""
    heading, shelf = "For you to say", shelves(page.data).get("owner_to_say", [])
    if not shelf:
        return Section.empty(heading, "you have said what everything is for")
    one = len(shelf) == 1
    drawn = [
        f"{in_marks(j.about.name)}: {page.batteries[j.about.item]}"
        for j in shelf
        if j.about.item in page.batteries
    ]
    return Section(
        heading,
        (
            f"What {'is this' if one else f'are these {len(shelf)} things'} for? Staying packed on "
            "these trips does not prove that others do not need it.",
            f"Until you say so in gear.csv, {'it comes' if one else 'they come'} along. Then run "
            "this report again.",
        ),
        table=tables.to_say_table(shelf, page.data, page.display),
        notes=tuple(drawn),
        fold="The question, and what to type" if page.data.answer.left else "",
    )


def undecided_section(page: "CullPage") -> Section:
    """What it is too early to judge, and what would decide it."""
    cull, display, heading = page.data, page.display, "Too early to say"
    by_verdict = shelves(cull)
    shelf = by_verdict.get("too_few_trips", []) + by_verdict.get("no_chance_yet", [])
    if not shelf:
        return Section.empty(heading, "nothing is undecided")
    free = [j for j in shelf if j.held is None and j.more is not None]
    first = sentence(f"{count(len(shelf), 'thing')} had too few occasions, or none, to be judged")
    sentences = [first]
    if free:
        nearest = min(free, key=lambda j: (tables.trips_to_tell(j) or 10**6, j.about.item))
        reversal = verdict_reversal(nearest, display)
        near = " is nearest." if len(shelf) > 1 else ":"
        sentences.append(f"{in_marks(nearest.about.name)}{near} {reversal}")
    sentences += [
        page.batteries[j.about.item]
        if free and j is nearest
        else f"{in_marks(j.about.name)}: {page.batteries[j.about.item]}"
        for j in shelf
        if j.about.item in page.batteries
    ]
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
        f"Bars of how many occasions without a use are still missing for a verdict. {first}",
        bars_alone(bars, "Occasions without a use"),
        "Each bar runs from the occasions so far to those after which it could stay at home. What "
        "must come along for another reason has none.",
    )
    return Section(
        heading,
        (*sentences, f"Until then {agreeing(shelf, 'it stays', 'they stay')} on the list."),
        figure if len(bars) > 1 else None,
        tables.undecided_table(shelf, cull, display),
    )


COUNTED = {
    "keep": "to keep",
    "leave": "to leave at home",
    "kept_on_purpose": "kept on purpose",
    "owner_to_say": "for you to say",
    "too_few_trips": "too early to say",
    "no_chance_yet": "with no occasion yet",
}
"""The names of verdicts as they are counted."""


def everything_section(page: "CullPage") -> Section:
    """Every thing with its verdict, its figures and its reason."""
    cull, display, by_verdict = page.data, page.display, shelves(page.data)
    counts = [f"{len(by_verdict[v])} {words}" for v, words in COUNTED.items() if v in by_verdict]
    sentences = [sentence(f"{count(len(cull.judged), 'thing')} came along: {', '.join(counts)}")]
    gone = by_verdict.get("given_up", [])
    if gone:
        have = agreeing(gone, "has been given up since and is", "have been given up since and are")
        sentences.append(f"{len(gone)} of them {have} not judged.")
    return Section(
        "Every thing and its verdict",
        tuple(sentences),
        table=tables.figures_table(by_verdict, cull, display),
        more=(tables.reasons_table(by_verdict, cull, display),),
        notes=(
            "A thing may be left at home where even the highest rate that its record leaves "
            "credible stays under its threshold: one third, divided by the cost of missing it.",
            "Rate: share of its occasions on which a thing is used, with its very likely range. "
            "Next trip: how likely it is used then.",
            tables.BOUND_NOTE,
            *conditions(cull, (j.about.item for j in by_verdict.get("leave", ()))),
        ),
    )
