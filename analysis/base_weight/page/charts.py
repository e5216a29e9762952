"""The pictures of base weight over time: trips as points, a line with its band, the class lines.

A season is told by colour and by shape. What is left out of the trend is shown hollow and grey.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import altair as alt

from ....tripdata.contract import WEIGHT_CLASSES_LB
from ....tripdata.units import LB_G
from ...display.charts import haloed, line_with_band, looks, tips
from ...display.figure import chart_of, local_day
from ...display.theme import COLOURS, INK, SOFT_INK, Layout
from ...display.words import Scale

SEASONS = {
    "winter": (COLOURS["sky"], "diamond"),
    "spring": (COLOURS["green"], "triangle-up"),
    "summer": (COLOURS["vermillion"], "circle"),
    "autumn": (COLOURS["black"], "square"),
}
_TIPS = tips(title="Trip", shown="Base weight", told="About")


@dataclass(frozen=True)
class TripMark:
    """One trip: its start, its weight in g, its season, and what a pointer over it tells."""

    day: date
    grams: float
    season: str
    title: str
    about: str = ""

    def row(self, scale: Scale) -> dict[str, Any]:
        """As a chart's data, in units of display."""
        return {
            "day": local_day(self.day),
            "weight": scale.value(self.grams),
            "season": self.season,
            "title": self.title,
            "shown": scale.text(self.grams),
            "told": self.about,
        }


@dataclass(frozen=True)
class Band:
    """The line at one day: its value and the ends of its band, in g."""

    day: date
    value: float
    low: float
    high: float

    def row(self, scale: Scale) -> dict[str, Any]:
        """As a chart's data, in units of display."""
        weight, low, high = (scale.value(grams) for grams in (self.value, self.low, self.high))
        return {"day": local_day(self.day), "weight": weight, "low": low, "high": high}


@dataclass(frozen=True)
class Picture:
    """What one picture of weight against time shows.

    ``domain_g``: the least and most it has room for. ``left_out`` are trips that do not count;
    those below the picture stand at its lower edge.
    """

    marks: tuple[TripMark, ...]
    band: tuple[Band, ...]
    domain_g: tuple[float, float]
    left_out: tuple[TripMark, ...] = ()
    classes: bool = True


def domain(grams: Iterable[float]) -> tuple[float, float]:
    """Room for weights, with a tenth of their range (at least 100 g) above and below."""
    weights = list(grams)
    room = max((max(weights) - min(weights)) * 0.1, 100.0)
    return max(min(weights) - room, 0.0), max(weights) + room


def over_time(picture: Picture, scale: Scale, layout: Layout) -> Any:
    """Trips over time."""
    days = [mark.day for mark in picture.marks + picture.left_out]
    low, high = (scale.value(g) or 0.0 for g in picture.domain_g)

    def y(field: str) -> alt.Y:
        room = alt.Scale(domain=[low, high], nice=False, zero=False)
        return alt.Y(f"{field}:Q", title=f"Base weight ({scale.unit})", scale=room)

    x, weight = _time(days, layout), y("weight")
    layers = _classes(picture, scale, weight) if picture.classes else []
    if picture.band:
        rows = [at.row(scale) for at in picture.band]
        layers += line_with_band(rows, x, weight, y("low"), 2.5)
    if picture.left_out:
        layers += _outside([mark.row(scale) for mark in picture.left_out], low, x, weight)
    layers.append(_trips([mark.row(scale) for mark in picture.marks], x, weight, layout))
    return alt.layer(*layers).properties(height=300 if layout.narrow else 340)


def _time(days: Sequence[date], layout: Layout) -> alt.X:
    """Time, with room at both ends so that no mark is cut."""
    span = max(days) - min(days)
    room = max(span * 0.03, timedelta(days=20)) if span else timedelta(days=200)
    ends = [local_day(min(days) - room), local_day(max(days) + room)]
    ticks: dict[str, Any] = {"format": "%b %Y", "tickCount": 4}
    if not span:
        only = alt.DateTime(year=days[0].year, month=days[0].month, date=days[0].day)
        ticks = {"format": "%-d %b %Y", "values": [only]}
    elif span > timedelta(days=500):
        ticks = {"format": "%Y", "tickCount": "year"}
    elif layout.narrow:
        ticks["tickCount"] = 2
    return alt.X(
        "day:T",
        title=None,
        scale=alt.Scale(domain=ends, nice=False),
        axis=alt.Axis(grid=False, labelBound=True, **ticks),
    )


def _trips(rows: Sequence[dict[str, Any]], x: alt.X, y: alt.Y, layout: Layout) -> Any:
    drawn = {row["season"] for row in rows}
    columns = 2 if layout.narrow else 4
    legend = alt.Legend(
        title=None, orient="top", direction="horizontal", columns=columns, symbolStrokeWidth=0.5
    )
    marks = {name: look for name, look in SEASONS.items() if name in drawn}
    colour, shape = looks("season", marks, legend=legend)
    points = chart_of(rows).mark_point(size=95, stroke=INK, strokeWidth=0.5)
    return points.encode(x=x, y=y, color=colour, shape=shape, tooltip=_TIPS)


def _outside(rows: Sequence[dict[str, Any]], low: float, x: alt.X, y: alt.Y) -> list[alt.Chart]:
    inside = [row for row in rows if row["weight"] >= low]
    below = [{**row, "weight": low} for row in rows if row["weight"] < low]
    look: dict[str, Any] = {"size": 70, "filled": False, "stroke": SOFT_INK, "strokeWidth": 1.5}
    marks = []
    if inside:
        marks.append(chart_of(inside).mark_point(shape="circle", clip=True, **look))
    if below:
        marks.append(chart_of(below).mark_point(shape="triangle-down", yOffset=-7, **look))
    return [mark.encode(x=x, y=y, tooltip=_TIPS) for mark in marks]


def _classes(picture: Picture, scale: Scale, y: alt.Y) -> list[alt.Chart]:
    low, high = picture.domain_g
    rows = [
        {"weight": scale.value(lb * LB_G), "name": f"{name} below {scale.text(lb * LB_G)}"}
        for lb, name in WEIGHT_CLASSES_LB
        if low < lb * LB_G < high
    ]
    if not rows:
        return []
    base = chart_of(rows).encode(y=y)
    return [
        base.mark_rule(strokeDash=[4, 4], color=SOFT_INK, strokeWidth=1),
        *haloed(base, "name", alt.value(4), align="left", dy=9, fill=SOFT_INK),
    ]
