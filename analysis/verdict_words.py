"""Verdicts in plain words: the reason in one sentence, and what would reverse it."""

from tarebook.analysis.conditions import Meaning
from tarebook.analysis.verdicts import FARTHEST, Judged
from tarebook.analysis.words import (
    Display,
    count,
    day,
    label,
    listing,
    percent,
    sentence,
    temperature,
)

LABELS = {
    "keep": "Keep",
    "leave": "Leave at home",
    "kept_on_purpose": "Kept on purpose",
    "no_chance_yet": "No chance yet",
    "too_few_trips": "Too few trips to tell",
}
_SI = Display()


def reason(judged: Judged, display: Display = _SI) -> str:
    """Why the verdict is what it is, in one sentence; what served another system is credited."""
    return sentence(f"{_reason(judged, display)}{_served(judged)}")


def _reason(judged: Judged, display: Display) -> str:
    about, counts, rate = judged.about, judged.counts, judged.usage.rate
    used = f"used on {rate.used} of {count(rate.n, 'chance')}"
    never = f"never used on {count(rate.n, 'chance')}"
    told = used if rate.used else never
    match judged.why:
        case "given_up":
            return f"given up on {day(about.retired_on, weekday=False)}"
        case "insurance":
            return f"insurance, carried in the hope of not needing it; {_seen(judged)}"
        case "essential":
            return f"essential, so never left on the numbers alone; {_seen(judged)}"
        case "no_chance":
            return f"no chance yet: {_no_chance(judged, display)}"
        case "too_few":
            return (
                f"{never}, so it may be needed on up to {percent(judged.bound)} of them; the limit "
                f"is {percent(judged.limit)}"
            )
        case "used" if rate.low >= judged.limit:
            return f"{used}, more often than its limit of {percent(judged.limit)}"
        case "used":
            return (
                f"{used}, so it may be needed on up to {percent(judged.bound)} of them; the limit "
                f"is {percent(judged.limit)}"
            )
        case "used_besides":
            trips = count(counts.used_besides, "trip")
            return f"used on {trips} that brought nothing it is known to be meant for"
        case "borrowed":
            return f"borrowed from {about.owner}, so not yours to cull; {told}"
        case "last_of_kind":
            return f"{told}, but the last of its kind: one thing for {_system(about.system)} stays"
        case "needed":
            return f"{told}, but {listing(judged.needed_by)} cannot do without it"
    return (
        f"{told}, so hardly needed on more than {percent(judged.bound)} of them; the limit is "
        f"{percent(judged.limit)}"
    )


def _seen(judged: Judged) -> str:
    counts = judged.counts
    if not counts.logged:
        return f"carried on {count(counts.carried, 'trip')}, its use not noted"
    if not counts.used:
        return f"not used on {count(counts.logged, 'trip')}"
    return f"used on {counts.used} of {count(counts.logged, 'trip')}"


def _no_chance(judged: Judged, display: Display) -> str:
    counts = judged.counts
    if not counts.logged:
        return f"carried on {count(counts.carried, 'trip')}, its use not noted"
    trips = count(counts.logged, "trip")
    sure = counts.no_chance == counts.logged
    brought = "brought that" if sure else "is known to have brought that"
    return f"it is {meant_for(judged.about.meaning, display)}, and none of its {trips} {brought}"


def meant_for(meaning: Meaning, display: Display = _SI) -> str:
    """What a thing is meant for: "meant for wet or for nights under 5 °C"."""
    words = [w.replace("_", " ") for w in sorted(meaning.words - {"cold"})]
    if "cold" in meaning.words:
        below = meaning.cold_below_c
        words.append("cold" if below is None else f"nights under {temperature(below, display)}")
    return f"meant for {listing(words, last='or')}" if words else "meant for any trip"


def _served(judged: Judged) -> str:
    if not judged.usage.served:
        return ""
    told = [f"{_system(s)} on {count(n, 'trip')}" for s, n in judged.usage.served]
    return f"; it also served {listing(told)}"


def _system(system: str) -> str:
    return label(system).lower()


def reversal(judged: Judged) -> str:
    """What would reverse the verdict, in one sentence; empty for what is given up."""
    more = judged.more
    match judged.why:
        case "given_up":
            return ""
        case "insurance":
            return "Only you: insurance = no in gear.csv."
        case "essential":
            return "Only you: essential = no in gear.csv."
        case "no_chance":
            return f"{sentence(count(more, 'chance'))[:-1]} without a use would let it go."
        case "too_few":
            return f"{sentence(count(more, 'more chance'))[:-1]} without a use would let it go."
        case "used" if more is not None:
            return f"{sentence(count(more, 'more chance'))[:-1]} without a use would let it go."
        case "used":
            return f"More than {FARTHEST} chances without a use would let it go."
        case "used_besides":
            return "Trips on which it stays packed, whatever the weather."
        case "borrowed":
            return "Giving it back."
        case "last_of_kind":
            return f"Another thing of yours for {_system(judged.about.system)} that comes along."
        case "needed":
            return f"Leaving {listing(judged.needed_by)}, too."
    if judged.uses is None:
        return f"Nothing within {FARTHEST} chances."
    if judged.uses == 1:
        return "A use on its next chance would keep it."
    return f"A use on each of its next {judged.uses} chances would keep it."
