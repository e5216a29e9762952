"""Small pictures beside each other: base weight by system, each over the same span of weight."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt

from ...display.charts import along, haloed, in_rows, line_with_band, looks, tips
from ...display.figure import chart_of
from ...display.theme import CONTEXT, INK, MAIN, SOFT_INK, Layout
from ...display.words import Scale
from .charts import SEASONS, Band, TripMark

_COLUMNS = {"wide": 3, "narrow": 2}
_AXIS_PX = 42
_GAP_PX = 14


@dataclass(frozen=True)
class Panel:
    """One small picture: its title, what is said below, its trips, the line with its band."""

    title: str
    below: str
    marks: tuple[TripMark, ...]
    band: tuple[Band, ...]

    @property
    def ends_g(self) -> tuple[float, float]:
        """The lightest and the heaviest."""
        grams = [mark.grams for mark in self.marks]
        return min(grams), max(grams)


def small_multiples(
    panels: Sequence[Panel], scale: Scale, years: Sequence[int], layout: Layout
) -> Any:
    """Panels in rows; every one spans as many grams as the one that needs most.

    years: those that the time axis names.
    """
    columns = _COLUMNS[layout.name]
    width = (layout.px - 16 - columns * _AXIS_PX - (columns - 1) * _GAP_PX) // columns
    span = max(max(high - low, 50.0) for low, high in (panel.ends_g for panel in panels)) * 1.16
    drawn = [_panel(panel, span, scale, years, width) for panel in panels]
    rows = [drawn[i : i + columns] for i in range(0, len(drawn), columns)]
    return alt.vconcat(*(alt.hconcat(*row, spacing=_GAP_PX) for row in rows), spacing=18)


def _panel(panel: Panel, span: float, scale: Scale, years: Sequence[int], width: int) -> Any:
    middle = max(sum(panel.ends_g) / 2, span * 0.46)
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
    rows = [mark.row(scale) for mark in panel.marks]
    for row in rows:
        del row["told"]
    colour, shape = looks("season", SEASONS, legend=None)
    layers = [
        chart_of(rows)
        .mark_point(size=30, stroke=INK, strokeWidth=0.3, clip=True)
        .encode(x=x, y=y, color=colour, shape=shape, tooltip=tips(title="Trip", shown="Weight"))
    ]
    if panel.band:
        line = [at.row(scale) for at in panel.band]
        layers = [*line_with_band(line, x, y, alt.Y("low:Q", title=None), 2), *layers]
    look: dict[str, Any] = {"fontSize": 12, "anchor": "start", "frame": "group", "offset": 4}
    look |= {"subtitleFontSize": 11, "subtitleColor": SOFT_INK, "subtitlePadding": 2}
    title = alt.TitleParams(panel.title, subtitle=panel.below, **look)
    return alt.layer(*layers).properties(width=width, height=92, title=title)


@dataclass(frozen=True)
class IntervalRow:
    """One row of a picture of intervals: its name, value and ends, and what is said of it."""

    label: str
    value: float
    low: float
    high: float
    shown: str


def intervals(series: Sequence[IntervalRow], unit: str, layout: Layout) -> Any:
    """Dots with their intervals, one row each, about a line at nought."""
    step = 42 if layout.narrow else 32
    width = layout.px - 8
    left, right = (26, width - 26) if layout.narrow else (120, width - 210)
    rows = [{**vars(each), "none": each.low <= 0 <= each.high} for each in series]
    ends = [0.0, *(each.low for each in series), *(each.high for each in series)]
    room = (max(ends) - min(ends)) * 0.03 or 1.0
    base, domain = in_rows(rows), (min(ends) - room, max(ends) + room)
    ticks = 3 if layout.narrow else 4
    x = along("low", f"Change per year ({unit})", domain, (left, right), tickCount=ticks)
    colour = alt.condition("datum.none", alt.value(CONTEXT), alt.value(MAIN))
    dot = alt.condition("datum.none", alt.value(SOFT_INK), alt.value(MAIN))
    down, above = (9, -9) if layout.narrow else (0, 0)
    about = tips(label="Of", shown="Per year")
    return alt.layer(
        chart_of([{"low": 0}]).mark_rule(color=SOFT_INK, strokeWidth=1).encode(x=x),
        base.mark_rule(strokeWidth=3, yOffset=down).encode(
            x=x, x2=alt.X2("high"), color=colour, tooltip=about
        ),
        base.mark_point(size=80, yOffset=down).encode(x=alt.X("value:Q"), color=dot, tooltip=about),
        *haloed(base, "label", alt.value(0), align="left", dy=above),
        *haloed(base, "shown", alt.value(width), align="right", dy=above, fill=SOFT_INK),
    ).properties(height=len(rows) * step + 46)
