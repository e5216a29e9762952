"""The logbook contract, in one place: tables, keys, columns, units, allowed values, meanings.

Reading, checking, the store's tables, the blank files, the column guide and the column reference
in the documentation are all drawn from ``TABLES``. Nothing else in the project repeats a column.

Columns stand in `columns.csv`. A row with no more than a name is the column of that name as last
described above it; `needed` is `column` or `cell` (every row must have it); `>0` as the low of a
range is above 0; choices are words, or the name of one of the facts below.
"""

from collections import defaultdict
from dataclasses import dataclass

from .own_files import own_rows
from .units import DIMENSIONS, Dimension

SYSTEMS = (
    "shelter", "sleep", "clothing", "rain", "bags", "cook", "water", "food", "first_aid",
    "safety", "repair", "navigation", "light", "fire", "hygiene", "power", "leisure", "bike",
    "boat", "other",
)  # fmt: skip
CARRIED_AS = ("base", "worn", "consumable", "vehicle")
ASPECTS = ("sleep", "camp", "moving", "fun")
MODES = ("foot", "bike", "ebike", "paddle", "mixed")
SEVERITIES = ("nuisance", "impaired", "lost_use", "unsafe")
INSURANCE_SYSTEMS = ("first_aid", "safety", "navigation", "fire", "repair")
WEIGHT_CLASSES_LB = ((5, "super-ultralight"), (10, "ultralight"), (20, "lightweight"))
"""Base weight under so many lb; from 20 lb on it is traditional (common practice, no published
source)."""
ESSENTIAL_SYSTEMS = ("shelter", "sleep", "water", "rain")
TOO_COLD_VOTE = -2
"""Votes of warmth from here down are too cold: beyond slightly cool (ISO 7730)."""
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


_WORDS = {
    "SYSTEMS": SYSTEMS,
    "CARRIED_AS": CARRIED_AS,
    "ASPECTS": ASPECTS,
    "MODES": MODES,
    "SEVERITIES": SEVERITIES,
}


def _column(cells: dict[str, str]) -> Column:
    low, high, choices = cells["low"], cells["high"], cells["choices"]
    return Column(
        name=cells["column"],
        kind=cells["kind"],
        meaning=cells["meaning"],
        required=cells["needed"] != "",
        cell=cells["needed"] == "cell",
        choices=_WORDS.get(choices, tuple(choices.split())),
        low=float(low.removeprefix(">")) if low else None,
        high=float(high) if high else None,
        above=low.startswith(">"),
        default=cells["default"],
        stored_as=cells["stored_as"],
    )


def _columns() -> dict[str, tuple[Column, ...]]:
    """The columns of each table, in order."""
    columns: dict[str, tuple[Column, ...]] = defaultdict(tuple)
    described: dict[str, Column] = {}
    for cells in own_rows(__package__, "columns.csv"):
        if cells["kind"]:
            described[cells["column"]] = _column(cells)
        columns[cells["table"]] += (described[cells["column"]],)
    return columns


_COLUMNS = _columns()


def _table(name: str, key: str, meaning: str, per_trip: bool = True) -> Table:
    return Table(name, tuple(key.split()), _COLUMNS[name], meaning, per_trip)


TABLES = (
    _table("gear", "item", "everything owned or borrowed, one row an item", per_trip=False),
    _table(
        "weighings",
        "item weighed_on",
        "later scale readings: a weight is never overwritten",
        per_trip=False,
    ),
    _table("candidates", "candidate", "gear that might be bought", per_trip=False),
    _table("trip", "trip", "one row a trip", per_trip=False),
    _table("carried", "trip item carried_as bag from_day", "what came along"),
    _table(
        "used",
        "trip item day used_for",
        "what was used, where more is to be said than carried.used can; counts instead of it",
    ),
    _table("failures", "", "what broke"),
    _table("temperatures", "", "thermometer readings"),
    _table("distances", "trip day mode", "how far, how high, how long"),
    _table("weather", "trip day", "weather, a row a day"),
    _table("comfort", "trip day aspect", "how it felt"),
    _table("wished", "", "what was missed: what or item, one of the two"),
)

BY_NAME = {t.name: t for t in TABLES}
"""Tables by name, in reading order: gear and trip before what refers to them."""


def numeric(column: Column) -> bool:
    """Whether cells of the column are numbers."""
    return column.dimension is not None or column.kind in ("number", "whole")
