"""Logbooks drawn at random with what decides whether a thing may be left at home.

As `store_drawing` has them, and beside: what things are meant for, whose they are, what they need,
what they cost if missed, which are given up, and what was missed at home.
"""

from datetime import date
from typing import Any

from hypothesis import strategies as st
from store_drawing import Tables, logbooks

SYSTEMS = (
    "shelter",
    "sleep",
    "rain",
    "clothing",
    "leisure",
    "first_aid",
    "food",
    "bags",
    "cook",
    "other",
)
MEANT = (
    ["any"],
    ["any"],
    ["wet"],
    ["cold"],
    ["bugs"],
    ["snow", "wet"],
    ["wet", "cold"],
    ["cold", "bugs"],
    ["ford"],
)
TODAY = date(2020, 4, 1)


def _maybe(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.none() | strategy


@st.composite
def seasons(draw: st.DrawFn) -> Tables:
    """The tables of one small logbook; what is meant for cold has a low under which, or not."""
    tables = draw(logbooks())
    items = [g["item"] for g in tables["gear"]]
    for row in tables["gear"]:
        row |= {
            "system": draw(st.sampled_from(SYSTEMS)),
            "essential": draw(_maybe(st.booleans())),
            "insurance": draw(st.sampled_from((None, None, False, False, True))),
            "meant_for": draw(st.sampled_from(MEANT)),
            "cold_below_c": draw(_maybe(st.sampled_from((-5.0, 0.0, 10.0)))),
            "going_without": draw(_maybe(st.sampled_from((0.0, 0.5, 1.0, 3.0, 10.0)))),
            "owner": draw(st.sampled_from((None, None, None, "Ann"))),
            "needs": draw(_maybe(st.lists(st.sampled_from([*items, "gone"]), max_size=2))),
            "retired_on": draw(st.sampled_from((None, None, None, TODAY, date(2030, 1, 1)))),
        }
    trips = [t["trip"] for t in tables["trip"]]
    if trips:
        missed = st.builds(
            dict,
            trip=st.sampled_from(trips),
            item=_maybe(st.sampled_from(items)),
            what=st.sampled_from((None, "a dry sock")),
        )
        rows = draw(st.lists(missed, max_size=4))
        tables["wished"] = [w for w in rows if w["item"] or w["what"]]
    return tables
