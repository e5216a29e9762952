"""Sentences of the logbook's first page."""

from collections.abc import Sequence

from ..cold import words as cold_words
from ..cold.trips import ColdAhead
from ..display.words import (
    Display,
    count,
    day,
    days,
    distance,
    quoted,
    sentence,
)
from ..store.scope import BY_MODE
from ..store.trip_choice import TripChoice
from .logbook import Totals, TripBack
from .next_plan import NextPlan
from .to_do import ToDo

_NAMED = 4
_LETTERS = 80
_HOW_BROKEN = {
    "nuisance": "has been a nuisance",
    "impaired": "has worked badly",
    "lost_use": "has been of no use",
    "unsafe": "has been unsafe",
}
WHY_NO_ODDS = {
    "no_nights": "",
    "no_bedding": "How cold its nights may be for you is not known: no sleep gear with a rating "
    "stands on its list.",
    "no_station": "How cold its nights may be is not known: no climate normals are known near "
    "enough.",
    "no_spread": "How cold its nights may be is not known: the climate normals of its place lack "
    "the spread of single nights.",
}
NO_TRIPS = (
    "No trip has taken place yet. Put one into trip.csv, note in its folder what you carried and "
    "how the nights were, and run tarebook report all: its debrief will stand here."
)


def total_line(sums: Totals, display: Display) -> str:
    """ "29 trips and 66 nights since 12 May 2023, 1234 km on the move"."""
    if sums.first is None:
        return "No trips yet"
    nights = f" and {count(sums.nights, 'night')}" if sums.nights else ""
    since = f" since {day(sums.first, weekday=False)}" if sums.trips > 1 else ""
    line = f"{count(sums.trips, 'trip')}{nights}{since}"
    if sums.distance_km:
        part = "" if sums.with_distance == sums.trips else f" on {sums.with_distance} of them"
        line += f" · {distance(sums.distance_km, display)} on the move{part}"
    return line


def trip_line(trip: TripBack) -> str:
    """When, how long, how and where."""
    stay = count(trip.nights, "night") if trip.nights else "a day out"
    how = BY_MODE.get(trip.mode or "", "")
    parts = (days(trip.start_on, trip.end_on), f"{stay} {how}".strip(), trip.place or "")
    return " · ".join(part for part in parts if part)


def said_of_trip(note: str | None) -> str:
    """The beginning of the owner's note, some 80 letters, cut at a word; empty without one."""
    whole = " ".join((note or "").split())
    if len(whole) <= _LETTERS:
        return whole
    return f"{whole[:_LETTERS].rpartition(' ')[0] or whole[:_LETTERS]} …"


def plan_line(plan: NextPlan) -> str:
    """When, how long, and how."""
    stay = count(plan.nights, "night") if plan.nights else "a day out"
    how = BY_MODE.get(plan.plan.mode or "", "")
    return f"{days(plan.plan.start_on, plan.plan.end_on)} · {f'{stay} {how}'.strip()}"


def odds(cold: ColdAhead) -> str:
    """How likely a night of the plan is too cold, or why that cannot be told."""
    if cold.lacking or cold.unmended:
        return " ".join(cold_words.barred_sentences(cold))
    if cold.told is None or cold.limit is None:
        return WHY_NO_ODDS.get(cold.why_not or "", "")
    return f"{cold_words.chance_of_trip(cold)}.{cold_words.in_warmer_set(cold)}"


def later_plans(plans: Sequence[ColdAhead]) -> tuple[tuple[TripChoice, str], ...]:
    """The plans after the first, each with what stands behind its title: its days.

    Of the first few their odds, too.
    """
    return tuple((each.trip, _later(each, place < _NAMED)) for place, each in enumerate(plans))


def _later(cold: ColdAhead, told: bool) -> str:
    when = f"({days(cold.trip.start_on, cold.trip.end_on)})."
    return f"{when} {odds(cold) if told else ''}".rstrip()


def more_to_do(shown: Sequence[ToDo], known: Sequence[ToDo]) -> str:
    """For how many things beyond those shown there is something to do; empty where none does."""
    several = sum(len(each.names) for each in known) - sum(len(each.names) for each in shown)
    if not several:
        return ""
    return f"There is something to do for {count(several, 'more thing')}."


def to_do_sentence(thing: ToDo) -> str:
    """What to do, in one sentence or two."""
    many = len(thing.names)
    several, names = many > 1, quoted(thing.names, at_most=_NAMED - 1 if many > _NAMED else None)
    match thing.kind:
        case "mend":
            return _mend(thing, names)
        case "check" if many > _NAMED:
            whole = f"{count(many, 'thing')} that have not been checked for a year"
            return f"Look over {whole}: {names}."
        case "check":
            have = "have" if several else "has"
            return f"Look over {names}, which {have} not been checked for a year."
        case "replenish":
            were = "were" if several else "was"
            return f"Check and refill {names}, which {were} opened and not checked since."
        case "try_out":
            mended = "they failed and were" if several else "it failed and was"
            return f"Try {names} at home first: {mended} mended since."
        case "restock":
            return f"Restock {names}: nothing of {'them' if several else 'it'} came home."
    return f"Charge {names}."


def _mend(thing: ToDo, names: str) -> str:
    worst = thing.chores[0]
    since = f" since {day(worst.day, weekday=False)}" if worst.day is not None else ""
    told = f"Mend {names}, which {_HOW_BROKEN[worst.severity or 'nuisance']}{since}."
    return f"{told} {sentence(worst.what)}" if worst.what else told
