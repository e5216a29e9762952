"""The pictures of comfort: gains as dots with intervals, and weight against gain."""

from collections.abc import Mapping, Sequence
from typing import Any

import altair as alt

from ...display.charts import dots_with_intervals, looks, tips
from ...display.figure import Build, chart_of
from ...display.theme import COLOURS, CONTEXT, INK, MAIN, SOFT_INK, Layout
from ...display.words import Display, percent, small_mass
from .. import words as comfort_words
from ..gain import Gain, efficient_edge

_MARKS: Mapping[str, tuple[str, str]] = {
    "earned": (MAIN, "triangle-up"),
    "probably": (COLOURS["orange"], "square"),
    "not_known": (CONTEXT, "circle"),
    "goes_with_better_days": (SOFT_INK, "diamond"),
}
_STEP_PX, _NARROW_STEP_PX = 26, 38
_APART = " · "
_SIGNED = "datum.value == 0 ? '0' : format(datum.value, '+.1f')"
_POINTS = alt.Tooltip("gain:Q", title="Points", format="+.1f")
_HEIGHT_PX = 420
_LABEL_GAP_PX, _LETTER_PX, _AXES_PX = 17, 7.0, 90


def gains_chart(gains: Sequence[Gain]) -> Build:
    """A row for each gain, as given: a dot with its 90 % interval, nothing marked by a line."""
    rows = [
        {
            "place": place,
            "what": _what(g),
            **_points(g),
            "helps": percent(g.p_helps),
            "n": f"{g.bundle.days_with} with, {g.bundle.days_without} without",
        }
        for place, g in enumerate(gains)
    ]
    return lambda layout: _gains(rows, _verdict_marks(gains), layout)


def _what(gain: Gain) -> str:
    name = comfort_words.gain_name(gain, 2)
    return f"{name}{_APART}{gain.aspect}"


def _points(gain: Gain) -> dict[str, Any]:
    return {
        "gain": round(gain.gain.value, 3),
        "low": round(gain.gain.low, 3),
        "high": round(gain.gain.high, 3),
        "verdict": comfort_words.VERDICTS[gain.verdict],
    }


def _verdict_marks(gains: Sequence[Gain]) -> dict[str, tuple[str, str]]:
    """Colour and shape of the verdicts that are drawn, by their words."""
    drawn = {g.verdict for g in gains}
    return {comfort_words.VERDICTS[v]: mark for v, mark in _MARKS.items() if v in drawn}


def _gains(
    rows: Sequence[dict[str, Any]], marks: Mapping[str, tuple[str, str]], layout: Layout
) -> Any:
    colour, shape = looks("verdict", marks, legend=_legend(layout))
    layers = dots_with_intervals(
        rows,
        alt.Y("what:N", title=None, sort=alt.SortField("place"), axis=_names_axis(layout)),
        alt.X("gain:Q", title="Added to the score (points)", axis=alt.Axis(labelExpr=_SIGNED)),
        alt.X("low:Q"),
        [*tips(what="What"), _POINTS, *tips(helps="Chance that it helps", n="Scored")],
        dot={"size": 90},
        colour=colour,
        shape=shape,
    )
    nought = chart_of([{"gain": 0}]).mark_rule(stroke=SOFT_INK, strokeWidth=1).encode(x="gain:Q")
    step = _NARROW_STEP_PX if layout.narrow else _STEP_PX
    legend_rows = len(marks) if layout.narrow else (len(marks) + 1) // 2
    return alt.layer(nought, *layers).properties(height=len(rows) * step + 90 + 18 * legend_rows)


def _names_axis(layout: Layout) -> alt.Axis:
    """Name and aspect; on a phone one under the other, which leaves the dots more room."""
    split: dict[str, Any] = (
        {"labelExpr": f"split(datum.label, '{_APART}')"} if layout.narrow else {}
    )
    return alt.Axis(grid=False, labelOverlap=False, labelLimit=layout.label_px, **split)


def _legend(layout: Layout) -> alt.Legend:
    columns = 1 if layout.narrow else 2
    return alt.Legend(title=None, columns=columns, symbolOpacity=1, labelLimit=0)


def weight_chart(gains: Sequence[Gain], display: Display) -> Build:
    """Weight against gain; the edge joins what nothing lighter beats, by name."""
    scale = small_mass(display)
    edge = efficient_edge(gains)

    def weight(gain: Gain) -> float:
        return round(scale.value(gain.bundle.weight_g) or 0.0, 3)

    rows = [
        {
            "what": _what(g),
            "name": comfort_words.gain_name(g, 1),
            "weight": weight(g),
            "weighs": scale.text(g.bundle.weight_g),
            **_points(g),
            "named": g.helps or g in edge,
        }
        for g in reversed(gains)
        if g.bundle.weight_g
    ]
    steps = [{"weight": weight(g), "gain": round(g.gain.value, 3)} for g in edge]
    return lambda layout: _weights(rows, steps, _verdict_marks(gains), scale.unit, layout)


def _weights(
    rows: Sequence[dict[str, Any]],
    steps: Sequence[dict[str, float]],
    marks: Mapping[str, tuple[str, str]],
    unit: str,
    layout: Layout,
) -> Any:
    named = [row for row in rows if row["named"]]
    heaviest = max(row["weight"] for row in rows)
    widest = heaviest * (1.45 if layout.narrow else 1.2)
    low = min(0.0, *(row["low"] for row in named), *(row["gain"] for row in rows))
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
    colour, shape = looks("verdict", marks, legend=_legend(layout))
    layers = [chart_of([{"gain": 0}]).mark_rule(stroke=SOFT_INK, strokeWidth=1).encode(y="gain:Q")]
    if steps:
        start = {"weight": steps[0]["weight"], "gain": 0.0}
        path = [start, *steps, {"weight": widest, "gain": steps[-1]["gain"]}]
        look: dict[str, Any] = {"stroke": INK, "strokeWidth": 1.2, "strokeDash": [4, 3]}
        layers.append(chart_of(path).mark_line(interpolate="step-after", **look).encode(x=x, y=y))
    if named:
        spans = chart_of(named).mark_rule(strokeWidth=1.5, opacity=0.9)
        layers.append(spans.encode(x=x, y=alt.Y("low:Q"), y2=alt.Y2("high"), color=colour))
    dots = chart_of(rows).mark_point(filled=True, size=90, opacity=0.95)
    about = [*tips(what="What", weighs="Weight"), _POINTS]
    layers.append(dots.encode(x=x, y=y, color=colour, shape=shape, tooltip=about))
    px_a_unit = (layout.px - _AXES_PX) / (widest + heaviest / 50)
    layers += [_label(row, x) for row in _placed(named, high - low + 2 * room, px_a_unit)]
    return alt.layer(*layers).properties(height=_HEIGHT_PX)


def _placed(
    named: Sequence[dict[str, Any]], reach: float, px_a_unit: float
) -> list[dict[str, Any]]:
    """Names at the upper ends of the intervals, moved up where they would touch another."""
    gap = _LABEL_GAP_PX * reach / (_HEIGHT_PX - _AXES_PX)
    placed: list[dict[str, Any]] = []
    for row in sorted(named, key=lambda r: r["high"]):
        first = row["weight"] * px_a_unit
        last = first + _LETTER_PX * len(row["name"])
        place = row["high"]
        for other in placed:
            if first < other["last"] and other["first"] < last and abs(place - other["at"]) < gap:
                place = other["at"] + gap
        placed.append({**row, "at": round(place, 4), "first": first, "last": last})
    return placed


def _label(row: dict[str, Any], x: alt.X) -> Any:
    return (
        chart_of([{key: row[key] for key in ("name", "weight", "at")}])
        .mark_text(align="left", baseline="bottom", dx=-3, dy=-4, fontWeight=600, fill=INK)
        .encode(x=x, y=alt.Y("at:Q"), text=alt.Text("name:N"))
    )
