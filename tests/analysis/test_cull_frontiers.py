"""The frontiers of a cull: of trips on which all is alike it is one, and worked once."""

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest
from store_drawing import Row, carried, empty_store, fill, gear, trip
from tarebook.analysis.cull import culling
from tarebook.analysis.cull.culling import ask_cull, cull, frontier
from tarebook.analysis.cull.results import Wish
from tarebook.analysis.stats.zero_one import LeftSet, Programme
from tarebook.analysis.store.scope import Scope
from tarebook.analysis.usage.conditions import TRIP_KINDS

START, TODAY = date(2026, 5, 2), date(2027, 1, 1)
PLAIN = [gear(f"game-{n}", "leisure", 40_000 * (n + 1), going_without=1.0) for n in range(5)]
FOR_RAIN = gear("cover", "leisure", 70_000, going_without=1.0, meant_for=["wet"])


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


@pytest.mark.parametrize(("things", "worked"), [(PLAIN, 1), ([*PLAIN, FOR_RAIN], 3)])
def test_equal_programmes_have_one_frontier(
    store: Any, monkeypatch: pytest.MonkeyPatch, things: list[Row], worked: int
) -> None:
    """With a thing for rain there are three: of any trip, of wet ones, of dry ones warm or cold."""
    days = [(f"t{n:02d}", START + timedelta(2 * n)) for n in range(30)]
    fill(
        store,
        {
            "gear": things,
            "trip": [trip(name, day, 1, mode="foot", use_record="full") for name, day in days],
            "carried": [
                carried(name, thing["item"], used=int(place % (4 + n) == 0))
                for place, (name, _) in enumerate(days)
                for n, thing in enumerate(things)
            ],
            "weather": [
                {"trip": name, "day": day, "wet": place % 2 == 0, "low_c": 9.0}
                for place, (name, day) in enumerate(days)
            ],
        },
    )
    asked: list[Programme] = []

    def counted(programme: Programme) -> tuple[LeftSet, ...]:
        asked.append(programme)
        return frontier(programme)

    monkeypatch.setattr(culling, "frontier", counted)
    question = ask_cull(store, Scope(), Wish(), regret={}, today=TODAY)
    told = cull(question, np.random.default_rng(1))
    assert len(asked) == worked
    assert told.frontier == frontier(question.problem.programme())
    assert len(told.frontier) > 2
    for kind, line in zip(TRIP_KINDS, told.by_kind, strict=True):
        assert line.frontier == frontier(question.problem.programme(kind, but_for_it=True))
