"""A debrief of a trip of which some carried rows could not be loaded."""

import shutil
from datetime import date
from pathlib import Path

from tarebook.analysis.debrief.page.page import read_debrief
from tarebook.analysis.display.words import Display
from tarebook.analysis.store.opening import open_store
from tarebook.tripdata.store import load_logbook, store_path

LAKES = Path(__file__).parents[1] / "logbooks" / "lakes"


def test_sums_say_at_least_and_no_class_is_told(tmp_path: Path) -> None:
    folder = tmp_path / "lakes"
    shutil.copytree(LAKES, folder)
    carried = folder / "trips/2026-05-river/carried.csv"
    carried.write_text(carried.read_text().replace("tarp,1,", "trap,1,"))
    load_logbook(folder)
    with open_store(store_path(folder)) as store:
        page = read_debrief(
            store, "2026-05-river", today=date(2026, 11, 25), display=Display("g", "c", "km")
        )
    points = {point.about: point for point in page.opening().points}
    # 4561 g of base weight in the whole logbook (test of the tables), less the tarp's 410 g.
    assert points["Base weight"].answer.replace("\u202f", " ") == "At least 4.15 kg."
    assert "at least" in points["Never taken out"].answer
