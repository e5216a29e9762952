"""What is known of a logbook while it is being read: names, spans, keys, what was lost and why."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from operator import itemgetter
from typing import Any

from .contract import MAX_TRIP_DAYS, Table
from .names import Names, folded, shown, slug
from .problems import Fault

Row = dict[str, Any]
"""Values of a record by column."""
Key = tuple[Any, ...]


@dataclass(slots=True)
class Book:
    """The names and facts that later records are checked against.

    ``bags``: those that held something, as first typed, by what they are compared by.
    ``lost`` (items and trips) and ``lost_carried`` map what was set aside (folded) to the
    `file:line` that explains why records that refer to it fail; ``lost_carried_trips`` and
    ``lost_tables`` do so for whole files that could not be read.
    """

    items: Names = field(default_factory=Names)
    trips: Names = field(default_factory=Names)
    spans: dict[str, tuple[date, date]] = field(default_factory=dict)
    modes: dict[str, str | None] = field(default_factory=dict)
    kinds: dict[str, str] = field(default_factory=dict)
    carried: set[tuple[str, str]] = field(default_factory=set)
    bags: dict[str, str] = field(default_factory=dict)
    lost: dict[str, dict[str, str]] = field(default_factory=lambda: {"item": {}, "trip": {}})
    lost_carried: dict[tuple[str, str], str] = field(default_factory=dict)
    lost_carried_trips: dict[str, str] = field(default_factory=dict)
    lost_tables: dict[str, str] = field(default_factory=dict)

    def add_item(self, row: Row) -> None:
        """Note an item that was read."""
        item = row["item"]
        self.items.define(item)
        for other in (row["name"], *(row["formerly"] or ())):
            self.items.also(other, item)
        self.kinds[row["item"]] = row["carried_as"]

    def add_trip(self, row: Row) -> None:
        """Note a trip that was read."""
        self.trips.define(row["trip"])
        self.spans[row["trip"]] = (row["start_on"], row["end_on"])
        self.modes[row["trip"]] = row["mode"]

    def add_carried(self, row: Row) -> None:
        """Note what came along, and in which bag."""
        self.carried.add((row["trip"], row["item"]))
        if row["bag"]:
            self.add_bag(row["bag"])

    def add_bag(self, bag: str) -> None:
        """Note the name of a bag."""
        self.bags.setdefault(folded(bag), bag)

    def lost_from_carried(self, trip: str, item: str) -> str:
        """Why an item is missing from a trip, where a carried row's or file's fault explains it."""
        lost = self.lost_carried.get((trip, item)) or self.lost_carried_trips.get(trip)
        return lost or self.lost_tables.get("carried", "")

    def lose(self, kind: str, text: str, cause: str) -> None:
        """Note that the row of an item or trip was set aside, or that a trip's folder has none."""
        if text:
            self.lost[kind].setdefault(folded(slug(text)), cause)

    def lose_carried(self, trip: str | None, text: str, cause: str, whole_file: bool) -> None:
        """Note that a row of carried was set aside, or for ``whole_file`` every row of its file."""
        item = self.items.find(text)
        if item is None and not self.cause("item", text):
            item = self.items.nearest(text)  # what a misspelt row was meant to carry
        if trip and item:
            self.lost_carried.setdefault((trip, item), cause)
        if trip and whole_file:
            self.lost_carried_trips.setdefault(trip, cause)

    def cause(self, kind: str, text: str) -> str:
        """Why a reference to an item or trip fails, where another row's fault explains it."""
        table = "gear" if kind == "item" else "trip"
        return self.lost[kind].get(folded(slug(text)), "") or self.lost_tables.get(table, "")


class Texts:
    """What a record's cells say, trimmed, by column; nothing for a column that is not there."""

    __slots__ = ("_places", "cells")

    def __init__(self, places: dict[str, int]) -> None:
        self._places = places
        self.cells: list[str] = []

    def __getitem__(self, column: str) -> str:
        place = self._places.get(column, -1)
        return self.cells[place].strip() if 0 <= place < len(self.cells) else ""


def check_day(book: Book, row: Row, cells: Texts, column: str = "day") -> list[Fault]:
    """The day lies inside the trip."""
    day, span = row.get(column), book.spans.get(row["trip"])
    if day is None or span is None or span[0] <= day <= span[1]:
        return []
    start, end = span
    problem = f"expected a day of the trip ({start} to {end}), got {shown(cells[column])}"
    return [Fault(column, cells[column], problem)]


def check_gear(book: Book, row: Row, cells: Texts) -> list[Fault]:
    """Fill in what gear leaves open of names and weather.

    Whether it is insurance or essential stays blank where nobody says so: the view of gear has the
    defaults, and a blank is no answer.
    """
    row["name"] = row["name"] or cells["item"]
    row["meant_for"] = row["meant_for"] or ["any"]
    return []


def check_candidate(book: Book, row: Row, cells: Texts) -> list[Fault]:
    """Fill in a candidate's name."""
    row["name"] = row["name"] or cells["candidate"]
    return []


def check_trip(book: Book, row: Row, cells: Texts) -> list[Fault]:
    """A trip ends on or after its start and lasts at most 400 days."""
    row["title"] = row["title"] or cells["trip"] or row["trip"]
    start, end = row["start_on"], row["end_on"]
    if end < start:
        expected = f"a day not before start_on ({start})"
    elif (end - start).days > MAX_TRIP_DAYS:
        expected = f"at most {MAX_TRIP_DAYS} days from {start}"
    else:
        return []
    problem = f"expected {expected}, got {shown(cells['end_on'])}"
    return [Fault("end_on", cells["end_on"], problem)]


def check_carried(book: Book, row: Row, cells: Texts) -> list[Fault]:
    """The days along lie inside the trip, in order."""
    faults = check_day(book, row, cells, "from_day") + check_day(book, row, cells, "until_day")
    first, last = row["from_day"], row["until_day"]
    if not faults and first and last and last < first:
        problem = f"expected a day not before from_day ({first}), got {shown(cells['until_day'])}"
        faults.append(Fault("until_day", cells["until_day"], problem))
    return faults


def check_used(book: Book, row: Row, cells: Texts) -> list[Fault]:
    """What was used came along; the day lies inside the trip."""
    faults = check_day(book, row, cells)
    if (row["trip"], row["item"]) not in book.carried:
        problem = f"{shown(cells['item'])} was not carried on {row['trip']}; add it to carried.csv"
        cause = book.lost_from_carried(row["trip"], row["item"])
        faults.append(Fault("item", cells["item"], problem, cause=cause))
    return faults


def check_wished(book: Book, row: Row, cells: Texts) -> list[Fault]:
    """Something must have been wished for."""
    if row["what"] is None and row["item"] is None:
        return [Fault("what", "", "expected what was missed, or the item left at home")]
    return []


CHECKS = {
    "gear": check_gear,
    "candidates": check_candidate,
    "trip": check_trip,
    "carried": check_carried,
    "used": check_used,
    "failures": check_day,
    "distances": check_day,
    "weather": check_day,
    "comfort": check_day,
    "wished": check_wished,
}


def key_reader(book: Book, table: Table) -> Callable[[Row], Key] | None:
    """What gives a row's key, or None where rows of the table have none.

    Defaults from other tables are filled in, text is compared without case.
    """
    kinds, modes = book.kinds, book.modes
    if not table.key:
        return None
    if table.name == "carried":
        return lambda row: (
            row["trip"],
            row["item"],
            row["carried_as"] or kinds.get(row["item"], "base"),
            folded(row["bag"] or ""),
            row["from_day"],
        )
    if table.name == "distances":
        return lambda row: (row["trip"], row["day"], row["mode"] or modes.get(row["trip"]))
    if len(table.key) == 1:
        name = table.key[0]
        return lambda row: (folded(row[name]),)
    return itemgetter(*table.key)
