"""The sections of a debrief on how it went: nights, days, distance, failures, what was missed."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ...climate.words import trip_sentence, trip_source
from ...display import words
from ...display.cautions import COLD_CARE, RATING_CARE, TRIP_FAILURE_CARE
from ...display.load_shown import parts_shown
from ...display.sections import Section
from ...display.thing_names import in_marks
from ...display.words import Display, count, distance_scale, height, listing, number, sentence
from ...store.rows import Record
from ...store.scope import BY_MODE
from ...wear.words import UNFIT, times
from ..facts import Debrief
from ..nights import TripNight
from . import tables
from .night_words import coldest_night, felt_cold_too, felt_too_cold
from .trip_section import timeline_of
from .words import all_of, by_day_km, failure, far_words, longest_day, worst_first

if TYPE_CHECKING:
    from .page import DebriefPage

_COLD_C = 10.0
_GOOD = 4
"""From this sleep score on a night was slept well."""
_MOST_FAILURES = 4
_WHOLE_FROM = 99.95
"""From here on a distance is told without decimals."""
_HAZARDS = {"safety", "fire", "cook", "bike", "boat"}
_NOT_LOGGED = {
    "carried": "what was carried",
    "weights": "weights",
    "use": "what was used",
    "brought_home": "food and fuel brought home",
    "distances": "distance",
    "ascent": "climbing",
    "hours": "hours on the move",
    "battery": "battery use",
    "weather": "weather",
    "temperatures": "thermometer readings",
    "lows": "night lows",
    "sleep": "how the nights were slept",
    "warmth": "how warm the nights felt",
    "ratings": "a rated low of the sleep gear",
}
# What cannot be known without the other is not told beside it.
_FOLLOWS = {"ascent": "distances", "hours": "distances", "temperatures": "lows"}


def trip_nights_section(page: "DebriefPage") -> Section:
    """How cold the nights were, how they were slept and how warm they felt."""
    debrief, display = page.data, page.display
    heading, nights = "The nights", debrief.nights
    if not any(n.low_c is not None or n.sleep_score or n.warmth is not None for n in nights):
        return Section.empty(heading, "the nights")
    cold = () if debrief.coldest is None else coldest_night(debrief.coldest, display)
    usual = trip_sentence(debrief.context, display, debrief.camps_colder_c)
    # The coldest is told above the picture, too: where nights differ, all of them come first.
    good = good_nights(nights, alone=not cold)
    felt = felt_cold_too(nights, debrief.coldest, debrief.weather, display, debrief.gone_early)
    answer = [" ".join(part for part in (good, felt) if part), *cold, usual]
    notes = {
        row["day"]: row["note"]
        for row in debrief.comfort
        if row["aspect"] == "sleep" and row["note"]
    }
    return Section(
        heading,
        tuple(part for part in answer if part),
        table=tables.trip_nights_table(nights, notes, display),
        notes=(*_low_notes(nights), *trip_source(debrief.context, display)),
        fold=all_of(len(nights), "night"),
    )


def good_nights(nights: Sequence[TripNight], *, alone: bool) -> str:
    """How many nights were slept well; of a single one that is told already, nothing."""
    scores = [(n.night, n.sleep_score) for n in nights if n.sleep_score is not None]
    if len(scores) < 2:
        if not scores or not alone:
            return ""
        night, score = scores[0]
        return f"The night of {words.day(night, year=False)} scored {score} out of 5 for sleep."
    good = [n for n in nights if n.sleep_score is not None and n.sleep_score >= _GOOD]
    if not good:
        none = "Neither night" if len(scores) == 2 else "No night"
        return f"{none} scored {_GOOD} or more out of 5 for sleep."
    nights_of = f"{number(len(good))} of the {len(scores)} nights"
    if len(good) == len(scores):
        nights_of = "both nights" if len(good) == 2 else f"all {len(good)} nights"
    well = listing(
        [number(score) for score in sorted({n.sleep_score or 0 for n in good})], last="or"
    )
    verb = "was" if len(good) == 1 else "were"
    return sentence(f"{nights_of} {verb} slept well, {well} out of 5{_but_cold(good)}")


def _but_cold(good: Sequence[TripNight]) -> str:
    """Return ", though 1 of them felt too cold": a night slept well may have been cold."""
    cold = sum(felt_too_cold(night) for night in good)
    if not cold:
        return ""
    if cold == len(good):
        which = {1: "it", 2: "both"}.get(cold, "all of them")
    else:
        which = f"{number(cold)} of them"
    return f", though {which} felt too cold"


def _low_notes(nights: Sequence[TripNight]) -> list[str]:
    sources = [night.low_source for night in nights]
    notes = []
    if "weather" in sources:
        many = "All lows are" if set(sources) <= {"weather", None} else "Some lows are"
        notes.append(f"{many} those of the weather notes, not of a thermometer in camp.")
    if "logger_part" in sources:
        notes.append(
            f"On {count(sources.count('logger_part'), 'night')} the thermometer has no reading "
            "between 00:00 and 08:00: it may have been colder."
        )
    unknown = sources.count(None)
    if unknown and unknown < len(sources):
        notes.append(f"Of {count(unknown, 'night')} no low is known.")
    return notes


def cold_care(debrief: Debrief) -> str | None:
    """Return the caution of a trip on which it was cold, or whose sleep gear has a rating."""
    cold = debrief.coldest
    low_c = cold.low_c if cold is not None else None
    if any(felt_too_cold(n) for n in debrief.nights) or (low_c is not None and low_c < _COLD_C):
        return COLD_CARE
    return RATING_CARE if cold is not None and cold.rated_low_c is not None else None


def days_section(page: "DebriefPage") -> Section:
    """How far and how high it went, by day and mode, and how camp, moving and fun were scored."""
    debrief, display = page.data, page.display
    heading, moves = "How far, and how it felt", debrief.moves
    scores = [row for row in debrief.comfort if row["aspect"] != "sleep"]
    far = debrief.trip.distance_km is not None
    if not far and not scores:
        return Section.empty(heading, "distances, or how the days felt")
    first = [_how_far(debrief, display)] if far else []
    first += [_scored(scores)] if scores else []
    rest = [*_by_mode(moves, display), *_longest(moves, display), *_battery(moves, display)]
    days = tables.moves_table(moves, display) if far else None
    felt = (tables.day_scores_table(scores),) if scores else ()
    return Section(
        heading,
        (" ".join(first), *(rest if far else ())),
        table=days,
        more=felt,
        fold="Each day",
    )


def _how_far(debrief: Debrief, display: Display) -> str:
    """Return "61 km noted on 2 of 3 days, with 400 m of climbing in 5 hours on the move."."""
    trip = debrief.trip
    told = far_words(debrief, display)
    told += "," if debrief.far_noted and (trip.ascent_m or debrief.hours) else ""
    if trip.ascent_m:
        told += f" with {height(trip.ascent_m, display)} of climbing"
    if debrief.hours:
        told += f" in {short_number(debrief.hours)} hours on the move"
    return sentence(told)


def _scored(rows: Sequence[Record]) -> str:
    """Return "Camp 4 out of 5, fun 4.5 out of 5 on average from 2 days."."""
    means = []
    for aspect in ("camp", "moving", "fun"):
        scores = [row["score"] for row in rows if row["aspect"] == aspect]
        if len(scores) == 1:
            means.append(f"{aspect} {scores[0]} out of 5")
        elif scores:
            mean = short_number(sum(scores) / len(scores))
            means.append(f"{aspect} {mean} out of 5 on average from {len(scores)} days")
    return sentence(", ".join(means))


def short_number(value: float) -> str:
    """One decimal, unless it is zero."""
    return number(value, 1).removesuffix(".0")


def _by_mode(rows: Sequence[Record], display: Display) -> list[str]:
    sums: dict[str, float] = {}
    for row in rows:
        if row["mode"] is not None:
            sums[row["mode"]] = sums.get(row["mode"], 0.0) + row["distance_km"]
    if len(sums) < 2:
        return []
    # To as many decimals as their sum is told, so that they add up to it.
    whole = distance_scale(display).value(sum(sums.values())) or 0.0
    scale = distance_scale(display, 0 if whole >= _WHOLE_FROM else 1)
    ways = zip(sums, parts_shown(scale, list(sums.values())), strict=True)
    return [sentence(", ".join(f"{BY_MODE[mode]} {scale.text(km)}" for mode, km in ways))]


def _longest(rows: Sequence[Record], display: Display) -> list[str]:
    if len(by_day_km(rows)) < 2:
        return []
    return [f"The longest day was {longest_day(rows, display)}."]


def _battery(rows: Sequence[Record], display: Display) -> list[str]:
    known = [row for row in rows if row["battery_wh"] is not None]
    used = sum(row["battery_wh"] for row in known)
    scale = distance_scale(display)
    length = scale.value(sum(row["distance_km"] for row in known))
    if not used or not length:
        return []
    return [f"The motor took {number(used)} Wh, {number(used / length, 1)} Wh per {scale.unit}."]


def trip_failures_section(page: "DebriefPage") -> Section:
    """What failed, how badly, and how it was fixed."""
    heading, rows = "What failed", worst_first(page.data.failures)
    if not rows:
        return Section.empty(heading, "no failure is noted")
    unfixed = sum(row["fixed_on"] is None for row in rows)
    state = "all fixed" if not unfixed else f"{number(unfixed)} not fixed yet"
    things = len({row["item"] for row in rows})
    often = f" {times(len(rows))} in all" if len(rows) > things else ""
    if len(rows) == 1:
        state = "and it is fixed" if not unfixed else "and it is not fixed yet"
    each = [
        failure(row)
        if row["day"] is None
        else f"{words.day(row['day'], year=False)}: {failure(row)}"
        for row in rows[:_MOST_FAILURES]
    ]
    grave = any(row["severity"] in UNFIT or row["system"] in _HAZARDS for row in rows)
    return Section(
        heading,
        (sentence(f"{count(things, 'thing')} failed{often}, {state}"), *each),
        table=tables.trip_failures_table(rows) if len(rows) > _MOST_FAILURES else None,
        caution=TRIP_FAILURE_CARE if grave else None,
    )


def wished_section(page: "DebriefPage") -> Section:
    """What was wished for: left at home, or not owned."""
    heading, rows = "What was missed", page.data.wished
    if not rows:
        return Section.empty(heading, "nothing is noted as missed")
    return Section(heading, tuple(_wish(row) for row in rows))


def _wish(row: Record) -> str:
    """One wish, with how much and what its owner wrote of it."""
    what = row["wished"]
    state = "owned, left at home" if row["item"] else "not owned"
    much = f": missed {row['how_much']}" if row["how_much"] else ""
    note = f" “{row['note']}”" if row["note"] else ""
    return sentence(f"{in_marks(what)} ({state}){much}") + note


def not_logged_section(page: "DebriefPage") -> Section:
    """What of the trip was not logged, in one line."""
    heading, missing = "Not logged", page.data.not_logged
    kinds = [_NOT_LOGGED[kind] for kind in missing if _FOLLOWS.get(kind) not in missing]
    if not kinds:
        return Section.empty(heading, "everything was logged")
    told = [sentence(f"On this trip: {words.listing(kinds)}")]
    if page.data.trip.nights and not timeline_of(page.data).panels:
        told.append("So there is no picture of the trip along its days.")
    return Section(heading, (" ".join(told),))
