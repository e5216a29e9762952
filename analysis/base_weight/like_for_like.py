"""The trend of base weight at equal cold, since cold trips weigh more whatever the gear.

Base weight on time and on one measure of cold, the same for every trip of a fit: the lowest normal
low of the trip's nights where that is known of all trips, else the lowest measured low. To mix the
two, or to use measured lows where one packs for expected ones, makes trends of its own. What else
enters: `trip_design`; interval and errors: `lines`; a step instead of a line: `step_or_line`.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from ..stats.estimate import Estimate
from ..stats.step_or_line import shape_of
from ..stats.trend_line import TrendLine, fit_line
from .kit_change import KitChange, kit_change
from .trip_design import Design, Measure, NoFit, Trip, design_of, fit_of, modes_unknown

STEP_AS_WELL = 0.3
"""Chance of a step against a line from which the step explains the weights as well."""
STEP_ALONE = 0.75
STEP_FOR_SURE = 0.8
"""Chance of a step, against a line or no change, from which it is told where no line can be."""
_LOOKED_AT = 20
_FEW_AMONG = 0.2


@dataclass(frozen=True, slots=True)
class Influence:
    """The trip that moves the slope most, and what the slope is without it."""

    trip: str
    without: Estimate


@dataclass(frozen=True, slots=True)
class WeightStep:
    """A change of level between two neighbouring trips of a fit.

    ``change`` in g with its interval. Starts of trips in years: ``first`` of the first at the new
    level, ``since`` and ``until`` of those between which the step lies with 90 % chance. ``alone``
    says that a step explains the weights clearly better than a line; else it does as well.
    """

    change: Estimate
    first: float
    since: float
    until: float
    alone: bool


@dataclass(frozen=True, slots=True)
class LikeForLike:
    """The fit. ``slope`` in g per year at equal cold; ``per_degree`` in g per °C.

    ``measure`` is the kind of low, ``median_low_c`` the low at which weights are compared;
    ``trips`` are those in the fit, in the order of time; ``left_out`` those without such a low,
    ``without_mode`` those without a way of travelling. ``nights`` is the length at which weights
    are compared, None where it did not enter. ``fitted_g`` is what the fit says of each trip's day
    and mode at that low, ``moved_g`` each trip's own weight moved along the fit to that low and
    length and to the most frequent mode. ``courses`` are the lines of each mode, the most frequent
    first (of blank name where there is one mode only); they are parallel. ``other`` is the slope
    with the other kind of low, where that is known of all trips, too.
    ``step`` is there where one step explains the weights as well as the line or better: then the
    slope is no rate to tell. ``kit`` is what the kit changed from the first trip to the last.
    """

    measure: Measure
    trips: tuple[str, ...]
    left_out: tuple[str, ...]
    without_mode: tuple[str, ...]
    slope: Estimate
    p_value: float
    per_degree: Estimate
    median_low_c: float
    modes: tuple[str, ...]
    nights: float | None
    fitted_g: tuple[float, ...]
    moved_g: tuple[float, ...]
    influence: Influence | None
    other: Estimate | None
    courses: tuple[tuple[str, "Course"], ...]
    step: WeightStep | None
    kit: KitChange | None

    @property
    def course(self) -> "Course":
        """The line of the most frequent mode."""
        return self.courses[0][1]


@dataclass(frozen=True, slots=True)
class Course:
    """The fitted line against time, at the median low and length, of one way of travelling."""

    line: TrendLine
    start: float
    usual: tuple[float, ...]

    def row(self, years: float) -> tuple[float, ...]:
        """The design's row at that time."""
        return (years - self.start, *self.usual)

    def at(self, years: float) -> Estimate:
        """Base weight in g at that time, with the line's band."""
        return self.line.at(self.row(years))


def like_for_like(
    trips: Sequence[Trip], measure: Measure, *, influence: bool = True
) -> LikeForLike | NoFit:
    """Fit trips in the order of time; influence: look for the trip that moves the slope most."""
    with_low = [t for t in trips if t.low_c(measure) is not None]
    inside = [t for t in with_low if t.mode is not None]
    if modes_unknown(trips):
        return NoFit("modes", sum(t.mode is not None for t in trips), len(trips))
    fit = fit_of(inside, measure)
    if isinstance(fit, NoFit):
        return NoFit(fit.reason, fit.trips, len(trips))
    line, design = fit
    courses = tuple(
        (mode, Course(line, design.start, design.usual(mode))) for mode in design.modes or ("",)
    )
    course = courses[0][1]
    moved = [
        t.base_g + line.value(course.row(t.years)) - line.value(row)
        for t, row in zip(inside, design.rows, strict=True)
    ]
    slope = line.coefficient(0)
    step = _step(inside, design, slope)
    if step is not None and _cold_apart(inside, measure, step):
        return NoFit("alike", len(inside), len(trips))
    return LikeForLike(
        measure=measure,
        trips=tuple(t.trip for t in inside),
        left_out=tuple(t.trip for t in trips if t.low_c(measure) is None),
        without_mode=tuple(t.trip for t in with_low if t.mode is None),
        slope=slope,
        p_value=line.p_value((1.0, *(0.0 for _ in course.usual))),
        per_degree=line.coefficient(1),
        median_low_c=design.low_c or 0.0,
        modes=design.modes,
        nights=design.nights,
        fitted_g=tuple(line.value(_at_usual(row, design)) for row in design.rows),
        moved_g=tuple(moved),
        influence=_influence(inside, measure, slope.value) if influence else None,
        other=_other(inside, measure),
        courses=courses,
        step=step,
        kit=kit_change(design.rows, [t.base_g for t in inside], line),
    )


def _at_usual(row: Sequence[float], design: Design) -> tuple[float, ...]:
    """A trip's row at the median low and the median length."""
    ways = row[2:] if design.nights is None else (*row[2:-1], 0.0)
    return (row[0], 0.0, *ways)


@dataclass(frozen=True, slots=True)
class Plain:
    """The line against time without cold; whether only the season changed, it cannot say."""

    course: Course
    slope: Estimate
    step: WeightStep | None


def plain_course(trips: Sequence[Trip]) -> Plain | None:
    """The line against time and mode, for where cold is not known; None where there is none."""
    inside = [t for t in trips if t.mode is not None]
    fit = None if modes_unknown(trips) else fit_of(inside, None)
    if fit is None or isinstance(fit, NoFit):
        return None
    line, design = fit
    slope = line.coefficient(0)
    course = Course(line, design.start, design.usual(""))
    return Plain(course, slope, _step(inside, design, slope))


def _step(trips: Sequence[Trip], design: Design, slope: Estimate) -> WeightStep | None:
    """The step, where it explains the weights as well as a line that can be told, or for sure."""
    others, grams = [row[1:] for row in design.rows], [t.base_g for t in trips]
    shape = shape_of([row[0] for row in design.rows], others, grams)
    if shape is None:
        return None
    chance, least = (
        (shape.p_step, STEP_AS_WELL) if slope.sign_known else (shape.p_change, STEP_FOR_SURE)
    )
    if chance < least:
        return None
    rows = [(float(i >= shape.place), *row) for i, row in enumerate(others)]
    line = fit_line(rows, grams)
    change = None if line is None else line.coefficient(0)
    if change is None or not (slope.sign_known or change.sign_known):
        return None
    places = (shape.place, shape.first - 1, shape.last)
    first, since, until = (trips[place].years for place in places)
    return WeightStep(change, first, since, until, alone=shape.p_step >= STEP_ALONE)


def _cold_apart(trips: Sequence[Trip], measure: Measure, step: WeightStep) -> bool:
    """Whether the trips after a step were colder, or milder, than those before it, few aside.

    A warm jacket that goes in under some low looks like a step at the first cold trips. On both
    sides at most one low in five lies among the other side's.
    """
    lows = [(t.years >= step.first, t.low_c(measure)) for t in trips]
    before = [low for after, low in lows if not after and low is not None]
    after = [low for after, low in lows if after and low is not None]
    among = (
        sum(min(others) <= low <= max(others) for low in side) / len(side)
        for side, others in ((before, after), (after, before))
    )
    return max(among) <= _FEW_AMONG


def _influence(trips: Sequence[Trip], measure: Measure, slope: float) -> Influence | None:
    """Fit again without each trip that could matter; the twenty that least squares names first."""
    moves: list[tuple[float, Influence]] = []
    for place in _candidates(trips, measure):
        rest = [*trips[:place], *trips[place + 1 :]]
        again = fit_of(rest, measure)
        if not isinstance(again, NoFit):
            without = again[0].coefficient(0)
            moves.append((abs(without.value - slope), Influence(trips[place].trip, without)))
    return max(moves, key=lambda each: each[0])[1] if moves else None


def _candidates(trips: Sequence[Trip], measure: Measure) -> list[int]:
    import numpy as np

    design = design_of(trips, measure)
    if len(trips) <= _LOOKED_AT or design is None:
        return list(range(len(trips)))
    x = np.asarray(design.rows)
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
    fit = fit_of(trips, other)
    return None if isinstance(fit, NoFit) else fit[0].coefficient(0)
