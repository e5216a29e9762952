"""The rows that an entry asks for, by table, each as cells and as the reader would take them."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from ..contract import BY_NAME
from ..names import folded, shown
from .cells import Value, hashable, read_value
from .entry import Day, Leg, Score, TripEntry
from .sheet import UnwritableError
from .standing import Standing, TripFiles

SPOKEN: dict[str, tuple[str, ...]] = {
    "trip": (
        *("title", "start_on", "end_on", "mode", "people", "place", "latitude", "longitude"),
        *("elevation", "use_record", "plan", "note"),
    ),
    "carried": (
        *("item", "quantity", "weight", "carried_as", "carried_by", "bag", "from_day"),
        *("until_day", "used", "brought_home", "note"),
    ),
    "distances": ("day", "mode", "distance", "ascent", "hours", "battery_wh"),
    "weather": ("day", "wet", "rain", "wind", "low", "high", "conditions"),
    "comfort": ("day", "aspect", "score", "warmth", "note"),
    "failures": ("item", "day", "severity", "what", "fixed_with", "fixed_on"),
    "wished": ("what", "item", "system", "how_much", "note"),
}
"""The columns of which the form speaks; all others are left as they are."""

Values = Mapping[str, Any]
RowKey = Callable[[Values], Any]


@dataclass(slots=True)
class Wanted:
    """A row that is asked for. ``cells`` as typed, ``values`` as read, by column.

    ``empty``: it holds nothing beyond its key, so that there need be no row. ``origin``: the row
    of a file from which it was read, "" where it is new.
    """

    table: str
    cells: dict[str, Value]
    values: dict[str, Any] = field(default_factory=dict)
    empty: bool = False
    origin: str = ""


def name_of(table: str, values: Values) -> str:
    """What a row is called in a sentence."""
    if table == "trip":
        return "the trip"
    if table == "carried":
        more = [f"in {values['bag']}"] if values["bag"] else []
        more += [f"from {values['from_day']}"] if values["from_day"] else []
        return " ".join([shown(values["item"]), *more])
    if table in ("distances", "weather", "comfort"):
        beside = values.get("mode") or values.get("aspect") or ""
        return f"{values['day']} {beside}".strip()
    day = values.get("day")
    return shown(values.get("item") or values.get("what") or "?") + (f" {day}" if day else "")


KEYS: dict[str, RowKey] = {
    "trip": lambda v: "",
    "carried": lambda v: (v["item"], v["carried_as"], folded(v["bag"] or ""), v["from_day"]),
    "distances": lambda v: (v["day"], v["mode"]),
    "weather": lambda v: v["day"],
    "comfort": lambda v: (v["day"], v["aspect"]),
    "failures": lambda v: tuple(v[c] for c in SPOKEN["failures"]),
    "wished": lambda v: tuple(v[c] for c in SPOKEN["wished"]),
}
"""By what a row that is asked for anew is found among those that stand."""


def standing_values(files: TripFiles, entry: TripEntry, table: str, each: Standing) -> Values:
    """The values of a row that stands, what other tables lend it filled in."""
    return completed(
        files, entry, table, {c: hashable(each.row[c]) for c in SPOKEN[table]}, each.row["trip"]
    )


def completed(
    files: TripFiles, entry: TripEntry, table: str, values: dict[str, Any], trip: str
) -> dict[str, Any]:
    """The values with the defaults that the reader takes from elsewhere."""
    if table == "carried":
        values["carried_as"] = values["carried_as"] or files.kind(values["item"] or "")
        if (
            "used" in values and values["item"] in files.noted
        ):  # what used.csv says counts, the cell says nothing
            values["used"] = None
    if table == "distances":
        values["mode"] = values["mode"] or entry.mode
    if table == "trip":
        values["title"] = values["title"] or trip
    return values


def wanted_rows(
    files: TripFiles, entry: TripEntry, problems: list[str], spoilt: set[str]
) -> list[Wanted]:
    """Every row that an entry asks for; what is wrong with one goes to ``problems``.

    The tables of which one is wrong go to ``spoilt``. A row that is not finished may stay so.
    """
    rows = []
    unfinished = {files.origins[each.file, each.line] for each in files.unfinished}
    for each in _rows(entry):
        may_lack = each.empty or each.origin in unfinished
        try:
            for name in SPOKEN[each.table]:
                column = BY_NAME[each.table].column(name)
                each.values[name] = read_value(files, each.table, column, each.cells.get(name))
                if column.cell and each.values[name] is None and not may_lack:
                    raise UnwritableError(f"{name}: a value is needed")
            if each.table == "wished" and not (each.values["item"] or each.values["what"]):
                raise UnwritableError("expected what was missed, or the item left at home")
        except UnwritableError as error:
            problems.append(f"{_typed_name(each)}: {error}")
            spoilt.add(each.table)
            continue
        each.values = completed(files, entry, each.table, each.values, files.name)
        rows.append(each)
    return rows


def _typed_name(each: Wanted) -> str:
    named = (each.cells.get(n) for n in ("item", "what", "day") if each.cells.get(n))
    name = next(named, None)
    return each.table if name is None else f"{each.table}, {shown(str(name))}"


def _rows(entry: TripEntry) -> Iterator[Wanted]:
    yield Wanted("trip", _cells(entry, "trip") | {"plan": entry.plan or None})
    for along in entry.along:
        yield Wanted("carried", _cells(along, "carried"), origin=along.origin)
    for day in entry.days:
        yield from _rows_of_day(day)
    for failure in entry.failures:
        yield Wanted("failures", _cells(failure, "failures"), origin=failure.origin)
    for wish in entry.wishes:
        yield Wanted("wished", _cells(wish, "wished"), origin=wish.origin)


def _rows_of_day(day: Day) -> Iterator[Wanted]:
    for leg in day.legs:
        yield _of_day(day, "distances", leg, ("mode",))
    yield _of_day(day, "weather", day, ())
    for score in day.scores:
        yield _of_day(day, "comfort", score, ("aspect",))


def _of_day(day: Day, table: str, part: Leg | Day | Score, key: tuple[str, ...]) -> Wanted:
    cells = _cells(part, table) | {"day": day.day}
    said = (v for c, v in cells.items() if c not in ("day", *key))
    empty = all(v is None or v == "" for v in said)
    return Wanted(table, cells, empty=empty, origin=getattr(part, "origin", ""))


def _cells(part: object, table: str) -> dict[str, Value]:
    return {name: getattr(part, name) for name in SPOKEN[table] if hasattr(part, name)}
