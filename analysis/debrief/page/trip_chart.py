"""A trip as one picture along its time: cold and sleep by night, ways by day, what was noted."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
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
from ..events import Event
from ..nights import TripNight
from .day_panels import DAY_PANELS, day_panel
from .event_panel import event_panel
from .night_words import WARMTH
from .temperature_panel import temperature_panel
from .trip_frame import TripFrame
from .weather_panel import has_weather, weather_panel

_NIGHTS = ("low_c", "sleep_score", "warmth")
_NEUTRAL = {-3: "cold", 0: "neutral", 3: "hot"}


@dataclass(frozen=True, slots=True)
class TripLine:
    """What a trip's picture is drawn from: its days, nights, readings, moves and events.

    ``trace``: rows of `temperature_trace`; ``moves``: rows of `trip_moves`; ``weather``: rows of
    `trip_weather`.
    """

    start: date
    end: date
    nights: Sequence[TripNight] = ()
    trace: Sequence[Record] = ()
    moves: Sequence[Record] = ()
    events: Sequence[Event] = ()
    weather: Sequence[Record] = ()

    @property
    def _readings(self) -> int:
        return sum(self.start <= row["read_at"].date() <= self.end for row in self.trace)

    @property
    def panels(self) -> tuple[str, ...]:
        """What there is to draw, from top to bottom; nothing where it were single dots alone."""
        counts = {
            column: len({row["day"] for row in self.moves if row[column] is not None})
            for column in DAY_PANELS
            if any(row[column] for row in self.moves)
        }
        counts |= {
            "low_c": max(self._readings, sum(n.low_c is not None for n in self.nights))
            if any(n.low_c is not None for n in self.nights)
            else 0,
            "sleep_score": sum(n.sleep_score is not None for n in self.nights),
            "warmth": sum(n.warmth is not None for n in self.nights),
        }
        if self.start == self.end or max(counts.values()) < 2:
            return ()
        # Weather goes with what a trip was like, and is no picture of it alone.
        counts["weather"] = has_weather(self.weather)
        return (
            *(key for key in (*DAY_PANELS, "weather", *_NIGHTS) if counts.get(key)),
            *(["events"] if self.events else []),
        )


def trip_chart(line: TripLine, display: Display, layout: Layout) -> Any:
    """Return panels, one above the other, of what there is (`TripLine.panels`).

    Nights are shaded from 20:00 to 08:00; a low under the limit in the sleep gear stands out.
    """
    frame = TripFrame((line.end - line.start).days, line.start, layout)
    drawn = []
    for key in line.panels:
        frame.last = key == line.panels[-1]
        if key in DAY_PANELS:
            legend = key == line.panels[0]
            drawn.append(day_panel(key, line.moves, display, frame, legend=legend))
        elif key == "weather":
            drawn.append(weather_panel(line.weather, display, frame))
        elif key == "low_c":
            drawn.append(temperature_panel(line.nights, line.trace, display, frame))
        elif key == "sleep_score":
            drawn.append(_scores(line.nights, frame))
        elif key == "warmth":
            drawn.append(_warmth(line.nights, frame))
        else:
            drawn.append(event_panel(line.events, frame))
    return alt.vconcat(*drawn, spacing=26, bounds="flush").resolve_scale(
        color="independent", shape="independent"
    )


def _scores(nights: Sequence[TripNight], frame: TripFrame) -> Any:
    y = frame.y("v:Q", (0.5, 5.5), values=[1, 3, 5])
    scores = [night.sleep_score for night in nights]
    dots = _dots(nights, scores, 2, lambda score: f"{score} out of 5", frame, y)
    return frame.panel("Slept (1 to 5, 5 best)", 52, dots)


def _warmth(nights: Sequence[TripNight], frame: TripFrame) -> Any:
    y = frame.y("v:Q", (-3.5, 3.5), values=list(_NEUTRAL), labelExpr=label_expression(_NEUTRAL))
    dots = _dots(nights, [n.warmth for n in nights], TOO_COLD_VOTE, WARMTH.__getitem__, frame, y)
    return frame.panel("Felt (−3 cold to +3 hot)", 52, dots)


def _dots(
    nights: Sequence[TripNight],
    values: Sequence[int | None],
    poor: int,
    text: Callable[[int], str],
    frame: TripFrame,
    y: alt.Y,
) -> Any:
    """A dot a night whose value is known; one of poor or less stands out."""
    rows = [
        {
            "h": frame.night_centre((night.night - frame.start).days),
            "v": value,
            "night": words.day(night.night, year=False),
            "said": text(value),
            "colour": ACCENT if value <= poor else MAIN,
        }
        for night, value in zip(nights, values, strict=True)
        if value is not None
    ]
    about = tips(night="Night of", said="Noted")
    return (
        chart_of(rows)
        .mark_point(size=90 if frame.nights <= 14 else 36)
        .encode(x=frame.x(), y=y, color=alt.Color("colour:N", scale=None), tooltip=about)
    )
