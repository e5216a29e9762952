"""How much of its battery an e-bike takes on a trip, and whether a spare one is needed.

log(Wh noted / Wh by the formula) of each day is a personal factor plus what is of the trip and of
the day (`nested_normal`). The formula is that of `effort`: rolling and climbing of all that moves,
half of the way up and half down, and the air at a usual speed, were the motor to do all of it;
legs, wind and the chosen assistance are in the factor. Days steeper or flatter than those noted are
less sure by that. What is not known of days to come is drawn from whole days that were. Days that
may have been another bike's are its own by one chance in as many as there are bikes.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from ..effort.carrying_cost import wh_of
from ..effort.days import Move, day_cost
from ..effort.formulas import DRIVETRAIN, GRAVITY
from ..stats.constants import LEVEL, TAILS
from ..stats.estimate import Estimate
from ..stats.nested_normal import NestedNormal, nested_normal
from ..store.rows import Record, Store, ask
from ..store.settings import settings_of
from .moved import Moved
from .results import AMOUNT_STEP, BatteryAhead, DayAhead, Need, TripAhead
from .unlike import may_be_colder

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

FACTOR = 0.8
"""Wh from the battery over Wh by the formula, before anything is noted: loaded touring takes some 4
to 15 Wh a km (common practice, no published source)."""
AIR_NEWTON = 11.0
"""Drag of a loaded rider at 20 km/h: half of 1.2 kg/m3 * .6 m2 * (5.56 m/s)^2 (common practice, no
published source); it does not grow with what is moved."""
UNLIKE_LOG_SD = 0.5
"""How far the factor may be off on days that only climb for days that do not climb at all, or the
other way round: one factor stands for legs, wind and assistance on hills and flat alike."""
FACTOR_LOG_SD = 0.4
TRIP_LOG_SD, DAY_LOG_SD = 0.3, 0.5
"""Scales of the half-normal priors of how trips, and days within a trip, differ."""
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

    ``ratios``: log(noted / formula), a list a trip. ``days_by``: km and m of climbing of all days
    by e-bike of which both are known, for days to come of which they are not. ``climbing``: the
    mean share of climbing in what the formula gives for the noted days, missing without one.
    """

    ratios: tuple[tuple[float, ...], ...]
    days_by: tuple[tuple[float, float], ...]
    climbing: float | None

    @property
    def days(self) -> int:
        return sum(map(len, self.ratios))


def battery_ahead(store: Store, ahead: TripAhead) -> tuple[BatteryAhead, ...]:
    """The batteries of each e-bike on the trip's list, or else owned; of no other trip any.

    Days before its start alone count. Without a noted day the prior speaks alone, which
    ``logged_days`` tells. Without a distance of each day no chance is known, but the reach is.
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
    names = frozenset(row["item"] for row in bikes)
    settings = settings_of(store)
    answers = []
    for bike in listed or bikes:
        moved = Moved.by(bike["item"], loads, settings)
        drivers = [moved.candidates(day["trip"]) or names for day in days]
        its = [(len(d), day) for d, day in zip(drivers, days, strict=True) if bike["item"] in d]
        spares = [row for row in batteries if row["spare_for"] == bike["item"]]
        answers.append(_battery(ahead, bike, spares, _Record(its), moved))
    return tuple(answers)


@dataclass(frozen=True, slots=True)
class _Record:
    """Days that a bike may have driven, each with how many bikes may have done so."""

    days: Sequence[tuple[int, Record]]

    def histories(self, moved: Moved) -> tuple["_History", "_History", float]:
        """All days, the certain ones, and how likely the others were this bike's."""
        every = [day for _, day in self.days]
        certain = [day for bikes, day in self.days if bikes == 1]
        share = 1 / max((bikes for bikes, _ in self.days), default=1)
        return _history(every, moved), _history(certain, moved), share


def formula_wh(distance_km: float, ascent_m: float, moved_kg: float) -> float:
    """Wh from the battery for a day, were the motor to do all of it; see `effort.days`.

    Steeper than the formula is for, lifting is added to the way on the level.
    """
    cost, lifting = _per_kg_kj(distance_km, ascent_m), 0.0
    if cost is None:
        cost = _per_kg_kj(distance_km, 0.0)
        lifting = GRAVITY * ascent_m / 1000 / DRIVETRAIN
    assert cost is not None
    kj = moved_kg * (cost.value + lifting) + AIR_NEWTON * distance_km / DRIVETRAIN
    return wh_of(Estimate(kj, kj, kj)).value


def _per_kg_kj(distance_km: float, ascent_m: float) -> Estimate | None:
    move = Move("", date.min, "ebike", distance_km, ascent_m, None, None)
    return day_cost(move, None, None).per_kg_kj


def _climbing(distance_km: float, ascent_m: float, moved_kg: float) -> float:
    """The share of climbing in what the formula gives."""
    return 1 - formula_wh(distance_km, 0.0, moved_kg) / formula_wh(distance_km, ascent_m, moved_kg)


def _history(days: Sequence[Record], moved: Moved) -> _History:
    climbs = any(day["ascent_m"] is not None for day in days)
    noted: dict[str, list[float]] = {}
    climbing: list[float] = []
    for day in days:
        # Beside days with climbing noted, one without it would pass for rolling country.
        if not day["battery_wh"] or (climbs and day["ascent_m"] is None):
            continue
        km, kg = day["distance_km"], moved.kg(day["trip"])
        ascent_m = _CLIMB_M_PER_KM * km if day["ascent_m"] is None else day["ascent_m"]
        noted.setdefault(day["trip"], []).append(
            math.log(day["battery_wh"] / formula_wh(km, ascent_m, kg))
        )
        climbing.append(_climbing(km, ascent_m, kg))
    known = tuple(
        (day["distance_km"], day["ascent_m"]) for day in days if day["ascent_m"] is not None
    )
    return _History(
        tuple(map(tuple, noted.values())),
        known,
        sum(climbing) / len(climbing) if climbing else None,
    )


@dataclass(frozen=True)
class _Way:
    """The trip's days by e-bike: Wh by the formula and km, each a number or its draws.

    ``unlike_sd``: how unsure the factor is for how steep the trip is, on the logarithm.
    """

    by_formula: "Sequence[NDArray[np.float64] | float]"
    km: "Sequence[NDArray[np.float64] | float]"
    unlike_sd: float


def _way(
    days: Sequence[DayAhead],
    history: _History,
    kg: float,
    rng: "np.random.Generator",
) -> _Way:
    """Draw what is not known of each day from whole days that were."""
    import numpy as np

    past = history.days_by
    wh: list[NDArray[np.float64] | float] = []
    km: list[NDArray[np.float64] | float] = []
    for day in days:
        assert day.distance_km is not None
        distance_km = day.distance_km
        if day.from_like and past:
            at = rng.integers(len(past), size=_DRAWS)
            wh.append(np.array([formula_wh(*one, kg) for one in past])[at])
            km.append(np.array([one[0] for one in past])[at])
            continue
        if day.ascent_m is None and past:
            each = [formula_wh(distance_km, up / far * distance_km, kg) for far, up in past]
            wh.append(np.array(each)[rng.integers(len(past), size=_DRAWS)])
        else:
            up = _CLIMB_M_PER_KM * distance_km if day.ascent_m is None else day.ascent_m
            wh.append(formula_wh(distance_km, up, kg))
        km.append(distance_km)
    unlike = 0.0
    if history.climbing is not None:
        level = formula_wh(1.0, 0.0, kg) * sum(float(np.mean(each)) for each in km)
        climbing = 1 - level / sum(float(np.mean(each)) for each in wh)
        unlike = abs(climbing - history.climbing)
    return _Way(wh, km, UNLIKE_LOG_SD * unlike)


def _battery(
    ahead: TripAhead, bike: Record, spares: Sequence[Record], record: _Record, moved: Moved
) -> BatteryAhead:
    import numpy as np

    history, certain, share = record.histories(moved)
    fit = _fit(history)
    rng = np.random.default_rng(_SEED)
    of_trip, day_sd = fit.draw(rng, _DRAWS)
    prior_share = fit.prior_share
    if share < 1:
        # What may have been another bike's days says nothing of this one where it was.
        alone = _fit(certain)
        prior_share = share * fit.prior_share + (1 - share) * alone.prior_share
        theirs = rng.random(_DRAWS) >= share
        of_trip, day_sd = (
            np.where(theirs, other, own)
            for other, own in zip(alone.draw(rng, _DRAWS), (of_trip, day_sd), strict=True)
        )
    kg, built_in = moved.kg(ahead.trip.trip), bike["capacity_wh"]
    days = [day for day in ahead.way if day.mode == "ebike" and day.distance_km]
    # Of a trip of which some days are not known, no more than the reach can be told.
    known = {day.day for day in ahead.way if day.distance_km is not None}
    told = bool(days) and all(day.day in known for day in ahead.way)
    usual = [DayAhead(ahead.trip.start_on, "ebike", 1.0, None)]
    way = _way(days or usual, history, kg, rng)
    of_trip = of_trip + way.unlike_sd * rng.standard_normal(_DRAWS)
    total, most = np.zeros(_DRAWS), np.zeros(_DRAWS)
    for wh in way.by_formula:
        drawn = wh * np.exp(of_trip + day_sd * rng.standard_normal(_DRAWS))
        total += drawn
        np.maximum(most, drawn, out=most)
    each_day = float(np.mean(most <= built_in)) if told and built_in else None
    spare_g = _weight_g(spares)
    level = sum(float(np.mean(km)) for km in way.km) * formula_wh(1.0, 0.0, 0.0)
    air = level / sum(float(np.mean(wh)) for wh in way.by_formula)
    a_kg = float(np.median(total)) * (1 - air) / kg
    return BatteryAhead(
        bike=bike["item"],
        name=bike["name"],
        need=_need(
            bike,
            spares,
            replace(fit, prior_share=prior_share),
            total,
            len(days),
            may_be_colder(ahead),
        )
        if told
        else None,
        built_in_wh=built_in,
        spares=tuple(row["item"] for row in spares),
        reach_km=_reach_km(built_in, way, of_trip, day_sd, rng) if built_in else None,
        p_each_day=each_day,
        p_whole_trip=float(np.mean(total <= built_in)) if told and built_in else None,
        p_spare_needed=1 - each_day if each_day is not None else None,
        spare_g=spare_g,
        carrying_wh=a_kg * spare_g / 1000 if told and spare_g is not None else None,
        logged_days=history.days,
    )


def _fit(history: _History) -> NestedNormal:
    return nested_normal(history.ratios, math.log(FACTOR), FACTOR_LOG_SD, TRIP_LOG_SD, DAY_LOG_SD)


def _need(
    bike: Record,
    spares: Sequence[Record],
    fit: NestedNormal,
    total: "NDArray[np.float64]",
    days: int,
    outside: bool,
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
        take_for_9_in_10=math.ceil(generous / AMOUNT_STEP) * AMOUNT_STEP,
        on_list=on_list,
        chance_enough=float(np.mean(total <= on_list)) if on_list is not None else None,
        trips=fit.groups,
        used_up=0,
        prior_share=fit.prior_share,
        outside=outside,
    )


def _weight_g(spares: Sequence[Record]) -> float | None:
    """What the spares weigh, one piece each; missing without one, or where one is not weighed."""
    weights = [row["weight_mg"] for row in spares]
    return sum(weights) / 1000 if weights and None not in weights else None


def _reach_km(
    capacity_wh: float,
    way: _Way,
    of_trip: "NDArray[np.float64]",
    day_sd: "NDArray[np.float64]",
    rng: "np.random.Generator",
) -> float:
    """How far that capacity goes on nine in ten days that climb as the trip's do."""
    import numpy as np

    a_km = sum(way.by_formula) / sum(way.km)
    factor = np.exp(of_trip + day_sd * rng.standard_normal(_DRAWS))
    return capacity_wh / float(np.quantile(a_km * factor, _GENEROUS))
