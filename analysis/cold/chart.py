"""The picture of cold: how likely a night is too cold by its low, and how the nights were voted."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt
import numpy as np

from ..display.charts import looks, tips
from ..display.figure import chart_of
from ..display.theme import COLOURS, SOFT_INK, Layout
from ..display.words import Display, day, temperature, temperature_scale
from .limit import COLD_SHARE, ColdLimit, ColdLimits

MOST_CURVES = 3
_LOOKS = (
    (COLOURS["blue"], "circle"),
    (COLOURS["vermillion"], "square"),
    (COLOURS["green"], "triangle-up"),
)
_POINTS = 61
_BEYOND_C = 6.0
_ROW = 5.0  # per cent of the axis for each row of votes
_HEIGHT_PX = 400
_Rows = list[dict[str, Any]]


@dataclass(frozen=True, slots=True)
class Curve:
    """One sleep system in the picture: the number its nights have, its limit, and its label."""

    number: int
    limit: ColdLimit
    label: str


def cold_chart(
    limits: ColdLimits, curves: Sequence[Curve], display: Display
) -> Callable[[Layout], Any]:
    """Curves with bands, own limits on them, and a mark for every judged night."""
    scale = temperature_scale(display)

    def shown(celsius: float) -> float:
        return round(scale.value(celsius) or 0.0, 2)

    row_of = {c.number: place for place, c in enumerate(curves)}
    nights = [night for night in limits.nights if night.system in row_of]
    ends = [end for c in curves for end in (c.limit.own_limit_c.low, c.limit.own_limit_c.high)]
    ends += [night.low_c for night in nights]
    low_c = np.linspace(min(ends) - _BEYOND_C / 2, max(ends) + _BEYOND_C / 2, _POINTS)
    lines: _Rows = []
    for curve in curves:
        known = limits.curve(curve.limit.system, low_c)
        for low, *shares in zip(
            low_c.tolist(), known.chance, known.chance_low, known.chance_high, strict=True
        ):
            chance, least, most = (round(100 * float(share), 2) for share in shares)
            at = {"system": curve.label, "low": shown(low), "chance": chance}
            lines.append({**at, "from": least, "to": most})
    votes = [
        {
            "system": curves[row_of[n.system]].label,
            "low": shown(n.low_c),
            "at": 104 + _ROW * row_of[n.system] if n.too_cold else -4 - _ROW * row_of[n.system],
            "said": "too cold" if n.too_cold else "warm enough",
            "night": day(n.night, weekday=False),
            "shown": temperature(n.low_c, display, 1),
        }
        for n in nights
    ]
    own = [
        {"system": c.label, "low": shown(c.limit.own_limit_c.value), "chance": 100 * COLD_SHARE}
        for c in curves
    ]
    names = [curve.label for curve in curves]
    return lambda layout: _drawn(lines, votes, own, names, scale.unit)


def _drawn(lines: _Rows, votes: _Rows, limits: _Rows, names: Sequence[str], unit: str) -> Any:
    places = [row["low"] for row in lines]
    beyond = 6 + _ROW * len(names)
    x = alt.X(
        "low:Q",
        title=f"Low of the night ({unit})",
        scale=alt.Scale(domain=[min(places), max(places)], nice=False),
    )
    y = alt.Y(
        "chance:Q",
        title="Too cold (% of such nights)",
        scale=alt.Scale(domain=[-beyond, 100 + beyond], nice=False),
        axis=alt.Axis(values=[0, 20, 40, 60, 80, 100]),
    )
    legend = alt.Legend(title=None, columns=1, symbolOpacity=1)
    colour, shape = looks("system", dict(zip(names, _LOOKS, strict=False)), legend=legend)
    base, vote = chart_of(lines), alt.Y("at:Q")
    one_in_five = chart_of([{"chance": 100 * COLD_SHARE}])
    layers = [
        one_in_five.mark_rule(stroke=SOFT_INK, strokeWidth=1, strokeDash=[4, 3]).encode(y=y),
        base.mark_area(opacity=0.16).encode(x=x, y=alt.Y("from:Q"), y2=alt.Y2("to"), color=colour),
        base.mark_line(strokeWidth=2).encode(x=x, y=y, color=colour),
        chart_of(limits)
        .mark_point(filled=True, size=110, opacity=1)
        .encode(x=x, y=y, color=colour, shape=shape),
    ]
    if votes:
        about = tips(night="Night of", shown="Low", said="Voted")
        marks = chart_of(votes).mark_point(filled=True, size=34, opacity=0.9)
        layers.append(marks.encode(x=x, y=vote, color=colour, shape=shape, tooltip=about))
        above = {"at": 100 + beyond, "said": "voted too cold", "low": max(places)}
        below = {"at": -beyond, "said": "voted warm enough", "low": min(places)}
        layers += [
            text.encode(x=x, y=vote, text="said:N")
            for text in (
                chart_of([above]).mark_text(align="right", baseline="top", fill=SOFT_INK),
                chart_of([below]).mark_text(align="left", baseline="bottom", fill=SOFT_INK),
            )
        ]
    return alt.layer(*layers).properties(height=_HEIGHT_PX)
