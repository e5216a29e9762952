"""The sections on the parts of base weight: system by system, and by way of travelling."""

from typing import TYPE_CHECKING

from ...display import words
from ...display.figure import Figure
from ...display.sections import Section
from ...display.words import Display, count, label, small_mass
from ...stats.rank_trend import FEWEST_VALUES, Slope
from ...store.scope import way_label
from ..trends import BaseWeightTrends, Trends
from . import tables
from . import words as trend_words
from .charts import Band, TripMark
from .panels import IntervalRow, Panel, intervals, small_multiples
from .sections import curve

if TYPE_CHECKING:
    from .page import TrendPage

_MOST_PANELS = 9


def systems_section(page: "TrendPage") -> Section:
    """Small pictures of the systems that moved most, and a table of all."""
    trends, display = page.trends, page.display
    heading = "System by system"
    series = [s for s in trends.systems if s.trips >= FEWEST_VALUES]
    if not series:
        return Section.empty(heading, "too few trips to compare systems")
    first = trend_words.systems_words(series, display)
    answer = [first or "No system shows a clear change."]
    still = [s for s in series if max(s.grams) - min(s.grams) < 1]
    if still:
        answer.append(f"{words.listing([label(s.name) for s in still])} never changed.")
    moving = sorted((s for s in series if s not in still), key=_stir, reverse=True)
    drawn = [_panel(s, trends, display) for s in moving[:_MOST_PANELS]]
    years = range(series[0].days[0].year, series[0].days[-1].year + 1)
    figure = Figure(
        "systems",
        " ".join(answer),
        lambda layout: small_multiples(drawn, small_mass(display), list(years), layout),
        f"Weight in {small_mass(display).unit} by trip, the systems that vary most; every picture "
        "spans the same weight. A line with its very likely band stands where a trend at equal "
        "cold shows. Marks as above.",
    )
    return Section(
        heading,
        tuple(answer),
        figure if drawn else None,
        tables.trends_table(series, "system", display),
        (
            "At equal cold, from the first trip to the last or in one step, where the very likely "
            "range excludes zero. Of systems that never change, one in ten may look as if it "
            "did, by chance.",
            "The systems' trends need not add up to the total.",
        ),
        fold=f"Every system: {count(len(series), 'system')}",
    )


def _stir(series: Trends) -> float:
    change = trend_words.moved(series)
    return (abs(change[0]) if change else 0.0) + (max(series.grams) - min(series.grams)) / 1e3


def _panel(series: Trends, trends: BaseWeightTrends, display: Display) -> Panel:
    marks = [
        TripMark(t.start_on, grams, t.season_name, t.title)
        for t, grams in zip(trends.weights.counted, series.grams, strict=True)
    ]
    below, scale = "", small_mass(display)
    band: tuple[Band, ...] = ()
    if series.step is not None:
        when = trend_words.at(series.step, " in ")
        below = f"{scale.text(series.step.change.value, signed=True)}{when}"
    elif series.line is not None and series.steady:
        below = f"{scale.text(series.line.slope.value, signed=True)} per year"
        # The line of one way of travelling is not that of all.
        band = () if series.line.modes else curve(series.line.course, trends.weights.counted)
    return Panel(label(series.name), below, tuple(marks), band)


def modes_section(page: "TrendPage") -> Section:
    """The rates of each way of travelling beside each other."""
    trends, display = page.trends, page.display
    heading = "On foot, by bike, by boat"
    if len(trends.modes) < 2:
        blank = any(trip.mode is None for trip in trends.weights.counted)
        only = "there is one way of travelling only"
        return Section.empty(heading, "trips do not say how you travelled" if blank else only)
    sure = [
        f"{way_label(s.name)}: {trend_words.rate(s.line.slope, display)}"
        for s in trends.modes
        if s.line is not None and s.steady
    ]
    first = "No single way of travelling shows a clear trend on its own."
    if sure:
        first = f"Like for like, {'; '.join(sure)}."
    scale = small_mass(display)
    rows = [_interval(s, s.slope, scale) for s in trends.modes if s.slope and not _steps(s)]
    answer = (first, trend_words.usual(trends.weights.counted, display))
    figure = None
    if rows:
        figure = Figure(
            "modes",
            " ".join(answer),
            lambda layout: intervals(rows, scale.unit, layout),
            "Median slope of each way of travelling, as carried, with the range in "
            "which it very likely lies; grey where that includes zero.",
        )
    table = tables.trends_table(trends.modes, "way of travelling", display)
    ways = count(len(trends.modes), "way", "ways")
    return Section(heading, answer, figure, table, fold=f"Each way of travelling: {ways}")


def _steps(series: Trends) -> bool:
    """Whether a step explains the weights of one way of travelling as well as a line."""
    trend = series.line or series.plain
    return trend is not None and trend.step is not None


def _interval(series: Trends, slope: Slope, scale: words.Scale) -> IntervalRow:
    of = (slope.value, slope.low, slope.high)
    value, low, high = (scale.value(g) or 0.0 for g in of)
    shown = [scale.number(g, signed=True) for g in of]
    name = f"{way_label(series.name)}, {count(series.trips, 'trip')}"
    return IntervalRow(name, value, low, high, f"{shown[0]} ({shown[1]} to {shown[2]})")
