"""A battery that may be a bike's and is not counted, since nothing in gear.csv says so."""

from collections.abc import Sequence
from dataclasses import dataclass

from ..display.words import label, quoted
from ..store.rows import Store, ask
from .results import BatteryAhead, TripAhead

LEAST_WH = 150.0
"""What holds less drives no bike far: power banks hold under 100 Wh, since airlines draw a line
there (common practice, no published source)."""
LEAST_G = 1_000.0
"""A bike's battery weighs more than this (from memory)."""


@dataclass(frozen=True, slots=True)
class Uncounted:
    """Such a battery: what it is filed under, and whether its capacity is noted."""

    item: str
    name: str
    system: str
    has_capacity: bool


def uncounted_of(
    store: Store, ahead: TripAhead, batteries: Sequence[BatteryAhead]
) -> tuple[Uncounted, ...]:
    """Those of the trip's list, or owned where it has none; nothing where no e-bike goes."""
    if not batteries:
        return ()
    rows = ask(
        store,
        "ahead/loose_batteries",
        trip=ahead.trip.trip,
        least_wh=LEAST_WH,
        least_mg=round(LEAST_G * 1000),
    )
    return tuple(
        Uncounted(row["item"], row["name"], row["system"], row["capacity_wh"] is not None)
        for row in rows
    )


def uncounted_words(uncounted: Sequence[Uncounted], batteries: Sequence[BatteryAhead]) -> list[str]:
    """That each is not counted, why, and what to type where it is the bike's."""
    bike = batteries[0].bike if len(batteries) == 1 else "the bike’s item"
    return [
        f"{quoted([each.name])} is not counted: it is filed under {label(each.system).lower()}, "
        "and nothing says that it fits the bike. If it does, give it "
        f"{'' if each.has_capacity else 'its capacity_wh and '}needs = {bike} in gear.csv."
        for each in uncounted
    ]
