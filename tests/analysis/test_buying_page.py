"""What the page on buying says of the demo logbook and of small ones, and its pictures."""

from datetime import date
from typing import Any

import pytest
from store_drawing import carried, empty_store, fill, gear, trip
from tarebook.analysis import buying_page
from tarebook.analysis.section import Section
from tarebook.analysis.theme import LAYOUTS
from tarebook.analysis.words import Display
from tarebook.tripdata.errors import QuestionError

TODAY = date(2026, 11, 25)
PARTS = ("side_by_side", "before_next", "what_broke", "how_long", "kilogram")


@pytest.fixture(scope="module")
def page(demo: Any) -> Any:
    return buying_page.read(demo, "", today=TODAY, display=Display())


def plain(text: str) -> str:
    return text.replace("\u202f", " ")


def sections(page: Any) -> list[Section]:
    return [*(getattr(page, name)() for name in PARTS), *page.each().parts]


def test_the_opening_answers_for_every_candidate(page: Any) -> None:
    opening = page.opening()
    assert opening.title == "The case for buying"
    first, *rest = [plain(point.text()) for point in opening.points]
    assert first == (
        "Worth buying: Warmer quilt would spare you cold nights; Down jacket, lighter and Power "
        "bank, small wait, as 855 g may stay at home for nothing."
    )
    assert rest[0] == (
        "Down jacket, lighter: Not yet: leave 855 g at home first, for nothing. 300 USD, 90 g "
        "lighter."
    )
    assert [p.about for p in opening.points if p.leads] == ["Worth buying"]
    assert rest[-1].startswith("Fails most: Gravel bike: twice in 28 nights.")


def test_each_candidate_is_told_all_there_is(page: Any) -> None:
    told = {part.heading: part for part in page.each().parts}
    jacket = [plain(line) for line in told["Down jacket, lighter"].answer]
    assert jacket[0] == "Not yet: leave 855 g at home first, for nothing."
    assert "It saves 90 g for 300 USD, while 855 g of things that your record lets go" in jacket[2]
    assert "It costs 300 USD, 3.33 USD for each gram saved." in jacket[2]
    assert jacket[3].startswith("What would change this: When those things stay at home")
    quilt = told["Warmer quilt"]
    assert quilt.figure is not None
    assert quilt.caution is not None
    lines = {row["what"]: (row["now"], row["then"]) for row in quilt.table.rows}
    assert lines["Nights no colder than the rating, as a limit"] == ("47 of 47", "47 of 47")
    assert lines["Nights that felt, or would feel, too cold"] == ("8 of 45", "about 0 of 45")
    assert "A too cold night in a year like the last" in lines
    assert "Sleep score, points a night" in lines
    bank = told["Power bank, small"]
    assert {row["what"]: row["then"] for row in bank.table.rows}["Holds"] == "19 Wh"
    assert "It holds 19 Wh instead of 37 Wh." in bank.answer[2]


def test_what_never_failed_and_what_is_not_reached_are_said(page: Any) -> None:
    broke, life = page.what_broke(), page.how_long()
    assert "never failed, which is no proof of never" in broke.answer[1]
    never = next(row for row in broke.table.rows if row["failures"] == 0)
    assert never["pooled"].startswith("at most ")
    assert never["exact"] == "at most 4.4"
    assert "was not reached in any system" in life.answer[0]
    every = "".join(part.html() + part.text() for part in (broke, life))
    assert "inf" not in every.replace("inform", "")
    assert "nan" not in every


def test_what_a_kilogram_costs_and_what_a_spare_battery_is_worth(page: Any) -> None:
    told = page.kilogram()
    assert told.answer[0].startswith("Each kilogram took 3.2 kJ a km on foot (2.5 to 3.9)")
    battery = told.answer[-1]
    assert "holds 625 Wh; carrying it took about 32 Wh a trip" in battery
    assert "It was noted as used on none of 5 trips; 4 of 5 trips drew more in all" in battery
    assert "load limits" in told.caution
    assert any("there is no formula for paddling" in note for note in told.notes)


def test_pictures_keep_their_width_and_every_part_renders(page: Any) -> None:
    for part in sections(page):
        assert part.html()
        if part.figure is not None:
            for layout in LAYOUTS:
                part.figure.spec(layout, validate=True)
                assert part.figure.svg(layout)


def test_one_candidate_is_a_page_of_its_own(demo: Any) -> None:
    one = buying_page.read(demo, "Three season quilt", today=TODAY, display=Display("oz", "f"))
    opening = one.opening()
    assert opening.title == "The case for buying: Warmer quilt"
    assert [p.about for p in opening.points] == ["Warmer quilt", "Fails most"]
    assert "oz heavier" in plain(opening.points[0].more)
    assert one.side_by_side().html() == ""
    assert "°F" in one.each().parts[0].answer[3]
    with pytest.raises(QuestionError, match="candidate: expected one of"):
        buying_page.read(demo, "yacht", today=TODAY, display=Display())


def test_an_empty_logbook_has_a_page_that_says_so() -> None:
    with empty_store() as connection:
        found = buying_page.read(connection, "", today=TODAY, display=Display())
    assert found.opening().points[0].text().startswith("Candidates: None.")
    assert all(part.html() == "" for part in sections(found))


def test_several_currencies_have_a_panel_each() -> None:
    with empty_store() as connection:
        fill(connection, {
            "gear": [gear("jacket")],
            "trip": [trip("t", date(2026, 5, 1), 2, use_record="full")],
            "carried": [carried("t", "jacket", used=1)],
            "candidates": [
                {"candidate": name, "name": name, "system": "clothing", "weight_mg": 80_000,
                 "carried_as": "base", "price": 100.0, "currency": currency, "rated_as": "maker",
                 "replaces": ["jacket"]}
                for name, currency in (("a", "EUR"), ("b", "USD"), ("c", "USD"))
            ],
        })  # fmt: skip
        found = buying_page.read(connection, "", today=TODAY, display=Display())
    figure = found.side_by_side().figure
    for layout in LAYOUTS:
        spec = figure.spec(layout, validate=True)
        assert len(spec["vconcat"]) == 2
        assert figure.svg(layout)
