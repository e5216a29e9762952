"""The written-down truth behind the demo logbook: what an analysis of it ought to find.

Life in the demo is drawn from these numbers and nothing else, so tests can ask whether an
estimate's interval holds them. Temperatures in degrees Celsius, weights in grams, comfort in
points of the five-point score. All figures are invented, but for the two that say their source.
"""

import math
from dataclasses import dataclass, field

_RATES: dict[float, str] = {
    1.0: """tunnel-tent pole-tent tent-peg guy-lines summer-quilt winter-bag sleeping-mat
        trail-shoes bike-shoes paddle-boots walking-trousers riding-shorts merino-tee underwear
        socks old-rucksack rucksack pannier frame-bag seat-pack handlebar-roll fork-bag
        handlebar-bag big-dry-bag small-dry-bag stove gas-cartridge old-pot pot mug spoon food
        water soft-bottle helmet buoyancy-aid phone toothbrush toothpaste gravel-bike e-bike
        bike-lock battery-charger canoe paddle pack-liner wallet trekking-poles stuff-sack
        food-bag top-tube-bag charging-cable hi-vis-vest sit-chair pillow""",
    0.95: """old-headlamp headlamp pocket-knife lighter coffee coffee-dripper water-filter
        toilet-paper old-rain-jacket rain-jacket puffy-jacket warm-hat sit-pad kneeling-mat
        pump-sack sun-cap riding-gloves rear-light oil-and-salt folding-table lantern""",
    0.85: """old-power-bank power-bank soap rain-trousers thermal-top sleep-shorts fleece e-reader
        bug-repellent windscreen gloves overshoes hand-gel""",
    0.7: """old-towel towel sun-cream thermal-leggings wind-shirt trowel paper-map tarp
        river-sandals front-light down-booties dish-cloth head-net""",
    0.5: "neck-tube water-bag ear-plugs notebook hand-pump binoculars rain-mitts cord bailer",
    0.3: "plasters repair-tape pliers compass chain-oil blister-pads bike-tool tent-footprint",
    0.125: "wall-charger cutting-board painkillers sewing-kit spare-battery canoe-trolley",
    0.1: "antiseptic-wipes tick-remover cable-ties spare-tube tyre-levers",
    0.05: """patch-kit antihistamine spare-buckle zip-slider glue pole-sleeve quick-link
        spare-light wound-dressings purifying-tablets""",
    0.01: """brake-pads tyre-boot crepe-bandage triangular-bandage nitrile-gloves whistle beacon
        foil-blanket storm-matches fire-steel spare-specs throw-line spare-paddle""",
    0.004: "folding-saw field-guide draughts-set spare-mug umbrella",
}
TRUE_USE_RATE: dict[str, float] = {i: rate for rate, items in _RATES.items() for i in items.split()}
"""P(any use on a trip), given that a condition the item is meant for came about on it."""

OFF_USE_RATE: dict[str, float] = {
    "old-rain-jacket": 0.3,
    "rain-jacket": 0.3,
    "puffy-jacket": 0.5,
    "warm-hat": 0.3,
    "gloves": 0.1,
    "winter-bag": 1.0,
    "thermal-top": 0.4,
    "thermal-leggings": 0.2,
    "river-sandals": 0.0,
    "bug-repellent": 0.1,
    "tarp": 0.1,
}
"""The same on trips where no such condition came about; 0 where not named."""

DEAD_WEIGHT = ("folding-saw", "field-guide", "draughts-set", "spare-mug", "umbrella")
"""Carried on nearly every trip, had their chance, never used."""

RARELY_NEEDED = ("wall-charger", "cutting-board", "painkillers", "sewing-kit", "spare-battery")
"""Needed about one trip in eight."""

COMFORT_MEAN: dict[str, float] = {"sleep": 3.2, "camp": 2.9, "moving": 3.6, "fun": 3.9}
COMFORT_EFFECT: dict[tuple[str, str], float] = {
    ("sleep", "pillow"): 0.8,
    ("camp", "sit-chair"): 1.0,
    ("camp", "lantern"): 0.0,
    ("camp", "folding-table"): 0.0,
    ("moving", "trekking-poles"): 0.4,
}
"""Points that an item's being along adds, before the score is rounded and kept within 1 to 5."""

EARNS_ITS_WEIGHT = ("sit-chair", "pillow")
DOES_NOT_EARN = ("lantern", "folding-table")

SLEEP_POINTS_PER_C = 0.08  # a milder night, against the set's rating, sleeps better
SLEEP_MARGIN_C = 5.0  # at this margin over the rating the mean score holds
WET_POINTS: dict[str, float] = {"sleep": -0.1, "camp": -0.5, "moving": -0.5, "fun": -0.3}
MOVING_POINTS_PER_USUAL_DAY = -0.4  # a day twice as long as usual
TRIP_SD_POINTS = 0.25
NIGHT_SD_POINTS = 0.5


@dataclass(frozen=True, slots=True)
class ColdLimit:
    """How cold the camper can sleep: P(too cold | low) = Phi((50 % point + trip - low) / spread).

    ``offset_c``: the 50 % point lies this far above a sleep set's rating; ``deviation_c``: by
    sleep set, on top of it; ``spread_c``: of one night; ``trip_spread_c``: SD shared by the nights
    of a trip. All in degrees Celsius.
    """

    offset_c: float = 2.0
    spread_c: float = 1.8
    trip_spread_c: float = 1.0
    rated_low_c: dict[str, float] = field(
        default_factory=lambda: {"summer-quilt": 4.0, "winter-bag": -2.0}
    )
    deviation_c: dict[str, float] = field(
        default_factory=lambda: {"summer-quilt": 0.6, "winter-bag": -0.6}
    )

    def even_odds_c(self, sleep_set: str) -> float:
        """The low at which every other night is too cold."""
        return self.rated_low_c[sleep_set] + self.offset_c + self.deviation_c[sleep_set]

    def own_limit_c(self, sleep_set: str) -> float:
        """The low at which one night in five is too cold."""
        return self.even_odds_c(sleep_set) + 0.8416 * math.hypot(self.spread_c, self.trip_spread_c)


COLD_LIMIT = ColdLimit()

FAILURE_RATE_PER_100_NIGHTS: dict[str, float] = {
    "tunnel-tent": 8.0,
    "pole-tent": 1.5,
    "sleeping-mat": 4.0,
    "winter-bag": 2.0,
    "stove": 1.5,
    "old-headlamp": 3.0,
    "old-power-bank": 4.0,
    "old-rain-jacket": 4.0,
    "rain-trousers": 1.5,
    "water-filter": 3.0,
    "sit-chair": 2.5,
    "old-rucksack": 5.0,
    "trail-shoes": 2.0,
    "gravel-bike": 4.0,
    "e-bike": 4.0,
    "pannier": 2.0,
    "pump-sack": 1.0,
}
"""Failures of any severity per 100 nights carried; 0 where not named."""

BASE_WEIGHT_TREND_G_PER_YEAR = -330.0
"""Least-squares slope, at like cold and like mode, of what the same packing list weighed.

Only swaps, drops, one addition and reweighing are in it: luxuries that come and go are not.
"""

# Nightly lows near the Seattle lowland airport, rounded from the published normals (from memory).
NORMAL_LOW_MEAN_C = 7.5
NORMAL_LOW_SWING_C = 5.5
WARMEST_DAY_OF_YEAR = 211
STATION_ELEVATION_M = 110.0
LAPSE_C_PER_M = -0.0065  # ICAO/ISO 2533 standard atmosphere
CAMP_COLDER_C = 1.0  # open ground at night against an airfield among houses
LOW_SD_C = 2.8
LOW_SD_SWING_C = 0.3  # more in winter, less in summer
NIGHT_TO_NIGHT = 0.68
