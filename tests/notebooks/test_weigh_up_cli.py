"""The weigh-up on the command line, on the first evening."""

import csv
from collections.abc import Callable
from pathlib import Path

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
    assert "Of that, 7.00 lb is base weight, which walkers call ultralight." in page
    assert "it would be 5.00 lb without bags and 13.00 lb if the boat counted, too" in page
    status, out, _ = run("report", "weigh_up", first_evening, "--as-carried", "boat=base")
    assert "13.00\u202flb is base weight, which walkers call lightweight." in Path(
        out.strip()
    ).read_text("utf-8")


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
