"""The tables on base weight over time: trips, their trend, and where a change went."""

from typing import TYPE_CHECKING, Any

from ..catalogue.entry import Entry, Row, Rows, fields_of, interval_columns

if TYPE_CHECKING:
    from ..stats.estimate import Estimate
    from ..store.rows import Store
    from .like_for_like import LikeForLike
    from .trends import Trends
    from .trip_weights import TripWeights

_MG = 3
"""Decimals of a fit's grams: its last digits differ from machine to machine."""


def base_weight_rows(store: "Store", **trips: Any) -> Rows:
    """A row a trip of those asked for, by name."""
    from .like_for_like import LikeForLike, like_for_like

    weights = _weights(store, **trips)
    fit = like_for_like(weights.fitted(), weights.measure, influence=False)
    fitted = {}
    if isinstance(fit, LikeForLike):
        fitted = dict(zip(fit.trips, fit.fitted_g, strict=True))
    rows = []
    for trip in sorted(weights.trips, key=lambda t: t.trip):
        cold = trip.low_c(weights.measure)
        rows.append(
            {
                **fields_of(trip, "trip", "start_on", "season", "mode", "base_g", "left_out"),
                "cold_c": cold,
                "cold_source": None if cold is None else weights.measure,
                "like_for_like_g": _rounded(fitted.get(trip.trip)),
            }
        )
    return rows


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
    from .like_for_like import LikeForLike

    test, seasonal = series.test, series.seasonal
    fit = series.fit if isinstance(series.fit, LikeForLike) else None
    return [
        _method(series, "theil_sen", series.slope, test.p if test else None, series.trips),
        _method(
            series,
            "seasonal_kendall",
            seasonal.slope if seasonal else None,
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
        | _step_and_kit(fit),
    ]


def _method(
    series: "Trends", method: str, of: "Estimate | None", p: float | None, trips: int
) -> Row:
    return {
        **fields_of(series, "scope", "headline", "reason"),
        "method": method,
        "slope_g_per_year": _rounded(of.value if of else None),
        "low": _rounded(of.low if of else None),
        "high": _rounded(of.high if of else None),
        "p_value": p if of else None,
        "trips": trips,
    }


def _step_and_kit(fit: "LikeForLike | None") -> Row:
    from .trip_weights import day_of

    row: dict[str, Any] = {}
    if fit is not None and fit.step is not None:
        row["step_on"] = day_of(fit.step.first)
        row |= _change("step", fit.step.change)
    if fit is not None and fit.kit is not None:
        row |= _change("kit_change", fit.kit.change)
    return row


def _change(name: str, change: "Estimate") -> Row:
    columns = interval_columns(f"{name}_g", change, name)
    return {column: _rounded(grams) for column, grams in columns.items()}


def _rounded(grams: float | None) -> float | None:
    return None if grams is None else round(grams, _MG) + 0.0


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
