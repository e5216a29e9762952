"""The section on what a kilogram costs on one's own legs and roads."""

from collections.abc import Sequence
from typing import Any

import altair as alt
from tarebook.analysis import tables
from tarebook.analysis.effort import Effort, SpareBattery, TripEffort
from tarebook.analysis.effort_days import Cost, summed
from tarebook.analysis.figure import Figure, chart_of
from tarebook.analysis.section import Section
from tarebook.analysis.tables import Column, Table
from tarebook.analysis.theme import OKABE_ITO, Layout
from tarebook.analysis.words import (
    Display,
    count,
    distance_scale,
    label,
    listing,
    mass,
    number,
    sentence,
)

CARE = (
    "Keep within the load limits of bike, rack, boat and of your own back; what is heavy sits low "
    "and close, and changes how a bike brakes and steers. Batteries: the maker's charger, no "
    "damage, no heat, never unattended while charging."
)
BY = {"foot": "on foot", "bike": "by bike", "ebike": "by e-bike"}
_LOOK = {
    "foot": ("green", "triangle-up"),
    "bike": ("blue", "circle"),
    "ebike": ("orange", "square"),
}
_TRIPS, _ITEMS = 12, 15


def kilogram(found: Effort, titles: dict[str, str], display: Display) -> Section:
    """What a kilogram took, by trip and by thing, and what a spare battery is worth its weight."""
    heading = "What a kilogram costs on the move"
    known = [t for t in found.trips if t.per_kg_kj is not None]
    if not known:
        return Section.empty(heading, "no trip has the distance, hours and masses it takes")
    told = [_first(known, display), *_share(known), *map(_battery, found.batteries)]
    shown = known[-_TRIPS:]
    figure = Figure(
        "kilogram",
        f"{told[0]} Dots with ranges, a trip a row.",
        _dots(shown, titles),
        "What one kilogram took over a whole trip, for the latest trips that have a cost: on foot "
        "of your own energy, by bike at the pedals. Lines: the least and the most by formula, "
        "ground and tyres.",
    )
    return Section(
        heading, tuple(told), figure if len(shown) > 1 else None, _table(known, titles, display),
        _notes(found), caution=CARE, more=(_things(found),),
    )  # fmt: skip


def _first(known: Sequence[TripEffort], display: Display) -> str:
    scale = distance_scale(display)
    parts = []
    for mode, by in BY.items():
        mine = [t for t in known if t.mode == mode]
        way = sum(scale.value(t.distance_km) or 0.0 for t in mine)
        total = summed([t.per_kg_kj for t in mine if t.per_kg_kj is not None])
        if total is not None and way:
            each = total.times(1 / way)
            places = 1 if each.value >= 1 else 2
            parts.append(
                f"{number(each.value, places)} kJ a {scale.unit} {by} "
                f"({number(each.low, places)} to {number(each.high, places)})"
            )
    return sentence(f"Each kilogram took {listing(parts)}")


def _share(known: Sequence[TripEffort]) -> list[str]:
    latest: dict[str, float] = {}
    for trip in known:
        if trip.moved_kg is not None and trip.mode is not None:
            latest[trip.mode] = trip.moved_kg
    parts = [
        f"{number(100 / kg, 1)} % of the {number(kg)} kg moved {BY[mode]}"
        for mode, kg in latest.items()
    ]
    return [f"On the latest such trips a kilogram was {listing(parts)}."] if parts else []


def _battery(found: SpareBattery) -> str:
    told = f"{found.name} holds {number(found.capacity_wh)} Wh"
    if found.cost_wh is not None:
        cost = found.cost_wh
        told += (
            f"; carrying it took about {number(cost.value)} Wh a trip ({number(cost.low)} to "
            f"{number(cost.high)}), were the motor to do all of it"
        )
    times = number(found.used_on) if found.used_on else "none"
    used = f"It was noted as used on {times} of {count(found.logged, 'trip')}"
    if found.trips and found.main_wh is not None:
        days = f"{count(found.days_over, 'day')} by itself" if found.days_over else "no single day"
        used += (
            f"; {found.trips_over} of {count(found.trips, 'trip')} drew more in all than the "
            f"{number(found.main_wh)} Wh of the battery it is spare for, {days} did (at most "
            f"{number(found.most_on_a_day_wh)} Wh)"
        )
    return f"{told}. {used}."


def _dots(trips: Sequence[TripEffort], titles: dict[str, str]) -> Any:
    modes = [m for m in BY if any(t.mode == m for t in trips)]
    rows = []
    for trip in reversed(trips):
        cost = trip.per_kg_kj
        assert cost is not None
        rows.append({
            "trip": titles.get(trip.trip, trip.trip), "key": f"{trip.trip}/{trip.mode}",
            "by": label(BY[trip.mode or ""]), "kj": round(cost.value, 1),
            "low": round(cost.low, 1), "high": round(cost.high, 1),
        })  # fmt: skip
    names = [label(BY[m]) for m in modes]
    return lambda layout: _chart(rows, modes, names, layout)


def _chart(
    rows: Sequence[dict[str, Any]], modes: Sequence[str], names: Sequence[str], layout: Layout
) -> Any:
    base = chart_of(rows)
    y = alt.Y("trip:N", title=None, sort=[row["trip"] for row in rows])
    title = "kJ for each kilogram carried"
    colour = alt.Color("by:N", title=None, scale=alt.Scale(
        domain=list(names), range=[OKABE_ITO[_LOOK[m][0]] for m in modes]))  # fmt: skip
    shape = alt.Shape("by:N", title=None, scale=alt.Scale(
        domain=list(names), range=[_LOOK[m][1] for m in modes]))  # fmt: skip
    spans = base.mark_rule(strokeWidth=2).encode(
        x=alt.X("low:Q", title=title, scale=alt.Scale(zero=True)), x2="high:Q", y=y,
        color=colour,
    )  # fmt: skip
    tips = [alt.Tooltip("trip:N", title="Trip"), alt.Tooltip("by:N", title="How"),
            alt.Tooltip("kj:Q", title="kJ a kilogram")]  # fmt: skip
    dots = base.mark_point(filled=True, size=80, opacity=1).encode(
        x="kj:Q", y=y, color=colour, shape=shape, tooltip=tips
    )
    return alt.layer(spans, dots).properties(height=layout.rows(len(rows)) + 30)


def _range(cost: Cost | None, places: int = 0) -> str | None:
    if cost is None:
        return None
    return f"{number(cost.value, places)} ({number(cost.low, places)}–{number(cost.high, places)})"


def _table(known: Sequence[TripEffort], titles: dict[str, str], display: Display) -> Table:
    rows = [
        {"trip": titles.get(t.trip, t.trip), "by": BY.get(t.mode or "", ""), "km": t.distance_km,
         "load": None if t.load_kg is None else mass(t.load_kg * 1000, display),
         "each": _range(t.per_kg_kj), "all": _range(t.total_kj),
         "wh": t.per_kg_wh and t.per_kg_wh.value}
        for t in known
    ]  # fmt: skip
    columns = [
        tables.text("trip", "Trip"), tables.text("by", "How"),
        tables.measured("km", "Distance", distance_scale(display, 0)),
        Column("load", "Load", align="right"), Column("each", "A kilogram", "kJ", "right"),
        Column("all", "The whole load", "kJ", "right"),
    ]  # fmt: skip
    if any(row["wh"] is not None for row in rows):
        columns.append(tables.decimal("wh", "A kilogram, from the battery", "Wh", 1))
    return Table.of(columns, rows, "trip", caption="Trip by trip", fold_after=6)


def _things(found: Effort) -> Table:
    by_item: dict[str, dict[str, Any]] = {}
    for item in found.items:
        row = by_item.setdefault(item.item, {"name": item.name})
        row[item.mode] = item.total_kj.value
        if item.total_wh is not None:
            row["wh"] = item.total_wh.value
    rows = sorted(
        by_item.values(), key=lambda r: (-r.get("foot", 0.0), -r.get("bike", 0.0), r["name"])
    )[:_ITEMS]
    return Table.of(
        (
            tables.text("name", "Thing"), tables.decimal("foot", "On foot", "kJ", 0),
            tables.decimal("bike", "By bike, at the pedals", "kJ", 0),
            tables.decimal("wh", "By e-bike, from the battery", "Wh", 1),
        ),
        rows, "thing", caption="What carrying it took in all: the fifteen that took most on foot",
        fold_after=0,
    )  # fmt: skip


def _notes(found: Effort) -> tuple[str, ...]:
    missing: dict[str, int] = {}
    for trip in found.trips:
        if trip.per_kg_kj is None:
            for reason in trip.reasons:
                missing[reason] = missing.get(reason, 0) + 1
    notes = [
        "On foot by Pandolf and by the Load Carriage Decision Aid's graded formula, averaged, on "
        "road to light brush; by bike rolling and climbing over a drivetrain that loses 2.4 %. "
        "Descent is not noted: a day is taken to go up on half its way and down on the other. "
        "What is worn on the feet costs several times as much as this."
    ]
    if missing:
        told = [f"{reason} ({count(n, 'trip')})" for reason, n in sorted(missing.items())]
        notes.append(sentence(f"Without a figure: {listing(told, at_most=4)}"))
    return tuple(notes)
