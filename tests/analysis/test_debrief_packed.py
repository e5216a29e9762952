"""What stayed packed, by what that says of it: by hand, and worked out again with pandas."""

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import pandas as pd
import pytest
from hypothesis import given, settings
from store_drawing import Tables, carried, empty_store, fill, gear, logbooks, trip
from tarebook.analysis.debrief.facts import debrief
from tarebook.analysis.debrief.load import never_out
from tarebook.analysis.usage.leaving import held_back

TODAY = date(2026, 6, 1)
MAY = date(2026, 5, 1)
GROUPS = ("could_stay", "no_weather", "stays_listed")


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def packed(wet: tuple[bool | None, ...] = (False, False)) -> Tables:
    """A trip of two days with everything but the tent unused; weather of each day that is known."""
    things = [
        gear("tent", "shelter", 900_000, essential=True),
        gear("book", "leisure", 250_000),
        gear("coat", "rain", 300_000, meant_for=["wet"]),
        gear("whistle", "safety", 9_000, insurance=True),
        gear("knife", "safety", 80_000, essential=None),
        gear("torch", "light", 70_000),
    ]
    return {
        "gear": things,
        "trip": [trip("fell", MAY, 1, mode="foot")],
        "carried": [
            carried("fell", row["item"], used=int(row["item"] == "tent")) for row in things
        ],
        "weather": [
            {"trip": "fell", "day": MAY + timedelta(days=n), "wet": each}
            for n, each in enumerate(wet)
            if each is not None
        ],
    }


def groups_of(store: Any, tables: Tables) -> dict[str, list[str]]:
    fill(store, tables)
    out = debrief(store, "fell", TODAY).never_out
    assert out is not None
    return {key: [row["item"] for row in getattr(out, key)] for key in GROUPS}


def test_dry_days_are_no_word_against_a_rain_coat(store: Any) -> None:
    assert groups_of(store, packed()) == {
        "could_stay": ["book"],
        "no_weather": ["coat"],
        "stays_listed": ["knife", "torch"],
    }


@pytest.mark.parametrize("wet", [(True, False), (False, None), ()])
def test_weather_that_came_or_is_not_known_did_not_stay_away(store: Any, wet: Any) -> None:
    found = groups_of(store, packed(wet))
    assert found["no_weather"] == []
    assert "coat" not in found["could_stay"], "the only one for rain that came along"


def test_of_what_one_relies_on_something_stays() -> None:
    def row(item: str, system: str, used: bool, **more: Any) -> dict[str, Any]:
        shared = {"insurance": False, "known": True, "on_me": True, "unweighed": False}
        return {"item": item, "system": system, "used": used, "start_mg": 1, "consumable_rows": 0,
                **shared, **more}  # fmt: skip

    lamp = row("lamp", "light", used=False)
    beside = (
        ([], False),
        ([row("torch", "light", used=True)], True),
        ([row("glow", "light", used=False, insurance=True)], False),
        ([row("candle", "light", used=True, consumable_rows=1)], False),
    )
    for others, may_stay in beside:
        out = never_out([lamp, *others])
        assert out is not None
        assert [g["item"] for g in out.could_stay] == (["lamp"] if may_stay else [])
        kept = [(g["item"], g["why"]) for g in out.stays_listed]
        assert kept == ([] if may_stay else [("lamp", "Nothing else of its kind came along.")])


def test_what_must_not_be_advised_against_says_why(store: Any) -> None:
    fill(store, packed())
    out = debrief(store, "fell", TODAY).never_out
    assert out is not None
    reasons = held_back(store, TODAY)
    why = {row["item"]: row["why"] for row in out.stays_listed}
    assert why["knife"] == reasons["knife"]
    assert why["knife"].startswith("You have not said what it is for")
    assert "book" not in reasons


@settings(max_examples=6, deadline=None)  # each draws several debriefs
@given(tables=logbooks())
def test_the_groups_are_those_worked_out_with_pandas(store: Any, tables: Tables) -> None:
    """Each unused thing is in one group; what is meant for rain is judged by the days alone."""
    fill(store, tables)
    reasons = held_back(store, TODAY)
    weather = pd.DataFrame(tables.get("weather", []), columns=["trip", "day", "wet", "rain_mm"])
    for one in tables["trip"]:
        if one["plan"]:
            continue
        data = debrief(store, one["trip"], TODAY)
        out = data.never_out
        if out is None:
            continue
        found = {key: {row["item"] for row in getattr(out, key)} for key in GROUPS}
        every = {row["item"] for row in out.items}
        assert set().union(*found.values()) == every
        assert sum(map(len, found.values())) == len(every)
        assert not found["could_stay"] & reasons.keys()
        assert not found["no_weather"] & {g["item"] for g in data.insurance}
        days = pd.Series(pd.date_range(one["start_on"], one["end_on"]).date)
        here = weather[weather["trip"] == one["trip"]].set_index("day")
        told = here["wet"].where(
            here["wet"].notna(), here["rain_mm"].ge(1).where(here["rain_mm"].notna())
        )
        by_day = days.map(told)
        dry = bool(by_day.notna().all() and not by_day.dropna().astype(bool).any())
        for row in tables["gear"]:
            partly = any(
                c["trip"] == one["trip"] and c["item"] == row["item"]
                and (c.get("from_day") or c.get("until_day"))
                for c in tables["carried"]
            )  # fmt: skip
            if row["item"] in every and set(row["meant_for"]) == {"wet"} and not partly:
                assert (row["item"] in found["no_weather"]) == dry
            if row["item"] in every and "any" in row["meant_for"]:
                assert row["item"] not in found["no_weather"]
