"""What broke on the demo's trips, how it was mended, and what still waits on the mend list."""

from dataclasses import dataclass
from datetime import date, timedelta

from . import truth
from .dice import Dice
from .gear import inventory
from .packing import Row
from .trips import Trip

# item | severity | what | mended on the way with ("" at home or not at all)
FAULTS = """
tunnel-tent | impaired | Zip of the fly splits when pulled in a hurry | zip-slider
tunnel-tent | impaired | Front pole cracked at the ferrule | pole-sleeve
tunnel-tent | nuisance | Fly torn at a peg loop | repair-tape
pole-tent | nuisance | Guy line runner slips | cord
pole-tent | impaired | Inner door zip stuck half way | pliers
sleeping-mat | impaired | Soft by three in the morning | patch-kit
sleeping-mat | lost_use | Flat within an hour | patch-kit
sleeping-mat | nuisance | Valve hisses unless closed twice | glue
sleeping-mat | impaired | Slow leak, topped up at midnight | patch-kit
sleeping-mat | impaired | Hip on the ground by four | patch-kit
winter-bag | nuisance | Zip catches the lining at the knee | sewing-kit
winter-bag | impaired | Hood cord pulled out of its seam | sewing-kit
stove | nuisance | Igniter dead, lit with the lighter |
stove | impaired | Burns low, jet half blocked | pliers
old-headlamp | impaired | Goes out when tilted | repair-tape
old-headlamp | nuisance | Switch needs three presses |
old-power-bank | impaired | Stops charging at half |
old-power-bank | nuisance | Socket loose, needs a wedge | repair-tape
old-power-bank | nuisance | Button sticks |
old-rain-jacket | impaired | Tape peels off the shoulder seam | repair-tape
old-rain-jacket | nuisance | Cuff strap no longer holds | repair-tape
old-rain-jacket | impaired | Main zip opens by itself |
rain-trousers | nuisance | Tape peels off the knee seam | repair-tape
rain-trousers | nuisance | Small tear from a bramble | repair-tape
water-filter | impaired | A litre takes ten minutes |
water-filter | nuisance | Drips at the thread | repair-tape
water-filter | nuisance | Strap of the bag torn off | cord
sit-chair | nuisance | Foot cap lost in the sand | repair-tape
sit-chair | impaired | Seat seam starting to go | sewing-kit
old-rucksack | impaired | Hip belt buckle snapped | spare-buckle
old-rucksack | nuisance | Lid strap frayed through | cord
trail-shoes | nuisance | Sole lifting at the toe | repair-tape
trail-shoes | nuisance | Lace hook pulled out | pliers
gravel-bike | impaired | Rear puncture, a thorn | spare-tube
gravel-bike | impaired | Front puncture, glass by the bridge | spare-tube
gravel-bike | impaired | Rear puncture, hedge clippings | spare-tube
gravel-bike | nuisance | Shifter cable frayed, stuck in two gears | pliers
e-bike | impaired | Rear puncture, a staple | spare-tube
e-bike | nuisance | Display freezes now and then |
pannier | nuisance | Hook rattles loose | cable-ties
pannier | impaired | Roll top buckle cracked | spare-buckle
pump-sack | nuisance | Pinhole near the seam | repair-tape
"""
ALWAYS_MENDED = ("sleeping-mat", "gravel-bike")
SURE_TOOLS = ("spare-tube", "tyre-levers")
"""A puncture is always mended on the spot, and these are used for nothing else."""
PATCH_G = 4.0
"""What a patch adds to the mat."""
LAST_ENTRY = date(2026, 11, 22)


@dataclass(frozen=True, slots=True)
class Failure:
    """One row of failures.csv."""

    trip: str
    item: str
    day: date
    severity: str
    what: str
    fixed_with: str
    fixed_on: date | None


def _faults() -> dict[str, list[tuple[str, str, str]]]:
    found: dict[str, list[tuple[str, str, str]]] = {}
    for line in FAULTS.strip().splitlines():
        item, severity, what, tool = (part.strip() for part in line.split("|"))
        found.setdefault(item, []).append((severity, what, tool))
    return found


class Workshop:
    """Keeps count of faults across trips, so that no fault is told twice in the same words."""

    def __init__(self) -> None:
        self._faults = _faults()
        self._told: dict[str, int] = {}
        self.failures: list[Failure] = []

    def trip(self, trip: Trip, rows: list[Row], used: set[str]) -> list[Failure]:
        """Draw a trip's failures; ``used`` gains the tools that a puncture makes sure of."""
        found = []
        for row in rows:
            rate = truth.FAILURE_RATE_PER_100_NIGHTS.get(row.item, 0.0) / 100
            for day in trip.days[:-1]:
                dice = Dice(trip.trip, "failure", row.item, day.isoformat())
                if row.along(day) and dice.chance(rate):
                    found.append(self._failure(trip, row.item, day, used, dice))
        self.failures += found
        return sorted(found, key=lambda failure: (failure.day, failure.item))

    def _failure(self, trip: Trip, item: str, day: date, used: set[str], dice: Dice) -> Failure:
        told = self._told.get(item, 0)
        self._told[item] = told + 1
        severity, what, tool = self._faults[item][told % len(self._faults[item])]
        if tool in SURE_TOOLS:
            used.update(SURE_TOOLS)
        with_what = tool.replace("-", " ")
        if tool in used:
            return Failure(trip.trip, item, day, severity, what, with_what, day)
        home = trip.end_on + timedelta(days=int(dice.between(2, 25)))
        gear = inventory()[item]
        mended = severity == "lost_use" or item in ALWAYS_MENDED or dice.chance(0.35)
        if not mended or home > LAST_ENTRY or not gear.owned_on(home):
            return Failure(trip.trip, item, day, severity, what, "", None)
        way = f"{with_what}, at home" if tool else "sorted out at home"
        return Failure(trip.trip, item, day, severity, what, way, home)

    def patched_mat(self) -> list[tuple[date, float]]:
        """The mat's weight after each patch: day and grams."""
        weight = inventory()["sleeping-mat"].weight_g
        found = []
        for failure in self.failures:
            if failure.item == "sleeping-mat" and "patch kit" in failure.fixed_with:
                weight += PATCH_G
                weighed_on = max(failure.fixed_on or trip_end(failure), trip_end(failure))
                found.append((weighed_on + timedelta(days=1), weight))
        return found


def trip_end(failure: Failure) -> date:
    """A day safely after the trip on which it failed: nobody carries a scale."""
    return failure.day + timedelta(days=7)
