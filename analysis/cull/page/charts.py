"""The pictures of a season: weight against use, and what each saving costs."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt

from ...display.charts import looks, tips
from ...display.figure import Build, chart_of
from ...display.theme import ACCENT, COLOURS, CONTEXT, GRID, INK, PAPER, SOFT_INK, Layout
from ...display.words import Display, large_mass, number, percent, small_mass
from ...stats.beta_binomial import Rate
from ...stats.zero_one import LeftSet
from ...usage.verdict_words import LABELS

LEAVE, EARLY = LABELS["leave"], LABELS["too_few_trips"]
KEEP, PURPOSE, ASK = LABELS["keep"], LABELS["kept_on_purpose"], LABELS["owner_to_say"]
_MARKS: Mapping[str, tuple[str, str]] = {
    LEAVE: (ACCENT, "diamond"),
    ASK: (COLOURS["purple"], "cross"),
    EARLY: (COLOURS["orange"], "square"),
    KEEP: (CONTEXT, "circle"),
    PURPOSE: (COLOURS["sky"], "triangle-up"),
}
_HEIGHT_PX, _AXES_PX, _LABEL_GAP_PX = 440, 100, 16
_SIDE_PX, _LETTER_PX, _MARK_PX, _NAME_PX, _FARTHEST_PX = 46, 6.6, 6, 12, 48


@dataclass(frozen=True)
class ThingDot:
    """One thing in the picture: its weight in g, its rate, and its uses in words."""

    name: str
    group: str
    weight_g: float
    rate: Rate
    record: str


def weight_against_use(dots: Sequence[ThingDot], display: Display) -> Build:
    """Weight against how often a thing is used; what may stay at home has its name and interval."""
    scale = small_mass(display)
    order = {group: place for place, group in enumerate((KEEP, PURPOSE, EARLY, ASK, LEAVE))}
    rows = [
        {
            "name": d.name,
            "group": d.group,
            "weight": scale.value(d.weight_g),
            "rate": _percent(d.rate.value),
            "low": _percent(d.rate.low),
            "high": _percent(d.rate.high),
            "record": d.record,
            "weighs": scale.text(d.weight_g),
        }
        for d in sorted(dots, key=lambda d: (order[d.group], -d.weight_g, d.name))
    ]
    shown = [g for g in _MARKS if any(d.group == g for d in dots)]
    return lambda layout: _scatter(rows, shown, f"Weight ({scale.unit})", layout)


def _percent(share: float) -> float:
    """A share in per cent; digits beyond those seen differ from machine to machine."""
    return round(100 * share, 2)


def _scatter(
    rows: Sequence[dict[str, Any]], groups: Sequence[str], title: str, layout: Layout
) -> Any:
    weights = [row["weight"] for row in rows]
    low, high = min(weights) / 1.25, max(weights) * 1.6
    ticks = _round_weights(low, high)
    x = alt.X(
        "rate:Q",
        title="Used when it could be (% of occasions, estimated)",
        scale=alt.Scale(domain=[0, 100]),
        axis=alt.Axis(tickCount=5, labelFlush=True),
    )
    y = alt.Y(
        "weight:Q",
        title=title,
        scale=alt.Scale(type="log", domain=[low, high], nice=False),
        axis=alt.Axis(values=ticks, tickCount=len(ticks), format="~f"),
    )
    about = tips(name="Thing", weighs="Weight", record="Used", group="Verdict")
    legend = alt.Legend(columns=2 if layout.narrow else 5)
    marks = {group: _MARKS[group] for group in groups}
    colour, shape = looks("group", marks, legend=legend, title=None)
    colour = colour.legend(columns=legend.columns, symbolOpacity=1)
    named = [row for row in rows if row["group"] == LEAVE]
    dots = chart_of(rows).mark_point(filled=True, size=62, opacity=0.9)
    layers = [*_corner(), dots.encode(x=x, y=y, color=colour, shape=shape, tooltip=about)]
    if named:
        spans = chart_of(named).mark_rule(strokeWidth=1.5, stroke=ACCENT, opacity=0.9)
        layers.insert(2, spans.encode(x=alt.X("low:Q"), x2=alt.X2("high"), y=y))
        layers += _labels(named, rows, low, high, layout)
    return alt.layer(*layers).properties(height=_HEIGHT_PX)


def _corner() -> list[alt.Chart]:
    """Where a miss costs no more than an annoyance, rates under a third may stay at home."""
    band = chart_of([{"low": 0, "high": 100 / 3, "said": f"under {percent(1 / 3)}"}])
    return [
        band.mark_rect(fill=GRID, opacity=0.45).encode(x=alt.X("low:Q"), x2=alt.X2("high")),
        band.mark_text(align="left", baseline="top", fill=SOFT_INK, dx=6).encode(
            x=alt.X("low:Q"), y=alt.value(6), text=alt.Text("said:N")
        ),
    ]


def _labels(
    named: Sequence[dict[str, Any]],
    every: Sequence[dict[str, Any]],
    low: float,
    high: float,
    layout: Layout,
) -> list[alt.Chart]:
    """Names beside what may stay at home, clear of each other and of all marks, with thin lines."""
    a_px = (math.log(high) - math.log(low)) / (_HEIGHT_PX - _AXES_PX)
    places = _apart([math.log(row["weight"]) for row in named], a_px * _LABEL_GAP_PX)
    at = max(row["high"] for row in named) + (7 if layout.narrow else 4)
    a_percent = (layout.px - _SIDE_PX) / 100
    marks = [(row["rate"] - at) * a_percent for row in every]
    heights = [math.log(row["weight"]) / a_px for row in every]
    in_px = clear_of(
        [place / a_px for place in places],
        [len(row["name"]) * _LETTER_PX for row in named],
        list(zip(marks, heights, strict=True)),
    )
    places = [place * a_px for place in in_px]
    rows = [
        {**row, "at": at, "elbow": at - 1, "place": math.exp(place)}
        for row, place in zip(named, places, strict=True)
    ]
    base = chart_of(rows)
    scale = alt.Scale(type="log", domain=[low, high], nice=False)
    lines = base.mark_rule(strokeWidth=0.8, stroke=SOFT_INK).encode(
        x=alt.X("high:Q"), x2=alt.X2("elbow"), y=alt.Y("weight:Q", scale=scale), y2=alt.Y2("place")
    )
    ends = base.encode(x=alt.X("at:Q"), y=alt.Y("place:Q", scale=scale), text=alt.Text("name:N"))
    look: dict[str, Any] = {"align": "left", "fontWeight": 600, "limit": layout.px - 130}
    under = ends.mark_text(**look, stroke=PAPER, strokeWidth=4, opacity=0.8)
    return [lines, under, ends.mark_text(**look, fill=INK)]


def clear_of(
    places: Sequence[float], lengths: Sequence[float], marks: Sequence[tuple[float, float]]
) -> list[float]:
    """Heights of names, moved as little as keeps each clear of marks and of the name above it.

    All in pixels, heights upwards: names begin at 0 and are so long; marks stand at (x, height).
    A name for which there is no free place near stays where it is.
    """
    clear, above = list(places), math.inf
    for i in sorted(range(len(places)), key=lambda i: -places[i]):
        start = min(places[i], above - _LABEL_GAP_PX)
        near = [y for x, y in marks if -_MARK_PX < x < lengths[i] + _MARK_PX]
        tries = (start + side * step for step in range(_FARTHEST_PX) for side in (1, -1))
        free = (
            y
            for y in tries
            if y <= above - _LABEL_GAP_PX and all(abs(y - mark) >= _NAME_PX for mark in near)
        )
        clear[i] = above = next(free, start)
    return clear


def _apart(places: Sequence[float], room: float) -> list[float]:
    """Return the places moved as little as makes them so far apart, from the highest down.

    Least squares under the order: pool adjacent violators (common practice).
    """
    order = sorted(range(len(places)), key=lambda i: -places[i])
    blocks: list[tuple[float, int]] = []
    for rank, i in enumerate(order):
        blocks.append((places[i] + rank * room, 1))
        while len(blocks) > 1 and blocks[-1][0] > blocks[-2][0]:
            (last, n), (before, m) = blocks.pop(), blocks.pop()
            blocks.append(((last * n + before * m) / (n + m), n + m))
    flat = [value for value, n in blocks for _ in range(n)]
    apart = [0.0] * len(places)
    for rank, i in enumerate(order):
        apart[i] = flat[rank] - rank * room
    return apart


def _round_weights(low: float, high: float) -> list[float]:
    steps = [m * 10.0**e for e in range(-2, 6) for m in (1, 2, 5)]
    return [s for s in steps if low <= s <= high]


@dataclass(frozen=True)
class FrontierLine:
    """One frontier: its name, its points, and the point of the answer, if it is to be marked."""

    name: str
    points: Sequence[LeftSet]
    answer: LeftSet | None = None


_LINES = ((COLOURS["blue"], [1, 0]), (COLOURS["green"], [6, 3]), (COLOURS["purple"], [2, 2]))


def frontiers(lines: Sequence[FrontierLine], most_regret: float, display: Display) -> Build:
    """The least regret at each saving, as steps, as far as a regret at which one would stop.

    Every line goes on beyond; what is left at each step stands in the tooltip.
    """
    shown = [
        (line, [p for p in line.points if p.regret <= most_regret] or line.points[:1])
        for line in lines
    ]
    farthest = max((p.saved_g for _, points in shown for p in points), default=0.0)
    scale = small_mass(display) if farthest < 3000 else large_mass(display)
    start = LeftSet(frozenset(), 0, 0.0, 0.0)
    rows = [_row(line.name, p, scale) for line, points in shown for p in (start, *points)]
    marked = [line for line in lines if line.answer is not None and line.answer.items]
    marks = [_row(line.name, line.answer, scale) for line in marked if line.answer]
    names = [line.name for line in lines]
    return lambda layout: _steps(rows, marks, names, f"Weight saved ({scale.unit})", layout)


def _row(name: str, point: LeftSet, scale: Any) -> dict[str, Any]:
    return {
        "line": name,
        "saved": scale.value(point.saved_g),
        "regret": round(point.regret, 4),
        "saves": scale.text(point.saved_g),
        "costs": number(point.regret, 2),
        "misses": number(point.misses, 2),
        "left": len(point.items),
    }


def _steps(
    rows: Sequence[dict[str, Any]],
    marks: Sequence[dict[str, Any]],
    names: Sequence[str],
    title: str,
    layout: Layout,
) -> Any:
    x = alt.X("saved:Q", title=title, axis=alt.Axis(format="~f", labelFlush=True))
    y = alt.Y("regret:Q", title="Expected cost of missing, per trip", axis=alt.Axis(format="~f"))
    about = [
        *tips(line="Trip", saves="Saved"),
        alt.Tooltip("left:Q", title="Left at home (number)"),
        *tips(misses="Missed per trip", costs="Expected cost per trip"),
    ]
    legend = alt.Legend(symbolType="stroke") if len(names) > 1 else None
    colours, dashes = (
        alt.Scale(domain=list(names), range=[look[part] for look in _LINES[: len(names)]])
        for part in (0, 1)
    )
    colour = alt.Color("line:N", title=None, scale=colours, legend=legend)
    dash = alt.StrokeDash("line:N", title=None, scale=dashes, legend=legend)
    base = chart_of(rows)
    line = base.mark_line(interpolate="step-before", strokeWidth=2).encode(
        x=x, y=y, color=colour, strokeDash=dash
    )
    dots = (
        base.transform_filter("datum.left > 0")
        .mark_point(size=26, filled=True)
        .encode(x=x, y=y, color=colour, tooltip=about)
    )
    layers = []
    if max(row["regret"] for row in rows) > 0.8:
        annoyance = chart_of([{"regret": 1, "said": "one annoyance per trip"}])
        rule = annoyance.mark_rule(stroke=GRID, strokeWidth=2).encode(y=alt.Y("regret:Q"))
        label = annoyance.mark_text(align="left", baseline="bottom", dy=-3, fill=SOFT_INK).encode(
            x=alt.value(4), y=alt.Y("regret:Q"), text=alt.Text("said:N")
        )
        layers = [rule, label]
    layers += [line, dots]
    if marks:
        layers.append(
            chart_of(marks)
            .mark_point(shape="diamond", size=150, filled=True, color=ACCENT)
            .encode(x=x, y=y, tooltip=about)
        )
    return alt.layer(*layers).properties(height=270 if layout.narrow else 300)
