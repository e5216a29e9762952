"""The sections on the parts of base weight: system by system, and by way of travelling."""

from ...display import words
from ...display.figure import Figure
from ...display.sections import Section
from ...display.words import Display, count, small_mass
from ...stats.rank_trend import FEWEST_VALUES, Slope
from ..like_for_like import LikeForLike
from ..trends import BaseWeightTrends, Trends
from ..trip_weights import day_of
from . import tables
from . import words as said
from .charts import Band, Dot
from .panels import Panel, Span, panels, spans
from .sections import curve

MOST_PANELS = 9


def by_system(trends: BaseWeightTrends, display: Display) -> Section:
    """Small pictures of the systems that moved most, and a table of all."""
    heading = "System by system"
    series = [s for s in trends.systems if s.trips >= FEWEST_VALUES]
    if not series:
        return Section.empty(heading, "too few trips to compare systems")
    first = said.systems(series, display)
    answer = [first or "Of no system can a change be told."]
    still = [s for s in series if max(s.grams) - min(s.grams) < 1]
    if still:
        answer.append(f"{words.listing([said.name(s) for s in still])} never changed.")
    moving = sorted((s for s in series if s not in still), key=_stir, reverse=True)
    drawn = [_panel(s, trends, display) for s in moving[:MOST_PANELS]]
    years = range(series[0].days[0].year, series[0].days[-1].year + 1)
    figure = Figure(
        "systems",
        " ".join(answer),
        panels(drawn, small_mass(display), list(years)),
        f"Weight in {small_mass(display).unit} by trip, the systems that vary most; every picture "
        "spans the same weight. A line with its 90\u202f% band stands where a trend at equal cold "
        "can be told. Marks as above.",
    )
    return Section(
        heading,
        tuple(answer),
        figure if drawn else None,
        tables.trends_of(series, "system", display),
        (
            "At equal cold, from the first trip to the last or in one step, where the 90\u202f% "
            "interval excludes zero. Of systems that never change, one in ten may look as if it "
            "did, by chance.",
            "The systems' trends need not add up to the total.",
        ),
    )


def _stir(series: Trends) -> float:
    change = said.moved(series)
    return (abs(change[0]) if change else 0.0) + (max(series.grams) - min(series.grams)) / 1e3


def _panel(series: Trends, trends: BaseWeightTrends, display: Display) -> Panel:
    kept = trends.weights.kept
    dots = [
        Dot(t.start_on, g, t.season_name, t.title, "")
        for t, g in zip(kept, series.grams, strict=True)
    ]
    return Panel(said.name(series), _told(series, display), tuple(dots), _line(series, trends))


def _told(series: Trends, display: Display) -> str:
    """The one figure of a panel: a rate or a step, where that can be told."""
    fit, scale = series.fit, small_mass(display)
    if not isinstance(fit, LikeForLike):
        return ""
    if fit.step is not None:
        when = day_of(fit.step.first)
        at = f" in {said.month(when)}" if when else ""
        return f"{scale.text(fit.step.change.value, signed=True)}{at}"
    if series.headline in ("lighter", "heavier"):
        return f"{scale.text(fit.slope.value, signed=True)} a year"
    return ""


def _line(series: Trends, trends: BaseWeightTrends) -> tuple[Band, ...]:
    """The line of a panel; only where there is one way of travelling, else it is not of all."""
    fit = series.fit
    if not isinstance(fit, LikeForLike) or fit.modes:
        return ()
    return (
        curve(fit.course, trends.weights.kept) if series.headline in ("lighter", "heavier") else ()
    )


def by_mode(trends: BaseWeightTrends, display: Display) -> Section:
    """The rates of each way of travelling beside each other."""
    heading = "On foot, by bike, by boat"
    if len(trends.modes) < 2:
        return Section.empty(heading, "there is one way of travelling only")
    usual = said.usual(trends.weights.kept, display)
    told = [s for s in trends.modes if s.slope is not None and _steady(s)]
    sure = [
        f"{said.name(s)}: {said.rate(s.fit.slope, display)}"
        for s in trends.modes
        if isinstance(s.fit, LikeForLike) and s.headline in ("lighter", "heavier")
    ]
    first = "No single way of travelling shows a clear trend on its own."
    if sure:
        first = f"Like for like, {'; '.join(sure)}."
    scale = small_mass(display)
    rows = [_span(s, s.slope, scale) for s in told if s.slope]
    answer = (usual, first)
    figure = None
    if rows:
        figure = Figure(
            "modes",
            " ".join(answer),
            spans(rows, scale.unit),
            "Median slope of each way of travelling, as carried, with the range in "
            "which it very likely lies; grey where that includes zero.",
        )
    return Section(
        heading, answer, figure, tables.trends_of(trends.modes, "way of travelling", display)
    )


def _steady(series: Trends) -> bool:
    """Whether no step explains the weights of one way of travelling as well as a line."""
    if isinstance(series.fit, LikeForLike):
        return series.fit.step is None
    return series.plain is None or series.plain.step is None


def _span(series: Trends, slope: Slope, scale: words.Scale) -> Span:
    value, low, high = (scale.value(g) or 0.0 for g in (slope.value, slope.low, slope.high))
    shown = [scale.number(g, signed=True) for g in (slope.value, slope.low, slope.high)]
    return Span(
        f"{said.name(series)}, {count(series.trips, 'trip')}",
        value,
        low,
        high,
        f"{shown[0]} ({shown[1]} to {shown[2]})",
    )
