"""Points of the posterior of the three spreads, each with the normal law of the gains there."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import softmax  # type: ignore[import-untyped]

from ..arrays import Array, Codes
from .box import Bounds, product_rule, shrink_to_posterior
from .ends import EndsProblem, Reader, Sites, SpreadPosterior
from .grid import ComfortData, Priors, ScoreProblem, Slice, grid
from .laws import EndReader, GridLaws, Laws
from .many import ManyDays, work_at
from .narrow import Peak, peak_of, peak_rule
from .span import Columns

CONTRASTS = ((1.0, 1.0), (1.0, 0.3), (1.0, 0.1), (0.3, 1.0))
"""Spread of the gains of things carried for comfort, and of the rest, against the larger of them.

Most of what one carries is for something else than comfort; with one spread for all, dozens of
things that do nothing would hide the few that do."""
CONTRAST_SHARES = (0.5, 0.2, 0.2, 0.1)
"""How likely each contrast is beforehand: as likely as not, there is none."""
NONE: Codes = np.empty(0, dtype=np.intp)
_NODES = 16
_GUESS_NODES = 10
_END_NODES = (5, 7, 6)
POINTS = 450
"""At about so many points of the spreads days at the ends of the scale are worked, by contrast."""
MANY = 300
"""Scored days from which on the spreads are narrow enough to be worked about their peak."""
_PEAK_NODES = (5, 4, 3)
_DEAR = 6e10
"""Multiplications for the points of a contrast, beyond which nodes are fewer."""
_START = (0.3, 0.1, 1.5)
_FIRST_SD = 0.3
_LEFT_OUT = 1e-6  # posterior weight of the points that are dropped
_UNLIKELY = 1e-3  # of the weight of the likeliest point
_HOPELESS = 0.01  # of the evidence of the best contrast


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """The points of one contrast: their laws, of one spread of gains, and their weight in all."""

    problem: ScoreProblem
    laws: Laws
    log_total: float
    chosen: Codes

    @property
    def weight(self) -> Array:
        """Of its points, summing to 1."""
        weight: Array = np.concatenate([law.weight for law in self.laws])
        weight /= weight.sum()
        return weight

    @property
    def spreads(self) -> Array:
        """Of gains of comfort things, of other things, of trips and of days (i, 4)."""
        spreads = np.concatenate([law.spreads for law in self.laws])
        gain, (comfort, rest) = spreads[:, :1], self.problem.contrast
        return np.hstack([gain * comfort, gain * rest, spreads[:, 1:]])

    def moments(self, columns: Columns) -> tuple[Array, Array, Array]:
        """Mean and variance (i, c) of gains, and what is left of the prior's variance (c)."""
        pairs = [law.moments(self.problem, columns) for law in self.laws]
        mean, variance = map(np.concatenate, zip(*pairs, strict=True))
        gain = np.concatenate([law.spreads[:, :1] for law in self.laws])
        roots = self.problem.roots[columns]
        return mean * roots, variance * roots**2, self.weight @ (variance / gain**2)

    def within(self) -> Array:
        """Covariance (c, c) of the chosen gains at a point, averaged."""
        total = sum(float(law.weight.sum()) for law in self.laws)
        roots = self.problem.roots[self.chosen]
        summed = sum(law.within(self.problem, self.chosen) for law in self.laws)
        within: Array = summed / total * np.outer(roots, roots)
        return within


@dataclass(frozen=True, slots=True, eq=False)
class Points:
    """Points i of some weight, and the laws of the gains of bundles (p) and fixed effects (f).

    ``spreads`` (i, 4): of gains of single comfort things and of single other things, of trips, of
    days (rounding included). ``within`` (c, c): the covariance of the chosen gains at a point,
    averaged. Gains are read off with `moments`, some at a time.
    """

    log_total: float
    weight: Array
    spreads: Array
    fixed: Array
    fixed_sd: Array
    within: Array
    parts: Sequence[tuple[float, Part]]

    def moments(self, columns: Columns = slice(None)) -> tuple[Array, Array, Array]:
        """Mean and variance (i, c) of gains; what is left of the prior's variance, averaged (c)."""
        each = [(share, *part.moments(columns)) for share, part in self.parts]
        return (
            np.concatenate([mean for _, mean, _, _ in each]),
            np.concatenate([variance for _, _, variance, _ in each]),
            np.sum([share * left for share, _, _, left in each], axis=0),
        )

    @property
    def variance(self) -> Array:
        """Of all gains (i, p)."""
        return self.moments()[1]


def posterior_points(data: ComfortData, priors: Priors, chosen: Codes = NONE) -> Points:
    """The whole posterior, over the spreads and the contrasts of comfort things and the rest.

    ``chosen`` (c): of which bundles the covariance is kept.
    """
    mixed = bool(data.comforts.any()) and not bool(data.comforts.all())
    problems = [ScoreProblem(data, priors, c) for c in (CONTRASTS if mixed else CONTRASTS[:1])]
    shares = np.log(CONTRAST_SHARES[: len(problems)])
    if data.ends is not None and len(data.scores) >= MANY:
        return _of_many(data, priors, problems, shares, chosen)
    if data.ends is None or not np.isin(data.scores, data.ends).any():
        plain = [_points(p, list(grid(p, _NODES)), chosen) for p in problems]
        return _joined(plain, shares)
    logs, boxes = zip(*map(_guess, problems), strict=True)
    evidence = shares + logs
    (likely,) = np.nonzero(evidence > evidence.max() + np.log(_HOPELESS))
    parts = [
        _end_points(EndsProblem(data, priors, problems[n].contrast), boxes[n], chosen)
        for n in likely
    ]
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


def _points(problem: ScoreProblem, pieces: Sequence[tuple[Slice, Array]], chosen: Codes) -> Part:
    """Points of a grid of slices, the data taken as plain numbers."""
    peak = max(float(log.max()) for _, log in pieces)
    weights = [np.exp(log - peak) for _, log in pieces]
    least = _least(np.concatenate([w.ravel() for w in weights]))
    laws = []
    for (piece, _), weight in zip(pieces, weights, strict=True):
        k, s = np.nonzero(weight >= least)
        if k.size:
            laws.append(GridLaws(piece, weight[k, s], k, s))
    total = sum(float(law.weight.sum()) for law in laws)
    return Part(problem, laws, peak + float(np.log(total)), chosen)


def _end_points(problem: EndsProblem, box: Sequence[Bounds], chosen: Codes) -> Part:
    """Points of a grid with scores at the ends one-sided.

    Along the axes are trip ratio, gain ratio and t, where the noise's own part is floor sinh t.
    """
    plain = problem.plain
    floor = plain.floor
    sites: Sites | None = None
    reader = EndReader(plain, chosen)

    def evaluated(points: Array, read: Reader | None = None) -> tuple[SpreadPosterior, Array]:
        nonlocal sites
        own = floor * np.sinh(points[:, 2])
        posterior = problem.at(points[:, 0], points[:, 1], own, sites, read)
        sites = posterior.sites
        return posterior, posterior.log_density + np.log(np.hypot(own, floor))

    limits = [(0.0, most) for most in _largest(plain)]
    points, steps = product_rule(
        shrink_to_posterior(lambda at: evaluated(at)[1], box, limits), _END_NODES
    )
    posterior, log_density = evaluated(points, reader.read)
    log_weight = log_density + np.log(steps)
    return _end_part(plain, reader, points, posterior, log_weight)


def _largest(problem: ScoreProblem) -> tuple[float, float, float]:
    """What trip ratio, gain ratio and t never exceed."""
    return *problem.largest_ratios, float(np.arccosh(problem.largest_noise / problem.floor))


def _end_part(
    problem: ScoreProblem,
    reader: EndReader,
    points: Array,
    posterior: SpreadPosterior,
    log_weight: Array,
) -> Part:
    """What was read at points (j, 3) of trip ratio, gain ratio and t."""
    floor = problem.floor
    peak = float(log_weight.max())
    weight = np.exp(log_weight - peak)
    likely = weight >= _least(weight)
    noise = np.hypot(floor * np.sinh(points[:, 2]), floor)
    spreads = np.stack([points[:, 1] * noise, points[:, 0] * noise, noise], axis=1)
    law = reader.laws(weight[likely], spreads[likely], [part[likely] for part in posterior.read])
    return Part(problem, [law], peak + float(np.log(law.weight.sum())), reader.chosen)


def nodes_of(effects: int, at_end: int) -> int:
    """Along each direction of the peak, for many days: fewer where a point is dear."""
    work = work_at(effects, at_end)
    return next((n for n in _PEAK_NODES if n**3 * work <= _DEAR), _PEAK_NODES[-1])


def _of_many(
    data: ComfortData,
    priors: Priors,
    problems: Sequence[ScoreProblem],
    shares: Array,
    chosen: Codes,
) -> Points:
    """The same of many days: about the peak of each contrast, one point at a time."""
    peaks: list[Peak] = []
    start, root = np.log(_START), np.eye(len(_START)) * _FIRST_SD
    for problem in problems:
        most = np.log(_largest(problem))
        peaks.append(peak_of(_Logs(ManyDays(problem)), start, root, most))
        start, root = peaks[-1].centre, peaks[-1].root
    evidence = shares + [peak.log_total for peak in peaks]
    (likely,) = np.nonzero(evidence > evidence.max() + np.log(_HOPELESS))
    parts = []
    sites: Sites | None = None
    moved = np.zeros(len(_START))  # by what the ends hide, alike in all contrasts
    for n in likely.tolist():
        whole = EndsProblem(data, priors, problems[n].contrast)
        plain = whole.plain
        logs = _Logs(ManyDays(plain, whole), sites)
        most = np.log(_largest(plain))
        peak = peak_of(logs, peaks[n].centre + moved, peaks[n].root, most)
        moved = peak.centre - peaks[n].centre
        at, steps = peak_rule(logs, peak, nodes_of(plain.p + plain.fixed, len(whole.rows)), most)
        reader = EndReader(plain, chosen)
        posterior, log_density = logs.evaluated(at, reader.read)
        sites = posterior.sites
        log_weight = log_density + np.log(steps)
        parts.append(_end_part(plain, reader, np.exp(at), posterior, log_weight))
    return _joined(parts, shares[likely])


class _Logs:
    """The density of the logarithms of trip ratio, gain ratio and t, where own is floor sinh t."""

    def __init__(self, problem: ManyDays, sites: Sites | None = None) -> None:
        self._problem, self._sites = problem, sites

    def __call__(self, points: Array) -> Array:
        return self.evaluated(points)[1]

    def evaluated(self, points: Array, read: Reader | None = None) -> tuple[SpreadPosterior, Array]:
        """The posterior at points (j, 3), and the log density there."""
        floor = self._problem.plain.floor
        trip, gain, t = np.exp(points).T
        own = floor * np.sinh(t)
        posterior = self._problem.at(trip, gain, own, self._sites, read)
        self._sites = posterior.sites
        return posterior, posterior.log_density + np.log(np.hypot(own, floor)) + points.sum(1)


def _joined(parts: Sequence[Part], log_shares: Array) -> Points:
    """All contrasts together, each as likely as the data made it."""
    logs = np.array([part.log_total for part in parts]) + log_shares
    pairs = [(float(share), part) for share, part in zip(softmax(logs), parts, strict=True)]
    fixed = [law.fixed for part in parts for law in part.laws]
    return Points(
        log_total=float(np.logaddexp.reduce(logs)),
        weight=np.concatenate([share * part.weight for share, part in pairs]),
        spreads=np.concatenate([part.spreads for part in parts]),
        fixed=np.concatenate([mean for mean, _ in fixed]),
        fixed_sd=np.concatenate([sd for _, sd in fixed]),
        within=np.sum([share * part.within() for share, part in pairs], axis=0),
        parts=pairs,
    )


def _least(weights: Array) -> float:
    """The weight from which on points are kept, so that almost none of it is lost."""
    rising = np.sort(weights)
    lost = np.cumsum(rising) < _LEFT_OUT * rising.sum()
    return float(rising[int(lost.sum())])
