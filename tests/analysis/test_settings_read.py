"""The settings that reports read are those that tarebook.toml sets."""

from pathlib import Path

from tarebook.analysis.display.words import Display
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.store.settings import settings_of
from tarebook.tripdata.store import load_logbook, store_path

GEAR = "item,name,system,weight_g\ntarp,Tarp,shelter,300\n"
WRITTEN = """
[display]
mass = "oz"
temperature = "f"
[person]
body_kg = 71.5
[goals]
base_weight_g = 4800
[regret]
cook = 2
leisure = 0.5
[limits]
boat = 90000
"bow bag" = 3000
"""


def test_what_is_written_is_read_and_the_rest_is_missing(tmp_path: Path) -> None:
    (tmp_path / "gear.csv").write_text(GEAR, "utf-8")
    (tmp_path / "tarebook.toml").write_text(WRITTEN, "utf-8")
    load_logbook(tmp_path)
    with open_store(store_path(tmp_path)) as store:
        settings = settings_of(store)
    assert settings.display == Display("oz", "f", "km")
    assert (settings.body_kg, settings.bike_kg) == (71.5, None)
    assert settings.base_weight_goal_g == 4800
    assert settings.regret == {"cook": 2, "leisure": 0.5}
    assert settings.limits == {"boat": 90_000, "bow bag": 3000}


def test_without_the_file_the_units_are_metric_and_nothing_else_is_set(tmp_path: Path) -> None:
    (tmp_path / "gear.csv").write_text(GEAR, "utf-8")
    load_logbook(tmp_path)
    with open_store(store_path(tmp_path)) as store:
        settings = settings_of(store)
    assert settings.display == Display()
    assert (settings.body_kg, settings.bike_kg, settings.base_weight_goal_g) == (None, None, None)
    assert settings.regret == settings.limits == {}
