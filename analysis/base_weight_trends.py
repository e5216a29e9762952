"""How base weight moves from trip to trip: of all, by way of travelling, by system."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import duckdb
from tarebook.analysis.base_weight import TripWeights, by_system
from tarebook.analysis.like_for_like import (
    Course,
    LikeForLike,
    NoFit,
    Trip,
    like_for_like,
    plain_course,
)
from tarebook.analysis.target import Target, reach
from tarebook.analysis.trend import (
    KendallTest,
    SeasonalKendall,
    Slope,
    mann_kendall,
    seasonal_kendall,
    theil_sen,
)


@dataclass(frozen=True, slots=True)
class Trends:
    """One series and its trends, in g and g per year; None where there are too few trips.

    ``scope`` is all, mode:MODE or system:SYSTEM; ``grams`` its weights in the order of ``days``.
    """

    scope: str
    days: tuple[date, ...]
    seasons: tuple[str, ...]
    grams: tuple[float, ...]
    slope: Slope | None
    test: KendallTest | None
    seasonal: SeasonalKendall | None
    fit: LikeForLike | NoFit

    @property
    def name(self) -> str:
        """The mode or system; all for the whole base weight."""
        return self.scope.rpartition(":")[2]

    @property
    def trips(self) -> int:
        """How many trips."""
        return len(self.grams)


@dataclass(frozen=True, slots=True)
class BaseWeightTrends:
    """The trends of everything that was asked for.

    ``modes`` is empty where there is one way of travelling only, ``systems`` where one system was
    asked for. ``course`` is the line by which a target is met: at equal cold where that is known.
    """

    weights: TripWeights
    whole: Trends
    modes: tuple[Trends, ...]
    systems: tuple[Trends, ...]
    course: Course | None
    target: Target | None

    @property
    def fit(self) -> LikeForLike | None:
        """The trend at equal cold, None where there is none."""
        return self.whole.fit if isinstance(self.whole.fit, LikeForLike) else None


def base_weight_trends(
    connection: duckdb.DuckDBPyConnection, weights: TripWeights, target_g: float | None = None
) -> BaseWeightTrends:
    """Work out every trend; ``target_g`` is the base weight to be reached, if any is set."""
    asked, kept = weights.asked, weights.kept
    fitted = weights.fitted()
    scope = "all" if asked.system is None else f"system:{asked.system}"
    whole = _trends(scope, weights, fitted, influence=True)
    modes = sorted({t.mode for t in kept if t.mode})
    systems = {} if asked.system else by_system(connection, weights)
    course = whole.fit.course if isinstance(whole.fit, LikeForLike) else plain_course(fitted)
    reached = None
    if target_g is not None and course is not None and asked.system is None:
        reached = reach(course, target_g, kept[-1].years)
    return BaseWeightTrends(
        weights,
        whole,
        tuple(_trends(f"mode:{m}", weights, fitted, mode=m) for m in modes if len(modes) > 1),
        tuple(
            _trends(f"system:{system}", weights, weights.fitted(grams))
            for system, grams in systems.items()
        ),
        course,
        reached,
    )


def _trends(
    scope: str,
    weights: TripWeights,
    fitted: Sequence[Trip],
    *,
    mode: str | None = None,
    influence: bool = False,
) -> Trends:
    pairs = [
        (trip, weight)
        for trip, weight in zip(fitted, weights.kept, strict=True)
        if mode is None or trip.mode == mode
    ]
    trips = [trip for trip, _ in pairs]
    years, grams = [t.years for t in trips], [t.base_g for t in trips]
    seasons = [(w.season_name, w.season_year) for _, w in pairs]
    return Trends(
        scope,
        tuple(w.start_on for _, w in pairs),
        tuple(name for name, _ in seasons),
        tuple(grams),
        theil_sen(years, grams),
        mann_kendall(years, grams),
        seasonal_kendall([(*season, g) for season, g in zip(seasons, grams, strict=True)]),
        like_for_like(trips, weights.measure, influence=influence),
    )
