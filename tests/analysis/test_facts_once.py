"""What stands in SQL as well as in Python says the same in both."""

import re

from tarebook.analysis.climate import station_choice
from tarebook.analysis.store.opening import views
from tarebook.tripdata.contract import ESSENTIAL_SYSTEMS, INSURANCE_SYSTEMS, WEIGHT_CLASSES_LB
from tarebook.tripdata.units import LB_G


def test_weight_classes_of_trips_are_those_of_the_contract() -> None:
    limits = re.findall(r"base_mg < ([0-9.]+) THEN '([a-z-]+)'", views()["trips"])
    assert [(float(mg), name) for mg, name in limits] == [
        (lb * LB_G * 1000, name) for lb, name in WEIGHT_CLASSES_LB
    ]


def test_the_station_rule_of_trips_is_that_of_places() -> None:
    rule = views()["trip_stations"]
    assert re.findall(r"distance_km <= ([0-9.]+)", rule) == [f"{station_choice.MAX_DISTANCE_KM:g}"]
    assert re.findall(r"climb_m <= ([0-9.]+)", rule) == [f"{station_choice.MAX_HEIGHT_M:g}"]
    assert re.findall(r"climb_m / ([0-9.]+)", rule) == [f"{1 / station_choice.KM_PER_M:g}"]
    assert re.findall(r"([-0-9.]+) \* height", rule) == [f"{station_choice.LAPSE_C_PER_M:g}"]


def test_systems_that_are_insurance_or_essential_are_those_of_the_contract() -> None:
    lists = re.findall(r"\"?system\"? IN \(([^)]*)\)", views()["stg_gear"])
    named = [tuple(re.findall(r"'([a-z_]+)'", one)) for one in lists]
    assert named == [INSURANCE_SYSTEMS, ESSENTIAL_SYSTEMS]
