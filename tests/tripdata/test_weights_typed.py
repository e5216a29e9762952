"""Where the owner set no unit of masses, it is that of all the weights that they typed."""

from pathlib import Path

import kit
import pytest
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.store.settings import settings_of
from tarebook.notebooks import printing
from tarebook.tripdata.bulk import BULK_BYTES
from tarebook.tripdata.settings import read_settings
from tarebook.tripdata.start import new_trip
from tarebook.tripdata.store import ensure_current, load_logbook, settings_in_use, store_path

OUNCES = "item,system,weight_oz\ntent,shelter,38.5\nspoon,cook,0.5\n"
GRAMS = "item,system,weight_g\ntent,shelter,1091\nspoon,cook,14\n"
TRIP = "trip,start_on,end_on\nriver,2026-05-01,2026-05-03\n"


def mass(folder: Path, files: dict[str, str] | None = None) -> str:
    """The unit that reports of it are in, once these files are written."""
    kit.write(folder, files or {})
    ensure_current(folder)
    with open_store(store_path(folder)) as store:
        shown = settings_of(store).display.mass
    assert settings_in_use(folder).mass == shown
    return shown


@pytest.mark.parametrize(
    ("gear", "expected"),
    [
        (OUNCES, "oz"),
        ("item,system,weight_lb\ntent,shelter,2.4\n", "oz"),
        (GRAMS, "g"),
        ("item,system,weight_kg\ntent,shelter,1.1\n", "g"),
        # A header with blank cells below it weighs nothing.
        ("item,system,weight_oz\ntent,shelter,\n", "g"),
        ("item,system,weight_oz\n", "g"),
    ],
)
def test_gear_weighed_in_one_unit_is_shown_in_it(tmp_path: Path, gear: str, expected: str) -> None:
    assert mass(tmp_path, {"gear.csv": gear}) == expected


@pytest.mark.parametrize(
    ("name", "text", "expected"),
    [
        ("weighings.csv", "item,weighed_on,weight_g\ntent,2026-01-01,1090\n", "g"),
        ("weighings.csv", "item,weighed_on,weight_lb\ntent,2026-01-01,2.4\n", "oz"),
        ("weighings.csv", "item,weighed_on,weight_g\n", "oz"),
        ("candidates.csv", "candidate,system,weight_kg\ntarp,shelter,0.4\n", "g"),
        ("trips/river/carried.csv", "item,weight_g,brought_home_g\ntent,,\n", "oz"),
        ("trips/river/carried.csv", "item,weight_oz,brought_home_g\ntent,38,20\n", "g"),
    ],
)
def test_one_weight_in_grams_leaves_it_at_grams_and_a_blank_one_says_nothing(
    tmp_path: Path, name: str, text: str, expected: str
) -> None:
    assert mass(tmp_path, {"gear.csv": OUNCES, "trip.csv": TRIP, name: text}) == expected


def test_what_is_set_counts_whatever_was_typed_also_where_it_cannot_be_read(tmp_path: Path) -> None:
    for toml, gear, expected in (
        ('[display]\nmass = "g"\n', OUNCES, "g"),
        ('[display]\nmass = "oz"\n', GRAMS, "oz"),
        ('[display]\nmass = "kg"\n', OUNCES, "g"),
        ("[display\n", OUNCES, "g"),
        ('[display]\ntemperature = "f"\n', OUNCES, "oz"),
    ):
        assert mass(tmp_path, {"tarebook.toml": toml, "gear.csv": gear}) == expected


def test_a_changed_unit_changes_what_is_shown(tmp_path: Path) -> None:
    assert mass(tmp_path, {"gear.csv": OUNCES}) == "oz"
    assert mass(tmp_path, {"gear.csv": GRAMS}) == "g"
    assert mass(tmp_path, {"gear.csv": OUNCES}) == "oz"
    assert mass(tmp_path, {"tarebook.toml": '[display]\nmass = "g"\n'}) == "g"
    (tmp_path / "tarebook.toml").unlink()
    assert mass(tmp_path) == "oz"
    assert read_settings(tmp_path).mass == "g"


def test_a_large_file_tells_it_as_a_small_one_does(tmp_path: Path) -> None:
    rows = "".join(f"river,spoon,{n / 1000:.3f},bag {n}\n" for n in range(1, 130_000))
    carried = f"trip,item,weight_oz,bag\n{rows}"
    assert len(carried) > BULK_BYTES
    files = {"gear.csv": OUNCES, "trip.csv": TRIP, "carried.csv": carried}
    assert mass(tmp_path, files) == "oz"
    in_grams = carried.replace("weight_oz", "weight_g", 1)
    assert mass(tmp_path, {"carried.csv": in_grams}) == "g"


def test_a_trip_is_laid_out_in_that_unit_and_so_leaves_it_as_it_is(tmp_path: Path) -> None:
    kit.write(tmp_path, {"gear.csv": OUNCES, "trip.csv": TRIP})
    load_logbook(tmp_path)
    new_trip(tmp_path, "river")
    header = (tmp_path / "trips/river/carried.csv").read_text().splitlines()[0]
    assert "weight_oz" in header
    assert "weight_g" not in header
    assert mass(tmp_path) == "oz"


def test_the_terminal_says_where_it_comes_from(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    kit.write(tmp_path, {"gear.csv": OUNCES})
    printing.sums(load_logbook(tmp_path))
    assert printing.IN_OUNCES in capsys.readouterr().out
    kit.write(tmp_path, {"tarebook.toml": '[display]\nmass = "oz"\n'})
    printing.sums(load_logbook(tmp_path))
    assert printing.IN_OUNCES not in capsys.readouterr().out
