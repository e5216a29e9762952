"""What lies below and what goes over by name, and lists whose mat or bedding is left out."""

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import pytest
from store_drawing import carried, empty_store, fill, gear, trip
from tarebook.analysis.ahead.page.page import read_before_trip
from tarebook.analysis.cold.kinds import sleep_kinds
from tarebook.analysis.display.words import SPACE, Display
from tarebook.analysis.tables import entry

GROUND = """Air mat with pump sack|Sleeping mat with repair kit|Foam mat|Foam roll|Airpad, short
Self-inflating mattress (patches incl.)|Mat, long|Mat and pillow|Sleeping pad for winter|Air bed
Two-valve mat|Roll mat|Hammock with straps|Underquilt|Closed-cell foam|Mats|Folding camp bed
Sleepingmat|Pad 4.2, pump sack incl.|Mat R4 regular"""
BEDDING = """Quilt with straps|Sleeping bag, cover incl.|Down quilt 400|Winter bag|Sleepingbag
Summer quilt and stuff sack|Hammock topquilt|Wool blanket|Sleeping bag with liner|Duvet, light
Winter bag with compression sack|Light sleeping bag|Bag -5|Hooded quilt|Quilt (straps, sack)"""
NEITHER = """Mat pump|Pad glue|Quilt straps|Bag cover|Eye mask|Sit mat|Seat pad|Pillow|Pillow bag
Sleeping bag liner|Stuff bag|Mat bag|Quilt bag|Bag for the air mat|Mat repair kit|Pump for mat
Cover for quilt|Hammock straps|Silk inlet|Sit-mat|Mat, sit|Dry bag|Bivy bag|Foil blanket
Emergency blanket|Bag, stuff|Foam earplugs|Compression bag|Mat valve|Patches and glue|Dog mat
Strap for foam mat|Groundsheet|Pad sleeve"""
CASES = [
    (name, kind)
    for names, kind in ((GROUND, "ground"), (BEDDING, "bedding"), (NEITHER, None))
    for line in names.splitlines()
    for name in line.split("|")
]


@pytest.mark.parametrize(("name", "kind"), CASES)
def test_the_noun_of_a_name_decides(name: str, kind: str | None) -> None:
    # Beside what is told by its columns, so that nothing is taken for what remains.
    known = [("a", "A", 4.0, None), ("b", "B", None, -2.0)]
    assert sleep_kinds([*known, ("x", name, None, None)]).get("x") == kind
    # Nor does a thing beside mat and bedding fill a place that is empty.
    if kind is None:
        assert "x" not in sleep_kinds([("x", name, None, None)])


def test_a_light_thing_is_no_mat() -> None:
    quilt = ("q", "Quilt", None, None)
    for name, grams, kind in (
        ("Mat", 60.0, None),
        ("Mat", 120.0, "ground"),
        ("Slab", 120.0, None),
        ("Slab", 390.0, "ground"),
    ):
        kinds = sleep_kinds([quilt, ("x", name, None, None)], {"x": grams})
        assert kinds.get("x") == kind


TODAY = date(2026, 11, 27)
BLANK = {"essential": None, "meant_for": []}


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def of_sleep(item: str, name: str, weight_g: int = 500) -> dict[str, Any]:
    return gear(item, "sleep", weight_g * 1000, name=name, **BLANK)


def named(
    store: Any, things: list[dict[str, Any]], on_list: list[str], before: list[list[str]]
) -> list[tuple[str, str]]:
    """Item and reason of what is named for three nights in June."""
    rest = [gear("tent", "shelter", 900_000, **BLANK), gear("mug", "cook", 90_000, **BLANK)]
    past = [
        trip(f"t{n}", TODAY - timedelta(150 + 10 * n), 3, mode="foot") for n in range(len(before))
    ]
    rows = [carried("next", item) for item in ("tent", "mug", *on_list)]
    rows += [carried(f"t{n}", item) for n, items in enumerate(before) for item in items]
    plan = trip("next", date(2027, 6, 4), 3, plan=True, mode="foot")
    fill(store, {"gear": [*rest, *things], "trip": [*past, plan], "carried": rows})
    relation = entry("forgotten").relation(store, today=TODAY)
    found = [dict(zip(relation.columns, row, strict=True)) for row in relation.fetchall()]
    return [(row["item"], row["reason"]) for row in found]


QUILT, MAT = of_sleep("quilt", "Quilt", 600), of_sleep("mat", "Sleeping mat", 390)


@pytest.mark.parametrize(
    ("things", "on_list", "expected"),
    [
        ([QUILT, of_sleep("airmat", "Air mat with pump sack")], ["quilt"], ["airmat"]),
        ([MAT, of_sleep("quilt", "Quilt with straps")], ["mat"], ["quilt"]),
        (
            [
                of_sleep("bag", "Sleeping bag, cover incl."),
                of_sleep("pad", "Sleeping mat with repair kit"),
            ],
            [],
            ["bag", "pad"],
        ),
        ([QUILT, MAT, of_sleep("seat", "Sit mat", 60)], ["quilt", "seat"], ["mat"]),
        ([QUILT, MAT, of_sleep("kit", "Pad glue", 60)], ["quilt", "kit"], ["mat"]),
        (
            [QUILT, of_sleep("roll", "Foam roll", 390), of_sleep("mask", "Eye mask", 20)],
            ["quilt", "mask"],
            ["roll"],
        ),
        ([of_sleep("s1", "Ember 400"), of_sleep("s2", "Cloud 5")], ["s1"], ["s2"]),
        # Whatever the names, a list without anything of sleep.
        ([of_sleep("s1", "Ember 400")], [], ["s1"]),
        ([of_sleep("kit", "Bed kit")], [], ["kit"]),
        # Nor is a list named that has both.
        ([QUILT, MAT], ["quilt", "mat"], []),
    ],
)
def test_mat_and_bedding_left_out_are_named(
    store: Any, things: list[dict[str, Any]], on_list: list[str], expected: list[str]
) -> None:
    assert sorted(item for item, _ in named(store, things, on_list, [])) == expected


def test_lists_without_any_bed_say_nothing_of_mats(store: Any) -> None:
    # Of like trips whose lists name neither, a list with bedding is not told to do without a mat.
    before = [["tent", "mug"]] * 3
    assert [item for item, _ in named(store, [QUILT, MAT], ["quilt"], before)] == ["mat"]
    assert sorted(i for i, _ in named(store, [QUILT, MAT], [], before)) == ["mat", "quilt"]
    # Those that had bedding and no mat say it.
    before = [["tent", "mug", "quilt"]] * 3
    assert named(store, [QUILT, MAT], ["quilt"], before) == []


def test_where_no_mat_is_known_it_is_asked_and_said(store: Any) -> None:
    things = [of_sleep("s1", "Ember 400"), of_sleep("s2", "Cloud 5")]
    ((item, reason),) = named(store, things, ["s1"], [])
    assert (item, reason) == (
        "s2",
        "Nothing on the list is known to lie under you. Is this your mat?",
    )

    def cold() -> str:
        points = read_before_trip(store, today=TODAY, display=Display()).opening().points
        (told,) = (p for p in points if p.about == "Will you be cold?")
        return f"{told.answer} {told.more}".replace(SPACE, " ")

    said = (
        "Nothing on the list is known to lie under you. Without a mat you will be colder than a "
        "rating can say. Pack a sound mat."
    )
    assert cold() == said
    # A mat that is filed under another system is not known as one.
    other = gear("mat", "other", 390_000, name="Foam mat", **BLANK)
    named(store, [QUILT, other], ["quilt"], [])
    assert cold() == said
