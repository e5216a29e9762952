"""Why a thing may be missing from a list, in one plain sentence."""

from collections.abc import Sequence

from ..display.words import count, listing, one_in
from .along import Along
from .lifelines import Lifeline
from .weather import ConditionAhead

NOTHING_LISTED = (
    "“{title}” has nothing on its list, so nothing can be missing from it: `tarebook new LOGBOOK "
    "--trip {trip}` fills it from a like trip."
)
NO_LIKE_TRIP = (
    "No trip like “{title}” with a list was over before it begins: only what no list is to lack, "
    "what its things need and what was wished for is named."
)


_LACKS = {
    "afloat": "nothing on this list keeps you afloat",
    "helmet": "this list has no helmet",
    "sleep": "nothing on this list is to sleep in or on",
    "ground": "this list has nothing else to sleep on",
    "bedding": "nothing else on this list keeps you warm at night",
}
_PARTLY = {
    "rain": "this list has no rain jacket, poncho or cape",
    "first_aid": "this list has no first-aid kit and no dressing",
}
"""The same where it has something of the kind that does not do alone."""


def in_quotes(names: Sequence[str]) -> str:
    """Return "“Mug” and “Rope, 10 m”"; four names at most."""
    return listing([f"“{name}”" for name in names], at_most=4)


def like_trips_had(along: Along, trips: int) -> str:
    """Return "8 of 9 like trips had it."; ``trips``: like trips with a list, before it too."""
    since = "" if along.of == trips else " since you have it"
    replaced = " or what it replaced" if along.inherited else ""
    return f"{_share(along.had, along.of)}{since} had it{replaced}."


def like_trips_had_either(had: int, of: int, others: Sequence[str]) -> str:
    """Return "9 of 9 like trips had it or “Pot”."."""
    return f"{_share(had, of)} had it or {in_quotes(others)}."


def record_had(had: int, of: int, trips: int, *, none_like: bool) -> str:
    """Return "10 of 10 trips had it, none of them like this one."; ``trips``: of the record."""
    since = "" if of == trips else " since you have it"
    which = "none" if none_like else "hardly any"
    return f"{had} of {of} trips{since} had it, {which} of them like this one."


def nothing_as_warm() -> str:
    """Return that the list has no clothing that is known to be as warm."""
    return "You own it, and no clothing on this list is known to be as warm."


def took_over(along: Along, from_names: Sequence[str]) -> str:
    """Return that what it took over from was along on like trips."""
    return f"It took over from {in_quotes(from_names)}: {_share(along.had, along.of)} had that."


def took_over_from_listed(from_names: Sequence[str]) -> str:
    """Return that what it took over from is still on the list, though given up."""
    verb = "is" if len(from_names) == 1 else "are"
    return f"{in_quotes(from_names)} {verb} on the list, but given up; this took over."


def needed_by(user: str, is_listed: bool, along: Along) -> str:
    """Return which thing needs it, whether that may be missing itself, and who had it along."""
    missing = "" if is_listed else ", and may be missing, too"
    had = f"; {_share(along.had, along.of)} had it" if along.had else ""
    return f"“{user}” needs it{missing}{had}."


def system_missing(system: str, had: int, trips: int) -> str:
    """Return that like trips had something of a system and this one has nothing."""
    words = system.replace("_", " ")
    return f"{_share(had, trips)} had something of {words}; this list has nothing of it."


def lifeline_missing(lacks: Lifeline, along: Along, others: Sequence[str]) -> str:
    """Return that the list has nothing of a kind, who had it along, what else of it is owned."""
    if lacks.asks:
        return "Nothing on the list is known to lie under you. Is this your mat?"
    asleep = (_PARTLY if lacks.partly else _LACKS).get(lacks.kind)
    if lacks.had and asleep is None:
        return system_missing(lacks.kind, lacks.had, lacks.trips)
    if along.had:
        return f"{_share(along.had, along.of)} had it; {asleep}."
    if lacks.had:
        return f"{_share(lacks.had, lacks.trips)} had something of the kind; {asleep}."
    besides = f" You own {in_quotes(others)}, too." if others else ""
    this = asleep or f"this list has nothing of {lacks.kind.replace('_', ' ')}"
    return f"You own it, and {this}.{besides}"


def weather_calls(by: ConditionAhead, others: Sequence[str]) -> str:
    """Return how likely the weather is that it is meant for, and what else is owned for it.

    "A night cold enough for it: about 9 in 10.", "A wet day is almost certain."
    """
    if by.chance is None:
        raise ValueError("by: expected a condition with a chance, got one without")
    word = by.condition.replace("_", " ").capitalize()
    comes = {"cold": "A night cold enough for it", "wet": "A wet day"}.get(by.condition, word)
    odds = one_in(by.chance)
    told = f"{comes} is {odds}" if odds == "almost certain" else f"{comes}: {odds}"
    besides = f" You own {in_quotes(others)}, too." if others else ""
    return f"{told}.{besides}"


def missed_on(titles: Sequence[str]) -> str:
    """Return on which trips it was missed, the latest last."""
    if len(titles) == 1:
        return f"You missed it on “{titles[0]}”."
    return f"You missed it on {count(len(titles), 'trip')}, last on “{titles[-1]}”."


def wished_for(titles: Sequence[str], how_much: str | None = None) -> str:
    """Return how often it was wished for, the latest trip last; once: how much."""
    if len(titles) == 1:
        return f"You wished for it {how_much} on “{titles[0]}”; you do not own it."
    times = "twice" if len(titles) == 2 else f"{len(titles)} times"
    return f"You wished for it {times}, last on “{titles[-1]}”; you do not own it."


def _share(had: int, of: int) -> str:
    return f"{had} of {of} like trips"
