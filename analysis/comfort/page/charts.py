"""The pictures of comfort: gains as dots with intervals, and weight against gain."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import altair as alt

from ...display.figure import chart_of
from ...display.theme import CONTEXT, INK, MAIN, OKABE_ITO, SOFT_INK, Layout
from ...display.words import Display, percent, small_mass
from .. import words as said
from ..gain import Gain, efficient_edge

Build = Callable[[Layout], Any]

_MARKS: Mapping[str, tuple[str, str]] = {
    "earned": (MAIN, "triangle-up"),
    "probably": (OKABE_ITO["orange"], "square"),
    "not_known": (CONTEXT, "circle"),
    "goes_with_better_days": (SOFT_INK, "diamond"),
}
_STEP_PX, _NARROW_STEP_PX = 26, 38
_APART = " · "
_SIGNED = "datum.value == 0 ? '0' : format(datum.value, '+.1f')"
_HEIGHT_PX = 420
_LABEL_GAP_PX, _LETTER_PX, _AXES_PX = 17, 7.0, 90


def gains_chart(gains: Sequence[Gain]) -> Build:
    """A row for each gain, as given: a dot with its 90 % interval, nothing marked by a line."""
    rows = [
        {
            "place": place,
            "what": f"{said.name_of(g, 2)}{_APART}{said.SCORES_OF[g.aspect]}",
            "gain": round(g.gain.value, 3),
            "low": round(g.gain.low, 3),
            "high": round(g.gain.high, 3),
            "verdict": said.VERDICTS[g.verdict],
            "helps": percent(g.p_helps),
            "n": f"{g.bundle.days_with} with, {g.bundle.days_without} without",
        }
        for place, g in enumerate(gains)
    ]
    shown = [v for v in _MARKS if any(g.verdict == v for g in gains)]
    return lambda layout: _gains(rows, shown, layout)


def _gains(rows: Sequence[dict[str, Any]], shown: Sequence[str], layout: Layout) -> Any:
    y = alt.Y(
        "what:N",
        title=None,
        sort=alt.SortField("place"),
        axis=_names_axis(layout),
    )
    x = alt.X("gain:Q", title="Added to the score (points)", axis=alt.Axis(labelExpr=_SIGNED))
    tips = [
        alt.Tooltip("what:N", title="What"),
        alt.Tooltip("gain:Q", title="Points", format="+.1f"),
        alt.Tooltip("helps:N", title="Chance that it helps"),
        alt.Tooltip("n:N", title="Scored"),
    ]
    base = chart_of(rows)
    colour, shape = _looks(shown, layout)
    return alt.layer(
        chart_of([{"gain": 0}]).mark_rule(stroke=SOFT_INK, strokeWidth=1).encode(x="gain:Q"),
        base.mark_rule(strokeWidth=2).encode(
            x=alt.X("low:Q"), x2=alt.X2("high"), y=y, color=colour
        ),
        base.mark_point(filled=True, size=90).encode(
            x=x, y=y, color=colour, shape=shape, tooltip=tips
        ),
    ).properties(
        height=len(rows) * (_NARROW_STEP_PX if layout.narrow else _STEP_PX)
        + 90
        + 18 * (len(shown) if layout.narrow else (len(shown) + 1) // 2)
    )


def _names_axis(layout: Layout) -> alt.Axis:
    """Name and aspect; on a phone one under the other, which leaves the dots more room."""
    if layout.narrow:
        return alt.Axis(
            grid=False,
            labelOverlap=False,
            labelLimit=layout.label_px,
            labelExpr=f"split(datum.label, '{_APART}')",
        )
    return alt.Axis(grid=False, labelOverlap=False, labelLimit=layout.label_px)


def _looks(shown: Sequence[str], layout: Layout) -> tuple[alt.Color, alt.Shape]:
    domain = [said.VERDICTS[v] for v in shown]
    legend = alt.Legend(
        title=None, columns=1 if layout.narrow else 2, symbolOpacity=1, labelLimit=0
    )
    return (
        alt.Color(
            "verdict:N",
            legend=legend,
            scale=alt.Scale(domain=domain, range=[_MARKS[v][0] for v in shown]),
        ),
        alt.Shape(
            "verdict:N",
            legend=legend,
            scale=alt.Scale(domain=domain, range=[_MARKS[v][1] for v in shown]),
        ),
    )


def weight_chart(gains: Sequence[Gain], display: Display) -> Build:
    """Weight against gain; the edge joins what nothing lighter beats, by name."""
    scale = small_mass(display)
    edge = efficient_edge(gains)
    named = [g for g in gains if g.helps or g in edge]
    rows = [
        {
            "what": f"{said.name_of(g, 2)}{_APART}{said.SCORES_OF[g.aspect]}",
            "name": said.name_of(g, 1),
            "weight": round(scale.value(g.bundle.weight_g) or 0.0, 3),
            "weighs": scale.text(g.bundle.weight_g),
            "gain": round(g.gain.value, 3),
            "low": round(g.gain.low, 3),
            "high": round(g.gain.high, 3),
            "verdict": said.VERDICTS[g.verdict],
            "named": g in named,
        }
        for g in reversed(gains)
        if g.bundle.weight_g
    ]
    shown = [v for v in _MARKS if any(g.verdict == v for g in gains)]
    steps = [
        {"weight": round(scale.value(g.bundle.weight_g) or 0.0, 3), "gain": round(g.gain.value, 3)}
        for g in edge
    ]
    return lambda layout: _weights(rows, steps, shown, scale.unit, layout)


def _weights(
    rows: Sequence[dict[str, Any]],
    steps: Sequence[dict[str, float]],
    shown: Sequence[str],
    unit: str,
    layout: Layout,
) -> Any:
    heaviest = max(row["weight"] for row in rows)
    widest = heaviest * (1.45 if layout.narrow else 1.2)
    low = min(0.0, *(row["low"] for row in rows if row["named"]), *(r["gain"] for r in rows))
    high = max(row["high"] if row["named"] else row["gain"] for row in rows)
    room = 0.08 * (high - low)
    x = alt.X(
        "weight:Q",
        title=f"Weight ({unit})",
        scale=alt.Scale(domain=[-heaviest / 50, widest], nice=False),
    )
    y = alt.Y(
        "gain:Q",
        title="Added to the score (points)",
        axis=alt.Axis(labelExpr=_SIGNED),
        scale=alt.Scale(domain=[low - room, high + room], nice=False),
    )
    colour, shape = _looks(shown, layout)
    tips = [
        alt.Tooltip("what:N", title="What"),
        alt.Tooltip("weighs:N", title="Weight"),
        alt.Tooltip("gain:Q", title="Points", format="+.1f"),
    ]
    named = [row for row in rows if row["named"]]
    layers = [chart_of([{"gain": 0}]).mark_rule(stroke=SOFT_INK, strokeWidth=1).encode(y="gain:Q")]
    if steps:
        path = [
            {"weight": steps[0]["weight"], "gain": 0.0},
            *steps,
            {"weight": widest, "gain": steps[-1]["gain"]},
        ]
        layers.append(
            chart_of(path)
            .mark_line(interpolate="step-after", stroke=INK, strokeWidth=1.2, strokeDash=[4, 3])
            .encode(x=x, y=y)
        )
    if named:
        spans = chart_of(named).mark_rule(strokeWidth=1.5, opacity=0.7)
        layers.append(spans.encode(x=x, y=alt.Y("low:Q"), y2=alt.Y2("high"), color=colour))
    layers.append(
        chart_of(rows)
        .mark_point(filled=True, size=90, opacity=0.95)
        .encode(x=x, y=y, color=colour, shape=shape, tooltip=tips)
    )
    px_a_unit = (layout.px - _AXES_PX) / (widest + heaviest / 50)
    layers += [_label(row, x) for row in _placed(named, high - low + 2 * room, px_a_unit)]
    return alt.layer(*layers).properties(height=_HEIGHT_PX)


def _placed(
    named: Sequence[dict[str, Any]], reach: float, px_a_unit: float
) -> list[dict[str, Any]]:
    """Names at the upper ends of the intervals, moved up where they would touch another."""
    gap = _LABEL_GAP_PX * reach / (_HEIGHT_PX - _AXES_PX)
    found: list[dict[str, Any]] = []
    for row in sorted(named, key=lambda r: r["high"]):
        first = row["weight"] * px_a_unit
        last = first + _LETTER_PX * len(row["name"])
        place = row["high"]
        for other in found:
            if first < other["last"] and other["first"] < last and abs(place - other["at"]) < gap:
                place = other["at"] + gap
        found.append({**row, "at": round(place, 4), "first": first, "last": last})
    return found


def _label(row: dict[str, Any], x: alt.X) -> Any:
    return (
        chart_of([{key: row[key] for key in ("name", "weight", "at")}])
        .mark_text(align="left", baseline="bottom", dx=-3, dy=-4, fontWeight=600, fill=INK)
        .encode(x=x, y=alt.Y("at:Q"), text=alt.Text("name:N"))
    )
