"""The opening of a debrief: the answer in a few sentences, and what narrows it."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from ...cold.ratings import RATING_KINDS
from ...cold.words import FEW_JUDGED, RATED_AS
from ...display import words
from ...display.sections import Opening, Point
from ...display.thing_names import in_marks, named
from ...display.words import Display, Scale, count, degrees, mass, sentence
from ...store.rows import Record
from ...store.scope import BY_MODE
from ...store.set_aside import set_aside_notice
from ...wear.chores import Chore
from ...wear.words import SEVERITY_WORDS
from ..changes import Changes
from ..facts import Debrief
from ..load import NeverOut
from ..nights import TripNight

_PHRASES = 4
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
    "carried_otherwise": "carried in another way",
    "quantity": "more or fewer of the same",
    "reweighed": "reweighed",
}
PACKED_GROUPS = {
    "could_stay": "Could have stayed at home",
    "no_weather": "Its weather did not come",
    "stays_listed": "Nothing against taking it",
}
"""What stayed packed, in groups: the fields of `load.NeverOut`, and their titles."""
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
_INSURANCE_APART = "Insurance such as first aid and repair is not counted."
_NEARLY_ALL, _HARDLY_ANY = 0.95, 0.005


def debrief_opening(debrief: Debrief, display: Display) -> Opening:
    """Return the head of the page; of what is not known there is no point."""
    points = (
        _never_out(debrief, display),
        _failed(debrief),
        _coldest(debrief.coldest, display),
        _base_weight(debrief, display),
        _before_next(debrief.chores),
    )
    return Opening(
        debrief.trip.title,
        _lines(debrief, display),
        _notices(debrief),
        tuple(point for point in points if point),
        _in_one(debrief, display),
        debrief.trip.note or "",
    )


def _in_one(debrief: Debrief, display: Display) -> str:
    """The trip in one sentence: its coldest night, what stayed packed, what failed."""
    parts, night, out = [], debrief.coldest, debrief.never_out
    if night is not None:
        how = f", {_NIGHT[night.sleep_score]}" if night.sleep_score is not None else ""
        parts.append(f"The coldest night came down to {_low(night, display)}{how}")
    if out is not None and out.items:
        verb = "was" if len(out.items) == 1 else "were"
        weighs = f" ({mass(out.weight_g, display, at_least=out.at_least)})" if out.weight_g else ""
        many = count(len(out.items), "thing")
        many = many if out.complete else f"at least {many}"
        parts.append(f"{many}{weighs} {verb} never taken out")
    if debrief.failures:
        names = list(dict.fromkeys(row["name"] for row in worst_first(debrief.failures)))
        parts.append(f"{named(names)} failed")
    return sentence("; ".join(parts)) if parts else ""


def _lines(debrief: Debrief, display: Display) -> tuple[str, ...]:
    """When, how long, how and where; how far."""
    trip = debrief.trip
    stay = count(trip.nights, "night") if trip.nights else "a day out"
    how = BY_MODE.get(trip.mode or "", "")
    first = [words.days(trip.start_on, trip.end_on), f"{stay} {how}".strip(), trip.place or ""]
    second = [
        words.distance(trip.distance_km, display) if trip.distance_km else "",
        f"{words.height(trip.ascent_m, display)} of climbing" if trip.ascent_m else "",
    ]
    lines = (" · ".join(part for part in parts if part) for parts in (first, second))
    return tuple(line for line in lines if line)


def _notices(debrief: Debrief) -> tuple[str, ...]:
    """What the reader must know of the data: what is set aside, not weighed, not noted."""
    trip, unweighed = debrief.trip, debrief.weight.unweighed
    notices = [*set_aside_notice(trip.set_aside, "this trip")]
    if unweighed:
        verb, them = ("has", "it") if len(unweighed) == 1 else ("have", "them")
        notices.append(
            f"{named(unweighed)} {verb} no weight yet, so the sums with {them} read “at least”."
        )
    if not trip.items_carried:
        notices.append("What was carried is not noted, so there is little to look back on.")
    if trip.use_record == "partial":
        notices.append(
            "What was used is noted for part of the load only; of the rest it is not known."
        )
    elif trip.use_record == "none" and trip.items_carried:
        notices.append("What was used is not noted, so nothing can be said of what stayed packed.")
    return tuple(notices)


def _never_out(debrief: Debrief, display: Display) -> Point | None:
    out, about = debrief.never_out, "Never taken out"
    if out is None:
        return None
    names = [item["name"] for item in out.items]
    if not names:
        scope = "Everything" if out.complete else "All of which it is noted"
        return Point(about, "Nothing.", f"{scope} was used, insurance apart.")
    many = count(len(names), "thing")
    many = many if out.complete else f"at least {many}"
    weighs = "" if out.weight_g is None else mass(out.weight_g, display, at_least=out.at_least)
    answer = sentence(", ".join(part for part in (many, weighs) if part))
    others = len(out.stays_listed)
    rest = "them" if others == len(names) else f"the other {others}"
    shown = group_sentences(replace(out, stays_listed=()))
    if others:
        shown.append(f"Nothing is said against taking {rest if len(names) > 1 else 'it'} again.")
    return Point(about, answer, " ".join([*shown, _INSURANCE_APART]), leads=True)


def group_sentences(out: NeverOut) -> list[str]:
    """Return a sentence for each group of what stayed packed that has anything in it."""
    names = {key: [row["name"] for row in getattr(out, key)] for key in PACKED_GROUPS}
    says = {
        "could_stay": "{names} could have stayed at home.",
        "no_weather": "The weather for {names} did not come.",
        "stays_listed": "Nothing is said against taking {names} again.",
    }
    return [text.format(names=named(names[key])) for key, text in says.items() if names[key]]


def _one_by_one(phrases: Sequence[str]) -> str:
    """Phrases that have commas of their own, four at most: "a (x, y); b (x, z) and 3 more"."""
    shown = list(phrases if len(phrases) <= _PHRASES else phrases[: _PHRASES - 1])
    if len(shown) < len(phrases):
        shown.append(f"{len(phrases) - len(shown)} more")
    *head, last = shown
    return f"{'; '.join(head)} and {last}" if head else last


def _failed(debrief: Debrief) -> Point | None:
    about, failures = "Failed", worst_first(debrief.failures)
    if not failures:
        return Point(about, "Nothing was noted.") if debrief.trip.items_carried else None
    first, *others = failures
    more = [sentence(first["what"])] if first["what"] else []
    if others:
        also = [f"{in_marks(row['name'])} ({_how_bad(row)})" for row in others]
        more.append(sentence(f"Also {_one_by_one(also)}"))
    return Point(about, sentence(f"{in_marks(first['name'])}: {_how_bad(first)}"), " ".join(more))


def worst_first(failures: Sequence[Record]) -> list[Record]:
    """Return failures by severity, then as they came."""
    return sorted(failures, key=lambda row: _WORST_FIRST.index(row["severity"]))


def change_kind(row: Record) -> str:
    """Return how an item changed: "left at home", "swapped in", "2 instead of 1"."""
    if row["cause"] == "swapped" and not (row["pieces_before"] and row["pieces_after"]):
        return "swapped in" if row["pieces_after"] else "swapped out"
    if row["cause"] == "quantity":
        return f"{row['pieces_after']} instead of {row['pieces_before']}"
    return CAUSE_WORDS[row["cause"]]


def failure(row: Record) -> str:
    """Return one failure in a sentence: what, how bad, whether and how it was fixed."""
    what = f": {row['what']}" if row["what"] else ""
    how = f": {row['fixed_with']}" if row["fixed_with"] else ""
    bad = _how_bad(row)
    if how and row["fixed_on"] is None:
        bad = f"{SEVERITY_WORDS[row['severity']]}, not mended, helped along"
    note = f" “{row['note']}”" if row.get("note") else ""
    return sentence(f"{in_marks(row['name'])}{what} ({bad}{how})") + note


def _how_bad(row: Record) -> str:
    """Return "worked badly, not fixed"."""
    state = "not fixed" if row["fixed_on"] is None else "fixed"
    return f"{SEVERITY_WORDS[row['severity']]}, {state}"


def _coldest(night: TripNight | None, display: Display) -> Point | None:
    if night is None:
        return None
    answer = _low(night, display)
    if night.sleep_score is not None:
        answer += f", {_NIGHT[night.sleep_score]}"
    when = sentence(", ".join([words.day(night.night, year=False), *_slept(night)]))
    more = f"{when} {_against_limit(night, display)}".rstrip()
    return Point("Coldest night", sentence(answer), more, leads=True)


def coldest_night(night: TripNight, display: Display) -> tuple[str, ...]:
    """Return how cold the coldest night was, how it was slept, how that stands to the rating."""
    cold = f"{_low(night, display)} on the coldest night, "
    first = sentence(", ".join([cold + words.day(night.night, year=False), *_slept(night)]))
    return tuple(part for part in (first, _against_limit(night, display)) if part)


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


def low_and_sleep(night: TripNight, display: Display) -> str:
    """Return "Fri 15 May, 0 °C, sleep scored 2 out of 5, felt cool"."""
    when = words.day(night.night, year=False)
    return ", ".join([when, _low(night, display), *_slept(night)])


def _slept(night: TripNight) -> list[str]:
    score = [] if night.sleep_score is None else [f"sleep scored {night.sleep_score} out of 5"]
    return score + ([] if night.warmth is None else [f"felt {WARMTH[night.warmth]}"])


def _low(night: TripNight, display: Display) -> str:
    """Return a night's low; "or lower" where the thermometer missed the small hours."""
    text = plain(words.temperature_scale(display), night.low_c)
    return f"{text} or lower" if night.low_source == "logger_part" else text


def plain(scale: Scale, si: float | None) -> str:
    """Return number and unit without a decimal that says nothing: 6, not 6.0."""
    shown = round(scale.value(si) or 0.0, scale.decimals)
    return replace(scale, decimals=0).text(si) if shown == round(shown) else scale.text(si)


def _against_limit(night: TripNight, display: Display) -> str:
    """Return how the low stands to the own limit in the gear that was there, else to its rating."""
    if night.margin_c is None or night.limit_c is None:
        return ""
    limit = _limit_in(night, night.limit_c, display)
    apart = plain(words.temperature_step(display), abs(night.margin_c))
    where = f"{apart} {'below' if night.margin_c < 0 else 'above'}"
    first = f"That is {where} {limit}" if round(night.margin_c, 1) else f"Just at {limit}"
    sentences = [sentence(f"{first}{_share(night)}")]
    if night.failed:
        names = " and ".join(f"“{name}”" for name in night.failed)
        sentences.append(f"{names} had failed, so that this limit does not hold for that night.")
    return " ".join(sentences)


def _limit_in(night: TripNight, limit_c: float, display: Display) -> str:
    """Return "your own limit of 9.4 °C in “Summer quilt”", or the rating by its kind."""
    limit = degrees(limit_c, display)
    if night.limit_basis == "own":
        # To a tenth, as the difference from it is told: both add up as shown.
        own = f"your own limit of {limit} in “{night.rated_name}”"
        nights = count(night.limit_nights, "judged night")
        if (night.limit_nights or 0) >= FEW_JUDGED:
            return f"{own} ({nights})"
        return f"{own}, which rests on only {nights}: too early to say"
    kind = night.rated_as or "maker"
    rating = f"the {RATED_AS[kind]} of “{night.rated_name}”"
    return f"{rating}, taken as a limit of {limit}" if RATING_KINDS[kind].shift_c else rating


def _share(night: TripNight) -> str:
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
    sentences = []
    if by_kind.get("mend"):
        sentences.append(f"Mend {named(by_kind['mend'])}.")
    if refill:
        sentences.append(f"Check and refill {named(refill)}.")
    if check:
        short = named(check) if len(check) < 3 else count(len(check), "thing")
        sentences.append(f"Look over {short}: no check within the last year.")
    if not sentences:
        return None
    return Point("Before the next trip", sentences[0], " ".join(sentences[1:]), leads=True)
