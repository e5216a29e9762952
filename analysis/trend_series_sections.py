"""The sections on the parts of base weight: system by system, and by way of travelling."""

from tarebook.analysis import trend_tables as tables
from tarebook.analysis import trend_words as said
from tarebook.analysis import words
from tarebook.analysis.base_weight_trends import BaseWeightTrends, Trends
from tarebook.analysis.figure import Figure
from tarebook.analysis.like_for_like import LikeForLike
from tarebook.analysis.section import Section
from tarebook.analysis.trend import FEWEST, Slope
from tarebook.analysis.trend_charts import Dot
from tarebook.analysis.trend_panels import Panel, Span, panels, spans
from tarebook.analysis.trend_sections import curve, fan
from tarebook.analysis.words import Display, count, small_mass

MOST_PANELS = 9


def by_system(trends: BaseWeightTrends, display: Display) -> Section:
    """Small pictures of the systems that moved most, and a table of all."""
    heading = "System by system"
    series = [s for s in trends.systems if s.trips >= FEWEST]
    if not series:
        return Section.empty(heading, "too few trips to compare systems")
    first = said.systems(series, display)
    fitted = any(isinstance(s.fit, LikeForLike) for s in series)
    how = "at equal cold" if fitted else "as carried"
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
        f"spans the same weight, and its line is the trend {how} with its 90\u202f% band. Marks "
        "as above.",
    )
    return Section(
        heading,
        tuple(answer),
        figure if drawn else None,
        tables.trends_of(series, "system", display),
        (
            f"From the first trip to the last, {how}, where the 90\u202f% interval leaves out "
            "nought. Of systems that never change, one in ten looks as if it did, by chance.",
            "Medians do not add up: the slopes of the systems need not sum to that of the whole.",
        ),
    )


def _stir(series: Trends) -> float:
    of = series.fit.slope if isinstance(series.fit, LikeForLike) else series.slope
    drift = abs(of.value) if of is not None else 0.0
    return drift + (max(series.grams) - min(series.grams)) / 1e6


def _panel(series: Trends, trends: BaseWeightTrends, display: Display) -> Panel:
    kept = trends.weights.kept
    dots = [
        Dot(t.start_on, g, t.season_name, t.title, "")
        for t, g in zip(kept, series.grams, strict=True)
    ]
    fit = series.fit
    of = fit.slope if isinstance(fit, LikeForLike) else series.slope
    band = curve(fit.course, kept) if isinstance(fit, LikeForLike) else fan(series.slope, kept)
    told = "" if of is None else f"{small_mass(display).text(of.value, signed=True)} a year"
    return Panel(said.name(series), told, tuple(dots), band)


def by_mode(trends: BaseWeightTrends, display: Display) -> Section:
    """The rates of each way of travelling beside each other."""
    heading = "On foot, by bike, by boat"
    told = [s for s in trends.modes if s.slope is not None]
    if len(trends.modes) < 2:
        return Section.empty(heading, "there is one way of travelling only")
    few = [s for s in trends.modes if s.slope is None]
    lesser = f"{words.listing([said.name(s) for s in few])}: fewer than four trips." if few else ""
    if not told:
        return Section.empty(heading, "no way of travelling has four trips")
    sure = [s for s in told if said.sign(s.slope) != "unclear"]
    first = (
        "; ".join(f"{said.name(s)}: {said.rate(s.slope, display)}" for s in sure if s.slope) + "."
        if sure
        else "Of no way of travelling alone can a trend be told from its own trips."
    )
    scale = small_mass(display)
    rows = [_span(s, s.slope, scale) for s in told if s.slope]
    answer = tuple(filter(None, (first, lesser)))
    return Section(
        heading,
        answer,
        Figure("modes", " ".join(answer), spans(rows, scale.unit),
               "Median slope of each way of travelling with its 90\u202f% interval, as carried; "
               "grey where it reaches nought."),
        tables.trends_of(trends.modes, "way of travelling", display),
    )  # fmt: skip


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
