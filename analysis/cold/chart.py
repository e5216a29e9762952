"""The picture of cold: how likely a night is too cold by its low, and how the nights were voted."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt
import numpy as np

from ..display.figure import chart_of
from ..display.theme import OKABE_ITO, SOFT_INK, Layout
from ..display.words import Display, day, temperature, temperature_scale
from .limit import COLD_SHARE, ColdLimit, ColdLimits

_Build = Callable[[Layout], Any]

MOST_CURVES = 3
_LOOKS = (
    (OKABE_ITO["blue"], "circle"),
    (OKABE_ITO["vermillion"], "square"),
    (OKABE_ITO["green"], "triangle-up"),
)
_POINTS = 61
_BEYOND_C = 6.0
_ROW = 5.0  # per cent of the axis for each row of votes
_HEIGHT_PX = 400


@dataclass(frozen=True, slots=True)
class Curve:
    """One sleep system in the picture: the number its nights have, its limit, and its label."""

    number: int
    limit: ColdLimit
    label: str


def cold_chart(limits: ColdLimits, curves: Sequence[Curve], display: Display) -> _Build:
    """Curves with bands, own limits on them, and a mark for every judged night."""
    scale = temperature_scale(display)
    ends = [c.limit.own_limit_low_c for c in curves] + [c.limit.own_limit_high_c for c in curves]
    numbers = {c.number: place for place, c in enumerate(curves)}
    ends += [night.low_c for night in limits.nights if night.system in numbers]
    low_c = np.linspace(min(ends) - _BEYOND_C / 2, max(ends) + _BEYOND_C / 2, _POINTS)
    lines: list[dict[str, Any]] = []
    for curve in curves:
        chance = limits.curve(curve.limit.system, low_c)
        lines += [
            {
                "system": curve.label,
                "low": round(scale.value(c) or 0.0, 2),
                "chance": round(100 * float(m), 2),
                "from": round(100 * float(a), 2),
                "to": round(100 * float(b), 2),
            }
            for c, m, a, b in zip(
                low_c.tolist(), chance.chance, chance.chance_low, chance.chance_high, strict=True
            )
        ]
    votes = [
        {
            "system": curves[numbers[n.system]].label,
            "low": round(scale.value(n.low_c) or 0.0, 2),
            "at": (104 + _ROW * numbers[n.system])
            if n.too_cold
            else (-4 - _ROW * numbers[n.system]),
            "said": "too cold" if n.too_cold else "warm enough",
            "night": day(n.night, weekday=False),
            "shown": temperature(n.low_c, display, 1),
        }
        for n in limits.nights
        if n.system in numbers
    ]
    own_limits = [
        {
            "system": c.label,
            "low": round(scale.value(c.limit.own_limit_c) or 0.0, 2),
            "chance": 100 * COLD_SHARE,
        }
        for c in curves
    ]
    names = [curve.label for curve in curves]
    return lambda layout: _drawn(lines, votes, own_limits, names, scale.unit, layout)


def _drawn(
    lines: Sequence[dict[str, Any]],
    votes: Sequence[dict[str, Any]],
    limits: Sequence[dict[str, Any]],
    names: Sequence[str],
    unit: str,
    layout: Layout,
) -> Any:
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
    colours = [colour for colour, _ in _LOOKS[: len(names)]]
    legend = alt.Legend(title=None, columns=1, symbolOpacity=1)
    colour = alt.Color(
        "system:N", legend=legend, scale=alt.Scale(domain=list(names), range=colours)
    )
    shape = alt.Shape(
        "system:N",
        legend=legend,
        scale=alt.Scale(domain=list(names), range=[s for _, s in _LOOKS[: len(names)]]),
    )
    base = chart_of(lines)
    one_in_five = chart_of([{"chance": 100 * COLD_SHARE}])
    tips = [
        alt.Tooltip("night:N", title="Night of"),
        alt.Tooltip("shown:N", title="Low"),
        alt.Tooltip("said:N", title="Voted"),
    ]
    layers = [
        one_in_five.mark_rule(stroke=SOFT_INK, strokeWidth=1, strokeDash=[4, 3]).encode(y=y),
        base.mark_area(opacity=0.16).encode(x=x, y=alt.Y("from:Q"), y2=alt.Y2("to"), color=colour),
        base.mark_line(strokeWidth=2).encode(x=x, y=y, color=colour),
        chart_of(limits)
        .mark_point(filled=True, size=110, opacity=1)
        .encode(x=x, y=y, color=colour, shape=shape),
    ]
    if votes:
        layers.append(
            chart_of(votes)
            .mark_point(filled=True, size=34, opacity=0.65)
            .encode(x=x, y=alt.Y("at:Q"), color=colour, shape=shape, tooltip=tips)
        )
        words = [
            {"at": 100 + beyond, "said": "voted too cold", "low": max(places)},
            {"at": -beyond, "said": "voted warm enough", "low": min(places)},
        ]
        layers += [
            chart_of([words[0]])
            .mark_text(align="right", baseline="top", fill=SOFT_INK)
            .encode(x=x, y=alt.Y("at:Q"), text="said:N"),
            chart_of([words[1]])
            .mark_text(align="left", baseline="bottom", fill=SOFT_INK)
            .encode(x=x, y=alt.Y("at:Q"), text="said:N"),
        ]
    return alt.layer(*layers).properties(height=_HEIGHT_PX)
