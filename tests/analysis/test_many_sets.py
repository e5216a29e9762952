"""Many sleep sets: what they share is worked once, and every figure stays what it was set by set.

The rules from before stand here, written out: votes spread by spread, quantiles over whole columns,
each limit and chance by itself.
"""

import math
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest
from scipy.special import log_ndtr
from store_drawing import empty_store, gear
from tarebook.analysis.climate.outlook import NORMALS_OFF_SD
from tarebook.analysis.climate.season_spread import SeasonSpread
from tarebook.analysis.cold import chance, limit, trips
from tarebook.analysis.cold.chance import NightAhead, TooColdChance
from tarebook.analysis.cold.model import ColdFit, fit_cold
from tarebook.analysis.stats import warmth_probit
from tarebook.analysis.stats.ar1_chain import NIGHT_TO_NIGHT, NIGHT_TO_NIGHT_RANGE
from tarebook.analysis.stats.constants import LEVEL, TAILS
from tarebook.analysis.stats.estimate import Estimate
from tarebook.analysis.stats.quantile import weighted_quantiles
from tarebook.analysis.stats.warmth_probit import Beliefs, VoteLikelihood, shift_kernel
from tarebook.analysis.store.trip_choice import choose_trip
from test_cold_answers import BAG, LOWS, MAT, joined, nights_in, plan, put
from test_growth import cold_nights

SILK, FOAM = gear("silk", "sleep", 150_000), gear("foam", "sleep", 300_000)
OTHER = gear("other", "sleep", 700_000, rated_low_c=5.0, rated_as="limit")
BOOK = joined(
    nights_in([BAG, MAT], LOWS, 3.2),
    nights_in([BAG, MAT, SILK], LOWS[:2], 3.2, ago=-14),
    nights_in([OTHER, FOAM], LOWS[:3], 4.0, ago=-40),
    plan("bag", "mat"),
)


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        put(made, BOOK)
        yield made


def over_whole_columns(values: Any, weight: Any, shares: Any, order: Any = None) -> list[float]:
    order = np.argsort(values, kind="stable")
    reached = np.cumsum(weight[order])
    middle = (reached - weight[order] / 2) / reached[-1]
    return [float(x) for x in np.interp(shares, middle, values[order])]


def spread_by_spread(votes: VoteLikelihood, number: int) -> Any:
    total = np.zeros(votes._shape)
    mine = votes._votes.get(number)
    if mine is None:
        return total
    order = mine[np.argsort(votes._trip[mine], kind="stable")]
    starts = np.flatnonzero(np.diff(votes._trip[order], prepend=-1))
    scaled = votes._sign[order, None] * (votes._margin[order, None] + votes._above)
    for place, spread in enumerate(votes._spreads):
        by_trip = np.add.reduceat(log_ndtr(scaled / spread), starts, axis=0)
        peak = by_trip.max(1, keepdims=True)
        averaged = np.log(np.maximum(np.exp(by_trip - peak) @ votes._kernels, 1e-300))
        total[place] = averaged.reshape(len(starts), *votes._shape[1:]).sum(0) + peak.sum()
    return total


def set_by_set(
    fit: ColdFit, place: int, as_limit_c: float, nights: Any, doubt_c: float = 0.0
) -> TooColdChance:
    weight, z, even_odds_c = fit.weight[place], chance._scores(), as_limit_c + fit.above_c
    spreads = np.hypot(fit.trip_spread_c, doubt_c)
    shared, alone = (
        [shift_kernel(fit.above_c, float(t)) for t in these]
        for these in (spreads, fit.trip_spread_c)
    )
    seen = sum(weight[:, t] @ kernel for t, kernel in enumerate(shared))
    warm = [chance._warm(fit.spread_c, even_odds_c, night.low_c(z)) for night in nights]
    each = [float((seen * (1 - one @ chance._bell())).sum()) for one in warm]
    (none,) = chance._none(warm, (NIGHT_TO_NIGHT,))
    every = [np.stack([(1 - none) @ kernel.T for kernel in shared], axis=1)]
    for side in (-1, 1):
        lows = (n.low_c(z) + side * math.hypot(NORMALS_OFF_SD * n.sd_c, doubt_c) for n in nights)
        off = (chance._warm(fit.spread_c, even_odds_c, low) for low in lows)
        for other in chance._none(off, NIGHT_TO_NIGHT_RANGE):
            every.append(np.stack([(1 - other) @ kernel.T for kernel in alone], axis=1))
    low, high = over_whole_columns(
        np.concatenate([one.ravel() for one in every]), np.tile(weight.ravel(), len(every)), TAILS
    )
    mean = float((seen * (1 - none)).sum())
    return TooColdChance(Estimate(mean, low, high, LEVEL), tuple(each))


def told(store: Any) -> list[Any]:
    (ahead,) = trips.cold_forecasts(store, [choose_trip(store, "plan")])
    figures: list[Any] = [[ahead.by_normals], ahead.trip.trip]
    for one in ahead.sets:
        limits, any_ = one.limit.own_limit_c, one.chance.p_any if one.chance else None
        assert any_ is not None
        figures += [one.limit.system.items, one.on_list, one.limit.nights, one.limit.coldest_c]
        figures.append([limits.value, limits.low, limits.high, one.limit.prior_share])
        figures.append([any_.value, any_.low, any_.high, one.by_normals, *one.chance.p_each])
    return figures


def test_sets_ahead_are_those_worked_one_by_one(
    store: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    ours = told(store)
    monkeypatch.setattr(limit, "weighted_quantiles", over_whole_columns)
    monkeypatch.setattr(trips, "chance_of_cold_night", set_by_set)
    monkeypatch.setattr(VoteLikelihood, "__call__", spread_by_spread)
    monkeypatch.setattr(warmth_probit, "_MOST_KEPT", 1)
    monkeypatch.setattr(trips, "thing_by_thing", list)
    theirs = told(store)
    assert len(ours) == len(theirs) == 2 + 6 * 3
    for one, other in zip(ours, theirs, strict=True):
        # Sums of a few spreads at once end in another last bit.
        same = pytest.approx(other, rel=1e-12) if isinstance(other, list) else other
        assert one == same


def test_quantiles_need_no_more_than_what_lies_about_them() -> None:
    rng = np.random.default_rng(5)
    shares = (0.001, 0.05, 0.5, 0.9, 0.999)
    for _ in range(400):
        n = int(rng.integers(1, 60))
        values = np.round(rng.normal(size=n), int(rng.integers(0, 4)))
        weight = rng.random(n) ** int(rng.integers(1, 12)) * (rng.random(n) < 0.6)
        weight[0] += 0.01
        order = np.argsort(values, kind="stable")
        theirs = over_whole_columns(values, weight, shares)
        assert weighted_quantiles(values, weight, shares) == theirs
        assert weighted_quantiles(values, weight, shares, order) == theirs


def test_a_chance_does_not_remember_other_nights_or_ratings() -> None:
    fit = fit_cold(cold_nights(3))
    asked = [
        (place, rated_c, nights, doubt_c)
        for place in (0, 2)
        for rated_c in (1.0, 4.0)
        for nights in (
            [NightAhead(2.0, 3.0)],
            [NightAhead(2.0, 3.0), NightAhead(0.0, 2.5, SeasonSpread(1.1, -0.4))],
        )
        for doubt_c in (0.0, 1.5)
    ]
    found = [chance.chance_of_cold_night(fit, *one) for one in asked]
    assert found == [set_by_set(fit, *one) for one in asked]
    assert len({one.p_any.value for one in found}) == len(asked)


def test_votes_of_many_trips_are_averaged_some_spreads_at_a_time(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    rng = np.random.default_rng(7)
    grid = (np.arange(-20, 20.1, 0.5), np.array([1.0, 2.0, 3.0, 4.5, 6.0]), np.array([0.7, 2.5]))
    of_set = np.repeat(np.arange(2), 20)
    votes = VoteLikelihood(
        rng.normal(0, 4, 40), rng.random(40) < 0.3, of_set, rng.integers(0, 9, 40), grid
    )
    for rows in (1, 20, 64):
        monkeypatch.setattr(warmth_probit, "_MOST_ROWS", rows)
        for number in (0, 1, 2):
            assert votes(number) == pytest.approx(spread_by_spread(votes, number), rel=1e-12)


@pytest.mark.parametrize("sets", [6, 40])
def test_votes_of_a_set_are_read_twice_and_a_thing_is_known_once(
    sets: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    reads: list[int] = []
    known: list[int] = []
    read, smooth = VoteLikelihood.__call__, Beliefs._smooth
    monkeypatch.setattr(
        VoteLikelihood, "__call__", lambda self, at: (reads.append(at), read(self, at))[1]
    )
    monkeypatch.setattr(
        Beliefs, "_smooth", lambda self, log, sd: (known.append(1), smooth(self, log, sd))[1]
    )
    nights = cold_nights(sets)
    fit = fit_cold(
        type(nights)(
            nights.system,
            nights.trip,
            nights.low_c,
            nights.too_cold,
            nights.rated_c,
            thing=np.zeros(sets, dtype=np.intp),
            kinds=("limit",),
        )
    )
    assert sum(float(fit.weight[at].sum()) for at in range(sets)) == pytest.approx(sets)
    assert sorted(reads) == sorted([*range(sets)] * 2)
    # Of a set once on the way up and twice on the way down; of the one thing and the kinds a few.
    assert len(known) <= 3 * sets + 20


def test_what_is_not_mended_is_asked_once_for_all_sets(
    store: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[Any] = []
    unmended = trips.unmended_by
    limit_of = limit.ColdLimits.limit_of
    worked: list[Any] = []
    monkeypatch.setattr(
        trips, "unmended_by", lambda *args: (asked.append(args), unmended(*args))[1]
    )
    monkeypatch.setattr(
        limit.ColdLimits,
        "limit_of",
        lambda self, system: (worked.append(system.items), limit_of(self, system))[1],
    )
    (ahead,) = trips.cold_forecasts(store, [choose_trip(store, "plan")])
    assert len(ahead.sets) == 3
    assert len(asked) == 2
    # Each set once, since mild nights leave all three as they are, and once more that of the list.
    assert len(worked) == 4
