"""How often things that stay at home are expected to be wanted, and how sure that is."""

import math
import zlib
from collections.abc import Sequence
from typing import TYPE_CHECKING

from ..display.words import number, wanted
from ..stats.constants import LEVEL, TAILS
from ..stats.estimate import Estimate
from .items import Usage
from .verdicts import Judged

if TYPE_CHECKING:
    import numpy as np

_DRAWS, _SEED = 4000, 1


def missing_odds(usage: Usage, things: Sequence[Judged]) -> Estimate:
    """How often one of the things is expected to be wanted, per trip, and its 90 % interval.

    The sum of their pooled rates by the odds of their weather; the interval is of draws from both
    posteriors. A thing's draws, those of its system and of its weather are the same whatever stays
    at home beside it, so that leaving more never comes out at a lower price.
    """
    import numpy as np

    expected = np.zeros(_DRAWS)
    for system in sorted({judged.about.system for judged in things}):
        items = [judged.usage for judged in things if judged.about.system == system]
        used, n = [u.rate.used for u in items], [u.rate.n for u in items]
        own = [_draws_of(each.about.item) for each in items]
        rates = usage.pools[system].draw(_draws_of(f"{system} together"), used, n, _DRAWS, own)
        for each, rate in zip(items, rates.T, strict=True):
            meaning = each.about.meaning
            words = f"{sorted(meaning.words)} {meaning.cold_below_c}"
            p = usage.odds.draw(_draws_of(words), meaning, _DRAWS)
            expected += p * rate + (1 - p) * each.rate_besides
    value = sum(usage.need(judged.usage, None) for judged in things)
    low, high = np.quantile(expected, TAILS)
    return Estimate(value, min(value, float(low)), max(value, float(high)), LEVEL)


def _draws_of(name: str) -> "np.random.Generator":
    import numpy as np

    return np.random.default_rng([_SEED, zlib.crc32(name.encode())])


def wanted_at_most(odds: Estimate, things: int) -> str:
    """ "you would want one of them about once in 9 trips, very likely no more than once in 4"."""
    most = math.floor(1 / odds.high) if odds.high < 1 else 1
    often = f"once in {number(most)}" if most > 1 else "once on every trip"
    return f"{wanted(odds.value, things)}, very likely no more than {often}"
