"""Points of the posterior of the three spreads, each with the normal law of the gains there."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import softmax  # type: ignore[import-untyped]

from ..arrays import Array
from .box import Bounds, product_rule, shrink_to_posterior
from .ends import EndsProblem, Sites, SpreadPosterior
from .grid import ComfortData, Priors, ScoreProblem, Slice, grid

CONTRASTS = ((1.0, 1.0), (1.0, 0.3), (1.0, 0.1), (0.3, 1.0))
"""Spread of the gains of things carried for comfort, and of the rest, against the larger of them.

Most of what one carries is for something else than comfort; with one spread for all, dozens of
things that do nothing would hide the few that do."""
CONTRAST_SHARES = (0.5, 0.2, 0.2, 0.1)
"""How likely each contrast is beforehand: as likely as not, there is none."""
_NODES = 16
_GUESS_NODES = 10
_END_NODES = (5, 7, 6)
_LEFT_OUT = 1e-6  # posterior weight of the points that are dropped
_UNLIKELY = 1e-3  # of the weight of the likeliest point
_HOPELESS = 0.01  # of the evidence of the best contrast


@dataclass(frozen=True, slots=True, eq=False)
class Points:
    """Points i of some weight, and moments of the gains of bundles (p) and fixed effects (f).

    ``spreads`` (i, 4): of gains of single comfort things and of single other things, of trips, of
    days (rounding included). ``prior_share`` (p): what is left of the prior's variance, averaged.
    ``within`` (p, p): the gains' covariance at a point, averaged.
    """

    log_total: float
    weight: Array
    mean: Array
    variance: Array
    spreads: Array
    fixed: Array
    fixed_sd: Array
    prior_share: Array
    within: Array


def posterior_points(data: ComfortData, priors: Priors) -> Points:
    """The whole posterior, over the spreads and the contrasts of comfort things and the rest."""
    mixed = bool(data.comforts.any()) and not bool(data.comforts.all())
    problems = [ScoreProblem(data, priors, c) for c in (CONTRASTS if mixed else CONTRASTS[:1])]
    shares = np.log(CONTRAST_SHARES[: len(problems)])
    if data.ends is None or not np.isin(data.scores, data.ends).any():
        return _joined([_points(p, list(grid(p, _NODES))) for p in problems], shares)
    logs, boxes = zip(*map(_guess, problems), strict=True)
    evidence = shares + logs
    (likely,) = np.nonzero(evidence > evidence.max() + np.log(_HOPELESS))
    parts = [_end_points(EndsProblem(data, priors, problems[n].contrast), boxes[n]) for n in likely]
    return _joined(parts, shares[likely])


def _guess(problem: ScoreProblem) -> tuple[float, Sequence[Bounds]]:
    """Log evidence, and where the spreads would be, if scores at the ends were plain numbers."""
    pieces = list(grid(problem, _GUESS_NODES))
    log_weight = np.concatenate([log.ravel() for _, log in pieces])
    noise = np.concatenate([piece.noise.ravel() for piece, _ in pieces])
    trip = np.repeat([piece.trip_ratio for piece, _ in pieces], pieces[0][1].size)
    gain = np.concatenate(
        [np.broadcast_to(piece.ratio[:, None], log.shape).ravel() for piece, log in pieces]
    )
    likely = log_weight > log_weight.max() + np.log(_UNLIKELY)
    known = (trip, gain, np.arccosh(np.maximum(noise / problem.floor, 1.0)))
    box = [(0.8 * float(x[likely].min()), 1.3 * float(x[likely].max())) for x in known]
    return float(np.logaddexp.reduce(log_weight)), box


def _points(problem: ScoreProblem, pieces: Sequence[tuple[Slice, Array]]) -> Points:
    """Points of a grid of slices, the data taken as plain numbers."""
    peak = max(float(log.max()) for _, log in pieces)
    weights = [np.exp(log - peak) for _, log in pieces]
    least = _least(np.concatenate([w.ravel() for w in weights]))
    within = np.zeros((problem.p, problem.p))
    parts: list[tuple[Array, ...]] = []
    for (piece, _), weight in zip(pieces, weights, strict=True):
        k, s = np.nonzero(weight >= least)
        if not k.size:
            continue
        w, noise = weight[k, s], piece.noise[k, s]
        fixed, fixed_cov = piece.fixed[k, s], piece.fixed_cov[k, s]
        lift = np.einsum("ab,kbf->kaf", piece.basis, piece.leverage)[k]
        mean = (piece.response @ piece.basis.T)[k] - np.einsum("iaf,if->ia", lift, fixed)
        own = noise[:, None] ** 2 * piece.shrunk[k]
        moved = np.einsum("iaf,ifg->iag", lift, fixed_cov)
        variance = own @ (piece.basis**2).T + np.einsum("iaf,iaf->ia", moved, lift)
        within += (piece.basis * (w @ own)) @ piece.basis.T
        within += np.tensordot(moved * w[:, None, None], lift, axes=((0, 2), (0, 2)))
        spreads = np.stack([piece.ratio[k] * noise, piece.trip_ratio * noise, noise], axis=1)
        fixed_sd = np.sqrt(np.einsum("iff->if", fixed_cov))
        parts.append((w, mean, variance, spreads, fixed, fixed_sd))
    moments = map(np.concatenate, zip(*parts, strict=True))
    return _scaled(problem, peak, within, *moments)


def _end_points(problem: EndsProblem, box: Sequence[Bounds]) -> Points:
    """Points of a grid with scores at the ends one-sided.

    Along the axes are trip ratio, gain ratio and t, where the noise's own part is floor sinh t.
    """
    plain = problem.plain
    floor = plain.floor
    sites: Sites | None = None

    def evaluated(points: Array) -> tuple[SpreadPosterior, Array, Array]:
        nonlocal sites
        own = floor * np.sinh(points[:, 2])
        noise = np.hypot(own, floor)
        posterior = problem.at(points[:, 0], points[:, 1], own, sites)
        sites = posterior.sites
        return posterior, noise, posterior.log_density + np.log(noise)

    largest = (*plain.largest_ratios, float(np.arccosh(plain.largest_noise / floor)))
    limits = [(0.0, most) for most in largest]
    points, steps = product_rule(
        shrink_to_posterior(lambda at: evaluated(at)[2], box, limits), _END_NODES
    )
    posterior, noise, log_density = evaluated(points)
    log_weight = log_density + np.log(steps)
    peak = float(log_weight.max())
    weight = np.exp(log_weight - peak)
    likely = weight >= _least(weight)
    p, w, covariance = plain.p, weight[likely], posterior.covariance[likely]
    variance = np.einsum("iww->iw", covariance)
    spreads = np.stack([points[:, 1] * noise, points[:, 0] * noise, noise], axis=1)[likely]
    within = np.tensordot(w, covariance[:, :p, :p], axes=1)
    mean, fixed_sd = posterior.mean[likely], np.sqrt(variance[:, p:])
    return _scaled(
        plain, peak, within, w, mean[:, :p], variance[:, :p], spreads, mean[:, p:], fixed_sd
    )


def _scaled(problem: ScoreProblem, peak: float, within: Array, *moments: Array) -> Points:
    """Gains of bundles from those of one spread, as the problem has them.

    ``moments``: weight, mean, variance, spreads, fixed and fixed_sd of ``Points``.
    """
    weight, mean, variance, spreads, fixed, fixed_sd = moments
    total = float(weight.sum())
    gain, (comfort, rest) = spreads[:, :1], problem.contrast
    return Points(
        log_total=peak + float(np.log(total)),
        weight=weight / total,
        mean=mean * problem.roots,
        variance=variance * problem.roots**2,
        spreads=np.hstack([gain * comfort, gain * rest, spreads[:, 1:]]),
        fixed=fixed,
        fixed_sd=fixed_sd,
        prior_share=weight / total @ (variance / gain**2),
        within=within / total * np.outer(problem.roots, problem.roots),
    )


def _joined(parts: Sequence[Points], log_shares: Array) -> Points:
    """All contrasts together, each as likely as the data made it."""
    logs = np.array([part.log_total for part in parts]) + log_shares
    pairs = list(zip(softmax(logs), parts, strict=True))
    moments = ("mean", "variance", "spreads", "fixed", "fixed_sd")
    return Points(
        log_total=float(np.logaddexp.reduce(logs)),
        weight=np.concatenate([share * part.weight for share, part in pairs]),
        prior_share=np.sum([share * part.prior_share for share, part in pairs], axis=0),
        within=np.sum([share * part.within for share, part in pairs], axis=0),
        **{name: np.concatenate([getattr(part, name) for part in parts]) for name in moments},
    )


def _least(weights: Array) -> float:
    """The weight from which on points are kept, so that almost none of it is lost."""
    rising = np.sort(weights)
    lost = np.cumsum(rising) < _LEFT_OUT * rising.sum()
    return float(rising[int(lost.sum())])
