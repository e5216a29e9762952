"""What the page and tables say of a plan of a season not seen, beside what is true there."""

from datetime import date

import pandas as pd
from tarebook.analysis import open_logbook
from tarebook.analysis.ahead.page.page import read_before_trip
from tarebook.analysis.display.words import Display
from tarebook.analysis.store.opening import open_store
from tarebook.tripdata.store import store_path
from worlds import loaded
from worlds_outside import PLAN, Outside

ASKED_ON = date(2026, 12, 28)
LIKELY, TOLD_UNLIKELY = 0.5, 0.25


def outside_tried(made: Outside) -> dict[str, bool]:
    """Yes or no to each question, by what is printed of it."""
    with loaded(made.book) as folder:
        with open_logbook(folder) as logbook:
            rows = logbook.table("trip_needs", trip=PLAN).to_dict("records")
            names = logbook.table("forgotten", trip=PLAN)
        bare = [row for row in rows if not pd.isna(row["system"])]
        take = {
            row["system"]: row["at_least"]
            if pd.isna(row["take_for_9_in_10"])
            else row["take_for_9_in_10"]
            for row in bare
        }
        claims = [row for row in bare if not pd.isna(row["take_for_9_in_10"])]
        with open_store(store_path(folder)) as store:
            page = read_before_trip(store, PLAN, today=ASKED_ON, display=Display())
            opening, chance = page.opening(), page.data and page.data.cold.told
        said = " ".join(
            [*opening.notices, *(f"{point.answer} {point.more}" for point in opening.points)]
        )
    told = None if not chance else chance.p_any.value
    colder = "eat more and burn more gas" in said
    warned = colder or "How cold" in said or "no rating" in said or "is not known" in said
    tried = {
        **{
            f"{what} short": need > take[system]
            for what, system, need in (("food", "food", made.food_g), ("gas", "cook", made.gas_g))
            if system in take
        },
        "tells no amount of food": "food" not in take,
        "tells an amount as enough on nine in ten": bool(claims) or "nine such trips" in said,
        "says none was like it": "No trip before was like this one" in said,
        "says that more is eaten and burnt where it is colder": colder,
        "no chance of cold told": told is None,
        "cold surprise": made.p_too_cold > LIKELY
        and ((told is not None and told < TOLD_UNLIKELY) or (told is None and not warned)),
        "a too cold night likelier than not": made.p_too_cold > LIKELY,
        "names as sure what it cannot know": "almost certainly" in said or "such trips" in said,
    }
    if made.lacks:
        named = set(names["item"].dropna())
        tried["warmest clothing named"] = bool(named & set(made.lacks))
    return tried
