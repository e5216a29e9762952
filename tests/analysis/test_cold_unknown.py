"""The head of a trip to come without normals: the limit on the list, and the warmer set at home."""

from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
from store_drawing import carried, empty_store, gear
from tarebook.analysis.ahead.page.page import read_before_trip
from tarebook.analysis.cold.trips import cold_forecasts
from tarebook.analysis.display.cautions import AHEAD_CARE, WEATHER_CARE
from tarebook.analysis.display.words import SPACE, Display, own_limit, temperature_scale
from tarebook.analysis.store.trip_choice import choose_trip
from test_cold_answers import (
    CELSIUS,
    FAHRENHEIT,
    HERE,
    LOWS,
    TODAY,
    Tables,
    joined,
    nights_in,
    plan,
    put,
)

BLANK = {"essential": None, "meant_for": []}
BAG = gear("bag", "sleep", 900_000, rated_low_c=5.0, **BLANK)
COLD = gear("winter", "sleep", 1_600_000, rated_low_c=-12.0, **BLANK)
MAT = gear("mat", "sleep", 400_000, **BLANK)
FORECAST = (
    "How cold it will be there is not known, as the trip has no latitude and longitude: look at "
    "the forecast."
)
FIFTH = "at such a low, one night in five is too cold."


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def without_place(*parts: Tables) -> Tables:
    tables = joined(*parts)
    nowhere = dict.fromkeys(HERE)
    return {**tables, "trip": [{**row, **nowhere} for row in tables["trip"]]}


def told(store: Any, display: Display = CELSIUS) -> str:
    """What is told of cold among the risks, which lead the head."""
    opening = read_before_trip(store, "plan", today=TODAY, display=display).opening()
    # What may be missing or is broken may stand before it.
    (first,) = (p for p in opening.points[: opening.care_after] if p.about == "Will you be cold?")
    assert not any("too cold night is not known" in line for line in opening.notices)
    assert opening.caution == WEATHER_CARE
    return f"{first.answer} {first.more}".strip().replace(SPACE, " ")


def limits_of(store: Any, display: Display = CELSIUS) -> dict[str, str]:
    """The limit of every set that is owned, with its range, by the item that is rated in it."""
    (ahead,) = cold_forecasts(store, [choose_trip(store, "plan")])
    scale, limits = temperature_scale(display, 0), {}
    for limit in (one.limit for one in ahead.sets):
        low, high = scale.number(limit.own_limit_c.low), scale.text(limit.own_limit_c.high)
        value = own_limit(limit.own_limit_c.value, display)
        told = f"{value} (very likely {low} to {high})"
        limits[limit.system.rated_item] = told.replace(SPACE, " ")
    return limits


@pytest.mark.parametrize(
    ("display", "rated", "winter"), [(CELSIUS, "5 °C", "−12 °C"), (FAHRENHEIT, "41 °F", "10.4 °F")]
)
@pytest.mark.parametrize("nights", [0, 4, 18])
def test_the_limit_on_the_list_leads_and_the_warmer_set_at_home_follows(
    store: Any, display: Display, rated: str, winter: str, nights: int
) -> None:
    nights_before = nights_in([BAG, MAT], LOWS[:nights], 4.2)
    put(store, without_place(nights_before, {"gear": [COLD]}, plan("bag", "mat")))
    limits = limits_of(store, display)
    rests = {
        0: f"by its maker’s rating of {rated}",
        4: "by only 4 judged nights, too early to say",
        18: "by 18 judged nights",
    }[nights]
    assert told(store, display) == (
        f"The limit in “Bag” is {limits['bag']} {rests}: {FIFTH} {FORECAST} Your own “Winter” is "
        f"warmer, with a limit of {limits['winter']} by its maker’s rating of {winter}, and is not "
        "on the list."
    )
    page = read_before_trip(store, "plan", today=TODAY, display=display)
    assert page.cold().caution == AHEAD_CARE
    # Where nothing is warmer, none is named.
    put(store, without_place(nights_before, {"gear": [COLD]}, plan("winter", "mat")))
    assert told(store, display).endswith(FORECAST)


def test_what_is_broken_at_home_is_not_named(store: Any) -> None:
    tables = without_place(nights_in([BAG, MAT], LOWS, 4.2), {"gear": [COLD]}, plan("bag", "mat"))
    along = [*tables["carried"], carried("t0-00", "winter")]
    failed = {"trip": "t0-00", "item": "winter", "severity": "unsafe"}
    for fixed, named in ((None, False), (TODAY, True)):
        failures = [{**failed, "day": TODAY - timedelta(29), "fixed_on": fixed}]
        put(store, {**tables, "carried": along, "failures": failures})
        assert ("Your own “Winter” is warmer" in told(store)) is named


def test_a_place_that_no_normals_serve_is_said(store: Any) -> None:
    tables = joined({"gear": [BAG, COLD, MAT]}, plan("bag", "mat"))
    far = {"latitude": -50.0, "longitude": 60.0}
    put(store, {**tables, "trip": [{**row, **far} for row in tables["trip"]]})
    assert (
        "not known, as no climate normals serve the place (tarebook normals says which file would):"
        " look at the forecast. Your own “Winter” is warmer"
    ) in told(store)


def test_of_an_unrated_bag_the_rated_one_at_home_is_named_alone(store: Any) -> None:
    summer = {**BAG, "rated_low_c": None}
    put(store, without_place(nights_in([summer, MAT], LOWS, 4.2), {"gear": [COLD]}, plan("bag")))
    limit = limits_of(store)["winter"]
    home = (
        f"Your own “Winter” has a rating, with a limit of {limit} by its maker’s rating of −12 °C"
    )
    # Of a list without the mat, too.
    assert told(store).startswith("No mat is on the list. Without one you will be colder than ")
    assert told(store).endswith(f"{FORECAST} {home}, and is not on the list.")
    nights = nights_in([summer, MAT], LOWS, 4.2)
    put(store, without_place(nights, {"gear": [COLD]}, plan("bag", "mat")))
    assert told(store).startswith("“Bag” has no rating, so the chance of a too cold night is not ")
    assert told(store).endswith(f"{FORECAST} {home}, and is not on the list.")


def test_a_list_without_a_bag_and_a_plan_without_a_list_lead_with_cold_too(store: Any) -> None:
    things: Tables = {"gear": [BAG, COLD, MAT]}
    put(store, without_place(things, plan("mat")))
    limit = limits_of(store)["winter"]
    by_rating = f"{limit} by its maker’s rating of −12 °C"
    nothing = "No sleep gear with a rating is on the list, so the chance of a too cold night is not"
    assert told(store) == (
        f"{nothing} known. {FORECAST} Your own “Winter” has a rating, with a limit of {by_rating}, "
        "and is not on the list."
    )
    put(store, joined(things, plan("mat")))
    assert told(store).startswith(f"{nothing} known. In your own “Winter” it would be ")
    put(store, without_place({"gear": [BAG, COLD]}, plan()))
    assert told(store) == (
        "This plan has no list of its own. In “Winter”, the warmest that you own, the limit is "
        f"{by_rating}: {FIFTH} {FORECAST}"
    )
    # Of a list that is drawn from like trips.
    put(store, without_place(nights_in([BAG, MAT], LOWS, 4.2), {"gear": [COLD]}, plan()))
    limits = limits_of(store)
    assert told(store) == (
        "This plan has no list of its own, but like trips had “Bag”. The limit in “Bag” is "
        f"{limits['bag']} by 18 judged nights: {FIFTH} {FORECAST} Your own “Winter” is warmer, "
        f"with a limit of {limits['winter']} by its maker’s rating of −12 °C."
    )
