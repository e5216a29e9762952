"""The pictures of base weight over time: trips as points, a line with its band, the class lines.

A season is told by colour and by shape. What is left out of the trend is shown hollow and grey.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import altair as alt

from ....tripdata.contract import WEIGHT_CLASSES_LB
from ....tripdata.units import LB_G
from ...display.figure import chart_of, local_day
from ...display.theme import INK, OKABE_ITO, PAPER, SOFT_INK, Layout
from ...display.words import Scale

Build = Callable[[Layout], Any]

SEASONS = {
    "winter": ("diamond", OKABE_ITO["sky"]),
    "spring": ("triangle-up", OKABE_ITO["green"]),
    "summer": ("circle", OKABE_ITO["vermillion"]),
    "autumn": ("square", OKABE_ITO["black"]),
}


@dataclass(frozen=True)
class Dot:
    """One trip: its start, its weight in g, its season, and what a pointer over it tells."""

    day: date
    grams: float
    season: str
    title: str
    told: str


@dataclass(frozen=True)
class Band:
    """The line at one day: its value and the ends of its band, in g."""

    day: date
    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Picture:
    """What one picture of weight against time shows.

    ``domain_g``: the least and most it has room for. ``left_out`` are trips that do not count;
    those below the picture stand at its lower edge.
    """

    dots: tuple[Dot, ...]
    band: tuple[Band, ...]
    domain_g: tuple[float, float]
    left_out: tuple[Dot, ...] = ()
    classes: bool = True


def domain(grams: Iterable[float]) -> tuple[float, float]:
    """Room for weights, with a tenth of their range (at least 100 g) above and below."""
    found = list(grams)
    room = max((max(found) - min(found)) * 0.1, 100.0)
    return max(min(found) - room, 0.0), max(found) + room


def over_time(picture: Picture, scale: Scale) -> Build:
    """Trips over time."""
    return lambda layout: _over_time(picture, scale, layout)


def _over_time(picture: Picture, scale: Scale, layout: Layout) -> Any:
    days = [dot.day for dot in picture.dots + picture.left_out]
    x, y = _x(days, layout), _y("weight:Q", picture, scale)
    layers = [
        *(_classes(picture, scale, y) if picture.classes else []),
        *(_band(picture, scale, x) if picture.band else []),
        *(_outside(picture, scale, x, y) if picture.left_out else []),
        _dots(picture.dots, scale, x, y, layout),
    ]
    return alt.layer(*layers).properties(height=300 if layout.narrow else 340)


def _x(days: Sequence[date], layout: Layout) -> alt.X:
    """Time, with room at both ends so that no mark is cut."""
    span = max(days) - min(days)
    room = max(span * 0.03, timedelta(days=20)) if span else timedelta(days=200)
    ends = [local_day(min(days) - room), local_day(max(days) + room)]
    ticks: dict[str, Any] = {"format": "%b %Y", "tickCount": 4}
    if not span:
        ticks = {"format": "%-d %b %Y", "values": [_date(days[0])]}
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


def _date(day: date) -> alt.DateTime:
    return alt.DateTime(year=day.year, month=day.month, date=day.day)


def haloed(base: alt.Chart, x: Any, field: str, **mark: Any) -> list[alt.Chart]:
    """Text that what lies behind it does not cross out: first broad and in the paper's colour."""
    look = {"fill": INK, **mark}
    texts = [
        base.mark_text(**{**mark, "fill": PAPER}, stroke=PAPER, strokeWidth=5, strokeJoin="round"),
        base.mark_text(**look),
    ]
    return [text.encode(x=x, text=alt.Text(f"{field}:N")) for text in texts]


def _y(field: str, picture: Picture, scale: Scale) -> alt.Y:
    low, high = (scale.value(g) or 0.0 for g in picture.domain_g)
    room = alt.Scale(domain=[low, high], nice=False, zero=False)
    return alt.Y(field, title=f"Base weight ({scale.unit})", scale=room)


def _dots(dots: Sequence[Dot], scale: Scale, x: alt.X, y: alt.Y, layout: Layout) -> alt.Chart:
    shown = [name for name in SEASONS if any(dot.season == name for dot in dots)]
    columns = 2 if layout.narrow else 4
    legend = alt.Legend(
        title=None, orient="top", direction="horizontal", columns=columns, symbolStrokeWidth=0.5
    )
    shapes, colours = (
        alt.Scale(domain=shown, range=[SEASONS[name][part] for name in shown]) for part in (0, 1)
    )
    drawn: alt.Chart = (
        chart_of(_rows(dots, scale))
        .mark_point(size=95, stroke=INK, strokeWidth=0.5)
        .encode(
            x=x,
            y=y,
            color=alt.Color("season:N", scale=colours, legend=legend),
            shape=alt.Shape("season:N", scale=shapes, legend=legend),
            tooltip=_TIPS,
        )
    )
    return drawn


_TIPS = [
    alt.Tooltip("title:N", title="Trip"),
    alt.Tooltip("shown:N", title="Base weight"),
    alt.Tooltip("told:N", title="About"),
]


def _rows(dots: Sequence[Dot], scale: Scale) -> list[dict[str, Any]]:
    return [
        {
            "day": local_day(dot.day),
            "weight": scale.value(dot.grams),
            "season": dot.season,
            "title": dot.title,
            "shown": scale.text(dot.grams),
            "told": dot.told,
        }
        for dot in dots
    ]


def _outside(picture: Picture, scale: Scale, x: alt.X, y: alt.Y) -> list[alt.Chart]:
    low = scale.value(picture.domain_g[0]) or 0.0
    rows = _rows(picture.left_out, scale)
    inside = [row for row in rows if row["weight"] >= low]
    below = [{**row, "weight": low} for row in rows if row["weight"] < low]
    look: dict[str, Any] = {"size": 70, "filled": False, "stroke": SOFT_INK, "strokeWidth": 1.5}
    marks = []
    if inside:
        marks.append(chart_of(inside).mark_point(shape="circle", clip=True, **look))
    if below:
        marks.append(chart_of(below).mark_point(shape="triangle-down", yOffset=-7, **look))
    return [mark.encode(x=x, y=y, tooltip=_TIPS) for mark in marks]


def _band(picture: Picture, scale: Scale, x: alt.X) -> list[alt.Chart]:
    rows = [
        {
            "day": local_day(at.day),
            "weight": scale.value(at.value),
            "low": scale.value(at.low),
            "high": scale.value(at.high),
        }
        for at in picture.band
    ]
    base = chart_of(rows).encode(x=x)
    return [
        base.mark_area(color=OKABE_ITO["blue"], opacity=0.15, clip=True).encode(
            y=_y("low:Q", picture, scale), y2=alt.Y2("high")
        ),
        base.mark_line(color=OKABE_ITO["blue"], strokeWidth=2.5, clip=True).encode(
            y=_y("weight:Q", picture, scale)
        ),
    ]


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
        *haloed(base, alt.value(4), "name", align="left", dy=9, fill=SOFT_INK),
    ]
