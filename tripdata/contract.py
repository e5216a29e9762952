"""The logbook contract, in one place: tables, keys, columns, units, allowed values, meanings.

Reading, checking, the store's tables, the blank files, the column guide and the column reference
in the documentation are all drawn from ``TABLES``. Nothing else in the project repeats a column.
"""

from dataclasses import dataclass

from .units import DIMENSIONS, Dimension

SYSTEMS = (
    "shelter", "sleep", "clothing", "rain", "bags", "cook", "water", "food", "first_aid",
    "safety", "repair", "navigation", "light", "fire", "hygiene", "power", "leisure", "bike",
    "boat", "other",
)  # fmt: skip
CARRIED_AS = ("base", "worn", "consumable", "vehicle")
MODES = ("foot", "bike", "ebike", "paddle", "mixed")
SEVERITIES = ("nuisance", "impaired", "lost_use", "unsafe")
INSURANCE_SYSTEMS = ("first_aid", "safety", "navigation", "fire", "repair")
ESSENTIAL_SYSTEMS = ("shelter", "sleep", "water", "rain")
WET_RAIN_MM = 1.0
MAX_TRIP_DAYS = 400


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table.

    ``kind``: key (defines a slug), item, items, trip, text, group (text that groups without regard
    to case), choice, words, flag, use, number, whole, date, moment, or the name of a dimension
    (mass, temperature, length, height, rain, speed), whose headers carry a unit suffix.
    ``low`` and ``high`` are in the stored unit's SI base as people read it (kg for mass, degrees
    Celsius, km for length, m for height, mm for rain, km/h for speed).
    """

    name: str
    kind: str
    meaning: str
    required: bool = False
    cell: bool = False
    choices: tuple[str, ...] = ()
    low: float | None = None
    high: float | None = None
    above: bool = False
    default: str = ""
    stored_as: str = ""

    @property
    def dimension(self) -> Dimension | None:
        """The dimension of a quantity, None for anything else."""
        return DIMENSIONS.get(self.kind)

    @property
    def units(self) -> tuple[str, ...]:
        """The unit suffixes of a quantity's headers, the usual one first; else none."""
        dim = self.dimension
        return dim.units if dim else ()

    @property
    def stored(self) -> str:
        """The column's name in the store."""
        dim = self.dimension
        return self.stored_as or (f"{self.name}_{dim.stored}" if dim else self.name)

    @property
    def headers(self) -> tuple[str, ...]:
        """The headers under which the column may stand, the usual one first."""
        return tuple(f"{self.name}_{unit}" for unit in self.units) or (self.name,)


@dataclass(frozen=True, slots=True)
class Table:
    """One table: its key (empty where rows have none), its columns and where its files stand."""

    name: str
    key: tuple[str, ...]
    columns: tuple[Column, ...]
    meaning: str
    per_trip: bool = True

    def column(self, name: str) -> Column:
        """The column of that name."""
        return next(c for c in self.columns if c.name == name)

    @property
    def small(self) -> bool:
        """Whether the store declares its key (small tables) rather than proves it by query."""
        return not self.per_trip


def _must(name: str, kind: str, meaning: str, **more: object) -> Column:
    return Column(name, kind, meaning, required=True, cell=True, **more)  # type: ignore[arg-type]


_SYSTEM = _must("system", "choice", "what the item is for", choices=SYSTEMS)
_CARRIED = (
    "base (default), worn, consumable, or vehicle: bolted to, driving or being the bike or boat"
)
_TRIP = _must("trip", "trip", "the trip; in a trip's folder it may be left out")
_ITEM = _must("item", "item", "an item of gear.csv")
_NOTE = Column("note", "text", "anything worth remembering")
_PRICE = (
    Column("price", "number", "what it cost or costs", low=0, high=1e6),
    Column("currency", "text", "as given; never converted or added to another"),
)
_RATED = (
    Column("rated_low", "temperature", "rated low of sleep gear", low=-60, high=60),
    Column(
        "rated_as",
        "choice",
        "whose figure: comfort or limit (ISO 23537-1), or the maker's",
        choices=("comfort", "limit", "maker"),
        default="maker",
    ),
)
_R_VALUE = Column("r_value", "number", "insulation of a sleeping mat (ASTM F3340)", low=0, high=20)
_CAPACITY = Column("capacity_wh", "number", "capacity of a battery in Wh", low=0, high=1e6)


def _weight(required: bool, meaning: str, cell: bool = False) -> Column:
    return Column(
        "weight", "mass", meaning, required=required, cell=cell, low=0, high=100, above=True
    )


def _day(meaning: str, required: bool = True) -> Column:
    return Column("day", "date", meaning, required=required, cell=required)


TABLES: tuple[Table, ...] = (
    Table("gear", ("item",), (
        _must("item", "key", "short name by which all other files call it, e.g. rain-jacket"),
        Column("name", "text", "name shown in reports; default: the item as typed"),
        _SYSTEM,
        _weight(True, "weight of one piece as carried; blank: not weighed yet"),
        Column("carried_as", "choice", _CARRIED, choices=CARRIED_AS, default="base"),
        Column("kit", "group", "the kit it belongs to"),
        Column("insurance", "flag", "carried in the hope of not needing it; default yes for "
               "first_aid, safety, navigation, fire and repair, and for what is in a kit of which "
               "at least half is insurance (things of the vehicle apart)"),
        Column("essential", "flag", "never to be left at home on the numbers alone; default yes "
               "for shelter, sleep, water and rain"),
        Column("meant_for", "words", "any (default), or conditions separated by ;: wet, cold, or a "
               "word of weather.conditions. Worth saying of clothing, light and power: what is "
               "unused on summer trips is not advised against until you say what it is for",
               default="any"),
        Column("cold_below", "temperature", "with cold: the night low under which it is meant to "
               "be used", low=-60, high=60),
        Column("going_without", "number", "how bad it is not to have it when needed: 1 an "
               "annoyance, 3 a spoilt night, 10 danger", low=0, high=10),
        *_PRICE,
        Column("bought_on", "date", "day it was bought"),
        Column("retired_on", "date", "day it was given up"),
        Column("checked_on", "date", "day it was last looked over"),
        *_RATED,
        _R_VALUE,
        _CAPACITY,
        Column("replaces", "items", "items, separated by ;, that this one took over from"),
        Column("needs", "items", "items, separated by ;, without which this one is useless"),
        Column("owner", "text", "whose it is; blank: mine. What is borrowed is never culled"),
        _NOTE,
    ), "everything owned or borrowed, one row an item", per_trip=False),
    Table("weighings", ("item", "weighed_on"), (
        _ITEM,
        _must("weighed_on", "date", "day it was put on the scale"),
        _weight(True, "what the scale said, one piece", cell=True),
        _NOTE,
    ), "later scale readings: a weight is never overwritten", per_trip=False),
    Table("candidates", ("candidate",), (
        _must("candidate", "key", "short name of the thing that might be bought"),
        Column("name", "text", "name shown in reports; default: as typed"),
        _SYSTEM,
        _weight(True, "weight of one piece", cell=True),
        Column("carried_as", "choice", _CARRIED, choices=CARRIED_AS, default="base"),
        *_PRICE,
        Column("replaces", "items", "owned items, separated by ;, that it would take over from"),
        *_RATED,
        _R_VALUE,
        _CAPACITY,
        Column("expected_nights", "number", "nights it would be used for", low=0, high=10_000),
        _NOTE,
    ), "gear that might be bought", per_trip=False),
    Table("trip", ("trip",), (
        _must("trip", "key", "short name; also the name of its folder in trips/"),
        Column("title", "text", "title shown in reports; default: the trip as typed"),
        _must("start_on", "date", "first day"),
        _must("end_on", "date", "last day; nights = end - start"),
        Column("mode", "choice", "how one travelled", choices=MODES),
        Column("place", "text", "where, in words"),
        Column("latitude", "number", "of the camps, degrees north", low=-90, high=90),
        Column("longitude", "number", "of the camps, degrees east", low=-180, high=180),
        Column("elevation", "height", "of the camps", low=-500, high=9000),
        Column("station", "text", "weather station whose normals fit best"),
        Column("use_record", "choice", "full: what is not said to be used was not; partial: what "
               "is not said is unknown; none: items count as carried, never as unused. Blank: full "
               "if any use is noted, else none", choices=("full", "partial", "none")),
        Column("plan", "flag", "yes: a trip to come; weighed and forecast, no history",
               default="no"),
        _NOTE,
    ), "one row a trip", per_trip=False),
    Table("carried", ("trip", "item", "carried_as", "bag", "from_day"), (
        _TRIP,
        _ITEM,
        Column("quantity", "whole", "pieces, default 1", low=1, high=1000, default="1"),
        _weight(False, "weight of one piece on this trip, where it differs (food, fuel: at the "
                "start)"),
        Column("carried_as", "choice", "where it differs from gear.csv", choices=CARRIED_AS),
        Column("carried_by", "text", "who carried it; blank: me. Another's load weighs nothing on "
               "me"),
        Column("bag", "group", "the bag or place it travelled in"),
        Column("from_day", "date", "first day it came along; blank: from the start"),
        Column("until_day", "date", "last day it came along; blank: to the end"),
        Column("used", "use", "yes, no, or a number of times; blank: not said"),
        Column("brought_home", "mass", "what was left of a consumable, one piece", low=0,
               high=100),
        _NOTE,
    ), "what came along"),
    Table("used", ("trip", "item", "day", "used_for"), (
        _TRIP,
        _ITEM,
        _day("day it was used", required=False),
        Column("times", "whole", "how often, default 1", low=0, high=1000, default="1"),
        Column("used_for", "choice", "the system it served, where not its own",
               choices=SYSTEMS),
        _NOTE,
    ), "what was used, where more is to be said than carried.used can; counts instead of it"),
    Table("failures", (), (
        _TRIP,
        _ITEM,
        _day("day it failed", required=False),
        _must("severity", "choice", "nuisance, impaired, lost_use or unsafe", choices=SEVERITIES),
        Column("what", "text", "what happened"),
        Column("fixed_with", "text", "how it was fixed"),
        Column("fixed_on", "date", "day it was fixed; blank: not yet"),
        _NOTE,
    ), "what broke"),
    Table("temperatures", (), (
        _TRIP,
        _must("at", "moment", "local time, 2026-05-01 21:30 or 2026-05-01T21:30",
              stored_as="read_at"),
        Column("temperature", "temperature", "air temperature", required=True, cell=True, low=-60,
               high=60),
        Column("spot", "choice", "where the thermometer was; default camp",
               choices=("camp", "shelter", "trail"), default="camp"),
    ), "thermometer readings"),
    Table("distances", ("trip", "day", "mode"), (
        _TRIP,
        _day("the day"),
        Column("mode", "choice", "how; default the trip's mode", choices=MODES),
        Column("distance", "length", "how far", required=True, cell=True, low=0, high=1000),
        Column("ascent", "height", "climbed", low=0, high=10_000),
        Column("hours", "number", "time on the move in hours", low=0, high=24),
        Column("battery_wh", "number", "battery energy used in Wh", low=0, high=1e6),
    ), "how far, how high, how long"),
    Table("weather", ("trip", "day"), (
        _TRIP,
        _day("the day"),
        Column("wet", "flag", "yes/no; blank: wet if rain is 1 mm or more"),
        Column("rain", "rain", "rain of the day", low=0, high=1000),
        Column("wind", "speed", "wind", low=0, high=300),
        Column("low", "temperature", "low of the night that begins that day", low=-60, high=60),
        Column("high", "temperature", "high of the day", low=-60, high=60),
        Column("conditions", "words", "snow, heat, bugs, ford, ... separated by ;; none for none"),
    ), "weather, a row a day"),
    Table("comfort", ("trip", "day", "aspect"), (
        _TRIP,
        _day("the day; for sleep the date on which the night began"),
        Column("aspect", "choice", "sleep (default), camp, moving, fun",
               choices=("sleep", "camp", "moving", "fun"), default="sleep"),
        _must("score", "whole", "1 to 5, 5 best", low=1, high=5),
        Column("warmth", "whole", "-3 cold, -2 cool, -1 slightly cool, 0 neutral, to +3 hot: the "
               "seven-point thermal sensation scale (ISO 10551; ANSI/ASHRAE 55)", low=-3, high=3),
        _NOTE,
    ), "how it felt"),
    Table("wished", (), (
        _TRIP,
        Column("what", "text", "anything that was missed and is not owned"),
        Column("item", "item", "an item of gear.csv that was left at home"),
        Column("system", "choice", "what it is for", choices=SYSTEMS),
        Column("how_much", "choice", "little, much or badly", choices=("little", "much", "badly")),
        _NOTE,
    ), "what was missed: what or item, one of the two"),
)  # fmt: skip

BY_NAME = {t.name: t for t in TABLES}
"""Tables by name, in reading order: gear and trip before what refers to them."""


def numeric(column: Column) -> bool:
    """Whether cells of the column are numbers."""
    return column.dimension is not None or column.kind in ("number", "whole")
