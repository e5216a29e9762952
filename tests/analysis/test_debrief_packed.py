"""What stayed packed, by what that says of it: by hand, and worked out again with pandas."""

import re
from collections import Counter
from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import pandas as pd
import pytest
from hypothesis import given, settings
from store_drawing import Tables, carried, empty_store, fill, gear, logbooks, trip
from tarebook.analysis.debrief.facts import debrief
from tarebook.analysis.debrief.load import RELIED_ON, never_out
from tarebook.analysis.debrief.page.page import DebriefPage
from tarebook.analysis.debrief.page.words import PACKED_GROUPS
from tarebook.analysis.display.words import Display
from tarebook.analysis.store.rows import ask
from tarebook.analysis.usage.leaving import held_back
from tarebook.analysis.usage.outputs import usage_rows
from tarebook.analysis.weigh_up.unmarked import NONE_MARKED

TODAY = date(2026, 6, 1)
DEMO_DAY = date(2026, 11, 26)
MAY = date(2026, 5, 1)
GROUPS = ("could_stay", "no_weather", "stays_listed", "given_up", "not_needed")


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
        "could_stay": [],
        "no_weather": ["coat"],
        "stays_listed": ["knife", "torch"],
        "given_up": [],
        "not_needed": ["book"],
    }


@pytest.mark.parametrize("wet", [(True, False), (False, None), ()])
def test_weather_that_came_or_is_not_known_did_not_stay_away(store: Any, wet: Any) -> None:
    found = groups_of(store, packed(wet))
    assert found["no_weather"] == []
    assert "coat" in found["stays_listed"] + found["not_needed"]


def many_trips(*, used: int = 0) -> Tables:
    """Thirty trips like the first one, on rainy days, the book taken out on so many of them."""
    one = packed((True, True))
    cape = gear("cape", "rain", 200_000, meant_for=["wet"])
    one["gear"].append(cape)
    one["carried"].append(carried("fell", "cape", used=1))
    return {
        "gear": one["gear"],
        "trip": [trip("fell", MAY, 1, mode="foot")]
        + [trip(f"t{n}", MAY - timedelta(days=7 * n), 1, mode="foot") for n in range(1, 30)],
        "carried": one["carried"]
        + [
            {**row, "trip": f"t{n}", "used": int(row["item"] in ("tent", "cape") or (
                row["item"] == "book" and n <= used))}
            for n in range(1, 30)
            for row in one["carried"]
        ],
        "weather": [
            {**row, "trip": f"t{n}" if n else "fell", "day": row["day"] - timedelta(days=7 * n)}
            for n in range(30)
            for row in one["weather"]
        ],
    }  # fmt: skip


def test_what_could_have_stayed_is_what_todays_verdict_leaves(store: Any) -> None:
    assert groups_of(store, many_trips())["could_stay"] == ["book"]
    verdicts = {row["item"]: row["verdict"] for row in usage_rows(store, TODAY)}
    assert verdicts["coat"] == "leave", "and yet it rained, so that nothing is said of it"
    out = debrief(store, "fell", TODAY).never_out
    assert out is not None
    assert ("coat", None) in [(row["item"], row["why"]) for row in out.not_needed]
    found = groups_of(store, many_trips(used=20))
    assert found["could_stay"] == []
    assert "book" in found["stays_listed"], "kept by its verdict"


def test_too_few_trips_are_no_word_against_a_thing(store: Any) -> None:
    fill(store, packed())
    out = debrief(store, "fell", TODAY).never_out
    assert out is not None
    ((item, why),) = [(row["item"], row["why"]) for row in out.not_needed]
    assert item == "book"
    assert why.startswith("Never used on 1 occasion")
    opening = DebriefPage(debrief(store, "fell", TODAY), Display()).opening()
    (told,) = (p.more for p in opening.points if p.about == "Never taken out")
    assert told.endswith("One trip cannot say whether the other one is needed.")


def test_what_was_given_up_since_is_not_told_to_be_taken_again(store: Any) -> None:
    tables = packed()
    tables["gear"][5]["retired_on"] = MAY + timedelta(days=20)
    assert groups_of(store, tables)["given_up"] == ["torch"]
    page = DebriefPage(debrief(store, "fell", TODAY), Display())
    told = page.never_out().answer
    name = next(row["name"] for row in page.data.gear if row["item"] == "torch")
    assert f"Given up since: “{name}”." in told
    assert not any(line.startswith("Take ") and name in line for line in told)
    (point,) = (p for p in page.opening().points if p.about == "Never taken out")
    names = {row["item"]: f"“{row['name']}”" for row in page.data.gear}
    assert point.more == (
        f"The weather for {names['coat']} did not come. Take {names['knife']} again. "
        f"Given up since: “{name}”. One trip cannot say whether the other one is needed."
    )


def test_what_a_verdict_leaves_but_not_on_such_a_trip_has_its_reason(store: Any) -> None:
    fill(store, many_trips())
    page = DebriefPage(debrief(store, "fell", TODAY), Display())
    table = page.never_out().table
    assert table is not None
    text = table.html()
    assert "Not settled by one trip" in text
    assert "says leave it at home, but the weather it is for came." in text


@pytest.fixture(scope="module")
def demo_debriefs(demo: Any) -> list[Any]:
    made = [debrief(demo, one["trip"], DEMO_DAY) for one in ask(demo, "store/trips_by_start")
            if not one["plan"]]  # fmt: skip
    assert len(made) > 20
    return made


def test_no_debrief_of_the_demo_speaks_against_what_the_cull_keeps(
    demo: Any, demo_debriefs: list[Any]
) -> None:
    verdicts = {row["item"]: row["verdict"] for row in usage_rows(demo, DEMO_DAY)}
    held = held_back(demo, DEMO_DAY)
    meant = {row["item"]: row["meant_for"] for row in demo.execute(
        "SELECT item, meant_for FROM stg_gear").fetchdf().to_dict("records")}  # fmt: skip
    named = 0
    for data in demo_debriefs:
        for row in data.never_out.could_stay if data.never_out else ():
            named += 1
            assert verdicts[row["item"]] == "leave", (data.trip.trip, row["item"])
            assert row["item"] not in held
            assert row["system"] not in RELIED_ON
            assert not set(meant[row["item"]]) - {"any"}, "one trip says nothing of its weather"
    assert named > 20


def test_what_is_for_rain_is_not_named_on_a_wet_trip(demo_debriefs: list[Any]) -> None:
    wet = dry = 0
    for data in demo_debriefs:
        if data.never_out is None or "umbrella" not in {r["item"] for r in data.never_out.items}:
            continue
        page = DebriefPage(data, Display())
        told = " ".join([*page.never_out().answer, *(p.more for p in page.opening().points)])
        if "umbrella" in {row["item"] for row in data.never_out.no_weather}:
            dry += 1
        else:
            wet += 1
            assert "Trekking umbrella" not in told, data.trip.trip
            assert "One trip cannot say whether" in told
    assert wet > 5
    assert dry > 5


SENTENCES = {
    "could_stay": r"(?:(?P<n>\d+) could have stayed at home: .*|“.*” could have stayed at home\.)",
    "no_weather": r"(?:For (?P<n>\d+)|The weather for “.*”).* did not come\.",
    "stays_listed": r"Take (?:(?P<n>\d+)|“.*”|(?P<all>it|them)) again\.",
    "given_up": r"(?:(?P<n>\d+) were given up since: .*|Given up since: “.*”\.)",
    "not_needed": r"One trip cannot say whether "
    r"(?:the other (?:(?P<n>\d+) are|one is)|(?P<all>it is|they are)) needed\.",
}


def counted(told: str, many: int) -> dict[str, int]:
    """How many things each sentence of the opening counts, by group, in a trip's ``many``."""
    found = {}
    for sentence in re.split(r"(?<=\.) (?=[A-Z“\d])", told):
        ((key, match),) = [
            (key, match)
            for key, text in SENTENCES.items()
            if (match := re.fullmatch(text, sentence))
        ]
        of = match.groupdict()
        found[key] = many if of.get("all") else int(of.get("n") or 1)
    return found


def test_the_numbers_of_every_debrief_are_those_of_its_table_and_add_up(
    demo_debriefs: list[Any],
) -> None:
    seen = 0
    for data in demo_debriefs:
        page, out = DebriefPage(data, Display()), data.never_out
        (point,) = [p for p in page.opening().points if p.about == "Never taken out"] or [None]
        if out is None or point is None or not out.items:
            continue
        table = page.never_out().table
        assert table is not None
        rows = Counter(table.frame()["Group"])
        told = counted(point.more, len(out.items))
        assert {PACKED_GROUPS[key]: many for key, many in told.items()} == rows, data.trip.trip
        assert sum(told.values()) == sum(rows.values()) == len(out.items)
        assert point.answer.removeprefix("At least ").startswith(f"{len(out.items)} thing")
        seen += 1
    assert seen > 20


def test_a_reason_of_many_things_is_told_once(demo_debriefs: list[Any]) -> None:
    often = 0
    for data in demo_debriefs:
        section = DebriefPage(data, Display()).never_out()
        if section.table is None or "Why it stays" not in section.table.frame():
            continue
        reasons = Counter(section.table.frame()["Why it stays"].dropna())
        for reason, many in reasons.items():
            if many > 2:
                often += 1
                (line,) = [
                    each for each in section.answer if each.startswith(f"{reason}, of {many} ")
                ]
                assert line.endswith(".")
    assert often > 10


def test_of_what_one_relies_on_nothing_could_have_stayed() -> None:
    def row(item: str, system: str, used: bool, **more: Any) -> dict[str, Any]:
        shared = {"insurance": False, "known": True, "on_me": True, "unweighed": False}
        return {"item": item, "system": system, "used": used, "start_mg": 1, "consumable_rows": 0,
                **shared, **more}  # fmt: skip

    lamp = row("lamp", "light", used=False)
    beside = (
        [],
        [row("torch", "light", used=True)],
        [row("glow", "light", used=False, insurance=True)],
        [row("candle", "light", used=True, consumable_rows=1)],
    )
    for others in beside:
        out = never_out([lamp, *others])
        assert out is not None
        assert out.could_stay == []
        assert [g["item"] for g in out.not_needed] == ["lamp"]
    for system in RELIED_ON:
        out = never_out([row("thing", system, used=False), row("mug", "cook", used=False)])
        assert out is not None
        assert [g["item"] for g in out.could_stay] == ["mug"], system
    out = never_out([row("vest", "boat", used=False), row("whistle", "leisure", used=False)])
    assert out is not None
    assert out.could_stay == [], "by its name it keeps afloat, or is heard"


def test_the_weather_of_a_thing_must_be_known_to_say_anything_of_it() -> None:
    row = {"item": "fan", "system": "leisure", "used": False, "insurance": False, "known": True,
           "on_me": True, "unweighed": False, "start_mg": 1, "consumable_rows": 0}  # fmt: skip
    for came, group in ((True, "not_needed"), (None, "not_needed"), (False, "no_weather")):
        out = never_out([row], came={"fan": came})
        assert out is not None
        assert [key for key in GROUPS if getattr(out, key)] == [group]


def test_what_must_not_be_advised_against_says_why(store: Any) -> None:
    fill(store, packed())
    out = debrief(store, "fell", TODAY).never_out
    assert out is not None
    reasons = held_back(store, TODAY)
    why = {row["item"]: row["why"] for row in out.stays_listed}
    assert why["knife"] == reasons["knife"]
    assert why["knife"].startswith("You have not said what it is for")
    assert "book" not in reasons


@settings(max_examples=6)  # each draws several debriefs
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
        left = {r["item"] for r in usage_rows(store, TODAY) if r["verdict"] == "leave"}
        assert found["could_stay"] <= left
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


def test_a_load_of_which_nothing_is_marked_has_no_class(store: Any) -> None:
    tables = packed()
    shirt = gear("shirt", "clothing", 200_000, carried_as="worn")

    def base_weight() -> tuple[str, str]:
        opening = DebriefPage(debrief(store, "fell", TODAY), Display()).opening()
        (point,) = (each for each in opening.points if each.about == "Base weight")
        return point.answer.replace("\u202f", " "), point.more

    fill(store, tables)
    assert base_weight() == ("1.61 kg.", NONE_MARKED)
    rows = [*tables["carried"], carried("fell", "shirt", used=1)]
    fill(store, tables | {"gear": [*tables["gear"], shirt], "carried": rows})
    assert base_weight() == ("1.61 kg, super-ultralight.", "")
