"""What kind of a trip it was, for somebody who was not there: the first point of a debrief."""

from collections.abc import Sequence

from ...display.sections import Point
from ...display.thing_names import in_marks
from ...display.words import count, label, listing, number, sentence
from ...store.rows import Record
from ..events import Event, trip_events
from ..facts import Debrief
from .days_sections import good_nights, short_number

ABOUT = "How it was"
_QUOTES, _LONGEST = 3, 90
"""Notes that are told, and how many letters one has at most."""


def how_it_was(debrief: Debrief) -> Point | None:
    """Return its fun, weather and nights, and a few of its owner's notes; None without any.

    Of what is not noted it says nothing.
    """
    first = [part for part in (_fun(debrief.comfort), _weather(debrief)) if part]
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


def _weather(debrief: Debrief) -> str:
    """Return "rain on 2 of 5 days"; of days of which it is noted, where it is not of all."""
    known = [bool(row["wet"]) for row in debrief.weather if row["wet"] is not None]
    if not known:
        return ""
    days = (debrief.trip.end_on - debrief.trip.start_on).days + 1
    of = "" if len(known) == days else " noted"
    many = count(len(known), "day")
    if not any(known):
        every = f"all {many}" if len(known) > 1 and not of else f"the {many}"
        return f"dry on {every}{of}" if len(known) > 1 or of else "dry"
    if all(known):
        return f"rain on every one of {many}{of}" if len(known) > 1 else f"rain on the day{of}"
    return f"rain on {number(sum(known))} of {many}{of}"


def _quoted(debrief: Debrief) -> str:
    events = trip_events((), debrief.comfort, debrief.thing_notes)
    short = [each for each in events if each.words and len(each.words) <= _LONGEST]
    # What was noted of the days themselves comes first, then what of things on single days.
    best = sorted(short, key=lambda each: (bool(each.name), len(each.days)))[:_QUOTES]
    if not best:
        return ""
    told = [_quote(each) for each in short if each in best]
    return f"In your words: {listing(told)}."


def _quote(event: Event) -> str:
    about = in_marks(event.name) if event.name else label(event.about).lower()
    return f"“{event.words}” ({about})"
