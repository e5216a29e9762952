"""How another sleep system would have done on one's own nights."""

import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from ..stats.constants import NINE_IN_TEN_SD
from .nights import BeddingSwap, SleptNight, rated_as_limit_c, sleep_system
from .results import AtHome, Candidate, ColdReplay

if TYPE_CHECKING:
    from ..cold.limit import ColdLimits, SleepSystem
    from ..stats.estimate import Estimate


def replay(
    swap: BeddingSwap, limits: "ColdLimits", owned: Sequence["SleepSystem"] = ()
) -> ColdReplay | None:
    """The nights again; None where the candidate would have been there on no known night.

    Nights on which sleep or shelter gear had failed are left out: a new quilt mends no flat mat.
    ``owned``: the sleep sets that are at home already.
    """
    judged = [n for n in swap.whole if n.low_c is not None]
    both = [n for n in judged if n.rated_c is not None]
    if not judged:
        return None
    votes = [n for n in judged if n.warmth is not None]
    cold = [n for n in votes if n.too_cold]
    least, avoided, most = nights_spared(cold, swap.system, limits)
    now = {n.system for n in swap.whole}
    known = [limits.limit_of(system) for system in now if system is not None]
    usual = max(known, key=lambda x: (x.nights, x.system.items), default=None)
    return ColdReplay(
        nights=len(both or judged),
        inside_now=sum(_inside(n, n.rated_c) for n in both) if both else None,
        inside_then=sum(_inside(n, swap.rated_c(n)) for n in both or judged),
        votes=len(votes),
        cold_votes=len(cold),
        avoided=avoided,
        avoided_least=least,
        avoided_most=most,
        own_limit_c=_limit_alone(limits, swap.candidate),
        limit_now_c=usual.own_limit_c.value if usual is not None and usual.basis == "own" else None,
        set_apart=len([n for n in swap.nights if n.set_apart]),
        rated_as=tuple(sorted({system.rated_as for system in now if system is not None})),
        at_home=_at_home(cold, limits, owned),
    )


def nights_spared(
    cold: Sequence[SleptNight],
    instead: Callable[[SleptNight], "SleepSystem | None"],
    limits: "ColdLimits",
) -> tuple[int, int, int]:
    """How many of some too cold nights would not have been, in another sleep system.

    Least, about how many, most: expected numbers, rounded. Each night was too cold as it was; that
    it would not have been is worked from how much lower the other is rated, on one scale (where
    both have judged nights: from how much lower its own limit is), and from what is known of the
    sleeper. Rated no lower, it spares nothing. The range is that of 90 % of what the two limits may
    be off against each other.
    """
    import numpy as np

    counts = [0.0, 0.0, 0.0]
    apart: dict[tuple[SleepSystem, SleepSystem], tuple[float, float]] = {}
    for night in cold:
        now, then = night.system, instead(night)
        if then is None or (now is not None and now.rated_item == then.rated_item):
            continue
        if now is None:
            # Without a rating of what was there, all that is known is the other's own limit.
            chance = 1 - float(limits.curve(then, np.array([_low(night)])).chance[0])
            counts = [count + chance for count in counts]
            continue
        if (now, then) not in apart:
            apart[now, then] = _apart(limits, now, then)
        lower, off = apart[now, then]
        for place, shift in enumerate((NINE_IN_TEN_SD * off, 0.0, -NINE_IN_TEN_SD * off)):
            counts[place] += _spared(limits, now, _low(night), lower + shift)
    least, about, most = (round(count) for count in counts)
    return least, about, most


def _apart(limits: "ColdLimits", now: "SleepSystem", then: "SleepSystem") -> tuple[float, float]:
    """How much higher even odds lie in one system than in another, and how far that may be off.

    The latter is a standard deviation: that of both limits, taken as independent.
    """
    first, second = limits.limit_of(now), limits.limit_of(then)
    widths = [one.own_limit_c.high - one.own_limit_c.low for one in (first, second)]
    off = math.hypot(*widths) / (2 * NINE_IN_TEN_SD)
    if first.basis == second.basis == "own":
        return second.own_limit_c.value - first.own_limit_c.value, off
    return then.as_limit_c - now.as_limit_c, off


def _spared(limits: "ColdLimits", system: "SleepSystem", low_c: float, lower_c: float) -> float:
    """P(not too cold where even odds lie ``lower_c`` higher | too cold as it was)."""
    import numpy as np
    from scipy.special import log_ndtr  # type: ignore[import-untyped]

    if lower_c >= 0:
        return 0.0
    fit = limits.fit
    spread = np.hypot(fit.spread_c[:, None], fit.trip_spread_c)[..., None]
    colder = system.as_limit_c + fit.above_c - low_c
    left = np.exp(log_ndtr((colder + lower_c) / spread) - log_ndtr(colder / spread))
    return float((fit.weight[limits.place_of(system)] * (1 - left)).sum())


def _at_home(
    cold: Sequence[SleptNight], limits: "ColdLimits", owned: Sequence["SleepSystem"]
) -> AtHome | None:
    """The owned set that would have spared most of these nights, first those that were judged."""
    sets = []
    for system in owned:
        limit, name = limits.limit_of(system), system.rated_name
        least, about, most = nights_spared(cold, lambda _, system=system: system, limits)  # type: ignore[misc]
        if about:
            sets.append(AtHome(system.names, name, about, least, most, limit.basis))
    return min(sets, key=lambda one: (one.basis != "own", -one.avoided, one.names), default=None)


def _limit_alone(limits: "ColdLimits", candidate: Candidate) -> "Estimate":
    alone = sleep_system(
        {"candidate": rated_as_limit_c(candidate)}, {"candidate": candidate.rated_as}
    )
    assert alone is not None
    return limits.limit_of(alone).own_limit_c


def _low(night: SleptNight) -> float:
    assert night.low_c is not None
    return night.low_c


def _inside(night: SleptNight, rated_c: float | None) -> bool:
    return rated_c is not None and _low(night) >= rated_c
