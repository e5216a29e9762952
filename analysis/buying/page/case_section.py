"""The section on one candidate: the verdict, what speaks for and against it, now and then."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ...cold import note_words
from ...display.figure import Figure
from ...display.markup import slug
from ...display.sections import Section
from ...display.words import Display, count, listing, mass, number, quoted, sentence
from .. import words as case_words
from ..cautions import own_caution
from ..nights import BeddingSwap
from ..results import Case, EffortSaved
from . import charts
from .now_and_then import now_and_then_table

_MOST_REASONS = 3


@dataclass(frozen=True)
class Sections:
    """Several sections that one cell shows."""

    parts: tuple[Section, ...]

    def _repr_mimebundle_(self, **_: Any) -> dict[str, str]:
        return {
            "text/html": "".join(part.html() for part in self.parts),
            "text/plain": "\n\n".join(part.text() for part in self.parts),
        }


def case_section(
    case: Case, swap: BeddingSwap | None, display: Display, *, alone: bool = False
) -> Section:
    """One candidate: the verdict, the strongest reasons, what would change it, now and then.

    ``alone``: there is no other on the page, so that nothing of it is folded.
    """
    own = case.candidate
    replaced = quoted([r.name for r in case.replaced])
    place = f"take the place of {replaced}" if replaced else "come beside what you have"
    reasons = case_words.reasons_for(case, display) or [case_words.reason_for(case, display)]
    against = case_words.reasons_against(case, display) or [sentence(case_words.NOTHING_FOR)]
    heading = f"{case_words.heading(case, display)}."
    figure = None
    if case.replay is not None and swap is not None and case.replay.votes > 1:
        figure = Figure(
            f"nights-{slug(own.candidate)}",
            f"{heading} Dots: your nights by their low, those that felt too cold on "
            "a line of their own, with the limits now and with it.",
            charts.nights_again(swap, case.replay, display),
            "A limit is the low at which one night in five is too cold. Shaded: where the limit "
            "with it very likely lies; it rests on its rating and on how you slept in others. "
            "Nights on which sleep or shelter gear had failed are left out.",
        )
    return Section(
        own.name,
        (
            " ".join([heading, *_at_home(case)]),
            f"\u201c{own.name}\u201d would {place}. For it: {_strongest(reasons)}",
            f"Against it: {_strongest(against)}",
            f"What would change this: {case_words.what_would_change_it(case, display)}",
        ),
        figure,
        now_and_then_table(case, display),
        _notes(case, display),
        caution=own_caution(case, display),
        fold="" if alone else "For it, against it, and how it would be with it",
    )


def _strongest(reasons: Sequence[str]) -> str:
    return " ".join(reasons[:_MOST_REASONS])


def _at_home(case: Case) -> list[str]:
    """The sleep set that is owned and would have spared cold nights, too: it comes first."""
    replay = case.replay
    home = replay.at_home if replay is not None else None
    if replay is None or home is None:
        return []
    cold = count(replay.cold_votes, "cold night")
    nights = f"about {home.avoided} of the {cold}{case_words.spread(home)}"
    by = "" if home.basis == "own" else ", going by its rating and not by your nights in it"
    return [f"“{home.rated_name}”, which you own, would have spared {nights}{by}. Try that first."]


def _notes(case: Case, display: Display) -> tuple[str, ...]:
    notes = []
    if case.effort is not None and case.saved_g:
        notes.append(_effort_note(case.effort, case.saved_g))
    if case.base is not None:
        when = "of the last twelve months" if case.base.recent else "on record"
        notes.append(
            f"Base weight is the median of the {count(case.base.trips, 'trip')} {when} on which "
            "it would have come along."
        )
    if case.replay is not None and case.replay.set_apart:
        nights = sentence(count(case.replay.set_apart, "night")).removesuffix(".")
        notes.append(
            f"{nights} {'is' if case.replay.set_apart == 1 else 'are'} left out, because sleep or "
            "shelter gear had failed."
        )
    if case.replay is not None:
        kinds = sorted({case.candidate.rated_as, *case.replay.rated_as})
        notes += note_words.rating_notes(kinds, display)
    if case.year is not None:
        left = f"; {case.year.left_out} left out for want of them" if case.year.left_out else ""
        notes.append(
            f"A year like the last: {count(case.year.trips, 'trip')}, "
            f"{count(case.year.nights, 'night')}, with the normals of their places{left}."
        )
    other = case.alternative
    if other.same_g is not None and other.names:
        notes.append(
            f"Without spending anything {case_words.some(other.names)} could stay at home, "
            f"{mass(other.same_g, display)}. "
            f"{case_words.price_of_leaving(other.names, other.misses, other)} "
            "The report “What to leave at home” has the rest."
        )
    notes.append(
        "Failures of a new thing are those of its system; whether this make is better, the record "
        "cannot know."
    )
    return tuple(notes)


def _effort_note(effort: EffortSaved, saved_g: float) -> str:
    parts = [
        f"{number(abs(kj))} kJ {where}"
        for kj, where in ((effort.foot_kj, "on foot"), (effort.bike_kj, "at the pedals"))
        if kj is not None
    ]
    if effort.ebike_wh is not None:
        parts.append(f"{number(abs(effort.ebike_wh), 1)} Wh from the e-bike’s battery")
    did = "have spared" if saved_g > 0 else "have cost"
    return (
        f"Over the {count(effort.trips, 'trip')} of the last twelve months of which the effort "
        f"is known, its weight would {did} {listing(parts)}."
    )
