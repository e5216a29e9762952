"""What a fit of base weight on time takes from each trip: time, cold, way of travelling, length.

Walking, cycling and paddling are different kits, so each way of travelling has a level of its own
as soon as there are two. A trip whose way is not noted stays out, and where those are more than one
in five there is no fit at all: which way they went may be what changed. Longer trips carry more
whatever the gear, so the number of nights enters (its logarithm, since a tenth night adds less than
a second) where it differs and either goes with time or can be afforded.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from math import log2
from statistics import median
from typing import Literal

from ..stats.trend_line import LEAST_FREEDOM, TrendLine, fit_line

FEWEST_IN_FIT = 6
"""Trips from which a fit is tried: under six, three coefficients leave next to nothing over."""
SHORTEST_YEARS = 300 / 365.25
"""Span of the trips under which no change a year is made of them: most of a year's round."""
MOST_BLANK = 0.2
"""Share of trips without a way of travelling beyond which there is no fit."""
LENGTH_DRIFT = 0.3
LENGTH_FREEDOM = 8
_LEAST_APART = 1e-6

Measure = Literal["normal", "measured"]
Reason = Literal["too_few", "alike", "modes", "lengths", "short"]


@dataclass(frozen=True, slots=True)
class Trip:
    """What a fit needs of a trip: weight in g, start in years, way of travelling, lows in °C."""

    trip: str
    base_g: float
    years: float
    mode: str | None
    normal_low_c: float | None
    measured_low_c: float | None
    nights: int = 1

    def low_c(self, measure: Measure) -> float | None:
        """The low of that kind."""
        return self.normal_low_c if measure == "normal" else self.measured_low_c


@dataclass(frozen=True, slots=True)
class NoFit:
    """Why there is no fit.

    too_few trips with such a low; dates and cold too much alike; modes of more than one trip in
    five not noted; lengths that go with time where trips are too few to allow for them; short: the
    trips span too little of a year. ``trips`` are those that could have entered, ``of`` all.
    """

    reason: Reason
    trips: int
    of: int = 0


@dataclass(frozen=True, slots=True)
class Design:
    """A row a trip: years, degrees above the median low, one, a column a further mode, length.

    Degrees stand only where cold enters (``low_c`` is the median low), the length, as the binary
    logarithm of nights over their median (``nights``), only where it enters. ``start`` is the mean
    time.
    """

    rows: tuple[tuple[float, ...], ...]
    low_c: float | None
    modes: tuple[str, ...]
    nights: float | None
    start: float

    def usual(self, mode: str) -> tuple[float, ...]:
        """The row without its time: median low and length; blank: the most frequent mode."""
        cold = () if self.low_c is None else (0.0,)
        ways = tuple(float(mode == m) for m in self.modes[1:])
        return (*cold, 1.0, *ways, *(() if self.nights is None else (0.0,)))


def measure_of(trips: Sequence[Trip]) -> Measure:
    """The kind of low that is known of all trips, the normal one first; else of more of them."""
    normal = sum(t.normal_low_c is not None for t in trips)
    measured = sum(t.measured_low_c is not None for t in trips)
    return "normal" if normal == len(trips) or normal > measured else "measured"


def modes_unknown(trips: Sequence[Trip]) -> bool:
    """Whether more than one trip in five does not say how one travelled."""
    return sum(t.mode is None for t in trips) > MOST_BLANK * len(trips)


def too_short(years: Sequence[float]) -> bool:
    """Whether the trips span too little of a year to make a change a year of them."""
    return max(years) - min(years) < SHORTEST_YEARS


def design_of(trips: Sequence[Trip], measure: Measure | None) -> Design | None:
    """The design of trips with modes, in the order of time; None where length cannot enter.

    measure: the kind of low, known of all trips; None leaves cold out.
    """
    modes = _modes(trips)
    start = sum(t.years for t in trips) / len(trips)
    low = None if measure is None else median(t.low_c(measure) or 0.0 for t in trips)
    rows: list[tuple[float, ...]] = []
    for trip in trips:
        cold = [] if measure is None or low is None else [(trip.low_c(measure) or 0.0) - low]
        ways = [float(trip.mode == mode) for mode in modes[1:]]
        rows.append((trip.years - start, *cold, 1.0, *ways))
    spare = len(trips) - len(rows[0]) - 1
    drift = abs(_length_drift(trips))
    if drift < LENGTH_DRIFT and (not drift or spare < LENGTH_FREEDOM):
        return Design(tuple(rows), low, modes, None, start)
    if spare < LEAST_FREEDOM:
        return None
    nights = median(t.nights for t in trips)
    longer = [log2(max(t.nights, 1) / max(nights, 1)) for t in trips]
    with_length = tuple((*row, more) for row, more in zip(rows, longer, strict=True))
    return Design(with_length, low, modes, nights, start)


def fit_of(trips: Sequence[Trip], measure: Measure | None) -> tuple[TrendLine, Design] | NoFit:
    """Fit trips with modes (and lows of that kind) in the order of time."""
    if len(trips) < FEWEST_IN_FIT:
        return NoFit("too_few", len(trips))
    if too_short([t.years for t in trips]):
        return NoFit("short", len(trips))
    design = design_of(trips, measure)
    if design is None:
        return NoFit("lengths", len(trips))
    line = fit_line(design.rows, [t.base_g for t in trips])
    if line is None:
        few = len(trips) < len(design.rows[0]) + LEAST_FREEDOM
        return NoFit("too_few" if few else "alike", len(trips))
    return line, design


def _modes(trips: Sequence[Trip]) -> tuple[str, ...]:
    """The ways of travelling, the most frequent first; none where there is one only."""
    counts = Counter(t.mode for t in trips if t.mode is not None)
    often = sorted(counts, key=lambda mode: (-counts[mode], mode))
    return tuple(often) if len(often) > 1 else ()


def _length_drift(trips: Sequence[Trip]) -> float:
    """How far the logarithm of the nights goes with time: their correlation, 0 where alike."""
    import numpy as np

    nights = [log2(max(t.nights, 1)) for t in trips]
    years = [t.years for t in trips]
    if max(nights) - min(nights) < _LEAST_APART or max(years) - min(years) < _LEAST_APART:
        return 0.0
    return float(np.corrcoef(years, nights)[0, 1])
