"""What is noted of single days and nights of a trip: failures, and notes in their owner's words."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from ..store.rows import Record

EventKind = Literal["failure", "note"]


@dataclass(frozen=True, slots=True)
class Event:
    """Something noted of one day or several: ``words`` are those of its owner, if any.

    ``about`` is what it is of: a failure, or the source of a note (a source of `thing_notes`, or an
    aspect of comfort). ``name`` is that of a thing, ``score`` that of an aspect. ``by_night``: it
    is of the night that began on that day.
    """

    kind: EventKind
    about: str
    days: tuple[date, ...]
    words: str = ""
    name: str = ""
    score: int | None = None
    severity: str = ""
    by_night: bool = False


def trip_events(
    failures: Sequence[Record], comfort: Sequence[Record], thing_notes: Sequence[Record]
) -> tuple[Event, ...]:
    """All of them that have a day, as they came; a note that is repeated word by word is one.

    The arguments are the answers to `trip_failures`, `trip_comfort` and `thing_notes`.
    """
    events = [
        Event("failure", "failure", (row["day"],), row["what"] or "", row["name"],
              severity=row["severity"])
        for row in failures
        if row["day"] is not None
    ]  # fmt: skip
    events += [
        Event("note", row["aspect"], (row["day"],), row["note"], score=row["score"],
              by_night=row["aspect"] == "sleep")
        for row in comfort
        if row["note"]
    ]  # fmt: skip
    repeated: dict[tuple[str, str, str], list[date]] = {}
    for row in thing_notes:
        if row["day"] is not None:
            repeated.setdefault((row["source"], row["name"], row["note"]), []).append(row["day"])
    events += [
        Event("note", source, tuple(days), note, name)
        for (source, name, note), days in repeated.items()
    ]
    return tuple(sorted(events, key=lambda e: (e.days[0], e.by_night, e.kind, e.name, e.words)))
