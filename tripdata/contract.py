"""The logbook contract, in one place: tables, keys, columns, units, allowed values, meanings.

Reading, checking, the store's tables, the blank files, the column guide and the column reference
in the documentation are all drawn from ``TABLES``. Nothing else in the project repeats a column.

Tables stand in `tables.csv`, their columns in `columns.csv`. A row there with no more than a name
is the column of that name as last described above it; `needed` is `column` or `cell` (every row
must have it); `>0` as the low of a range is above 0; choices are words, or the name of the column
above that has the same ones.
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from .own_files import own_rows
from .units import DIMENSIONS, Dimension

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

    ``kind``: key (defines a slug), item, items, names (former slugs), trip, text, group (text that
    groups without regard to case), choice, words, flag, use, number, whole, date, moment, or the
    name of a dimension (mass, temperature, length, height, rain, speed), whose headers carry a unit
    suffix.
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
        return self.dimension.units if self.dimension else ()

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
    """One table: its key (empty where rows have none), its columns and where its files stand.

    Only small tables are not ``per_trip``: their key the store declares, that of others it proves.
    ``invitation`` is HTML that stands before its columns on the page that explains them.
    """

    name: str
    key: tuple[str, ...]
    per_trip: bool
    meaning: str
    invitation: str
    columns: tuple[Column, ...]

    @property
    def laid_out(self) -> bool:
        """Whether a row that holds nothing beyond its key is no record, but not filled in yet."""
        return self.name in ("distances", "weather", "comfort")

    def column(self, name: str) -> Column:
        """The column of that name."""
        return next(c for c in self.columns if c.name == name)


def _column(cells: dict[str, str], described: dict[str, Column]) -> Column:
    low, high, choices = cells["low"], cells["high"], cells["choices"]
    return Column(
        name=cells["column"],
        kind=cells["kind"],
        meaning=cells["meaning"],
        required=cells["needed"] != "",
        cell=cells["needed"] == "cell",
        choices=described[choices].choices if choices in described else tuple(choices.split()),
        low=float(low.removeprefix(">")) if low else None,
        high=float(high) if high else None,
        above=low.startswith(">"),
        default=cells["default"],
        stored_as=cells["stored_as"],
    )


def _columns() -> dict[str, tuple[Column, ...]]:
    columns: dict[str, tuple[Column, ...]] = defaultdict(tuple)
    described: dict[str, Column] = {}
    for cells in own_rows(__package__, "columns.csv"):
        if cells["kind"]:
            described[cells["column"]] = _column(cells, described)
        columns[cells["table"]] += (described[cells["column"]],)
    return columns


def _tables() -> Iterator[Table]:
    columns = _columns()
    for cells in own_rows(__package__, "tables.csv"):
        name, key = cells["table"], tuple(cells["key"].split())
        per_trip = cells["per_trip"] == "yes"
        yield Table(name, key, per_trip, cells["meaning"], cells["invitation"], columns[name])


TABLES = tuple(_tables())
BY_NAME = {t.name: t for t in TABLES}
"""Tables by name, in reading order: gear and trip before what refers to them."""

SYSTEMS = BY_NAME["gear"].column("system").choices
CARRIED_AS = BY_NAME["gear"].column("carried_as").choices
ASPECTS = BY_NAME["comfort"].column("aspect").choices
MODES = BY_NAME["trip"].column("mode").choices
SEVERITIES = BY_NAME["failures"].column("severity").choices


def numeric(column: Column) -> bool:
    """Whether cells of the column are numbers."""
    return column.dimension is not None or column.kind in ("number", "whole")
