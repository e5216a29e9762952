"""Small pictures beside each other: base weight by system, each over the same span of weight."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt

from ...display.figure import chart_of, local_day
from ...display.theme import CONTEXT, INK, MAIN, SOFT_INK, Layout
from ...display.words import Scale
from .charts import SEASONS, Band, Dot, haloed

Build = Callable[[Layout], Any]

_COLUMNS = {"wide": 3, "narrow": 2}
_AXIS_PX = 42
_GAP_PX = 14


@dataclass(frozen=True)
class Panel:
    """One small picture: its title, what is said below, its trips, the line with its band."""

    title: str
    told: str
    dots: tuple[Dot, ...]
    band: tuple[Band, ...]


def panels(found: Sequence[Panel], scale: Scale, years: Sequence[int]) -> Build:
    """Panels in rows; every one spans as many grams as the one that needs most.

    years: those that the time axis names.
    """
    return lambda layout: _panels(found, scale, years, layout)


def _panels(found: Sequence[Panel], scale: Scale, years: Sequence[int], layout: Layout) -> Any:
    columns = _COLUMNS[layout.name]
    width = (layout.px - 16 - columns * _AXIS_PX - (columns - 1) * _GAP_PX) // columns
    span = max(_span(panel) for panel in found) * 1.16
    drawn = [_panel(panel, span, scale, years, width) for panel in found]
    rows = [drawn[i : i + columns] for i in range(0, len(drawn), columns)]
    return alt.vconcat(*(alt.hconcat(*row, spacing=_GAP_PX) for row in rows), spacing=18)


def _span(panel: Panel) -> float:
    grams = [dot.grams for dot in panel.dots]
    return max(max(grams) - min(grams), 50.0)


def _panel(panel: Panel, span: float, scale: Scale, years: Sequence[int], width: int) -> Any:
    grams = [dot.grams for dot in panel.dots]
    middle = max((min(grams) + max(grams)) / 2, span * 0.46)
    ends = [scale.value(middle + side * span / 2) or 0.0 for side in (-1, 1)]
    x = alt.X(
        "day:T",
        title=None,
        scale=alt.Scale(domain=[f"{years[0]}-01-01T00:00:00", f"{years[-1] + 1}-01-01T00:00:00"]),
        axis=alt.Axis(format="’%y", tickCount="year", grid=False, labelFlush=False),
    )
    y = alt.Y(
        "weight:Q",
        title=None,
        scale=alt.Scale(domain=ends, nice=False, zero=False),
        axis=alt.Axis(tickCount=3, format="~f", minExtent=_AXIS_PX - 8, maxExtent=_AXIS_PX - 8),
    )
    rows = [
        {
            "day": local_day(dot.day),
            "weight": scale.value(dot.grams),
            "season": dot.season,
            "title": dot.title,
            "shown": scale.text(dot.grams),
        }
        for dot in panel.dots
    ]
    dots = (
        chart_of(rows)
        .mark_point(size=30, stroke=INK, strokeWidth=0.3, clip=True)
        .encode(
            x=x,
            y=y,
            color=alt.Color("season:N", scale=_by_season(1), legend=None),
            shape=alt.Shape("season:N", scale=_by_season(0), legend=None),
            tooltip=[alt.Tooltip("title:N", title="Trip"), alt.Tooltip("shown:N", title="Weight")],
        )
    )
    title = alt.TitleParams(
        text=panel.title,
        subtitle=panel.told,
        fontSize=12,
        subtitleFontSize=11,
        subtitleColor=SOFT_INK,
        anchor="start",
        frame="group",
        offset=4,
        subtitlePadding=2,
    )
    return alt.layer(*_line(panel.band, scale, x, y), dots).properties(
        width=width, height=92, title=title
    )


def _by_season(place: int) -> alt.Scale:
    return alt.Scale(domain=list(SEASONS), range=[look[place] for look in SEASONS.values()])


def _line(band: Sequence[Band], scale: Scale, x: alt.X, y: alt.Y) -> list[alt.Chart]:
    if not band:
        return []
    rows = [
        {
            "day": local_day(at.day),
            "weight": scale.value(at.value),
            "low": scale.value(at.low),
            "high": scale.value(at.high),
        }
        for at in band
    ]
    base = chart_of(rows).encode(x=x)
    return [
        base.mark_area(color=MAIN, opacity=0.15, clip=True).encode(
            y=alt.Y("low:Q", title=None), y2=alt.Y2("high")
        ),
        base.mark_line(color=MAIN, strokeWidth=2, clip=True).encode(y=y),
    ]


@dataclass(frozen=True)
class Span:
    """One row of a picture of intervals: its name, value and ends, and what is said of it."""

    label: str
    value: float
    low: float
    high: float
    shown: str


def spans(found: Sequence[Span], unit: str) -> Build:
    """Dots with their intervals, one row each, about a line at nought."""
    return lambda layout: _spans(found, unit, layout)


def _spans(found: Sequence[Span], unit: str, layout: Layout) -> Any:
    step = 42 if layout.narrow else 32
    width = layout.px - 8
    left, right = (26, width - 26) if layout.narrow else (120, width - 210)
    rows = [
        {
            "row": place,
            "label": each.label,
            "value": each.value,
            "low": each.low,
            "high": each.high,
            "shown": each.shown,
            "none": each.low <= 0 <= each.high,
        }
        for place, each in enumerate(found)
    ]
    ends = [0.0, *(each.low for each in found), *(each.high for each in found)]
    room = (max(ends) - min(ends)) * 0.03 or 1.0
    base = chart_of(rows).encode(y=alt.Y("row:O", axis=None))
    x = alt.X(
        "low:Q",
        title=f"Change a year ({unit})",
        scale=alt.Scale(
            domain=[min(ends) - room, max(ends) + room], range=[left, right], nice=False, zero=False
        ),
        axis=alt.Axis(tickCount=3 if layout.narrow else 4, format="~f"),
    )
    colour = alt.condition("datum.none", alt.value(CONTEXT), alt.value(MAIN))
    down, above = (9, -9) if layout.narrow else (0, 0)
    tips = [alt.Tooltip("label:N", title="Of"), alt.Tooltip("shown:N", title="A year")]
    nought = chart_of([{"low": 0}]).mark_rule(color=SOFT_INK, strokeWidth=1).encode(x=x)
    return alt.layer(
        nought,
        base.mark_rule(strokeWidth=3, yOffset=down).encode(
            x=x, x2=alt.X2("high"), color=colour, tooltip=tips
        ),
        base.mark_point(size=80, yOffset=down).encode(
            x=alt.X("value:Q"),
            color=alt.condition("datum.none", alt.value(SOFT_INK), alt.value(MAIN)),
            tooltip=tips,
        ),
        *haloed(base, alt.value(0), "label", align="left", dy=above),
        *haloed(base, alt.value(width), "shown", align="right", dy=above, fill=SOFT_INK),
    ).properties(height=len(found) * step + 46)
