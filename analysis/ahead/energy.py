"""How much of its battery an e-bike takes on a trip, and whether a spare one is needed.

log(Wh noted / Wh by the formula) of each day is a personal factor plus what is of the trip and of
the day (`nested_normal`). The formula is that of `effort`: rolling and climbing of all that moves,
half of the way up and half down, were the motor to do all of it; legs, wind, air and the chosen
assistance are in the factor.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from statistics import median
from typing import TYPE_CHECKING

from ..effort.carrying_cost import wh_of
from ..effort.days import Move, day_cost
from ..effort.formulas import DRIVETRAIN, GRAVITY
from ..stats.constants import LEVEL, TAILS
from ..stats.estimate import Estimate
from ..stats.nested_normal import NestedNormal, nested_normal
from ..store.rows import Record, Store, ask
from ..store.settings import settings_of
from .results import BatteryAhead, DayAhead, Need, TripAhead

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

FACTOR = 1.0
"""Wh from the battery over Wh by the formula, before anything is noted: loaded touring takes some 5
to 15 Wh a km (common practice, no published source)."""
FACTOR_LOG_SD = 0.4
TRIP_LOG_SD, DAY_LOG_SD = 0.3, 0.5
"""Scales of the half-normal priors of how trips, and days within a trip, differ."""
_BODY_KG, _BIKE_KG = 75.0, 25.0
"""Taken where neither settings nor list say; an error in them is in the factor as well, so that it
falls out once days are noted (common practice, no published source)."""
_BIKE_KG_LEAST = 5.0
_CLIMB_M_PER_KM = 10.0
"""Rolling country, where neither the trip nor any day before it has climbing (common practice, no
published source)."""
_DRAWS = 20_000
"""So many trips are drawn: a chance is right to .01, a 90 % quantile to 1 % (two standard errors).
"""
_SEED = 1
_GENEROUS = 0.9


@dataclass(frozen=True, slots=True)
class _History:
    """Days with energy noted, and how the formula is to be fed for days to come.

    ``ratios``: log(noted / formula), a list a trip. ``climb_m_per_km``: the median day's, taken
    where a day to come has none noted; missing where all days are taken as level.
    """

    ratios: tuple[tuple[float, ...], ...]
    climb_m_per_km: float | None

    @property
    def days(self) -> int:
        return sum(map(len, self.ratios))


def battery_ahead(store: Store, ahead: TripAhead) -> tuple[BatteryAhead, ...]:
    """The batteries of each e-bike on the trip's list, or else owned; of no other trip any.

    Days before its start alone count. Without a noted day the prior speaks alone, which
    ``logged_days`` tells. Without distances no chance is known, but the reach is.
    """
    batteries = ask(store, "ahead/batteries", trip=ahead.trip.trip)
    bikes = [row for row in batteries if row["system"] == "bike" and row["spare_for"] is None]
    # Where none has a capacity, a bike by its weight alone; else that is one without a motor.
    bikes = [row for row in bikes if row["capacity_wh"]] or bikes
    listed = [row for row in bikes if row["pieces"]]
    by_ebike = any(day.mode == "ebike" for day in ahead.way) or ahead.trip.mode == "ebike"
    if not by_ebike and not (listed and ahead.trip.mode in (None, "mixed")):
        return ()
    days = ask(store, "ahead/battery_days", trip=ahead.trip.trip)
    loads = {row["trip"]: row for row in ask(store, "ahead/moved_loads", trip=ahead.trip.trip)}
    moved = _Moved(loads, *_body_and_bike(store))
    names = {row["item"] for row in bikes}
    return tuple(
        _battery(
            ahead,
            bike,
            [row for row in batteries if row["spare_for"] == bike["item"]],
            _history([day for day in days if _by(bike, names, loads.get(day["trip"]))], moved),
            moved,
        )
        for bike in listed or bikes
    )


def _by(bike: Record, bikes: set[str], load: Record | None) -> bool:
    """Whether a trip was on that bike: its list has it, or no bike at all."""
    along = bikes.intersection((load and load["holding"]) or ())
    return bike["item"] in along or not along


def _body_and_bike(store: Store) -> tuple[float, float]:
    settings = settings_of(store)
    return settings.body_kg or _BODY_KG, settings.bike_kg or _BIKE_KG


@dataclass(frozen=True, slots=True)
class _Moved:
    """All that moves on a trip, in kg."""

    loads: Mapping[str, Record]
    body_kg: float
    bike_kg: float

    def kg(self, trip: str) -> float:
        """Body, load and vehicle. A list without a bike on it gets one of the usual mass."""
        row = self.loads.get(trip)
        if row is None:
            return self.body_kg + self.bike_kg
        vehicle = row["vehicle_kg"] or 0.0
        if (row["heaviest_kg"] or 0.0) < _BIKE_KG_LEAST:
            vehicle += self.bike_kg
        return float(self.body_kg + (row["load_kg"] or 0.0) + vehicle)


def formula_wh(distance_km: float, ascent_m: float, moved_kg: float) -> float:
    """Wh from the battery for a day, were the motor to do all of it; see `effort.days`.

    Steeper than the formula is for, lifting is added to the way on the level.
    """
    cost, lifting = _per_kg_kj(distance_km, ascent_m), 0.0
    if cost is None:
        cost = _per_kg_kj(distance_km, 0.0)
        lifting = GRAVITY * ascent_m / 1000 / DRIVETRAIN
    assert cost is not None
    return moved_kg * (wh_of(cost).value + wh_of(Estimate(lifting, lifting, lifting)).value)


def _per_kg_kj(distance_km: float, ascent_m: float) -> Estimate | None:
    move = Move("", date.min, "ebike", distance_km, ascent_m, None, None)
    return day_cost(move, None, None).per_kg_kj


def _history(days: Sequence[Record], moved: _Moved) -> _History:
    climbs = [d["ascent_m"] / d["distance_km"] for d in days if d["ascent_m"] is not None]
    noted: dict[str, list[float]] = {}
    for day in days:
        # Beside days with climbing noted, one without it would pass for a level one.
        if not day["battery_wh"] or (climbs and day["ascent_m"] is None):
            continue
        by_formula = formula_wh(day["distance_km"], day["ascent_m"] or 0.0, moved.kg(day["trip"]))
        noted.setdefault(day["trip"], []).append(math.log(day["battery_wh"] / by_formula))
    climb = median(climbs) if climbs else None if noted else _CLIMB_M_PER_KM
    return _History(tuple(map(tuple, noted.values())), climb)


def _battery(
    ahead: TripAhead, bike: Record, spares: Sequence[Record], history: _History, moved: _Moved
) -> BatteryAhead:
    import numpy as np

    fit = nested_normal(history.ratios, math.log(FACTOR), FACTOR_LOG_SD, TRIP_LOG_SD, DAY_LOG_SD)
    rng = np.random.default_rng(_SEED)
    of_trip, day_sd = fit.draw(rng, _DRAWS)
    kg = moved.kg(ahead.trip.trip)
    way = [day for day in ahead.way if day.mode == "ebike" and day.distance_km]
    by_formula = [
        formula_wh(day.distance_km, _climb_m(day, history), kg) for day in way if day.distance_km
    ]
    total, most = np.zeros(_DRAWS), np.zeros(_DRAWS)
    for wh in by_formula:
        drawn = wh * np.exp(of_trip + day_sd * rng.standard_normal(_DRAWS))
        total += drawn
        np.maximum(most, drawn, out=most)
    built_in = bike["capacity_wh"]
    each_day = float(np.mean(most <= built_in)) if way and built_in else None
    spare_g = _weight_g(spares)
    return BatteryAhead(
        bike=bike["item"],
        name=bike["name"],
        need=_need(bike, spares, fit, total, len(way)) if way else None,
        built_in_wh=built_in,
        spares=tuple(row["item"] for row in spares),
        reach_km=_reach_km(built_in, way, history, kg, of_trip, day_sd, rng) if built_in else None,
        p_each_day=each_day,
        p_whole_trip=float(np.mean(total <= built_in)) if way and built_in else None,
        p_spare_needed=1 - each_day if each_day is not None else None,
        spare_g=spare_g,
        carrying_wh=(
            sum(by_formula) * spare_g / 1000 / kg * float(np.exp(np.median(of_trip)))
            if way and spare_g is not None
            else None
        ),
        logged_days=history.days,
    )


def _climb_m(day: DayAhead, history: _History) -> float:
    if history.climb_m_per_km is None:
        return 0.0
    if day.ascent_m is not None:
        return day.ascent_m
    return history.climb_m_per_km * (day.distance_km or 0.0)


def _need(
    bike: Record,
    spares: Sequence[Record],
    fit: NestedNormal,
    total: "NDArray[np.float64]",
    days: int,
) -> Need:
    import numpy as np

    low, middle, high, generous = np.quantile(total, (TAILS[0], 0.5, TAILS[1], _GENEROUS))
    pieces = [(row["capacity_wh"] or 0) * row["pieces"] for row in (bike, *spares)]
    on_list = float(sum(pieces)) or None
    return Need(
        system=bike["system"],
        item=bike["item"],
        name=bike["name"],
        unit="Wh",
        days=days,
        amount=Estimate(float(middle), float(low), float(high), LEVEL, fit.values),
        take_for_9_in_10=math.ceil(generous / 10) * 10.0,
        on_list=on_list,
        chance_enough=float(np.mean(total <= on_list)) if on_list is not None else None,
        trips=fit.groups,
        used_up=0,
        prior_share=fit.prior_share,
    )


def _weight_g(spares: Sequence[Record]) -> float | None:
    """What the spares weigh, one piece each; missing without one, or where one is not weighed."""
    weights = [row["weight_mg"] for row in spares]
    return sum(weights) / 1000 if weights and None not in weights else None


def _reach_km(
    capacity_wh: float,
    way: Sequence[DayAhead],
    history: _History,
    kg: float,
    of_trip: "NDArray[np.float64]",
    day_sd: "NDArray[np.float64]",
    rng: "np.random.Generator",
) -> float:
    """How far that capacity goes on nine in ten days that climb as the trip's do on average."""
    import numpy as np

    km = sum(day.distance_km or 0.0 for day in way)
    usual = history.climb_m_per_km or 0.0
    climb = sum(_climb_m(day, history) for day in way) / km if km else usual
    factor = np.exp(of_trip + day_sd * rng.standard_normal(_DRAWS))
    return capacity_wh / (formula_wh(1.0, climb, kg) * float(np.quantile(factor, _GENEROUS)))
