"""No chance of cold is told without the mat, or of what is broken; few nights say little."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from store_drawing import empty_store, gear
from tarebook.analysis.ahead.page.lists import ready_lists
from tarebook.analysis.ahead.page.page import read_before_trip
from tarebook.analysis.ahead.page.words import limit_from_rating
from tarebook.analysis.cold import sections as cold_sections
from tarebook.analysis.cold import words
from tarebook.analysis.cold.page.page import read_nights
from tarebook.analysis.cold.page_tables import sets_table
from tarebook.analysis.cold.trips import ColdAhead, cold_forecasts
from tarebook.analysis.display.cautions import AHEAD_CARE
from tarebook.analysis.display.words import SPACE, Display, one_in
from tarebook.analysis.store.trip_choice import choose_trip
from tarebook.analysis.tables import entry
from test_cold_answers import BAG, LOWS, MAT, TODAY, Tables, joined, nights_in, plan, put

BARE_MAT = gear("mat", "sleep", name="Sleeping mat")
OFTENER = "Your nights were too cold oftener than forecast so far: take this chance as too low."
FAILED = {"trip": "t0-00", "item": "mat", "severity": "lost_use", "day": TODAY - timedelta(29)}


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def ahead_of(store: Any) -> ColdAhead:
    (ahead,) = cold_forecasts(store, [choose_trip(store, "plan")])
    return ahead


def point(store: Any, about: str = "Will you be cold?") -> str:
    opening = read_before_trip(store, "plan", today=TODAY, display=Display()).opening()
    (found,) = (p for p in opening.points if p.about == about)
    return f"{found.answer} {found.more}".strip().replace(SPACE, " ")


def rows_of(store: Any) -> dict[str, dict[str, Any]]:
    relation = entry("cold_by_set").relation(store, today=TODAY)
    rows = [dict(zip(relation.columns, row, strict=True)) for row in relation.fetchall()]
    return {row["sleep_system"]: row for row in rows}


def test_a_list_without_the_mat_gets_no_chance_and_no_limit(store: Any) -> None:
    nights = nights_in([BAG, MAT], LOWS, 4.2)
    put(store, joined(nights, plan("bag", "mat")))
    whole = ahead_of(store).chance
    assert whole is not None
    put(store, joined(nights, plan("bag")))
    ahead = ahead_of(store)
    assert ahead.told is None
    assert ahead.if_whole is not None
    assert ahead.if_whole.p_any == whole.p_any
    odds = f"{one_in(whole.p_any.value)} ({words.hundred_range(whole.p_any)})"
    assert point(store) == (
        "No mat is on the list. Without one you will be colder than your record can say. With "
        f"“Mat” and “Bag” the chance that at least one night is too cold would be {odds}. Pack "
        f"“Mat”. {OFTENER}"
    )
    table = sets_table([ahead], Display())
    on_list = [row for row in table.rows if row["on_list"]]
    assert [(row["limit"], row["any"]) for row in on_list] == [(None, "no mat: no chance given")]
    # What nothing is told of rests on nothing; what it weighs is known.
    assert [(row["basis"], row["weight_g"]) for row in on_list] == [(None, BAG["weight_mg"] / 1000)]
    assert any(row["limit"] is not None for row in table.rows)
    opening = read_nights(store, "plan", display=Display()).opening()
    (to_come,) = opening.points
    assert to_come.answer == "No mat is on the list."
    assert f"too cold would be {odds}. Pack “Mat”. Usual there and then: lows" in to_come.more
    assert opening.caution == AHEAD_CARE
    html = read_before_trip(store, "plan", today=TODAY, display=Display()).cold().html()
    assert "colder than any figure" not in html


def test_without_a_night_known_a_mat_that_is_owned_bars_the_chance_too(store: Any) -> None:
    bag = {**BAG, "name": "Bag"}
    for mat in (MAT, BARE_MAT):
        put(store, joined({"gear": [bag, mat]}, plan("bag")))
        ahead = ahead_of(store)
        assert [one.thing.item for one in ahead.lacking] == ["mat"]
        assert ahead.told is None
        assert point(store).startswith(
            "No mat is on the list. Without one you will be colder than a rating can say. With “"
        )
        assert [row["p_cold"] for row in rows_of(store).values() if row["on_list"]] == [None]
        put(store, joined({"gear": [bag, mat]}, plan("bag", "mat")))
        assert ahead_of(store).told is not None


def test_what_failed_and_is_not_mended_bars_the_chance_until_it_is(store: Any) -> None:
    nights = nights_in([BAG, MAT], LOWS, 4.2)
    put(store, joined(nights, {"failures": [FAILED]}, plan("bag", "mat")))
    ahead = ahead_of(store)
    assert [one.item for one in ahead.unmended] == ["mat"]
    assert ahead.told is None
    told = point(store)
    assert told.startswith("“Mat” could no longer be used on 27 October 2026, and no repair")
    assert "As it is you may be colder than your record can say. With it sound the chance" in told
    assert told.endswith(f"Mend what is broken, or take another. {OFTENER}")
    row = rows_of(store)["Bag;Mat"]
    assert (row["p_cold"], row["own_limit_c"], row["p_cold_by_normals"]) == (None, None, None)
    mended = {**FAILED, "fixed_on": TODAY - timedelta(5)}
    put(store, joined(nights, {"failures": [mended]}, plan("bag", "mat")))
    assert ahead_of(store).told is not None
    assert rows_of(store)["Bag;Mat"]["p_cold"] is not None


def test_a_barred_list_has_the_warmer_set_at_home_named_with_normals_and_without(
    store: Any,
) -> None:
    summer = gear("quilt", "sleep", name="Quilt", rated_low_c=9.0, rated_as="limit")
    winter = gear("winter-bag", "sleep", name="Winter bag", rated_low_c=-8.0, rated_as="limit")
    things = {"gear": [summer, winter, MAT]}
    put(store, joined(things, plan("quilt")))
    assert ahead_of(store).chance is not None
    told = point(store)
    assert told.startswith("No mat is on the list.")
    assert "Take your own “Winter bag”: in it " in told
    away = plan("quilt")
    away["trip"] = [{**row, "latitude": None, "longitude": None} for row in away["trip"]]
    put(store, joined(things, away))
    assert ahead_of(store).chance is None
    assert "Your own “Winter bag”" in point(store)
    # What is no warmer than the list with its mat is no help.
    put(store, joined({"gear": [{**summer, "rated_low_c": 14.0}, MAT, winter]}, plan("winter-bag")))
    assert "In your own" not in point(store)
    assert "Take your own" not in point(store)


def test_a_bag_whose_rating_could_not_be_read_is_unrated_and_says_why(store: Any) -> None:
    bag = gear("quilt", "sleep", name="Quilt")
    put(store, joined({"gear": [bag, MAT]}, plan("quilt", "mat")))
    assert point(store).startswith("“Quilt” has no rating, so the chance of a too cold night")
    unread = {"item": "quilt", "column": "rated_low", "value": "5O"}
    put(store, joined({"gear": [bag, MAT], "cells_not_read": [unread]}, plan("quilt", "mat")))
    assert point(store).startswith(
        "“Quilt” has no rating that could be read (“5O” in the column rated_low of gear.csv), so "
        "the chance of a too cold night is not known: correct it."
    )


def test_a_list_that_is_drawn_from_like_trips_has_its_cold_answer(store: Any) -> None:
    nights = nights_in([BAG, MAT], LOWS, 4.2)
    put(store, joined(nights, plan("bag", "mat")))
    listed = ahead_of(store).chance
    tables: Tables = joined(nights, plan("bag", "mat"))
    tables["carried"] = [row for row in tables["carried"] if row["trip"] != "plan"]
    put(store, tables)
    page = read_before_trip(store, "plan", today=TODAY, display=Display())
    assert page.data is not None
    assert page.data.packing.source == "like"
    assert page.data.cold.told is not None
    assert listed is not None
    assert page.data.cold.told.p_any == listed.p_any
    assert point(store).startswith(
        "This plan has no list of its own. In what like trips had, the chance that at least one of "
        f"the 3 nights is too cold is {one_in(listed.p_any.value)}"
    )
    assert "no sleep gear with a rating" not in " ".join(page.opening().notices)


def test_without_history_a_plan_without_a_list_is_answered_by_the_warmest_set(store: Any) -> None:
    tables = joined({"gear": [BAG, MAT]}, plan("bag"))
    put(store, {**tables, "carried": []})
    assert point(store).startswith(
        "This plan has no list of its own. In “Bag”, the warmest that you own, the chance that at "
        "least one of the 3 nights is too cold is about 1 in"
    )


@pytest.mark.parametrize("nights", [4, 8, 12])
def test_under_ten_judged_nights_it_is_too_early_to_say(store: Any, nights: int) -> None:
    lows = [-2.0] * nights  # as cold as the rating, else they would be too mild to tell
    put(store, joined(nights_in([BAG, MAT], lows, -9.0), plan("bag", "mat")))
    ahead = ahead_of(store)
    assert ahead.limit is not None
    assert ahead.told is not None
    few = nights < 10
    short = words.chance_in_short(ahead).replace(SPACE, " ")
    assert (f"by only {nights} judged nights, too early to say" in short) is few
    assert words.percent_range(ahead.told.p_any).replace(SPACE, " ") in short
    assert (f", by {nights} judged nights)" in short) is not few
    told = words.basis(ahead.limit, Display()).replace(SPACE, " ")
    whole = f"your own limit of {round(ahead.limit.own_limit_c.value, 1) + 0.0:.1f} °C".replace(
        "-", "−"
    )
    after = f", which rests on only {nights} judged nights" if few else f" ({nights} judged nights)"
    assert told.startswith(whole + after)


def test_the_night_of_a_failure_is_not_dropped_in_silence(store: Any) -> None:
    nights = nights_in([BAG, MAT], LOWS, 4.2)
    failed = {**FAILED, "fixed_on": TODAY - timedelta(20)}
    put(store, joined(nights, {"failures": [failed]}, plan("bag")))
    (lacks,) = ahead_of(store).lacking
    assert (lacks.nights, lacks.of_nights, lacks.apart) == (len(LOWS) - 1, len(LOWS) - 1, 1)
    # A mat that failed and was mended is to be tried, and the odds are for one that holds.
    tried = "“Mat” failed once, on "
    assert tried in words.if_whole(ahead_of(store))
    assert "try it at home first. These odds are for one that holds." in point(store)
    page = read_before_trip(store, "plan", today=TODAY, display=Display())
    ready = {each.heading: [task.what for task in each.tasks] for each in ready_lists(page)}
    assert ready["Mended since it failed: try it at home first"] == ["Mat"]
    assert "It failed once, on " in page.forgotten().text()
    (told,) = words.lacking_notes([lacks])
    assert "(1 more, when gear had failed, is not counted)" in told
    assert words.lacking_sentences([lacks]) == ("No mat is on the list.",)
    assert told in read_before_trip(store, "plan", today=TODAY, display=Display()).cold().notes
    assert told in cold_sections.ahead_notes([ahead_of(store)], Display())


def test_without_normals_too_a_list_without_its_mat_is_told_to_pack_it(store: Any) -> None:
    put(store, joined(nights_in([BAG, MAT], LOWS, 4.2), plan("bag")))
    ahead = replace(ahead_of(store), chance=None, if_whole=None, why_not="no_station")
    assert words.barred_sentences(ahead) == (
        "No mat is on the list.",
        "Without one you will be colder than your record can say. Pack “Mat”.",
    )
    (lacks,) = ahead.lacking
    given_up = replace(ahead, lacking=(replace(lacks, why="given_up"),))
    assert words.barred_sentences(given_up)[0] == "No mat comes along: “Mat” was given up since."
    assert words.if_whole(given_up).endswith("Pack a sound mat.")
    after = replace(ahead, lacking=(replace(lacks, why="given_up", successor="New mat"),))
    assert words.if_whole(after).endswith("Pack “New mat”.")


def test_a_chance_that_is_no_fraction_reads_as_a_sentence_too(store: Any) -> None:
    put(store, joined(nights_in([BAG, MAT], LOWS, 4.2), plan("bag")))
    ahead = ahead_of(store)
    assert ahead.if_whole is not None
    rare = replace(ahead.if_whole, p_any=replace(ahead.if_whole.p_any, value=0.0001))
    assert (
        "With “Mat” and “Bag” the chance that at least one night is too cold would be rarer than 1 "
        "in 1000."
    ) in words.if_whole(replace(ahead, if_whole=rare))


def test_no_rating_without_a_mat_is_said_to_be_shifted_by_nights_with_one(store: Any) -> None:
    put(store, joined(nights_in([BAG, MAT], LOWS, 4.2), plan("bag")))
    ahead = ahead_of(store)
    assert ahead.basis == "rated"
    assert limit_from_rating(replace(ahead, lacking=()), Display())
    assert not limit_from_rating(ahead, Display())


def test_without_history_it_is_said_why_a_limit_is_not_the_rating(store: Any) -> None:
    put(store, joined({"gear": [BAG, MAT]}, plan("bag", "mat")))
    notes = read_before_trip(store, "plan", today=TODAY, display=Display()).cold().notes
    assert any("until your own nights say more, every other night" in note for note in notes)


def test_a_plan_that_lists_all_is_as_it_was(store: Any) -> None:
    put(store, joined(nights_in([BAG, MAT], LOWS, 4.2), plan("bag", "mat")))
    ahead = ahead_of(store)
    assert ahead.told is ahead.chance
    (to_come,) = read_nights(store, "plan", display=Display()).opening().points
    assert to_come.answer.startswith("Lows near ")
    assert to_come.more == f"{words.chance_of_trip(ahead)}."
    assert words.barred_sentences(ahead) == ()
    assert {row["p_cold"] is not None for row in rows_of(store).values()} == {True}
