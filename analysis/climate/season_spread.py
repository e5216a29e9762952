"""How far lows stray from their normal, season by season: what NOAA's spread alone does not show.

Lows are not quite normally distributed: in winter the cold ones stray further than the mild ones,
in spring and autumn less far. A night's deviation is that of a standard normal score, bent by the
season's skew and stretched by its spread: a shifted lognormal distribution of mean 0, in standard
deviations of the normals' file. What neighbouring nights have in common is the score
(`ar1_chain`).

Where the figures are from (`tests/benchmarks/bench_season_spread.py` works them out and prints how
good they are; no published source):

- *skew*: the mean of that of lows observed at Central Park, New York, 2009 to 2024, against NOAA's
  daily normals 1991-2020, and of that of Worcester, Massachusetts, by the 10th and 90th percentiles
  of its hourly normals 1981-2010 from 4 to 7 in the morning: December to March -.28, April and May
  +.60, June to August .00, September to November +.17. March goes with winter at both. What makes
  cold nights more likely is taken whole, what makes them rarer by half; rounded to .05.
- *spread*: at Central Park 1.00, 1.03, .93, .99 of the file's. What is smaller than the file's is
  not taken.

Both are of a temperate climate with snow, from 41 to 42 degrees north. They hold for the middle of
each month, in between they go from one to the next; south of the equator half a year later. In the
tropics, of which nothing is known, lows are taken as normally distributed.
"""

import math
from calendar import monthrange
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ..stats.arrays import Array

TROPIC_DEG = 23.44
"""Latitude of the tropics: the sun's greatest declination."""
_STRAIGHT = 1e-6
"""A skewness too small to tell from none, and to divide by."""
_FAR = 38.0
"""A score that no night reaches: the normal curve beyond it is 0 in double precision."""


@dataclass(frozen=True)
class SeasonSpread:
    """The distribution of lows around their normal: mean 0, standard deviation ``spread``.

    ``spread`` in standard deviations of the normals' file, above 0; ``skew`` the skewness, negative
    where the cold side is the longer one.
    """

    spread: float = 1.0
    skew: float = 0.0

    def deviation(self, score: float) -> float:
        """A night's deviation from its normal, in the file's standard deviations, by its score."""
        if abs(self.skew) < _STRAIGHT:
            return self.spread * score
        bend, centre, stretch = self._curve
        return stretch * (math.expm1(bend * score) / bend - centre)

    def deviations(self, scores: "Array") -> "Array":
        """The same for an array."""
        import numpy as np

        if abs(self.skew) < _STRAIGHT:
            return self.spread * scores
        bend, centre, stretch = self._curve
        bent: Array = stretch * (np.expm1(bend * scores) / bend - centre)
        return bent

    def score(self, deviation: float) -> float:
        """The standard normal score of a deviation: the inverse of `deviation`.

        Beyond where the bent curve ends, a score that no night reaches.
        """
        if abs(self.skew) < _STRAIGHT:
            return deviation / self.spread
        bend, centre, stretch = self._curve
        grown = bend * (deviation / stretch + centre)
        if grown <= -1:
            return math.copysign(_FAR, -bend)
        return max(-_FAR, min(_FAR, math.log1p(grown) / bend))

    @cached_property
    def _curve(self) -> tuple[float, float, float]:
        """Exponent, mean and stretch of the shifted lognormal with this skewness and spread.

        The skewness of exp(g z) is (w + 2) sqrt(w - 1) with w = exp(g²) (Johnson, Kotz &
        Balakrishnan 1994, Continuous Univariate Distributions 1, chapter 14, from memory); the
        cubic is solved in closed form.
        """
        size = abs(self.skew)
        root = math.cbrt(1 + size**2 / 2 + size * math.sqrt(1 + size**2 / 4))
        grown = (root - 1) ** 2 / root  # w - 1
        bend = math.copysign(math.sqrt(math.log1p(grown)), self.skew)
        half = math.expm1(bend**2 / 2)
        return bend, half / bend, self.spread * abs(bend) / ((1 + half) * math.sqrt(grown))


PLAIN = SeasonSpread()
"""Lows normally distributed with the spread of the file."""
WINTER = SeasonSpread(1.0, -0.30)
SPRING = SeasonSpread(1.03, 0.30)
SUMMER = SeasonSpread(1.0, 0.0)
AUTUMN = SeasonSpread(1.0, 0.10)
_NORTHERN = (*(WINTER,) * 3, *(SPRING,) * 2, *(SUMMER,) * 3, *(AUTUMN,) * 3, WINTER)
"""By month, January first; `sql/marts/night_seasons` has the same figures."""


def season_of_night(night: date, latitude: float | None) -> SeasonSpread:
    """The distribution for the low of the night that begins on ``night``.

    ``latitude`` in degrees north; where it is not known the place is taken to lie in the north,
    outside the tropics.
    """
    if latitude is not None and abs(latitude) < TROPIC_DEG:
        return PLAIN
    morning = night + timedelta(days=1)
    part = (morning.day - 0.5) / monthrange(morning.year, morning.month)[1] - 0.5
    month = morning.month - 1 + (6 if latitude is not None and latitude < 0 else 0)
    here, other = _NORTHERN[month % 12], _NORTHERN[(month + (1 if part > 0 else -1)) % 12]
    share = abs(part)
    return SeasonSpread(
        here.spread + share * (other.spread - here.spread),
        here.skew + share * (other.skew - here.skew),
    )
