"""Parts that pictures share: what a pointer shows, legends, bands, intervals, clear text."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any

import altair as alt

from .figure import chart_of
from .theme import INK, MAIN, PAPER, SOFT_INK, Layout


def tips(**titles: str) -> list[alt.Tooltip]:
    """What a pointer over a mark shows: fields of text by their titles, in this order."""
    return [alt.Tooltip(f"{field}:N", title=title) for field, title in titles.items()]


def in_rows(rows: Sequence[Mapping[str, Any]]) -> alt.Chart:
    """A row a thing, one below the other in this order, without names at the side."""
    placed = [{"row": place, **row} for place, row in enumerate(rows)]
    return chart_of(placed).encode(y=alt.Y("row:O", axis=None))


def along(
    field: str, title: str, ends: tuple[float, float], px: tuple[float, float], **axis: Any
) -> alt.X:
    """Figures from one end to the other, drawn from one px to the other."""
    scale = alt.Scale(domain=list(ends), range=list(px), nice=False, zero=False)
    look = {"tickCount": 4, "format": "~f", **axis}
    return alt.X(f"{field}:Q", title=title, scale=scale, axis=alt.Axis(**look))


def panel_title(title: str, layout: Layout, offset: int) -> alt.TitleParams:
    """The heading of one of several panels, so many px above it."""
    look: dict[str, Any] = {"fontSize": layout.font_px, "fontWeight": "normal", "color": SOFT_INK}
    return alt.TitleParams(title, anchor="start", offset=offset, **look)


def looks(
    field: str, marks: Mapping[str, tuple[str, str]], *, legend: Any = alt.Undefined, **more: Any
) -> tuple[alt.Color, alt.Shape]:
    """Colour and shape by the names of a field; ``marks`` has both for each name that is drawn.

    legend: that of both; None for none. more: goes to both (``title``).
    """
    names = list(marks)
    colours, shapes = (
        alt.Scale(domain=names, range=[mark[part] for mark in marks.values()]) for part in (0, 1)
    )
    return (
        alt.Color(f"{field}:N", scale=colours, legend=legend, **more),
        alt.Shape(f"{field}:N", scale=shapes, legend=legend, **more),
    )


def written(base: alt.Chart, field: str, x: Any, **mark: Any) -> Any:
    """The text of a field, at a place or along a scale."""
    return base.mark_text(**mark).encode(x=x, text=alt.Text(f"{field}:N"))


def haloed(base: alt.Chart, field: str, x: Any, **mark: Any) -> list[alt.Chart]:
    """Text that what lies behind it does not cross out: first broad and in the paper's colour."""
    halo = {"fill": PAPER, "stroke": PAPER, "strokeWidth": 5, "strokeJoin": "round"}
    looks_of_both = ({**mark, **halo}, {"fill": INK, **mark})
    return [written(base, field, x, **look) for look in looks_of_both]


def line_with_band(
    rows: Sequence[Mapping[str, Any]], x: alt.X, line: alt.Y, low: alt.Y, width: float
) -> list[alt.Chart]:
    """A line through the rows, so many px wide, in the area between their ``low`` and ``high``."""
    base = chart_of(rows).encode(x=x)
    return [
        base.mark_area(color=MAIN, opacity=0.15, clip=True).encode(y=low, y2=alt.Y2("high")),
        base.mark_line(color=MAIN, strokeWidth=width, clip=True).encode(y=line),
    ]


def dots_with_intervals(
    rows: Sequence[Mapping[str, Any]],
    y: alt.Y,
    x: Any,
    low: alt.X,
    tooltip: list[alt.Tooltip],
    *,
    dot: Mapping[str, Any],
    line: Mapping[str, Any] = MappingProxyType({}),
    colour: Any = alt.Undefined,
    shape: Any = alt.Undefined,
) -> list[alt.Chart]:
    """A row a thing: its interval from ``low`` to the field ``high``, and a dot at ``x``.

    dot, line: how the marks look where they all look the same.
    """
    base = chart_of(rows)
    lines = base.mark_rule(strokeWidth=2, **line).encode(x=low, x2="high:Q", y=y, color=colour)
    dots = base.mark_point(filled=True, **dot)
    return [lines, dots.encode(x=x, y=y, color=colour, shape=shape, tooltip=tooltip)]
