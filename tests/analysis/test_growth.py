"""What a logbook costs grows with what came along and what was scored, not with what is owned."""

import tracemalloc
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

import numpy as np
import pytest
from comfort_worlds import a_logbook
from scipy.special import log_ndtr
from scipy.stats import norm
from tarebook.analysis.cold.model import SPREAD_C, ColdNights, fit_cold
from tarebook.analysis.comfort import bounds
from tarebook.analysis.comfort.days import comfort_days
from tarebook.analysis.comfort.gain import comfort_gains, gains_of
from tarebook.analysis.comfort.next_swap import next_swaps, trips_to_settle
from tarebook.analysis.display.tables import MOST_ROWS, Table, text
from tarebook.analysis.stats.score_model import ends, grid
from tarebook.analysis.stats.score_model.grid import Priors, ScoreProblem
from tarebook.analysis.stats.score_model.laws import EndReader
from tarebook.analysis.stats.score_model.model import fit_comfort
from tarebook.analysis.stats.score_model.span import Span, span_of
from tarebook.analysis.stats.warmth_probit import VoteLikelihood
from tarebook.analysis.store.scope import Scope
from tarebook.analysis.tables import TABLES
from tarebook.tripdata.errors import QuestionError

SAME = 1e-9


def peak_of(work: Callable[[], object]) -> int:
    """Bytes at the most that some work holds at once."""
    tracemalloc.start()
    try:
        work()
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()


def bundle_by_bundle(columns: Any) -> Span:
    return Span(columns, None)


@pytest.mark.parametrize("at_ends", [True, False])
@pytest.mark.parametrize(("days", "things"), [(9, 25), (18, 40), (30, 12), (4, 7)])
def test_gains_are_those_worked_bundle_by_bundle(
    days: int, things: int, at_ends: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    data = a_logbook(days, things, at_ends=at_ends)
    ours = fit_comfort(data)
    monkeypatch.setattr(grid, "span_of", bundle_by_bundle)
    plain = fit_comfort(data)
    for name in ("gain", "low", "high", "p_helps", "prior_share", "covariance", "likely"):
        theirs = getattr(plain, name)
        assert getattr(ours, name) == pytest.approx(theirs, abs=SAME), name
    slopes = [[(s.value, s.low, s.high) for s in fit.slopes] for fit in (ours, plain)]
    assert np.array(slopes[0]) == pytest.approx(np.array(slopes[1]), abs=SAME)


def test_gains_given_the_spreads_are_those_of_plain_regression() -> None:
    # The textbook's way, days by days: with V the covariance of the scores, the gains of bundles
    # have mean T X' V^-1 (y - 3) and covariance T - T X' V^-1 X T.
    data = a_logbook(12, 30, 5, at_ends=False)
    gain, trip, own = 0.4, 0.3, 0.5
    problem = ends.EndsProblem(data, Priors(), (1.0, 1.0))
    noise = float(np.hypot(own, problem.plain.floor))
    chosen = np.arange(30)
    reader = EndReader(problem.plain, chosen)
    at = [np.array([value]) for value in (trip / noise, gain / noise, own)]
    read = problem.at(*at, reader=reader.read).read
    law = reader.laws(np.ones(1), np.array([[gain, trip, noise]]), read)

    x, z = data.along - data.along.mean(0), data.covariates - data.covariates.mean(0)
    prior = np.diag(gain**2 * data.sizes)
    same_trip = data.trips[:, None] == data.trips
    v = x @ prior @ x.T + z @ z.T * 0.25 + 1.5**2 + trip**2 * same_trip + noise**2 * np.eye(12)
    lever = prior @ x.T @ np.linalg.inv(v)
    root = np.sqrt(data.sizes)
    mean, variance = law.moments(problem.plain, slice(None))
    assert mean[0] * root == pytest.approx(lever @ (data.scores - 3), abs=SAME)
    covariance = prior - lever @ x @ prior
    assert variance[0] * root**2 == pytest.approx(np.diag(covariance), abs=SAME)
    within = law.within(problem.plain, chosen) * np.outer(root, root)
    assert within == pytest.approx(covariance, abs=SAME)


def test_a_span_has_its_columns() -> None:
    rng = np.random.default_rng(2)
    few = (rng.random((6, 40)) < 0.5).astype(float)
    columns = (few - few.mean(0))[np.repeat(np.arange(6), 3)] * rng.uniform(0.5, 2, 40)
    span = span_of(columns)
    assert span.loads is not None
    assert span.table.shape[1] == 5  # six different days, less their mean
    assert span.loads.T @ span.loads == pytest.approx(np.eye(5), abs=SAME)
    assert span.table @ span.loads.T == pytest.approx(columns, abs=SAME)
    left = np.eye(40) - span.loads @ span.loads.T
    assert span.untold_within(slice(None)) == pytest.approx(left, abs=SAME)
    assert span.untold(slice(3, 9)) == pytest.approx(np.diag(left)[3:9], abs=SAME)


@pytest.mark.parametrize("at_ends", [True, False])
def test_memory_of_gains_does_not_grow_with_the_square_of_things(at_ends: bool) -> None:
    fit_comfort(a_logbook(9, 10))  # imports and caches
    peaks = []
    for things in (300, 1200):
        data = a_logbook(15, things, at_ends=at_ends)
        none = np.empty(0, dtype=np.intp)
        peaks.append(peak_of(lambda data=data, none=none: fit_comfort(data, together=none)))
    square = 8 * 1200**2
    assert peaks[1] - peaks[0] < 4 * square
    assert peaks[1] < 4.5 * peaks[0]


def test_swaps_are_those_worked_bundle_by_bundle(
    demo: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Of the demo's first trips: more bundles than days.
    aspects = comfort_gains(demo, Scope(until=date(2024, 6, 30)))
    data = aspects[0].days.data
    assert ScoreProblem(data, Priors()).p < data.along.shape[1]
    ours = next_swaps(aspects, ()), trips_to_settle(aspects)
    monkeypatch.setattr(grid, "span_of", bundle_by_bundle)
    plain = next_swaps(aspects, ()), trips_to_settle(aspects)
    assert ours[1] == plain[1]
    assert [(s.action, s.thing) for s in ours[0]] == [(s.action, s.thing) for s in plain[0]]
    for one, other in zip(ours[0], plain[0], strict=True):
        assert one.variance_reduction == pytest.approx(other.variance_reduction, abs=SAME)


def test_too_much_is_said_beforehand_with_a_period_that_is_not(
    demo: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    sleep = comfort_days(demo)[0]
    monkeypatch.setattr(bounds, "MOST_WORK", bounds.size_of(sleep).work / 2)
    monkeypatch.setattr("tarebook.analysis.comfort.gain.gains_of", pytest.fail)
    with pytest.raises(QuestionError) as caught:
        comfort_gains(demo)
    said = str(caught.value)
    assert f"{len(sleep.rows)} scored nights with {len(sleep.bundles)} things" in said
    monkeypatch.setattr("tarebook.analysis.comfort.gain.gains_of", gains_of)
    since = date.fromisoformat(said.rpartition(" ")[2])
    left = comfort_days(demo, Scope(since=since))[0]
    assert bounds.size_of(left).can_be_judged
    assert 0 < len(left.rows) < len(sleep.rows)


def test_whoever_asks_for_gains_is_told_beforehand(
    demo: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    sleep = comfort_days(demo)[0]
    monkeypatch.setattr(bounds, "MOST_WORK", bounds.size_of(sleep).work / 2)
    for fit in ("comfort.gain.gains_of", "stats.score_model.model.fit_comfort"):
        monkeypatch.setattr(f"tarebook.analysis.{fit}", pytest.fail)
    for name in ("comfort_gain", "next_swap"):
        with pytest.raises(QuestionError, match="more than can be worked out at once; ask for "):
            TABLES[name].rows(demo)  # type: ignore[misc]
    rows = TABLES["buying_case"].rows(demo, today=date(2026, 6, 1))  # type: ignore[misc]
    reasons = " ".join(row["missing_because"] or "" for row in rows)
    assert "comfort_gain: more nights are scored than can be judged at once" in reasons


def test_two_thousand_trips_with_a_thousand_things_are_judged_and_twice_that_are_not() -> None:
    for beyond in ((12_000, 1_000, 1_000, 12, 2_000, 4), (6_000, 2_000, 2_000, 12, 1_000, 4)):
        assert not bounds.Size(*beyond).can_be_judged
    for fine in ((600, 1_000, 199, 12, 100, 4), (6_000, 1_000, 1_000, 9, 955, 4)):
        assert bounds.Size(*fine).can_be_judged
    wide = bounds.Size(6_000, 20_000, 10, 12, 0, 4)
    assert wide.work < bounds.MOST_WORK
    assert not wide.can_be_judged


def test_size_counts_what_the_fit_has(demo: Any) -> None:
    for days in comfort_days(demo):
        size, problem = bounds.size_of(days), ScoreProblem(days.data, Priors())
        assert (size.bundles, size.fixed) == (len(days.bundles), problem.fixed)
        assert size.directions >= problem.p
        assert size.days == len(days.rows)


def test_a_table_is_of_the_trips_of_a_period(demo: Any) -> None:
    early = TABLES["comfort_gain"].rows(demo, until=date(2024, 6, 30))  # type: ignore[misc]
    every = TABLES["comfort_gain"].rows(demo)  # type: ignore[misc]
    nights = [max(r["nights_with"] + r["nights_without"] for r in rows) for rows in (early, every)]
    assert 0 < nights[0] < nights[1]
    with pytest.raises(QuestionError, match="no trip of that period has a comfort score; those"):
        TABLES["comfort_gain"].rows(demo, since=date(2090, 1, 1))  # type: ignore[misc]


def cold_nights(sets: int, nights_each: int = 2) -> ColdNights:
    """A sleep set with a thing of its own on every trip."""
    rng = np.random.default_rng(sets)
    system = np.repeat(np.arange(sets, dtype=np.intp), nights_each)
    low = rng.normal(4, 4, len(system))
    return ColdNights(
        system, system, low, (rng.normal(low, 3) < 3).astype(float), rng.normal(2, 3, sets)
    )


def test_votes_of_a_set_are_summed_over_effects_of_trips() -> None:
    # Of each trip: the votes' likelihoods, averaged over a normal effect by a sum of many terms.
    # The grid is finer than the model's, whose straight pieces are off by up to .004 here.
    above, spreads = np.arange(-20, 20.01, 0.05), np.array([2.0, SPREAD_C])
    trip_spreads = np.array([0.7, 2.5])
    margin = np.array([1.0, -2.0, 0.5, 3.0, 1.5])
    yes = np.array([True, False, True, True, False])
    of_set, trip = np.array([0, 0, 0, 2, 0]), np.array([5, 5, 7, 7, 5])
    votes = VoteLikelihood(margin, yes, of_set, trip, (above, spreads, trip_spreads))
    middle = np.abs(above) < 2
    effects = np.linspace(-14, 14, 7001)
    for number in (0, 2):
        found = votes(number)
        for s, spread in enumerate(spreads):
            for t, trip_spread in enumerate(trip_spreads):
                log = np.zeros(middle.sum())
                share = norm.pdf(effects, 0, trip_spread) * (effects[1] - effects[0])
                for one in np.unique(trip[of_set == number]):
                    mine = (of_set == number) & (trip == one)
                    sign = np.where(yes[mine], 1, -1)[:, None, None]
                    reach = margin[mine][:, None, None] + above[middle][:, None] + effects
                    log += np.log(np.exp(log_ndtr(sign * reach / spread).sum(0)) @ share)
                assert found[s, t][middle] == pytest.approx(log, abs=2e-3)
    assert not votes(1).any()


def test_memory_of_cold_limits_grows_with_things_alone_and_little() -> None:
    def read(nights: ColdNights) -> float:
        fit = fit_cold(nights)
        return float(sum(fit.weight[at].sum() for at in range(len(nights.rated_c))))

    assert read(cold_nights(3)) == pytest.approx(3)
    one_thing = [
        replace(cold_nights(sets), thing=np.zeros(sets, dtype=np.intp), kinds=("limit",))
        for sets in (10, 60)
    ]
    few, many = (peak_of(lambda nights=nights: read(nights)) for nights in one_thing)
    # What is said of a place takes 352 kB; 32 places are kept.
    assert many - few < 30 * 360_000


def test_long_tables_of_a_page_say_where_the_rest_is() -> None:
    rows = [{"name": f"Thing {n}"} for n in range(MOST_ROWS + 2)]
    columns = [text("name", "Thing")]
    table = Table.of(columns, rows, "thing", caption="All of it", fold_after=0, all_in="usage")
    html = table.html()
    assert html.count("<tr>") == MOST_ROWS + 1
    assert f"All of it: {MOST_ROWS + 2} things" in html
    assert "2 more things are not shown here; <code>tarebook table usage</code> has all." in html
    assert len(table.frame()) == MOST_ROWS
    one = Table.of(columns, rows[:-1], "thing", all_in="usage").html()
    assert "1 more thing is not shown here; <code>tarebook table usage</code> has it." in one
    for whole in (
        Table.of(columns, rows[:-2], "thing", all_in="usage"),
        Table.of(columns, rows, "thing"),
    ):
        assert "shown here" not in whole.html()
        assert whole.html().count("<tr>") == len(whole.rows) + 1
