"""The picture of how much to take: what is needed, with its interval, against what is on the list.

All rows share one scale, the amount that does for nine trips in ten, so that food in kilograms and
fuel in grams stand side by side.
"""

from collections.abc import Sequence
from typing import Any

import altair as alt

from ...display.charts import dots_with_intervals, looks, tips
from ...display.figure import Build, chart_of
from ...display.theme import INK, MAIN, SOFT_INK, Layout
from ...display.words import Display
from ..results import Need
from . import amount_words as much

_MOST_PERCENT = 200
"""Farther right nothing is drawn: the mark stands at the edge, with its amount and an arrow."""
_LEFT_PX, _STEP_PX, _NARROW_STEP_PX = 150, 34, 46
_NEEDED, _LISTED = "Needed, as a rule", "On the list"
_MARKS = {_NEEDED: (MAIN, "circle"), _LISTED: (INK, "diamond")}


def needs_chart(needs: Sequence[Need], display: Display) -> Build:
    """A row an amount, in the order given."""
    spans: list[dict[str, Any]] = []
    marks: list[dict[str, Any]] = []
    for place, need in enumerate(needs):
        whole = need.take_for_9_in_10
        name = much.need_name(need)
        about = {
            "row": place,
            "name": name,
            "take": much.amount_up(whole, need, display),
            "range": much.amount_range(need, display),
            "list": "" if need.on_list is None else much.amount(need.on_list, need, display),
        }
        spans.append(
            {
                **about,
                "low": _percent(need.amount.low, whole),
                "high": _percent(need.amount.high, whole),
                "at": _percent(need.amount.value, whole),
                "mark": _NEEDED,
            }
        )
        if need.on_list is not None:
            at = _percent(need.on_list, whole)
            marks.append({**about, "at": at, "mark": _LISTED, "beyond": f"{about['list']} →"})
    shown = {mark["mark"] for mark in (*spans, *marks)}
    return lambda layout: _drawn(spans, marks, shown, layout)


def _percent(value: float, whole: float) -> float:
    return min(round(100 * value / whole, 2), _MOST_PERCENT) if whole else 0.0


def _drawn(
    spans: Sequence[dict[str, Any]],
    marks: Sequence[dict[str, Any]],
    shown: set[str],
    layout: Layout,
) -> Any:
    width = layout.px - 8
    left = 0 if layout.narrow else _LEFT_PX
    above = -12 if layout.narrow else 0
    y = alt.Y("row:O", axis=None)
    farthest = max(100.0, *(row["high"] for row in spans), *(row["at"] for row in marks))
    scale = alt.Scale(domain=[0, farthest], range=[left, width - 12], nice=False)
    x = alt.X(
        "at:Q",
        title="% of the amount that is enough for nine trips in ten",
        scale=scale,
        axis=alt.Axis(tickCount=4, labelFlush=layout.narrow),
    )
    colour, shape = looks(
        "mark", {name: _MARKS[name] for name in _MARKS if name in shown}, title=None
    )
    about = tips(name="What", take="For nine in ten", range="Nine in ten", list="On the list")
    offset: dict[str, Any] = {"yOffset": 8 if layout.narrow else 0}
    rule = (
        chart_of([{"at": 100}])
        .mark_rule(stroke=SOFT_INK, strokeDash=[4, 3])
        .encode(x=alt.X("at:Q", scale=scale))
    )
    layers = dots_with_intervals(
        spans,
        y,
        x,
        alt.X("low:Q", scale=scale),
        about,
        dot={"size": 70, **offset},
        line={"stroke": MAIN, **offset},
        colour=colour,
        shape=shape,
    )
    beyond = [row for row in marks if row["at"] >= _MOST_PERCENT]
    if beyond:
        figures = chart_of(beyond).mark_text(align="right", dx=-10, fill=SOFT_INK, **offset)
        layers.append(figures.encode(x=x, y=y, text="beyond:N"))
    if marks:
        diamonds = chart_of(marks).mark_point(filled=True, size=110, **offset)
        layers.append(diamonds.encode(x=x, y=y, color=colour, shape=shape, tooltip=about))
    room = layout.px - 20 if layout.narrow else left - 14
    names = (
        chart_of(spans)
        .mark_text(align="left", dy=above, limit=room, fill=INK)
        .encode(y=y, x=alt.value(0), text="name:N")
    )
    step = _NARROW_STEP_PX if layout.narrow else _STEP_PX
    return alt.layer(rule, *layers, names).properties(height=len(spans) * step + 78)
