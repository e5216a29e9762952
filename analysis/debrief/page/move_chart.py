"""How far and how high a trip went, day by day: columns on one time line, a panel a quantity."""

from collections.abc import Sequence
from datetime import date
from typing import Any

import altair as alt

from ...display import words
from ...display.charts import panel_title, tips
from ...display.day_axis import day_names, label_expression
from ...display.figure import chart_of
from ...display.theme import MAIN, SERIES, Layout
from ...display.words import Display, Scale, distance_scale, height_scale, label
from ...store.rows import Record
from .night_frame import LABELS_PX

# In the order in which they take their colours.
_MODES = ("foot", "bike", "ebike", "paddle", "mixed", None)


def move_chart(
    moves: Sequence[Record], start: date, end: date, display: Display, layout: Layout
) -> Any:
    """Return a panel each for distance, ascent and battery, of what is known; modes in colours."""
    days = [date.fromordinal(n) for n in range(start.toordinal(), end.toordinal() + 1)]
    wanted = (
        ("distance_km", "Distance", distance_scale(display), 120),
        ("ascent_m", "Climbing", height_scale(display), 80),
        ("battery_wh", "Battery", Scale("Wh"), 80),
    )
    known = [each for each in wanted if any(row[each[0]] for row in moves)]
    modes = [m for m in _MODES if any(row["mode"] == m for row in moves)]
    panels = [
        _panel(
            [row for row in moves if row[column] is not None],
            days,
            modes,
            column,
            f"{title} ({scale.unit})",
            scale,
            height,
            layout,
            _x(days, layout, shown=column == known[-1][0]),
        )
        for column, title, scale, height in known
    ]
    return alt.vconcat(*panels, spacing=46, bounds="flush")


def _x(days: Sequence[date], layout: Layout, *, shown: bool) -> alt.X:
    gap = max(0.2, 1 - len(days) * (0.12 if layout.narrow else 0.075))
    scale = alt.Scale(domain=list(range(len(days))), paddingInner=gap, paddingOuter=0.2)
    if not shown:
        return alt.X("day:O", scale=scale, axis=None)
    names = day_names(days, layout)
    axis = alt.Axis(
        values=list(names),
        labelExpr=label_expression(names),
        labelAngle=0,
        title="Day",
        labelOverlap=False,
    )
    return alt.X("day:O", scale=scale, axis=axis)


def _panel(
    moves: Sequence[Record],
    days: Sequence[date],
    modes: Sequence[str | None],
    column: str,
    title: str,
    scale: Scale,
    height: int,
    layout: Layout,
    x: alt.X,
) -> Any:
    rows = [
        {
            "day": days.index(row["day"]),
            "mode": "Not noted" if row["mode"] is None else label(row["mode"]),
            "order": list(modes).index(row["mode"]),
            "v": scale.value(row[column]),
            "when": words.day(row["day"], year=False),
            "said": scale.text(row[column]),
        }
        for row in moves
    ]
    names = ["Not noted" if mode is None else label(mode) for mode in modes]
    colour = (
        alt.Color("mode:N", title=None, scale=alt.Scale(domain=names, range=list(SERIES)))
        if len(modes) > 1
        else alt.value(MAIN)
    )
    y = alt.Y(
        "v:Q",
        title=None,
        axis=alt.Axis(minExtent=LABELS_PX, maxExtent=LABELS_PX, tickCount=3, format="~f"),
    )
    columns = (
        chart_of(rows)
        .mark_bar(cornerRadius=1)
        .encode(
            x=x,
            y=y,
            color=colour,
            order=alt.Order("order:Q"),
            tooltip=tips(when="Day", mode="Mode", said=title),
        )
    )
    layers = [columns]
    if len(days) <= (6 if layout.narrow else 12):
        layers.append(_totals(rows, scale, x))
    return alt.layer(*layers).properties(
        width=layout.px - LABELS_PX - 14, height=height, title=panel_title(title, layout, 10)
    )


def _totals(rows: Sequence[Record], scale: Scale, x: alt.X) -> Any:
    sums: dict[int, float] = {}
    for row in rows:
        sums[row["day"]] = sums.get(row["day"], 0.0) + row["v"]
    totals = [
        {"day": day, "v": value, "shown": words.number(value, scale.decimals).removesuffix(".0")}
        for day, value in sums.items()
    ]
    return chart_of(totals).mark_text(dy=-7).encode(x=x, y=alt.Y("v:Q"), text=alt.Text("shown:N"))
