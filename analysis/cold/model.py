"""How cold is too cold: a probit model of warmth votes, integrated in full.

P(too cold | low) = Phi((rating + offset + shift of the kind of rating + error of the figure +
deviation of the sleep system + trip effect - low) / s). Too cold is a warmth vote of -2 or -3 (ISO
7730 counts votes beyond +-1 as dissatisfied). Ratings come on the limit scale (`cold.ratings`),
where the priors of shift and error have mean 0. In degrees Celsius: offset Normal(0, 5), deviations
Normal(0, 2), log s Normal(log 3, .5), and nights of a trip share an effect whose standard deviation
is half-normal with scale 2. Without that effect the limits are too sure of themselves: 90 %
intervals hold 80 to 85 % where it is 2 to 4 °C, with it 89 to 94.

Everything is summed over a grid (`stats.warmth_probit`). What is not known forms a tree: the
sleeper, under it the kinds of rating, under each the things that are rated, under each the sleep
systems with it.
"""

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from ..stats.arrays import Array, Codes
from ..stats.warmth_probit import Beliefs, VoteLikelihood
from .ratings import RATING_KINDS, kind_of

OFFSET_SD_C = 5.0
DEVIATION_SD_C = 2.0
SPREAD_C = 3.0
SPREAD_LOG_SD = 0.5
TRIP_SD_C = 2.0
_STEP_C = 0.25
_REACH_C = 24.0
_SPREADS = 19
_TRIP_SPREADS = 12
_FAR = 3.2  # standard deviations of a prior, or scales of a half-normal one
_ORDER = tuple(RATING_KINDS)[::-1]  # the scale's own kind stands last


@dataclass(frozen=True, slots=True, eq=False)
class ColdNights:
    """Judged nights, n of them, k sleep systems and m rated things.

    ``system`` and ``trip`` (n) number the night's sleep system and trip from 0; ``low_c`` (n);
    ``too_cold`` (n) is 1 where the vote says so; ``rated_c`` (k) on the limit scale. ``thing`` (k)
    numbers the thing whose rating that is, ``kinds`` (m) says of each whose figure it has. Without
    them every system has a thing of its own, rated by its limit. A system may have no night.
    """

    system: Codes
    trip: Codes
    low_c: Array
    too_cold: Array
    rated_c: Array
    thing: Codes | None = None
    kinds: tuple[str, ...] | None = None


class Weights(Protocol):
    """One (s, t, h) for each place, summing to 1."""

    def __getitem__(self, place: int, /) -> Array: ...


@dataclass(frozen=True, slots=True, eq=False)
class ColdFit:
    """Posterior over a grid: where even odds lie above the rating on the limit scale (h), of one
    night's spread (s) and of the trips' (t), in degrees Celsius.

    ``weight[place]`` (s, t, h): the k sleep systems come first, then for each of the m rated things
    a system with it that was never slept in, then for each kind of rating one with a thing never
    slept in; -1 is that of a limit rating. `unslept_with` and `unslept_of` give the places.
    """

    above_c: Array
    spread_c: Array
    trip_spread_c: Array
    weight: Weights
    systems: int = 0
    things: int = 0

    def unslept_with(self, thing: int) -> int:
        """The place of another system with a rated thing that was slept in."""
        return self.systems + thing

    def unslept_of(self, rated_as: str) -> int:
        """The place of a system with a thing never slept in, rated so."""
        return self.systems + self.things + _ORDER.index(kind_of(rated_as))


def fit_cold(nights: ColdNights) -> ColdFit:
    """The posterior of every sleep system, and of systems never slept in."""
    above = np.arange(-_REACH_C, _REACH_C + _STEP_C / 2, _STEP_C)
    deviates = np.linspace(-_FAR, _FAR, _SPREADS)
    spreads = SPREAD_C * np.exp(SPREAD_LOG_SD * deviates)
    at, share = np.polynomial.legendre.leggauss(_TRIP_SPREADS)
    trip_spreads = (at + 1) / 2 * _FAR * TRIP_SD_C
    log_prior = np.log(share) - 0.5 * deviates[:, None] ** 2 - 0.5 * (trip_spreads / TRIP_SD_C) ** 2
    log_root = log_prior[..., None] - 0.5 * (above / OFFSET_SD_C) ** 2
    systems = len(nights.rated_c)
    thing = np.arange(systems) if nights.thing is None else nights.thing
    kinds = ("limit",) * systems if nights.kinds is None else nights.kinds
    margin, grid = nights.rated_c[nights.system] - nights.low_c, (above, spreads, trip_spreads)
    own = VoteLikelihood(margin, nights.too_cold > 0, nights.system, nights.trip, grid)
    sds = [(RATING_KINDS[name].shared_sd_c, RATING_KINDS[name].own_sd_c) for name in _ORDER]
    numbers = [_ORDER.index(kind_of(kind)) for kind in kinds]
    beliefs = Beliefs(above, log_root, own, thing, numbers, sds, DEVIATION_SD_C)
    return ColdFit(*grid, beliefs, systems, len(kinds))
