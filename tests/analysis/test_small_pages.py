"""Logbooks of one to three trips and four columns get small pages: no section without an answer."""

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from tarebook.analysis.base_weight.page.page import TrendPage, read_trend
from tarebook.analysis.cold.page.page import ContextPage, read_nights
from tarebook.analysis.comfort.page.page import read_comfort
from tarebook.analysis.display.sections import Section
from tarebook.analysis.display.words import Display
from tarebook.analysis.store.opening import open_store
from young_logbooks import CAMP, write

TODAY = date(2026, 11, 27)
PLAN = {"start_on": "2027-05-07", "end_on": "2027-05-09"}


@pytest.fixture(scope="module", params=[1, 3])
def store(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Any]:
    starts = [date(2026, 6, 5) + timedelta(30 * n) for n in range(request.param)]
    folder: Path = tmp_path_factory.mktemp("young")
    with open_store(write(folder / "book", CAMP, starts, plan=PLAN)) as opened:
        yield opened


def shown(page: ContextPage | TrendPage, *names: str) -> list[str]:
    sections: dict[str, Section] = {name: getattr(page, name)() for name in names}
    return [name for name, section in sections.items() if section.missing is None]


def test_nights_without_a_place_are_one_sentence(store: Any) -> None:
    page = read_nights(store, "", display=Display())
    assert shown(page, "nights", "to_come", "sources") == []
    # One sentence for the trip that was and for the plan.
    assert page.opening().notices == (
        "The trip has no latitude and longitude, so no weather station can be found for it.",
    )


def test_cold_nights_ahead_are_told_or_not_shown(store: Any) -> None:
    page = read_comfort(store, "", today=TODAY, display=Display())
    ahead = page.cold_ahead()
    assert ahead.html() == ""
    assert ahead.missing == "sleep gear with a rating on the list of “plan”"


def test_base_weight_says_once_that_trips_are_few(store: Any) -> None:
    page = read_trend(store, display=Display())
    parts = ("as_carried", "like_for_like", "by_system", "by_mode", "where_it_went")
    assert shown(page, *parts, "next_target", "not_told") == ["as_carried"]
    opening = page.opening()
    assert opening.notices[0].startswith("Trends need at least 4 trips with nights")
    abouts = {point.about: point for point in opening.points}
    assert abouts["Latest base weight"].answer.startswith("5.")
    assert "Usual base weight" not in abouts
    seasons = page.as_carried().more
    assert seasons == (), "one season is no table"
