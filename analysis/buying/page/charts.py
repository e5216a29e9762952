"""The pictures of the page on buying: price against grams against cold nights; a quilt's nights."""

from collections.abc import Sequence
from typing import Any

import altair as alt

from ...display.charts import looks, tips
from ...display.figure import Build, chart_of
from ...display.theme import ACCENT, CONTEXT, INK, MAIN, PAPER, SOFT_INK, Layout
from ...display.words import Display, count, mass, money, small_mass, temperature_scale
from ...usage.keep_rules import may_keep_warm
from .. import verdict as rules
from ..nights import BeddingSwap
from ..results import Case, ColdReplay
from .labels import BREAK, beside, placed

_AXIS_PX = 60
_HALO: dict[str, Any] = {"stroke": PAPER, "strokeWidth": 4, "opacity": 0.85}
_SPARES, _COLDER, _SPARES_NONE = "Spares cold nights", "Colder", "Spares no cold night"
_NOT_KNOWN, _NO_BEARING = "Not known", "No bearing on cold nights"
_COLD, _FINE, _NO_VOTE = "Felt too cold", "Did not", "No vote"
_PRICE_MARKS = {
    _SPARES: (ACCENT, "diamond"),
    _COLDER: (INK, "triangle-down"),
    _SPARES_NONE: (MAIN, "square"),
    _NOT_KNOWN: (CONTEXT, "cross"),
    _NO_BEARING: (MAIN, "circle"),
}
_NIGHT_MARKS = {
    _COLD: (ACCENT, "diamond"),
    _FINE: (MAIN, "circle"),
    _NO_VOTE: (CONTEXT, "square"),
}


def price_against_grams(cases: Sequence[Case], display: Display) -> Build:
    """Price against grams saved, cold nights spared written at the dot; one panel a currency."""
    scale = small_mass(display)
    rows = []
    for case in cases:
        own, replay = case.candidate, case.replay
        nights = count(replay.avoided, "cold night") if replay and replay.avoided else ""
        rows.append(
            {
                "name": own.name,
                "saved": scale.value(case.saved_g),
                "price": own.price,
                "kind": cold_nights_with(case),
                "said": own.name + (f": {nights} spared" if nights else ""),
                "costs": money(own.price or 0.0, own.currency),
                "weighs": mass(case.saved_g, display, signed=True),
                "currency": own.currency or "",
            }
        )
    free = max((case.alternative.let_go_g for case in cases), default=0.0)
    return lambda layout: _panels(rows, scale.value(free) or 0.0, scale.unit, layout)


def cold_nights_with(case: Case) -> str:
    """What the record says of cold nights with it: what is silent on them is not known."""
    replay = case.replay
    if replay is not None and replay.avoided:
        return _SPARES
    if rules.colder(case):
        return _COLDER
    if case.candidate.rated_sleep_gear and not rules.unknown_cold(case):
        return _SPARES_NONE
    systems = (case.candidate.system, *(r.system for r in case.replaced))
    warm = case.losses.warmth or any(may_keep_warm(s) or s == "shelter" for s in systems)
    return _NOT_KNOWN if warm else _NO_BEARING


def _panels(rows: Sequence[dict[str, Any]], free: float, unit: str, layout: Layout) -> Any:
    ends = [0.0, free, *(row["saved"] for row in rows)]
    room = (max(ends) - min(ends) or 1.0) * (0.12 if layout.narrow else 0.06)
    reach = (min(ends) - room, max(ends) + room)
    x = alt.X(
        "saved:Q",
        title=f"Weight saved ({unit}); left of 0 it is heavier",
        scale=alt.Scale(domain=list(reach), nice=False),
        axis=alt.Axis(format="~f", labelFlush=True, tickCount=4 if layout.narrow else 8),
    )
    panels = [
        _panel([r for r in rows if r["currency"] == currency], x, free, reach, layout)
        for currency in sorted({str(row["currency"]) for row in rows})
    ]
    if len(panels) == 1:
        return panels[0]
    return alt.vconcat(*(panel.properties(width=layout.px - 90) for panel in panels))


def _panel(
    rows: Sequence[dict[str, Any]],
    x: alt.X,
    free: float,
    reach: tuple[float, float],
    layout: Layout,
) -> Any:
    """The candidates of one currency, their names clear of the dashed lines where there is room."""
    currency = rows[0]["currency"]
    top = max(row["price"] for row in rows) * 1.3 or 1.0
    y = alt.Y(
        "price:Q",
        title=f"Price ({currency})" if currency else "Price",
        scale=alt.Scale(domain=[0, top], nice=False),
        axis=alt.Axis(format="~f"),
    )
    colour, shape = looks("kind", _present(_PRICE_MARKS, rows, "kind"), title=None)
    about = tips(name="Candidate", costs="Price", weighs="Saves", kind="Cold nights")
    layers = [_line(0.0, "same weight", SOFT_INK, top, 0)]
    if free > 0:
        layers.append(_line(free, "could stay home", ACCENT, top, 1))
    dots = chart_of(rows).mark_point(filled=True, size=110, opacity=1, stroke=PAPER, strokeWidth=1)
    colour = colour.legend(symbolOpacity=1)
    layers.append(dots.encode(x=x, y=y, color=colour, shape=shape, tooltip=about))
    height, width = 500 if layout.narrow else 340, layout.px - _AXIS_PX
    px = width / (reach[1] - reach[0])
    at = [(r["said"], (r["saved"] - reach[0]) * px, height * (1 - r["price"] / top)) for r in rows]
    lines = [(line - reach[0]) * px for line in (0.0, free)]
    places = placed(at, lines, width)
    for row, place in zip(rows, places, strict=True):
        base = chart_of([{**row, "said": place.text}])
        for look in (_HALO, {"fill": INK}):
            where = {**beside(10, place.to_left), "dy": -place.up_px, **look}
            text = base.mark_text(baseline="middle", lineBreak=BREAK, **where)
            layers.append(text.encode(x=x, y=y, text="said:N"))
    return alt.layer(*layers).properties(height=height)


def _present(
    marks: dict[str, tuple[str, str]], rows: Sequence[dict[str, Any]], key: str
) -> dict[str, tuple[str, str]]:
    """The marks that some row has."""
    present = {row[key] for row in rows}
    return {name: mark for name, mark in marks.items() if name in present}


def _line(at: float, name: str, colour: str, top: float, line: int) -> Any:
    """A vertical line with its name at its top left, in a line of its own."""
    row = [{"saved": at, "price": top, "said": name}]
    rule = chart_of(row).mark_rule(color=colour, strokeDash=[5, 4]).encode(x="saved:Q")
    place: dict[str, Any] = {"align": "right", "baseline": "top", "dx": -5, "dy": 2 + 17 * line}
    texts = [
        chart_of(row).mark_text(**place, **look).encode(x="saved:Q", y="price:Q", text="said:N")
        for look in (_HALO, {"fill": colour})
    ]
    return alt.layer(rule, *texts)


def nights_again(swap: BeddingSwap, replay: ColdReplay, display: Display) -> Build:
    """Every night by its low, by how it felt, with the limits now and with the candidate."""
    scale = temperature_scale(display)
    rows = [
        {
            "low": scale.value(n.low_c),
            "felt": _NO_VOTE if n.warmth is None else _COLD if n.too_cold else _FINE,
            "reads": scale.text(n.low_c),
            "trip": n.trip,
        }
        for n in swap.whole
        if n.low_c is not None
    ]

    def drawn(c: float) -> float:
        """Digits beyond those seen differ from machine to machine."""
        return round(scale.value(c) or 0.0, 2)

    limits = [("with it", drawn(replay.own_limit_c.value), ACCENT)]
    if replay.limit_now_c is not None:
        limits.append(("now", drawn(replay.limit_now_c), INK))
    band = (drawn(replay.own_limit_c.low), drawn(replay.own_limit_c.high))
    return lambda _: _strip(rows, limits, band, scale.unit)


def _strip(
    rows: Sequence[dict[str, Any]],
    limits: Sequence[tuple[str, float, str]],
    band: tuple[float, float],
    unit: str,
) -> Any:
    marks = _present(_NIGHT_MARKS, rows, "felt")
    colour, shape = looks("felt", marks, legend=None)
    x = alt.X("low:Q", title=f"Low of the night ({unit})", scale=alt.Scale(zero=False))
    y = alt.Y("felt:N", title=None, sort=list(marks), scale=alt.Scale(paddingOuter=0.9))
    about = tips(reads="Low", felt="Night", trip="Trip")
    layers = [
        chart_of([{"low": band[0], "high": band[1]}])
        .mark_rect(color=ACCENT, opacity=0.1)
        .encode(x=alt.X("low:Q"), x2="high:Q")
    ]
    for place, (name, at, line_colour) in enumerate(sorted(limits, key=lambda one: one[1])):
        side = beside(5, to_left=place == 0 and len(limits) > 1)
        base = chart_of([{"low": at, "said": f"limit {name}"}])
        text = base.mark_text(baseline="top", fill=line_colour, **side)
        layers += [
            base.mark_rule(color=line_colour, strokeWidth=2).encode(x="low:Q"),
            text.encode(x="low:Q", y=alt.value(3), text="said:N"),
        ]
    dots = chart_of(rows).mark_point(filled=True, size=80, opacity=0.9)
    layers.append(dots.encode(x=x, y=y, color=colour, shape=shape, tooltip=about))
    return alt.layer(*layers).properties(height=60 * len(marks) + 60)
