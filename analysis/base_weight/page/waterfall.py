"""The steps from one mean base weight to another: what fell first, then what rose.

A step hangs where the one before ended; a thin line joins them, so that the eye can follow the way
down and up again. On a phone a step's name stands above it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt

from ...display.charts import along, haloed, in_rows, tips
from ...display.figure import chart_of
from ...display.theme import ACCENT, INK, MAIN, SOFT_INK, Layout
from ...display.words import Scale, count

_AT_MOST = 14
_LETTER_PX = 6.6


@dataclass(frozen=True)
class FallStep:
    """One step: its name, how far in units of display, and what is said beside it."""

    name: str
    by: float
    shown: str


@dataclass(frozen=True)
class Fall:
    """Steps from a start to an end that sum to their difference, all in units of display."""

    start_name: str
    start: float
    end_name: str
    end: float
    steps: tuple[FallStep, ...]


def steps_in_order(
    steps: Sequence[FallStep], scale: Scale, at_most: int = _AT_MOST
) -> tuple[FallStep, ...]:
    """Falls first, the largest first, then rises, the largest last; small ones told together."""
    by_size = sorted(steps, key=lambda step: -abs(step.by))
    places = len(steps) if len(steps) <= at_most else at_most - 2
    shown, beyond = by_size[:places], by_size[places:]
    falls = sorted((s for s in shown if s.by < 0), key=lambda step: step.by)
    rises = sorted((s for s in shown if s.by >= 0), key=lambda step: step.by)
    less = _together([s for s in beyond if s.by < 0], "smaller saving", scale)
    more = _together([s for s in beyond if s.by >= 0], "smaller addition", scale)
    return (*falls, *less, *more, *rises)


def _together(steps: Sequence[FallStep], noun: str, scale: Scale) -> list[FallStep]:
    if len(steps) < 2:
        return list(steps)
    total = round(sum(step.by for step in steps), 6)
    return [FallStep(count(len(steps), noun), total, scale.text(total, signed=True))]


def waterfall(fall: Fall, scale: Scale, layout: Layout) -> Any:
    """The picture; scale writes the unit in which the steps are."""
    rows = _rows(fall, scale)
    step = 40 if layout.narrow else 27
    width = layout.px - 8
    shown_px = max(len(row["shown"]) for row in rows) * _LETTER_PX + 14
    name_px = min(max(max(len(row["name"]) for row in rows) * _LETTER_PX + 14, 120), 250)
    left, right = (4, width - 4) if layout.narrow else (name_px, width - shown_px)
    levels = [row[key] for row in rows for key in ("from", "to")]
    room = (max(levels) - min(levels)) * 0.02 or 1.0
    base = in_rows(rows)
    x = along(
        *("from", f"Mean base weight ({scale.unit})"),
        *((min(levels) - room, max(levels) + room), (left, right)),
        labelFlush=layout.narrow,
    )
    below, above = (9, -9) if layout.narrow else (0, 0)
    about = tips(name="What", shown="How much")
    ends, steps = "datum.end", "!datum.end"
    joints = [{"row": i, "next": i + 1, "at": row["to"]} for i, row in enumerate(rows[:-1])]
    names_px = width - shown_px if layout.narrow else left - 10
    texts = []
    for where, weight, fill in ((steps, "normal", SOFT_INK), (ends, "bold", INK)):
        look = {"dy": above, "fontWeight": weight}
        chosen = base.transform_filter(where)
        texts += haloed(chosen, "name", alt.value(0), align="left", limit=names_px, **look)
        texts += haloed(chosen, "shown", alt.value(width), align="right", fill=fill, **look)
    return alt.layer(
        chart_of(joints)
        .mark_rule(color=SOFT_INK, strokeWidth=1, yOffset=below, y2Offset=below)
        .encode(
            y=alt.Y("row:O", axis=None, scale=alt.Scale(domain=list(range(len(rows))))),
            y2=alt.Y2("next:O"),
            x=alt.X("at:Q"),
        ),
        base.transform_filter(steps)
        .mark_bar(size=12, yOffset=below, minBandSize=2)
        .encode(
            x=x,
            x2=alt.X2("to"),
            color=alt.condition("datum.to < datum.from", alt.value(MAIN), alt.value(ACCENT)),
            tooltip=about,
        ),
        base.transform_filter(ends)
        .mark_tick(orient="vertical", size=20, thickness=4, color=INK, opacity=1, yOffset=below)
        .encode(x=x, tooltip=about),
        *texts,
    ).properties(height=len(rows) * step + 46)


def _rows(fall: Fall, scale: Scale) -> list[dict[str, Any]]:
    levels = [(fall.start_name, fall.start), (fall.end_name, fall.end)]
    first, last = (
        {"name": name, "from": at, "to": at, "end": True, "shown": scale.text(at)}
        for name, at in levels
    )
    rows, at = [first], fall.start
    for step in fall.steps:
        to = round(at + step.by, 6)
        rows.append({"name": step.name, "from": at, "to": to, "end": False, "shown": step.shown})
        at = to
    return [*rows, last]
