"""Facts of the field stand in the contract; what SQL or words must spell out is the same."""

import re
from pathlib import Path

import pytest
from tarebook.tripdata.contract import (
    BY_NAME,
    ESSENTIAL_SYSTEMS,
    INSURANCE_SYSTEMS,
    WEIGHT_CLASSES_LB,
    WET_RAIN_MM,
)
from tarebook.tripdata.units import LB_G

SQL = Path(__file__).parents[2] / "analysis" / "store" / "sql"


def spelt(file: str, pattern: str) -> list[str]:
    return re.findall(pattern, (SQL / file).read_text(encoding="utf-8"))


def test_the_lines_between_weight_classes() -> None:
    lines = spelt("marts/trips.sql", r"l\.base_mg < ([\d.]+) THEN '([a-z-]+)'")
    assert [name for _, name in lines] == [name for _, name in WEIGHT_CLASSES_LB]
    wanted = [pounds * LB_G * 1000 for pounds, _ in WEIGHT_CLASSES_LB]
    assert [float(mg) for mg, _ in lines] == pytest.approx(wanted, abs=0.001)


def test_systems_that_are_insurance_or_essential() -> None:
    insurance, essential = spelt("staging/stg_gear.sql", r"system\"? IN \(([^)]*)\)")
    assert tuple(re.findall(r"\w+", insurance)) == INSURANCE_SYSTEMS
    assert tuple(re.findall(r"\w+", essential)) == ESSENTIAL_SYSTEMS
    for name, systems in (("insurance", INSURANCE_SYSTEMS), ("essential", ESSENTIAL_SYSTEMS)):
        *first, last = systems
        assert f"for {', '.join(first)} and {last}" in BY_NAME["gear"].column(name).meaning


def test_rain_that_makes_a_day_wet() -> None:
    assert spelt("staging/stg_weather.sql", r"rain_mm >= ([\d.]+)") == [f"{WET_RAIN_MM:g}"]
    assert f"{WET_RAIN_MM:g} mm or more" in BY_NAME["weather"].column("wet").meaning
