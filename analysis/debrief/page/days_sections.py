"""The sections of a debrief on how it went: nights, days, distance, failures, what was missed."""

from collections.abc import Sequence
from typing import Any

from ....tripdata.contract import TOO_COLD_VOTE
from ...climate.words import trip_sentence, trip_source
from ...display import words
from ...display.figure import Figure
from ...display.sections import Section
from ...display.words import Display, count, distance, distance_scale, height, number, sentence
from ...store.rows import records
from ..facts import Debrief
from . import tables
from .move_chart import move_chart
from .night_chart import night_chart
from .words import BY_MODE, coldest_night, failure, plain, worst_first

COLD_CARE = (
    "Cold can injure and kill. Shivering that will not stop, numb hands or a muddled head need "
    "shelter, warmth and help at once. Ratings compare bags; they promise nothing."
)
RATING_CARE = "Ratings compare bags; they promise nothing."
FAILURE_CARE = (
    "Leave what is unsafe unused until it is mended and checked. Brakes, frames, stoves, gas and "
    "buoyancy belong in qualified hands."
)
_COLD_C = 10.0
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


def nights(debrief: Debrief, display: Display) -> Section:
    """How cold the nights were, how they were slept and how warm they felt."""
    heading, rows, trip = "The nights", records(debrief.nights), debrief.trip
    keys = ("low_c", "sleep_score", "warmth")
    if not any(row[key] is not None for row in rows for key in keys):
        return Section.empty(heading, "the nights")
    cold = () if debrief.coldest is None else coldest_night(debrief.coldest, display)
    usual = trip_sentence(debrief.context, display)
    answer = [part for part in (*cold, usual, _good_nights(rows, alone=not cold)) if part]
    notes = {
        row["day"]: row["note"]
        for row in records(debrief.comfort)
        if row["aspect"] == "sleep" and row["note"]
    }
    marks = ["Shaded: 20:00 to 08:00."]
    bases = {row["limit_basis"] for row in rows}
    if "own" in bases:
        marks.append("Dashed: your own limit, at which one night in five is too cold for you.")
    if "rated" in bases:
        marks.append(
            f"{'Else' if 'own' in bases else 'Dashed'}: the rating of the sleep gear, brought to "
            "the limit scale."
        )
    marks.append("Orange: below that line, or a night slept badly or felt cold.")
    if any(row["low_c"] is not None and row["normal_low_sd_c"] is not None for row in rows):
        marks.append("Blue band: where two in three lows of such nights lie there.")
    trace, start = records(debrief.trace), trip.start_on
    return Section(
        heading,
        tuple(answer),
        Figure(
            "nights",
            " ".join(answer),
            lambda layout: night_chart(rows, trace, start, display, layout),
            " ".join(marks),
        ),
        tables.nights(rows, notes, display),
        (*_low_notes(rows), *trip_source(debrief.context, display)),
        caution=_cold_care(debrief),
    )


def _good_nights(rows: Sequence[dict[str, Any]], *, alone: bool) -> str:
    """How many nights were slept well; of a single one that is told already, nothing."""
    scored = [row for row in rows if row["sleep_score"] is not None]
    if len(scored) < 2:
        if not scored or not alone:
            return ""
        night = words.day(scored[0]["night"], year=False)
        return f"The night of {night} scored {scored[0]['sleep_score']} out of 5 for sleep."
    good = sum(row["sleep_score"] >= 4 for row in scored)
    many = "none" if not good else "all" if good == len(scored) else number(good)
    verb = "was" if good == 1 else "were"
    return sentence(f"{many} of the {len(scored)} nights {verb} slept well, 4 or 5 of 5")


def _low_notes(rows: Sequence[dict[str, Any]]) -> tuple[str, ...]:
    sources = [row["low_source"] for row in rows]
    told = []
    if "weather" in sources:
        many = "All lows are" if set(sources) <= {"weather", None} else "Some lows are"
        told.append(f"{many} those of the weather notes, not of a thermometer in camp.")
    if "logger_part" in sources:
        told.append(
            f"On {count(sources.count('logger_part'), 'night')} the thermometer has no reading "
            "between 00:00 and 08:00: it may have been colder."
        )
    unknown = sources.count(None)
    if unknown and unknown < len(sources):
        told.append(f"Of {count(unknown, 'night')} no low is known.")
    return tuple(told)


def _cold_care(debrief: Debrief) -> str | None:
    cold = debrief.coldest
    votes = [row["warmth"] for row in records(debrief.nights) if row["warmth"] is not None]
    felt = any(vote <= TOO_COLD_VOTE for vote in votes)
    if felt or (cold is not None and cold.low_c < _COLD_C):
        return COLD_CARE
    return RATING_CARE if cold is not None and cold.rated_low_c is not None else None


def days(debrief: Debrief) -> Section:
    """How camp, moving and the fun of it were scored."""
    heading = "How the days felt"
    rows = [row for row in records(debrief.comfort) if row["aspect"] != "sleep"]
    if not rows:
        return Section.empty(heading, "how the days felt")
    told = []
    for aspect in ("camp", "moving", "fun"):
        scores = [row["score"] for row in rows if row["aspect"] == aspect]
        if len(scores) == 1:
            told.append(f"{aspect} {scores[0]} of 5")
        elif scores:
            mean = number(sum(scores) / len(scores), 1).removesuffix(".0")
            told.append(f"{aspect} {mean} of 5 on average (n = {len(scores)})")
    return Section(heading, (sentence(", ".join(told)),), table=tables.comfort(rows))


def moving(debrief: Debrief, display: Display) -> Section:
    """How far and how high, by day and mode."""
    heading, rows, effort = "How far", records(debrief.moves), debrief.effort
    if effort.distance_km is None:
        return Section.empty(heading, "distance")
    trip = debrief.trip
    evidence = {row["kind"]: row for row in records(debrief.evidence)}
    part = evidence["distances"]["logged"] < evidence["distances"]["expected"]
    first = [f"{'at least ' if part else ''}{distance(effort.distance_km, display)}"]
    if effort.ascent_m:
        first.append(f"with {height(effort.ascent_m, display)} of climbing")
    if effort.hours:
        first.append(f"in {number(effort.hours, 1).removesuffix('.0')} hours on the move")
    answer = [sentence(" ".join(first)), *_by_mode(rows, display), *_longest(rows, display)]
    answer += _battery(rows, display)
    notes = []
    if part:
        seen = evidence["distances"]
        notes.append(f"{seen['logged']} of {seen['expected']} days have a distance.")
    figure = Figure(
        "moving",
        " ".join(answer),
        lambda layout: move_chart(rows, trip.start_on, trip.end_on, display, layout),
    )
    table = tables.moves(rows, display)
    # One column says no more than its sentence.
    several = len({row["day"] for row in rows}) > 1
    return Section(heading, tuple(answer), figure if several else None, table, tuple(notes))


def _by_mode(rows: Sequence[dict[str, Any]], display: Display) -> list[str]:
    sums: dict[str, float] = {}
    for row in rows:
        if row["mode"] is not None:
            sums[row["mode"]] = sums.get(row["mode"], 0.0) + row["distance_km"]
    if len(sums) < 2:
        return []
    told = [f"{BY_MODE[mode]} {distance(km, display)}" for mode, km in sums.items()]
    return [sentence(", ".join(told))]


def _longest(rows: Sequence[dict[str, Any]], display: Display) -> list[str]:
    by_day: dict[Any, float] = {}
    for row in rows:
        by_day[row["day"]] = by_day.get(row["day"], 0.0) + row["distance_km"]
    if len(by_day) < 2:
        return []
    day = max(by_day, key=lambda day: by_day[day])
    far = plain(distance_scale(display), by_day[day])
    return [f"The longest day was {words.day(day, year=False)}: {far}."]


def _battery(rows: Sequence[dict[str, Any]], display: Display) -> list[str]:
    known = [row for row in rows if row["battery_wh"] is not None]
    used = sum(row["battery_wh"] for row in known)
    scale = distance_scale(display)
    length = scale.value(sum(row["distance_km"] for row in known))
    if not used or not length:
        return []
    per = number(used / length, 1)
    return [f"The motor took {number(used)} Wh, {per} Wh a {scale.unit}."]


def failures(debrief: Debrief) -> Section:
    """What failed, how badly, and how it was fixed."""
    heading, rows = "What failed", worst_first(records(debrief.failures))
    if not rows:
        return Section.empty(heading, "no failure is noted")
    unfixed = sum(row["fixed_on"] is None for row in rows)
    state = "all fixed" if not unfixed else f"{number(unfixed)} not fixed yet"
    if len(rows) == 1:
        state = "fixed" if not unfixed else "not fixed yet"
    first = sentence(f"{count(len(rows), 'thing')} failed, {state}")
    told = [
        failure(row)
        if row["day"] is None
        else f"{words.day(row['day'], year=False)}: {failure(row)}"
        for row in rows[:6]
    ]
    grave = any(
        row["severity"] in ("unsafe", "lost_use") or row["system"] in _HAZARDS for row in rows
    )
    return Section(
        heading,
        (first, *told),
        table=tables.failures(rows) if len(rows) > 6 else None,
        caution=FAILURE_CARE if grave else None,
    )


def wishes(debrief: Debrief) -> Section:
    """What was wished for: left at home, or not owned."""
    heading, rows = "What was missed", records(debrief.wished)
    if not rows:
        return Section.empty(heading, "nothing is noted as missed")
    told = [
        sentence(
            f"{row['wished']}"
            + (" (owned, left at home)" if row["item"] else " (not owned)")
            + (f": missed {row['how_much']}" if row["how_much"] else "")
            + (f", {row['note']}" if row["note"] else "")
        )
        for row in rows
    ]
    return Section(heading, tuple(told))


def not_logged(debrief: Debrief) -> Section:
    """What of the trip was not logged, in one line."""
    heading, missing = "Not logged", debrief.not_logged
    told = [_NOT_LOGGED[kind] for kind in missing if _FOLLOWS.get(kind) not in missing]
    if not told:
        return Section.empty(heading, "everything was logged")
    return Section(heading, (sentence(f"On this trip: {words.listing(told)}"),))
