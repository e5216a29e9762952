"""Verdicts in plain words: the reason in one sentence, and what would reverse it."""

from collections.abc import Iterable, Mapping

from ...tripdata.contract import MODES
from ..display.thing_names import in_marks, listed
from ..display.words import (
    Display,
    count,
    day,
    label,
    listing,
    months,
    percent,
    sentence,
    temperature,
)
from ..store.scope import BY_MODE as _BY
from . import held_words
from .conditions import Meaning
from .trip_range import Range
from .verdicts import FARTHEST, Judged

LABELS = {
    "leave": "Leave at home",
    "owner_to_say": "For you to say",
    "too_few_trips": "Too early to say",
    "no_chance_yet": "No occasion yet",
    "keep": "Keep",
    "kept_on_purpose": "Kept on purpose",
    "given_up": "Given up",
}
"""The one name of each verdict, and of what has none since it was given up, in the order of tables
of every thing."""
_SI = Display()


def verdict_reason(judged: Judged, display: Display = _SI) -> str:
    """Why the verdict is what it is, in one sentence; what served another system is credited.

    Of what may be left at home a second sentence names the trips behind that.
    """
    why = verdict_record(judged, display)
    if judged.verdict != "leave":
        return why
    return f"{why} {sentence(f'That rests on trips {seen(judged.usage.seen, display)}')}"


def verdict_record(judged: Judged, display: Display = _SI) -> str:
    """The first of those sentences alone."""
    served = served_besides(judged)
    return sentence(f"{_reason(judged, display)}{served and f'; {served}'}")


def _reason(judged: Judged, display: Display) -> str:
    about, counts, rate, held = judged.about, judged.counts, judged.usage.rate, judged.held
    how = f"used on {rate.used} of" if rate.used else "never used on"
    record = f"{how} {count(rate.n, 'occasion')}"
    threshold, bound = percent(judged.limit), percent(judged.bound)
    match judged.why:
        case "given_up":
            return f"given up on {day(about.retired_on, weekday=False)}"
        case "insurance" | "essential" | "bound" if held is not None:
            return f"{held_words.hold_reason(judged.usage, held)}; {_seen(judged)}"
        case "no_chance":
            return f"no occasion yet: {_no_chance(judged, display)}"
        case "used" if rate.low >= judged.limit:
            return f"{record}, more often than its threshold of {threshold}"
        case "used" | "too_few":
            needed = f"it may be needed on up to {bound} of them"
            return f"{record}, so {needed}; the threshold is {threshold}"
        case "used_besides":
            trips = count(counts.used_besides, "trip")
            return f"used on {trips} that brought nothing it is known to be meant for"
        case "last_of_kind":
            kind = f"one thing for {_system(about.system)} stays"
            return f"{record}, but the last of its kind: {kind}"
        case "needed" if judged.needed_by:
            return f"{record}, but {listed(judged.needed_by)} cannot do without it"
        case "packed":
            what = listed(judged.needed_by[:3]) or "things that stay"
            return f"{record}, but it was the bag of {what}"
    if held is not None and judged.verdict != "leave":
        return f"{record}; but {held_words.hold_reason(judged.usage, held)}"
    needed = f"probably needed on fewer than {bound} of them"
    return f"{record}, so {needed}; the threshold is {threshold}"


def only_while(name: str) -> str:
    """On what condition a thing stays at home: "only while “Rain jacket” comes along"."""
    return f"only while {in_marks(name)} comes along"


def leave_only_while(names: Iterable[str], beside: Mapping[str, str]) -> tuple[str, ...]:
    """A sentence on each of these that stays at home beside another thing alone, all by name."""
    return tuple(
        f"Leave {in_marks(name)} at home {only_while(beside[name])}."
        for name in names
        if name in beside
    )


def seen(record: Range, display: Display = _SI) -> str:
    """What bounds a record: "in May to August, on foot, of up to 3 nights, with lows from 4 °C"."""
    bounds = [f"in {months(record.months)}"] if record.months else []
    if record.modes:
        bounds.append(listing([_BY[m] for m in MODES if m in record.modes]))
    if record.most_nights:
        bounds.append(f"of up to {count(record.most_nights, 'night')}")
    if record.lowest_c is not None:
        bounds.append(f"with lows down to {temperature(record.lowest_c, display)}")
    else:
        bounds.append("of whose lows none was noted")
    return ", ".join(bounds)


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
        return _seen(judged)
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


def served_besides(judged: Judged) -> str:
    """Which other systems it also served, if any."""
    if not judged.usage.served:
        return ""
    systems = [f"{_system(s)} on {count(n, 'trip')}" for s, n in judged.usage.served]
    return f"it also served {listing(systems)}"


def _system(system: str) -> str:
    return label(system).lower()


def verdict_reversal(judged: Judged, display: Display = _SI) -> str:
    """What would reverse the verdict, in one sentence; empty for what is given up."""
    match judged.why:
        case why if why == "last_of_kind" or (judged.only_one and judged.held is None):
            return f"Another thing of yours for {_system(judged.about.system)} that comes along."
        case "needed" if judged.needed_by:
            return held_words.as_long_as(judged.needed_by)
        case "packed":
            return "It stays as long as something travels in it."
        case "used" if judged.usage.rate.value >= judged.limit:
            return "Nothing soon: it is used more often than its threshold allows."
        case _ if judged.held is not None:
            return held_words.hold_reversal(judged.about, judged.held, display)
        case "used" if judged.more is None:
            return f"No sooner than after {FARTHEST} more occasions without needing it."
        case "no_chance" | "too_few" | "used":
            return _without_need(judged)
        case "used_besides":
            return "Trips on which it stays packed, whatever the weather."
    if judged.uses is None:
        return f"Nothing within {FARTHEST} occasions."
    if judged.uses == 1:
        return "A use on its next occasion would keep it."
    return f"A use on each of its next {judged.uses} occasions would keep it."


def _without_need(judged: Judged) -> str:
    what = "occasion" if judged.about.meaning.words else "trip"
    trips = sentence(count(judged.more, what if judged.why == "no_chance" else f"more {what}"))[:-1]
    return f"{trips} without needing it, and it could stay at home. One use, and it stays."
