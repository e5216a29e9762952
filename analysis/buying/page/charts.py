"""The pictures of the page on buying: price against grams against cold nights; a quilt's nights."""

import textwrap
from collections.abc import Callable, Sequence
from typing import Any

import altair as alt

from ...display.figure import chart_of
from ...display.theme import ACCENT, CONTEXT, INK, MAIN, PAPER, SOFT_INK, Layout
from ...display.words import Display, mass, money, small_mass, temperature_scale
from ..cold import SleptNight, Swap
from ..results import Case, ColdReplay
from ..words import spread

Build = Callable[[Layout], Any]
_BREAK = "\ue000"
"""Ends a line within a label; no line break passes from data into a chart."""
_LETTERS = {"wide": 44, "narrow": 21}
SPARES, NO_BEARING = "Spares cold nights", "No bearing on cold nights"
COLD, FINE, NO_VOTE = "Felt too cold", "Did not", "No vote"


def price_against_grams(cases: Sequence[Case], display: Display) -> Build:
    """Price against grams saved, cold nights spared written at the dot; one panel a currency."""
    scale = small_mass(display)
    rows = []
    for case in cases:
        own, replay = case.candidate, case.replay
        nights = f"{replay.avoided}{spread(replay)}" if replay and replay.avoided else ""
        rows.append(
            {
                "name": own.name,
                "saved": scale.value(case.saved_g),
                "price": own.price,
                "kind": SPARES if nights else NO_BEARING,
                "said": own.name + (f": cold nights spared {nights}" if nights else ""),
                "costs": money(own.price or 0.0, own.currency),
                "weighs": mass(case.saved_g, display, signed=True),
                "currency": own.currency or "",
            }
        )
    free = max((case.alternative.let_go_g for case in cases), default=0.0)
    currencies = sorted({str(row["currency"]) for row in rows})
    return lambda layout: _panels(rows, currencies, scale.value(free) or 0.0, scale.unit, layout)


def _panels(
    rows: Sequence[dict[str, Any]],
    currencies: Sequence[str],
    free: float,
    unit: str,
    layout: Layout,
) -> Any:
    ends = [0.0, free, *(row["saved"] for row in rows)]
    room = (max(ends) - min(ends) or 1.0) * (0.12 if layout.narrow else 0.06)
    x = alt.X(
        "saved:Q",
        title=f"Weight saved ({unit}); left of 0 it is heavier",
        scale=alt.Scale(domain=[min(ends) - room, max(ends) + room], nice=False),
        axis=alt.Axis(format="~f", labelFlush=True, tickCount=4 if layout.narrow else 8),
    )
    panels = [
        _panel(
            [r for r in rows if r["currency"] == c],
            c,
            x,
            free,
            min(ends) - room,
            max(ends) + room,
            layout,
        )
        for c in currencies
    ]
    if len(panels) == 1:
        return panels[0]
    return alt.vconcat(*(panel.properties(width=layout.px - 90) for panel in panels))


def _panel(
    rows: Sequence[dict[str, Any]],
    currency: str,
    x: alt.X,
    free: float,
    left: float,
    right: float,
    layout: Layout,
) -> Any:
    top = max(row["price"] for row in rows) * 1.3 or 1.0
    y = alt.Y(
        "price:Q",
        title=f"Price ({currency})" if currency else "Price",
        scale=alt.Scale(domain=[0, top], nice=False),
        axis=alt.Axis(format="~f"),
    )
    kinds = [k for k in (SPARES, NO_BEARING) if any(r["kind"] == k for r in rows)]
    look = {SPARES: (ACCENT, "diamond"), NO_BEARING: (MAIN, "circle")}
    colours = alt.Scale(domain=kinds, range=[look[k][0] for k in kinds])
    shapes = alt.Scale(domain=kinds, range=[look[k][1] for k in kinds])
    colour = alt.Color("kind:N", title=None, legend=alt.Legend(symbolOpacity=1), scale=colours)
    shape = alt.Shape("kind:N", title=None, scale=shapes)
    tips = [
        alt.Tooltip("name:N", title="Candidate"),
        alt.Tooltip("costs:N", title="Price"),
        alt.Tooltip("weighs:N", title="Saves"),
        alt.Tooltip("kind:N", title="Cold nights"),
    ]
    layers = [_line(0.0, "same weight", SOFT_INK, top, 0)]
    if free > 0:
        layers.append(_line(free, "could stay at home", ACCENT, top, 1))
    dots = chart_of(rows).mark_point(filled=True, size=110, opacity=1, stroke=PAPER, strokeWidth=1)
    layers.append(dots.encode(x=x, y=y, color=colour, shape=shape, tooltip=tips))
    wrapped = [{**row, "said": _wrapped(row["said"], _LETTERS[layout.name])} for row in rows]
    half = (left + right) / 2
    for to_left in (False, True):
        named = [r for r in wrapped if (r["saved"] > half) is to_left]
        for one in (
            {"stroke": PAPER, "strokeWidth": 4, "opacity": 0.85},
            {"fill": INK},
        ):
            layers.append(
                chart_of(named)
                .mark_text(
                    align="right" if to_left else "left",
                    dx=-10 if to_left else 10,
                    baseline="middle",
                    lineBreak=_BREAK,
                    **one,
                )
                .encode(x=x, y=y, text="said:N")
            )
    return alt.layer(*layers).properties(height=460 if layout.narrow else 340)


def _wrapped(said: str, letters: int) -> str:
    return _BREAK.join(textwrap.wrap(said.replace(_BREAK, " "), letters))


def _line(at: float, said: str, colour: str, top: float, line: int) -> Any:
    """A vertical line with its name at its top left, in a line of its own."""
    row = [{"saved": at, "price": top, "said": said}]
    rule = chart_of(row).mark_rule(color=colour, strokeDash=[5, 4]).encode(x="saved:Q")
    name = chart_of(row).mark_text(
        align="right", baseline="top", dx=-5, dy=2 + 17 * line, fill=colour
    )
    return alt.layer(rule, name.encode(x="saved:Q", y="price:Q", text="said:N"))


def nights_again(swap: Swap, found: ColdReplay, display: Display) -> Build:
    """Every night by its low, by how it felt, with the limits now and with the candidate."""
    scale = temperature_scale(display)
    rows = [
        {
            "low": scale.value(n.low_c),
            "felt": _felt(n),
            "reads": scale.text(n.low_c),
            "trip": n.trip,
        }
        for n in swap.whole
        if n.low_c is not None
    ]
    limits = [("with it", found.own_limit_c, ACCENT)]
    if found.limit_now_c is not None:
        limits.append(("now", found.limit_now_c, INK))

    def drawn(c: float) -> float:
        """Digits beyond those seen differ from machine to machine."""
        return round(scale.value(c) or 0.0, 2)

    band = (drawn(found.own_limit_low_c), drawn(found.own_limit_high_c))
    lines = [(said, drawn(c), colour) for said, c, colour in limits]
    return lambda layout: _strip(rows, lines, band, scale.unit, layout)


def _felt(night: SleptNight) -> str:
    if night.warmth is None:
        return NO_VOTE
    return COLD if night.too_cold else FINE


def _strip(
    rows: Sequence[dict[str, Any]],
    limits: Sequence[tuple[str, float, str]],
    band: tuple[float, float],
    unit: str,
    layout: Layout,
) -> Any:
    kinds = [k for k in (COLD, FINE, NO_VOTE) if any(r["felt"] == k for r in rows)]
    look = {COLD: (ACCENT, "diamond"), FINE: (MAIN, "circle"), NO_VOTE: (CONTEXT, "square")}
    x = alt.X("low:Q", title=f"Low of the night ({unit})", scale=alt.Scale(zero=False))
    y = alt.Y("felt:N", title=None, sort=kinds, scale=alt.Scale(paddingOuter=0.9))
    dots = (
        chart_of(rows)
        .mark_point(filled=True, size=80, opacity=0.65)
        .encode(
            x=x,
            y=y,
            color=alt.Color(
                "felt:N",
                legend=None,
                scale=alt.Scale(domain=kinds, range=[look[k][0] for k in kinds]),
            ),
            shape=alt.Shape(
                "felt:N",
                legend=None,
                scale=alt.Scale(domain=kinds, range=[look[k][1] for k in kinds]),
            ),
            tooltip=[
                alt.Tooltip("reads:N", title="Low"),
                alt.Tooltip("felt:N", title="Night"),
                alt.Tooltip("trip:N", title="Trip"),
            ],
        )
    )
    reach = (
        chart_of([{"low": band[0], "high": band[1]}])
        .mark_rect(color=ACCENT, opacity=0.1)
        .encode(x=alt.X("low:Q"), x2="high:Q")
    )
    layers = [reach]
    for place, (said, at, colour) in enumerate(sorted(limits, key=lambda one: one[1])):
        left = place == 0 and len(limits) > 1
        base = chart_of([{"low": at, "said": f"limit {said}"}])
        layers.append(base.mark_rule(color=colour, strokeWidth=2).encode(x="low:Q"))
        layers.append(
            base.mark_text(
                align="right" if left else "left", baseline="top", fill=colour, dx=-5 if left else 5
            ).encode(x="low:Q", y=alt.value(3), text="said:N")
        )
    return alt.layer(*layers, dots).properties(height=60 * len(kinds) + 60)
