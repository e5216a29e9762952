"""The tables on base weight over time: trips, their trend, and where a change went."""

from typing import TYPE_CHECKING, Any

from ..catalogue.entry import Entry, Row, Rows, fields_of, interval_columns

if TYPE_CHECKING:
    from ..store.rows import Store
    from .trends import Trends
    from .trip_weights import TripWeights

_MG = 3
"""Decimals of a fit's grams: its last digits differ from machine to machine."""


def base_weight_rows(store: "Store", **trips: Any) -> Rows:
    """A row a trip of those asked for, by name."""
    from .like_for_like import LikeForLike, like_for_like

    weights = _weights(store, **trips)
    fit = like_for_like(weights.fitted(), weights.measure, influence=False)
    fitted = dict(zip(fit.trips, fit.fitted_g, strict=True)) if isinstance(fit, LikeForLike) else {}
    return [
        {
            **fields_of(trip, "trip", "start_on", "season", "mode", "base_g", "left_out"),
            "cold_c": (cold := trip.low_c(weights.measure)),
            "cold_source": None if cold is None else weights.measure,
            **_to_the_mg({"like_for_like_g": fitted.get(trip.trip)}),
        }
        for trip in sorted(weights.trips, key=lambda t: t.trip)
    ]


def _weights(store: "Store", system: str | None = None, **scope: Any) -> "TripWeights":
    from ..store.scope import Scope
    from .trip_weights import Selection, trip_weights

    return trip_weights(store, Selection(Scope(**scope), system))


def base_weight_trend_rows(store: "Store", system: str | None = None, **trips: Any) -> Rows:
    """A row a series and method, sorted by both; of a system asked for, that scope alone."""
    from .trends import base_weight_trends

    trends = base_weight_trends(store, _weights(store, system, **trips))
    parts = () if system else (*trends.modes, *trends.systems)
    rows = [row for series in (trends.whole, *parts) for row in _trend(series)]
    return sorted(rows, key=lambda row: (row["scope"], row["method"]))


def _trend(series: "Trends") -> Rows:
    from .trends import METHODS
    from .trip_weights import day_of

    about, fit, step = fields_of(series, "scope", "headline", "reason"), series.line, series.step
    about |= dict.fromkeys(("slope_g_per_year", "low", "high", "p_value"))
    rows: dict[str, Row] = {m: {**about, "method": m, "trips": series.trips} for m in METHODS}
    for method, (slope, p_value) in series.rates.items():
        ends = {"slope_g_per_year": slope.value, "low": slope.low, "high": slope.high}
        rows[method] |= {**_to_the_mg(ends), "p_value": p_value}
    at_equal_cold = rows["like_for_like"]
    if fit is not None:
        at_equal_cold["trips"] = len(fit.trips)
    if step is not None:
        at_equal_cold["step_on"] = day_of(step.first)
        at_equal_cold |= _to_the_mg(interval_columns("step_g", step.change, "step"))
    if fit is not None and fit.kit is not None:
        change = interval_columns("kit_change_g", fit.kit.change, "kit_change")
        at_equal_cold |= _to_the_mg(change)
    return list(rows.values())


def _to_the_mg(grams: Row) -> Row:
    return {column: None if g is None else round(g, _MG) + 0.0 for column, g in grams.items()}


def base_weight_change_rows(
    store: "Store", from_season: str = "", to_season: str = "", **trips: Any
) -> Rows:
    """A row an item and cause; none where no two seasons of one name have trips."""
    from .season_change import season_change

    change = season_change(store, _weights(store, **trips), from_season, to_season)
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


_TRIPS = ("since", "until", "mode", "system")
ENTRIES = (
    Entry(
        "base_weight",
        room="base_weight",
        grain="trip, plans among them",
        sorted_by=1,
        rows=base_weight_rows,
        options=_TRIPS,
    ),
    Entry(
        "base_weight_trend",
        room="base_weight",
        grain="series and method",
        sorted_by=2,
        rows=base_weight_trend_rows,
        options=_TRIPS,
    ),
    Entry(
        "base_weight_change",
        room="base_weight",
        grain="item and cause in the change of mean base weight between two periods",
        sorted_by=5,
        rows=base_weight_change_rows,
        options=(*_TRIPS, "from_season", "to_season"),
    ),
)
