"""The written-down truth behind the demo logbook: what an analysis of it ought to find.

Life in the demo is drawn from these numbers and nothing else, so tests can ask whether an
estimate's interval holds them. Temperatures in degrees Celsius, weights in grams, comfort in
points of the five-point score. All figures are invented, but for the two that say their source.
"""

import math
from dataclasses import dataclass, field
from typing import Literal

from .tables import table_rows

_USE = {row["item"]: row for row in table_rows("use")}


def _by_item(column: str) -> dict[str, float]:
    return {item: float(row[column]) for item, row in _USE.items() if row[column]}


TRUE_USE_RATE = _by_item("rate")
"""P(any use on a trip), given that a condition the item is meant for came about on it."""

OFF_USE_RATE = _by_item("rate_unneeded")
"""The same on trips where no such condition came about; 0 where not named."""

TIMES_A_DAY = _by_item("times_a_day")
"""Roughly how often a day, for what one counts; anything else is yes or no."""

FAILURE_RATE_PER_100_NIGHTS = _by_item("failures_per_100_nights")
"""Failures of any severity per 100 nights carried; 0 where not named."""

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


@dataclass(frozen=True, slots=True)
class TrueNeed:
    """What a consumable takes for a person: the median of a day (or night) in grams.

    Each day is log-normal about the trip's level, which is log-normal about the median;
    ``trip_sd`` and ``day_sd`` are of the logarithm.
    """

    median_g: float
    each: Literal["day", "night"]
    trip_sd: float
    day_sd: float


NEED = {
    "food": TrueNeed(520.0, "day", 0.10, 0.22),
    "coffee": TrueNeed(9.0, "day", 0.10, 0.25),
    "oil-and-salt": TrueNeed(6.0, "day", 0.15, 0.30),
    "gas-cartridge": TrueNeed(17.0, "night", 0.12, 0.20),
}
"""Where more was needed than was taken, all was eaten and the need does not show."""
LEFTOVERS_NOT_NOTED = 0.12
"""Share of trips with a night after which nobody weighed what came home."""
GAS_SHELL_G = 146.0
"""An empty gas cartridge, which comes home as well."""

BODY_KG = 71.0
WH_FACTOR = 1.15
"""What the e-bike's battery gives over what rolling and climbing take if the motor does all the
work: air and the charger's idea of full on the one side, one's own legs on the other."""
WH_DAY_SD = 0.12
"""SD of one day's logarithm about it: wind, and how one feels."""
ROLLING = 0.0065  # a loaded bike on mixed roads; common practice, no published source
DRIVETRAIN = 0.976  # Martin et al. 1998, from memory
MOTOR = 0.8  # of the battery's energy at the chain; common practice, no published source

FORGOTTEN = {"2027-04-old-weir-meadow": "sleeping-mat"}
"""What the owner of a plan's list would have packed, and left out."""

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
