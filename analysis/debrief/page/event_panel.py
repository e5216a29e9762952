"""The panel of what was noted along a trip: a numbered mark at each day or night of it."""

from collections.abc import Sequence
from typing import Any

import altair as alt

from ...display import words
from ...display.charts import looks, tips
from ...display.figure import chart_of
from ...display.theme import ACCENT, INK
from ..events import Event
from .trip_frame import TripFrame

_MOST = 4
_ROW_PX = 20
_MARKS = {"Failure": (ACCENT, "cross"), "Note": (INK, "circle")}


def event_panel(events: Sequence[Event], frame: TripFrame) -> Any:
    """Return the panel; marks of one day stand one below the other, numbered as `events` are.

    Of more than four on a day the last mark stands for the rest.
    """
    slots: dict[float, list[tuple[int, Event]]] = {}
    for number, event in enumerate(events, start=1):
        for day in event.days:
            place = (day - frame.start).days
            centre = frame.night_centre if event.by_night else frame.day_centre
            slots.setdefault(centre(place), []).append((number, event))
    rows = [
        row for h, here in sorted(slots.items()) for row in _stacked(h, here, frame)
        if frame.domain[0] <= h <= frame.domain[1]
    ]  # fmt: skip
    lowest = max(row["row"] for row in rows)
    y = frame.y("row:Q", (lowest + 0.6, 0.4), labels=False, grid=False)
    colour, shape = looks("kind", _MARKS, legend=None)
    base = chart_of(rows).encode(x=frame.x(), y=y)
    marks = base.mark_point(size=80, xOffset=-6).encode(
        color=colour, shape=shape, tooltip=tips(kind="What", when="Day", numbers="Number")
    )
    texts = base.mark_text(align="left", dx=2).encode(text=alt.Text("numbers:N"))
    kinds = {row["kind"] for row in rows}
    title = " and ".join(
        text
        for kind, text in (("Failure", "Failures (crosses)"), ("Note", "notes (dots)"))
        if kind in kinds
    )
    return frame.panel(words.sentence(title)[:-1], lowest * _ROW_PX + 8, marks, texts)


def _stacked(h: float, here: Sequence[tuple[int, Event]], frame: TripFrame) -> list[dict[str, Any]]:
    """A row a mark, failures first where not all have one of their own."""
    shown = list(here) if len(here) <= _MOST else list(here[: _MOST - 1])
    rows = [
        {"h": h, "row": place, "kind": event.kind.capitalize(), "numbers": str(number)}
        for place, (number, event) in enumerate(shown, start=1)
    ]
    beyond = here[len(shown) :]
    if beyond:
        grave = any(event.kind == "failure" for _, event in beyond)
        numbers = f"{beyond[0][0]}\N{EN DASH}{beyond[-1][0]}"
        kind = "Failure" if grave else "Note"
        rows.append({"h": h, "row": _MOST, "kind": kind, "numbers": numbers})
    day = frame.start.fromordinal(frame.start.toordinal() + int(h // 24))
    return [{**row, "when": words.day(day, year=False)} for row in rows]
