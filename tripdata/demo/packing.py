"""What goes along on a trip, and in which bag: the camper's own packing list.

The list changes slowly, by what was owned on the day; what is cold, wet or buggy by the calendar
decides the rest, and luxuries come when the trip says so.
"""

from dataclasses import dataclass
from datetime import date

from . import truth
from .dice import Dice
from .gear import inventory
from .sky import normal_low_c
from .trips import Trip

# modes (f foot, b bike, e e-bike, p paddle, m mixed) | when | items, "item:worn", "item*pieces"
PACKING_LIST = """
fbepm | day | merino-tee:worn underwear:worn socks:worn sun-cap wallet phone paper-map compass
fbepm | day | soft-bottle*2 water food wind-shirt pocket-knife whistle foil-blanket beacon
fbepm | day | plasters wound-dressings crepe-bandage painkillers blister-pads tick-remover
fbepm | day | antihistamine nitrile-gloves triangular-bandage antiseptic-wipes spare-specs
fbepm | day | old-rain-jacket rain-jacket repair-tape cord cable-ties toilet-paper hand-gel
fbepm | day | charging-cable sit-pad spare-light
f | day | trail-shoes walking-trousers old-rucksack rucksack pack-liner
be | day | bike-shoes riding-shorts riding-gloves helmet hi-vis-vest front-light rear-light
be | day | spare-tube tyre-levers hand-pump bike-tool quick-link brake-pads tyre-boot bike-lock
m | day | bike-shoes riding-shorts riding-gloves helmet hi-vis-vest front-light rear-light
m | day | spare-tube tyre-levers hand-pump bike-tool quick-link brake-pads tyre-boot bike-lock
bm | day | gravel-bike frame-bag seat-pack handlebar-roll top-tube-bag fork-bag*2
e | day | e-bike pannier*2 handlebar-bag
p | day | canoe paddle spare-paddle buoyancy-aid throw-line paddle-boots walking-trousers
p | day | big-dry-bag small-dry-bag*2 bailer kneeling-mat
fbepm | night | tunnel-tent pole-tent tent-peg*8 guy-lines tent-footprint sleeping-mat pump-sack
fbepm | mild:7.3 | summer-quilt
fbepm | cold:7.3 | winter-bag
fbepm | night | fleece merino-tee underwear socks neck-tube sleep-shorts stuff-sack*3
fbepm | cold:9.5 | puffy-jacket
fbepm | cold:8 | warm-hat
fbepm | cold:6.5 | gloves
fbepm | cold:5.5 | thermal-top thermal-leggings rain-mitts
fbepm | cold:3.5 | down-booties
fbepm | night | rain-trousers umbrella stove gas-cartridge old-pot pot mug spare-mug spoon
fbepm | night | windscreen coffee-dripper cutting-board food-bag dish-cloth lighter coffee
fbepm | night | oil-and-salt water-filter water-bag purifying-tablets storm-matches fire-steel
fbepm | night | old-headlamp headlamp old-power-bank power-bank wall-charger toothbrush toothpaste
fbepm | night | soap old-towel towel trowel ear-plugs e-reader notebook draughts-set field-guide
fbepm | night | folding-saw patch-kit sewing-kit spare-buckle zip-slider glue pole-sleeve pliers
be | night | overshoes chain-oil
m | night | chain-oil
e | night | battery-charger
fp | ford | river-sandals
p | night | tarp
bem | rainy | tarp
fbepm | bugs | head-net bug-repellent
fbepm | sun | sun-cream
"""

BAGS: dict[str, dict[str, str]] = {
    "foot": {
        "": "rucksack", "Emergency kit": "rucksack lid", "Repair kit": "rucksack lid",
        "Navigation kit": "belt pouch", "Rain kit": "outer pocket", "Water kit": "outer pocket",
    },
    "bike": {
        "": "seat pack", "Shelter kit": "handlebar roll", "Cook kit": "left fork bag",
        "Food": "frame bag", "Water kit": "right fork bag", "Rain kit": "right fork bag",
        "Bike tools": "frame bag", "Repair kit": "frame bag", "Emergency kit": "top tube bag",
        "Navigation kit": "top tube bag", "Power kit": "top tube bag", "Wash kit": "left fork bag",
    },
    "ebike": {
        "": "left pannier", "Shelter kit": "rack top", "Cook kit": "right pannier",
        "Food": "right pannier", "Water kit": "right pannier", "Bike tools": "right pannier",
        "Emergency kit": "handlebar bag", "Navigation kit": "handlebar bag",
        "Power kit": "handlebar bag", "Rain kit": "handlebar bag",
    },
    "paddle": {
        "": "big dry bag", "Sleep kit": "small dry bag", "Clothes bag": "small dry bag",
        "Emergency kit": "deck bag", "Navigation kit": "deck bag", "Repair kit": "deck bag",
        "Power kit": "deck bag", "Boat kit": "canoe",
    },
}  # fmt: skip
BAGS["mixed"] = BAGS["bike"]

FOOD_G_PER_DAY = 660.0
RAINY_MONTHS = (1, 2, 3, 10, 11, 12)
BUG_MONTHS = (5, 6, 7, 8)
SUN_MONTHS = (4, 5, 6, 7, 8, 9)


@dataclass(slots=True)
class Row:
    """One row of carried.csv; ``used`` and ``brought_home_g`` are filled in by life."""

    item: str
    quantity: int = 1
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
        "ford": trip.mode == "paddle" or "ford@" in trip.sure,
        "rainy": month in RAINY_MONTHS,
        "bugs": month in BUG_MONTHS,
        "sun": month in SUN_MONTHS,
    }[word]


def _listed(trip: Trip) -> list[str]:
    words: list[str] = []
    for line in PACKING_LIST.strip().splitlines():
        modes, when, items = (part.strip() for part in line.split("|"))
        if trip.mode[0] in modes and _packed(when, trip):
            words += items.split()
    return words + trip.extra.split()


def _bag(trip: Trip, item: str) -> str:
    gear = inventory()[item]
    unbagged = gear.carried_as == "vehicle" or gear.system == "bags"
    if gear.carried_as == "worn" or (unbagged and not gear.kit):
        return ""
    bags = BAGS[trip.mode]
    return bags.get(gear.kit, bags[""])


def _grams_along(trip: Trip, item: str) -> float | None:
    """The weight of what is filled anew for each trip, None for anything else."""
    dice = Dice(trip.trip, "filling", item)
    if item == "food":
        days = trip.nights + 0.6 - (2 if "food|" in "".join(trip.detours) else 0)
        return round(FOOD_G_PER_DAY * days * dice.between(0.93, 1.08))
    if item == "gas-cartridge":
        return 352 if trip.nights > 3 else round(dice.between(215, 335))
    if item == "water":
        return 1500 if trip.nights and trip.start_on.month in (7, 8) else 1000
    if item == "coffee":
        return 16 * trip.nights + 4
    return None


def pack(trip: Trip) -> list[Row]:
    """The carried rows of a trip, in the order of the packing list, without what happened."""
    rows: list[Row] = []
    left = trip.without.split()
    for word in _listed(trip):
        name, _, way = word.partition(":")
        item, _, pieces = name.partition("*")
        gear = inventory()[item]
        if item in left or not gear.owned_on(trip.start_on):
            continue
        row = Row(item, int(pieces or 1), _grams_along(trip, item), way, bag=_bag(trip, item))
        if way == "worn":
            row.bag = ""
        if item in trip.companion.split():
            row.carried_by = "Robin"
            row.bag = "Robin's dry bag" if row.bag else ""
        rows.append(row)
    for detour in trip.detours:
        _take_detour(trip, detour, rows)
    return rows


def _take_detour(trip: Trip, detour: str, rows: list[Row]) -> None:
    """Note what was sent home on the way, or picked up."""
    item, first, last, note = (part.strip() for part in detour.split("|"))
    from_day = trip.days[int(first)] if first else None
    until_day = trip.days[int(last)] if last else None
    if from_day is None:
        row = next(r for r in rows if r.item == item)
        row.until_day, row.note = until_day, note
        return
    weight = 1340.0 if item == "food" else None
    rows.append(
        Row(
            item, 1, weight, bag=_bag(trip, item), from_day=from_day, until_day=until_day, note=note
        )
    )


SLEEP_SETS = tuple(truth.COLD_LIMIT.rated_low_c)


def sleep_set(rows: list[Row]) -> str:
    """The quilt or bag among the rows; empty on a day trip."""
    return next((r.item for r in rows if r.item in SLEEP_SETS), "")
