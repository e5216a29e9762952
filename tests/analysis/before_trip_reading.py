"""Reads the page of a trip to come for its tests: a small logbook, and what the page says."""

import re
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from store_drawing import Tables, carried, gear, trip
from tarebook.analysis.ahead.before_trip import BeforeTrip
from tarebook.analysis.ahead.needs import Consumption
from tarebook.analysis.ahead.page.page import BeforeTripPage, read_before_trip
from tarebook.analysis.ahead.results import Need
from tarebook.analysis.display.checklist import Checklist
from tarebook.analysis.display.sections import Section
from tarebook.analysis.display.words import SPACE, Display
from tarebook.analysis.stats.estimate import Estimate

TODAY = date(2026, 11, 27)
START = date(2027, 6, 4)
SECTIONS = (
    "forgotten",
    "amounts",
    "battery",
    "cold",
    "before_leaving",
    "packing",
    "stays_at_home",
)
ADVICE = re.compile(r"\b(leave|left) (it |them )?(at home|behind)\b|\bdo without\b", re.IGNORECASE)


THINGS = [
    gear("tarp", "shelter", 900_000),
    gear("quilt", "sleep", 700_000),
    gear("mug", "cook", 90_000),
    gear("shirt", "clothing", 200_000, carried_as="worn"),
    gear("sack", "bags", 800_000, name="Sack"),
    gear("bread", "food", 500_000, carried_as="consumable"),
]


def of(*needs: Need) -> Consumption:
    return Consumption(needs, (), (("Bread", "Long one"),))


def read(store: Any, name: str = "", today: date = TODAY, **units: Any) -> BeforeTripPage:
    return read_before_trip(store, name, today=today, display=Display(**units))


def plain(text: str) -> str:
    return text.replace(SPACE, " ")


def points(page: BeforeTripPage) -> dict[str, str]:
    return {p.about: plain(f"{p.answer} {p.more}".strip()) for p in page.opening().points}


def notices(page: BeforeTripPage) -> list[str]:
    return [plain(notice) for notice in page.opening().notices]


def html_of(page: BeforeTripPage) -> str:
    return "".join(each.html() for each in (page.opening(), *sections_of(page)))


def sections_of(page: BeforeTripPage) -> list[Section]:
    return [getattr(page, name)() for name in SECTIONS]


def shown(page: BeforeTripPage) -> set[str]:
    return {name for name in SECTIONS if getattr(page, name)().html()}


def text_of(page: BeforeTripPage) -> str:
    text = re.sub(r"<(script|svg).*?</\1>|<[^>]*>", " ", html_of(page), flags=re.DOTALL)
    return plain(" ".join(text.split()))


def lists_of(section: Section) -> dict[str, list[str]]:
    """The tasks of its checklists by heading, each with what is told of it."""
    return {
        plain(each.heading): [plain(f"{t.what} | {t.about}".rstrip(" |")) for t in each.tasks]
        for each in section.more
        if isinstance(each, Checklist)
    }


def with_data(page: BeforeTripPage, **changed: Any) -> BeforeTripPage:
    """The page of the same trip with some of its data exchanged."""
    data: BeforeTrip | None = page.data
    assert data is not None
    return replace(page, data=replace(data, **changed))


def past(name: str, days_ago: int, nights: int = 2, **more: Any) -> dict[str, Any]:
    return trip(name, TODAY - timedelta(days_ago), nights, mode="foot", **more)


def plan(nights: int = 2, **more: Any) -> dict[str, Any]:
    return trip(
        "next", more.pop("start_on", START), nights, **{"plan": True, "mode": "foot"} | more
    )


def need(**changed: Any) -> Need:
    made = Need(
        system="food",
        item="bread",
        name="Bread",
        unit="g",
        days=3,
        amount=Estimate(1500.0, 1100.0, 2040.0, 0.9),
        take_for_9_in_10=1890.0,
        on_list=1640.0,
        chance_enough=0.7,
        trips=9,
        used_up=3,
        prior_share=0.05,
    )
    return replace(made, **changed)


def like_history() -> Tables:
    """Three trips alike: the tent gave way to the tarp, the mug came once, the quilt always."""
    things = [
        *THINGS[1:],
        gear("tent", "shelter", 1_500_000, retired_on=TODAY - timedelta(20)),
        gear("tarp", "shelter", 900_000, replaces=["tent"], bought_on=TODAY - timedelta(20)),
        gear("flute", "leisure", 300_000, retired_on=TODAY - timedelta(20)),
    ]
    trips = [past(f"t{n}", 30 + 30 * n) for n in range(3)]
    rows = [
        carried(f"t{n}", item, bag="Sack" if item == "quilt" else None, used=1)
        for n in range(3)
        for item in ("tent", "quilt", "flute")
    ]
    rows += [carried("t2", "mug"), carried("t0", "bread", weight_mg=2_000_000)]
    rows += [carried("t1", "bread", weight_mg=1_000_000)]
    return {"gear": things, "trip": [*trips, plan(start_on=TODAY)]} | {"carried": rows}


def stays_rows(page: BeforeTripPage) -> tuple[Any, ...]:
    """The rows of what could stay at home; none where there is no such section."""
    table = page.stays_at_home().table
    return () if table is None else table.rows
