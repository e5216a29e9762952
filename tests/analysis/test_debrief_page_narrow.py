"""A debrief of a trip of which less, or something else, is known than of a well-kept one."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from tarebook.analysis.debrief.page.page import DebriefPage, read_debrief
from tarebook.analysis.display.theme import NARROW
from tarebook.analysis.display.words import Display
from tarebook.analysis.store.rows import ask

Pages = Callable[..., Any]


def plain(text: str) -> str:
    return text.replace("\u202f", " ")


@pytest.fixture(scope="module")
def river(logbook: Callable[[str], Path], debrief_page: Pages) -> DebriefPage:
    page: DebriefPage = debrief_page(logbook("lakes"), "2026-05-river")
    return page


def with_data(page: DebriefPage, **changed: Any) -> DebriefPage:
    """The page of the same trip with some of its data exchanged."""
    return DebriefPage(replace(page.data, **changed), page.display)


def failing(page: DebriefPage, *rows: dict[str, Any]) -> DebriefPage:
    base = {
        "item": "mat-air",
        "name": "Air mat",
        "system": "sleep",
        "day": None,
        "severity": "nuisance",
        "what": None,
        "fixed_with": None,
        "fixed_on": None,
    }
    return with_data(page, failures=[base | row for row in rows])


def test_a_failure_without_a_day_is_told_all_the_same(river: DebriefPage) -> None:
    page = failing(river, {"what": "torn", "fixed_with": "tape"})
    assert page.failures().answer == (
        "1 thing failed, and it is not fixed yet.",
        "“Air mat”: torn (a nuisance, not mended, made do with: tape).",
    )
    assert page.opening().points[2].answer == "“Air mat”: a nuisance, not fixed."


def test_the_worst_failure_comes_first_and_many_fold(river: DebriefPage) -> None:
    rows = [{"name": f"Thing {n}"} for n in range(7)]
    page = failing(river, *rows, {"name": "Fork", "system": "bike", "severity": "unsafe"})
    section = page.failures()
    assert section.answer[1] == "“Fork” (unsafe, not fixed)."
    assert len(section.answer) == 5
    assert section.table is not None
    assert len(section.table.rows) == 8
    assert "unsafe unused until it is mended" in (section.caution or "")
    point = page.opening().points[2]
    assert (point.answer, point.more) == (
        "“Fork”: unsafe, not fixed.",
        "Also “Thing 0” (a nuisance, not fixed); “Thing 1” (a nuisance, not fixed); "
        "“Thing 2” (a nuisance, not fixed) and 4 more.",
    )


def test_a_partial_record_says_at_least(river: DebriefPage) -> None:
    out = river.data.never_out
    assert out is not None
    trip = replace(river.data.trip, use_record="partial")
    page = with_data(river, never_out=replace(out, complete=False), trip=trip)
    assert plain(page.never_out().answer[0]) == (
        "At least 4 things were never taken out, not counting first aid, repair and other "
        "insurance: 866 g. One trip proves little: what stayed packed this time may be needed the "
        "next."
    )
    opening = page.opening()
    assert plain(opening.points[3].answer) == "At least 4 things, 866 g."
    assert opening.notices == (
        "What was used is noted for part of the load only; of the rest it is not known.",
    )


def test_no_record_of_use_says_so_at_the_top(river: DebriefPage) -> None:
    page = with_data(river, never_out=None, trip=replace(river.data.trip, use_record="none"))
    assert page.never_out().html() == ""
    opening = page.opening()
    assert "Never taken out" not in [point.about for point in opening.points]
    assert opening.notices == (
        "What was used is not noted, so nothing can be said of what stayed packed.",
    )


def test_where_all_was_used_nothing_is_listed(river: DebriefPage) -> None:
    out = river.data.never_out
    assert out is not None
    page = with_data(river, never_out=replace(out, items=[], weight_g=0.0))
    assert page.never_out().answer == (
        "Everything was used, not counting first aid, repair and other insurance.",
    )
    assert page.opening().points[3].answer == "Nothing."


def nights(page: DebriefPage, **changed: Any) -> DebriefPage:
    return with_data(page, nights=[replace(night, **changed) for night in page.data.nights])


def test_parts_of_a_section_are_told_together_and_one_alone_keeps_its_heading(
    river: DebriefPage,
) -> None:
    both = river.load()
    assert both.answer[0] == " ".join(
        part.answer[0] for part in (river.weight(), river.bags(), river.changes())
    )
    shown, caution, hidden = both.html().partition("<details")
    assert "load limit" in shown
    assert caution
    for inside in (*river.weight().answer[1:], "By system", "By bag", "Change by change"):
        assert inside.split("“")[0] in hidden
    assert hidden.count('class="tarebook-figure"') == 3
    assert "<summary>All " in caution + hidden
    alone = with_data(river, by_bag=[], changes=None)
    assert alone.load().html() == alone.weight().html()
    nothing = with_data(
        river, nights=[], comfort=[], trip=replace(river.data.trip, distance_km=None)
    )
    assert nothing.nights_and_days().html() == ""


def test_nights_without_lows_are_told_by_how_they_were_slept(river: DebriefPage) -> None:
    page = nights(river, low_c=None, low_source=None)
    assert page.nights().answer == (
        "2 of the 3 nights were slept well, 4 out of 5. The night of Fri 15 May felt cool.",
    )
    assert "Coldest night" not in [point.about for point in page.opening().points]


def test_lows_without_a_thermometer_say_where_they_are_from(river: DebriefPage) -> None:
    notes = nights(river, low_source="weather").nights().notes
    assert notes == (
        "All lows are those of the weather notes, not of a thermometer in camp.",
        "No weather station with normals lies within 100\N{NARROW NO-BREAK SPACE}km and "
        "700\N{NARROW NO-BREAK SPACE}m of height of the camp.",
    )


def test_a_low_that_may_have_been_lower_says_so(river: DebriefPage) -> None:
    page = nights(river, low_source="logger_part", sleep_score=None, warmth=None, limit_c=None)
    point = page.opening().points[1]
    assert plain(point.answer) == "0 °C or lower."
    assert point.more == "Fri 15 May."


def test_a_warm_trip_needs_no_word_on_the_cold(river: DebriefPage) -> None:
    opening = nights(river, low_c=14.0, warmth=0).opening()
    assert opening.caution == "Ratings compare bags; they promise nothing."
    assert opening.notices == ()


def test_a_trip_without_two_days_or_nights_to_draw_has_no_picture(river: DebriefPage) -> None:
    bare = with_data(river, moves=river.data.moves[:1], nights=[], trace=[])
    assert bare.story().html() == ""
    logged = tuple(replace(each, logged=0) for each in river.data.evidence)
    assert (
        with_data(bare, evidence=logged)
        .not_logged()
        .answer[0]
        .endswith("So there is no picture of the trip along its days.")
    )
    assert "picture" not in with_data(river, evidence=logged).not_logged().answer[0]


def test_a_trip_of_days_alone_is_drawn_by_its_days(river: DebriefPage) -> None:
    page = with_data(river, nights=[], trace=[], failures=[], comfort=[], thing_notes=[])
    section = page.story()
    assert plain(section.answer[0]) == "The longest day was Sun 17 May, 61 km."
    assert section.figure is not None
    assert section.figure.alt.endswith("Along the days: distance, climbing and weather.")
    assert "limit" not in section.figure.caption
    assert section.table is None


def test_one_bar_is_no_picture(river: DebriefPage) -> None:
    out, changes = river.data.never_out, river.data.changes
    assert out is not None
    assert changes is not None
    single = replace(
        out, items=out.items[:1], could_stay=out.items[:1], stays_listed=(), not_needed=()
    )
    page = with_data(
        river, never_out=single, changes=replace(changes, parts=changes.parts[:1]), by_system=[
            {"system": "sleep", "base_g": 5.0, "worn_g": 0.0, "consumable_g": 0.0,
             "vehicle_g": 0.0, "items": 1}
        ],
    )  # fmt: skip
    for section in (page.never_out(), page.changes(), page.weight()):
        assert section.html()
        assert section.figure is None


def test_where_no_night_was_good_it_is_said_in_one_singular(river: DebriefPage) -> None:
    nights = [replace(n, sleep_score=3) for n in river.data.nights]
    answer = with_data(river, nights=nights).nights().answer[0]
    assert answer.startswith("No night scored 4 or more out of 5 for sleep.")


def test_two_nights_are_told_as_both_or_neither(river: DebriefPage) -> None:
    first, second, _ = river.data.nights
    for scores, told in (
        ((4, 5), "Both nights were slept well, 4 or 5 out of 5."),
        ((4, 4), "Both nights were slept well, 4 out of 5."),
        ((3, 2), "Neither night scored 4 or more out of 5 for sleep."),
    ):
        pairs = zip((first, second), scores, strict=True)
        nights = [replace(n, sleep_score=s, warmth=0) for n, s in pairs]
        answer = with_data(river, nights=nights).nights().answer[0]
        assert answer == told


def test_nights_that_felt_cold_are_told_though_all_were_slept_well(river: DebriefPage) -> None:
    first, second, third = (replace(n, sleep_score=4) for n in river.data.nights)
    cold = [replace(first, warmth=-3), replace(second, warmth=-3), replace(third, warmth=-1)]
    page = with_data(river, nights=cold)
    told = "The night of Thu 14 May felt cold."
    well = "All 3 nights were slept well, 4 out of 5"
    assert page.nights().answer[0] == f"{well}, though 2 of them felt too cold. {told}"
    assert f"{well}, though 2 of them felt too cold." in page.opening().points[0].more
    every = with_data(river, nights=[replace(n, warmth=-3) for n in cold])
    assert f"{well}, though all of them felt too cold." in every.opening().points[0].more
    assert page.opening().points[1].more.endswith(told)
    both = with_data(river, nights=[*cold[:2], replace(third, warmth=-2)])
    assert (
        both.nights()
        .answer[0]
        .endswith("The nights of Thu 14 May felt cold and Sat 16 May felt cool.")
    )
    warm = with_data(river, nights=[replace(n, warmth=0) for n in cold])
    assert "felt" not in warm.nights().answer[0]


def test_a_milder_night_that_felt_colder_is_explained_as_far_as_the_record_goes(
    river: DebriefPage,
) -> None:
    first, second, _ = (replace(n, failed=(), low_source="logger") for n in river.data.nights)
    milder = replace(first, low_c=2.4, warmth=-3)
    coldest = replace(second, low_c=0.0, warmth=-1)
    noted_of = {"wet": False, "rain_mm": None, "wind_kmh": 5.0}
    still = [{**noted_of, "day": n.night} for n in (milder, coldest)]
    told = "The night of Thu 14 May felt cold, though it was 2.4 °C milder;"
    noted = f"{told} noted of it and not of the coldest night:"
    unknown = f"{told} the record does not say why."
    cases: tuple[tuple[dict[str, Any], list[dict[str, Any]], str], ...] = (
        ({}, [], unknown),
        ({}, still, unknown),
        ({}, [{**still[0], "wind_kmh": 14.0}, still[1]], unknown),
        ({}, [{**still[0], "wet": True}, {**still[1], "wet": True}], unknown),
        ({}, [{**still[0], "wet": True}, still[1]], f"{noted} rain."),
        (
            {"failed": ("Tarp",)},
            [{**still[0], "wind_kmh": 30.0}, still[1]],
            f"{noted} “Tarp” had failed and more wind (30 km/h against 5).",
        ),
        (
            {"rated_name": "Liner"},
            still,
            f"{noted} “Liner” and not “Summer quilt” to sleep in.",
        ),
        (
            {"low_source": "logger_part"},
            [],
            f"{told[:-1]}. The thermometer missed its small hours, so it may have been colder.",
        ),
    )
    for changed, weather, said in cases:
        nights = [replace(milder, **changed), coldest]
        page = with_data(river, nights=nights, weather=weather)
        (point,) = (p for p in page.opening().points if p.about == "Coldest night")
        assert plain(point.more).endswith(said)
        assert plain(page.nights().answer[0]).endswith(said)
    for colder in (replace(coldest, warmth=None), replace(coldest, warmth=-3)):
        point = with_data(river, nights=[milder, colder]).opening().points[1]
        assert point.more.endswith("The night of Thu 14 May felt cold.")


def test_what_went_the_day_before_a_night_that_felt_colder_is_told_and_claims_no_cause(
    river: DebriefPage,
) -> None:
    first, second, _ = (replace(n, failed=(), low_source="logger") for n in river.data.nights)
    nights = [replace(first, low_c=2.4, warmth=-3), replace(second, low_c=0.0, warmth=-1)]
    told = "The night of Thu 14 May felt cold, though it was 2.4 °C milder; the record does not say"
    for before, said in (
        (0, " “Fleece” came along until Thu 14 May."),
        (1, " “Fleece” came along until Wed 13 May."),
        (2, ""),
        (-1, ""),
    ):
        gone = [{"name": "Fleece", "until_day": first.night - timedelta(days=before)}]
        page = with_data(river, nights=nights, weather=[], gone_early=gone)
        assert plain(page.nights().answer[0]).endswith(f"{told} why.{said}")


def test_of_the_demo_what_was_posted_home_is_known_to_have_gone(demo: Any) -> None:
    """As the demo's detours have it: the fleece went on the third day of that trip."""
    assert ask(demo, "debrief/gone_early", trip="2024-07-up-the-sound") == [
        {"item": "fleece", "name": "Fleece pullover", "until_day": date(2024, 7, 14)}
    ]
    page = read_debrief(demo, "2024-07-up-the-sound", today=date(2026, 11, 27), display=Display())
    assert plain(page.nights().answer[0]).endswith(
        "The night of Mon 15 July felt cold, though it was 2.4 °C milder; the record does not say "
        "why. “Fleece pullover” came along until Sun 14 July."
    )


def test_of_a_trip_of_which_nothing_is_noted_nothing_is_said_of_how_it_was(
    river: DebriefPage,
) -> None:
    blank = {"comfort": (), "weather": (), "thing_notes": (), "nights": ()}
    assert "How it was" not in [p.about for p in with_data(river, **blank).opening().points]
    start = river.data.trip.start_on

    def dry(days: int, wet: int = 0) -> str:
        rows = [
            {"day": start + timedelta(days=n), "wet": n < wet, "wind_kmh": None, "rain_mm": None}
            for n in range(days)
        ]
        return with_data(river, **blank | {"weather": rows}).opening().points[0].answer

    assert [dry(4), dry(3), dry(1)] == [
        "Dry on all 4 days.",
        "Dry on the 3 days noted.",
        "Dry on the 1 day noted.",
    ]
    assert [dry(4, 4), dry(4, 1), dry(2, 1)] == [
        "Rain on all 4 days.",
        "Rain on 1 of 4 days.",
        "Rain on 1 of 2 days noted.",
    ]


def test_a_night_voted_too_cold_is_called_so_whatever_its_sleep_score(river: DebriefPage) -> None:
    def told(warmth: int | None) -> tuple[str, str]:
        opening = nights(river, low_c=-4.9, sleep_score=3, warmth=warmth).opening()
        return plain(opening.points[1].answer), plain(opening.sentence).split(". “")[0]

    fair = "a middling night"
    for warmth, how in ((-3, "too cold"), (-2, "too cold"), (-1, fair), (None, fair)):
        assert told(warmth) == (
            f"−4.9 °C, {how}.",
            f"The coldest night came down to −4.9 °C, {how}",
        )
    assert plain(
        nights(river, low_c=-4.9, sleep_score=None, warmth=-3).opening().points[1].answer
    ) == ("−4.9 °C, too cold.")


def test_snow_is_told_where_it_is_noted_and_drops_are_not_called_dry(river: DebriefPage) -> None:
    start = river.data.trip.start_on
    wet, snow, drop = {"wet": True, "rain_mm": 2.6}, {"snow": True}, {"rain_mm": 0.2}

    def told(*days: dict[str, Any]) -> str:
        dry = {"wet": False, "rain_mm": 0.0, "wind_kmh": None, "snow": False}
        rows = [{**dry, "day": start + timedelta(days=n)} | day for n, day in enumerate(days)]
        page = with_data(river, comfort=(), thing_notes=(), nights=(), weather=rows)
        figure = page.story().figure
        assert figure is not None
        drawn = str(figure.spec(NARROW))
        fell = [day for day in days if day.get("wet")]
        snowed = any(day.get("snow") for day in fell)
        assert ("Rain or snow (mm)" in drawn) == snowed
        assert ("Rain (mm)" in drawn) == (not snowed and (bool(fell) or drop in days))
        return plain(page.opening().points[0].answer)

    assert told({}, wet | snow, wet, {}) == "Rain or snow on 2 of 4 days."
    assert told(snow, wet, wet, {}) == "Rain on 2 of 4 days.", "on a dry day it only lay there"
    assert told(wet, wet | snow) == "Rain or snow on the 2 days noted."
    trip = replace(river.data.trip, end_on=start + timedelta(days=1))
    rainy = [{"day": start + timedelta(days=n)} | {**wet, "wind_kmh": None} for n in range(2)]
    short = with_data(river, trip=trip, comfort=(), thing_notes=(), nights=(), weather=rainy)
    assert short.opening().points[0].answer == "Rain on both days."
    assert told({}, snow, {}, {}) == "Dry on all 4 days, snow noted on 1 of them."
    assert told({}, {}, {}, drop) == "Hardly any rain on all 4 days (at most 0.2 mm a day)."


def test_a_rating_is_told_as_given_and_as_a_limit_and_how_far_the_own_limit_is(
    river: DebriefPage,
) -> None:
    def told(**changed: Any) -> str:
        rated: dict[str, Any] = {"rated_low_c": 4.0, "rated_as": "maker", "rated_limit_c": 3.0}
        unsure: dict[str, Any] = {"limit_from_c": None, "limit_to_c": None}
        figure = nights(river, **rated | unsure | changed).story().figure
        assert figure is not None
        _, ring = plain(figure.caption).split("Dotted, from a ring: ")
        return ring.partition(". Orange")[0]

    maker = "the maker’s rating of “Summer quilt”, 3 °C as a limit (4 °C as given)"
    unknown = "how far it is off for you is not known"
    assert told(limit_basis="own", limit_c=9.4) == f"{maker}; your own limit lies 6.4 °C above it"
    assert told(limit_basis="own", limit_c=1.0) == f"{maker}; your own limit lies 2 °C below it"
    assert told(limit_basis="own", limit_c=3.0) == f"{maker}; your own limit is the same"
    assert told(limit_basis="rated", limit_c=3.0) == f"{maker}; {unknown}"
    assert told(limit_basis="rated", limit_c=3.0, rated_as="limit", rated_low_c=3.0) == (
        f"the limit rating of “Summer quilt”, 3 °C; {unknown}"
    )


def test_a_bag_is_called_as_the_thing_that_came_along(river: DebriefPage) -> None:
    kinds = {"consumable_g": 0.0, "vehicle_g": 0.0, "items": 1, "worn_g": 0.0}
    rows = [
        {**kinds, "bag": "frame BAG", "base_g": 900.0},
        {**kinds, "bag": "blue sack", "base_g": 500.0},
    ]
    gear = [*river.data.gear, {**river.data.gear[0], "item": "fb", "name": "Frame bag"}]
    section = with_data(river, by_bag=rows, gear=gear).bags()
    assert plain(section.answer[0]) == (
        "“Frame bag” was the heaviest bag, 900 g; next “blue sack”, 500 g."
    )
    assert section.table is not None
    assert [row["bag"] for row in section.table.rows] == ["Frame bag", "blue sack"]


def test_food_is_told_as_all_that_was_taken(river: DebriefPage) -> None:
    table = river.food_and_fuel().table
    assert table is not None
    assert "Taken in all" in [column.header for column in table.columns]
    assert "start" not in table.html()


def test_the_key_of_a_few_marks_stands_with_the_picture(river: DebriefPage) -> None:
    start = river.data.trip.start_on
    notes = [
        {"source": "used", "name": f"Thing {n}", "note": "torn", "day": start, "item": f"t{n}"}
        for n in range(6)
    ]
    page = with_data(river, thing_notes=notes, comfort=(), failures=())
    table = page.story().table
    assert table is not None
    assert len(table.rows) == 6
    assert "<details" not in table.html()


def test_a_trip_that_others_followed_is_not_the_one_to_get_ready_from(river: DebriefPage) -> None:
    assert river.data.latest
    earlier = with_data(river, latest=False)
    assert "To do" not in [point.about for point in earlier.opening().points]
    section = earlier.to_do()
    as_of = f"as of {earlier.data.today.day} {earlier.data.today:%B %Y}"
    assert section.heading == f"To do, {as_of}"
    table = earlier.insurance().table
    assert table is not None
    assert f"Last check, {as_of}" in table.html()
    assert section.answer == (
        "There is something to do for 12 things that came along, in 8 boxes. "
        "Mend “Air mat” and “Water filter”.",
    )
    assert section.fold == "The list, to tick off"
    assert section.more == river.to_do().more
    assert section.caution == river.to_do().caution


def test_the_first_sentences_tell_nights_then_failures_then_what_stayed_packed(
    river: DebriefPage,
) -> None:
    told = plain(river.opening().sentence)
    assert told == (
        "The coldest night came down to 0 °C, too cold. “Air mat” and “Left pannier” failed. "
        "4 things (866 g) were never taken out, not counting first aid, repair and other insurance."
    )


def test_of_an_empty_can_weighed_without_it_no_can_is_told(river: DebriefPage) -> None:
    rows = [{**row, "share": 0.1} for row in river.data.brought_home]
    assert "can" not in with_data(river, brought_home=rows).food_and_fuel().answer[0].split()
    rows = [{**row, "share": None} for row in river.data.brought_home]
    assert "with its can" not in with_data(river, brought_home=rows).food_and_fuel().answer[0]


def test_what_was_not_needed_is_no_advice(river: DebriefPage) -> None:
    out = river.data.never_out
    assert out is not None
    bare = replace(out, could_stay=(), no_weather=(), stays_listed=())
    first_three = "One trip cannot say whether “Thing 0”, “Thing 1”, “Thing 2”"
    cases = (
        ([None], "One trip cannot say whether 1 thing is needed."),
        (["Early."], "One trip cannot say whether “Thing 0” is needed."),
        (["Early.", None, None], "One trip cannot say whether “Thing 0” and 2 more are needed."),
        (["E."] * 4, f"{first_three} and “Thing 3” are needed."),
        (["E."] * 6, f"{first_three} and 3 more are needed."),
    )
    for whys, told in cases:
        rows = [{**out.items[0], "name": f"Thing {n}", "why": why} for n, why in enumerate(whys)]
        page = with_data(river, never_out=replace(bare, items=rows, not_needed=rows))
        often = (f"Reason 1, of {len(rows)} of them: E.",) if len(rows) > 3 else ()
        assert page.never_out().answer[1:] == (told, *often)
        point = page.opening().points[3]
        they_are = "it is" if len(rows) == 1 else "they are"
        assert point.more == f"One trip cannot say whether {they_are} needed."
    kept = replace(
        out, stays_listed=[{**r, "why": "So."} for r in out.items], not_needed=(), could_stay=()
    )
    assert with_data(river, never_out=kept).opening().points[3].more == "Take them again."
    less = replace(kept, could_stay=out.items[:1], stays_listed=kept.stays_listed[1:])
    more = with_data(river, never_out=less).opening().points[3].more
    assert more == f"“{out.items[0]['name']}” could have stayed at home. Take 3 again."


def test_a_thing_that_failed_twice_is_one_thing(river: DebriefPage) -> None:
    assert failing(river, {}, {"fixed_on": date(2026, 5, 16)}).failures().answer[0] == (
        "1 thing failed twice in all, 1 not fixed yet."
    )


def test_a_thing_with_two_chores_is_one_thing_to_see_to(river: DebriefPage) -> None:
    twice = replace(river.data.chores[0], kind="charge")
    first = with_data(river, chores=(*river.data.chores, twice)).to_do().answer[0]
    assert first == "There is something to do for 12 things that you own, in 9 boxes."


def test_a_note_stands_beside_what_it_speaks_of(river: DebriefPage) -> None:
    item = river.data.gear[0]["item"]
    notes = [{"item": item, "name": "X", "day": None, "source": "carried", "note": "Held <b>"}]
    page = with_data(river, thing_notes=notes)
    everything = page.never_out().more[0]
    assert [row["note"] for row in everything.rows if row["item"] == item] == ["“Held <b>”"]
    assert "Held &lt;b&gt;" in everything.html()
    assert failing(river, {"note": "at the ford"}).failures().answer[1] == (
        "“Air mat” (a nuisance, not fixed). “at the ford”"
    )
    opening = with_data(river, trip=replace(river.data.trip, note="Rain <i>all</i> day")).opening()
    assert "<blockquote><p>Rain &lt;i&gt;all&lt;/i&gt; day</p></blockquote>" in opening.html()
    assert "“Rain <i>all</i> day”" in opening.text()
    silent = with_data(river, trip=replace(river.data.trip, note=None)).opening()
    assert "<blockquote>" not in silent.html()


def test_a_part_of_the_days_is_at_least(river: DebriefPage) -> None:
    evidence = tuple(
        replace(each, logged=2) if each.kind == "distances" else each
        for each in river.data.evidence
    )
    page = with_data(river, evidence=evidence)
    section = page.days()
    assert plain(section.answer[0]).startswith("200 km noted on 2 of 4 days, with 1350 m of")
    assert plain(page.opening().lines[1]).startswith("200 km noted on 2 of 4 days · ")


def test_a_motor_tells_what_it_took(river: DebriefPage) -> None:
    rows = [{**row, "battery_wh": 300.0, "mode": "ebike"} for row in river.data.moves]
    answer = with_data(river, moves=rows).days().answer
    # 4 x 300 Wh over 199.7 km: 6.009 Wh per km.
    assert plain(answer[-1]) == "The motor took 1200 Wh, 6.0 Wh per km."


def test_modes_are_told_apart_where_there_are_several(river: DebriefPage) -> None:
    first, *rest = river.data.moves
    answer = with_data(river, moves=[{**first, "mode": "paddle"}, *rest]).days().answer
    assert plain(answer[1]) == "By boat 44 km, by bike 156 km."


def test_the_same_weight_packed_differently(river: DebriefPage) -> None:
    changes = river.data.changes
    assert changes is not None
    page = with_data(river, changes=replace(changes, difference_g=0.0))
    assert page.changes().answer[0].startswith("As heavy as “The ridge again, in autumn”")
    assert page.opening().points[4].more == "The same as on “The ridge again, in autumn”."
    same = with_data(river, changes=replace(changes, difference_g=0.0, parts=[]))
    assert same.changes().answer[0].startswith("No change of base weight since")
    unknown = with_data(river, changes=replace(changes, difference_g=None))
    assert unknown.changes().html() == ""
    assert unknown.opening().points[4].more == ""


def test_nothing_left_of_food_is_said(river: DebriefPage) -> None:
    rows = [{**row, "brought_home_g": 0.0, "share": 0.0} for row in river.data.brought_home]
    page = with_data(river, brought_home=rows)
    assert page.food_and_fuel().answer == ("Nothing came home: all of what is noted was used up.",)


def test_a_check_that_was_never_made_reads_never(river: DebriefPage) -> None:
    table = river.insurance().table
    assert table is not None
    assert [row["checked"] for row in table.rows[:2]] == ["10 February 2024", "never"]


def test_a_bike_alone_weighs_nothing_from_the_skin_out(river: DebriefPage) -> None:
    rows = [row for row in river.data.by_system if row["system"] == "bike"]
    bare = {"base_g": 0.0, "worn_g": 0.0, "consumable_g": 0.0, "skin_out_g": 0.0}
    page = with_data(
        river,
        by_system=rows,
        weight=replace(river.data.weight, **bare, vehicle_g=13400.0),
    )
    section = page.weight()
    assert [plain(line) for line in section.answer] == [
        "0 kg of base weight, 0 kg from the skin out, without the bike.",
        "The bike and what is on it weighed another 13.40 kg.",
    ]
    assert section.figure is None


def test_many_things_to_look_over_fold_and_a_few_do_not(river: DebriefPage) -> None:
    def html(many: int) -> str:
        chore = next(each for each in river.data.chores if each.kind == "check")
        one = [replace(chore, item=f"i{n}", name=f"Thing {n}") for n in range(many)]
        return str(with_data(river, chores=tuple(one)).to_do().html())

    folded, title = html(9), "<summary>Look over 9 things: no check within the last year</summary>"
    assert title in folded
    assert '<input type="checkbox"' in folded.partition(title)[2]
    assert "<details" not in html(8)
    assert "<h3>Look over: no check within the last year</h3>" in html(8)


def test_the_head_names_the_bike_or_boat_and_for_how_many_the_food_was(river: DebriefPage) -> None:
    trip = river.data.trip
    assert "with “Touring bike”" in river.opening().lines[1]
    two = with_data(river, trip=replace(trip, people=2)).opening().lines[1]
    assert two.endswith(" · food for 2 people")
    bikes = [g for g in river.data.gear if g["system"] == "bike"]
    others = [g for g in river.data.gear if g["system"] != "bike"]
    # A pump alone is no bike, and what is not weighed may be the heavier thing.
    for gear in (
        [*others, {**bikes[0], "weight_g": 120.0}],
        [*others, *bikes, {**bikes[0], "weight_g": None, "unweighed": True}],
        [],
    ):
        assert "with “" not in with_data(river, gear=gear).opening().lines[1]
