"""The nights of a trip in one picture: how cold, how slept, how warm, on one time line."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Any

import altair as alt

from ....tripdata.contract import TOO_COLD_VOTE
from ...display import words
from ...display.day_axis import label_expression
from ...display.figure import chart_of
from ...display.theme import ACCENT, MAIN, Layout
from ...display.words import Display
from .night_frame import NightFrame
from .temperature_panel import temperature_panel
from .words import WARMTH

Row = Mapping[str, Any]

_PANELS = ("low_c", "sleep_score", "warmth")
_NEUTRAL = {-3: "cold", 0: "neutral", 3: "hot"}


def night_chart(
    nights: Sequence[Row], trace: Sequence[Row], start: date, display: Display, layout: Layout
) -> Any:
    """Return panels, one above the other, of what there is: temperature, sleep score, warmth.

    nights, trace: rows of those frames. Nights are shaded from 20:00 to 08:00; a low under the
    limit in the sleep gear stands out.
    """
    frame = NightFrame(len(nights), start, layout)
    known = [key for key in _PANELS if any(row[key] is not None for row in nights)]
    panels = []
    for key in known:
        frame.last = key == known[-1]
        if key == "low_c":
            panels.append(temperature_panel(nights, trace, display, frame))
        elif key == "sleep_score":
            panels.append(_scores(nights, frame))
        else:
            panels.append(_warmth(nights, frame))
    return alt.vconcat(*panels, spacing=34, bounds="flush").resolve_scale(color="independent")


def _dots(
    nights: Sequence[Row],
    key: str,
    poor: int,
    said: Callable[[int], str],
    frame: NightFrame,
    y: alt.Y,
) -> Any:
    rows = [
        {
            "h": frame.centre(place),
            "v": row[key],
            "night": words.day(row["night"], year=False),
            "said": said(row[key]),
            "colour": ACCENT if row[key] <= poor else MAIN,
        }
        for place, row in enumerate(nights)
        if row[key] is not None
    ]
    tips = [alt.Tooltip("night:N", title="Night of"), alt.Tooltip("said:N", title="Noted")]
    return (
        chart_of(rows)
        .mark_point(size=90 if frame.nights <= 14 else 36)
        .encode(x=frame.x(), y=y, color=alt.Color("colour:N", scale=None), tooltip=tips)
    )


def _scores(nights: Sequence[Row], frame: NightFrame) -> Any:
    y = frame.y("v:Q", (0.5, 5.5), values=[1, 3, 5])
    dots = _dots(nights, "sleep_score", 2, lambda score: f"{score} of 5", frame, y)
    return frame.panel("Slept (1 to 5, 5 best)", 72, dots)


def _warmth(nights: Sequence[Row], frame: NightFrame) -> Any:
    names = label_expression(_NEUTRAL)
    y = frame.y("v:Q", (-3.5, 3.5), values=list(_NEUTRAL), labelExpr=names)
    dots = _dots(nights, "warmth", TOO_COLD_VOTE, lambda warmth: WARMTH[warmth], frame, y)
    return frame.panel("Felt (−3 cold to +3 hot)", 72, dots)
