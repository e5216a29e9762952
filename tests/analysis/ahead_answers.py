"""What the tables of a trip to come answer in invented logbooks, beside what is true there."""

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import pandas as pd
from ahead_worlds import FOODS, GAS, Seen, Supplies, bare
from kit_worlds import Kit
from ride_worlds import BIKE, Rides, bare_wh
from tarebook.analysis import open_logbook
from tarebook.analysis.door import Logbook
from worlds import Book, loaded

THINGS = (*FOODS, "food", GAS)


@contextmanager
def opened(book: Book) -> Iterator[Logbook]:
    """The book written, loaded without a complaint, and open to be asked."""
    with loaded(book) as folder, open_logbook(folder) as logbook:
        yield logbook


def asked(logbook: Logbook, name: str, trip: str) -> list[dict[str, Any]]:
    """The rows of a table for a trip; what is missing is None."""
    frame = logbook.table(name, trip=trip)
    return [
        {str(k): None if pd.isna(v) else v for k, v in row.items()}
        for row in frame.to_dict("records")
    ]


@dataclass(frozen=True)
class Tried:
    """A forecast amount and what the trip truly took, in g or Wh; ``plain`` is the bare way's.

    ``claims``: a share of such trips is told; else ``take`` is what to take at least, and the ends
    are missing where nothing came home from any trip.
    """

    thing: str
    claims: bool
    need: float
    low: float | None
    high: float | None
    take: float
    listed: float | None
    chance: float | None
    plain: tuple[float, float, float] | None

    @property
    def held(self) -> bool:
        """Whether the 90 % interval holds what the trip took."""
        return (self.low or 0.0) <= self.need <= (self.high or math.inf)

    @property
    def short(self) -> bool:
        """Whether the amount for nine in ten would not have done."""
        return self.need > self.take

    @property
    def plain_held(self) -> bool:
        """The same of the bare way, which holds nothing where it has no answer."""
        return self.plain is not None and self.plain[0] <= self.need <= self.plain[1]

    @property
    def plain_short(self) -> bool:
        """The same of the bare way's amount."""
        return self.plain is None or self.need > self.plain[2]


def needs_tried(logbook: Logbook, made: Supplies, trip: int) -> list[Tried]:
    """Food, its parts and gas of the trip of that number, the first being 0.

    A part of food of which what came home is noted on under three trips may be without an answer
    of its own; nothing else may.
    """
    rows = {
        row["item"] or row["system"]: row
        for row in asked(logbook, "trip_needs", made.outings[trip].name)
    }
    units = {thing: made.seen[trip][FOODS[0]].person_days for thing in THINGS}
    units[GAS] = made.seen[trip][GAS].person_days
    return [
        _tried(rows[thing], thing, made.need_g(trip, thing), plain)
        for thing in THINGS
        for before in [made.before(trip, thing)]
        for plain in [bare(before, units[thing])]
        if thing in rows or thing not in FOODS or _noted(before) >= 3
    ]


def _noted(before: Sequence[Seen]) -> int:
    return sum(one.home_g is not None for one in before)


def energy_tried(logbook: Logbook, made: Rides, trip: int) -> Tried:
    """The battery's energy on the trip of that number."""
    rows = [
        row
        for row in asked(logbook, "trip_needs", made.outings[trip].name)
        if row["unit"] == "Wh" and row["item"] == BIKE
    ]
    return _tried(rows[0], BIKE, sum(made.need_wh[trip]), bare_wh(made, trip, trip))


def _tried(
    row: dict[str, Any], thing: str, need: float, plain: tuple[float, float, float] | None
) -> Tried:
    return Tried(
        thing,
        row["basis"] in ("like", "practice"),
        need,
        row["low"],
        row["high"],
        row["take_for_9_in_10"] or row["at_least"],
        row["on_list"],
        row["chance_enough"],
        plain,
    )


@dataclass(frozen=True)
class Names:
    """What a list may lack by the program, the first first, beside what was taken off it."""

    named: list[str]
    missing: list[str]
    rows: list[dict[str, Any]]

    @property
    def recalled(self) -> list[bool]:
        """Of each thing taken off, whether it is named."""
        return [name in self.named for name in self.missing]

    @property
    def false(self) -> list[str]:
        """What is named and was not taken off."""
        return [name for name in self.named if name not in self.missing]


def names_tried(logbook: Logbook, made: Kit) -> Names:
    """What the table names for the plan."""
    rows = asked(logbook, "forgotten", made.plan)
    return Names([row["item"] for row in rows if row["item"]], made.missing, rows)


@dataclass
class Share:
    """How often something happened, over independent logbooks that may hold several cases each."""

    groups: list[list[bool]] = field(default_factory=list)

    def add(self, hits: Sequence[bool]) -> None:
        """One more logbook's cases."""
        self.groups.append(list(hits))

    @property
    def cases(self) -> int:
        """How many cases there are in all."""
        return sum(len(group) for group in self.groups)

    @property
    def value(self) -> float:
        """The share of all cases."""
        return sum(map(sum, self.groups)) / self.cases

    @property
    def error(self) -> float:
        """Its standard error between logbooks, at least that of half a case in all of them."""
        p, many = self.value, len(self.groups)
        apart = np.array([sum(group) - p * len(group) for group in self.groups])
        between = math.sqrt((apart**2).sum() / max(many - 1, 1) / many) * many / self.cases
        return float(max(between, 0.5 / many))

    def __str__(self) -> str:
        if not self.cases:
            return "none"
        return f"{100 * self.value:.1f} ± {100 * self.error:.1f} % of {self.cases}"


@dataclass
class Forecasts:
    """Intervals and amounts of many logbooks set against the truth."""

    held: Share = field(default_factory=Share)
    short: Share = field(default_factory=Share)
    plain_held: Share = field(default_factory=Share)
    plain_short: Share = field(default_factory=Share)
    least: Share = field(default_factory=Share)
    promised: list[float] = field(default_factory=list)
    enough: list[float] = field(default_factory=list)
    take_over_need: list[float] = field(default_factory=list)
    plain_over_need: list[float] = field(default_factory=list)

    def add(self, tried: Sequence[Tried], *, told_alone: bool = True) -> None:
        """One more logbook's forecasts; where no share of such trips is told none is held.

        ``told_alone`` false: the model is held to all that it has an interval of, told or not.
        """
        self.least.add([one.short for one in tried if not one.claims])
        tried = [one for one in tried if one.claims or not (told_alone or one.low is None)]
        self.held.add([one.held for one in tried])
        self.short.add([one.short for one in tried])
        self.plain_held.add([one.plain_held for one in tried])
        self.plain_short.add([one.plain_short for one in tried])
        for one in tried:
            if one.chance is not None and one.listed is not None:
                self.promised.append(one.chance)
                self.enough.append(float(one.listed >= one.need))
            self.take_over_need.append(one.take / one.need)
            if one.plain is not None:
                self.plain_over_need.append(one.plain[2] / one.need)

    def __str__(self) -> str:
        words = f"held {self.held}, short {self.short}"
        if self.least.cases:
            words += f"; told as a least alone, and short of it: {self.least}"
        if self.plain_over_need:
            words += (
                f"; bare: held {self.plain_held}, short {self.plain_short}"
                f"; taken over need, median {np.median(self.take_over_need):.2f}"
                f" (bare {np.median(self.plain_over_need):.2f})"
            )
        if self.promised:
            brier = np.mean((np.array(self.promised) - np.array(self.enough)) ** 2)
            words += (
                f"; on the list enough: promised {100 * np.mean(self.promised):.0f} %,"
                f" true {100 * np.mean(self.enough):.0f} %, Brier {brier:.3f}"
            )
        return words
