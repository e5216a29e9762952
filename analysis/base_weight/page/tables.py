"""The tables of the page on base weight over time. Those under a picture are folded."""

from collections.abc import Iterable, Sequence
from datetime import date
from functools import partial
from statistics import mean, median
from typing import Any

from ...display import tables, words
from ...display.tables import Column, Table
from ...display.words import Display, Scale, large_mass, number, small_mass
from ...stats.estimate import Estimate
from ...store.scope import way_label
from ..season_change import SeasonChange
from ..trends import BaseWeightTrends, Trends
from ..trip_design import Measure
from ..trip_weights import TripWeight
from .words import WHY_LEFT_OUT, at, season_words

CAUSE = {
    "added": "added",
    "dropped": "left at home",
    "swapped": "swapped",
    "more_often": "more often",
    "less_often": "less often",
    "quantity": "number of pieces",
    "reweighed": "reweighed",
    "carried_otherwise": "carried otherwise",
}
_LOW_WORDS: dict[Measure, str] = {"normal": "Usual low", "measured": "Measured low"}
_HEADLINE = {
    "lighter": "lighter",
    "heavier": "heavier",
    "step": "one step",
    "no_trend": "no trend shows",
    "cannot_tell": "too early to say",
}


def _start(day: date) -> str:
    """A day that keeps on one line: 7 Nov 2026."""
    return f"{day.day}\u00a0{words.MONTHS[day.month - 1][:3]}\u00a0{day.year}"


_TITLE = tables.text("title", "Trip")
_START = Column("start_on", "Start", write=_start)


def trips_table(trends: BaseWeightTrends, display: Display) -> Table:
    """Every trip, the latest first, with what it would have weighed at the median low."""
    fit = trends.fit
    fitted = dict(zip(fit.trips, fit.fitted_g, strict=True)) if fit else {}
    scale = large_mass(display)
    measure: Measure = fit.measure if fit else "measured"
    low = words.temperature_scale(display)
    columns = (
        _TITLE,
        _START,
        tables.words("season", "Season", lambda t: t.season_name),
        tables.Column("mode", "How", write=way_label),
        tables.measured("base_g", "Base weight", scale),
        tables.measured("low_c", _LOW_WORDS[measure], low, of=lambda t: t.low_c(measure)),
        tables.measured(
            "fitted_g", "By the fit at equal cold", scale, of=lambda t: fitted.get(t.trip)
        ),
        tables.text("counted", "Counted", lambda t: WHY_LEFT_OUT.get(t.left_out, "yes")),
    )
    rows = reversed(trends.weights.trips)
    return Table.of(columns, rows, "trip", caption="Trip by trip", fold_after=0).without_blank()


def seasons_table(counted: Sequence[TripWeight], display: Display) -> Table:
    """Season by season, and year by year, what the trips weighed."""
    by_season: dict[str, list[TripWeight]] = {}
    for trip in counted:
        by_season.setdefault(season_words(trip.season), []).append(trip)
    for year in sorted({t.start_on.year for t in counted}):
        by_season[f"{year} in all"] = [t for t in counted if t.start_on.year == year]
    scale, low = large_mass(display), words.temperature_scale(display)
    columns = (
        tables.text("period", "Season or year", lambda row: row[0]),
        tables.whole("trips", "Trips", lambda row: len(row[1])),
        tables.measured("mean_g", "Mean base weight", scale, of=lambda row: mean(_base(row[1]))),
        tables.measured("median_g", "Median", scale, of=lambda row: median(_base(row[1]))),
        tables.measured("low_c", "Lowest low, mean", low, of=lambda row: _mean_low_c(row[1])),
    )
    caption = "Season by season, year by year"
    return Table.of(columns, by_season.items(), "period", caption=caption, fold_after=0)


def _base(trips: Iterable[TripWeight]) -> list[float]:
    return [t.base_g or 0.0 for t in trips]


def _mean_low_c(trips: Iterable[TripWeight]) -> float | None:
    lows = [t.measured_low_c for t in trips if t.measured_low_c is not None]
    return mean(lows) if lows else None


def left_out_table(trips: Sequence[TripWeight], display: Display) -> Table:
    """The trips that do not count, and why."""

    def why(trip: TripWeight) -> str:
        names = f": {words.listing(trip.unweighed, at_most=4)}" if trip.unweighed else ""
        return WHY_LEFT_OUT[trip.left_out or ""] + names

    base = tables.measured("base_g", "Base weight", large_mass(display))
    columns = (_TITLE, _START, base, tables.text("why", "Why", why))
    return Table.of(columns, [t for t in trips if t.left_out], "trip")


def trends_table(series: Sequence[Trends], noun: str, display: Display) -> Table:
    """One row a series: what may be told of it at equal cold, a rate or a step, with its ends."""
    scale = small_mass(display)

    def name(of: Trends) -> str:
        return words.label(of.name) if noun == "system" else way_label(of.name)

    columns = (
        tables.text("name", noun.capitalize(), name),
        tables.whole("trips", "Trips"),
        tables.text("headline", "Like for like", lambda s: _HEADLINE[s.headline]),
        *_estimate_columns("fit", "Per year", scale, lambda s: s.line.slope if s.steady else None),
        *_estimate_columns("step", "One step", scale, lambda s: s.step and s.step.change),
        tables.text("since", "Since", lambda s: s.step and at(s.step)),
    )
    many = noun.replace("way", "ways") if noun.startswith("way") else ""
    return Table.of(columns, series, noun, nouns=many, caption=f"By {noun}", fold_after=len(series))


def _estimate_columns(key: str, header: str, scale: Scale, of: Any) -> tuple[Column, Column]:
    """An estimate and its ends, signed; ``of`` reads the estimate from a record."""

    def value(record: Any) -> str | None:
        estimate = of(record)
        return None if estimate is None else scale.number(estimate.value, signed=True)

    def ends(record: Any) -> str | None:
        estimate = of(record)
        if estimate is None:
            return None
        low, high = (scale.number(end, signed=True) for end in (estimate.low, estimate.high))
        return None if low == high else f"{low} to {high}"

    return (
        tables.right(key, header, scale.unit, value),
        tables.right(f"{key}_ends", "90\u202f%", scale.unit, ends),
    )


def estimators_table(whole: Trends, display: Display) -> Table:
    """Every estimator of the whole trend beside each other."""
    test, seasonal, fit = whole.test, whole.seasonal, whole.line
    rows: list[tuple[str, Estimate, int | None, float | None, str]] = []
    if whole.slope is not None and test is not None:
        how = f"Mann–Kendall, {test.method}"
        rows.append(("Theil–Sen, as carried", whole.slope, whole.slope.n, test.p, how))
    if seasonal is not None:
        test, seasons = seasonal.test, words.count(seasonal.seasons, "season")
        how = f"{test.n} medians of {seasons} of one way of travelling each, {test.method}"
        rows.append(("Seasonal Kendall, as carried", seasonal.slope, test.n, test.p, how))
    if fit is not None:
        how = f"chance that the kit drifts {words.percent(fit.course.line.walk)}, allowed for"
        n = len(fit.trips)
        rows.append(("Line at equal cold, like for like", fit.slope, n, fit.p_value, how))
        if fit.other is not None:
            other = "measured" if fit.measure == "normal" else "usual"
            rows.append((f"The same with {other} lows", fit.other, n, None, ""))
    columns = (
        tables.text("name", "Estimator", lambda row: row[0]),
        *_estimate_columns("of", "Per year", small_mass(display), lambda row: row[1]),
        tables.whole("n", "Values", lambda row: row[2]),
        tables.text("p", "p of no trend", lambda row: p_text(row[3])),
        tables.text("how", "How", lambda row: row[4]),
    )
    return Table.of(columns, rows, "estimator", caption="All estimators")


def p_text(p: float | None) -> str:
    """Return a p-value in at most three decimals, "under .001" below that."""
    if p is None:
        return ""
    return "under 0.001" if p < 0.001 else number(p, 3 if p < 0.1 else 2)


def change_tables(
    change: SeasonChange, shown: Sequence[float], display: Display
) -> tuple[Table, Table]:
    """What each cause came to, and every part by item and cause; shown: the steps as displayed."""
    parts = [
        (*change.gear[part.item], part.cause, step)
        for part, step in zip(change.parts, shown, strict=True)
    ]
    parts.sort(key=lambda row: (row[3], row[0]))
    steps = {cause: [step for *_, of, step in parts if of == cause] for cause in CAUSE}
    causes = [(cause, len(of), round(sum(of), 6)) for cause, of in steps.items() if of]
    scale = small_mass(display)
    write = partial(number, decimals=scale.decimals, signed=True)
    step = Column("step", "Change", scale.unit, "right", write, of=lambda row: row[-1])
    by_cause = (
        tables.text("cause", "How", lambda row: CAUSE[row[0]].capitalize()),
        tables.whole("parts", "Things", lambda row: row[1]),
        step,
    )
    by_part = (
        tables.text("name", "Thing", lambda row: row[0]),
        tables.words("system", "System", lambda row: row[1]),
        tables.text("cause", "How", lambda row: CAUSE[row[2]]),
        step,
    )
    return (
        Table.of(by_cause, causes, "cause"),
        Table.of(by_part, parts, "part", caption="Part by part", fold_after=len(parts)),
    )
