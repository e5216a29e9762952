"""What a debrief says of the hand-written logbooks, word by word."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from tarebook.analysis.display.cautions import COLD_CARE, WATER_CARE
from tarebook.analysis.display.sections import Point

Logbook = Callable[[str], Path]
Pages = Callable[..., Any]

OPENINGS = {
    "2024-06-islands": (
        "Islands with the club",
        ("14–16 June 2024 · 2 nights by boat · Long lake", "36.5 km · coldest 9 °C"),
        (
            Point("How it was", "Dry on the 2 days noted.",
                  "Your words on camp: “chair on the rock”; on sleep: “loons all night”. 1 "
                  "of the 2 nights was slept well, 4 out of 5."),
            Point("Coldest night", "9 °C, a good night.",
                  "Fri 14 June, sleep scored 4 out of 5, felt neither cold nor warm. "
                  "That is 8 °C above the comfort rating of “Summer quilt”, taken as a limit of "
                  "1 °C."),
            Point("Failed", "Nothing was noted."),
            Point("Never taken out", "3 things, 648 g.",
                  "Take 2 again. One trip cannot say whether the other one is needed."),
            Point("Base weight", "At least 4.31 kg."),
        ),
        ("“Canoe” has no weight yet, so the sums with it read “at least”.",),
    ),
    "2025-05-ridge": (
        "Over the ridge",
        ("9–11 May 2025 · 2 nights by bike · Ridge road",
         "142 km · 1490 m of climbing · coldest 4.5 °C · with “Touring bike”"),
        (
            Point("How it was", "Rain on 1 of 3 days.",
                  "Your words on sleep: “all clothes on”. Neither night scored 4 or more "
                  "out of 5 for sleep."),
            Point("Coldest night", "4.5 °C, a middling night.",
                  "Fri 9 May, sleep scored 3 out of 5, felt slightly cool. "
                  "That is 3.5 °C above the comfort rating of “Summer quilt”, taken as a limit of "
                  "1 °C. "
                  "The night of Sat 10 May felt cool, though it was 0.5 °C milder; noted of it and "
                  "not of the coldest night: rain and more wind (25 km/h against 12). The "
                  "thermometer missed its small hours, so it may have been colder."),
            Point("Failed", "“Spare tube”: worked badly, fixed.",
                  "Puncture. Also “Water filter” (a nuisance, not fixed)."),
            Point("Never taken out", "3 things, 798 g.",
                  "Take 2 again. One trip cannot say whether the other one is needed."),
            Point("Base weight", "4.11 kg, ultralight."),
        ),
        (),
    ),
    "2025-09-ridge": (
        "The ridge again, in autumn",
        ("26–29 September 2025 · 3 nights by bike · Ridge road",
         "180 km · 1910 m of climbing · coldest −1 °C · with “Touring bike”"),
        (
            Point("How it was", "Dry on all 4 days.",
                  "Your words on “First-aid kit”: “blister”; on “Multi-tool”: “brake rubbed”. "
                  "All 3 nights were slept well, 4 or 5 out of 5."),
            Point("Coldest night", "−1 °C, a good night.",
                  "Sat 27 September, sleep scored 4 out of 5, felt slightly cool. "
                  "That is 8 °C above the comfort rating of “Winter bag”, taken as a limit of "
                  "−9 °C."),
            Point("Failed", "Nothing was noted."),
            Point("Never taken out", "3 things, 1.06 kg.",
                  "For 2 the weather did not come. Take “Sit chair” again."),
            Point("Base weight", "5.03 kg, lightweight.", "922 g more than on “Over the ridge”."),
        ),
        (),
    ),
    "2026-02-hut": (
        "Day out, skis left behind",
        ("21 February 2026 · a day out on foot · Home woods",),
        (),
        ("What was carried is not noted, so there is little to look back on.",),
    ),
    "2026-05-river": (
        "Down the river valley",
        ("14–17 May 2026 · 3 nights by bike · River valley",
         "200 km · 1350 m of climbing · coldest 0 °C · with “Touring bike”"),
        (
            Point("How it was", "Fun scored 5 out of 5, rain on 1 of 4 days.",
                  "Your words on camp: “chair by the water”; on “Sit chair”: “sent home from "
                  "the village shop”; on sleep: “cold from three on; jacket, hat and socks in the "
                  "quilt”. 2 of the 3 nights were slept well, 4 out of 5."),
            Point("Coldest night", "0 °C, too cold.",
                  "Fri 15 May, sleep scored 2 out of 5, felt cool. "
                  "That is 1 °C below the comfort rating of “Summer quilt”, taken as a limit of "
                  "1 °C. “Air mat” had failed, so that this limit does not hold for that night."),
            Point("Failed", "“Air mat”: worked badly, not fixed.",
                  "Slow leak at the valve. Also “Left pannier” (a nuisance, fixed)."),
            Point("Never taken out", "4 things, 866 g.",
                  "Take 3 again. One trip cannot say whether the other one is needed."),
            Point("Base weight", "4.56 kg, lightweight.",
                  "470 g less than on “The ridge again, in autumn”."),
            Point("To do", "Mend “Air mat” and “Water filter”.",
                  "Check and refill “First-aid kit”. "
                  "Look over 7 things: no check within the last year."),
        ),
        (),
    ),
}  # fmt: skip


def plain(text: str) -> str:
    """The text with ordinary blanks, so that it can be written in a test."""
    return text.replace("\u202f", " ")


@pytest.fixture(scope="module")
def lakes(logbook: Logbook) -> Path:
    return logbook("lakes")


@pytest.mark.parametrize("trip", OPENINGS)
def test_the_opening_says_it_all_in_a_few_sentences(
    lakes: Path, debrief_page: Pages, trip: str
) -> None:
    opening = debrief_page(lakes, trip).opening()
    title, lines, points, notices = OPENINGS[trip]
    assert opening.title == title
    assert tuple(map(plain, opening.lines)) == lines
    told = tuple(Point(p.about, plain(p.answer), plain(p.more)) for p in opening.points)
    assert told == points
    # A day out knows no cold night; all others had one below 10 °C.
    care = "" if trip == "2026-02-hut" else COLD_CARE
    if trip == "2024-06-islands":
        care = f"{COLD_CARE} {WATER_CARE}"
    assert opening.caution == care
    assert tuple(map(plain, opening.notices)) == notices


def test_a_messy_logbook_says_first_what_is_missing(logbook: Logbook, debrief_page: Pages) -> None:
    opening = debrief_page(logbook("spreadsheets"), "2026-07-fjord").opening()
    assert opening.notices[-2:] == (
        "10 records of this trip could not be read and are missing here. Run tarebook check: it "
        "names each of them and what to correct.",
        "“Kayak” and “Knife” have no weight yet, so the sums with them read “at least”.",
    )
    assert plain(opening.points[4].answer) == "At least 2.16 kg."


@pytest.mark.outside(
    "published",
    "NIST SP 811, B.8: t/°C = (t/°F - 32)/1.8; an interval of 1 °C is 1.8 °F",
    "0 °C is 32 °F, a difference of .455 °C is .8 °F",
)
@pytest.mark.outside(
    "published",
    "NIST Handbook 44, appendix C",
    "866 g are 1.91 lb, 4561 g 10.06 lb, 199.7 km 124 mi, 1350 m 4429 ft",
)
@pytest.mark.parametrize(
    ("units", "told"),
    [
        (("g", "c", "km"), ("4 things, 866 g.", "0 °C, too cold.", "4.56 kg, lightweight.",
                            "200 km · 1350 m of climbing", "1 °C below the comfort rating")),
        # 866 g = 1.909 lb; 4561 g = 10.055 lb; 199.7 km = 124.09 mi; 1350 m = 4429.1 ft. A
        # difference of 1 °C is 1.8 °F, and 0 °C is 32 °F.
        (("oz", "f", "mi"), ("4 things, 1.91 lb.", "32 °F, too cold.", "10.06 lb, lightweight.",
                             "124 mi · 4429 ft of climbing", "1.8 °F below the comfort rating")),
    ],
)  # fmt: skip
def test_the_opening_speaks_the_readers_units(
    lakes: Path, debrief_page: Pages, units: tuple[str, ...], told: tuple[str, ...]
) -> None:
    opening = debrief_page(lakes, "2026-05-river", *units).opening()
    text = plain(opening.text())
    for each in told:
        assert each in text


def test_every_section_speaks_the_readers_units(lakes: Path, debrief_page: Pages) -> None:
    page = debrief_page(lakes, "2026-05-river", "oz", "f", "mi")
    sections = (
        page.never_out(),
        page.nights(),
        page.weight(),
        page.bags(),
        page.changes(),
        page.food_and_fuel(),
        page.days(),
    )
    for section in sections:
        text = plain(section.text())
        for unit in (" g", " kg", " °C", " km", " m "):
            assert f"{unit}." not in text, (section.heading, unit)
            assert f"{unit} " not in text, (section.heading, unit)
        for column in section.table.columns if section.table else ():
            assert column.unit in ("", "oz", "°F", "mi", "ft", "h"), section.heading


SECTIONS = (
    ("story", "The trip, day by day",
     ("The longest day was Sun 17 May, 61 km; the coldest night was Fri 15 May, 0 °C, sleep scored "
      "2 out of 5, felt cool.",)),
    ("never_out", "What stayed packed",
     ("4 of 31 things were never taken out, not counting first aid, repair and other insurance: "
      "866 g. One trip proves little: what stayed packed this time may be needed the next.",
      "Take “Power bank”, “Rain trousers” and “Spare socks” again.",
      "One trip cannot say whether “Paperback” is needed.")),
    ("insurance", "The insurance shelf",
     ("7 things, 737 g, were carried in the hope of not needing them.",
      "Needed all the same: “First-aid kit”, “Mini pump”, “Multi-tool” and “Map and compass”. "
      "None of it is waste, used or not: look it over and carry it again.")),
    ("failures", "What failed",
     ("2 things failed, 1 not fixed yet.",
      "Fri 15 May: “Air mat”: slow leak at the valve (worked badly, not fixed).",
      "Sat 16 May: “Left pannier”: lower hook rattles loose (a nuisance, fixed: cable tie).")),
    ("wishes", "What was missed",
     ("“Winter bag” (owned, left at home): missed much. “for the second night”",
      "“a thicker hat” (not owned): missed little.")),
    ("nights", "The nights",
     ("2 of the 3 nights were slept well, 4 out of 5.",
      "0 °C on the coldest night, Fri 15 May, sleep scored 2 out of 5, felt cool.",
      "That is 1 °C below the comfort rating of “Summer quilt”, taken as a limit of 1 °C. “Air "
      "mat” had failed, so that this limit does not hold for that night.")),
    ("days", "How far, and how it felt",
     ("200 km with 1350 m of climbing in 16.5 hours on the move. "
      "Camp 5 out of 5, moving 3 out of 5, fun 5 out of 5.",
      "The longest day was Sun 17 May, 61 km.")),
    ("weight", "What it weighed",
     ("4.56 kg of base weight, 8.17 kg from the skin out, without the bike.",
      "The skin-out weight takes in 0.28 kg worn and 3.33 kg of food, water, fuel and other "
      "consumables. "
      "The bike and what is on it weighed another 15.19 kg.",
      "Sleep is the heaviest system: 1.09 kg, 24 % of the base weight.")),
    ("bags", "How the bags were loaded",
     ("“Right pannier” was the heaviest bag, 4.77 kg; next “Left pannier”, 2.49 kg.",
      "3.33 kg of the heaviest bag was consumables, so it grew lighter.")),
    ("changes", "What changed since last time",
     ("470 g lighter than “The ridge again, in autumn” (26 September 2025), "
      "the last trip by bike.",
      "Brought along +788 g, left at home −1190 g, more or fewer of the same −68 g.")),
    ("food_and_fuel", "Food and fuel that came home",
     ("420 g of “Food” (14 %) and 118 g of “Gas canister” with its can (52 %) came home.",)),
    ("to_do", "To do before the next trip",
     ("There is something to do for 12 things that you own, in 8 boxes.",)),
)  # fmt: skip


@pytest.mark.parametrize(("name", "heading", "answer"), SECTIONS, ids=[s[0] for s in SECTIONS])
def test_a_section_answers_first(
    lakes: Path, debrief_page: Pages, name: str, heading: str, answer: tuple[str, ...]
) -> None:
    section = getattr(debrief_page(lakes, "2026-05-river"), name)()
    assert section.heading == heading
    assert tuple(map(plain, section.answer)) == answer
    assert section.html().startswith("<section")


@pytest.mark.parametrize("name", [name for name, _, _ in SECTIONS if name != "to_do"])
def test_a_section_without_data_shows_nothing_at_all(
    lakes: Path, debrief_page: Pages, name: str
) -> None:
    section = getattr(debrief_page(lakes, "2026-02-hut"), name)()
    assert section.missing
    assert section.html() == ""
    assert section.text() == ""


def test_what_was_not_logged_is_told_in_one_line(lakes: Path, debrief_page: Pages) -> None:
    told = debrief_page(lakes, "2026-02-hut").not_logged()
    assert told.answer == ("On this trip: what was carried, distance and weather.",)
    assert debrief_page(lakes, "2026-05-river").not_logged().html() == ""
    islands = debrief_page(lakes, "2024-06-islands").not_logged()
    assert islands.answer == ("On this trip: climbing and thermometer readings.",)


def test_the_checklists_hold_what_waits(lakes: Path, debrief_page: Pages) -> None:
    lists = debrief_page(lakes, "2026-05-river").to_do().more
    told = {each.heading: [(task.what, task.about) for task in each.tasks] for each in lists}
    assert told == {
        "Mend": [
            ("Air mat", "Slow leak at the valve. Works badly."),
            ("Water filter", "Slow flow. A nuisance since 11 May 2025."),
        ],
        "Check and refill": [("First-aid kit", "opened on 17 May 2026, and not checked since")],
        "Look over: no check within the last year": [
            ("Safety", "“Emergency blanket”, “Buoyancy aid” and “Whistle”"),
            ("Navigation", "“Map and compass”"),
            ("Repair", "“Mini pump”, “Multi-tool” and “Spare tube”"),
        ],
        "Charge": [("Head torch", ""), ("Power bank", "")],
    }


def test_cautions_stand_where_they_belong(lakes: Path, debrief_page: Pages) -> None:
    page = debrief_page(lakes, "2026-05-river")
    assert "Cold can injure and kill." in page.opening().caution
    assert "promise nothing" in page.opening().caution
    assert "Cold can injure" not in page.nights_and_days().text() + page.expected().text()
    assert "load limit" in page.load().caution
    assert "load limit" in page.bags().caution
    assert "First aid" in page.to_do().caution
    assert "batteries" in page.to_do().caution
    assert "boat" in debrief_page(lakes, "2024-06-islands").bags().caution


def test_cold_water_is_warned_of_wherever_a_boat_came_along(
    lakes: Path, debrief_page: Pages
) -> None:
    page = debrief_page(lakes, "2024-06-islands")
    data = page.data
    boat = {"system": "boat", "name": "Boat", "weight_g": None, "unweighed": True}
    for mode, moves, gear, afloat in (
        ("mixed", (), (), True),
        ("foot", ({"mode": "paddle"},), (), True),
        (None, (), (boat,), True),
        (None, (), (), False),
        ("foot", ({"mode": "foot"},), (boat,), True),
    ):
        trip = replace(data.trip, mode=mode)
        other = replace(page, data=replace(data, trip=trip, moves=moves, gear=gear))
        assert (WATER_CARE in other.opening().caution) is afloat, mode


def test_no_sentence_sends_anything_home(lakes: Path, debrief_page: Pages) -> None:
    page = debrief_page(lakes, "2026-05-river")
    insurance = page.insurance().text()
    assert "None of it is waste" in insurance
    assert "carry it again" in insurance
    assert "may be needed the next" in page.never_out().text()
    for name, _, _ in SECTIONS:
        text = getattr(page, name)().text().lower()
        for advice in ("leave it", "leave them", "do without", "not worth", "should stay"):
            assert advice not in text
