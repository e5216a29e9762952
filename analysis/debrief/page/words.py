"""What the opening of a debrief says: the answer in a few sentences, and what narrows it."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from ...cold.ratings import RATING_KINDS
from ...cold.words import FEW_JUDGED, RATED_AS, degrees
from ...display import words
from ...display.sections import Point
from ...display.thing_names import named
from ...display.words import Display, Scale, count, mass, sentence
from ...store.rows import records
from ...store.set_aside import set_aside_notice
from ...wear.words import SEVERITY_WORDS
from ..changes import Changes
from ..chores import Chore
from ..facts import ColdestNight, Debrief

_PHRASES = 4
BY_MODE = {
    "foot": "on foot",
    "bike": "by bike",
    "ebike": "by e-bike",
    "paddle": "by boat",
    "mixed": "by more than one means",
}
VEHICLE = {
    "bike": "the bike and what is on it",
    "ebike": "the e-bike and what is on it",
    "paddle": "the boat and what goes with it",
    "mixed": "the bike or boat and what goes with it",
}
_WORST_FIRST = ("unsafe", "lost_use", "impaired", "nuisance")
_NIGHT = {
    1: "a very bad night",
    2: "a bad night",
    3: "a middling night",
    4: "a good night",
    5: "a very good night",
}
# The seven words of the thermal sensation scale (ISO 10551; ANSI/ASHRAE 55).
WARMTH = {
    -3: "cold",
    -2: "cool",
    -1: "slightly cool",
    0: "neither cold nor warm",
    1: "slightly warm",
    2: "warm",
    3: "hot",
}
INSURANCE_APART = "Insurance such as first aid and repair is not counted."
_NEARLY_ALL, _HARDLY_ANY = 0.95, 0.005


def lines(debrief: Debrief, display: Display) -> tuple[str, ...]:
    """Return when, how long, how and where, and how far."""
    trip, effort = debrief.trip, debrief.effort
    stay = count(trip.nights, "night") if trip.nights else "a day out"
    how = BY_MODE.get(trip.mode or "", "")
    first = [words.days(trip.start_on, trip.end_on), f"{stay} {how}".strip(), trip.place or ""]
    second = [
        words.distance(effort.distance_km, display) if effort.distance_km else "",
        f"{words.height(effort.ascent_m, display)} of climbing" if effort.ascent_m else "",
    ]
    told = (" · ".join(part for part in parts if part) for parts in (first, second))
    return tuple(line for line in told if line)


def notices(debrief: Debrief) -> tuple[str, ...]:
    """Return what the reader must know of the data: what is set aside, not weighed, not noted."""
    trip, unweighed = debrief.trip, debrief.weight.unweighed
    found = [*set_aside_notice(trip.set_aside, "this trip")]
    if unweighed:
        verb = "has" if len(unweighed) == 1 else "have"
        found.append(
            f"{named(unweighed)} {verb} no weight yet, so the sums with "
            f"{'it' if len(unweighed) == 1 else 'them'} read “at least”."
        )
    if not trip.items_carried:
        found.append("What was carried is not noted, so there is little to look back on.")
    if trip.use_record == "partial":
        found.append(
            "What was used is noted for part of the load only; of the rest it is not known."
        )
    elif trip.use_record == "none" and trip.items_carried:
        found.append("What was used is not noted, so nothing can be said of what stayed packed.")
    return tuple(found)


def points(debrief: Debrief, display: Display) -> tuple[Point, ...]:
    """Return the answer in short; of what is not known there is no point."""
    told = (
        _never_out(debrief, display),
        _failed(debrief),
        _coldest(debrief.coldest, display),
        _base_weight(debrief, display),
        _before_next(debrief.chores),
    )
    return tuple(point for point in told if point)


def _never_out(debrief: Debrief, display: Display) -> Point | None:
    out, about = debrief.never_out, "Never taken out"
    if out is None:
        return None
    names = [str(row["name"]) for row in records(out.items)]
    if not names:
        scope = "Everything" if out.complete else "All of which it is noted"
        return Point(about, "Nothing.", f"{scope} was used, insurance apart.")
    many = count(len(names), "thing")
    many = many if out.complete else f"at least {many}"
    weighs = "" if out.weight_g is None else mass(out.weight_g, display, at_least=out.at_least)
    told = ", ".join(part for part in (many, weighs) if part)
    return Point(about, sentence(told), f"{sentence(named(names))} {INSURANCE_APART}", leads=True)


def _one_by_one(phrases: Sequence[str]) -> str:
    """Phrases that have commas of their own, four at most: "a (x, y); b (x, z) and 3 more"."""
    shown = list(phrases if len(phrases) <= _PHRASES else phrases[: _PHRASES - 1])
    if len(shown) < len(phrases):
        shown.append(f"{len(phrases) - len(shown)} more")
    *head, last = shown
    return f"{'; '.join(head)} and {last}" if head else last


def _failed(debrief: Debrief) -> Point | None:
    about, failures = "Failed", worst_first(records(debrief.failures))
    if not failures:
        return Point(about, "Nothing was noted.") if debrief.trip.items_carried else None
    first, *others = failures
    told = [sentence(first["what"])] if first["what"] else []
    if others:
        also = [f"{row['name']} ({how_bad(row)})" for row in others]
        told.append(sentence(f"Also {_one_by_one(also)}"))
    return Point(about, sentence(f"{first['name']}: {how_bad(first)}"), " ".join(told))


def worst_first(failures: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return failures by severity, then as they came."""
    return sorted(failures, key=lambda row: _WORST_FIRST.index(row["severity"]))


def failure(row: dict[str, Any]) -> str:
    """Return one failure in a sentence: what, how bad, whether and how it was fixed."""
    what = f": {row['what']}" if row["what"] else ""
    how = f": {row['fixed_with']}" if row["fixed_with"] else ""
    bad = how_bad(row)
    if how and row["fixed_on"] is None:
        bad = f"{SEVERITY_WORDS[row['severity']]}, not mended, helped along"
    return sentence(f"{row['name']}{what} ({bad}{how})")


def how_bad(row: dict[str, Any]) -> str:
    """Return "worked badly, not fixed"."""
    return (
        f"{SEVERITY_WORDS[row['severity']]}, {'not fixed' if row['fixed_on'] is None else 'fixed'}"
    )


def _coldest(night: ColdestNight | None, display: Display) -> Point | None:
    if night is None:
        return None
    answer = low(night.low_c, night.low_source, display)
    if night.sleep_score is not None:
        answer += f", {_NIGHT[night.sleep_score]}"
    when = sentence(", ".join([words.day(night.night, year=False), *_slept(night)]))
    more = f"{when} {against_limit(night, display)}".rstrip()
    return Point("Coldest night", sentence(answer), more, leads=True)


def coldest_night(night: ColdestNight, display: Display) -> tuple[str, ...]:
    """Return how cold the coldest night was, how it was slept, how that stands to the rating."""
    cold = f"{low(night.low_c, night.low_source, display)} in the coldest night, "
    first = sentence(", ".join([cold + words.day(night.night, year=False), *_slept(night)]))
    return tuple(part for part in (first, against_limit(night, display)) if part)


def _slept(night: ColdestNight) -> list[str]:
    score = [] if night.sleep_score is None else [f"sleep scored {night.sleep_score} out of 5"]
    return score + ([] if night.warmth is None else [f"felt {WARMTH[night.warmth]}"])


def low(low_c: float, source: str, display: Display) -> str:
    """Return a night's low; "or lower" where the thermometer missed the small hours."""
    text = plain(words.temperature_scale(display), low_c)
    return f"{text} or lower" if source == "logger_part" else text


def plain(scale: Scale, si: float) -> str:
    """Return number and unit without a decimal that says nothing: 6, not 6.0."""
    shown = round(scale.value(si) or 0.0, scale.decimals)
    return replace(scale, decimals=0).text(si) if shown == round(shown) else scale.text(si)


def against_limit(night: ColdestNight, display: Display) -> str:
    """Return how the low stands to the own limit in the gear that was there, else to its rating."""
    if night.margin_c is None or night.limit_c is None:
        return ""
    told = _limit_in(night, display)
    apart = plain(words.temperature_step(display), abs(night.margin_c))
    where = f"{apart} {'below' if night.margin_c < 0 else 'above'}"
    first = f"That is {where} {told}" if round(night.margin_c, 1) else f"Just at {told}"
    parts = [sentence(f"{first}{_share(night)}")]
    if night.failed:
        names = " and ".join(f"“{name}”" for name in night.failed)
        parts.append(f"{names} had failed, so that this limit does not hold for that night.")
    return " ".join(parts)


def _limit_in(night: ColdestNight, display: Display) -> str:
    """Return "your own limit of 9.4 °C in “Summer quilt”", or the rating by its kind."""
    limit = degrees(night.limit_c or 0.0, display)
    if night.limit_basis == "own":
        told = f"your own limit of {limit} in “{night.rated_name}”"
        if (night.limit_nights or 0) >= FEW_JUDGED:
            return told
        return f"{told}, which rests on only {count(night.limit_nights, 'judged night')}"
    kind = night.rated_as or "maker"
    rating = f"the {RATED_AS[kind]} of “{night.rated_name}”"
    return f"{rating}, taken as a limit of {limit}" if RATING_KINDS[kind].shift_c else rating


def _share(night: ColdestNight) -> str:
    """Return ": about 1 in 3 such nights is too cold for you", where that is known."""
    share = night.too_cold_share
    if share is None or night.failed or (night.limit_nights or 0) < FEW_JUDGED:
        return ""
    if share > _NEARLY_ALL:
        return ": almost every such night is too cold for you"
    if share < _HARDLY_ANY:
        return ": hardly any such night is too cold for you"
    many = words.one_in(share)
    return f": {many} such nights {'are' if many.endswith('in 10') else 'is'} too cold for you"


def _base_weight(debrief: Debrief, display: Display) -> Point | None:
    weight, changes = debrief.weight, debrief.changes
    if weight.base_g is None:
        return None
    parts = [mass(weight.base_g, display, at_least=weight.at_least)]
    if weight.weight_class and not weight.at_least:
        parts.append(weight.weight_class)
    known = changes and changes.difference_g is not None and not changes.unweighed
    more = _difference(changes, display) if changes and known else ""
    return Point("Base weight", sentence(", ".join(parts)), more)


def _difference(changes: Changes, display: Display) -> str:
    grams = changes.difference_g or 0.0
    if not round(grams):
        return f"The same as on “{changes.title}”."
    more = "more" if grams > 0 else "less"
    return f"{mass(abs(grams), display)} {more} than on “{changes.title}”."


def _before_next(chores: Sequence[Chore]) -> Point | None:
    by_kind: dict[str, list[str]] = {}
    for chore in chores:
        names = by_kind.setdefault(chore.kind, [])
        if chore.name not in names:
            names.append(chore.name)
    refill = by_kind.get("replenish", [])
    check = [name for name in by_kind.get("check", []) if name not in refill]
    told = []
    if by_kind.get("mend"):
        told.append(f"Mend {named(by_kind['mend'])}.")
    if refill:
        told.append(f"Check and refill {named(refill)}.")
    if check:
        short = named(check) if len(check) < 3 else count(len(check), "thing")
        told.append(f"Look over {short}: no check within the last year.")
    if not told:
        return None
    return Point("Before the next trip", told[0], " ".join(told[1:]), leads=True)
