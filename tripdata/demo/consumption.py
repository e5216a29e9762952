"""What was eaten and burnt on the demo's trips, and what the e-bike's battery gave.

All is drawn from the truth's needs with streams of their own, apart from those of what was used.
"""

import math
from datetime import date

from . import truth
from .dice import Dice
from .gear import inventory
from .packing import CarriedRow
from .trips import Trip

_ROUNDED_TO_G = {"food": 5}
_KJ_PER_WH = 3.6


def eaten_g(trip: Trip, item: str) -> float:
    """What a consumable's need on that trip came to, whatever was taken."""
    need = truth.NEED[item]
    days = trip.days if need.each == "day" else trip.days[:-1]
    shared = Dice(trip.trip, "need", item).normal(0, need.trip_sd)
    return sum(
        need.median_g
        * math.exp(shared + Dice(trip.trip, "need", item, day.isoformat()).normal(0, need.day_sd))
        for day in days
    )


def leftovers_noted(trip: Trip) -> bool:
    """Whether anybody weighed what came home: not after a day out, nor on every other trip."""
    if trip.use_record == "none" or trip.nights == 0:
        return False
    return not Dice(trip.trip, "leftovers").chance(truth.LEFTOVERS_NOT_NOTED)


def note_leftovers(trip: Trip, rows: list[CarriedRow], used: set[str]) -> None:
    """Write into the rows what came home of each consumable that has a need, and of water."""
    for item in ("water", *truth.NEED):
        mine = [row for row in rows if row.item == item and not row.carried_by]
        if item not in used:
            for row in mine:
                row.brought_home_g = _taken_g(row)
        elif item == "water":
            for row in mine:
                row.brought_home_g = None if trip.use_record == "none" else 0
        elif leftovers_noted(trip):
            _share_out(item, mine, eaten_g(trip, item))


def _share_out(item: str, rows: list[CarriedRow], need_g: float) -> None:
    """What is left of all rows together; what was bought on the way is left first."""
    shell_g = truth.GAS_SHELL_G if item == "gas-cartridge" else 0.0
    step = _ROUNDED_TO_G.get(item, 1)
    left = max(shell_g, sum(map(_taken_g, rows)) - need_g)
    left = round(left / step) * step
    for row in reversed(rows):
        row.brought_home_g = min(left, _taken_g(row))
        left -= row.brought_home_g


def _taken_g(row: CarriedRow) -> float:
    return inventory()[row.item].weight_g if row.weight_g is None else row.weight_g


def battery_wh(trip: Trip, rows: list[CarriedRow], day: date, km: float, ascent_m: float) -> int:
    """Wh that the e-bike's battery gave on a day of so many km and metres of climbing."""
    noise = Dice(trip.trip, "Wh", day.isoformat()).normal(0, truth.WH_DAY_SD)
    return round(level_wh(moved_kg(rows), km, ascent_m) * truth.WH_FACTOR * math.exp(noise))


def moved_kg(rows: list[CarriedRow]) -> float:
    """The rider with all that was the rider's to carry from the start, the bike included."""
    mine = (row for row in rows if not row.carried_by and row.from_day is None)
    return truth.BODY_KG + sum(_taken_g(row) * int(row.quantity or 1) for row in mine) / 1000


def level_wh(mass_kg: float, km: float, ascent_m: float) -> float:
    """Wh for rolling and climbing of a mass if the motor does all the work; air is not in it.

    Half of the way goes up and half down, where the slope gives nothing back.
    """
    rolling, grade = truth.ROLLING, ascent_m / (km * 1000 / 2)
    cosine = math.cos(math.atan(grade))
    sine = math.sin(math.atan(grade))
    newton_per_kg = 9.81 * (rolling * cosine + sine + max(0.0, rolling * cosine - sine))
    kj = mass_kg * newton_per_kg * km / 2 / truth.DRIVETRAIN
    return kj / _KJ_PER_WH / truth.MOTOR
