"""What the form makes of an entry and of what is typed, without a browser."""

import json
import re
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from evening_book import write_book
from tarebook.notebooks.app import cells, widget
from tarebook.notebooks.app.beginning import doubt, trip_name
from tarebook.notebooks.app.cells import CellError, in_unit
from tarebook.notebooks.app.codec import NotAnEntryError, as_json, entry_of
from tarebook.notebooks.app.dropped import kind_of, made_of_thermometer
from tarebook.notebooks.app.merging import merged
from tarebook.notebooks.app.offered import Book, offered, read_book
from tarebook.notebooks.app.saying import said
from tarebook.notebooks.app.showing import key_of, sheet, typed
from tarebook.notebooks.app.use import ListTicks, list_ticks, use_in_words
from tarebook.tripdata.logbook_entry import (
    Along,
    Amount,
    Day,
    Dropped,
    Failure,
    Leg,
    Score,
    TripEntry,
    Wish,
    begin,
    draft,
    drafts,
    keep_draft,
    prepare,
    read_entry,
    set_draft_aside,
)

TODAY = date(2026, 11, 25)
FRONT = Path(widget.__file__).parent / "front"


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    return read_book(write_book(tmp_path_factory.mktemp("book")))


def entry(**more: Any) -> TripEntry:
    """Three things and two days, with what the form does not speak of beside what it does."""
    whole = TripEntry(
        "2026-06-ridge",
        date(2026, 6, 12),
        date(2026, 6, 13),
        mode="foot",
        people=2,
        latitude=Decimal("61.20"),
        along=(
            Along("book", used=False, quantity=2, note="the long one"),
            Along("plasters"),
            Along("oats", weight=Amount(Decimal("14.1"), "oz"), bag="Lid", from_day=None),
        ),
        days=(
            Day(
                date(2026, 6, 12),
                (Leg("", Amount(Decimal("10.50"), "mi"), None, Decimal("4.1"), Decimal(120)),),
                low=Amount(Decimal(40), "f"),
                wind=Amount(Decimal(12), "kmh"),
                conditions="bugs",
                scores=(Score("fun", 5), Score("sleep", 4, -1, "soft ground")),
            ),
            Day(date(2026, 6, 13)),
        ),
        failures=(Failure("stove", date(2026, 6, 12), "impaired", "leaks", "tape"),),
        wishes=(Wish("camp-chair", None, "leisure", "much"), Wish(what="A flask")),
        seen=(("trip.csv", "abc"),),
    )
    return replace(whole, **more)


def test_what_is_not_touched_comes_back_as_it_was(book: Book) -> None:
    for record in (None, "none", "partial", "full"):
        whole = entry(use_record=record)
        told = said(whole, typed(whole, book) | {"went": False}, book, TODAY)
        assert told.problems == []
        assert told.entry == whole


def test_climbing_waits_for_its_distance_and_what_stood_so_may_stay(book: Book) -> None:
    first = date(2026, 6, 12)
    leg = Leg("foot", None, Amount(Decimal(310), "m"), None, Decimal(240))
    whole = entry(days=(Day(first, (leg,)), Day(date(2026, 6, 13))))
    cells_of = typed(whole, book)
    assert said(whole, cells_of, book, TODAY).problems == []
    assert said(whole, cells_of, book, TODAY).entry == whole
    leg_typed = cells_of["days"][first.isoformat()]["legs"][0]
    leg_typed["distance"] = "12.5"
    told = said(whole, cells_of, book, TODAY)
    assert told.problems == []
    distance = Amount(Decimal("12.5"), "km")
    assert told.entry.days[0].legs == (replace(leg, distance=distance),)
    leg_typed |= {"distance": "", "ascent": "320"}
    (problem,) = said(whole, cells_of, book, TODAY).problems
    assert problem.at == "days.2026-06-12.legs.0.distance"
    assert problem.text == (
        "Climbing counts only beside a distance. Write the distance too, 0 if you did not move. "
        "What you typed stays here as a draft."
    )


def test_an_entry_is_the_same_through_json(book: Book) -> None:
    whole = entry(dropped=(Dropped("porch.csv", b"\x00\xff", "thermometer"),))
    assert entry_of(json.loads(json.dumps(as_json(whole)))) == whole
    for wrong in ({}, [], {"trip": 5}, {"trip": "a", "start_on": "soon"}, {"trip": "a", "b": 1}):
        with pytest.raises(NotAnEntryError):
            entry_of(wrong)


@pytest.mark.parametrize(
    ("record", "packed", "unpacked"),
    [
        # Insurance that was used is said so; all else that is not ticked counts as used.
        (None, (False, False), (None, True)),
        ("none", (False, False), (None, True)),
        # What is silent on insurance is read as unused there, and stays silent.
        ("all_but", (False, None), (None, True)),
        ("partial", (False, False), (None, True)),
        # There what is not said counts as not used already.
        ("full", (None, None), (True, True)),
    ],
)
def test_ticks_become_what_the_record_of_use_asks_for(
    book: Book, record: str | None, packed: tuple[Any, ...], unpacked: tuple[Any, ...]
) -> None:
    whole = entry(use_record=record, along=(Along("book"), Along("plasters")))
    both = {key_of(row): True for row in whole.along}
    for ticks, uses in ((both, packed), ({}, unpacked)):
        told = said(whole, typed(whole, book) | {"went": True, "packed": ticks}, book, TODAY)
        assert tuple(row.used for row in told.entry.along) == uses
        assert told.entry.use_record == ("full" if record == "full" else "all_but")


def test_a_list_that_was_not_gone_through_says_nothing(book: Book) -> None:
    whole = entry(along=(Along("book"), Along("plasters")))
    told = said(whole, typed(whole, book), book, TODAY)
    assert [row.used for row in told.entry.along] == [None, None]
    assert told.entry.use_record is None


def test_a_count_stays_where_a_thing_was_used(book: Book) -> None:
    whole = entry(use_record="all_but", along=(Along("book", used=3),))
    told = said(whole, typed(whole, book) | {"went": True}, book, TODAY)
    assert told.entry.along[0].used == 3


def test_insurance_starts_out_packed_and_a_kit_of_it_is_one_tick(book: Book) -> None:
    whole = entry(along=tuple(map(Along, ("book", "plasters", "bandage", "whistle"))))
    assert typed(whole, book)["packed"] == {
        "plasters|||": True,
        "bandage|||": True,
        "whistle|||": True,
    }
    groups = {each["name"]: each["sealed"] for each in sheet(whole, book)["groups"]}
    assert groups == {"Emergency kit": True, "Safety": False, "Leisure": False}


def test_plans_that_are_over_and_trips_without_rows_come_first(book: Book) -> None:
    trips = offered(book, TODAY)["trips"]
    assert [(each["trip"], each["state"]) for each in trips] == [
        ("2026-10-moor", "plan over"),
        ("2026-09-fen", "empty"),
        ("2026-08-bay", "empty"),
        ("2026-05-river", "noted"),
    ]
    assert offered(book, date(2026, 10, 1))["trips"][-1]["state"] == "plan"


def test_a_plan_becomes_a_trip_once_it_has_begun(book: Book) -> None:
    whole = entry(plan=True)
    assert not said(whole, typed(whole, book), book, TODAY).entry.plan
    assert said(whole, typed(whole, book), book, date(2026, 6, 1)).entry.plan


def test_rain_takes_a_number_or_a_word(book: Book) -> None:
    whole = entry()
    for text, rain, wet in (
        ("2.5", Amount(Decimal("2.5"), "mm"), None),
        ("no", None, False),
        ("wet", None, True),
        ("", None, None),
    ):
        mine = typed(whole, book)
        mine["days"]["2026-06-12"]["rain"] = text
        day = said(whole, mine, book, TODAY).entry.days[0]
        assert (day.rain, day.wet) == (rain, wet)
        assert (day.wind, day.conditions) == (whole.days[0].wind, "bugs")


@pytest.mark.parametrize(
    ("text", "number"),
    [("4.5", "4.5"), ("−3", "-3"), (" 12 ", "12"), ("1 200", "1200"), (".5", ".5")],
)
def test_numbers_as_people_type_them(text: str, number: str) -> None:
    assert cells.number(text, -100, 5000, "a number") == Decimal(number)


@pytest.mark.parametrize(
    "text", ["1,5", "1,234", "1,234.5", "nan", "inf", "1e3", "12 km", "٣", "1_000", "--1"]
)
def test_what_may_mean_two_things_or_none_is_asked_about(text: str) -> None:
    with pytest.raises(CellError):
        cells.number(text, 0, 1e6, "a number")


def test_a_comma_is_a_decimal_where_the_files_have_it_so() -> None:
    assert cells.number("4,5", -100, 5000, "a number", comma=True) == Decimal("4.5")
    with pytest.raises(CellError, match=r"Is it 4\.5\? Write it with a point\."):
        cells.number("4,5", -100, 5000, "a number")


def test_what_is_expected_is_said_in_few_words() -> None:
    with pytest.raises(CellError, match=r"^Write 1 to 5, not \"9\"\.$"):
        cells.whole("9", 1, 5, "1 to 5")
    with pytest.raises(CellError, match=r"0 to 32,808; got"):
        cells.number("40000", 0, 32808.4, "a height in ft")


@pytest.mark.parametrize(("unit", "words"), [("mi", "inches"), ("km", "mm")])
def test_rain_that_is_neither_a_number_nor_a_word_says_what_it_takes(
    book: Book, unit: str, words: str
) -> None:
    owner = replace(book, settings=replace(book.settings, distance=unit))
    mine = typed(entry(), owner)
    mine["days"]["2026-06-12"]["rain"] = "some"
    told = said(entry(), mine, owner, TODAY).problems
    assert [each.text for each in told] == [f"Write the rain in {words}, or yes or no."]


def test_warmth_takes_its_words() -> None:
    assert [cells.warmth(word) for word in ("cold", "Slightly cool", "neutral", "+1", "hot")] == [
        *(-3, -1, 0, 1, 3)
    ]


@pytest.mark.outside(
    "published",
    "NIST Handbook 44, appendix C, and SP 811, B.8",
    "10 mi are 16.09 km, 10 oz 283 g, 41 °F 5 °C",
)
def test_amounts_are_shown_in_the_units_of_the_owner() -> None:
    assert in_unit(Amount(Decimal("10.50"), "mi"), "mi") == "10.50"
    assert in_unit(Amount(Decimal(10), "mi"), "km") == "16.09"
    assert in_unit(Amount(Decimal(10), "oz"), "g") == "283"
    assert in_unit(Amount(Decimal(41), "f"), "c") == "5"
    assert in_unit(Amount(Decimal(5), "c"), "f") == "41"


def test_the_name_of_a_new_trip_is_one_that_a_folder_may_have() -> None:
    start = date(2026, 6, 12)
    assert trip_name("Ridge walk", start, set()) == "2026-06-ridge-walk"
    assert trip_name("Ridge walk", start, {"2026-06-ridge-walk"}) == "2026-06-ridge-walk-2"
    assert trip_name("../../etc <b>", start, set()) == "2026-06-etc-b"
    assert trip_name("2026-06 fjord", start, set()) == "2026-06-fjord"
    assert trip_name("…", start, set()) == "2026-06-trip"
    assert trip_name("Вверх по реке", start, set()) == "2026-06-вверх-по-реке"


def test_two_who_typed_at_once_lose_nothing(book: Book) -> None:
    opened = entry()
    mine = typed(opened, book)
    mine["note"] = "Mine"
    mine["days"]["2026-06-13"] |= {"low": "3"}
    mine["failures"] += [{"item": "Mat", "severity": "nuisance", "what": "", "day": ""}]
    first = replace(opened.days[0], rain=Amount(Decimal(4), "mm"))
    now = replace(
        opened,
        title="Theirs",
        days=(first, opened.days[1]),
        failures=(Failure("pot"), *opened.failures),
        along=(*opened.along, Along("umbrella")),
        seen=(("trip.csv", "def"),),
    )
    both = said(now, merged(opened, mine, now, book), book, TODAY)
    assert both.problems == []
    assert (both.entry.title, both.entry.note, both.entry.seen) == ("Theirs", "Mine", now.seen)
    assert [day.low for day in both.entry.days] == [opened.days[0].low, Amount(Decimal(3), "c")]
    assert both.entry.days[0].rain == first.rain
    assert {each.item for each in both.entry.failures} == {"stove", "mat", "pot"}
    assert both.entry.failures[0] == opened.failures[0]
    assert both.entry.along == now.along


def test_a_file_says_whether_it_is_a_track() -> None:
    assert kind_of("a.GPX", b"") == "track"
    assert kind_of("a.txt", b'\xef\xbb\xbf<?xml version="1.0"?>\n<gpx version="1.1">') == "track"
    assert kind_of("a.csv", b"at,temperature_c\n") == "thermometer"


def test_a_thermometer_that_the_logbook_cannot_read_still_fills_the_lows(book: Book) -> None:
    rows = "".join(f"2026-06-12 2{n}:00:00,{50 - n}\n" for n in range(4))
    file = Dropped("porch.csv", f"Time,Temperature (°F)\n{rows}".encode(), "thermometer")
    made = made_of_thermometer(entry(), file, book)
    assert not made.keep
    assert "[[logger]]" in made.paste
    assert made.days["2026-06-12"]["low"] == "8.3"  # 47 °F: (47 - 32) * 5 / 9 = 8.33
    assert made.lines[0].startswith("The lows are in; that is enough. ")


def test_a_file_of_which_nothing_is_taken_says_why(book: Book) -> None:
    photo = Dropped("holiday.jpg", b"\xff\xd8\xff\xe0\x00\x10JFIF", "thermometer")
    assert made_of_thermometer(entry(), photo, book).lines == (
        "This is no track or thermometer file.",
    )
    nameless = Dropped("nounit.csv", b"when,level\n2026-06-12 22:00,47\n", "thermometer")
    (told,) = made_of_thermometer(entry(), nameless, book).lines
    assert told.startswith("No temperature was found in it.")
    unnamed = Dropped("bare.csv", b"when,reading\n2026-06-12 22:00,47\n", "thermometer")
    asked = made_of_thermometer(entry(), unnamed, book)
    assert any("put these lines at the end of tarebook.toml" in line for line in asked.lines)
    assert 'unit = "?"' in asked.paste
    rows = "at,temperature_c\n2026-01-12 22:00,9\n2026-01-13 04:00,6.5\n"
    winter = Dropped("winter.csv", rows.encode(), "thermometer")
    assert "None of its nights belongs to this trip." in (
        made_of_thermometer(entry(), winter, book).lines
    )


def test_what_the_form_was_opened_on_is_what_the_files_say(book: Book) -> None:
    whole = read_entry(book.folder, "2026-05-river")
    told = said(whole, typed(whole, book), book, TODAY)
    assert told.problems == []
    days = [(day.day, day.legs) for day in told.entry.days]
    assert days == [(day.day, day.legs) for day in whole.days]


GEAR = """item,system,weight_g,kit,carried_as
helmet,safety,300,,worn
lighter,fire,20,,
phone,navigation,200,Way kit,
map,navigation,90,Way kit,
plasters,first_aid,30,Aid kit,
bandage,first_aid,40,Aid kit,
oats,food,,,consumable
gas,cook,230,,consumable
"""
TRIPS = """trip,title,start_on,end_on,mode,use_record
one,Round the lake,2026-05-01,2026-05-03,foot,all_but
two,Over the hill,2026-06-01,2026-06-02,foot,
"""
ONE = """item,weight_g,used
helmet,,
lighter,,yes
phone,,yes
map,,
plasters,,
bandage,,
oats,1750,
gas,300,
"""


@pytest.fixture(scope="module")
def young(tmp_path_factory: pytest.TempPathFactory) -> Book:
    """One trip that was logged, one of which nothing is written yet, a row without its days."""
    folder = tmp_path_factory.mktemp("young")
    (folder / "trips" / "one").mkdir(parents=True)
    (folder / "gear.csv").write_text(GEAR)
    (folder / "trip.csv").write_text(TRIPS + "three,Some day,,,foot,\n")
    (folder / "trips" / "one" / "carried.csv").write_text(ONE)
    return read_book(folder)


def test_only_insurance_that_no_trip_used_and_nobody_wears_starts_out_packed(young: Book) -> None:
    begun_on = begin(young.folder, "two")
    told = typed(begun_on, young)
    assert not told["went"]
    assert set(told["packed"]) == {"map|||", "plasters|||", "bandage|||"}
    sealed = {each["name"] for each in sheet(begun_on, young)["groups"] if each["sealed"]}
    assert sealed == {"Aid kit"}  # of the other kit the phone was used


def test_what_no_trip_tells_of_does_not_start_out_packed(young: Book) -> None:
    never = replace(young.things["plasters"], ever_used=False, never_used=False)
    unknown = replace(young, things={**young.things, "plasters": never})
    assert "plasters|||" not in typed(begin(young.folder, "two"), unknown)["packed"]


def test_it_is_said_whose_list_it_is(young: Book) -> None:
    begun_on = begin(young.folder, "two")
    assert sheet(begun_on, young)["from"] == "This is the list of “Round the lake” (8 things)."
    assert entry_of(as_json(begun_on)).list_of == "one"
    assert sheet(read_entry(young.folder, "one"), young)["from"] == ""


def test_food_of_another_trip_is_a_hint_and_never_written(young: Book) -> None:
    begun_on = begin(young.folder, "two")
    rows, told = sheet(begun_on, young)["rows"], typed(begun_on, young)
    assert (rows["oats|||"]["last"], rows["gas|||"]["last"]) == ("1750", "300")
    assert (rows["oats|||"]["food"], rows["gas|||"]["food"]) == (True, False)
    assert told["took"] == {}
    blank = prepare(young.folder, said(begun_on, told, young, TODAY).entry)
    assert blank.problems == ()
    assert all(b"1750" not in change.after for change in blank.changes)
    told["took"]["oats|||"] = "1600"
    told["home"]["oats|||"] = "200"
    entered = said(begun_on, told, young, TODAY)
    oats = next(row for row in entered.entry.along if row.item == "oats")
    assert (oats.weight, oats.brought_home) == (
        Amount(Decimal(1600), "g"),
        Amount(Decimal(200), "g"),
    )
    logged = read_entry(young.folder, "one")
    assert typed(logged, young)["took"] == {"oats|||": "1750", "gas|||": "300"}


def test_ticks_by_hand_are_told_from_those_that_stood_there(young: Book) -> None:
    begun_on = begin(young.folder, "two")
    told = typed(begun_on, young)
    assert list_ticks(begun_on, told, young) == ListTicks(3, 5, 0, False)
    told["packed"]["helmet|||"] = True
    assert list_ticks(begun_on, told, young) == ListTicks(4, 4, 1, False)
    silent = said(begun_on, told, young, TODAY).entry
    assert [row.used for row in silent.along] == [None] * 8
    assert use_in_words(silent, False, young) == (
        "Along: 8. You have not said that you went through the list, so nothing is written about "
        "use."
    )
    entered = said(begun_on, told | {"went": True}, young, TODAY).entry
    assert use_in_words(entered, True, young) == "Along: 8. Used: 4. Stayed packed: 4."
    # Of what is silent, insurance counts as unused there.
    read = replace(entered, along=tuple(Along(row.item) for row in entered.along))
    assert use_in_words(read, True, young) == "Along: 8. Used: 2. Stayed packed: 6."


def test_a_name_that_is_typed_and_not_chosen_is_not_lost(young: Book) -> None:
    begun_on = begin(young.folder, "two")
    told = typed(begun_on, young) | {"pending": {"brought": "Umbrella", "left": "map"}}
    problems = said(begun_on, told, young, TODAY).problems
    assert [(each.at, each.text) for each in problems] == [
        (
            "brought",
            "“Umbrella” is not in gear.csv. Add it there, then choose it here; until then put it "
            "in the note.",
        ),
        ("left", "“map” is not chosen yet: choose it from the list, or empty the field."),
    ]


def test_a_trip_without_its_days_is_named(young: Book) -> None:
    (told,) = offered(young, TODAY)["faults"]
    assert told == (
        "A trip of trip.csv is not offered here: in line 4 a day is missing or cannot be read."
    )


def test_a_second_trip_of_one_name_and_a_very_long_one_are_asked_about(young: Book) -> None:
    new = {"title": "round the Lake", "start_on": "2026-05-01", "end_on": "2026-05-03"}
    assert doubt(new, young).startswith("There is a trip of that name and those days already")
    assert doubt(new | {"end_on": "2026-05-04"}, young) == ""
    assert doubt(new | {"end_on": "2027-04-01"}, young).startswith("That trip would have 336 days.")


def test_a_draft_that_is_thrown_away_lies_aside(tmp_path: Path) -> None:
    keep_draft(tmp_path, "two", {"typed": {"note": "mine"}})
    set_draft_aside(tmp_path, "two")
    assert (draft(tmp_path, "two"), drafts(tmp_path)) == (None, ())
    aside = tmp_path / ".tarebook" / "drafts" / "thrown-away" / "two.json"
    assert json.loads(aside.read_text()) == {"typed": {"note": "mine"}}
    set_draft_aside(tmp_path, "two")  # there is none: nothing happens
    assert aside.exists()


def _luminance(colour: str) -> float:
    """Relative luminance of WCAG 2.2."""
    full = "".join(c * 2 for c in colour) if len(colour) == 3 else colour
    parts = [int(full[n : n + 2], 16) / 255 for n in (0, 2, 4)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.outside(
    "published",
    "WCAG 2.2, relative luminance, 1.4.3 and 1.4.11",
    "4.5 to 1 for text, 3 to 1 for the edges of fields",
)
def test_text_stands_out_from_its_ground_by_day_and_by_night() -> None:
    style = (FRONT / "form.css").read_text("utf-8")
    light, dark = (dict(re.findall(r"--([a-z-]+): #(\w+);", part)) for part in _schemes(style))
    for colours in (light, dark):
        ratios = {
            (text, ground): _contrast(colours[text], colours[ground])
            for text in ("ink", "soft", "main", "care")
            for ground in ("ground", "tint")
        }
        ratios["on-main", "main"] = _contrast(colours["on-main"], colours["main"])
        assert {pair: ratio for pair, ratio in ratios.items() if ratio < 4.5} == {}
        assert _contrast(colours["edge"], colours["ground"]) >= 3


def _schemes(style: str) -> tuple[str, str]:
    light, _, rest = style.partition("@media (prefers-color-scheme: dark)")
    return light, rest.partition("@media")[0]


def _contrast(one: str, other: str) -> float:
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_nothing_of_the_front_end_comes_from_elsewhere_or_runs_text() -> None:
    whole = widget.front_end() + (FRONT / "form.css").read_text("utf-8")
    for page in (FRONT.parent / "page").iterdir():
        whole += page.read_text("utf-8")
    assert re.findall(r"https?://|@import|url\(", whole) == []
    assert (
        re.findall(r"innerHTML|outerHTML|insertAdjacentHTML|\beval\b|document\.write", whole) == []
    )
