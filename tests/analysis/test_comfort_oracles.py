"""The comfort model against published fits, another program's, and a sampler of its own."""

import math
from collections.abc import Callable
from importlib import resources
from typing import Any

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.special import log_ndtr
from tarebook.analysis.stats.score_model.ends import EDGE_SD, EndsProblem
from tarebook.analysis.stats.score_model.grid import ComfortData, Priors
from tarebook.analysis.stats.score_model.model import fit_comfort
from tarebook.analysis.stats.score_model.points import posterior_points

Array = np.ndarray[Any, np.dtype[np.float64]]

# Yields of dyestuff in six batches of five; Davies & Goldsmith 1972, Statistical Methods in
# Research and Production, section 6.4, as R's lme4 ships them (Dyestuff).
DYESTUFF = (
    (1545, 1440, 1440, 1520, 1580),
    (1540, 1555, 1490, 1560, 1495),
    (1595, 1550, 1605, 1510, 1560),
    (1445, 1440, 1595, 1465, 1545),
    (1595, 1630, 1515, 1635, 1625),
    (1520, 1455, 1450, 1480, 1445),
)
FLAT = Priors(mean=0.0, mean_sd=1e6, slope_sd=1e6)


def data_of(
    scores: Array,
    trips: Any,
    along: Array | None = None,
    covariates: Array | None = None,
    ends: tuple[float, float] = (-1e9, 1e9),
) -> ComfortData:
    n = len(scores)
    along = np.zeros((n, 0)) if along is None else along
    p = along.shape[1]
    return ComfortData(
        np.asarray(scores, dtype=float),
        np.asarray(trips, dtype=np.intp),
        along,
        np.ones(p),
        np.ones(p, dtype=bool),
        np.zeros((n, 0)) if covariates is None else covariates,
        ends,
    )


def restricted_likelihood(data: ComfortData, priors: Priors) -> Callable[[Array], float]:
    """Log likelihood of the logarithms of gain, trip and noise spread, slopes and mean all free."""
    problem = EndsProblem(data, priors, (1.0, 1.0))
    plain = problem.plain

    def at(logs: Array) -> float:
        gain, trip, noise = np.exp(logs)
        own = math.sqrt(max(noise**2 - plain.floor**2, 0.0))
        points = np.array([trip / noise]), np.array([gain / noise])
        found = problem.at(*points, np.array([own]))
        prior = plain.log_prior(np.array([noise]), points[1], points[0])
        return float(found.log_density[0] - prior[0])

    return at


def largest(likelihood: Callable[[Array], float], start: Array, free: list[int]) -> Array:
    def loss(values: Array) -> float:
        logs = start.copy()
        logs[free] = values
        return -likelihood(logs)

    found = minimize(
        loss,
        start[free],
        method="Nelder-Mead",
        options={"xatol": 1e-7, "fatol": 1e-10, "maxiter": 2000},
    )
    return np.asarray(np.exp(found.x))


def components(groups: Any, priors: Priors, start: list[float]) -> tuple[float, float]:
    """Variance between and within groups at the summit of the likelihood."""
    sizes = [len(group) for group in groups]
    data = data_of(np.concatenate(groups), np.repeat(np.arange(len(sizes)), sizes))
    logs = np.log([1.0, *start])
    between, within = largest(restricted_likelihood(data, priors), logs, [1, 2]) ** 2
    return float(between), float(within)


@pytest.mark.outside(
    "published",
    "Davies & Goldsmith 1972, Statistical Methods in Research and Production, 6.4 (R's lme4, "
    "Dyestuff), restricted maximum likelihood",
    "six batches of five: 1764.05 between, 2451.25 within",
)
def test_variance_components_of_dyestuff() -> None:
    # By the table of variance: (11271.5 - 2451.25) / 5 and 2451.25.
    between, within = components(DYESTUFF, FLAT, [40.0, 50.0])
    assert between == pytest.approx(1764.05, rel=1e-4)
    assert within == pytest.approx(2451.25, rel=1e-4)


@pytest.mark.outside(
    "published",
    "Bates, lme4: Mixed-effects Modeling with R, chapter 1 (Dyestuff, maximum likelihood)",
    "1388.333 between, 2451.250 within",
)
def test_variance_components_of_dyestuff_by_maximum_likelihood() -> None:
    # The mean is held at that of the yields, its maximum likelihood: with nothing to be integrated
    # the restricted likelihood is the likelihood. By hand (5/6 x 11271.5 - 2451.25) / 5.
    held = Priors(mean=1527.5, mean_sd=1e-6, slope_sd=1e6)
    between, within = components(DYESTUFF, held, [40.0, 50.0])
    assert between == pytest.approx(1388.333, rel=1e-4)
    assert within == pytest.approx(2451.250, rel=1e-4)


def nist_file(name: str) -> tuple[str, Array]:
    """One of NIST's files that SciPy ships: its text and the rows of its data, from line 61 on."""
    import scipy.stats.tests

    text = (resources.files(scipy.stats.tests) / "data" / name).read_text("utf-8")
    rows = [line.split() for line in text.splitlines()[60:] if line.strip()]
    return text, np.array([row for row in rows if row[0][0] in "-.0123456789"], dtype=float)


@pytest.mark.outside(
    "published",
    "NIST StRD, analysis of variance, SiRstv and AtmWtAg (the files ship with SciPy)",
    "mean squares .0127865614 and .010831828; 3.638341875e-9 and 2.28155933e-10",
)
@pytest.mark.parametrize(
    ("name", "between", "within"),
    [
        ("SiRstv.dat", 1.27865654000000e-2, 1.08318280000000e-2),
        ("AtmWtAg.dat", 3.63834187500000e-9, 2.28155932971014e-10),
    ],
)
def test_certified_analyses_of_variance(name: str, between: float, within: float) -> None:
    text, rows = nist_file(f"nist_anova/{name}")
    for square in (between, within):
        assert f"{square:.14E}" in text
    groups = [rows[rows[:, 0] == group, 1] for group in np.unique(rows[:, 0])]
    size = len(groups[0])
    # A spread of fifty within, beside which the rounding of scores is next to nothing.
    middle, unit = rows[:, 1].mean(), math.sqrt(within) / 50
    found = components([(group - middle) / unit for group in groups], FLAT, [40.0, 50.0])
    wanted = (between - within) / size / unit**2, within / unit**2
    assert found == pytest.approx(wanted, rel=1e-3)


def slopes_of(x: Array, y: Array) -> tuple[Array, Array]:
    """Coefficients of columns and constant, and their errors, with priors that say nothing.

    Scaled within, so that the priors are as flat for each; the noise is that of the likelihood's
    summit, for which the rest of the squares is divided by what is left of the days.
    """
    centre, spread = x.mean(0), x.std(0)
    level, unit = float(y.mean()), float(y.std()) / 1e5
    data = data_of((y - level) / unit, np.arange(len(y)), covariates=(x - centre) / spread)
    flat = Priors(mean=0.0, mean_sd=1e9, slope_sd=1e9)
    (noise,) = largest(restricted_likelihood(data, flat), np.log([1.0, 1e-9, 1e4]), [2])
    floor = EndsProblem(data, flat, (1.0, 1.0)).plain.floor
    own = np.array([math.sqrt(noise**2 - floor**2)])
    problem = EndsProblem(data, flat, (1.0, 1.0))
    mean, covariance = problem.at(
        np.array([1e-9]),
        np.array([1.0]),
        own,
        reader=lambda mean, covariance, _: (mean, covariance),
    ).read
    slopes = mean[0][1:] * unit / spread
    constant = level + mean[0][0] * unit - slopes @ centre
    turn = np.vstack(
        [np.append(1.0, -centre / spread), np.column_stack([0 * spread, np.diag(1 / spread)])]
    )
    errors = np.sqrt(np.diag(turn @ covariance[0] @ turn.T)) * unit
    return np.append(slopes, constant), np.append(errors[1:], errors[0])


@pytest.mark.outside(
    "published",
    "NIST StRD, linear regression, Longley",
    "all seven coefficients, 15.0618722713733 to -3482258.63459582, and their standard deviations",
)
def test_all_coefficients_of_longley() -> None:
    from statsmodels.datasets import longley

    table = longley.load_pandas()
    found, errors = slopes_of(table.exog.to_numpy(dtype=float), table.endog.to_numpy(dtype=float))
    certified = (
        15.0618722713733, -0.0358191792925910, -2.02022980381683, -1.03322686717359,
        -0.0511041056535807, 1829.15146461355, -3482258.63459582,
    )  # fmt: skip
    assert found == pytest.approx(certified, rel=1e-5)
    deviations = (
        84.9149257747669, 0.0334910077722432, 0.488399681651699, 0.214274163161675,
        0.226073200069370, 455.478499142212, 890420.383607373,
    )  # fmt: skip
    assert errors == pytest.approx(deviations, rel=1e-4)


@pytest.mark.outside(
    "published",
    "NIST StRD, linear regression, Norris (the file ships with SciPy)",
    "1.00211681802045 and -.262323073774029, and their standard deviations",
)
def test_the_line_of_norris() -> None:
    _, rows = nist_file("nist_linregress/Norris.dat")
    assert rows.shape == (36, 2)
    found, errors = slopes_of(rows[:, 1:], rows[:, 0])
    assert found == pytest.approx((1.00211681802045, -0.262323073774029), rel=1e-5)
    assert errors == pytest.approx((0.429796848199937e-3, 0.232818234301152), rel=1e-3)


@pytest.mark.outside(
    "published",
    "NIST StRD, linear regression, Longley",
    "residual standard deviation 304.854073561965",
)
def test_residual_spread_of_longley() -> None:
    from statsmodels.datasets import longley

    table = longley.load_pandas()
    x = table.exog.to_numpy(dtype=float)
    x = (x - x.mean(0)) / x.std(0)
    y = table.endog.to_numpy(dtype=float)
    data = data_of(y, np.arange(len(y)), covariates=x)
    (noise,) = largest(
        restricted_likelihood(data, Priors(mean=float(y.mean()), mean_sd=1e7, slope_sd=1e7)),
        np.log([1.0, 1e-9, 300.0]),
        [2],
    )
    assert noise == pytest.approx(304.854074, rel=1e-5)


@pytest.mark.outside(
    "implementation",
    "statsmodels' MixedLM, restricted maximum likelihood, gains and trips as crossed components",
    "spreads of gains, trips and days of 120 simulated days",
)
def test_variance_components_against_another_program() -> None:
    from statsmodels.regression.mixed_linear_model import MixedLM, VCSpec

    rng = np.random.default_rng(4)
    n, p, trips = 120, 15, 30
    of_trip = np.repeat(np.arange(trips), 4)
    along = (rng.random((trips, p)) < 0.5).astype(float)[of_trip]
    covariates = rng.normal(0, 1, (n, 2))
    y = (
        3
        + along @ rng.normal(0, 0.6, p)
        + covariates @ [0.4, -0.3]
        + rng.normal(0, 0.5, trips)[of_trip]
        + rng.normal(0, 0.7, n)
    )
    data = data_of(y, of_trip, along, covariates)
    ours = largest(restricted_likelihood(data, FLAT), np.log([0.5, 0.5, 0.7]), [0, 1, 2]) ** 2

    shared = np.eye(trips)[of_trip]
    names = [[f"g{i}" for i in range(p)]], [[f"t{i}" for i in range(trips)]]
    spec = VCSpec(["gain", "trip"], list(names), [[along], [shared]])
    fixed = np.column_stack([np.ones(n), covariates])
    theirs = MixedLM(y, fixed, np.ones(n), exog_vc=spec).fit(reml=True)
    assert ours[:2] == pytest.approx(theirs.vcomp, rel=5e-3)
    assert ours[2] == pytest.approx(theirs.scale, rel=2e-3)


def test_both_ways_to_the_posterior_agree() -> None:
    # One by an eigendecomposition, one by plain inverses and a box around the weight.
    rng = np.random.default_rng(8)
    of_trip = np.repeat(np.arange(12), 3)
    along = (rng.random((12, 6)) < 0.5).astype(float)[of_trip]
    y = np.clip(np.round(3 + along @ rng.normal(0, 0.5, 6) + rng.normal(0, 0.6, 36)), 2, 4)
    plain = fit_comfort(data_of(y, of_trip, along, ends=(0.0, 6.0)))
    one_end = y.copy()
    one_end[0] = 5.0
    near = fit_comfort(data_of(one_end, of_trip, along, ends=(0.0, 5.0)))
    apart = fit_comfort(data_of(one_end, of_trip, along, ends=(0.0, 9.0)))
    # A score at the end says 4.5 or more: hardly another thing than 5 for a model with a noise.
    assert np.abs(near.gain - apart.gain).max() < 0.08
    assert np.abs(near.p_helps - apart.p_helps).max() < 0.05
    assert np.abs(plain.gain).max() > 0.05


@pytest.mark.parametrize("ends", [(0.0, 9.0), (1.0, 5.0)])
def test_the_posterior_against_a_sampler(ends: tuple[float, float]) -> None:
    """Everything unknown drawn from the priors, weighted by how well it explains the scores."""
    rng = np.random.default_rng(11)
    scores = np.array([2.0, 3, 3, 5, 4, 5, 3, 4])
    of_trip = np.array([0, 0, 0, 1, 1, 1, 2, 2])
    along = np.array([[0, 0, 0, 1, 1, 1, 1, 1], [1, 1, 0, 1, 1, 0, 0, 0]], dtype=float).T
    data = data_of(scores, of_trip, along, ends=ends)
    found = fit_comfort(data)

    priors, draws, batches = Priors(), 250_000, 8
    centred = along - along.mean(0)
    kept_gain, kept_weight = [], []
    for _ in range(batches):
        tau, trip_sd = np.abs(rng.normal(0, 0.5, (2, draws)))
        own = np.abs(rng.normal(0, priors.noise_sd, draws))
        noise = np.hypot(own, 1 / math.sqrt(12))
        gains = rng.normal(0, 1, (draws, 2)) * tau[:, None]
        level = (
            rng.normal(priors.mean, priors.mean_sd, draws)[:, None]
            + gains @ centred.T
            + (rng.normal(0, 1, (draws, 3)) * trip_sd[:, None])[:, of_trip]
        )
        log_weight = np.zeros(draws)
        for day, score in enumerate(scores):
            if score >= ends[1]:
                wide = np.hypot(own, EDGE_SD)
                log_weight += log_ndtr((level[:, day] - (ends[1] - 0.5)) / wide)
            else:
                z = (score - level[:, day]) / noise
                log_weight += -0.5 * z**2 - np.log(noise)
        kept_gain.append(gains)
        kept_weight.append(np.exp(log_weight))
    gains, weight = np.concatenate(kept_gain), np.concatenate(kept_weight)
    weight /= weight.sum()
    many = 1 / float((weight**2).sum())
    assert many > 1500, "enough draws that count"
    mean = weight @ gains
    sd = np.sqrt(weight @ (gains - mean) ** 2)
    # Four Monte Carlo errors, and a hundredth of a point for the one-sided days (approximate).
    room = 4 * sd / math.sqrt(many) + 0.01
    assert (np.abs(found.gain - mean) < room).all(), (found.gain, mean, room)
    helps = weight @ (gains > 0)
    assert (np.abs(found.p_helps - helps) < 2 / math.sqrt(many) + 0.01).all()
    for tail, ours in ((0.05, found.low), (0.95, found.high)):
        for item in range(2):
            order = np.argsort(gains[:, item])
            theirs = gains[order, item][np.searchsorted(np.cumsum(weight[order]), tail)]
            assert ours[item] == pytest.approx(theirs, abs=0.06)
    assert np.sqrt(np.diag(found.covariance)) == pytest.approx(sd, rel=0.05)


def test_no_day_is_refused_and_nothing_along_is_no_gain() -> None:
    empty = data_of(np.empty(0), np.empty(0))
    with pytest.raises(ValueError, match="at least one scored day"):
        fit_comfort(empty)
    found = fit_comfort(data_of(np.array([3.0, 4, 3]), [0, 0, 1]))
    assert found.gain.shape == (0,)
    assert (found.n, found.trips) == (3, 2)


def test_what_the_days_say_nothing_of_keeps_its_prior() -> None:
    # Two bundles along on days that cannot be told apart by score: the prior's half-normal spread.
    along = np.array([[1.0], [0.0]])
    found = fit_comfort(data_of(np.array([3.0, 3.0]), [0, 1], along))
    assert abs(found.gain[0]) < 0.02
    assert 0.8 < found.prior_share[0] <= 1
    assert -0.95 < found.low[0] < -0.5


def test_points_are_weights() -> None:
    rng = np.random.default_rng(3)
    along = (rng.random((20, 4)) < 0.5).astype(float)
    points = posterior_points(
        data_of(rng.integers(2, 5, 20).astype(float), np.arange(20), along), Priors()
    )
    assert points.weight.sum() == pytest.approx(1)
    assert (points.variance > 0).all()
    assert (points.spreads > 0).all()
