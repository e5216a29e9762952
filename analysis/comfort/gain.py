"""What a point of comfort weighed: the gain of every bundle, and what its grams brought.

Verdicts go by the probability that a thing helps: .95 and more has earned its grams, .8 and more
probably has. What was along on every scored day cannot be judged, nor what came along so much with
easy trips, or only of late, that it cannot be told from them, nor what was never taken out: each is
said so.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..stats.constants import LEVEL
from ..stats.estimate import Estimate
from ..stats.score_model.apart import NOT_APART, explained_shares
from ..stats.score_model.grid import ROUNDING_SD
from ..stats.score_model.model import ComfortFit, fit_comfort
from ..store.rows import Store
from ..store.scope import Scope
from .bounds import check_size
from .days import EVERY_TRIP, AspectDays, Bundle, comfort_days

EARNED, PROBABLY = 0.95, 0.8
HELPING = ("earned", "probably")
APART = 0.95
"""Probability from which on two gains are told apart."""
_LEAST_NOISE = 1e-3


def verdict_at(p_helps: float) -> str:
    """The verdict of a probability that something helps: earned, probably or not_known."""
    if p_helps >= EARNED:
        return "earned"
    return "probably" if p_helps >= PROBABLY else "not_known"


@dataclass(frozen=True, slots=True)
class Gain:
    """What a bundle added to the scores of one aspect, in points.

    ``prior_share`` is what is left of the prior's variance: 1 where its days said nothing.
    ``ease_share``: of what its days could say, the share that ease and time could say as well
    (`explained_shares`). ``best_place`` to ``worst_place``: where it may stand among the comforts
    of its aspect by gain, as far as they can be told apart; None for the rest.
    """

    aspect: str
    bundle: Bundle
    gain: Estimate
    p_helps: float
    prior_share: float
    ease_share: float = 0.0
    best_place: int | None = None
    worst_place: int | None = None

    @property
    def verdict(self) -> str:
        """goes_with_better_days, earned, probably or not_known."""
        return "goes_with_better_days" if self.ease_share >= NOT_APART else verdict_at(self.p_helps)

    @property
    def helps(self) -> bool:
        """Whether it has earned its grams, or probably has."""
        return self.verdict in HELPING

    @property
    def points_per_kg(self) -> Estimate | None:
        """Points by the kilogram; None where it is not weighed."""
        if not self.bundle.weight_g:
            return None
        return self.gain.times(1000 / self.bundle.weight_g)

    @property
    def g_per_point(self) -> Estimate | None:
        """Grams by the point; None where the gain cannot be told from nothing, or not weighed."""
        gain, grams = self.gain, self.bundle.weight_g
        if not grams or gain.low <= 0 or self.ease_share >= NOT_APART:
            return None
        value, low, high = (grams / points for points in (gain.value, gain.high, gain.low))
        return Estimate(value, low, high, gain.level, gain.n)


@dataclass(frozen=True, slots=True, eq=False)
class AspectGains:
    """The gains of one aspect, the most probable help first, and the fit behind them.

    ``slopes`` pairs what a day was like with what a step of it did to the score.
    """

    days: AspectDays
    fit: ComfortFit
    gains: tuple[Gain, ...]
    slopes: tuple[tuple[str, Estimate], ...]

    @property
    def aspect(self) -> str:
        """sleep, camp, moving or fun."""
        return self.days.aspect

    @property
    def comforts(self) -> tuple[Gain, ...]:
        """The gains of what is carried for comfort."""
        return tuple(gain for gain in self.gains if gain.bundle.for_comfort)


def efficient_edge(gains: Sequence[Gain]) -> tuple[Gain, ...]:
    """Of what probably helps and is weighed: that which nothing lighter beats, lightest first."""
    helping = [g for g in gains if g.helps and g.bundle.weight_g]
    helping.sort(key=lambda g: (g.bundle.weight_g or 0.0, -g.gain.value))
    edge: list[Gain] = []
    for gain in helping:
        if not edge or gain.gain.value > edge[-1].gain.value:
            edge.append(gain)
    return tuple(edge)


def comfort_gains(store: Store, scope: Scope = EVERY_TRIP) -> tuple[AspectGains, ...]:
    """The gains of every aspect that has a score, on the trips of a period.

    Raises QuestionError where there is more than can be judged at once.
    """
    aspects = comfort_days(store, scope)
    for days in aspects:
        check_size(days)
    return tuple(gains_of(days) for days in aspects)


def gains_of(days: AspectDays) -> AspectGains:
    """The gains of one aspect."""
    comforts = [n for n, bundle in enumerate(days.bundles) if bundle.for_comfort]
    fit = fit_comfort(days.data, together=np.array(comforts, dtype=np.intp))
    rounding = ROUNDING_SD if days.data.ends is not None else 0.0
    noise = max(float(np.hypot(fit.noise_sd.value, rounding)), _LEAST_NOISE)
    shares = explained_shares(days.data, fit.trip_sd.value, noise)
    places = _places(fit, comforts)
    gains = [
        Gain(
            days.aspect,
            bundle,
            Estimate(float(fit.gain[n]), float(fit.low[n]), float(fit.high[n]), LEVEL, fit.n),
            float(fit.p_helps[n]),
            float(fit.prior_share[n]),
            float(shares[n]),
            *places.get(n, (None, None)),
        )
        for n, bundle in enumerate(days.bundles)
    ]
    gains.sort(key=lambda g: (-g.p_helps, g.bundle.bundle))
    names = (covariate.name for covariate in days.covariates)
    return AspectGains(days, fit, tuple(gains), tuple(zip(names, fit.slopes, strict=True)))


def _places(fit: ComfortFit, among: Sequence[int]) -> dict[int, tuple[int, int]]:
    """First and last place by gain that each comfort may hold: what is not told apart is tied."""
    from scipy.special import ndtr  # type: ignore[import-untyped]

    if not among:
        return {}
    chosen = np.array(among)
    gain, cov = fit.gain[chosen], fit.covariance
    variance = np.diag(cov)
    apart = np.sqrt(np.maximum(variance[:, None] + variance - 2 * cov, 1e-12))
    ahead = ndtr((gain[:, None] - gain) / apart)
    np.fill_diagonal(ahead, 0.5)
    behind = (ahead >= APART).sum(1)
    before = (ahead <= 1 - APART).sum(1)
    return {
        n: (1 + int(b), len(among) - int(w)) for n, b, w in zip(among, before, behind, strict=True)
    }
