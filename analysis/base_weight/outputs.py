"""The tables on base weight over time: trips, their trend, and where a change went.

They are reckoned rather than looked up. Each takes the trips asked for; the change also takes two
periods.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

import duckdb

from ..catalogue.frames import typed_frame
from ..catalogue.terms import TRIPS, Kind, Output, Term
from ..stats.rank_trend import Slope
from ..stats.trend_line import Estimate
from .like_for_like import LikeForLike, like_for_like
from .season_change import season_change
from .trends import Trends, base_weight_trends
from .trip_weights import TripsAsked, TripWeight, day_of, trip_weights

if TYPE_CHECKING:
    import pandas as pd

Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked: which trips, and between which periods; blank ones are chosen (`--from`)."""

    asked: TripsAsked = field(default_factory=TripsAsked)
    from_season: str = ""
    to_season: str = ""

    @classmethod
    def of(cls, from_season: str = "", to_season: str = "", **asked: str) -> "Question":
        """Read what a person typed: also since, until, mode and system. Raises QuestionError."""
        return cls(TripsAsked.of(**asked), from_season, to_season)


def _term(name: str, kind: Kind, unit: str, meaning: str, nullable: bool = False) -> Term:
    return Term(name, kind, unit, meaning, nullable)


def _of_trips(*names: str) -> tuple[Term, ...]:
    return tuple(t for n in names for t in TRIPS.terms if t.name == n)


_RATE = "g per year"

BASE_WEIGHT = Output("base_weight", "", "trip, plans among them", (
    *_of_trips("trip", "start_on", "season", "mode"),
    _term("base_g", "number", "g", "base weight at the start, of the system asked for; missing "
          "where nothing of it is carried or weighed", True),
    _term("cold_c", "number", "°C", "the low by which trips are compared: the lowest normal low of "
          "the trip's nights where that is known of all trips that count, else the lowest measured "
          "low", True),
    _term("cold_source", "text", "", "which of them: normal or measured, the same for all", True),
    _term("like_for_like_g", "number", "g", "what the fit at equal cold says of that day and mode "
          "at the median low of the trips that count; it is no data, and no trend may be computed "
          "from it", True),
    _term("left_out", "text", "", "why the trip does not count: plan, day_trip, nothing_carried or "
          "not_weighed; missing where it counts", True),
), 1)  # fmt: skip

BASE_WEIGHT_TREND = Output("base_weight_trend", "", "series and method", (
    _term("scope", "text", "", "all for the whole base weight, mode:MODE, or system:SYSTEM"),
    _term("method", "text", "", "theil_sen (as carried), seasonal_kendall (as carried, each season "
          "with itself) or like_for_like (at equal cold); all compare each way of travelling with "
          "itself"),
    _term("headline", "text", "", "what may be told of the scope, the same for all its methods: "
          "lighter or heavier (at equal cold, a year), step (one change of level explains the "
          "weights as well as a steady one, so neither rate nor date is told), no_trend (none can "
          "be told) or cannot_tell"),
    _term("reason", "text", "", "why it is cannot_tell: too_few (trips), no_lows, modes (not noted "
          "for more than one trip in five), short (the trips span under ten months), lengths "
          "(trips grew shorter or longer, and are too few to allow for it), alike (date, cold and "
          "way of travelling go together) or wide (a fall and a rise of a quarter of the load a "
          "year fit alike)", True),
    _term("slope_g_per_year", "number", _RATE, "change a year, below 0 for lighter; the method's "
          "own figure, also where the headline tells none; missing where there are too few trips, "
          "they span under ten months, or modes are not noted for more than one in five", True),
    _term("low", "number", _RATE, "lower end of its 90 % interval", True),
    _term("high", "number", _RATE, "upper end of its 90 % interval", True),
    _term("p_value", "number", "probability", "two-sided p of no change: Mann-Kendall, seasonal "
          "Kendall, or the mixture of the fit", True),
    _term("step_on", "date", "", "where the headline is step: start of the first trip at the new "
          "level (like_for_like only)", True),
    _term("step_g", "number", "g", "the change of level, below 0 for lighter", True),
    _term("step_low", "number", "g", "lower end of its 90 % interval", True),
    _term("step_high", "number", "g", "upper end of its 90 % interval", True),
    _term("kit_change_g", "number", "g", "what the kit itself changed from the first trip to the "
          "last at equal cold, whether steadily or not (like_for_like only)", True),
    _term("kit_change_low", "number", "g", "lower end of its 90 % interval", True),
    _term("kit_change_high", "number", "g", "upper end of its 90 % interval", True),
    _term("trips", "whole", "", "trips in it"),
), 2)  # fmt: skip

BASE_WEIGHT_CHANGE = Output(
    "base_weight_change",
    "",
    "item and cause in the change of mean base weight between two periods",
    (
        _term("from_season", "text", "", "the season or year before"),
        _term("to_season", "text", "", "the season or year after"),
        _term("item", "text", "", "short name of the item"),
        _term("system", "text", "", "what the item is for"),
        _term(
            "cause",
            "text",
            "",
            "added, dropped, swapped, more_often, less_often (share of trips), "
            "quantity (pieces), reweighed (weight of a piece) or carried_otherwise",
        ),
        _term(
            "delta_g",
            "number",
            "g",
            "its part, below 0 for lighter; all parts sum to the "
            "difference of the two means, rounded to the milligram",
        ),
    ),
    5,
)


def base_weight_rows(connection: duckdb.DuckDBPyConnection, question: Question) -> list[Row]:
    """The rows of ``BASE_WEIGHT``."""
    weights = trip_weights(connection, question.asked)
    fit = like_for_like(weights.fitted(), weights.measure, influence=False)
    fitted = {}
    if isinstance(fit, LikeForLike):
        fitted = dict(zip(fit.trips, fit.fitted_g, strict=True))
    rows = []
    for trip in sorted(weights.trips, key=lambda t: t.trip):
        cold = _cold(trip, weights.measure)
        rows.append(
            {
                "trip": trip.trip,
                "start_on": trip.start_on,
                "season": trip.season,
                "mode": trip.mode,
                "base_g": trip.base_g,
                "cold_c": cold,
                "cold_source": None if cold is None else weights.measure,
                "like_for_like_g": _rounded(fitted.get(trip.trip)),
                "left_out": trip.left_out,
            }
        )
    return rows


def _cold(trip: TripWeight, measure: str) -> float | None:
    return trip.normal_low_c if measure == "normal" else trip.measured_low_c


def base_weight_trend_rows(connection: duckdb.DuckDBPyConnection, question: Question) -> list[Row]:
    """The rows of ``BASE_WEIGHT_TREND``; of a system asked for, that scope alone."""
    found = base_weight_trends(connection, trip_weights(connection, question.asked))
    parts = () if question.asked.system else (*found.modes, *found.systems)
    rows = [row for s in (found.whole, *parts) for row in _trend(s)]
    return sorted(rows, key=lambda row: (row["scope"], row["method"]))


def _trend(series: Trends) -> list[Row]:
    test, seasonal = series.test, series.seasonal
    fit = series.fit if isinstance(series.fit, LikeForLike) else None
    return [
        _method(series, "theil_sen", series.slope, test.p if test else None, series.trips),
        _method(
            series,
            "seasonal_kendall",
            Estimate(seasonal.slope, seasonal.low, seasonal.high) if seasonal else None,
            seasonal.test.p if seasonal else None,
            series.trips,
        ),
        _method(
            series,
            "like_for_like",
            fit.slope if fit else None,
            fit.p_value if fit else None,
            len(fit.trips) if fit else series.trips,
        )
        | _step(series)
        | _kit(series),
    ]


def _method(
    series: Trends, method: str, of: Slope | Estimate | None, p: float | None, trips: int
) -> Row:
    return {
        "scope": series.scope,
        "method": method,
        "headline": series.headline,
        "reason": series.reason,
        "slope_g_per_year": _rounded(of.value if of else None),
        "low": _rounded(of.low if of else None),
        "high": _rounded(of.high if of else None),
        "p_value": p if of else None,
        "step_on": None,
        "step_g": None,
        "step_low": None,
        "step_high": None,
        "kit_change_g": None,
        "kit_change_low": None,
        "kit_change_high": None,
        "trips": trips,
    }


def _step(series: Trends) -> Row:
    step = series.fit.step if isinstance(series.fit, LikeForLike) else None
    if step is None:
        return {}
    return {
        "step_on": day_of(step.first),
        "step_g": _rounded(step.change.value),
        "step_low": _rounded(step.change.low),
        "step_high": _rounded(step.change.high),
    }


def _kit(series: Trends) -> Row:
    kit = series.fit.kit if isinstance(series.fit, LikeForLike) else None
    if kit is None:
        return {}
    return {
        "kit_change_g": _rounded(kit.change.value),
        "kit_change_low": _rounded(kit.change.low),
        "kit_change_high": _rounded(kit.change.high),
    }


def _rounded(grams: float | None) -> float | None:
    """To the milligram, so that the last digits of a fit do not differ from machine to machine."""
    return None if grams is None else round(grams, 3) + 0.0


def base_weight_change_rows(connection: duckdb.DuckDBPyConnection, question: Question) -> list[Row]:
    """The rows of ``BASE_WEIGHT_CHANGE``; none where no two seasons of one name have trips."""
    weights = trip_weights(connection, question.asked)
    change = season_change(connection, weights, question.from_season, question.to_season)
    if change is None:
        return []
    rows = [
        {
            "from_season": change.before.name,
            "to_season": change.after.name,
            "item": part.item,
            "system": change.gear[part.item][1],
            "cause": part.cause,
            "delta_g": mg / 1000,
        }
        for part, mg in zip(change.parts, change.whole_mg(), strict=True)
        if mg
    ]
    return sorted(rows, key=lambda row: (row["item"], row["cause"]))


@dataclass(frozen=True, slots=True)
class BaseWeightTable:
    """One table of the registry: what it holds, and how its rows are reckoned."""

    output: Output
    rows: Callable[[duckdb.DuckDBPyConnection, Question], list[Row]]

    def frame(self, connection: duckdb.DuckDBPyConnection, question: Question) -> "pd.DataFrame":
        """The rows as a data frame of the types that `frames` tells of."""
        return typed_frame(self.rows(connection, question), self.output.terms)

    def relation(
        self, connection: duckdb.DuckDBPyConnection, question: Question
    ) -> duckdb.DuckDBPyRelation:
        """The rows in order as a relation, for writers that need no data frame."""
        return _relation(connection, self.rows(connection, question), self.output)


def _relation(
    connection: duckdb.DuckDBPyConnection, rows: Iterable[Mapping[str, Any]], output: Output
) -> duckdb.DuckDBPyRelation:
    import pyarrow as pa  # type: ignore[import-untyped]

    types = {
        "text": pa.string(),
        "whole": pa.int64(),
        "number": pa.float64(),
        "flag": pa.bool_(),
        "date": pa.date32(),
        "moment": pa.timestamp("us"),
    }
    kept = list(rows)
    columns = {t.name: pa.array([row[t.name] for row in kept], types[t.kind]) for t in output.terms}
    return connection.from_arrow(pa.table(columns))


TABLES: Mapping[str, BaseWeightTable] = MappingProxyType(
    {
        "base_weight": BaseWeightTable(BASE_WEIGHT, base_weight_rows),
        "base_weight_trend": BaseWeightTable(BASE_WEIGHT_TREND, base_weight_trend_rows),
        "base_weight_change": BaseWeightTable(BASE_WEIGHT_CHANGE, base_weight_change_rows),
    }
)
"""The tables by the name under which they are asked for."""
