"""The page of the weigh-up: what it answers, in whose units, and where there is little to say."""

import re
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from store_drawing import Tables, carried, empty_store, fill, gear, trip
from tarebook.analysis.display.words import SPACE, Display
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.weigh_up.page.page import WeighUpPage, read_weigh_up
from tarebook.tripdata.errors import QuestionError
from tarebook.tripdata.store import load_logbook, store_path

TODAY = date(2026, 11, 25)
START = date(2026, 6, 1)
SECTIONS = ("totals", "by_system", "heaviest_things", "by_bag", "by_kit", "side_by_side")
OUNCES = """item,name,system,weight_oz,carried_as
tent,Tent,shelter,48,
quilt,Quilt,sleep,32,
rucksack,Rucksack,bags,32,
packraft,Packraft,boat,96,vehicle
"""


@pytest.fixture(scope="module")
def connection() -> Any:
    with empty_store() as made:
        yield made


def page_of(folder: Path, files: dict[str, str], **options: str) -> WeighUpPage:
    for name, text in files.items():
        (folder / name).write_text(text, "utf-8")
    load_logbook(folder)
    with open_store(store_path(folder)) as store:
        return read(store, display=Display("oz" if files.get("tarebook.toml") else "g"), **options)


def read(store: Any, trip: str = "", display: Display | None = None, **options: str) -> WeighUpPage:
    return read_weigh_up(store, trip, today=TODAY, display=display or Display(), **options)


def told(text: str) -> str:
    return text.replace(SPACE, " ")


def points(page: WeighUpPage) -> dict[str, str]:
    return {p.about: told(p.answer) for p in page.opening().points}


def notices(page: WeighUpPage) -> list[str]:
    return [told(n) for n in page.opening().notices]


def whole(page: WeighUpPage) -> str:
    """Everything that the page says, without its pictures."""
    parts = [page.opening().html(), *(getattr(page, name)().html() for name in SECTIONS)]
    text = re.sub(r"<(script|svg).*?</\1>|<[^>]*>", " ", " ".join(parts), flags=re.DOTALL)
    return told(" ".join(text.split()))


def test_the_first_evening_in_ounces(tmp_path: Path) -> None:
    """112 oz is 7 lb, with a boat of 6 lb 13 lb (arithmetic); that is under 20 lb."""
    files = {"gear.csv": OUNCES, "tarebook.toml": '[display]\nmass = "oz"\n'}
    page = page_of(tmp_path, files)
    assert points(page)["In all"] == (
        "One of each thing that you own weighs 13.00 lb together. Of that, 7.00 lb is base weight. "
        "Nothing is marked worn or consumable, so food, fuel and clothes worn are in it: mark them "
        "in the column carried_as."
    )
    assert points(page)["Counted otherwise"] == (
        "So far 7.00 lb counts as base weight; it would be 5.00 lb without bags and 13.00 lb if "
        "the boat counted, too."
    )
    table = page.by_system().table
    assert table is not None
    frame = table.frame()
    # All sums are in one unit; what is the vehicle's alone comes last, and without it the base
    # weight is the same.
    assert list(frame["All (lb)"].round(1)) == [3, 2, 2, 6]
    assert list(frame["Base without it (lb)"].round(2))[:3] == [4, 5, 5]
    assert frame["Base without it (lb)"].isna().tolist() == [False, False, False, True]
    # Without the tent or the quilt it has no class, and without the bag that of the whole.
    assert "Class then" not in frame
    # Nobody carries all that they own, and the first page does not add it up.
    assert "skin out" not in page.totals().text()
    assert "you carry" not in page.by_system().text()
    assert page.opening().sentence == ("Your 4 things are listed by weight, system, kit and bag.")
    raft = page_of(tmp_path, files, as_carried="boat=base")
    assert points(raft)["Counted otherwise"] == (
        "So far 13.00 lb counts as base weight; it would be 11.00 lb without bags and 7.00 lb "
        "without the boat and its things (6.00 lb)."
    )
    bare = page_of(tmp_path, files, without="tent; quilt; boat")
    totals = bare.totals().table
    assert totals is not None
    # Totals are in lb, in sentences and tables, however light they are.
    assert [told(row["weight"]) for row in totals.rows] == ["2.00 lb", "0.00 lb", "2.00 lb"]


@pytest.mark.parametrize(
    ("tables", "name", "answer"),
    [
        ({}, "", "There is nothing to weigh yet: nothing in gear.csv is yours."),
        (
            {"trip": [trip("plan", START, 1, plan=True)]},
            "plan",
            "There is nothing to weigh yet: nothing on the list of “Plan” is with you at its "
            "start.",
        ),
        (
            {"gear": [gear("mug", weight_mg=None)]},
            "",
            "Everything that you own is still without weights: nothing of it is weighed.",
        ),
    ],
)
def test_where_there_is_nothing_to_weigh(
    connection: Any, tables: Tables, name: str, answer: str
) -> None:
    fill(connection, tables)
    page = read(connection, name)
    assert points(page)["In all"] == answer
    assert "nan" not in whole(page).split()
    if "gear" in tables:
        assert notices(page) == [
            "“Mug” is not weighed, so sums read “at least”. Put the weight into gear.csv."
        ]
        assert "not weighed" in points(page)["In all"] or "nothing of it" in answer
    else:
        assert all(getattr(page, section)().html() == "" for section in SECTIONS)


def test_everything_left_out(connection: Any) -> None:
    fill(connection, {"gear": [gear("mug", "cook")]})
    page = read(connection, without="cook")
    assert points(page)["In all"] == "Everything on the list is left out, as you asked."
    assert notices(page) == ["Not counted, as you asked: “Mug”."]
    assert "Not counted, as you asked: 1 row" in page.totals().html()


def test_all_that_is_left_out_is_named_and_what_keeps_safe_first(connection: Any) -> None:
    boats = [gear(f"part-{n}", "boat") for n in range(6)]
    safe = [
        gear("vest", "boat", name="Buoyancy vest"),
        gear("whistle", "safety"),
        gear("lamp", "light"),
        gear("pump", "boat", insurance=True),
        gear("coat", "clothing", essential=True),
        gear("pouch", "bags"),
    ]
    fill(connection, {"gear": [*boats, *safe, gear("mug", "cook")]})
    page = read(connection, without="boat; safety; light; clothing; bags")
    assert notices(page) == [
        "Not counted, as you asked: “Coat”, “Lamp”, “Pump”, “Buoyancy vest”, “Whistle” and 7 more. "
        "All are named below the totals."
    ]
    (table,) = page.totals().more
    assert {row["name"] for row in table.rows} == {g["name"] for g in (*boats, *safe)}
    assert "<details" in table.html()
    assert notices(read(connection, without="pouch; part-1")) == [
        "Not counted, as you asked: “Part-1” and “Pouch”."
    ]


def test_what_counts_with_the_bike_is_worded_and_the_rest_is_named(connection: Any) -> None:
    battery = gear("battery", "power", 2_500_000, carried_as="vehicle")
    tools = gear("tools", "bike", 500_000)
    fill(connection, {**ASTRIDE, "gear": [*ASTRIDE["gear"], battery, tools]})
    page = read(connection)
    assert told(page.totals().notes[-1]) == (
        "“If the bike counted” adds what is carried as vehicle and belongs to the system bike. "
        "Carried as vehicle under other systems and not added: “Battery” and “Left sack” (3.20 kg)."
    )
    assert "1.00 kg without the bike and its things (0.50 kg)" in points(page)["Counted otherwise"]
    fill(connection, {"gear": [gear("mug", "cook")]})
    assert not [note for note in read(connection).totals().notes if "counted" in note]


def test_the_boat_counts_without_what_protects_its_crew(connection: Any) -> None:
    """Whatever they are carried as, vest, bailer and helmet are no part of the boat."""
    things = [
        gear("canoe", "boat", 20_000_000, carried_as="vehicle"),
        gear("paddle", "boat", 900_000, carried_as="vehicle"),
        gear("life-vest", "boat", 600_000, carried_as="vehicle", name="Life vest"),
        gear("bailer", "boat", 100_000, carried_as="vehicle", name="Bailer"),
        gear("tent", "shelter", 1_000_000),
    ]
    fill(connection, {"gear": things})
    page = read(connection)
    assert "21.90 kg if the boat counted, too" in points(page)["Counted otherwise"]
    note = told(page.totals().notes[-1])
    assert note.count("“Life vest”") == 1
    assert "“Bailer” and “Life vest” protect you and stay as carried, no part of that." in note
    alone = [each for each in things if each["item"] in ("life-vest", "tent")]
    fill(connection, {"gear": alone})
    assert "if the boat counted" not in points(read(connection)).get("Counted otherwise", "")


def test_the_first_evenings_question_is_answered_and_says_which_column_to_fill(
    connection: Any,
) -> None:
    """No column tells bags or bike tools: all else is answered, with one line on what to write."""
    four = [gear("tent", "shelter", 1_500_000), gear("pump", "repair", 100_000)]
    four.append(gear("bike-lock", "other", 400_000, name="Bike lock"))
    fill(connection, {"gear": four})
    page = read(connection, without="bags; bike tools; tent")
    assert notices(page) == [
        "Not counted, as you asked: “Tent”.",
        "Nothing in gear.csv is called “bags” or “bike tools”, so all else is answered: write bags "
        "in the column system and bike tools in the column kit, in the rows of what you mean.",
    ]
    assert "So far 500 g counts as base weight" in told(page.totals().answer[0])
    # Once kits are filled in, or where it is nearly a name, it is a slip of the pen.
    with pytest.raises(QuestionError, match='did you mean "Tent"'):
        read(connection, without="tents")
    fill(connection, {"gear": [*four, gear("pan", "cook", kit="Kitchen")]})
    with pytest.raises(QuestionError, match='got "bag tools"'):
        read(connection, without="bag tools")
    fill(connection, {"gear": [{**each, "kit": "Bike tools"} for each in four[1:2]] + four[:1]})
    assert notices(read(connection, without="bike tools")) == ["Not counted, as you asked: “Pump”."]


def test_another_trip_that_is_not_known_is_refused_by_its_own_option(connection: Any) -> None:
    fill(connection, ASTRIDE)
    with pytest.raises(QuestionError, match=r"^against: expected a trip of this logbook"):
        read(connection, "t", against="nope")


ASTRIDE: Tables = {
    "gear": [
        gear("tarp", "shelter", 900_000, kit="House"),
        gear("mug", "cook", 100_000, kit="Kitchen"),
        gear("shirt", "clothing", 200_000, carried_as="worn"),
        gear("pan", "cook", None, kit="kitchen"),
        gear("sack", "bags", 700_000, name="Left sack", carried_as="vehicle"),
        gear("bike", "bike", 11_000_000, carried_as="vehicle"),
        gear("lock", "bike", 600_000, carried_as="vehicle"),
    ],
    "trip": [trip("t", START, 1), trip("u", START, 1, plan=True)],
    "carried": [
        carried("t", "tarp", bag="Left sack"),
        carried("t", "mug", bag="right sack", quantity=3),
        carried("t", "shirt"),
        carried("t", "sack"),
        carried("t", "bike"),
        carried("t", "lock"),
        carried("u", "tarp"),
        carried("u", "pan"),
    ],
}


def limited(connection: Any, **limits: float) -> None:
    connection.execute("DELETE FROM settings")
    for name, grams in limits.items():
        row = [f"limits.{name.replace('_', ' ')}", repr(grams)]
        connection.execute("INSERT INTO settings VALUES (?, ?)", row)


def test_a_bag_over_its_limit_names_what_of_it_could_move(connection: Any) -> None:
    fill(connection, ASTRIDE)
    limited(connection, left_SACK=800.0, right_sack=200.0)
    try:
        found = read(connection, "t").opening().points
        (opening,) = [told(f"{p.answer} {p.more}") for p in found if p.about == "Your limits"]
    finally:
        limited(connection)
    # The tarp in the left one keeps dry: of that nothing is said.
    assert opening == (
        "“Left sack” holds 900 g without its own weight, 100 g over your limit of 800 g. "
        "“Right sack” holds 300 g without its own weight, 100 g over your limit of 200 g. "
        "Could move to another bag: “Mug” (300 g). A rack’s limit includes the bag."
    )


def test_the_head_gives_no_command(connection: Any) -> None:
    fill(connection, ASTRIDE)
    for name in ("", "t", "u"):
        opening = read(connection, name).opening()
        told = [*opening.lines, *opening.notices, *(f"{p.answer} {p.more}" for p in opening.points)]
        assert told
        assert not any("tarebook report" in each or "--" in each for each in told)


def test_bags_left_against_right_and_own_limits(connection: Any) -> None:
    fill(connection, ASTRIDE)
    limited(connection, left_SACK=800.0, bike=1900.0, roof=5.0)
    try:
        section = read(connection, "t").by_bag()
        opening = points(read(connection, "t"))
    finally:
        limited(connection)
    assert [told(a) for a in section.answer] == [
        "“Left sack” holds most: 900 g.",
        "“Left sack” holds 600 g more than “right sack”.",
        "“Left sack” holds 900 g without its own weight, 100 g over your limit of 800 g.",
        "A rack’s limit includes the bag.",
        # 900 + 300 + the bag itself 700 + the lock 600; neither the shirt, worn, nor the bike.
        "All but what is worn and “Bike” weighs 2.50 kg: 600 g over your limit of 1.90 kg for the "
        "bike.",
    ]
    assert opening["Your limits"] == (
        "“Left sack” holds 900 g without its own weight, 100 g over your limit of 800 g."
    )
    assert section.caution is not None
    assert read(connection, "t").opening().caution == section.caution
    for word in ("bike", "steers", "trim", "maker"):
        assert word in section.caution
    assert section.table is not None
    frame = section.table.frame()
    assert list(frame["Holds (g)"]) == [900, 300]
    assert frame["The bag itself (g)"].fillna(0).tolist() == [700, 0]
    assert frame["Room to the limit (g)"].fillna(0).tolist() == [-100, 0]
    assert "Not on this list, but limited in tarebook.toml: “roof”." in section.notes


def test_what_is_heavy_and_high_is_named(connection: Any) -> None:
    carrying = [
        carried("t", "tarp", bag="Handlebar bag"),
        carried("t", "mug", bag="Handlebar bag"),
        carried("t", "lock", bag="Rucksack lid"),
        carried("t", "pan", bag="Top box"),
        carried("t", "shirt", bag="Stopper"),
    ]
    fill(connection, {**ASTRIDE, "carried": carrying})
    answer = [told(each) for each in read(connection, "t").by_bag().answer]
    # Nothing weighed is in the top box; a stopper is no top.
    assert [sentence for sentence in answer if "high" in sentence] == [
        "“Handlebar bag” sits high or far out and holds 1.00 kg; the heaviest in it is “Tarp” at "
        "900 g.",
        "“Rucksack lid” sits high or far out and holds 600 g; the heaviest in it is “Lock” at "
        "600 g.",
    ]


def test_a_bikes_limit_is_not_set_beside_everything_that_is_owned(connection: Any) -> None:
    fill(connection, ASTRIDE)
    limited(connection, bike=1900.0)
    try:
        assert "Your limits" not in points(read(connection))
        assert "over your limit" in points(read(connection, "t"))["Your limits"]
    finally:
        limited(connection)


def test_no_limit_is_invented(connection: Any) -> None:
    fill(connection, ASTRIDE)
    section = read(connection, "t").by_bag()
    assert section.table is not None
    assert not [name for name in section.table.frame() if "limit" in name.lower()]
    assert "over" not in " ".join(section.answer)


def test_sums_over_what_is_not_weighed_read_at_least(connection: Any) -> None:
    fill(connection, ASTRIDE)
    page = read(connection, "u")
    assert points(page)["In all"] == (
        "The list of “U” weighs at least 900 g. Nothing is marked worn or consumable, so food, "
        "fuel and clothes worn are in it: mark them in the column carried_as."
    )
    assert notices(page)[0].startswith("“Pan” is not weighed, so sums read “at least”.")


def test_two_lists_side_by_side(connection: Any) -> None:
    fill(connection, ASTRIDE)
    page = read(connection, "t", against="u", without="pan")
    section = page.side_by_side()
    answer = "The list of “T” weighs 500 g more than that of “U” from the skin out."
    assert told(section.answer[0]) == answer == points(page)["Beside it"]
    totals, systems, things = (section.table, *section.more)
    assert totals is not None
    shown = totals.frame().set_index("Total")
    assert shown.loc["Base weight"].tolist() == [1200, 900, 300]
    assert shown.loc["All, bike and boat included"].tolist() == [13_700, 900, 12_800]
    assert [row["name"] for row in things.rows] == ["Bike", "Left sack", "Lock", "Mug", "Shirt"]
    assert [row["name"] for row in systems.rows][:3] == ["bike", "shelter", "bags"]
    assert read(connection, "t").side_by_side().missing == "no other trip was named"


def test_the_page_never_says_what_to_leave(demo: Any) -> None:
    text = whole(read(demo))
    for word in ("leave at home", "stay at home", "without it you", "you could leave"):
        assert word not in text
    assert "These are sums, no advice." in text


def test_the_demo_and_its_trips_have_a_page_in_either_unit(
    demo: Any, logbook: Callable[[str], Path]
) -> None:
    plan, latest = "2027-04-old-weir-meadow", "2026-11-fernhollow"
    for display in (Display(), Display("oz")):
        for name in ("", plan, latest):
            page = read(demo, name, display)
            text = whole(page)
            assert " nan" not in text
            assert points(page)["In all"].endswith(".")
            assert ("(oz)" in text) == (display.mass == "oz")
            figure = page.by_system().figure
            assert figure is not None
            assert "heaviest first" in figure.alt
    for name in ("lakes", "spreadsheets"):
        with open_store(store_path(logbook(name))) as store:
            assert points(read(store))["In all"]


UNMARKED = "Nothing is marked worn or consumable, so food, fuel and clothes worn are in it"
CAMP = [
    gear("tent", "shelter", 3_000_000),
    gear("quilt", "sleep", 2_000_000),
    gear("trousers", "clothing", 400_000),
    gear("bread", "food", 2_000_000),
    gear("gas", "cook", 369_000, name="Gas can"),
    gear("food-bag", "food", 40_000, name="Food bag"),
    gear("stove", "cook", 90_000, name="Gas stove"),
]


@pytest.mark.parametrize(
    ("marked", "unmarked", "class_told"),
    [
        ({}, UNMARKED, None),
        (
            {"trousers": "worn"},
            "“Bread” and “Gas can” are not marked consumable, so they are",
            None,
        ),
        ({"bread": "consumable"}, "“Gas can” is not marked consumable, so it is", None),
        (
            {"trousers": "worn", "bread": "consumable", "gas": "consumable"},
            "",
            # 5.13 kg: over 10 lb, under 20.
            "lightweight",
        ),
    ],
)
def test_blank_ways_of_carrying_are_no_base_weight_with_a_class(
    connection: Any, marked: dict[str, str], unmarked: str, class_told: str | None
) -> None:
    things = [row | {"carried_as": marked.get(row["item"], "base")} for row in CAMP]
    rows = [carried("t", row["item"]) for row in things]
    fill(connection, {"gear": things, "trip": [trip("t", START, 1)], "carried": rows})
    page = read(connection, "t")
    in_all, otherwise = points(page)["In all"], points(page)["Counted otherwise"]
    assert page.weighed.unmarked.startswith(unmarked)
    assert (page.weighed.unmarked == "") == (unmarked == "")
    assert unmarked in in_all
    assert ("walkers call lightweight" in in_all) == (class_told is not None)
    assert ("The base weight is" in otherwise) == (class_told is not None)
    assert ("is base weight" in in_all) == (marked != {})
    table = page.totals().table
    assert table is not None
    assert {row.get("class") for row in table.rows} - {None} == {class_told} - {None}


def test_shares_are_of_what_is_weighed_while_something_is_not(connection: Any) -> None:
    """The food may be heavier than all that is weighed: neither share nor heaviest is known."""
    things = [
        gear("tent", "shelter", 600_000),
        gear("sack", "bags", 900_000),
        gear("shirt", "clothing", 100_000, carried_as="worn"),
        gear("bread", "food", None, carried_as="consumable"),
        gear("raft", "boat", None, carried_as="vehicle"),
    ]
    rows = [
        carried("t", row["item"], bag="Sack" if row["item"] in ("shirt", "bread") else None)
        for row in things
    ]
    tables = {"gear": things, "trip": [trip("t", START, 1)], "carried": rows}
    fill(connection, tables)
    page = read(connection, "t")
    assert points(page)["Heaviest"] == (
        "“Sack”, “Tent” and “Shirt” make up 100 % of what is weighed."
    )
    assert told(page.by_system().answer[0]) == (
        "Of what is weighed, bags weighs most, with 900 g, 56 % of it."
    )
    assert told(page.by_bag().answer[0]).startswith("Of what is weighed, “Sack” holds most: at ")
    known = [row | {"weight_mg": row["weight_mg"] or 200_000} for row in things]
    fill(connection, {**tables, "gear": known})
    page = read(connection, "t")
    assert points(page)["Heaviest"].endswith(" of the total.")
    assert "Of what is weighed" not in whole(page)


def test_all_that_is_yours_has_nothing_borrowed_and_is_no_sum_of_what_is_left(
    connection: Any,
) -> None:
    things = [
        gear("tent", "shelter", 600_000),
        gear("bike", "bike", 9_000_000, carried_as="vehicle"),
        gear("shirt", "clothing", 100_000, carried_as="worn"),
        gear("raft", "boat", 3_000_000, carried_as="vehicle", owner="Ann"),
    ]

    def totals(page: WeighUpPage) -> list[str]:
        table = page.totals().table
        assert table is not None
        return [row["name"] for row in table.rows]

    fill(connection, {"gear": things})
    page, left = read(connection), read(connection, without="shirt")
    assert "One trip" in points(page)
    assert "All that is yours" in totals(page)
    assert "One trip" not in points(left)
    assert "What is left of all that is yours" in totals(left)
    fill(connection, {"gear": things[:3]})
    assert "All, bike and boat included" in totals(read(connection))


def totals_of(page: WeighUpPage) -> dict[str, str]:
    table = page.totals().table
    assert table is not None
    return {row["name"]: told(row["weight"]) for row in table.rows}


def test_without_any_mark_all_but_bike_and_boat_goes_by_their_systems(tmp_path: Path) -> None:
    """50.35 lb with a bike of 25.69 lb and a boat of 9.33 lb leave 15.33 lb (arithmetic)."""
    head = "item,name,system,weight_lb\n"
    rows = (
        "bike,Bike,bike,25.69\nraft,Raft,boat,9.33\ntent,Tent,shelter,10.33\nquilt,Quilt,sleep,5\n"
    )
    settings = {"tarebook.toml": '[display]\nmass = "oz"\n'}
    page = page_of(tmp_path, {"gear.csv": head + rows, **settings})
    totals = totals_of(page)
    assert totals["All but bike and boat"] == "15.33 lb"
    assert totals["Base weight"] == totals["All, bike and boat included"] == "50.35 lb"
    # What is marked goes by its mark: a boat that is carried as a load is one.
    marked = head.replace("weight", "carried_as,weight")
    ways = rows.replace(",bike,", ",bike,vehicle,").replace(",boat,", ",boat,base,")
    ways = ways.replace("shelter,", "shelter,,").replace("sleep,", "sleep,,")
    page = page_of(tmp_path, {"gear.csv": marked + ways, **settings})
    assert totals_of(page)["All but bike and boat"] == "24.66 lb"
    # Where no thing has a system of its own either, nobody can tell.
    names = "item,name,system,weight_lb\nbike,Bike,other,25.69\ntent,Tent,other,10.33\n"
    page = page_of(tmp_path, {"gear.csv": names, **settings})
    assert totals_of(page) == {"Base weight": "36.02 lb"}
