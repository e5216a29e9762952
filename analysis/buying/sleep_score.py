"""What sleeping so much further inside the rating may bring in points of the sleep score."""

import math

from ..stats.constants import LEVEL, NINE_IN_TEN_SD
from ..stats.estimate import Estimate
from ..store.rows import Store
from .nights import BeddingSwap


def comfort_expected(swap: BeddingSwap, store: Store) -> Estimate | None:
    """What being so much better inside the rating did for the sleep score, on the nights replayed.

    The interval also holds what a thing never slept in may bring beyond its rating, and what the
    one it replaces brought, where the log can tell that apart. None where it has no such
    slope. Raises QuestionError where the nights are more than can be judged at once.
    """
    from ..comfort.bounds import check_size
    from ..comfort.days import comfort_days
    from ..comfort.ease import MILDER_STEP_C
    from ..comfort.gain import gains_of

    days = next((d for d in comfort_days(store) if d.aspect == "sleep"), None)
    pairs = [(n.rated_c, swap.rated_c(n)) for n in swap.whole]
    warmer = [now - then for now, then in pairs if now is not None and then is not None]
    if days is None or not warmer:
        return None
    check_size(days)
    gains = gains_of(days)
    slope = dict(gains.slopes).get("milder")
    if slope is None:
        return None
    step = sum(warmer) / len(warmer) / MILDER_STEP_C
    gain, width = step * slope.value, 2 * NINE_IN_TEN_SD
    variance = (step * (slope.high - slope.low) / width) ** 2 + gains.fit.rest_sd.value**2
    for one in gains.gains:
        if {t.item for t in one.bundle.things} == set(swap.candidate.replaces):
            gain -= one.gain.value
            variance += ((one.gain.high - one.gain.low) / width) ** 2
    half = math.sqrt(variance) * NINE_IN_TEN_SD
    return Estimate(gain, gain - half, gain + half, LEVEL, slope.n)
