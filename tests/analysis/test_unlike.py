"""A trip to come that is like none before: what is told of it, and with how much certainty."""

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
import young_logbooks as young
from before_trip_reading import html_of, lists_of, need, notices, plain, points, text_of
from store_drawing import carried, empty_store, fill, gear, trip
from tarebook.analysis.ahead.page import amount_words, words
from tarebook.analysis.ahead.page.page import BeforeTripPage, read_before_trip
from tarebook.analysis.ahead.plan import trip_ahead
from tarebook.analysis.ahead.results import TripAhead
from tarebook.analysis.ahead.stays_home import leaving_odds
from tarebook.analysis.ahead.unlike import are_alike, of_trips_before, weight_of
from tarebook.analysis.display.words import Display
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.store.trip_choice import choose_trip
from tarebook.analysis.tables import entry

TODAY = date(2026, 11, 27)
JANUARY, JULY = date(2027, 1, 15), date(2027, 7, 1)
THINGS = [
    gear("tent", "shelter", 1_500_000, essential=None, insurance=False),
    gear("quilt", "sleep", 700_000, name="Quilt", essential=None, insurance=False),
    gear("mat", "sleep", 400_000, name="Mat", essential=None, insurance=False),
    gear("mug", "cook", 90_000, essential=None, insurance=False),
    gear("bread", "food", 500_000, carried_as="consumable", essential=None, insurance=False),
]


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def summers(many: int, *items: str, start: date = date(2026, 7, 1)) -> dict[str, Any]:
    """So many trips of two nights, a year apart; a third of the bread came home from each."""
    names = [(f"t{n:02}", date(start.year - n, start.month, start.day)) for n in range(many)]
    rows = [carried(name, item) for name, _ in names for item in items]
    rows += [
        carried(name, "bread", weight_mg=1_800_000, brought_home_mg=600_000) for name, _ in names
    ]
    return {
        "gear": THINGS,
        "trip": [trip(name, on, 2, mode="foot") for name, on in names],
        "carried": rows,
    }


def with_plan(tables: dict[str, Any], start: date, *items: str, **more: Any) -> dict[str, Any]:
    made = {"nights": 2, "mode": "foot", "plan": True, **more}
    return {
        **tables,
        "trip": [*tables["trip"], trip("next", start, **made)],
        "carried": [*tables["carried"], *(carried("next", item) for item in items)],
    }


def page_of(store: Any) -> BeforeTripPage:
    return read_before_trip(store, "next", today=TODAY, display=Display())


def ahead_of(store: Any) -> TripAhead:
    return trip_ahead(store, choose_trip(store, "next"))


ALL = ("tent", "quilt", "mat", "mug", "bread")


def test_summer_use_is_not_told_a_winter_plan_as_that_of_such_trips(store: Any) -> None:
    fill(store, with_plan(summers(10, *ALL[:4]), JANUARY, *ALL))
    page = page_of(store)
    (told,) = [line for line in notices(page) if line.startswith("No trip before")]
    assert told == (
        "No trip before was like this one: it is at a time of year of which your record knows "
        "nothing. Your 10 trips were in July, on foot, of up to 2 nights, of whose lows none was "
        "noted. What such a trip takes beyond that they cannot say; amounts and habits here are "
        "theirs."
    )
    food = points(page)["How much food"]
    assert "enough on nine in ten trips like those before" in food
    for each in ("such trips", "every such", "like trips"):
        assert each not in text_of(page).replace("no trip before was like", "")
    for table in ("trip_needs", "forgotten"):
        remarks = entry(table).frame(store, today=TODAY).attrs["remarks"]
        assert f"“Next”: {told}" in remarks
    # In July they are what they are taken for.
    fill(store, with_plan(summers(10, *ALL[:4]), JULY, *ALL))
    page = page_of(store)
    assert "enough on nine such trips in ten" in points(page)["How much food"]
    assert not any("No trip before" in line for line in notices(page))
    assert points(page)["Forgotten?"] == "Nothing that 10 like trips nearly always had is missing."


@pytest.mark.parametrize(
    ("many", "nights", "trips"),
    [
        (1, 4, "the one trip nearest to it"),
        (1, 2, "the one like trip"),
        (10, 4, "10 trips nearest to it"),
        (10, 2, "10 like trips"),
    ],
)
def test_a_list_is_made_of_like_trips_only_where_none_was_unlike(
    store: Any, many: int, nights: int, trips: str
) -> None:
    fill(store, with_plan(summers(many, *ALL[:4]), JULY, nights=nights))
    head = page_of(store).packing().html()
    assert f"this is what at least half of {trips} had along." in head


@pytest.mark.parametrize(
    ("more", "how"),
    [
        ({"mode": "paddle"}, "mode"),
        ({"nights": 9}, "nights"),
        ({"start": date(2027, 10, 1)}, "month"),
        ({"start": date(2027, 8, 1)}, "low_not_known"),
        ({}, None),
        ({"mode": None}, None),
    ],
)
def test_a_trip_lies_outside_as_the_verdicts_have_it(
    store: Any, more: dict[str, Any], how: str | None
) -> None:
    start = more.pop("start", JULY)
    fill(store, with_plan(summers(6, "tent"), start, "tent", **more))
    unlike = ahead_of(store).unlike
    assert (unlike.how if unlike is not None else None) == how


def test_likeness_counts_by_its_sum_not_by_heads(store: Any) -> None:
    """Ten trips three months off, or by several means: each is like it by a sixth or a half."""
    tables = summers(10, *ALL[:4], start=date(2026, 7, 1))
    autumn = with_plan(tables, date(2027, 9, 27), *ALL)
    # The year round is seen, so that nothing but likeness speaks.
    for month in range(1, 13):
        name = f"y{month:02}"
        autumn["trip"].append(trip(name, date(2001, month, 9), 9, mode="bike"))
    fill(store, autumn)
    ahead = ahead_of(store)
    listed = [one for one in ahead.like if one.listed]
    weight = weight_of(ahead.like)
    assert ahead.unlike is None
    assert len(listed) == 10
    assert weight == pytest.approx(sum(one.likeness for one in listed))
    assert weight < 5
    assert not are_alike(ahead.like, None)
    assert points(page_of(store))["Forgotten?"] == (
        f"What may be forgotten can hardly be told: the 10 nearest trips together count as "
        f"only {weight:.1f} like it."
    )


def test_two_trips_that_are_hardly_like_it_are_no_habit_of_going_without(store: Any) -> None:
    """In huts in July: a plan for the end of September is told that it has no tent."""
    huts = summers(2, "quilt", "mat", "mug", start=date(2026, 7, 1))
    listed = ("quilt", "mat", "mug", "bread")
    fill(store, with_plan(huts, date(2027, 9, 25), *listed))
    ahead = ahead_of(store)
    assert len(ahead.like) == 2
    assert weight_of(ahead.like) < 1.5
    rows = entry("forgotten").relation(store, today=TODAY)
    named = [dict(zip(rows.columns, row, strict=True))["item"] for row in rows.fetchall()]
    assert "tent" in named
    # Two in July itself are a habit.
    fill(store, with_plan(huts, JULY, *listed))
    rows = entry("forgotten").relation(store, today=TODAY)
    named = [dict(zip(rows.columns, row, strict=True))["item"] for row in rows.fetchall()]
    assert "tent" not in named


def test_reasons_do_not_call_trips_like_that_are_hardly_so(store: Any) -> None:
    fill(store, with_plan(summers(4, *ALL[:4]), date(2027, 9, 25), "quilt", "mat", "bread"))
    rows = entry("forgotten").relation(store, today=TODAY)
    told = {
        row[rows.columns.index("item")]: row[rows.columns.index("reason")]
        for row in rows.fetchall()
    }
    assert told["tent"] == (
        "4 of 4 trips nearest to it had something of shelter; this list has nothing of it."
    )


@pytest.mark.parametrize("start", [JANUARY, JULY])
def test_with_all_optional_columns_blank_nothing_is_certain(tmp_path: Path, start: date) -> None:
    things = [*young.CAMP, *young.KEEPS_ALIVE, *young.DEAD_WEIGHT]
    ahead = {"start_on": str(start), "end_on": str(start + timedelta(2))}
    path = young.write(tmp_path, things, young.summer(10), plan=ahead)
    with open_store(path) as made:
        page = read_before_trip(made, "plan", today=TODAY, display=Display())
        told, text = points(page), plain(html_of(page))
    outside = start == JANUARY
    assert any("No trip before was like this one" in line for line in notices(page)) is outside
    assert ("such trips" in text) is False
    assert told["Will it rain?"].startswith("That is not known: ")
    assert ("cannot be told" in told["Forgotten?"]) is outside
    # The price of leaving has its upper end.
    assert "very likely no more than once in " in told["Could stay at home"]


def test_shares_are_told_of_trips_before_in_their_grammar() -> None:
    how: Any = SimpleNamespace()
    told = {
        "enough on nine such trips in ten": "enough on nine in ten trips like those before",
        "on about 7 such trips in 10.": "on about 7 in 10 trips like those before.",
        "on about 1 such trip in 3": "on about 1 in 3 trips like those before",
        "(about 97 in 100 such trips)": "(about 97 in 100 trips like those before)",
        "on almost every such trip": "on almost every trip like those before",
    }
    # The grammar of each kind of share that amounts and batteries are told with.
    for such, before in told.items():
        assert of_trips_before(such, how) == before
        assert of_trips_before(such, None) == such


@pytest.mark.parametrize(
    ("chance", "on_list", "told"),
    [
        (0.899, 1880.0, "enough on about 89 such trips in 100"),
        (0.9, 1890.0, "enough on about 90 such trips in 100"),
        (0.52, 1640.0, "enough on about 52 such trips in 100"),
        (0.97, 2000.0, "almost certainly enough (about 97 in 100 such trips)"),
    ],
)
def test_what_the_list_has_is_not_told_in_the_words_of_what_to_take(
    chance: float, on_list: float, told: str
) -> None:
    assert amount_words.enough(need(chance_enough=chance, on_list=on_list)) == told
    assert "in ten" not in told


def rain(store: Any, wet: dict[str, list[bool | None]], start: date = JULY) -> str:
    tables = with_plan(summers(4, *ALL[:4]), start, *ALL)
    days = [
        {"trip": row["trip"], "day": row["start_on"] + timedelta(n), "wet": each}
        for row in tables["trip"]
        for n, each in enumerate(wet.get(row["trip"], []))
    ]
    fill(store, {**tables, "weather": days})
    return points(page_of(store))["Will it rain?"]


def test_rain_is_told_of_like_trips_that_say_so_and_never_from_silence(store: Any) -> None:
    dry, open_ = [False, False, False], [False, None, False]
    look = "Look at the forecast; take rain gear all the same."
    assert rain(store, {}) == (
        f"That is not known: none of the 4 like trips says whether it rained. {look}"
    )
    # A day that nobody noted may have been wet.
    assert rain(store, {"t00": open_}) == (
        "That is not known: 1 of the 4 like trips has days noted as dry, and others not noted. "
        f"{look}"
    )
    assert rain(store, {"t00": dry}) == (
        f"It did not rain on the one like trip with the weather noted. {look}"
    )
    some = {"t00": dry, "t01": [True, None, None], "t02": open_}
    assert rain(store, some) == ("It rained on 1 of the 2 like trips with the weather noted.")
    assert rain(store, some, JANUARY) == (
        f"That is not known: no trip before was like this one. {look}"
    )


def test_the_price_of_leaving_has_an_interval_and_says_what_is_pooled(tmp_path: Path) -> None:
    """A chess set that was used twice in fifteen, among leisure things that never were."""
    leisure = [(f"toy-{n}", "leisure", 100) for n in range(8)]
    things = [*young.CAMP, ("chess-set", "leisure", 300), *leisure]
    july = {"start_on": "2027-07-02", "end_on": "2027-07-04"}
    path = young.write(tmp_path, things, young.summer(15), plan=july)
    used = tmp_path / "carried.csv"
    rows = used.read_text().splitlines()
    rows = [f"{row}yes" if row in ("t03,chess-set,", "t09,chess-set,") else row for row in rows]
    used.write_text("\n".join(rows) + "\n")
    from tarebook.tripdata.store import load_logbook

    load_logbook(tmp_path)
    with open_store(path) as made:
        page = read_before_trip(made, "plan", today=TODAY, display=Display())
    assert page.data is not None
    home = page.data.home
    (chess,) = (judged for judged in home.things if judged.about.item == "chess-set")
    assert (chess.usage.rate.used, chess.usage.rate.n) == (2, 15)
    odds = leaving_odds(home)
    assert odds.low < odds.value < odds.high
    told = plain(words.leaving_price(home, page.data.ahead))
    assert "very likely no more than once " in told
    pooled = chess.usage.rate.value < 2 / 15
    assert ("By its own record “chess-set” was used on 2 of 15 occasions" in told) is pooled
    assert pooled


def test_a_single_name_does_not_hide_that_more_cannot_be_told(store: Any) -> None:
    fill(store, with_plan(summers(10, *ALL[:4]), JANUARY, "tent", "quilt", "mug", "bread"))
    told = points(page_of(store))["Forgotten?"]
    assert told.startswith("You own “Mat”, and it is not on the list.")
    assert "What else may be forgotten cannot be told: no trip before was like this one." in told
    few = with_plan(summers(2, *ALL[:4]), JULY, "tent", "quilt", "mug", "bread")
    fill(store, few)
    told = points(page_of(store))["Forgotten?"]
    assert "Only 2 like trips tell what else may be forgotten: too few to rely on." in told
    fill(store, with_plan(summers(10, *ALL[:4]), JULY, "tent", "quilt", "mug", "bread"))
    assert "what else" not in points(page_of(store))["Forgotten?"].lower()


def test_summers_make_no_amount_of_winter_certain(store: Any) -> None:
    cold = amount_words.COLD_TAKES_MORE
    for start in (JANUARY, JULY):
        tables = with_plan(summers(10, *ALL[:4]), start, *ALL[:4])
        tables["carried"].append(carried("next", "bread", weight_mg=2_400_000))
        fill(store, tables)
        page = page_of(store)
        food = points(page)["How much food"]
        assert ("almost certainly enough" in food) is (start == JULY)
        assert ("The list has 2.40 kg, which is no less." in food) is (start == JANUARY)
        assert (cold in food) is (cold in text_of(page)) is (start == JANUARY)
        assert (cold in page.amounts().notes) is (start == JANUARY)


def test_the_amount_itself_says_by_which_months_it_goes(store: Any) -> None:
    for start in (JANUARY, JULY):
        fill(store, with_plan(summers(10, *ALL[:4]), start, *ALL[:4]))
        page = page_of(store)
        (food,) = (p for p in page.opening().points if p.about == "How much food")
        answer = plain(food.answer)
        assert answer.startswith("Take ")
        assert answer.endswith(", going by trips in July; cold takes more.") is (start == JANUARY)
        assert ("cold takes more" in plain(page.amounts().answer[0])) is (start == JANUARY)


def test_without_a_record_cold_months_take_more(store: Any) -> None:
    gas = gear("gas", "cook", 230_000, name="Gas", carried_as="consumable")
    for start in (JANUARY, JULY):
        tables = {"gear": [*THINGS, gas], "trip": [], "carried": []}
        fill(store, with_plan(tables, start, *ALL, "gas"))
        page = page_of(store)
        for about in ("How much food", "How much fuel"):
            told = points(page)[about].partition(". Your own")[0]
            assert told.startswith("Common practice: about ")
            assert told.endswith("; cold and melting snow take more") is (start == JANUARY)
        assert (amount_words.SNOW_TAKES_MORE in page.amounts().notes) is (start == JANUARY)


@pytest.mark.outside(
    "common practice", "common practice, no published source", "the south is coldest in July"
)
@pytest.mark.parametrize(
    ("start", "latitude", "cold"),
    [
        (JULY, -45.0, True),
        (JANUARY, -45.0, False),
        (JULY, 45.0, False),
        (JANUARY, 45.0, True),
        (JANUARY, None, True),
    ],
)
def test_cold_months_south_of_the_equator_are_half_a_year_later(
    store: Any, start: date, latitude: float | None, cold: bool
) -> None:
    """No normals serve either place."""
    gas = gear("gas", "cook", 230_000, name="Gas", carried_as="consumable")
    place = {} if latitude is None else {"latitude": latitude, "longitude": 170.0}
    tables = {"gear": [*THINGS, gas], "trip": [], "carried": []}
    fill(store, with_plan(tables, start, *ALL, "gas", **place))
    page = page_of(store)
    for about in ("How much food", "How much fuel"):
        told = points(page)[about].partition(". Your own")[0]
        assert told.endswith("; cold and melting snow take more") is cold
    assert (amount_words.SNOW_TAKES_MORE in page.amounts().notes) is cold


@pytest.mark.parametrize(("latitude", "outside"), [(-45.0, True), (45.0, False)])
def test_summers_north_tell_nothing_of_july_in_the_south(
    store: Any, latitude: float, outside: bool
) -> None:
    tables = summers(10, *ALL[:4])
    for row in tables["trip"]:
        row |= {"latitude": 47.0, "longitude": 8.0}
    fill(store, with_plan(tables, JULY, *ALL, latitude=latitude, longitude=8.0))
    page = page_of(store)
    told = [line for line in notices(page) if line.startswith("No trip before")]
    assert bool(told) is outside
    assert all("Across the equator the season is another one." in line for line in told)
    assert ("cold takes more" in points(page)["How much food"]) is outside
    # A plan of which the place is not noted is where the trips before it were.
    for row in tables["trip"]:
        row["latitude"] = latitude
    fill(store, with_plan(tables, JULY, *ALL))
    assert ahead_of(store).south is outside


def test_an_empty_can_that_nobody_weighed_is_told_to_count_as_burnt(store: Any) -> None:
    """Three cans of 369 g, of which nothing came home: that is with the can."""
    gas = gear("gas", "cook", 369_000, name="Gas", carried_as="consumable")
    tables = summers(3, *ALL[:4])
    tables["gear"] = [*tables["gear"], gas]
    cans = [carried(f"t{n:02}", "gas", brought_home_mg=0) for n in range(3)]
    with_cans = tables | {"carried": [*tables["carried"], *cans]}
    fill(store, with_plan(with_cans, JULY, *ALL, "gas"))
    told = points(page_of(store))["How much fuel"]
    assert "An empty can or bottle weighed with it counts as burnt here" in told
    assert "took that much or more" not in told
    remarks = entry("trip_needs").frame(store, today=TODAY).attrs["remarks"]
    assert any("of “Gas” nothing came home from some trip" in each for each in remarks)
    # Two that were weighed empty tell what the third's can weighed.
    for row in cans[:2]:
        row["brought_home_mg"] = 140_000
    fill(store, with_plan(with_cans, JULY, *ALL, "gas"))
    assert "counts as burnt" not in text_of(page_of(store))


def test_without_a_trip_too_little_by_common_practice_is_told_and_to_do(store: Any) -> None:
    tables = {"gear": THINGS, "trip": [], "carried": []}
    for grams, little in ((1_300, True), (99_000, False)):
        made = with_plan(tables, JULY, *ALL[:4])
        made["carried"].append(carried("next", "bread", weight_mg=1_000 * grams))
        fill(store, made)
        page = page_of(store)
        told = points(page)["How much food"]
        assert ("which may be too little by common practice" in told) is little
        box = lists_of(page.before_leaving()).get("Take more than the list has", [])
        assert bool(box) is little
        if little:
            assert box[0].startswith(
                "Bread | maybe too little by common practice, without a trip of"
            )
            assert box[0].endswith("; the list has 1.30 kg")
