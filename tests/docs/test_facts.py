"""Facts of the field stand in the contract; what SQL or words must spell out is the same."""

import re

from tarebook.analysis.climate import station_choice
from tarebook.analysis.store.opening import views
from tarebook.tripdata.contract import (
    BY_NAME,
    ESSENTIAL_SYSTEMS,
    INSURANCE_SYSTEMS,
    WEIGHT_CLASSES_LB,
    WET_RAIN_MM,
)
from tarebook.tripdata.normals import distance
from tarebook.tripdata.units import LB_G


def spelt(view: str, pattern: str) -> list[str]:
    return re.findall(pattern, views()[view])


def test_the_lines_between_weight_classes() -> None:
    lines = spelt("trips", r"base_mg < ([\d.]+) THEN '([a-z-]+)'")
    assert [(float(mg), name) for mg, name in lines] == [
        (pounds * LB_G * 1000, name) for pounds, name in WEIGHT_CLASSES_LB
    ]


def test_systems_that_are_insurance_or_essential() -> None:
    insurance, essential = spelt("stg_gear", r"system\"? IN \(([^)]*)\)")
    assert tuple(re.findall(r"\w+", insurance)) == INSURANCE_SYSTEMS
    assert tuple(re.findall(r"\w+", essential)) == ESSENTIAL_SYSTEMS
    for name, systems in (("insurance", INSURANCE_SYSTEMS), ("essential", ESSENTIAL_SYSTEMS)):
        *first, last = systems
        assert f"for {', '.join(first)} and {last}" in BY_NAME["gear"].column(name).meaning


def test_rain_that_makes_a_day_wet() -> None:
    assert spelt("stg_weather", r"rain_mm >= ([\d.]+)") == [f"{WET_RAIN_MM:g}"]
    assert f"{WET_RAIN_MM:g} mm or more" in BY_NAME["weather"].column("wet").meaning


def test_the_station_rule_of_trips_is_that_of_places() -> None:
    assert spelt("trip_stations", r"distance_km <= ([0-9.]+)") == [f"{distance.MAX_DISTANCE_KM:g}"]
    assert spelt("trip_stations", r"climb_m <= ([0-9.]+)") == [f"{distance.MAX_HEIGHT_M:g}"]
    assert spelt("trip_stations", r"climb_m / ([0-9.]+)") == [f"{1 / distance.KM_PER_M:g}"]
    assert spelt("trip_stations", r"([-0-9.]+) \* height") == [f"{station_choice.LAPSE_C_PER_M:g}"]
