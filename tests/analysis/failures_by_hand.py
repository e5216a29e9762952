"""Failures, lives and what carrying took once more, in pandas, day by day and night by night."""

from datetime import date
from typing import Any

import marts_by_hand
from marts_by_hand import Book
from store_drawing import Row

FOR_GOOD = ("lost_use", "unsafe")


def along(book: Book, item: str, trip: str) -> tuple[set[date], set[date]]:
    """The days and the nights that an item was there for on a trip, whoever carried it."""
    one = book.trips[trip]
    days: set[date] = set()
    nights: set[date] = set()
    for row in book.carried.to_dict("records"):
        if (row["item"], row["trip"]) != (item, trip):
            continue
        first = row["from_day"] or one["start_on"]
        last = row["until_day"] or one["end_on"]
        days |= {d for d in book.days(trip) if first <= d <= last}
        nights |= {d for d in book.nights(trip) if first <= d < last}
    return days, nights


def past(book: Book) -> list[str]:
    """Trips that took place, by start, end and name."""
    names = [t for t, row in book.trips.items() if not row["plan"]]
    return sorted(names, key=lambda t: (book.trips[t]["start_on"], book.trips[t]["end_on"], t))


def used_up(book: Book, gear: Row) -> bool:
    """Whether a thing is eaten or used up, as far as trips that took place say."""
    rows = [
        row["carried_as"] or gear["carried_as"]
        for row in book.carried.to_dict("records")
        if row["item"] == gear["item"] and row["trip"] in past(book)
    ]
    return gear["system"] == "food" or (bool(rows) and {*rows} == {"consumable"})


def failure_counts(book: Book) -> list[Row]:
    """A row an item that came along or failed."""
    broke = [f for f in book.failures.to_dict("records") if f["trip"] in past(book)]
    moved = book.distances.to_dict("records")
    found = []
    for gear in sorted(book.gear.to_dict("records"), key=lambda g: g["item"]):
        item = gear["item"]
        mine = [f for f in broke if f["item"] == item]
        came = set(book.carried["trip"][book.carried["item"] == item])
        stays = {t: along(book, item, t) for t in past(book) if t in came}
        if not mine and (not stays or used_up(book, gear)):
            continue
        measured = {m["trip"] for m in moved}
        known = [t for t in stays if t in measured]
        way = sum(
            m["distance_mm"]
            for t in known
            for m in moved
            if m["trip"] == t and m["day"] in stays[t][0]
        )
        found.append(
            {
                "item": item,
                "nights": sum(len(n) for _, n in stays.values()),
                "distance_km": way / 1e6 if known else None,
                "failures": len(mine),
                **{
                    s: sum(f["severity"] == s for f in mine)
                    for s in ("nuisance", "impaired", "lost_use", "unsafe")
                },
                "mended": sum(
                    f["severity"] in FOR_GOOD and f["fixed_on"] is not None for f in mine
                ),
                "measured_failures": sum(f["trip"] in measured for f in mine),
            }
        )
    return found


def lives(book: Book) -> list[Row]:
    """A row an item that came along: nights of the trips on which it was used, to its end."""
    used: dict[tuple[str, str], Any] = {
        (u["trip"], u["item"]): u["used"] for u in marts_by_hand.trip_item_use(book)
    }
    broke = book.failures.to_dict("records")
    found = []
    for gear in sorted(book.gear.to_dict("records"), key=lambda g: g["item"]):
        item, nights, carried, failed_on, failed = gear["item"], 0, 0, None, False
        came = False
        for trip in past(book):
            mine = [f for f in broke if (f["item"], f["trip"]) == (item, trip)]
            lost = [f for f in mine if f["severity"] in FOR_GOOD and f["fixed_on"] is None]
            there = (trip, item) in used
            came = came or there
            stay = len(along(book, item, trip)[1]) if there else 0
            carried += stay
            if not failed and (used.get((trip, item)) or lost):
                nights += stay
            if lost and not failed:
                failed = True
                days = [f["day"] for f in lost if f["day"] is not None]
                failed_on = min(days) if days else book.trips[trip]["start_on"]
        failures = [f for f in broke if f["item"] == item and f["trip"] in past(book)]
        if came and (failures or not used_up(book, gear)):
            found.append(
                {
                    "item": item,
                    "life_nights": nights,
                    "nights_carried": carried,
                    "failed": failed,
                    "failed_on": failed_on,
                }
            )
    return found
