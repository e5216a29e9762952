"""The nights of a trip in one picture: how cold, how slept, how warm, on one time line."""

from collections.abc import Callable, Sequence
from datetime import date
from typing import Any

import altair as alt

from ....tripdata.contract import TOO_COLD_VOTE
from ...display import words
from ...display.charts import tips
from ...display.day_axis import label_expression
from ...display.figure import chart_of
from ...display.theme import ACCENT, MAIN, Layout
from ...display.words import Display
from ...store.rows import Record
from ..nights import TripNight
from .night_frame import NightFrame
from .temperature_panel import temperature_panel
from .words import WARMTH

_PANELS = ("low_c", "sleep_score", "warmth")
_NEUTRAL = {-3: "cold", 0: "neutral", 3: "hot"}


def night_chart(
    nights: Sequence[TripNight],
    trace: Sequence[Record],
    start: date,
    display: Display,
    layout: Layout,
) -> Any:
    """Return panels, one above the other, of what there is: temperature, sleep score, warmth.

    trace: rows of `temperature_trace`. Nights are shaded from 20:00 to 08:00; a low under the
    limit in the sleep gear stands out.
    """
    frame = NightFrame(len(nights), start, layout)
    known = [key for key in _PANELS if any(getattr(n, key) is not None for n in nights)]
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


def _scores(nights: Sequence[TripNight], frame: NightFrame) -> Any:
    y = frame.y("v:Q", (0.5, 5.5), values=[1, 3, 5])
    scores = [night.sleep_score for night in nights]
    dots = _dots(nights, scores, 2, lambda score: f"{score} out of 5", frame, y)
    return frame.panel("Slept (1 to 5, 5 best)", 72, dots)


def _warmth(nights: Sequence[TripNight], frame: NightFrame) -> Any:
    y = frame.y("v:Q", (-3.5, 3.5), values=list(_NEUTRAL), labelExpr=label_expression(_NEUTRAL))
    dots = _dots(nights, [n.warmth for n in nights], TOO_COLD_VOTE, WARMTH.__getitem__, frame, y)
    return frame.panel("Felt (−3 cold to +3 hot)", 72, dots)


def _dots(
    nights: Sequence[TripNight],
    values: Sequence[int | None],
    poor: int,
    text: Callable[[int], str],
    frame: NightFrame,
    y: alt.Y,
) -> Any:
    """A dot a night whose value is known; one of poor or less stands out."""
    rows = [
        {
            "h": frame.centre(place),
            "v": value,
            "night": words.day(night.night, year=False),
            "said": text(value),
            "colour": ACCENT if value <= poor else MAIN,
        }
        for place, (night, value) in enumerate(zip(nights, values, strict=True))
        if value is not None
    ]
    about = tips(night="Night of", said="Noted")
    return (
        chart_of(rows)
        .mark_point(size=90 if frame.nights <= 14 else 36)
        .encode(x=frame.x(), y=y, color=alt.Color("colour:N", scale=None), tooltip=about)
    )
