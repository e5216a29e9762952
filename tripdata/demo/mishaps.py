"""What broke on the demo's trips, how it was mended, and what still waits on the mend list."""

from collections import Counter, defaultdict
from dataclasses import dataclass
from datetime import date, timedelta

from . import truth
from .dice import Dice
from .gear import inventory
from .packing import CarriedRow
from .tables import table_rows
from .trips import Trip

ALWAYS_MENDED = ("sleeping-mat", "gravel-bike")
SURE_TOOLS = ("spare-tube", "tyre-levers")
"""A puncture is always mended on the spot, and these are used for nothing else."""
PATCH_G = 4.0
"""What a patch adds to the mat."""
LAST_ENTRY = date(2026, 11, 22)


@dataclass(frozen=True, slots=True)
class DrawnFailure:
    """One row of failures.csv."""

    item: str
    day: date
    severity: str
    what: str
    fixed_with: str
    fixed_on: date | None


class Workshop:
    """Takes the faults of an item in turn, so that no two are worded alike while there are more.

    `data/faults.csv` has with what each is mended on the way: empty where only at home or not at
    all.
    """

    def __init__(self) -> None:
        self._faults: dict[str, list[dict[str, str]]] = defaultdict(list)
        for row in table_rows("faults"):
            self._faults[row["item"]].append(row)
        self._failed: Counter[str] = Counter()
        self.failures: list[DrawnFailure] = []

    def trip(self, trip: Trip, rows: list[CarriedRow], used: set[str]) -> list[DrawnFailure]:
        """Draw a trip's failures; ``used`` gains the tools that a puncture makes sure of."""
        failures = []
        for row in rows:
            rate = truth.FAILURE_RATE_PER_100_NIGHTS.get(row.item, 0.0) / 100
            for day in trip.days[:-1]:
                dice = Dice(trip.trip, "failure", row.item, day.isoformat())
                if row.along(day) and dice.chance(rate):
                    failures.append(self._failure(trip, row.item, day, used, dice))
        self.failures += failures
        return sorted(failures, key=lambda failure: (failure.day, failure.item))

    def _failure(
        self, trip: Trip, item: str, day: date, used: set[str], dice: Dice
    ) -> DrawnFailure:
        faults = self._faults[item]
        fault = faults[self._failed[item] % len(faults)]
        self._failed[item] += 1
        severity, what, tool = fault["severity"], fault["what"], fault["mended_with"]
        if tool in SURE_TOOLS:
            used.update(SURE_TOOLS)
        with_what = tool.replace("-", " ")
        if tool in used:
            return DrawnFailure(item, day, severity, what, with_what, day)
        home = trip.end_on + timedelta(days=int(dice.between(2, 25)))
        gear = inventory()[item]
        mended = severity == "lost use" or item in ALWAYS_MENDED or dice.chance(0.35)
        if not mended or home > LAST_ENTRY or not gear.owned_on(home):
            return DrawnFailure(item, day, severity, what, "", None)
        way = f"{with_what}, at home" if tool else "sorted out at home"
        return DrawnFailure(item, day, severity, what, way, home)

    def patched_mat(self) -> list[tuple[date, float]]:
        """The mat's weight after each patch: day and grams."""
        weight = inventory()["sleeping-mat"].weight_g
        weighings = []
        for failure in self.failures:
            if failure.item == "sleeping-mat" and "patch kit" in failure.fixed_with:
                weight += PATCH_G
                # A day safely after the trip on which it failed: nobody carries a scale.
                home = failure.day + timedelta(days=7)
                weighed_on = max(failure.fixed_on or home, home) + timedelta(days=1)
                weighings.append((weighed_on, weight))
        return weighings
