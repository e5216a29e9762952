"""Of one plan every room has one chance that a night falls below a low: camps were colder."""

from typing import Any

import pytest
from tarebook.analysis.climate.outlook import Outlook, outlook_of_trip
from tarebook.analysis.cold.camps import camps_off
from tarebook.analysis.cull.page.trips_to_come import coming_lines, weather_source
from tarebook.analysis.store.trip_choice import choose_trip
from tarebook.analysis.usage.cold_odds import trips_ahead

PLAN = "2027-04-old-weir-meadow"


def test_what_may_stay_at_home_goes_by_the_colder_camps_too(demo: Any) -> None:
    camps = camps_off(demo, choose_trip(demo, PLAN).start_on)
    assert camps is not None
    assert camps.colder
    ahead = trips_ahead(demo, PLAN)
    assert ahead is not None
    assert ahead.cold is not None
    for below_c in (5.0, 8.0):
        shifted = outlook_of_trip(demo, PLAN, below_c - camps.taken_c)
        plain = outlook_of_trip(demo, PLAN, below_c)
        assert isinstance(shifted, Outlook)
        assert isinstance(plain, Outlook)
        assert shifted.sum_odds is not None
        assert plain.sum_odds is not None
        assert ahead.cold(below_c).value == pytest.approx(shifted.sum_odds.value, abs=1e-12)
        assert ahead.cold(below_c).value > plain.sum_odds.value
    assert "and how much colder your camps were" in weather_source(ahead)
    assert "and how much colder your camps were" in coming_lines(ahead)[0]
