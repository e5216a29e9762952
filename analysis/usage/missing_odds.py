"""How often things that stay at home are expected to be wanted, and how sure that is."""

import math
from collections.abc import Sequence

from ..display.words import number, wanted
from ..stats.constants import LEVEL, TAILS
from ..stats.estimate import Estimate
from .items import Usage
from .verdicts import Judged

_DRAWS, _SEED = 4000, 1


def missing_odds(usage: Usage, things: Sequence[Judged]) -> Estimate:
    """How often one of the things is expected to be wanted, per trip, and its 90 % interval.

    The sum of their pooled rates by the odds of their weather; the interval is of draws from both
    posteriors.
    """
    import numpy as np

    rng, expected = np.random.default_rng(_SEED), np.zeros(_DRAWS)
    for system in sorted({judged.about.system for judged in things}):
        items = [judged.usage for judged in things if judged.about.system == system]
        used, n = [u.rate.used for u in items], [u.rate.n for u in items]
        rates = usage.pools[system].draw(rng, used, n, _DRAWS)
        for each, rate in zip(items, rates.T, strict=True):
            p = usage.odds.draw(rng, each.about.meaning, _DRAWS)
            expected += p * rate + (1 - p) * each.rate_besides
    value = sum(usage.need(judged.usage, None) for judged in things)
    low, high = np.quantile(expected, TAILS)
    return Estimate(value, min(value, float(low)), max(value, float(high)), LEVEL)


def wanted_at_most(odds: Estimate, things: int) -> str:
    """ "you would want one of them about once in 9 trips, very likely no more than once in 4"."""
    most = math.floor(1 / odds.high) if odds.high < 1 else 1
    often = f"once in {number(most)}" if most > 1 else "once on every trip"
    return f"{wanted(odds.value, things)}, very likely no more than {often}"
