"""What carrying weight cost on one's own legs and roads: by trip, by item, in a battery's Wh."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ..stats.estimate import Estimate
from ..store.rows import Store, ask
from ..store.settings import Settings, settings_of
from .days import DayCost, Move, day_cost, summed

MOTOR = 0.8
"""Share of a battery's energy that a motor brings to the chain (common practice, no published
source)."""
_KJ_PER_WH = 3.6


@dataclass(frozen=True, slots=True)
class TripEffort:
    """One trip's travel by one mode.

    ``per_kg_kj``: what one kilogram more or less took, metabolic on foot, at the pedals by bike.
    ``load_kg``: what was on one at the start; ``total_kj``: what all of it took, on foot less than
    so many times that. ``moved_kg``: with body and bike.
    ``known_days`` of ``days`` have a cost; ``reasons`` say what is missing or narrows it.
    ``per_kg_wh``: from the battery, were the motor to do all of it.
    """

    trip: str
    mode: str | None
    days: int
    known_days: int
    distance_km: float | None
    ascent_m: float | None
    hours: float | None
    load_kg: float | None
    moved_kg: float | None
    per_kg_kj: Estimate | None
    total_kj: Estimate | None
    per_kg_wh: Estimate | None
    battery_wh: float | None
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ItemEffort:
    """What one thing took over all trips by one mode that have a cost, and over how many.

    On foot: what leaving it alone at home would have spared.
    """

    item: str
    name: str
    mode: str
    trips: int
    kg_km: float
    total_kj: Estimate
    total_wh: Estimate | None


@dataclass(frozen=True, slots=True)
class SpareBattery:
    """A spare battery: what it holds, what carrying it took, how often it was needed.

    ``main_wh``: capacity of what it is spare for. ``trips``: carried on trips with a record of what
    was drawn; ``trips_over`` of them drew more than ``main_wh`` in all, ``days_over`` days did.
    ``used_on``: trips on which it is noted as used, of ``logged``. ``cost_wh``: of carrying it on a
    trip, on average.
    """

    item: str
    name: str
    weight_g: float | None
    capacity_wh: float
    main_wh: float | None
    trips: int
    trips_over: int
    days_over: int
    most_on_a_day_wh: float | None
    used_on: int
    logged: int
    cost_wh: Estimate | None


@dataclass(frozen=True, slots=True)
class Effort:
    """All of it: trips by name and mode, items by name and mode, spare batteries by item."""

    days: tuple[DayCost, ...]
    trips: tuple[TripEffort, ...]
    items: tuple[ItemEffort, ...]
    batteries: tuple[SpareBattery, ...]


def effort(store: Store) -> Effort:
    """The effort of the whole logbook; plans are no trips."""
    settings = settings_of(store)
    loads = ask(store, "store/own_loads")
    start = _start_loads(loads)
    days = tuple(
        day_cost(move, settings.body_kg, start.get(move.trip))
        for move in (Move(**row) for row in ask(store, "effort/moves"))
    )
    bikes = {row["trip"]: row["bike_kg"] for row in ask(store, "effort/bikes_along")}
    trips = _trips(days, start, settings, bikes)
    return Effort(days, trips, _items(days, loads), _batteries(store, trips, days))


def wh_of(cost: Estimate) -> Estimate:
    """Wh from a battery for so many kJ at the chain, were the motor to do all of it."""
    return cost.times(1 / (_KJ_PER_WH * MOTOR))


def _start_loads(loads: Sequence[Mapping[str, Any]]) -> dict[str, float]:
    """What was on one at each trip's start, bolted on apart, in kg, of what is weighed."""
    kg: dict[str, float] = defaultdict(float)
    for row in loads:
        if row["on_me"] and row["row_mg"] is not None and row["carried_as"] != "vehicle":
            kg[row["trip"]] += row["row_mg"] / 1e6
    return dict(kg)


def _trips(
    days: Sequence[DayCost],
    start: Mapping[str, float],
    settings: Settings,
    bikes: Mapping[str, float],
) -> tuple[TripEffort, ...]:
    by_trip: dict[tuple[str, str], list[DayCost]] = defaultdict(list)
    for day in days:
        by_trip[day.move.trip, day.move.mode or ""].append(day)

    def trip_effort(trip: str, mode: str) -> TripEffort:
        mine = by_trip[trip, mode]
        moves = [d.move for d in mine]
        per_kg = summed([d.per_kg_kj for d in mine if d.per_kg_kj is not None])
        load = start.get(trip)
        return TripEffort(
            trip=trip,
            mode=mode or None,
            days=len(mine),
            known_days=sum(d.per_kg_kj is not None for d in mine),
            distance_km=_total([m.distance_km for m in moves]),
            ascent_m=_total([m.ascent_m for m in moves]),
            hours=_total([m.hours for m in moves]),
            load_kg=load,
            moved_kg=_moved(mode, load, settings, bikes.get(trip)),
            per_kg_kj=per_kg,
            total_kj=summed([d.load_kj for d in mine if d.load_kj is not None]),
            per_kg_wh=wh_of(per_kg) if per_kg and mode == "ebike" else None,
            battery_wh=_total([m.battery_wh for m in moves]),
            reasons=tuple(dict.fromkeys(r for d in mine for r in d.reasons)),
        )

    return tuple(trip_effort(trip, mode) for trip, mode in sorted(by_trip))


def _moved(
    mode: str, load: float | None, settings: Settings, logged_kg: float | None
) -> float | None:
    """Body, load and, by bike, what is bolted on with the bike: as logged, else as given."""
    if settings.body_kg is None or load is None:
        return None
    if mode not in ("bike", "ebike"):
        return settings.body_kg + load
    bike = logged_kg if logged_kg is not None else settings.bike_kg
    return None if bike is None else settings.body_kg + load + bike


def _total(values: Sequence[float | None]) -> float | None:
    known = [v for v in values if v is not None]
    return sum(known) if known else None


def _items(days: Sequence[DayCost], loads: Sequence[Mapping[str, Any]]) -> tuple[ItemEffort, ...]:
    by_trip: dict[str, list[DayCost]] = defaultdict(list)
    for day in days:
        by_trip[day.move.trip].append(day)
    parts: dict[tuple[str, str], list[tuple[str, Estimate, float]]] = defaultdict(list)
    for row in loads:
        kg = (row["row_mg"] or 0) / 1e6
        for day in by_trip[row["trip"]] if row["row_mg"] is not None else ():
            if row["from_on"] <= day.move.day <= row["until_on"] and day.per_kg_kj is not None:
                part = (row["trip"], day.per_kg_kj.times(kg), kg * (day.move.distance_km or 0.0))
                parts[row["item"], day.move.mode or ""].append(part)
    names = {row["item"]: row["name"] for row in loads}

    def item_effort(item: str, mode: str) -> ItemEffort:
        trips, costs, kg_km = zip(*parts[item, mode], strict=True)
        total = summed(costs)
        assert total is not None
        wh = wh_of(total) if mode == "ebike" else None
        return ItemEffort(item, names[item], mode, len(set(trips)), sum(kg_km), total, wh)

    return tuple(item_effort(item, mode) for item, mode in sorted(parts))


def _batteries(
    store: Store, trips: Sequence[TripEffort], days: Sequence[DayCost]
) -> tuple[SpareBattery, ...]:
    by_item: dict[str, list[Mapping[str, Any]]] = defaultdict(list)
    for row in ask(store, "effort/spare_batteries"):
        by_item[row["item"]].append(row)
    return tuple(_battery(item, by_item[item], trips, days) for item in sorted(by_item))


def _battery(
    item: str,
    rows: Sequence[Mapping[str, Any]],
    trips: Sequence[TripEffort],
    days: Sequence[DayCost],
) -> SpareBattery:
    """One spare battery, from a row for each trip on which it came along."""
    along = {row["trip"] for row in rows}
    with_draw = [
        t for t in trips if t.trip in along and t.mode == "ebike" and t.battery_wh is not None
    ]
    names = {t.trip for t in with_draw}
    by_day = [
        d.move.battery_wh for d in days if d.move.trip in names and d.move.battery_wh is not None
    ]
    costs = [
        t.per_kg_wh.times(row["weight_g"] / 1000)
        for row in rows
        for t in trips
        if t.trip == row["trip"] and t.per_kg_wh and row["weight_g"]
    ]
    in_all, main = summed(costs), rows[0]["main_wh"]
    return SpareBattery(
        item=item,
        name=rows[0]["name"],
        weight_g=rows[-1]["weight_g"],
        capacity_wh=rows[0]["capacity_wh"],
        main_wh=main,
        trips=len(with_draw),
        trips_over=sum(main is not None and (t.battery_wh or 0) > main for t in with_draw),
        days_over=sum(main is not None and wh > main for wh in by_day),
        most_on_a_day_wh=max(by_day, default=None),
        used_on=sum(bool(row["used"]) for row in rows),
        logged=sum(bool(row["known"]) for row in rows),
        cost_wh=in_all.times(1 / len(costs)) if in_all else None,
    )
