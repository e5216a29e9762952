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
