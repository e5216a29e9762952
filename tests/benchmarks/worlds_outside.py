"""Invented campers whose trips were all of one season, and a plan of the other one.

Written by plain thresholds: a night is too cold where its low lies under what the camper bears in
the bag that is packed, give or take a little luck; winter takes so many times as much food and gas
as summer; a winter trip needs its warm things whatever the summers had. Nothing of it is the form
or the prior of a model.

"winter": ten summers, and a plan in January or February in the summer's bag and without warm
things, as habit would pack it. "summer": winters, and a plan in July in the winter's bag. Blank:
the same with no column but the required ones.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

import numpy as np
from worlds import PLACE, Book, lows, nights_of_trip

Coming = Literal["winter", "summer"]
MONTHS: dict[Coming, tuple[int, ...]] = {"winter": (1, 2), "summer": (7,)}
BEFORE: dict[Coming, tuple[int, ...]] = {"winter": (6, 7, 8), "summer": (12, 1, 2)}
WARM = (("down-jacket", "clothing", 380), ("mittens", "clothing", 90), ("warm-hat", "clothing", 60))
ALWAYS = (
    ("tent", "shelter", 1500),
    ("mat", "sleep", 450),
    ("stove", "cook", 95),
    ("rain-jacket", "rain", 300),
    ("headlamp", "light", 80),
    ("plasters", "first_aid", 40),
    ("map", "navigation", 60),
)
BAGS = {"summer-bag": (900, 8.0), "winter-bag": (1400, -6.0)}
PLAN, GAS = "the-plan", "gas"
LUCK_C = 1.2
BLANKS: dict[str, Sequence[str]] = {
    "gear": ["carried_as", "rated_low_c", "rated_as"],
    "trip": ["mode", "latitude", "longitude", "elevation_m"],
    "weather": ["*"],
    "comfort": ["*"],
}
"""All that is not required, but what food and gas came home: without it no amount is learnt."""


@dataclass
class Outside:
    """A logbook and the truth of its plan: what it takes, and how likely a night is too cold."""

    book: Book
    bag: str
    food_g: float
    gas_g: float
    p_too_cold: float
    lacks: tuple[str, ...]


def outside(coming: Coming, trips: int, rng: np.random.Generator, *, blank: bool) -> Outside:
    """A camper's log of so many trips of one season and a plan of the other."""
    food, gas = 680 * np.exp(rng.normal(0, 0.25)), 17 * np.exp(rng.normal(0, 0.35))
    more = {"food": rng.uniform(1.05, 1.35), GAS: rng.uniform(1.3, 2.5)}  # in winter
    bears = {bag: rated + rng.normal(0, 2.0) for bag, (_, rated) in BAGS.items()}
    spare = rng.uniform(0.1, 0.5)
    book = Book()
    for item, system, grams in (*ALWAYS, *WARM):
        book.add("gear", item=item, system=system, weight_g=grams)
    for bag, (grams, rated) in BAGS.items():
        book.add(
            "gear", item=bag, system="sleep", weight_g=grams, rated_low_c=rated, rated_as="limit"
        )
    for item, system in (("food", "food"), (GAS, "cook")):
        book.add("gear", item=item, system=system, weight_g=500, carried_as="consumable")
    wintry = coming == "summer"  # the trips before
    bag = "summer-bag" if coming == "winter" else "winter-bag"
    for n in range(trips):
        month = int(rng.choice(BEFORE[coming]))
        start = date(2026 - n, month, int(rng.integers(1, 20)))
        nights = min(5, nights_of_trip(rng, 2.5))
        name = f"t{n:02d}"
        _trip(book, name, start, nights)
        for day, low in enumerate(lows(rng, start, nights)):
            cold = low + LUCK_C * rng.normal() < bears[bag]
            on = start + timedelta(day)
            book.add("weather", trip=name, day=on, low_c=low)
            book.add(
                "comfort",
                trip=name,
                day=on,
                aspect="sleep",
                score=2 if cold else 4,
                warmth=-2 if cold else 0,
            )
        items = [item for item, *_ in ALWAYS] + [bag]
        items += [item for item, *_ in WARM] if wintry else []
        for item in items:
            book.add("carried", trip=name, item=item)
        for item, median, units in (("food", food, nights + 1), (GAS, gas, nights)):
            need = _need(median, units, more[item] if wintry else 1.0, rng)
            taken = round(need * np.exp(spare + abs(rng.normal(0, 0.15))))
            left = max(0, round(taken - need))
            book.add("carried", trip=name, item=item, weight_g=taken, brought_home_g=left)
    start = date(2027, int(rng.choice(MONTHS[coming])), int(rng.integers(1, 25)))
    nights = 3
    _trip(book, PLAN, start, nights, "yes")
    lacks = tuple(item for item, *_ in WARM) if coming == "winter" else ()
    for item in [item for item, *_ in ALWAYS] + [bag]:
        book.add("carried", trip=PLAN, item=item)
    winter = coming == "winter"
    drawn = np.array([lows(rng, start, nights) for _ in range(300)])
    luck = LUCK_C * rng.normal(size=drawn.shape)
    return Outside(
        book.without(BLANKS) if blank else book,
        bag,
        _need(food, nights + 1, more["food"] if winter else 1.0, rng),
        _need(gas, nights, more[GAS] if winter else 1.0, rng),
        float(np.mean((drawn + luck < bears[bag]).any(axis=1))),
        lacks,
    )


def _need(median: float, units: int, times: float, rng: np.random.Generator) -> float:
    """The sum of its days, each a little different, times what the season adds."""
    days = np.exp(rng.normal(0, 0.3, units))
    return float(median * times * np.exp(rng.normal(0, 0.15)) * days.sum())


def _trip(book: Book, name: str, start: date, nights: int, plan: str | None = None) -> None:
    book.add(
        "trip",
        trip=name,
        start_on=start,
        end_on=start + timedelta(nights),
        mode="foot",
        latitude=PLACE[0],
        longitude=PLACE[1],
        elevation_m=PLACE[2],
        plan=plan,
    )
