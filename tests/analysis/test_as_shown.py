"""Figures of a trip to come add up as they are shown; its lists give no leave they should not."""

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from store_drawing import Tables, carried, empty_store, fill, gear, trip
from tarebook.analysis.ahead.page import amount_words as much
from tarebook.analysis.ahead.page.page import BeforeTripPage, read_before_trip
from tarebook.analysis.ahead.results import Need
from tarebook.analysis.cold.words import lacking_sentences
from tarebook.analysis.display.checklist import Checklist
from tarebook.analysis.display.tables import Table
from tarebook.analysis.display.words import SPACE, Display, large_mass
from tarebook.analysis.stats.estimate import Estimate
from tarebook.analysis.tables import entry
from tarebook.analysis.weigh_up.page.page import read_weigh_up
from tarebook.analysis.weigh_up.weighing import weigh_up
from tarebook.tripdata.errors import QuestionError

TODAY = date(2026, 11, 27)
START = date(2027, 6, 4)
GRAMS, OUNCES = Display(), Display("oz", "f", "mi")


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def plain(text: str) -> str:
    return text.replace(SPACE, " ")


def plan(nights: int = 2, **more: Any) -> dict[str, Any]:
    return trip("next", START, nights, **{"plan": True, "mode": "foot"} | more)


def need(**changed: Any) -> Need:
    made: dict[str, Any] = {
        "system": "cook",
        "item": "coffee",
        "name": "Coffee",
        "unit": "g",
        "days": 3,
        "amount": Estimate(28.0, 20.4, 38.6, 0.9),
        "take_for_9_in_10": 40.0,
        "on_list": 36.0,
        "chance_enough": 0.92,
        "trips": 9,
        "used_up": 0,
        "prior_share": 0.1,
    }
    return Need(**{**made, **changed})


def test_what_does_for_nine_in_ten_lies_within_its_range_as_shown() -> None:
    assert plain(much.amount_range(need(), GRAMS)) == "20 to 40 g"
    # An end that would be nothing stays what it is.
    assert plain(much.amount_range(need(amount=Estimate(20.0, 6.0, 29.0, 0.9)), GRAMS)) == (
        "6 to 30 g"
    )


def test_what_is_short_of_it_is_to_buy_whatever_it_is() -> None:
    assert not much.does(need())
    assert not much.does(need(on_list=39.0, chance_enough=None))
    assert much.does(need(on_list=40.0))
    # 1.885 kg and 1.89 kg are told alike.
    assert much.does(need(on_list=1885.0, take_for_9_in_10=1890.0))


def test_without_a_trip_common_practice_has_one_wording() -> None:
    bare = need(trips=0, amount=Estimate(2800.0, 990.0, 7890.0, 0.9), take_for_9_in_10=6200.0)
    told = plain(much.common_practice(bare, GRAMS))
    assert told == "Common practice: about 2.80 kg, seldom over 6.20 kg"


def page_of(store: Any, display: Display = GRAMS) -> BeforeTripPage:
    return read_before_trip(store, "next", today=TODAY, display=display)


def test_weather_gives_no_leave_for_the_only_bag_or_jacket(store: Any) -> None:
    meant = {"meant_for": ["cold"], "cold_below_c": 5.0}
    things = [
        gear("bag", "sleep", **meant),
        gear("tent", "shelter", meant_for=["wet"]),
        gear("jacket", "rain", meant_for=["wet"]),
        gear("down", "clothing", **meant),
    ]
    rows = [carried("next", thing["item"]) for thing in things]
    fill(store, {"gear": things, "trip": [plan()], "carried": rows})
    table = page_of(store).packing().more[-1]
    assert isinstance(table, Table)
    assert [row["things"] for row in table.rows] == ["“Down”"]
    assert table.caption == "What the weather may call for, none of which is to stay at home"


def test_a_bag_over_its_limit_says_what_of_it_is_the_bag(store: Any) -> None:
    things = [
        gear("seat-pack", "bags", 380_000, name="Seat pack"),
        gear("tent", "shelter", 3_069_000),
    ]
    rows = [carried("next", "seat-pack"), carried("next", "tent", bag="seat pack")]
    fill(store, {"gear": things, "trip": [plan()], "carried": rows})
    for limit, told in (
        (3000.0, "“Seat pack” holds 3.07 kg without its own weight, 69 g over your limit of 3.00"),
        (3200.0, "“Seat pack” holds 3.07 kg without its own weight and 3.45 kg with it: over"),
    ):
        store.execute("DELETE FROM settings")
        store.execute("INSERT INTO settings VALUES ('limits.seat pack', ?)", [repr(limit)])
        try:
            page = page_of(store)
            points = {p.about: plain(f"{p.answer} {p.more}") for p in page.opening().points}
        finally:
            store.execute("DELETE FROM settings")
        assert points["Your limits"].startswith(told)
        assert points["Your limits"].endswith("A rack’s limit includes the bag.")
        heads = [plain(each.heading) for each in page.packing().more if isinstance(each, Checklist)]
        assert heads == ["Seat pack: 3.45 kg with the bag itself"]


def test_a_plan_without_a_list_is_beside_no_limit(store: Any) -> None:
    fill(store, {"gear": [gear("bike", "bike")], "trip": [plan()]})
    store.execute("INSERT INTO settings VALUES ('limits.bike', '9000')")
    try:
        page = read_weigh_up(store, "next", today=TODAY, display=GRAMS)
        assert page.bags.vehicles == ()
        assert not page.by_bag().answer
    finally:
        store.execute("DELETE FROM settings")


def test_things_are_in_ounces_and_sums_in_pounds(store: Any) -> None:
    things = [gear("tent", "shelter", 608_000), gear("quilt", "sleep", 374_000)]
    rows = [carried("next", thing["item"], bag="Sack") for thing in things]
    fill(store, {"gear": things, "trip": [plan()], "carried": rows})
    lists = [e for e in page_of(store, OUNCES).packing().more if isinstance(e, Checklist)]
    sack = lists[-1]
    assert plain(sack.heading) == "Sack: 2.16 lb"
    assert [plain(task.about) for task in sack.tasks] == ["21.4 oz", "13.2 oz"]


def test_a_difference_is_that_of_the_figures_beside_it(store: Any) -> None:
    """10.856 and 12.664 lb are shown as 10.86 and 12.66 (arithmetic), 1.80 apart, not 1.81."""
    grams = [round(pounds * 453_592.37) for pounds in (10.856, 12.664)]
    things = [gear("a", "shelter", grams[0]), gear("b", "shelter", grams[1])]
    trips = [plan(), trip("other", START, 2, plan=True, mode="foot")]
    rows = [carried("next", "a"), carried("other", "b")]
    fill(store, {"gear": things, "trip": trips, "carried": rows})
    page = read_weigh_up(store, "next", against="other", today=TODAY, display=OUNCES)
    table = page.side_by_side().table
    assert table is not None
    scale = large_mass(OUNCES)
    for row in table.rows:
        here, there = (float(scale.number(row[side])) for side in ("here", "there"))
        more = float(scale.number(row["more"], signed=True).replace("−", "-"))
        assert more == pytest.approx(here - there)
    assert "1.80 lb less" in plain(" ".join(page.side_by_side().answer))


def test_no_total_repeats_another(store: Any) -> None:
    things = [gear("tent", "shelter"), gear("sack", "bags"), gear("bike", "bike")]
    things[2]["carried_as"] = "vehicle"
    fill(store, {"gear": things})

    def names(**asked: str) -> list[str]:
        return [t.name for t in weigh_up(store, today=TODAY, **asked).telling_totals()]

    assert "Base weight without bags" in names()
    assert "All, bike and boat included" in names()
    bare = names(without="bags; bike")
    assert bare == ["Base weight", "All but bike and boat"]


def test_kits_count_their_rows(store: Any) -> None:
    fill(store, {"gear": [gear("a", kit="one"), gear("b", kit="two"), gear("c")]})
    section = read_weigh_up(store, today=TODAY, display=GRAMS).by_kit()
    assert "the heaviest of 2 kits" in section.answer[0]
    assert section.table is not None
    assert (len(section.table.rows), section.table.noun) == (3, "row")


def test_every_unknown_name_is_told_at_once(store: Any) -> None:
    fill(store, {"gear": [gear("tent", "shelter"), gear("quilt", "sleep")]})
    with pytest.raises(QuestionError) as told:
        weigh_up(store, today=TODAY, without="tnt; qilt; tent", added="zzz")
    words = str(told.value)
    for name in ("tnt", "qilt", "zzz"):
        assert f'"{name}"' in words
    assert words.count("expected an item, kit, system or bag") == 1
    assert 'did you mean "Tent"?' in words


@pytest.mark.parametrize(
    ("how_much", "named"), [("badly", True), ("much", True), ("little", False)]
)
def test_one_wish_is_enough_where_it_was_a_dear_one(store: Any, how_much: str, named: bool) -> None:
    past = trip("t0", TODAY - timedelta(170), 2, mode="foot")
    wished = [{"trip": "t0", "what": "Gloves", "how_much": how_much}]
    tables: Tables = {
        "gear": [gear("mug", "cook")],
        "trip": [past, plan()],
        "carried": [carried("t0", "mug"), carried("next", "mug")],
        "wished": wished,
    }
    fill(store, tables)
    relation = entry("forgotten").relation(store, today=TODAY)
    rows = [dict(zip(relation.columns, row, strict=True)) for row in relation.fetchall()]
    told = [(row["what"], row["reason"]) for row in rows]
    expected = ("Gloves", f"You wished for it {how_much} on “T0”; you do not own it.")
    assert told == ([expected] if named else [])


def test_readme_says_what_stands_without_a_plan() -> None:
    readme = Path(__file__).parents[2] / "notebooks" / "README.md"
    text = " ".join(readme.read_text("utf-8").split())
    assert "Without any plan there is no trip to look ahead to" in text
    assert lacking_sentences(()) == ()
