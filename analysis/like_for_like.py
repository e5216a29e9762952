"""The trend of base weight at equal cold, since cold trips weigh more whatever the gear.

Base weight on time and on one measure of cold, the same for every trip of a fit: the lowest normal
low of the trip's nights where that is known of all trips, else the lowest measured low. To mix the
two, or to use measured lows where one packs for expected ones, makes trends of its own. The way of
travelling enters once two ways have three trips each. Interval and errors: `lines`.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median
from typing import Literal

from tarebook.analysis.lines import Estimate, Line, fit_line

FEWEST = 6
"""Trips from which a fit is tried: under six, three coefficients leave next to nothing over."""
MODES_FROM = 3
_LOOKED_AT = 20

Measure = Literal["normal", "measured"]


@dataclass(frozen=True, slots=True)
class Trip:
    """What a fit needs of a trip: weight in g, start in years, way of travelling, lows in °C."""

    trip: str
    base_g: float
    years: float
    mode: str | None
    normal_low_c: float | None
    measured_low_c: float | None

    def low_c(self, measure: Measure) -> float | None:
        """The low of that kind."""
        return self.normal_low_c if measure == "normal" else self.measured_low_c


@dataclass(frozen=True, slots=True)
class Influence:
    """The trip that moves the slope most, and what the slope is without it."""

    trip: str
    without: Estimate


@dataclass(frozen=True, slots=True)
class LikeForLike:
    """The fit. ``slope`` in g per year at equal cold; ``per_degree`` in g per °C.

    ``measure`` is the kind of low, ``median_low_c`` the low at which weights are compared;
    ``trips`` are those in the fit, in the order of time, ``left_out`` those without such a low.
    ``fitted_g`` is what the fit says of each trip's day and mode at that low, ``moved_g`` each
    trip's own weight moved along the fit to that low and to the usual mixture of modes.
    ``other`` is the slope with the other kind of low, where that is known of all trips, too.
    """

    measure: Measure
    trips: tuple[str, ...]
    left_out: tuple[str, ...]
    slope: Estimate
    p_value: float
    per_degree: Estimate
    median_low_c: float
    modes: tuple[str, ...]
    rho: float
    fitted_g: tuple[float, ...]
    moved_g: tuple[float, ...]
    influence: Influence | None
    other: Estimate | None
    course: "Course"


@dataclass(frozen=True, slots=True)
class Course:
    """The fitted line against time, at the median low and the usual mixture of modes."""

    line: Line
    start: float
    usual: tuple[float, ...]

    def row(self, years: float) -> tuple[float, ...]:
        """The design's row at that time."""
        return (years - self.start, *self.usual)

    def at(self, years: float) -> Estimate:
        """Base weight in g at that time, with the line's band."""
        return self.line.at(self.row(years))


@dataclass(frozen=True, slots=True)
class NoFit:
    """Why there is no fit: too_few trips with such a low, or dates and cold too much alike."""

    reason: Literal["too_few", "alike"]
    trips: int


def measure_of(trips: Sequence[Trip]) -> Measure:
    """The kind of low that is known of all trips, the normal one first; else of more of them."""
    known = {m: sum(t.low_c(m) is not None for t in trips) for m in ("normal", "measured")}
    if known["normal"] == len(trips):
        return "normal"
    return "normal" if known["normal"] > known["measured"] else "measured"


def like_for_like(
    trips: Sequence[Trip], measure: Measure, *, influence: bool = True
) -> LikeForLike | NoFit:
    """Fit trips in the order of time; influence: look for the trip that moves the slope most."""
    kept = [t for t in trips if t.low_c(measure) is not None]
    found = _fit(kept, measure)
    if isinstance(found, NoFit):
        return found
    line, low, modes, start = found
    rows = _design(kept, measure, low, modes, start)
    shares = tuple(sum(t.mode == m for t in kept) / len(kept) for m in modes[1:])
    course = Course(line, start, (0.0, 1.0, *shares))
    moved = [
        t.base_g + line.value(course.row(t.years)) - line.value(row)
        for t, row in zip(kept, rows, strict=True)
    ]
    time, cold = _unit(0, len(line.mean)), _unit(1, len(line.mean))
    slope = line.at(time)
    return LikeForLike(
        measure=measure,
        trips=tuple(t.trip for t in kept),
        left_out=tuple(t.trip for t in trips if t.low_c(measure) is None),
        slope=slope,
        p_value=line.p_value(time),
        per_degree=line.at(cold),
        median_low_c=low,
        modes=modes,
        rho=line.rho,
        fitted_g=tuple(line.value((row[0], 0.0, *row[2:])) for row in rows),
        moved_g=tuple(moved),
        influence=_influence(kept, measure, slope.value) if influence else None,
        other=_other(kept, measure),
        course=course,
    )


def plain_course(trips: Sequence[Trip]) -> Course | None:
    """The line against time alone, for where cold is not known; modes enter by the same rule."""
    if len(trips) < FEWEST:
        return None
    modes = _modes(trips)
    start = sum(t.years for t in trips) / len(trips)
    line = fit_line([_time_row(t, modes, start) for t in trips], [t.base_g for t in trips])
    shares = tuple(sum(t.mode == m for t in trips) / len(trips) for m in modes[1:])
    return None if line is None else Course(line, start, (1.0, *shares))


def _modes(trips: Sequence[Trip]) -> tuple[str, ...]:
    """The ways of travelling that enter, the most frequent first; none where too few have trips."""
    counts = Counter(t.mode or "" for t in trips)
    often = [m for m, n in counts.items() if m and n >= MODES_FROM]
    if len(often) < 2:
        return ()
    return tuple(sorted(counts, key=lambda m: (-counts[m], m)))


def _time_row(trip: Trip, modes: Sequence[str], start: float) -> list[float]:
    ways = [float((trip.mode or "") == mode) for mode in modes[1:]]
    return [trip.years - start, 1.0, *ways]


def _design(
    trips: Sequence[Trip], measure: Measure, low_c: float, modes: Sequence[str], start: float
) -> list[list[float]]:
    """Columns: years, degrees above the median low, one, a column a further mode."""
    rows = []
    for trip in trips:
        years, *rest = _time_row(trip, modes, start)
        rows.append([years, (trip.low_c(measure) or 0.0) - low_c, *rest])
    return rows


def _fit(
    trips: Sequence[Trip], measure: Measure
) -> tuple[Line, float, tuple[str, ...], float] | NoFit:
    if len(trips) < FEWEST:
        return NoFit("too_few", len(trips))
    modes = _modes(trips)
    low = median(t.low_c(measure) or 0.0 for t in trips)
    start = sum(t.years for t in trips) / len(trips)
    line = fit_line(_design(trips, measure, low, modes, start), [t.base_g for t in trips])
    if line is None:
        few = len(trips) < 5 + max(0, len(modes) - 1)
        return NoFit("too_few" if few else "alike", len(trips))
    return line, low, modes, start


def _influence(trips: Sequence[Trip], measure: Measure, slope: float) -> Influence | None:
    """Fit again without each trip that could matter; the twenty that least squares names first."""
    found: list[tuple[float, Influence]] = []
    for place in _candidates(trips, measure):
        rest = [*trips[:place], *trips[place + 1 :]]
        again = _fit(rest, measure)
        if not isinstance(again, NoFit):
            without = again[0].at(_unit(0, len(again[0].mean)))
            found.append((abs(without.value - slope), Influence(trips[place].trip, without)))
    return max(found, key=lambda each: each[0])[1] if found else None


def _candidates(trips: Sequence[Trip], measure: Measure) -> list[int]:
    import numpy as np

    if len(trips) <= _LOOKED_AT:
        return list(range(len(trips)))
    modes, start = _modes(trips), trips[0].years
    x = np.asarray(_design(trips, measure, 0.0, modes, start))
    y = np.asarray([t.base_g for t in trips])
    inverse = np.linalg.pinv(x.T @ x)
    rest = y - x @ (inverse @ x.T @ y)
    leverage = np.einsum("ni,ij,nj->n", x, inverse, x)
    # What least squares' slope changes by without each (Belsley, Kuh & Welsch 1980, DFBETA).
    change = np.abs((x @ inverse[:, 0]) * rest / np.maximum(1 - leverage, 1e-9))
    return sorted(np.argsort(-change, kind="stable")[:_LOOKED_AT].tolist())


def _other(trips: Sequence[Trip], measure: Measure) -> Estimate | None:
    other: Measure = "measured" if measure == "normal" else "normal"
    if any(t.low_c(other) is None for t in trips):
        return None
    found = _fit(trips, other)
    return None if isinstance(found, NoFit) else found[0].at(_unit(0, len(found[0].mean)))


def _unit(place: int, length: int) -> tuple[float, ...]:
    return tuple(float(i == place) for i in range(length))
