"""The steps from one mean base weight to another: what fell first, then what rose.

A step hangs where the one before ended; a thin line joins them, so that the eye can follow the way
down and up again. On a phone a step's name stands above it.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt

from ...display.figure import chart_of
from ...display.theme import ACCENT, INK, MAIN, SOFT_INK, Layout
from ...display.words import Scale, count
from .charts import haloed

Build = Callable[[Layout], Any]

AT_MOST = 14
_LETTER_PX = 6.6


@dataclass(frozen=True)
class Step:
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
    steps: tuple[Step, ...]


def in_order(steps: Sequence[Step], scale: Scale, at_most: int = AT_MOST) -> tuple[Step, ...]:
    """Falls first, the largest first, then rises, the largest last; small ones told together."""
    by_size = sorted(steps, key=lambda step: -abs(step.by))
    kept, beyond = by_size, []
    if len(steps) > at_most:
        kept, beyond = by_size[: at_most - 2], by_size[at_most - 2 :]
    falls = sorted((s for s in kept if s.by < 0), key=lambda step: step.by)
    rises = sorted((s for s in kept if s.by >= 0), key=lambda step: step.by)
    less = _together([s for s in beyond if s.by < 0], "smaller saving", scale)
    more = _together([s for s in beyond if s.by >= 0], "smaller addition", scale)
    return (*falls, *less, *more, *rises)


def _together(steps: Sequence[Step], noun: str, scale: Scale) -> list[Step]:
    if len(steps) < 2:
        return list(steps)
    total = round(sum(step.by for step in steps), 6)
    return [Step(count(len(steps), noun), total, said(total, scale))]


def said(by: float, scale: Scale) -> str:
    """A step in words, signed; by is in units of display already."""
    return Scale(scale.unit, decimals=scale.decimals).text(by, signed=True)


def waterfall(fall: Fall, scale: Scale) -> Build:
    """The picture; scale gives the unit in which the steps are."""
    return lambda layout: _waterfall(fall, scale, layout)


def _waterfall(fall: Fall, scale: Scale, layout: Layout) -> Any:
    rows = _rows(fall, scale)
    last = len(rows) - 1
    step = 40 if layout.narrow else 27
    width = layout.px - 8
    said_px = max(len(row["shown"]) for row in rows) * _LETTER_PX + 14
    name_px = min(max(max(len(row["name"]) for row in rows) * _LETTER_PX + 14, 120), 250)
    left, right = (4, width - 4) if layout.narrow else (name_px, width - said_px)
    levels = [row[key] for row in rows for key in ("from", "to")]
    room = (max(levels) - min(levels)) * 0.02 or 1.0
    base = chart_of(rows).encode(y=alt.Y("row:O", axis=None))
    x = alt.X(
        "from:Q",
        title=f"Mean base weight ({scale.unit})",
        scale=alt.Scale(
            domain=[min(levels) - room, max(levels) + room],
            range=[left, right],
            nice=False,
            zero=False,
        ),
        axis=alt.Axis(tickCount=4, format="~f", labelFlush=layout.narrow),
    )
    below, above = (9, -9) if layout.narrow else (0, 0)
    tips = [alt.Tooltip("name:N", title="What"), alt.Tooltip("shown:N", title="How much")]
    ends, steps = "datum.end", "!datum.end"
    joints = [{"row": i, "next": i + 1, "at": row["to"]} for i, row in enumerate(rows[:-1])]
    names_px = width - said_px if layout.narrow else left - 10
    texts = []
    for where, weight, fill in ((steps, "normal", SOFT_INK), (ends, "bold", INK)):
        chosen = base.transform_filter(where)
        texts += [
            *haloed(
                chosen,
                alt.value(0),
                "name",
                align="left",
                dy=above,
                limit=names_px,
                fontWeight=weight,
            ),
            *haloed(
                chosen,
                alt.value(width),
                "shown",
                align="right",
                dy=above,
                fontWeight=weight,
                fill=fill,
            ),
        ]
    return alt.layer(
        chart_of(joints)
        .mark_rule(color=SOFT_INK, strokeWidth=1, yOffset=below, y2Offset=below)
        .encode(
            y=alt.Y("row:O", axis=None, scale=alt.Scale(domain=list(range(last + 1)))),
            y2=alt.Y2("next:O"),
            x=alt.X("at:Q"),
        ),
        base.transform_filter(steps)
        .mark_bar(size=12, yOffset=below, minBandSize=2)
        .encode(
            x=x,
            x2=alt.X2("to"),
            color=alt.condition("datum.to < datum.from", alt.value(MAIN), alt.value(ACCENT)),
            tooltip=tips,
        ),
        base.transform_filter(ends)
        .mark_tick(orient="vertical", size=20, thickness=4, color=INK, opacity=1, yOffset=below)
        .encode(x=x, tooltip=tips),
        *texts,
    ).properties(height=len(rows) * step + 46)


def _rows(fall: Fall, scale: Scale) -> list[dict[str, Any]]:
    plain = Scale(scale.unit, decimals=scale.decimals)
    rows = [
        {
            "name": fall.start_name,
            "from": fall.start,
            "to": fall.start,
            "end": True,
            "shown": plain.text(fall.start),
        }
    ]
    at = fall.start
    for step in fall.steps:
        rows.append(
            {
                "name": step.name,
                "from": at,
                "to": round(at + step.by, 6),
                "end": False,
                "shown": step.shown,
            }
        )
        at = round(at + step.by, 6)
    rows.append(
        {
            "name": fall.end_name,
            "from": fall.end,
            "to": fall.end,
            "end": True,
            "shown": plain.text(fall.end),
        }
    )
    return [{"row": place, **row} for place, row in enumerate(rows)]
