"""Every report says at its top what could not be loaded, and all say it in the same words."""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from tarebook.analysis.ahead.page.page import read_before_trip
from tarebook.analysis.base_weight.page import page as trend_page
from tarebook.analysis.buying.page import page as buying_page
from tarebook.analysis.cold.page import page as context_page
from tarebook.analysis.comfort.page import page as comfort_page
from tarebook.analysis.cull.page import page as cull_page
from tarebook.analysis.cull.results import Wish
from tarebook.analysis.debrief.page.page import read_debrief
from tarebook.analysis.display.words import Display
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.store.scope import Scope
from tarebook.analysis.store.set_aside import set_aside_notice
from tarebook.analysis.weigh_up.page.page import read_weigh_up
from tarebook.tripdata.store import store_path

DAY: dict[str, Any] = {"today": date(2026, 11, 25), "display": Display()}
PAGES: dict[str, Callable[[Any], Any]] = {
    "debrief": lambda c: read_debrief(c, "", **DAY),
    "season_cull": lambda c: cull_page.read_cull(c, Scope(), Wish(), **DAY),
    "base_weight_trend": lambda c: trend_page.read_trend(c, display=Display()),
    "temperature_context": lambda c: context_page.read_nights(c, "", display=Display()),
    "comfort_value": lambda c: comfort_page.read_comfort(c, "", **DAY),
    "before_trip": lambda c: read_before_trip(c, **DAY),
    "weigh_up": lambda c: read_weigh_up(c, **DAY),
    "buying_case": lambda c: buying_page.read_buying(c, "", **DAY),
}
REST = "could not be read and are missing here. Run tarebook check: it names each of them and what "


@pytest.mark.parametrize("name", PAGES)
def test_a_report_says_what_was_set_aside(logbook: Callable[[str], Path], name: str) -> None:
    with open_store(store_path(logbook("spreadsheets"))) as connection:
        opening = PAGES[name](connection).opening()
    assert any(REST in notice for notice in opening.notices), opening.notices


@pytest.mark.parametrize("name", PAGES)
def test_a_report_of_a_sound_logbook_says_nothing_of_it(
    logbook: Callable[[str], Path], name: str
) -> None:
    with open_store(store_path(logbook("lakes"))) as connection:
        opening = PAGES[name](connection).opening()
    assert not any("could not be read" in notice for notice in opening.notices)


def test_no_report_is_left_out() -> None:
    from tarebook.notebooks import runner

    assert set(PAGES) == set(runner.available())


def test_one_record_is_told_as_one() -> None:
    assert set_aside_notice(0) == ()
    assert set_aside_notice(1)[0].startswith("1 record of this logbook could not be read and is ")
    assert set_aside_notice(2, "this trip")[0].startswith("2 records of this trip could not be ")
