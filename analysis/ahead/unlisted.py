"""What is owned for health, light, rain and water, and is on no list: neither here nor before."""

from collections.abc import Collection

from ...tripdata.contract import SYSTEMS
from ..store.rows import Store, ask
from .packing import Packing
from .results import TripAhead

ASKED = ("first_aid", "light", "rain", "water")


def unlisted_of(
    store: Store, ahead: TripAhead, packing: Packing, named: Collection[str | None] = ()
) -> tuple[str, ...]:
    """The names of such things, by system and name; of those at hand when the trip begins.

    Habits say nothing of what never came along, so that nothing else names these. ``named``: items
    that are named elsewhere.
    """
    like = [trip.trip for trip in ahead.like if trip.listed]
    carried = {row["item"] for row in ask(store, "ahead/lists_of", trips=like)} if like else set()
    known = packing.items.union(carried).union(item for item in named if item is not None)
    rows = [
        row
        for row in ask(store, "ahead/gear_then", trip=ahead.trip.trip)
        if row["system"] in ASKED and row["at_hand"] and row["owner"] is None
        if row["item"] not in known
    ]
    rows.sort(key=lambda row: (SYSTEMS.index(row["system"]), row["name"]))
    return tuple(row["name"] for row in rows)
