"""The section on what a kilogram costs on one's own legs and roads."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt

from ...tripdata.units import LB_G
from ..display import tables
from ..display.figure import Figure, chart_of
from ..display.sections import Section
from ..display.tables import Column, Table
from ..display.theme import OKABE_ITO, Layout
from ..display.words import Display, count, distance_scale, label, listing, mass, number, sentence
from ..stats.estimate import Estimate
from .carrying_cost import Effort, SpareBattery, TripEffort
from .days import summed

CARE = (
    "Keep within the load limits of bike, rack, boat and of your own back. Heavy things sit low "
    "and close, and change how a bike brakes and steers. Use the maker's charger, keep batteries "
    "dry, cool and undamaged, and do not leave them alone while they charge. Brakes and frames "
    "belong in qualified hands."
)
BY = {"foot": "on foot", "bike": "by bike", "ebike": "by e-bike"}
_LOOK = {
    "foot": ("green", "triangle-up"),
    "bike": ("blue", "circle"),
    "ebike": ("orange", "square"),
}
_TRIPS, _ITEMS = 12, 15


@dataclass(frozen=True, slots=True)
class _Unit:
    """The weight by which costs are shown: a kilogram or a pound, ``kg`` of it."""

    name: str
    kg: float

    @classmethod
    def of(cls, display: Display) -> "_Unit":
        return cls("kilogram", 1.0) if display.mass == "g" else cls("pound", LB_G / 1000)

    def each(self, cost: Estimate | None) -> Estimate | None:
        """What one of it takes, from what a kilogram does."""
        return cost and cost.times(self.kg)


def kilogram(found: Effort, titles: dict[str, str], display: Display) -> Section:
    """What a kilogram took, by trip and by thing, and what a spare battery is worth its weight."""
    unit = _Unit.of(display)
    heading = f"What a {unit.name} costs on the move"
    known = [t for t in found.trips if t.per_kg_kj is not None]
    if not known:
        return Section.empty(heading, "no trip has the distance, hours and masses it takes")
    told = [_first(known, unit, display), *_share(known, unit), *map(_battery, found.batteries)]
    shown = known[-_TRIPS:]
    figure = Figure(
        "cost-of-weight",
        f"{told[0]} Dots with ranges, a trip a row.",
        _dots(shown, titles, unit),
        f"What one {unit.name} took over a whole trip, for the latest trips that have a cost: on "
        "foot of your own energy, by bike at the pedals. Lines: the least and the most by formula, "
        "ground and tyres.",
    )
    return Section(
        heading,
        tuple(told),
        figure if len(shown) > 1 else None,
        _table(known, titles, unit, display),
        _notes(found),
        caution=CARE,
        more=(_things(found),),
    )


def _first(known: Sequence[TripEffort], unit: _Unit, display: Display) -> str:
    scale = distance_scale(display)
    mile = "mile" if display.distance == "mi" else "km"
    parts = []
    for mode, by in BY.items():
        mine = [t for t in known if t.mode == mode]
        way = sum(scale.value(t.distance_km) or 0.0 for t in mine)
        each = unit.each(summed([t.per_kg_kj for t in mine if t.per_kg_kj is not None]))
        if each is not None and way:
            each = each.times(1 / way)
            places = 1 if each.value >= 1 else 2
            parts.append(
                f"{number(each.value, places)} kJ per {mile} {by} "
                f"({number(each.low, places)} to {number(each.high, places)})"
            )
    return sentence(f"Each {unit.name} took {listing(parts)}")


def _share(known: Sequence[TripEffort], unit: _Unit) -> list[str]:
    latest: dict[str, float] = {}
    for trip in known:
        if trip.moved_kg is not None and trip.mode is not None:
            latest[trip.mode] = trip.moved_kg / unit.kg
    short = "kg" if unit.kg == 1 else "lb"
    parts = [
        f"{number(100 / whole, 1)} % of the {number(whole)} {short} moved {BY[mode]}"
        for mode, whole in latest.items()
    ]
    return [f"On the latest such trips a {unit.name} was {listing(parts)}."] if parts else []


def _battery(found: SpareBattery) -> str:
    told = [f"\u201c{found.name}\u201d holds {number(found.capacity_wh)} Wh"]
    if found.cost_wh is not None:
        cost = found.cost_wh
        told[0] += (
            f"; carrying it took about {number(cost.value)} Wh per trip ({number(cost.low)} to "
            f"{number(cost.high)}) if the motor did all the work"
        )
    if not found.logged:
        return f"{told[0]}. Whether it was used is not noted."
    if found.used_on:
        told.append(f"You noted it as used on {found.used_on} of {count(found.logged, 'trip')}")
    else:
        told.append(f"You noted it as unused on {_every(found.logged)}")
    if found.trips and found.main_wh is not None:
        main = f"the main battery's {number(found.main_wh)} Wh"
        most = f"largest day {number(found.most_on_a_day_wh)} Wh"
        if found.days_over:
            told.append(f"{count(found.days_over, 'day')} needed more than {main} ({most})")
        else:
            told.append(f"No single day needed more than {main} ({most})")
        if found.trips_over:
            told.append(
                f"Over the whole trip {found.trips_over} of {found.trips} did, so it depends on "
                "charging on the way"
            )
    return f"{'. '.join(told)}."


def _every(trips: int) -> str:
    return "the one trip" if trips == 1 else f"all {number(trips)} trips"


def _dots(trips: Sequence[TripEffort], titles: dict[str, str], unit: _Unit) -> Any:
    modes = [m for m in BY if any(t.mode == m for t in trips)]
    rows = []
    for trip in reversed(trips):
        cost = unit.each(trip.per_kg_kj)
        assert cost is not None
        rows.append(
            {
                "trip": titles.get(trip.trip, trip.trip),
                "key": f"{trip.trip}/{trip.mode}",
                "by": label(BY[trip.mode or ""]),
                "kj": round(cost.value, 1),
                "low": round(cost.low, 1),
                "high": round(cost.high, 1),
            }
        )
    names = [label(BY[m]) for m in modes]
    return lambda layout: _chart(rows, modes, names, unit.name, layout)


def _chart(
    rows: Sequence[dict[str, Any]],
    modes: Sequence[str],
    names: Sequence[str],
    unit: str,
    layout: Layout,
) -> Any:
    base = chart_of(rows)
    y = alt.Y("trip:N", title=None, sort=[row["trip"] for row in rows])
    title = f"kJ for each {unit} carried"
    colour = alt.Color(
        "by:N",
        title=None,
        scale=alt.Scale(domain=list(names), range=[OKABE_ITO[_LOOK[m][0]] for m in modes]),
    )
    shape = alt.Shape(
        "by:N", title=None, scale=alt.Scale(domain=list(names), range=[_LOOK[m][1] for m in modes])
    )
    spans = base.mark_rule(strokeWidth=2).encode(
        x=alt.X("low:Q", title=title, scale=alt.Scale(zero=True)),
        x2="high:Q",
        y=y,
        color=colour,
    )
    tips = [
        alt.Tooltip("trip:N", title="Trip"),
        alt.Tooltip("by:N", title="How"),
        alt.Tooltip("kj:Q", title=f"kJ per {unit}"),
    ]
    dots = base.mark_point(filled=True, size=80, opacity=1).encode(
        x="kj:Q", y=y, color=colour, shape=shape, tooltip=tips
    )
    return alt.layer(spans, dots).properties(height=layout.rows(len(rows)) + 30)


def _range(cost: Estimate | None, places: int = 0) -> str | None:
    if cost is None:
        return None
    return f"{number(cost.value, places)} ({number(cost.low, places)}–{number(cost.high, places)})"


def _table(
    known: Sequence[TripEffort], titles: dict[str, str], unit: _Unit, display: Display
) -> Table:
    rows = [
        {
            "trip": titles.get(t.trip, t.trip),
            "by": BY.get(t.mode or "", ""),
            "km": t.distance_km,
            "load": None if t.load_kg is None else mass(t.load_kg * 1000, display),
            "each": _range(unit.each(t.per_kg_kj)),
            "all": _range(t.total_kj),
            "wh": t.per_kg_wh and t.per_kg_wh.value * unit.kg,
        }
        for t in known
    ]
    columns = [
        tables.text("trip", "Trip"),
        tables.text("by", "How"),
        tables.measured("km", "Distance", distance_scale(display, 0)),
        Column("load", "Load", align="right"),
        Column("each", f"Per {unit.name}", "kJ", "right"),
        Column("all", "The whole load", "kJ", "right"),
    ]
    if any(row["wh"] is not None for row in rows):
        columns.append(tables.decimal("wh", f"Per {unit.name}, from the battery", "Wh", 1))
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
            tables.text("name", "Thing"),
            tables.decimal("foot", "On foot", "kJ", 0),
            tables.decimal("bike", "By bike, at the pedals", "kJ", 0),
            tables.decimal("wh", "By e-bike, from the battery", "Wh", 1),
        ),
        rows,
        "thing",
        caption="What carrying it took in all: the fifteen that took most on foot",
        fold_after=0,
    )


def _notes(found: Effort) -> tuple[str, ...]:
    missing: dict[str, int] = {}
    for trip in found.trips:
        if trip.per_kg_kj is None:
            for reason in trip.reasons:
                missing[reason] = missing.get(reason, 0) + 1
    notes = [
        "On foot by the Load Carriage Decision Aid's equation for backpacks, on a dirt road; the "
        "range also holds Pandolf's, and road to light brush. What comes last costs most, so the "
        "whole load took less than so many times that. Climbing is counted for the load as for the "
        "body. By bike: rolling and climbing over a drivetrain that loses 2.4 %. You log no "
        "descent, so each day is assumed half up, half down. What is worn on the feet costs "
        "several times as much as this."
    ]
    if missing:
        told = [f"{reason} ({count(n, 'trip')})" for reason, n in sorted(missing.items())]
        notes.append(sentence(f"Without a figure: {listing(told, at_most=4)}"))
    return tuple(notes)
