"""What is known of bedding without a rating: how cold the nights were that were slept in it."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date

from ..store.rows import Store, ask
from .sets import SleepThing


@dataclass(frozen=True, slots=True)
class UnratedNights:
    """The ``nights`` slept in a thing that has no rating, on trips over before, and their months.

    ``lows``: on how many of them a low was measured, ``coldest_c`` the coldest of these and
    ``warmth`` the vote on it; missing where none was. Nights on which sleep or shelter gear had
    failed are not among them. ``not_read``: what stands for its rating in gear.csv and could not be
    read as one.
    """

    name: str
    nights: int
    months: frozenset[int]
    lows: int
    coldest_c: float | None
    warmth: int | None
    not_read: str | None = None


def unrated_nights(
    store: Store, listed: Collection[str], things: Mapping[str, SleepThing], day: date
) -> UnratedNights | None:
    """The nights in the bedding of a list that has no rating, by ``day``.

    Of several pieces, it is the heaviest that goes over the sleeper, else of what neither column
    nor name tells. None where the list has a rated one, or nothing that could be bedding.
    """
    here = [things[item] for item in listed if item in things]
    if any(one.as_limit_c is not None for one in here):
        return None
    covers = [one for one in here if one.kind == "bedding"] or [one for one in here if not one.kind]
    if not covers:
        return None
    bedding = min(covers, key=lambda one: (-(one.weight_g or 0.0), one.item))
    rows = [
        row
        for row in ask(store, "cold/cold_nights", before=day)
        if bedding.item in row["items"] and not row["set_apart"]
    ]
    known = [row for row in rows if row["low_c"] is not None]
    coldest = min(known, key=lambda row: (row["low_c"], row["night"]), default=None)
    return UnratedNights(
        name=bedding.name,
        nights=len(rows),
        months=frozenset(row["night"].month for row in rows),
        lows=len(known),
        coldest_c=None if coldest is None else coldest["low_c"],
        warmth=None if coldest is None else coldest["warmth"],
        not_read=bedding.rating_not_read,
    )
