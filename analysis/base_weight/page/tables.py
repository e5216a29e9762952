"""The tables of the page on base weight over time. Those under a picture are folded."""

from collections.abc import Mapping, Sequence
from datetime import date
from statistics import mean, median
from typing import Any

from ...display import tables, words
from ...display.tables import Column, Table
from ...display.words import MONTHS, Display, Scale, large_mass, number, small_mass
from ...stats.bennet_split import CAUSES
from ...stats.estimate import Estimate
from ..like_for_like import LikeForLike
from ..season_change import SeasonChange
from ..trends import BaseWeightTrends, Trends
from ..trip_weights import TripWeight, day_of
from .words import LEFT_OUT, month, name, period

CAUSE = {
    "added": "added",
    "dropped": "dropped",
    "swapped": "swapped",
    "more_often": "more often",
    "less_often": "less often",
    "quantity": "number of pieces",
    "reweighed": "reweighed",
    "carried_otherwise": "carried otherwise",
}


def trips(trends: BaseWeightTrends, display: Display) -> Table:
    """Every trip, the latest first, with what it would have weighed at the median low."""
    fit = trends.fit
    fitted = dict(zip(fit.trips, fit.fitted_g, strict=True)) if fit else {}
    scale, low = large_mass(display), words.temperature_scale(display)
    measure = "normal" if fit and fit.measure == "normal" else "measured"
    rows = [
        {
            "title": t.title,
            "start_on": t.start_on,
            "season": t.season_name,
            "mode": t.mode,
            "base_g": t.base_g,
            "fitted_g": fitted.get(t.trip),
            "low_c": t.normal_low_c if measure == "normal" else t.measured_low_c,
            "counted": LEFT_OUT[t.left_out] if t.left_out else "yes",
        }
        for t in reversed(trends.weights.trips)
    ]
    columns = [
        tables.text("title", "Trip"),
        Column("start_on", "Start", write=_short),
        tables.words("season", "Season"),
        tables.words("mode", "How"),
        tables.measured("base_g", "Base weight", scale),
        tables.measured("low_c", f"{measure.capitalize()} low", low),
        tables.measured("fitted_g", "By the fit at equal cold", scale),
        tables.text("counted", "Counted"),
    ]
    shown = [c for c in columns if any(row[c.key] is not None for row in rows)]
    return Table.of(shown, rows, "trip", caption="Trip by trip", fold_after=0)


def _short(day: date) -> str:
    """A day that keeps on one line: 7 Nov 2026."""
    return f"{day.day}\u00a0{MONTHS[day.month - 1][:3]}\u00a0{day.year}"


def seasons(kept: Sequence[TripWeight], display: Display) -> Table:
    """Season by season, and year by year, what the trips weighed."""
    by_season: dict[str, list[TripWeight]] = {}
    for trip in kept:
        by_season.setdefault(period(trip.season), []).append(trip)
    for year in sorted({t.start_on.year for t in kept}):
        by_season[f"{year} in all"] = [t for t in kept if t.start_on.year == year]
    scale, low = large_mass(display), words.temperature_scale(display)
    rows = [
        {
            "period": each,
            "trips": len(found),
            "mean_g": mean(t.base_g or 0.0 for t in found),
            "median_g": median(t.base_g or 0.0 for t in found),
            "low_c": _mean([t.measured_low_c for t in found]),
        }
        for each, found in by_season.items()
    ]
    columns = (
        tables.text("period", "Season or year"),
        tables.whole("trips", "Trips"),
        tables.measured("mean_g", "Mean base weight", scale),
        tables.measured("median_g", "Median", scale),
        tables.measured("low_c", "Lowest low, mean", low),
    )
    return Table.of(columns, rows, "period", caption="Season by season, year by year", fold_after=0)


def _mean(values: Sequence[float | None]) -> float | None:
    known = [v for v in values if v is not None]
    return mean(known) if known else None


def left_out(kept: Sequence[TripWeight], display: Display) -> Table:
    """The trips that do not count, and why."""
    rows = [
        {
            "title": t.title,
            "start_on": t.start_on,
            "base_g": t.base_g,
            "why": LEFT_OUT[t.left_out or ""] + (f": {_some(t.unweighed)}" if t.unweighed else ""),
        }
        for t in kept
        if t.left_out
    ]
    columns = (
        tables.text("title", "Trip"),
        Column("start_on", "Start", write=_short),
        tables.measured("base_g", "Base weight", large_mass(display)),
        tables.text("why", "Why"),
    )
    return Table.of(columns, rows, "trip")


def _some(names: Sequence[str]) -> str:
    return words.listing(names, at_most=4)


def trends_of(series: Sequence[Trends], noun: str, display: Display) -> Table:
    """One row a series: what may be told of it at equal cold, a rate or a step, with its ends."""
    scale = small_mass(display)
    rows = [
        {
            "name": name(s),
            "trips": s.trips,
            "headline": HEADLINE[s.headline],
            **_cells("fit", _rate(s), scale),
            **_cells("step", _step(s), scale),
            "since": _since(s),
        }
        for s in series
    ]
    columns = (
        tables.text("name", noun.capitalize()),
        tables.whole("trips", "Trips"),
        tables.text("headline", "Like for like"),
        *_rates("fit", "A year", scale),
        *_rates("step", "One step", scale),
        tables.text("since", "Since"),
    )
    many = noun.replace("way", "ways") if noun.startswith("way") else ""
    return Table.of(columns, rows, noun, nouns=many, caption=f"By {noun}", fold_after=0)


HEADLINE = {
    "lighter": "lighter",
    "heavier": "heavier",
    "step": "one step",
    "no_trend": "no trend can be told",
    "cannot_tell": "cannot be told",
}


def _rate(series: Trends) -> Estimate | None:
    told = isinstance(series.fit, LikeForLike) and series.headline in ("lighter", "heavier")
    return series.fit.slope if told and isinstance(series.fit, LikeForLike) else None


def _step(series: Trends) -> Estimate | None:
    step = series.fit.step if isinstance(series.fit, LikeForLike) else None
    return None if step is None else step.change


def _since(series: Trends) -> str:
    step = series.fit.step if isinstance(series.fit, LikeForLike) else None
    when = None if step is None else day_of(step.first)
    return "" if when is None else month(when)


def _cells(key: str, of: Estimate | None, scale: Scale) -> dict[str, Any]:
    if of is None:
        return {key: None, f"{key}_ends": None}
    low, high = (scale.number(v, signed=True) for v in (of.low, of.high))
    if low == high:
        return {key: scale.number(of.value, signed=True), f"{key}_ends": None}
    return {key: scale.number(of.value, signed=True), f"{key}_ends": f"{low} to {high}"}


def _rates(key: str, header: str, scale: Scale) -> tuple[Column, Column]:
    return (
        Column(key, header, scale.unit, "right"),
        Column(f"{key}_ends", "90\u202f%", scale.unit, "right"),
    )


def estimators(whole: Trends, display: Display) -> Table:
    """Every estimator of the whole trend beside each other."""
    scale, test, seasonal = small_mass(display), whole.test, whole.seasonal
    rows: list[Mapping[str, Any]] = []
    if whole.slope is not None:
        how = f"Mann–Kendall, {test.method}" if test else ""
        rows.append(
            _estimator(
                "Theil–Sen, as carried",
                whole.slope,
                whole.slope.n,
                test.p if test else None,
                how,
                scale,
            )
        )
    if seasonal is not None:
        rows.append(
            _estimator(
                "Seasonal Kendall, as carried",
                seasonal.slope,
                seasonal.test.n,
                seasonal.test.p,
                f"{seasonal.test.n} medians of {words.count(seasonal.seasons, 'season')} of one "
                f"way of travelling each, {seasonal.test.method}",
                scale,
            )
        )
    if isinstance(whole.fit, LikeForLike):
        fit = whole.fit
        how = f"chance that the kit drifts {words.percent(fit.walk)}, allowed for"
        rows.append(
            _estimator(
                "Line at equal cold, like for like",
                fit.slope,
                len(fit.trips),
                fit.p_value,
                how,
                scale,
            )
        )
        if fit.other is not None:
            other = "measured" if fit.measure == "normal" else "normal"
            rows.append(
                _estimator(
                    f"The same with {other} lows", fit.other, len(fit.trips), None, "", scale
                )
            )
    columns = (
        tables.text("name", "Estimator"),
        *_rates("of", "A year", scale),
        tables.whole("n", "Values"),
        tables.text("p", "p of no trend"),
        tables.text("how", "How"),
    )
    return Table.of(columns, rows, "estimator", caption="All estimators")


def _estimator(
    name: str, of: Estimate, n: int | None, p: float | None, how: str, scale: Scale
) -> dict[str, Any]:
    return {"name": name, **_cells("of", of, scale), "n": n, "how": how, "p": p_text(p)}


def p_text(p: float | None) -> str:
    """Return a p-value in at most three decimals, "under .001" below that."""
    if p is None:
        return ""
    return "under 0.001" if p < 0.001 else number(p, 3 if p < 0.1 else 2)


def parts(change: SeasonChange, shown: Sequence[float], display: Display) -> Table:
    """Every part of the change, by item and cause; shown are the steps as displayed."""
    scale = small_mass(display)
    rows = [
        {
            "name": change.gear[part.item][0],
            "system": change.gear[part.item][1],
            "cause": CAUSE[part.cause],
            "step": step,
        }
        for part, step in zip(change.parts, shown, strict=True)
    ]
    rows.sort(key=lambda row: (row["step"], row["name"]))
    columns = (
        tables.text("name", "Thing"),
        tables.words("system", "System"),
        tables.text("cause", "How"),
        _signed("step", scale),
    )
    return Table.of(columns, rows, "part", caption="Part by part", fold_after=0)


def causes(change: SeasonChange, shown: Sequence[float], display: Display) -> Table:
    """What each cause came to."""
    found: dict[str, list[float]] = {}
    for part, step in zip(change.parts, shown, strict=True):
        found.setdefault(part.cause, []).append(step)
    rows = [
        {
            "cause": CAUSE[cause].capitalize(),
            "step": round(sum(found[cause]), 6),
            "parts": len(found[cause]),
        }
        for cause in CAUSES
        if cause in found
    ]
    columns = (
        tables.text("cause", "How"),
        tables.whole("parts", "Things"),
        _signed("step", small_mass(display)),
    )
    return Table.of(columns, rows, "cause")


def _signed(key: str, scale: Scale) -> Column:
    return Column(
        key, "Change", scale.unit, "right", lambda step: number(step, scale.decimals, signed=True)
    )
