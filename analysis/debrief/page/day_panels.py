"""The panels of a trip's days: how far, how high, what the motor took, modes told apart."""

from collections.abc import Sequence
from typing import Any

import altair as alt

from ...display import words
from ...display.charts import tips
from ...display.figure import chart_of
from ...display.theme import MAIN, SERIES
from ...display.words import Display, Scale, distance_scale, height_scale
from ...store.rows import Record
from ...store.scope import way_label
from .trip_frame import DAY_FROM_H, DAY_TO_H, TripFrame

# In the order in which they take their colours.
_MODES = ("foot", "bike", "ebike", "paddle", "mixed", None)
DAY_PANELS = {"distance_km": "Distance", "ascent_m": "Climbing", "battery_wh": "Battery"}
# A bar begins at nothing; the figure would stand against the title of the panel below.
_NO_ZERO = "datum.value ? datum.label : ''"
_HEIGHTS = {"distance_km": 92, "ascent_m": 64, "battery_wh": 64}


def day_panel(
    column: str, moves: Sequence[Record], display: Display, frame: TripFrame, *, legend: bool
) -> Any:
    """Return the panel of a column of `trip_moves`: a bar a day, its modes one on the other.

    legend: whether this panel is the one that says which mode has which colour.
    """
    scales = {
        "distance_km": distance_scale(display),
        "ascent_m": height_scale(display),
        "battery_wh": Scale("Wh"),
    }
    scale, title = scales[column], DAY_PANELS[column]
    modes = [m for m in _MODES if any(row["mode"] == m for row in moves)]
    rows, tops = _bars(column, moves, modes, scale, frame)
    colour: Any = alt.value(MAIN)
    names = [way_label(mode) for mode in modes]
    if len(modes) > 1:
        looks = alt.Scale(domain=names, range=list(SERIES))
        colour = alt.Color(
            "mode:N", title=None, scale=looks, legend=frame.legend(names) if legend else None
        )
    # For what is written over the highest bar, and the legend.
    room = (20 + (frame.legend_px(names) if legend else 0)) / _HEIGHTS[column]
    y = frame.y(
        "v:Q",
        (0, max(tops.values()) / (1 - room) or 1),
        tickCount=2,
        format="~f",
        labelExpr=_NO_ZERO,
    )
    bars = (
        chart_of(rows)
        .mark_bar(cornerRadius=1)
        .encode(
            x=frame.x("from:Q"),
            x2=alt.X2("until"),
            y=y,
            y2=alt.Y2("base"),
            color=colour,
            tooltip=tips(when="Day", mode="How", said=title),
        )
    )
    layers = [bars, *([_totals(tops, scale, frame, y)] if frame.roomy else [])]
    return frame.panel(f"{title} ({scale.unit})", _HEIGHTS[column], *layers)


def _bars(
    column: str,
    moves: Sequence[Record],
    modes: Sequence[str | None],
    scale: Scale,
    frame: TripFrame,
) -> tuple[list[dict[str, Any]], dict[int, float]]:
    """The bars, and by day how high they come."""
    rows: list[dict[str, Any]] = []
    tops: dict[int, float] = {}
    known = [row for row in moves if row[column] is not None]
    for row in sorted(known, key=lambda row: (row["day"], modes.index(row["mode"]))):
        day = (row["day"] - frame.start).days
        base = tops.get(day, 0.0)
        tops[day] = base + (scale.value(row[column]) or 0.0)
        rows.append(
            {
                "from": 24 * day + DAY_FROM_H,
                "until": 24 * day + DAY_TO_H,
                "base": base,
                "v": tops[day],
                "mode": way_label(row["mode"]),
                "when": words.day(row["day"], year=False),
                "said": scale.text(row[column]),
            }
        )
    return rows, tops


def _totals(tops: dict[int, float], scale: Scale, frame: TripFrame, y: alt.Y) -> Any:
    totals = [
        {
            "h": frame.day_centre(day),
            "v": value,
            "shown": words.number(value, scale.decimals).removesuffix(".0"),
        }
        for day, value in tops.items()
    ]
    text = chart_of(totals).mark_text(dy=-7)
    return text.encode(x=frame.x(), y=y, text=alt.Text("shown:N"))
