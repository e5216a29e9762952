"""How base weight moves from trip to trip: of all, by way of travelling, by system."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from statistics import median

from ..stats.estimate import Estimate
from ..stats.rank_trend import (
    KendallTest,
    SeasonalKendall,
    Slope,
    mann_kendall,
    seasonal_kendall,
    theil_sen,
)
from ..store.rows import Store
from .headline import Headline, WhyNot, headline_of, reason_of
from .like_for_like import LikeForLike, Plain, WeightStep, like_for_like, plain_course
from .target import Target, reach
from .trip_design import NoFit, Trip, modes_unknown, too_short
from .trip_weights import TripWeight, TripWeights, base_by_system

METHODS = ("theil_sen", "seasonal_kendall", "like_for_like")
FEWEST_OF_MODE = 3
_WIDEST = 2.0


@dataclass(frozen=True, slots=True)
class Trends:
    """One series and its trends, in g and g per year; None where they cannot be told.

    ``scope`` is all, mode:MODE or system:SYSTEM; ``grams`` its weights in the order of ``days``.
    ``slope``, ``test`` and ``seasonal`` compare each way of travelling (``ways``) with itself. They
    are None, too, where more than one trip in five has no mode, the trips span too little of a
    year, or the interval is wider than twice the load (``load_g``, the median base weight).
    ``plain`` is the line without cold, where ``fit`` has none.
    """

    scope: str
    days: tuple[date, ...]
    grams: tuple[float, ...]
    ways: tuple[str, ...]
    load_g: float
    slope: Slope | None
    test: KendallTest | None
    seasonal: SeasonalKendall | None
    fit: LikeForLike | NoFit
    plain: Plain | None

    @property
    def name(self) -> str:
        """The mode or system; all for the whole base weight."""
        return self.scope.rpartition(":")[2]

    @property
    def trips(self) -> int:
        """How many trips."""
        return len(self.grams)

    @property
    def headline(self) -> Headline:
        """What may be told of it."""
        return headline_of(self.fit, self.load_g)

    @property
    def steady(self) -> bool:
        """Whether a rate at equal cold may be told."""
        return self.headline in ("lighter", "heavier")

    @property
    def line(self) -> LikeForLike | None:
        """The trend at equal cold, None where there is none."""
        return self.fit if isinstance(self.fit, LikeForLike) else None

    @property
    def step(self) -> WeightStep | None:
        """The one step that explains its weights as well as a line, if any does."""
        return None if self.line is None else self.line.step

    @property
    def rates(self) -> dict[str, tuple[Estimate, float | None]]:
        """The slope of each of `METHODS` that has one, with its p of no change."""
        test, seasonal, line = self.test, self.seasonal, self.line
        answers = (
            (self.slope, test.p if test else None) if self.slope else None,
            (seasonal.slope, seasonal.test.p) if seasonal else None,
            (line.slope, line.p_value) if line else None,
        )
        return {m: answer for m, answer in zip(METHODS, answers, strict=True) if answer}

    @property
    def reason(self) -> WhyNot | None:
        """Why it cannot be told, where it cannot."""
        return reason_of(self.fit, self.load_g)


@dataclass(frozen=True, slots=True)
class BaseWeightTrends:
    """The trends of everything that was asked for.

    ``modes`` is empty where there is one way of travelling only, ``systems`` where one system was
    asked for. ``targets`` has one for each way of travelling with three trips, the most frequent
    first, its name blank where there is one only; none where the headline is not lighter.
    """

    weights: TripWeights
    whole: Trends
    modes: tuple[Trends, ...]
    systems: tuple[Trends, ...]
    targets: tuple[tuple[str, Target], ...]

    @property
    def fit(self) -> LikeForLike | None:
        """The trend at equal cold, None where there is none."""
        return self.whole.line

    @property
    def in_fit(self) -> tuple[TripWeight, ...]:
        """The trips in it, in the order of time."""
        names = set(self.fit.trips if self.fit else ())
        return tuple(t for t in self.weights.counted if t.trip in names)


def base_weight_trends(
    store: Store, weights: TripWeights, target_g: float | None = None
) -> BaseWeightTrends:
    """Work out every trend; ``target_g`` is the base weight to be reached, if any is set."""
    selection = weights.selection
    fitted = weights.fitted()
    load = median(t.base_g for t in fitted) if fitted else 0.0
    scope = "all" if selection.system is None else f"system:{selection.system}"
    whole = _trends(scope, weights, fitted, load, influence=True)
    modes = sorted({t.mode for t in weights.counted if t.mode})
    systems = {} if selection.system else base_by_system(store, weights)
    return BaseWeightTrends(
        weights,
        whole,
        tuple(_trends(f"mode:{m}", weights, fitted, load, mode=m) for m in modes if len(modes) > 1),
        tuple(
            _trends(f"system:{system}", weights, weights.fitted(grams), load)
            for system, grams in systems.items()
        ),
        _targets(whole, weights, target_g),
    )


def _targets(
    whole: Trends, weights: TripWeights, target_g: float | None
) -> tuple[tuple[str, Target], ...]:
    fit, of_system = whole.line, weights.selection.system is not None
    if target_g is None or of_system or whole.headline != "lighter" or fit is None:
        return ()
    inside = [t for t in weights.counted if t.trip in set(fit.trips)]
    often = {m for m in fit.modes if sum(t.mode == m for t in inside) >= FEWEST_OF_MODE}
    first, last = inside[0].years, inside[-1].years
    return tuple(
        (mode, reach(course, target_g, first, last, len(inside)))
        for mode, course in fit.courses
        if not mode or mode in often
    )


def _trends(
    scope: str,
    weights: TripWeights,
    fitted: Sequence[Trip],
    load_g: float,
    *,
    mode: str | None = None,
    influence: bool = False,
) -> Trends:
    pairs = [
        (trip, weight)
        for trip, weight in zip(fitted, weights.counted, strict=True)
        if mode is None or trip.mode == mode
    ]
    trips = [trip for trip, _ in pairs]
    fit = like_for_like(trips, weights.measure, influence=influence)
    return Trends(
        scope,
        tuple(w.start_on for _, w in pairs),
        tuple(t.base_g for t in trips),
        tuple(sorted({t.mode for t in trips if t.mode})),
        load_g,
        *_as_carried(pairs, load_g),
        fit,
        plain_course(trips) if isinstance(fit, NoFit) else None,
    )


def _as_carried(
    pairs: Sequence[tuple[Trip, TripWeight]], load_g: float
) -> tuple[Slope | None, KendallTest | None, SeasonalKendall | None]:
    """Theil-Sen, Mann-Kendall and seasonal Kendall, each way of travelling with itself."""
    trips = [trip for trip, _ in pairs]
    if not trips or modes_unknown(trips) or too_short([t.years for t in trips]):
        return None, None, None
    inside = [(t, w, t.mode) for t, w in pairs if t.mode is not None]
    years, grams = [t.years for t, _, _ in inside], [t.base_g for t, _, _ in inside]
    groups = [mode for _, _, mode in inside]
    slope = theil_sen(years, grams, groups=groups)
    if slope is None or slope.high - slope.low > _WIDEST * load_g:
        return None, None, None
    seasons = [(f"{mode} {w.season_name}", int(w.season.split()[0])) for _, w, mode in inside]
    by_season = [(*season, g) for season, g in zip(seasons, grams, strict=True)]
    return slope, mann_kendall(years, grams, groups=groups), seasonal_kendall(by_season)
