"""A way of travelling has one name on pages, in tables and in pictures."""

import json
import re
from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import pytest
from store_drawing import carried, empty_store, fill, gear, trip
from tarebook.analysis.base_weight.page.page import read_trend
from tarebook.analysis.debrief.page.page import read_debrief
from tarebook.analysis.display.sections import Section
from tarebook.analysis.display.theme import NARROW, WIDE
from tarebook.analysis.display.words import Display
from tarebook.analysis.store.scope import BY_MODE, way_label
from tarebook.tripdata.contract import MODES

TODAY = date(2026, 11, 27)
FILE_WORDS = re.compile(r"[>\"](?:Foot|Bike|E-bike|Paddle|Mixed)(?:[<\"]|, \d)|paddle and mixed")
"""The words of the files, as a cell, a legend or in a list."""


def test_every_way_has_its_name() -> None:
    assert set(BY_MODE) == set(MODES)
    assert [way_label(mode) for mode in MODES] == [
        "On foot", "By bike", "By e-bike", "By boat", "By several means",
    ]  # fmt: skip
    assert way_label(None) == "Not noted"


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    start = date(2024, 5, 3)
    trips = [
        trip(f"t{n:02d}", start + timedelta(30 * n), 2, mode=MODES[n % len(MODES)])
        for n in range(25)
    ]
    last = trips[-1]["trip"]
    days = [
        {"trip": last, "day": trips[-1]["start_on"] + timedelta(n), "mode": mode,
         "distance_mm": 9_000_000 + n}
        for n, mode in enumerate(MODES[:3])
    ]  # fmt: skip
    rows = [carried(t["trip"], item) for t in trips for item in ("tarp", "mug")]
    with empty_store() as made:
        things = [gear("tarp", "shelter", 900_000), gear("mug", "cook", 80_000)]
        fill(made, {"gear": things, "trip": trips, "carried": rows, "distances": days})
        yield made


def shown(section: Section) -> str:
    pieces = [*section.answer, *section.notes]
    tables = [section.table, *section.more]
    pieces += [each.html() for each in tables if each is not None and hasattr(each, "html")]
    figures = [each for each in (section.figure, *section.more) if hasattr(each, "spec")]
    for each in figures:
        pieces += [json.dumps(each.spec(layout)) for layout in (WIDE, NARROW)]
    return "\n".join(pieces)


def test_pages_name_ways_as_people_do(store: Any) -> None:
    debrief = read_debrief(store, "t24", today=TODAY, display=Display())
    trend = read_trend(store, display=Display())
    pages = {
        "days": shown(debrief.days()),
        "story": shown(debrief.story()),
        "trips": shown(trend.as_carried()),
        "fit": shown(trend.like_for_like()),
        "ways": shown(trend.by_mode()),
    }
    assert ">By e-bike<" in pages["days"]
    assert '"By e-bike"' in pages["story"]
    assert ">By several means<" in pages["trips"]
    assert ">By boat<" in pages["ways"]
    for name, text in pages.items():
        assert FILE_WORDS.findall(text) == [], name
