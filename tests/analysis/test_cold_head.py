"""The head of a trip to come: the warmer set that is owned, and nights in what has no rating."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import young_logbooks as young
from store_drawing import empty_store, gear
from tarebook.analysis.ahead.page.page import read_before_trip
from tarebook.analysis.cold import words
from tarebook.analysis.cold.kinds import warms_nobody
from tarebook.analysis.cold.trips import cold_forecasts
from tarebook.analysis.display.words import SPACE, Display, one_in
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.store.trip_choice import choose_trip
from test_cold_answers import BAG, LOWS, MAT, TODAY, joined, nights_in, plan, put

WINTER = gear("winter", "sleep", 1_600_000, rated_low_c=-12.0, rated_as="limit", name="Winter bag")


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def head(store: Any, name: str = "plan") -> str:
    opening = read_before_trip(store, name, today=TODAY, display=Display()).opening()
    (point,) = (p for p in opening.points if p.about == "Will you be cold?")
    return f"{point.answer} {point.more}".strip().replace(SPACE, " ")


def test_the_warmer_set_that_is_owned_stands_at_the_head_with_its_odds(store: Any) -> None:
    tables = joined(nights_in([BAG, MAT], LOWS, 4.2), plan("bag", "mat"))
    put(store, tables)
    assert "your own" not in head(store)
    put(store, {**tables, "gear": [*tables["gear"], WINTER]})
    (ahead,) = cold_forecasts(store, [choose_trip(store, "plan")])
    best = ahead.sets[0].told
    assert best is not None
    assert ahead.sets[0].limit.system.rated_item == "winter"
    reach = words.percent_range(best.p_any).replace(SPACE, " ")
    assert head(store).endswith(
        f"Take your own “Winter bag”: in it {one_in(best.p_any.value)} (very likely "
        f"{reach}), by its rating."
    )


def test_of_a_bag_without_a_rating_the_coldest_night_in_it_is_told(store: Any) -> None:
    bag = gear("bag", "sleep", 1_000_000, name="Old quilt")
    tables = joined(nights_in([bag, MAT], LOWS, 4.2), plan("bag", "mat"))
    put(store, tables)
    told = head(store)
    assert told == (
        "“Old quilt” has no rating, so the chance of a too cold night is not known. The coldest of "
        "the 18 nights with it along (in March to October) fell to 0 °C, and it felt too "
        "cold. Of colder nights nothing is known."
    )
    # Silence is told as silence: no vote, then no low, then no night.
    put(store, {**tables, "comfort": []})
    assert "fell to 0 °C, and how warm it felt is not noted." in head(store)
    few = [row for row in tables["weather"] if row["low_c"] > 4]
    put(store, {**tables, "weather": few})
    assert (
        "Of the 18 nights with it along (in March to October) 7 have a low: the coldest "
        "fell to 4.5 °C, and it did not feel too cold."
    ) in head(store)
    put(store, {**tables, "weather": []})
    assert head(store).endswith(
        "Of the 18 nights with it along (in March to October) no low is noted."
    )
    put(store, joined({"gear": [bag, MAT]}, plan("bag", "mat")))
    assert head(store).endswith("No night in it is noted.")
    # A rated one that is owned and at home is told of beside it.
    put(store, {**tables, "gear": [*tables["gear"], WINTER]})
    assert "In your own “Winter bag” it would be " in head(store)


def test_ten_summers_with_four_columns_tell_a_winter_plan_their_months(tmp_path: Path) -> None:
    path = young.write(tmp_path, young.CAMP, young.summer(10), plan=young.JANUARY)
    with open_store(path) as made:
        told = head(made)
        assert told == (
            "“quilt” has no rating, so the chance of a too cold night is not known. Of the 20 "
            "nights with it along (in June to August) no low is noted."
        )
        opening = read_before_trip(made, "plan", today=date(2026, 11, 27), display=Display())
        assert not any("no sleep gear" in line for line in opening.opening().notices)


CLOUD = gear("cloud", "sleep", 600_000, name="Cloud nine")
FOAM = gear("foam", "sleep", 400_000, name="Foam mat")
QUILT = gear("quilt", "sleep", 800_000, name="Quilt")


def test_a_mat_that_only_its_turns_tell_is_missed_as_a_mat(store: Any) -> None:
    """Neither column nor word says what “Cloud nine” is; else a foam mat is in its place."""
    turns = joined(
        nights_in([QUILT, CLOUD], LOWS, 4.2), nights_in([QUILT, FOAM], LOWS[:4], 4.2, ago=600)
    )
    for bag in (QUILT, {**QUILT, "rated_low_c": 4.0}):
        tables = {**turns, "gear": [bag, CLOUD, FOAM]}
        put(store, joined(tables, plan("quilt")))
        told = head(store)
        assert told.startswith("No mat is on the list. Without one you will be colder than your ")
        assert "not complete" not in told
        # The one or the other does.
        for mat in ("cloud", "foam"):
            put(store, joined(tables, plan("quilt", mat)))
            assert "No mat" not in head(store)


def test_without_a_pillow_no_night_is_colder(store: Any) -> None:
    pillow = gear("pillow", "sleep", 80_000, name="Inflatable pillow")
    liner = gear("liner", "sleep", 150_000, name="Silk liner")
    things = [BAG, MAT, pillow, liner]
    put(store, joined(nights_in(things, LOWS, 4.2), plan("bag", "mat", "liner")))
    (ahead,) = cold_forecasts(store, [choose_trip(store, "plan")])
    assert ahead.lacking == ()
    assert ahead.told is not None
    # A liner warms.
    put(store, joined(nights_in(things, LOWS, 4.2), plan("bag", "mat", "pillow")))
    assert head(store).startswith("The sleep set is not complete: “Silk liner” is not on the list.")


@pytest.mark.parametrize(
    ("name", "cold"),
    [
        ("Inflatable pillow", False),
        ("Pump sack", False),
        ("Stuff sacks", False),
        ("Sleeping bag liner", True),
        ("Sleeping mat with pillow", True),
        ("Pillow quilt", True),
        ("Cloud nine", True),
        ("Hood", True),
    ],
)
def test_only_what_its_name_says_is_taken_to_warm_nobody(name: str, cold: bool) -> None:
    assert warms_nobody(name) is not cold
