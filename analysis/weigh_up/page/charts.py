"""The picture of the weigh-up: a sorted bar a system, its base, worn and consumable parts in turn.

The parts follow each other in one order, so that colour is not alone in telling them.
"""

from collections.abc import Sequence
from typing import Any

import altair as alt

from ...display.figure import Build, chart_of
from ...display.theme import COLOURS, PAPER, SOFT_INK, Layout
from ...display.words import Scale, label
from .shown import GroupShown

PARTS = {
    "base": ("Base", COLOURS["blue"]),
    "worn": ("Worn", SOFT_INK),
    "consumable": ("Food and fuel", COLOURS["green"]),
}
"""What is drawn: ways of carrying by name and colour, each at 3:1 and more on white."""

_LEFT_PX, _RIGHT_PX, _STEP_PX = 110, 78, 27


def systems_chart(systems: Sequence[GroupShown], scale: Scale) -> Build:
    """Systems, heaviest first, on a scale from g."""
    return lambda layout: _systems_chart(systems, scale, layout)


def _systems_chart(systems: Sequence[GroupShown], scale: Scale, layout: Layout) -> Any:
    rows: list[dict[str, Any]] = []
    parts: list[dict[str, Any]] = []
    for place, each in enumerate(systems):
        end = 0.0
        for kind, (name, _) in PARTS.items():
            grams = each.kinds_g[kind]
            if grams:
                start, end = end, end + grams
                parts.append(
                    {"row": place, "from": scale.value(start), "to": scale.value(end)}
                    | {"part": name, "system": label(each.about.name), "shown": scale.text(grams)}
                )
        rows.append(
            {"row": place, "label": label(each.about.name), "shown": scale.text(end)}
            | {"end": scale.value(end)}
        )
    most = max(row["end"] for row in rows)
    left = 0 if layout.narrow else _LEFT_PX
    right = layout.px - 8 - (0 if layout.narrow else _RIGHT_PX)
    above = -9 if layout.narrow else 0
    drawn = [look for look in PARTS.values() if look[0] in {part["part"] for part in parts}]
    y = alt.Y("row:O", axis=None)
    bars = (
        chart_of(parts)
        .mark_bar(size=13, yOffset=8 if layout.narrow else 0, stroke=PAPER, strokeWidth=1)
        .encode(
            y=y,
            x=alt.X(
                "from:Q",
                title=f"From the skin out ({scale.unit})",
                scale=alt.Scale(domain=[0, most], range=[left, right], nice=False),
                axis=alt.Axis(tickCount=4, format="~f", labelFlush=layout.narrow),
            ),
            x2="to:Q",
            color=alt.Color(
                "part:N",
                scale=alt.Scale(
                    domain=[name for name, _ in drawn], range=[colour for _, colour in drawn]
                ),
                legend=alt.Legend(title=None, orient="top", direction="horizontal"),
            ),
            tooltip=[
                alt.Tooltip("system:N", title="System"),
                alt.Tooltip("part:N", title="Carried as"),
                alt.Tooltip("shown:N", title="Weight"),
            ],
        )
    )
    base = chart_of(rows).encode(y=y)
    names = base.mark_text(align="left", dy=above).encode(x=alt.value(0), text="label:N")
    if layout.narrow:
        weights = base.mark_text(align="right", dy=above, fill=SOFT_INK).encode(
            x=alt.value(right - 2), text="shown:N"
        )
    else:
        weights = base.mark_text(align="left", dx=6).encode(x="end:Q", text="shown:N")
    step = 38 if layout.narrow else _STEP_PX
    return alt.layer(bars, names, weights).properties(height=len(rows) * step + 60)
