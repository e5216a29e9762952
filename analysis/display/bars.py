"""Sorted bars with their names and values beside them: one row a thing, in groups if need be.

On a wide page a name stands left of its bar; on a phone above it, so that bars have the whole width
and names of some forty letters fit.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt

from .charts import along, in_rows, tips, written
from .figure import Build
from .theme import CONTEXT, INK, MAIN, SOFT_INK, Layout

_PADDING_PX = 8
_LETTER_PX = 6.6
_LABEL_PX = 120, 260
_FLUSH_PX = 20
"""A figure of a narrow axis so near to its end stands within it: half of it would be cut off."""


@dataclass(frozen=True)
class Bar:
    """One row: its name, what is drawn (in units of display) and the text beside it.

    length None draws no bar. start: where the bar begins, for bars that hang in a waterfall.
    """

    label: str
    length: float | None
    shown: str
    colour: str = MAIN
    start: float = 0.0


@dataclass(frozen=True)
class Group:
    """Rows under one bold line; without a title there is no line."""

    title: str
    bars: tuple[Bar, ...]
    shown: str = ""


def longest(bars: Sequence[Bar], at_most: int, rest: str, shown: str) -> tuple[Bar, ...]:
    """Return at most so many bars; those beyond are one grey bar, of this name and text."""
    if len(bars) <= at_most:
        return tuple(bars)
    length = sum(bar.length or 0 for bar in bars[at_most - 1 :])
    return (*bars[: at_most - 1], Bar(rest, length, shown, CONTEXT))


def bars_alone(bars: Sequence[Bar], axis_title: str) -> Build:
    """Return the chart of bars in one group without a title."""
    return bar_chart([Group("", tuple(bars))], axis_title)


def bar_chart(groups: Sequence[Group], axis_title: str) -> Build:
    """Return the chart of one or several groups on one scale; axis_title names its unit."""
    return lambda layout: _drawn(groups, layout, axis_title)


def _drawn(groups: Sequence[Group], layout: Layout, axis_title: str) -> Any:
    rows = _rows([group for group in groups if group.bars])
    step = 38 if layout.narrow else 25
    least, most = _LABEL_PX
    left = 0 if layout.narrow else min(max(_width(rows, "label"), least), most)
    width = layout.px - _PADDING_PX
    right = width - (2 if layout.narrow else _width(rows, "shown"))
    ends = [end for row in rows for end in (row["from"], row["to"]) if end is not None]
    low, high = min([0.0, *ends]), max([0.0, *ends])
    base = in_rows(rows)
    x = along(
        "from",
        axis_title,
        (low, high or 1),
        (left, right),
        labelFlush=_FLUSH_PX if layout.narrow else False,
    )
    bars = (
        base.transform_filter("isValid(datum.to)")
        .mark_bar(size=13, yOffset=8 if layout.narrow else 0, cornerRadius=1, minBandSize=1)
        .encode(
            x=x,
            x2=alt.X2("to"),
            color=alt.Color("colour:N", scale=None),
            tooltip=tips(label="Name", shown="Value"),
        )
    )
    return alt.layer(bars, *_texts(base, rows, layout, left, width)).properties(
        height=len(rows) * step + 46
    )


def _width(rows: Sequence[dict[str, Any]], key: str) -> int:
    """Room for the longest text of a column, by the width of an average letter."""
    return round(max(len(row[key]) for row in rows) * _LETTER_PX) + 16


def _rows(groups: Sequence[Group]) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = []
    for group in groups:
        if group.title:
            head = {"label": group.title, "from": None, "to": None, "shown": group.shown}
            rows.append(head | {"colour": INK, "head": True})
        for bar in group.bars:
            end = None if bar.length is None else bar.start + bar.length
            row = {"label": bar.label, "from": bar.start, "to": end, "shown": bar.shown}
            rows.append(row | {"colour": bar.colour, "head": False})
    return rows


def _texts(
    base: alt.Chart, rows: list[dict[str, Any]], layout: Layout, left: int, width: int
) -> list[alt.Chart]:
    narrow = layout.narrow
    above = -8 if narrow else 0
    room = width - _width(rows, "shown") if narrow else left - 12
    heads, bodies = (base.transform_filter(test) for test in ("datum.head", "!datum.head"))
    side, edge = ("right", alt.value(width - 2)) if narrow else ("left", alt.value(left))
    texts = [
        written(heads, "label", alt.value(0), align="left", fontWeight="bold", limit=room),
        written(bodies, "label", alt.value(0), align="left", dy=above, limit=room),
        written(heads, "shown", edge, align=side, fontWeight="bold"),
    ]
    if narrow:
        return [*texts, written(bodies, "shown", edge, align=side, dy=above, fill=SOFT_INK)]
    ends = bodies.transform_calculate(end="isValid(datum.to) ? max(datum.from, datum.to) : 0")
    return [*texts, written(ends, "shown", alt.X("end:Q"), align="left", dx=6)]
