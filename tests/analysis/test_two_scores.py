"""Logbooks of two scores alone, against whole-number scores summed over a dense grid.

Their law is written out here from the definition of a rounded score: P(5) is that of 4.5 and more,
P(4) that of 3.5 to 4.5. With one thing, a trip a day and counts of each score that is a plain sum.
"""

import numpy as np
import pytest
from scipy.special import ndtr
from tarebook.analysis.stats.score_model.grid import ComfortData, Priors
from tarebook.analysis.stats.score_model.model import fit_comfort

GAIN_SD, TRIP_SD, NOISE_SD = 0.5, 0.5, 1.0  # of half-normal laws (methods, "Comfort")


def logbook(counts: tuple[int, int, int, int], other: float = 4.0) -> ComfortData:
    """Days with the thing that scored 5 and ``other``, then those without it; each its own trip."""
    scores = np.repeat([5.0, other, 5.0, other], counts)
    along = np.repeat([1.0, 0.0], [sum(counts[:2]), sum(counts[2:])])[:, None]
    if other == 2.0:
        scores = np.where(scores == 2.0, 2.0, 1.0)  # the mirror of fours and fives
    days = np.random.default_rng(1).permutation(len(scores))
    empty = np.empty((len(scores), 0))
    one = np.ones(1)
    trips = np.arange(len(scores))
    return ComfortData(scores[days], trips, along[days], one, one.astype(bool), empty)


def summed(counts: tuple[int, int, int, int], other: float = 4.0) -> tuple[float, float, float]:
    """Mean and 5 and 95 % quantiles of the gain; ``other`` than 5 the days scored 4, or 1."""
    share = counts[0] + counts[1]
    part = share / sum(counts)  # columns are centred: the mean is that of a usual day
    far = other == 1.0
    gain = np.linspace(-4.0, 4.0, 401)[:, None, None] / (1 if far else 2)
    level = np.linspace(*((-6.0, 14.0) if far else (2.5, 8.0)), 161)[None, :, None]
    spread = np.geomspace(0.02, 12.0 if far else 3.0, 60)[None, None, :]
    log = -0.5 * ((level - Priors().mean) / Priors().mean_sd) ** 2 + np.zeros(gain.shape)
    for fives, fours, along in ((*counts[:2], 1 - part), (*counts[2:], -part)):
        at = level + gain * along
        over = ndtr((at - 4.5) / spread)
        beside = ndtr((1.5 - at) / spread) if far else ndtr((at - 3.5) / spread) - over
        log = log + fives * np.log(over + 1e-300) + fours * np.log(np.maximum(beside, 1e-300))
    # Trips of a day: their spread and the noise add up.
    angle = (np.arange(400) + 0.5) / 400 * np.pi / 2
    both = spread[0, 0][:, None]
    law = np.exp(
        -0.5 * (both * np.sin(angle) / TRIP_SD) ** 2 - 0.5 * (both * np.cos(angle) / NOISE_SD) ** 2
    )
    log = log + np.log(law.mean(1) * spread[0, 0] ** 2)  # times its step, one spread more
    taus = (np.arange(400) + 0.5) / 400 * 5 * GAIN_SD
    gains = gain[:, 0, 0]
    prior = np.exp(-0.5 * (gains[:, None] / taus) ** 2) / taus
    prior = prior @ np.exp(-0.5 * (taus / GAIN_SD) ** 2)
    weight = np.exp(log - log.max()).sum((1, 2)) * prior
    weight /= weight.sum()
    reached = np.cumsum(weight)
    low, high = (float(np.interp(at, reached, gains)) for at in (0.05, 0.95))
    return float(weight @ gains), low, high


@pytest.mark.parametrize("other", [4.0, 2.0], ids=["fours and fives", "ones and twos"])
@pytest.mark.parametrize(
    "counts",
    [
        (35, 5, 20, 20),
        (60, 15, 60, 15),
        (14, 2, 10, 6),
        (150, 10, 123, 37),
        (100, 60, 130, 40),
        # Next to all of many days alike: the law of the spreads has two peaks, or none.
        (145, 5, 145, 5),
        (149, 1, 149, 1),
        (135, 15, 135, 15),
    ],
)
def test_two_scores_are_no_proof_that_nothing_matters(
    counts: tuple[int, int, int, int], other: float
) -> None:
    fit = fit_comfort(logbook(counts, other))
    mean, low, high = summed(counts)
    if other == 2.0:
        mean, low, high = -mean, -high, -low
    # A whole score beside an end is taken as a number, which costs up to .16 of a point where there
    # are no others; with a sharp edge the gain was nothing instead, in an interval of .03.
    assert fit.gain[0] == pytest.approx(mean, abs=0.17)
    assert fit.low[0] < mean < fit.high[0]
    assert 0.7 < (fit.high[0] - fit.low[0]) / (high - low) < 1.6


@pytest.mark.parametrize(
    "counts", [(100, 50, 100, 50), (100, 50, 75, 75), (20, 10, 20, 10), (24, 6, 20, 10)]
)
def test_both_ends_and_nothing_between_are_a_dense_grids(
    counts: tuple[int, int, int, int],
) -> None:
    fit = fit_comfort(logbook(counts, 1.0))
    mean, low, high = summed(counts, 1.0)
    # .02 is the step of the grid.
    assert fit.gain[0] == pytest.approx(mean, abs=0.03)
    assert (fit.low[0], fit.high[0]) == pytest.approx((low, high), abs=0.06)


@pytest.mark.parametrize(("days", "least"), [(10, 0.96), (30, 0.92), (75, 0.87), (150, 0.78)])
def test_the_same_score_on_every_day_says_next_to_nothing(days: int, least: float) -> None:
    # A bound that many days repeat counts as somewhat more than one (`score_model.ends`): intervals
    # are too narrow about nothing, never beside it.
    fit = fit_comfort(logbook((days, 0, days, 0)))
    mean, low, high = summed((days, 0, days, 0))
    assert fit.gain[0] == pytest.approx(mean, abs=0.01)
    assert fit.p_helps[0] == pytest.approx(0.5, abs=0.01)
    assert least < (fit.high[0] - fit.low[0]) / (high - low) < 1.02
