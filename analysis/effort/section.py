"""The section on what a kilogram costs on one's own legs and roads."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt

from ...tripdata.units import LB_G
from ..display import tables
from ..display.cautions import WEIGHT_CARE
from ..display.charts import dots_with_intervals, looks, tips
from ..display.figure import Build, Figure
from ..display.sections import Section
from ..display.tables import Table
from ..display.theme import COLOURS, Layout
from ..display.words import Display, count, distance_scale, label, listing, mass, number, sentence
from ..stats.estimate import Estimate
from ..store.scope import BY_MODE
from .carrying_cost import Effort, SpareBattery, TripEffort
from .days import summed

_BY = {mode: BY_MODE[mode] for mode in ("foot", "bike", "ebike")}
_MARKS = {
    "foot": (COLOURS["green"], "triangle-up"),
    "bike": (COLOURS["blue"], "circle"),
    "ebike": (COLOURS["orange"], "square"),
}
_TRIPS, _ITEMS = 12, 15
_CHARGING = ", so it depends on charging on the way"


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


def kilogram_section(effort: Effort, titles: dict[str, str], display: Display) -> Section:
    """What a kilogram took, by trip and by thing, and what a spare battery is worth its weight."""
    unit = _Unit.of(display)
    heading = f"What a {unit.name} costs on the move"
    known = [t for t in effort.trips if t.per_kg_kj is not None]
    if not known:
        return Section.empty(heading, "no trip has the distance, hours and masses it takes")
    first = _first(known, unit, display)
    shown = known[-_TRIPS:]
    figure = Figure(
        "cost-of-weight",
        f"{first} Dots with ranges, a trip a row.",
        _dots(shown, titles, unit),
        f"What one {unit.name} took over a whole trip, for the latest trips that have a cost: on "
        "foot of your own energy, by bike at the pedals. Lines: the least and the most by formula, "
        "ground and tyres.",
    )
    return Section(
        heading,
        (first, *_share(known, unit), *map(_battery, effort.batteries)),
        figure if len(shown) > 1 else None,
        _trips_table(known, titles, unit, display),
        _notes(effort),
        caution=WEIGHT_CARE,
        more=(_things_table(effort),),
        fold="What it took trip by trip, and thing by thing",
    )


def _first(known: Sequence[TripEffort], unit: _Unit, display: Display) -> str:
    scale = distance_scale(display)
    mile = "mile" if display.distance == "mi" else "km"
    parts = []
    for mode, by in _BY.items():
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
        f"{number(100 / whole, 1)} % of the {number(whole)} {short} moved {_BY[mode]}"
        for mode, whole in latest.items()
    ]
    return [f"On the latest such trips a {unit.name} was {listing(parts)}."] if parts else []


def _battery(battery: SpareBattery) -> str:
    cost, carrying = battery.cost_wh, ""
    if cost is not None:
        carrying = (
            f"; carrying it took about {number(cost.value)} Wh per trip ({number(cost.low)} to "
            f"{number(cost.high)}) if the motor did all the work"
        )
    parts = [f"\u201c{battery.name}\u201d holds {number(battery.capacity_wh)} Wh{carrying}"]
    if not battery.logged:
        return f"{parts[0]}. Whether it was used is not noted."
    use = f"unused on {_every(battery.logged)}"
    if battery.used_on:
        use = f"used on {battery.used_on} of {count(battery.logged, 'trip')}"
    parts.append(f"You noted it as {use}")
    if battery.trips and battery.main_wh is not None:
        main = f"the main battery’s {number(battery.main_wh)} Wh"
        most = f"largest day {number(battery.most_on_a_day_wh)} Wh"
        days = count(battery.days_over, "day") if battery.days_over else "No single day"
        parts.append(f"{days} needed more than {main} ({most})")
        if battery.trips_over:
            parts.append(
                f"Over the whole trip {battery.trips_over} of {battery.trips} did{_CHARGING}"
            )
    return f"{'. '.join(parts)}."


def over_a_whole_trip(battery: SpareBattery) -> str:
    """Return on how many trips more was drawn than one battery holds; empty where on none."""
    if not battery.trips_over:
        return ""
    return (
        f"On {battery.trips_over} of {count(battery.trips, 'trip')} more was drawn over the whole "
        f"trip than one battery holds{_CHARGING}."
    )


def _every(trips: int) -> str:
    return "the one trip" if trips == 1 else f"all {number(trips)} trips"


def _dots(trips: Sequence[TripEffort], titles: dict[str, str], unit: _Unit) -> Build:
    rows = []
    for trip in reversed(trips):
        cost = unit.each(trip.per_kg_kj)
        assert cost is not None
        rows.append(
            {
                "trip": titles.get(trip.trip, trip.trip),
                "key": f"{trip.trip}/{trip.mode}",
                "by": label(_BY[trip.mode or ""]),
                "kj": round(cost.value, 1),
                "low": round(cost.low, 1),
                "high": round(cost.high, 1),
            }
        )
    modes = {trip.mode for trip in trips}
    marks = {label(_BY[mode]): mark for mode, mark in _MARKS.items() if mode in modes}
    return lambda layout: _chart(rows, marks, unit.name, layout)


def _chart(
    rows: Sequence[dict[str, Any]], marks: Mapping[str, tuple[str, str]], unit: str, layout: Layout
) -> Any:
    colour, shape = looks("by", marks, title=None)
    layers = dots_with_intervals(
        rows,
        alt.Y("trip:N", title=None, sort=[row["trip"] for row in rows]),
        "kj:Q",
        alt.X("low:Q", title=f"kJ for each {unit} carried", scale=alt.Scale(zero=True)),
        [*tips(trip="Trip", by="How"), alt.Tooltip("kj:Q", title=f"kJ per {unit}")],
        dot={"size": 80, "opacity": 1},
        colour=colour,
        shape=shape,
    )
    return alt.layer(*layers).properties(height=layout.rows(len(rows)) + 30)


def _range(cost: Estimate | None, places: int = 0) -> str | None:
    if cost is None:
        return None
    return f"{number(cost.value, places)} ({number(cost.low, places)}–{number(cost.high, places)})"


def _trips_table(
    known: Sequence[TripEffort], titles: dict[str, str], unit: _Unit, display: Display
) -> Table:
    def load(trip: TripEffort) -> str | None:
        return None if trip.load_kg is None else mass(trip.load_kg * 1000, display)

    def wh(trip: TripEffort) -> float | None:
        return None if trip.per_kg_wh is None else trip.per_kg_wh.value * unit.kg

    per = f"Per {unit.name}"
    columns = (
        tables.text("trip", "Trip", lambda t: titles.get(t.trip, t.trip)),
        tables.text("by", "How", lambda t: _BY.get(t.mode or "", "")),
        tables.measured("distance_km", "Distance", distance_scale(display, 0)),
        tables.right("load", "Load", of=load),
        tables.right("each", per, "kJ", lambda t: _range(unit.each(t.per_kg_kj))),
        tables.right("all", "The whole load", "kJ", lambda t: _range(t.total_kj)),
        tables.decimal("wh", f"{per}, from the battery", "Wh", of=wh),
    )
    table = Table.of(columns, known, "trip", caption="Trip by trip", fold_after=6)
    return table.without_blank("wh")


def _things_table(effort: Effort) -> Table:
    by_item: dict[str, dict[str, Any]] = {}
    for item in effort.items:
        row = by_item.setdefault(item.item, {"name": item.name})
        row[item.mode] = item.total_kj.value
        if item.total_wh is not None:
            row["wh"] = item.total_wh.value
    rows = sorted(
        by_item.values(), key=lambda r: (-r.get("foot", 0.0), -r.get("bike", 0.0), r["name"])
    )
    columns = (
        tables.text("name", "Thing"),
        tables.decimal("foot", "On foot", "kJ", 0),
        tables.decimal("bike", "By bike, at the pedals", "kJ", 0),
        tables.decimal("wh", "By e-bike, from the battery", "Wh", 1),
    )
    caption = "What carrying each took in all, what took most on foot first"
    return Table.of(columns, rows[:_ITEMS], "thing", caption=caption, fold_after=0)


def _notes(effort: Effort) -> tuple[str, ...]:
    missing = Counter(r for t in effort.trips if t.per_kg_kj is None for r in t.reasons)
    notes = [
        "On foot by the Load Carriage Decision Aid’s equation for backpacks, on a dirt road; the "
        "range also holds Pandolf’s, and road to light brush. What comes last costs most, so the "
        "whole load took less than so many times that. Climbing is counted for the load as for the "
        "body. By bike: rolling and climbing over a drivetrain that loses 2.4 %. You log no "
        "descent, so each day is assumed half up, half down. What is worn on the feet costs "
        "several times as much as this."
    ]
    if missing:
        reasons = [f"{reason} ({count(n, 'trip')})" for reason, n in sorted(missing.items())]
        notes.append(sentence(f"Without a figure: {listing(reasons, at_most=4)}"))
    return tuple(notes)
