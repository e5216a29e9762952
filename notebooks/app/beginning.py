"""A trip that the form begins: its name, and what it starts from."""

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from ...tripdata.logbook_entry import TripEntry, begin
from ...tripdata.names import folded, slug, slug_fault
from .offered import Book

_LONGEST = 48
_LONG = 60
"""Days beyond which the logbook asks whether a trip is so long."""


def begun(typed: Mapping[str, Any], book: Book) -> tuple[TripEntry | None, list[dict[str, str]]]:
    """The entry of a new trip, or what is wrong at which field.

    Raises a TarebookError where it cannot be begun for another reason.
    """
    problems = []
    title = str(typed["title"]).strip()
    if not title:
        problems.append({"at": "new.title", "text": "What is it to be called?"})
    found: list[date | None] = []
    for at, name in (("start_on", "first"), ("end_on", "last")):
        try:
            found.append(date.fromisoformat(typed[at]))
        except ValueError:
            found.append(None)
            problems.append({"at": f"new.{at}", "text": f"The {name} day is missing."})
    start, end = found
    if start and end and end < start:
        problems.append({"at": "new.end_on", "text": "The last day is before the first."})
    if problems or start is None or end is None:
        return None, problems
    taken = {folded(trip.trip) for trip in book.trips}
    taken |= {folded(draft.trip) for draft in book.drafts}
    name = trip_name(title, start, taken)
    entry = begin(book.folder, name, typed["like"] or None, start, end, typed["mode"] or None)
    return replace(entry, title=title), []


def doubt(typed: Mapping[str, Any], book: Book) -> str:
    """What is to be asked before a trip is begun, "" for nothing."""
    try:
        start, end = (date.fromisoformat(typed[at]) for at in ("start_on", "end_on"))
    except ValueError:
        return ""
    title = folded(str(typed["title"]).strip())
    same = any(
        folded(trip.title) == title and (trip.start_on, trip.end_on) == (start, end)
        for trip in book.trips
    )
    if same:
        why = "There is a trip of that name and those days already: choose it above."
    elif (days := (end - start).days + 1) > _LONG:
        why = f"That trip would have {days} days."
    else:
        return ""
    return f"{why} If it is meant so, press Begin once more."


def trip_name(title: str, start: date, taken: set[str]) -> str:
    """What a new trip's folder is called: year, month and title, as a name that is not taken."""
    letters = "".join(c if not slug_fault(f"a{c}a") else "-" for c in slug(title).casefold())
    words = re.sub(r"-{2,}", "-", letters).strip("-._")[:_LONGEST].rstrip("-._") or "trip"
    name = words if re.match(r"\d{4}-\d{2}", words) else f"{start:%Y-%m}-{words}"
    number, free = 1, name
    while folded(free) in taken:
        number += 1
        free = f"{name}-{number}"
    return free
