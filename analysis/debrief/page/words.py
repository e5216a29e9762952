"""The words that several parts of a debrief share: of things, of failures, of days."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from ...display import words
from ...display.thing_names import in_marks, named
from ...display.words import Display, Scale, count, listing, mass, mass_apart, number, sentence
from ...store.rows import Record
from ...wear.words import SEVERITY_WORDS
from ..changes import Changes
from ..facts import Debrief
from ..load import NeverOut

VEHICLE = {
    "bike": "the bike and what is on it",
    "ebike": "the e-bike and what is on it",
    "paddle": "the boat and what belongs to it",
    "mixed": "the bike or boat and what belongs to it",
}
CAUSE_WORDS = {
    "added": "brought along",
    "dropped": "left at home",
    "swapped": "swapped",
    "picked_up": "picked up on the way",
    "carried_otherwise": "carried in another way",
    "quantity": "more or fewer of the same",
    "reweighed": "reweighed",
}
NO_INSURANCE = "not counting first aid, repair and other insurance"
PACKED_GROUPS = {
    "could_stay": "Could have stayed at home",
    "no_weather": "Its weather did not come",
    "stays_listed": "Stays on the list",
    "given_up": "Given up since",
    "not_needed": "Not settled by one trip",
}
"""What stayed packed, in groups: the fields of `load.NeverOut`, and their titles."""
_OPEN = {
    True: "Its record says leave it at home, but the weather it is for came.",
    None: "Its record says leave it at home, but whether the weather it is for came is not known.",
    False: "Its record says leave it at home, but one trip says nothing of what one relies on.",
}
_WORST_FIRST = ("unsafe", "lost_use", "impaired", "nuisance")


def far_words(debrief: Debrief, display: Display) -> str:
    """How far it went, and on how many of its days that is noted: "61 km noted on 2 of 3 days"."""
    part = debrief.far_noted
    noted = f" noted on {part.logged} of {part.expected} days" if part is not None else ""
    return f"{words.distance(debrief.trip.distance_km, display)}{noted}"


def group_sentences(out: NeverOut) -> list[str]:
    """Return a sentence for each group of what stayed packed that has anything in it."""
    names = {key: [row["name"] for row in getattr(out, key)] for key in PACKED_GROUPS}
    says = {
        "could_stay": "{names} could have stayed at home.",
        "no_weather": "The weather for {names} did not come.",
        "stays_listed": "Take {names} again.",
        "given_up": "Given up since: {names}.",
    }
    told = [text.format(names=named(names[key])) for key, text in says.items() if names[key]]
    # What a verdict would leave, but not on such a trip, is counted and not named.
    if not_needed := out.not_needed:
        many = len(not_needed)
        early = [in_marks(row["name"]) for row in not_needed if row["why"] is not None]
        early = early[: 4 if len(early) == many <= 4 else 3]
        rest = many - len(early)
        others = f"{rest} more" if early else count(rest, "more thing" if told else "thing")
        told.append(
            f"One trip cannot say whether {listing([*early, *([others] if rest else [])])} "
            f"{'is' if many == 1 else 'are'} needed."
        )
    return told


_COUNTED = {
    "could_stay": (
        "{names} could have stayed at home.",
        "{many} could have stayed at home: {names}.",
    ),
    "no_weather": ("The weather for {names} did not come.", "For {many} the weather did not come."),
    "stays_listed": ("Take {names} again.", "Take {many} again."),
    "given_up": ("Given up since: {names}.", "{many} were given up since: {names}."),
    # What a verdict would leave, but not on such a trip, is counted and not named.
    "not_needed": (
        "One trip cannot say whether the other one is needed.",
        "One trip cannot say whether the other {many} are needed.",
    ),
}
"""Of each group of what stayed packed: the sentence of one thing, and of several."""
_ALONE = {
    "stays_listed": "Take {} again.",
    "not_needed": "One trip cannot say whether {} needed.",
}


def counted_sentences(out: NeverOut) -> list[str]:
    """Return a sentence for each group that has anything in it, with its number: they add up."""
    told = []
    for key, (one, several) in _COUNTED.items():
        names = [row["name"] for row in getattr(out, key)]
        if names:
            text = one if len(names) == 1 else several
            told.append(text.format(names=named(names), many=number(len(names))))
    # Where they are all that stayed packed, the number is told already.
    for key, text in _ALONE.items():
        if len(getattr(out, key)) == len(out.items):
            them = ("it is", "they are") if key == "not_needed" else ("it", "them")
            return [text.format(them[len(out.items) > 1])]
    return told


def why_open(row: Record) -> str:
    """Return why one trip cannot settle a row of `NeverOut.not_needed`."""
    return row["why"] or _OPEN[row.get("weather", False)]


def all_of(many: int, noun: str) -> str:
    """Return "All 14 things", "Both things" or "The thing": what a fold holds."""
    if many == 1:
        return f"The {noun}"
    return f"Both {noun}s" if many == 2 else f"All {count(many, noun)}"


def worst_first(failures: Sequence[Record]) -> list[Record]:
    """Return failures by severity, then as they came."""
    return sorted(failures, key=lambda row: _WORST_FIRST.index(row["severity"]))


def failure(row: Record) -> str:
    """Return one failure in a sentence: what, how bad, whether and how it was fixed."""
    what = f": {row['what']}" if row["what"] else ""
    how = f": {row['fixed_with']}" if row["fixed_with"] else ""
    bad = how_bad(row)
    if how and row["fixed_on"] is None:
        bad = f"{SEVERITY_WORDS[row['severity']]}, not mended, made do with"
    note = f" “{row['note']}”" if row.get("note") else ""
    return sentence(f"{in_marks(row['name'])}{what} ({bad}{how})") + note


def how_bad(row: Record) -> str:
    """Return "worked badly, not fixed"."""
    state = "not fixed" if row["fixed_on"] is None else "fixed"
    return f"{SEVERITY_WORDS[row['severity']]}, {state}"


def change_kind(row: Record) -> str:
    """Return how an item changed: "left at home", "swapped in", "2 instead of 1"."""
    if row["cause"] == "swapped" and not (row["pieces_before"] and row["pieces_after"]):
        return "swapped in" if row["pieces_after"] else "swapped out"
    if row["cause"] == "quantity":
        return f"{row['pieces_after']} instead of {row['pieces_before']}"
    last_time = row["cause"] == "picked_up" and row["pieces_after"]
    return CAUSE_WORDS[row["cause"]] + (" last time" if last_time else "")


def base_apart(now_g: float | None, since: Changes, display: Display) -> str:
    """How far the base weight is from the last one, as both are shown on their pages."""
    apart = since.difference_g or 0.0
    if now_g is None:
        return mass(abs(apart), display)
    return mass_apart(now_g, now_g - apart, display)


def by_day_km(moves: Sequence[Record]) -> dict[date, float]:
    """Return the distance of each day that has one, in km."""
    sums: dict[date, float] = {}
    for row in moves:
        sums[row["day"]] = sums.get(row["day"], 0.0) + row["distance_km"]
    return sums


def longest_day(moves: Sequence[Record], display: Display) -> str:
    """Return "Sun 17 May, 61 km", the first of equals; at least one day must have a distance."""
    by_day = by_day_km(moves)
    day = max(by_day, key=by_day.__getitem__)
    return f"{words.day(day, year=False)}, {plain(words.distance_scale(display), by_day[day])}"


def plain(scale: Scale, si: float | None) -> str:
    """Return number and unit without a decimal that says nothing: 6, not 6.0."""
    shown = round(scale.value(si) or 0.0, scale.decimals)
    return replace(scale, decimals=0).text(si) if shown == round(shown) else scale.text(si)
