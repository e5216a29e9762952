"""What the page on buying says of the demo logbook and of small ones, and its pictures."""

from datetime import date
from typing import Any

import pytest
from store_drawing import carried, empty_store, fill, gear, trip
from tarebook.analysis.buying.cautions import usual_cautions
from tarebook.analysis.buying.page import page as buying_page
from tarebook.analysis.display.cautions import HEAVIER_CARE, NEW_BATTERY_CARE, NEW_BEDDING_CARE
from tarebook.analysis.display.sections import Section
from tarebook.analysis.display.theme import LAYOUTS
from tarebook.analysis.display.words import Display, mass, wanted
from tarebook.tripdata.errors import QuestionError

TODAY = date(2026, 11, 25)
PARTS = ("side_by_side", "before_next", "what_broke", "how_long", "kilogram")


@pytest.fixture(scope="module")
def page(demo: Any) -> Any:
    return buying_page.read_buying(demo, "", today=TODAY, display=Display())


def plain(text: str) -> str:
    return text.replace("\u202f", " ")


def sections(page: Any) -> list[Section]:
    return [*(getattr(page, name)() for name in PARTS), *page.each().parts]


def test_the_opening_answers_for_every_candidate(page: Any) -> None:
    opening = page.opening()
    assert opening.title == "The case for buying"
    first, *rest = [plain(point.text()) for point in opening.points]
    let_go = page.cases[0].alternative
    grams = plain(mass(let_go.let_go_g, Display()))
    assert let_go.let_go_g >= 90
    assert first.startswith(
        "Worth buying: Buy nothing yet. For cold nights try your own “Winter sleeping bag” before "
        "paying for “Warmer quilt”. “Down jacket, lighter” and “Power bank, small” can wait."
    )
    price = wanted(let_go.let_go_misses, len(let_go.let_go_names))
    price += ", very likely no more than once in 3"
    assert rest[0] == (
        f"Down jacket, lighter: Not yet: {grams} of your gear could stay at home without spending "
        f"anything; {price}. "
        "300 USD, 90 g lighter. Whether “Down jacket, lighter” is as warm as “Down jacket”, the "
        "record cannot say: try it near home, in the cold, before you rely on it."
    )
    assert [p.about for p in opening.points if p.leads] == ["Worth buying"]
    assert rest[-1].startswith(
        "Failures: Of what is still in use, “Gravel bike” failed most often for its nights: twice "
        "in 28 nights. "
        "That is very likely 0.5 to 8.1 times in 100 nights."
    )
    assert (
        rest[1] == "Power bank, small: Not yet, for the same reason. 32 USD, 72 g lighter. It "
        "holds 19 Wh instead of 37 Wh."
    )


def test_what_stays_at_home_beside_another_thing_alone_is_told_with_that(page: Any) -> None:
    beside = page.cases[0].alternative.beside
    assert beside == {"Trekking umbrella": "Rain jacket, light"}
    condition = "Leave “Trekking umbrella” at home only while “Rain jacket, light” comes along."
    named = [
        line for part in sections(page) for line in part.answer if "“Trekking umbrella”" in line
    ]
    assert named
    assert all(condition in line for line in named)
    assert condition in page.side_by_side().answer[0]


def test_the_caution_comes_right_after_the_answer(page: Any) -> None:
    html = page.opening().html()
    assert html.index("Worth buying") < html.index("Take care.") < html.index("Warmer quilt</dt>")


def test_each_candidate_is_told_all_there_is(page: Any) -> None:
    told = {part.heading: part for part in page.each().parts}
    jacket = [plain(line) for line in told["Down jacket, lighter"].answer]
    assert (
        "of your gear could stay at home without spending anything; you would want one" in jacket[0]
    )
    assert "It saves 90 g for 300 USD, while " in jacket[2]
    assert "The price: you would want " in jacket[2]
    assert "It costs 300 USD, 3.33 USD for each gram saved." in jacket[2]
    assert jacket[3].startswith("What would change this: Once those things stay at home")
    assert jacket[3].endswith("are a matter of price and of whether it is as warm: ask again then.")
    assert "Whether “Down jacket, lighter” is as warm" in (
        told["Down jacket, lighter"].caution or ""
    )
    quilt = told["Warmer quilt"]
    assert quilt.figure is not None
    assert quilt.answer[0].endswith("Try that first."), "what is owned is never folded"
    lines = {row["what"]: (row["now"], row["then"]) for row in quilt.table.rows}
    assert lines["Nights no colder than the rating, as a limit"] == ("47 of 47", "47 of 47")
    replay = next(c.replay for c in page.cases if c.replay)
    least, most = (replay.cold_votes - n for n in (replay.avoided_most, replay.avoided_least))
    then = f"{replay.cold_votes - replay.avoided} of {replay.votes} ({least} to {most})"
    now = f"{replay.cold_votes} of {replay.votes}"
    assert lines["Nights that felt, or would feel, too cold"] == (now, then)
    spread = f"(very likely {replay.avoided_least} to {replay.avoided_most})"
    assert (
        "All 8 nights that were too cold in “Summer quilt” would have been warm enough "
        f"{spread}. “Winter sleeping bag”, which you own, " in quilt.answer[0]
    )
    assert "A too cold night in a year like the last" in lines
    assert "Sleep score, points per night" in lines
    bank = told["Power bank, small"]
    assert {row["what"]: row["then"] for row in bank.table.rows}["Holds"] == "19 Wh"
    assert plain(bank.caution) == "It holds 19 Wh instead of 37 Wh."
    assert all(part.fold for part in told.values())


def test_the_usual_cautions_stand_in_the_opening_once(page: Any) -> None:
    assert page.opening().caution == f"{NEW_BATTERY_CARE} {NEW_BEDDING_CARE} {HEAVIER_CARE}"
    below = " ".join(part.text() for part in sections(page))
    assert "Cold can injure and kill." not in below
    assert "Use the maker’s charger and keep batteries dry" not in below
    lighter = [case for case in page.cases if case.saved_g and case.saved_g > 0]
    assert HEAVIER_CARE not in usual_cautions(lighter), "only where one is heavier"


def test_what_never_failed_and_what_is_not_reached_are_said(page: Any) -> None:
    broke, life = page.what_broke(), page.how_long()
    assert broke.answer[1] == (
        "138 things have not failed yet, not counting what is eaten or used up. That proves "
        "little: even for those along on all 68 nights the true rate could still be up to 4.4 "
        "failures in 100 nights."
    )
    never = next(row for row in broke.table.rows if row["failures"] == 0)
    assert never["pooled"].startswith("at most ")
    assert never["exact"] == "at most 4.4"
    assert broke.answer[2].startswith("In no system has half the gear worn out yet")
    assert life.missing == "in no system has half the gear worn out yet"
    captions = [table.caption for table in broke.more]
    assert captions[2:] == ["Life by system (Kaplan–Meier)", "Price per night so far"]
    every = "".join(part.html() + part.text() for part in (broke, life))
    assert "inf" not in every.replace("inform", "")
    assert "nan" not in every


def test_what_a_kilogram_costs_and_what_a_spare_battery_is_worth(page: Any) -> None:
    told = page.kilogram()
    assert told.answer[0].startswith("Each kilogram took 3.9 kJ per km on foot (3.3 to 4.2)")
    battery = told.answer[-1]
    assert "holds 625 Wh; carrying it took about 32 Wh per trip" in battery
    assert "if the motor did all the work. You noted it as unused on all 5 trips." in battery
    assert battery.endswith(
        "No single day needed more than the main battery’s 625 Wh (largest day 536 Wh). Over the "
        "whole trip 4 of 5 did, so it depends on charging on the way."
    )
    assert "load limits" in told.caution
    assert any("there is no formula for paddling" in note for note in told.notes)


def test_in_pounds_and_miles_a_cost_is_told_by_both(demo: Any, page: Any) -> None:
    display = Display("oz", "f", "mi")
    told = buying_page.read_buying(demo, "", today=TODAY, display=display).kilogram()
    metric = float(page.kilogram().answer[0].split()[3])
    # 1 lb = .45359237 kg, 1 mi = 1.609344 km, exactly.
    pounds = f"{metric * 0.45359237 * 1.609344:.1f}"
    words = told.answer[0].split()
    assert words[:3] == ["Each", "pound", "took"]
    assert float(words[3]) == pytest.approx(float(pounds), abs=0.1)
    assert words[4:7] == ["kJ", "per", "mile"]
    shown = "".join([told.html(), told.text()])
    for slip in ("kJ a mi", "kilogram", " kg", "kJ per km"):
        assert slip not in shown, slip


def test_pictures_keep_their_width_and_every_part_renders(page: Any) -> None:
    for part in sections(page):
        assert part.html() or part.missing
        if part.figure is not None:
            for layout in LAYOUTS:
                part.figure.spec(layout, validate=True)
                assert part.figure.svg(layout)


def test_one_candidate_is_a_page_of_its_own(demo: Any) -> None:
    one = buying_page.read_buying(
        demo, "Three season quilt", today=TODAY, display=Display("oz", "f")
    )
    opening = one.opening()
    assert opening.title == "The case for buying: Warmer quilt"
    assert [p.about for p in opening.points] == ["Warmer quilt", "Failures"]
    assert "oz heavier" in plain(opening.points[0].more)
    assert one.side_by_side().html() == ""
    assert not one.each().parts[0].fold, "with one candidate nothing of it is folded"
    assert "°F" in one.each().parts[0].answer[-1]
    with pytest.raises(QuestionError, match="candidate: expected one of"):
        buying_page.read_buying(demo, "yacht", today=TODAY, display=Display())


def test_an_empty_logbook_has_a_page_that_says_so() -> None:
    with empty_store() as connection:
        found = buying_page.read_buying(connection, "", today=TODAY, display=Display())
    assert found.opening().points[0].text().startswith("Candidates: There are none.")
    assert all(part.html() == "" for part in sections(found))


def test_several_currencies_have_a_panel_each() -> None:
    with empty_store() as connection:
        fill(
            connection,
            {
                "gear": [gear("jacket")],
                "trip": [trip("t", date(2026, 5, 1), 2, use_record="full")],
                "carried": [carried("t", "jacket", used=1)],
                "candidates": [
                    {
                        "candidate": name,
                        "name": name,
                        "system": "clothing",
                        "weight_mg": 80_000,
                        "carried_as": "base",
                        "price": 100.0,
                        "currency": currency,
                        "rated_as": "maker",
                        "replaces": ["jacket"],
                    }
                    for name, currency in (("a", "EUR"), ("b", "USD"), ("c", "USD"))
                ],
            },
        )
        found = buying_page.read_buying(connection, "", today=TODAY, display=Display())
    figure = found.side_by_side().figure
    for layout in LAYOUTS:
        spec = figure.spec(layout, validate=True)
        assert len(spec["vconcat"]) == 2
        assert figure.svg(layout)
