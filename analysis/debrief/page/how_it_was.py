"""What kind of a trip it was, for somebody who was not there: the first point of a debrief."""

from collections.abc import Sequence

from ...display.sections import Point
from ...display.thing_names import in_marks
from ...display.words import Display, count, label, listing, number, rain_scale, sentence
from ...store.rows import Record
from ..events import Event, trip_events
from ..facts import Debrief
from .days_sections import good_nights, short_number
from .weather_panel import falls
from .words import plain

ABOUT = "How it was"
_QUOTES, _LONGEST = 3, 90
"""Notes that are told, and how many letters one has at most."""
_WET_FROM_MM = 1.0
"""From here on a day of which it is not said is wet, as in `stg_weather`."""


def how_it_was(debrief: Debrief, display: Display) -> Point | None:
    """Return its fun, weather and nights, and a few of its owner's notes; None without any.

    Of what is not noted it says nothing.
    """
    first = [part for part in (_fun(debrief.comfort), _weather(debrief, display)) if part]
    rest = [_quoted(debrief), good_nights(debrief.nights, alone=False)]
    told = [part for part in rest if part]
    if first:
        return Point(ABOUT, sentence(", ".join(first)), " ".join(told))
    return Point(ABOUT, told[0], " ".join(told[1:])) if told else None


def _fun(comfort: Sequence[Record]) -> str:
    scores = [row["score"] for row in comfort if row["aspect"] == "fun" and row["score"]]
    if not scores:
        return ""
    mean = f"fun scored {short_number(sum(scores) / len(scores))} out of 5"
    return mean if len(scores) == 1 else f"{mean} on average"


def _weather(debrief: Debrief, display: Display) -> str:
    """Return "rain on 2 of 5 days"; of days of which it is noted, where it is not of all."""
    known = [row for row in debrief.weather if row["wet"] is not None]
    if not known:
        return ""
    days = (debrief.trip.end_on - debrief.trip.start_on).days + 1
    of = "" if len(known) == days else " noted"
    wet = [row for row in known if row["wet"]]
    what = falls(wet) if wet else "dry"
    if wet and len(wet) < len(known):
        return f"{what} on {number(len(wet))} of {count(len(known), 'day')}{of}"
    most = 0.0 if wet else max(row["rain_mm"] or 0.0 for row in known)
    drops = ""
    if 0 < most < _WET_FROM_MM:
        what, drops = "hardly any rain", f" (at most {plain(rain_scale(display), most)} a day)"
    snow = sum(bool(row.get("snow")) for row in known)
    lay = f", snow noted on {number(snow)} of them" if snow and not wet else ""
    if len(known) == 1 and not of and not wet and not drops and not lay:
        return "dry"
    return f"{what} on {_all_days(len(known), of)}{drops}{lay}"


def _all_days(many: int, of: str) -> str:
    """Return "the day", "both days", "all 4 days", or "the 2 days noted" where it is not of all."""
    if of:
        return f"the {count(many, 'day')}{of}"
    return {1: "the day", 2: "both days"}.get(many, f"all {count(many, 'day')}")


def _quoted(debrief: Debrief) -> str:
    """Return 'Your words on sleep: “Cold” and “Colder”; on “Paper map”: “Torn”.'."""
    events = trip_events((), debrief.comfort, debrief.thing_notes)
    short = [each for each in events if each.words and len(each.words) <= _LONGEST]
    # What was noted of the days themselves comes first, then what of things on single days.
    best = sorted(short, key=lambda each: (bool(each.name), len(each.days)))[:_QUOTES]
    by_subject: dict[str, list[str]] = {}
    for each in short:
        if each in best:
            by_subject.setdefault(_subject(each), []).append(f"“{each.words}”")
    if not by_subject:
        return ""
    told = (f"on {subject}: {listing(said)}" for subject, said in by_subject.items())
    return f"Your words {'; '.join(told)}."


def _subject(event: Event) -> str:
    return in_marks(event.name) if event.name else label(event.about).lower()
