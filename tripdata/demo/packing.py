"""What goes along on a trip, and in which bag: the camper's own packing list.

The list changes slowly, by what was owned on the day; what is cold, wet or buggy by the calendar
decides the rest, and luxuries come when the trip says so. In `data/packing_list.csv` and
`data/bags.csv` modes are letters (f foot, b bike, e e-bike, p paddle, m mixed); `item:worn` is worn
by the camper, `item*2` two pieces.
"""

from dataclasses import dataclass
from datetime import date
from functools import cache

from . import truth
from .dice import Dice
from .gear import inventory
from .sky import normal_low_c
from .tables import table_rows
from .trips import Trip

FOOD_G_PER_DAY = 660.0
RAINY_MONTHS = (1, 2, 3, 10, 11, 12)
BUG_MONTHS = (5, 6, 7, 8)
SUN_MONTHS = (4, 5, 6, 7, 8, 9)


@dataclass(slots=True)
class CarriedRow:
    """One row of carried.csv; ``used`` and ``brought_home_g`` are filled in by life."""

    item: str
    quantity: str = ""
    weight_g: float | None = None
    carried_as: str = ""
    carried_by: str = ""
    bag: str = ""
    from_day: date | None = None
    until_day: date | None = None
    used: str = ""
    brought_home_g: float | None = None
    note: str = ""

    def along(self, day: date) -> bool:
        """Whether it was there on that day."""
        first, last = self.from_day or day, self.until_day or day
        return first <= day <= last


def _packed(when: str, trip: Trip) -> bool:
    """Whether a line of the list applies to a trip, by what is known when packing."""
    word, _, limit = when.partition(":")
    month = trip.start_on.month
    low = min(normal_low_c(day, trip.place.elevation_m) for day in trip.days)
    if word == "day":
        return True
    if trip.nights == 0:
        return False
    return {
        "night": True,
        "cold": bool(limit) and low < float(limit or 0),
        "mild": bool(limit) and low >= float(limit or 0),
        "ford": trip.mode == "paddle" or any(word.startswith("ford@") for word in trip.sure),
        "rainy": month in RAINY_MONTHS,
        "bugs": month in BUG_MONTHS,
        "sun": month in SUN_MONTHS,
    }[word]


def _listed(trip: Trip) -> list[str]:
    words: list[str] = []
    for line in table_rows("packing_list"):
        if trip.mode[0] in line["modes"] and _packed(line["when"], trip):
            words += line["items"].split()
    return [*words, *trip.extra]


@cache
def _bags(mode: str) -> dict[str, str]:
    """The bags of a mode by kit; under "" the one for everything else."""
    return {row["kit"]: row["bag"] for row in table_rows("bags") if mode[0] in row["modes"]}


def _bag(trip: Trip, item: str) -> str:
    gear = inventory()[item]
    unbagged = gear.carried_as == "vehicle" or gear.system == "bags"
    if gear.carried_as == "worn" or (unbagged and not gear.kit):
        return ""
    bags = _bags(trip.mode)
    return bags.get(gear.kit, bags[""])


def _grams_along(trip: Trip, item: str) -> float | None:
    """The weight of what is filled anew for each trip, None for anything else."""
    dice = Dice(trip.trip, "filling", item)
    if item == "food":
        bought = any(row["item"] == "food" for row in trip.detours)
        days = trip.nights + 0.6 - (2 if bought else 0)
        return round(FOOD_G_PER_DAY * days * dice.between(0.93, 1.08))
    if item == "gas-cartridge":
        return 352 if trip.nights > 3 else round(dice.between(215, 335))
    if item == "water":
        return 1500 if trip.nights and trip.start_on.month in (7, 8) else 1000
    if item == "coffee":
        return 16 * trip.nights + 4
    return None


def pack(trip: Trip) -> list[CarriedRow]:
    """The carried rows of a trip, in the order of the packing list, without what happened."""
    rows: list[CarriedRow] = []
    for word in _listed(trip):
        name, _, way = word.partition(":")
        item, _, pieces = name.partition("*")
        gear = inventory()[item]
        if item in trip.without or not gear.owned_on(trip.start_on):
            continue
        row = CarriedRow(item, pieces, _grams_along(trip, item), way, bag=_bag(trip, item))
        if way == "worn":
            row.bag = ""
        if item in trip.companion:
            row.carried_by = "Robin"
            row.bag = "Robin's dry bag" if row.bag else ""
        rows.append(row)
    for detour in trip.detours:
        _take_detour(trip, detour, rows)
    return rows


def _take_detour(trip: Trip, detour: dict[str, str], rows: list[CarriedRow]) -> None:
    """Note what was sent home on the way, or picked up."""
    item, note = detour["item"], detour["note"]
    from_day, until_day = (
        trip.days[int(detour[name])] if detour[name] else None for name in ("from_day", "until_day")
    )
    if from_day is None:
        row = next(r for r in rows if r.item == item)
        row.until_day, row.note = until_day, note
        return
    weight_g = 1340.0 if item == "food" else None
    picked_up = CarriedRow(item, "", weight_g, bag=_bag(trip, item), note=note)
    picked_up.from_day, picked_up.until_day = from_day, until_day
    rows.append(picked_up)


def sleep_set(rows: list[CarriedRow]) -> str:
    """The quilt or bag among the rows; empty on a day trip."""
    return next((r.item for r in rows if r.item in truth.COLD_LIMIT.rated_low_c), "")
