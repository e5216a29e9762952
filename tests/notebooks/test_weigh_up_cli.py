"""The weigh-up on the command line, on the first evening."""

import csv
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def first_evening(tmp_path: Path) -> Path:
    """A folder with gear.csv in ounces, one thing of it not weighed, and nothing else."""
    (tmp_path / "gear.csv").write_text(
        "item,name,system,weight_oz,carried_as\n"
        "tent,Tent,shelter,48,\nquilt,Quilt,sleep,32,\nrucksack,Rucksack,bags,32,\n"
        "packraft,Packraft,boat,96,vehicle\n",
        "utf-8",
    )
    (tmp_path / "tarebook.toml").write_text('[display]\nmass = "oz"\n', "utf-8")
    return tmp_path


def test_one_command_answers_with_and_without_the_boat_and_bags(
    run: Run, first_evening: Path
) -> None:
    status, out, _ = run("report", "weigh_up", first_evening)
    assert status == 0
    page = Path(out.strip()).read_text("utf-8").replace("\u202f", " ")
    assert "Of that, 7.00 lb is base weight." in page
    assert "it would be 5.00 lb without bags and 13.00 lb if the boat counted, too" in page
    status, out, _ = run("report", "weigh_up", first_evening, "--as-carried", "boat=base")
    page = Path(out.strip()).read_text("utf-8").replace("\u202f", " ")
    assert "So far 13.00 lb counts as base weight" in page


def test_the_table_takes_names_and_refuses_unknown_ones(run: Run, first_evening: Path) -> None:
    ask = ("table", "weigh_up", first_evening, "--as", "csv")
    status, out, err = run(*ask, "--without", "Boat; quilt", "--with", "quilt")
    assert (status, err) == (0, "")
    rows = {(r["group"], r["name"]): r for r in csv.DictReader(out.splitlines())}
    assert ("system", "boat") not in rows
    assert rows["carried_as", "base"]["carried_g"] == "3175.147"  # 112 oz of 28.349523125 g
    status, out, err = run(*ask, "--without", "tents")
    assert (status, out) == (1, "")
    assert err == (
        "tarebook: --without: expected an item, kit, system or bag of this logbook, got "
        '"tents"; did you mean "Tent"?\n'
    )
    status, out, err = run(*ask, "--as-carried", "boat")
    assert (status, out) == (2, "")
    assert "expected a name, = and a way of carrying, e.g. boat=base" in err


EVERY_COLUMN = """item,name,system,weight_oz,carried_as,kit
tent,Tent,shelter,252.5,,Navigation and emergency kit
quilt,Quilt,sleep,60,,Odds
socks,Socks,clothing,,worn,Odds
rucksack,Rucksack,bags,32,,Odds
first-aid,First aid,first_aid,112.5,,Odds
navigation,Navigation,navigation,12.5,consumable,Navigation and emergency kit
packraft,Packraft,boat,1196,vehicle,Odds
shirt,Shirt,clothing,112,worn,Odds
oats,Oats,food,140,consumable,Navigation and emergency kit
"""


@pytest.mark.parametrize("mass", ["oz", "g"])
def test_no_table_is_cut_on_a_screen(run: Run, tmp_path: Path, look: Any, mass: str) -> None:
    (tmp_path / "gear.csv").write_text(EVERY_COLUMN, "utf-8")
    (tmp_path / "tarebook.toml").write_text(f'[display]\nmass = "{mass}"\n', "utf-8")
    _, out, _ = run("report", "weigh_up", tmp_path)
    seen = look(Path(out.strip()), 1280).page
    seen.evaluate("document.querySelectorAll('details').forEach(fold => { fold.open = true; })")
    headers = seen.locator("#by-system thead").all_inner_texts()
    # All that one owns has no class: nobody takes it all.
    assert "Class then" not in " ".join(headers)
    assert "Base without it" in " ".join(headers)
    assert "Not weighed" in " ".join(headers)
    cut = seen.evaluate(
        "[...document.querySelectorAll('.tarebook-scroll')]"
        ".filter(each => each.scrollWidth > each.clientWidth)"
        ".map(each => each.ariaLabel + ' ' + each.scrollWidth + ' ' + each.clientWidth)"
    )
    assert cut == []
    assert seen.evaluate("document.documentElement.scrollWidth") <= 1280


@pytest.mark.parametrize(
    ("option", "value", "stem"),
    [
        ("--with", "boat", "weigh_up-with-boat"),
        ("--without", "boat", "weigh_up-without-boat"),
        ("--as-carried", "boat=base", "weigh_up-as-carried-boat-base"),
        ("--against", "p1", "weigh_up-against-p1"),
        ("--trip", "p1", "weigh_up-p1"),
    ],
)
def test_each_option_has_a_page_of_its_own(
    run: Run, first_evening: Path, option: str, value: str, stem: str
) -> None:
    (first_evening / "trip.csv").write_text("trip,start_on,end_on\np1,2026-05-01,2026-05-02\n")
    status, out, err = run("report", "weigh_up", first_evening, option, value)
    assert (status, Path(out.strip()).name) == (0, f"{stem}.html"), err


def test_another_trip_that_is_not_known_is_refused_by_its_flag(
    run: Run, first_evening: Path
) -> None:
    status, _, err = run("report", "weigh_up", first_evening, "--against", "nope")
    assert status == 1
    assert err.startswith('tarebook: --against: expected a trip of this logbook, got "nope"')
