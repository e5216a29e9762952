"""Words for base weight over time: rates and their ends, spans, ways of travelling, systems."""

from collections.abc import Sequence
from datetime import date
from statistics import median

from ....tripdata.units import LB_G
from ...display import words
from ...display.words import Display, Scale, count, label, large_mass, mass, small_mass
from ...stats.estimate import Estimate
from ...stats.rank_trend import theil_sen
from ...store.scope import by_mode
from ..like_for_like import LikeForLike, WeightStep
from ..trends import BaseWeightTrends, Trends
from ..trip_weights import TripWeight, day_of

WHY_LEFT_OUT = {
    "plan": "a plan",
    "day_trip": "a day trip",
    "nothing_carried": "nothing carried as base is noted",
    "not_weighed": "not all weighed",
}
_LEAST_G = 20.0
_NAMED_SYSTEMS = 2
_MANY_G = 10_000.0
_MANY_OZ_G = 4 * LB_G


def season_words(name: str) -> str:
    """Return "autumn 2025" for "2025 autumn"; a year stays as it is."""
    return " ".join(reversed(name.split()))


def month(when: date) -> str:
    """Return "October 2026"."""
    return f"{words.MONTHS[when.month - 1]} {when.year}"


def rate(of: Estimate, display: Display) -> str:
    """Return "205 g less per year (very likely 35 to 374 g less)"; one unit for all of it."""
    scale = scale_of(of, display)
    return f"{step(of.value, scale)} per year ({ends(of, scale)})"


def scale_of(of: Estimate, display: Display) -> Scale:
    """The unit of small weights, unless the rate is so large that nobody would count in it."""
    most = max(abs(of.low), abs(of.value), abs(of.high))
    many = _MANY_G if display.mass == "g" else _MANY_OZ_G
    return large_mass(display) if most >= many else small_mass(display)


def step(grams: float, scale: Scale) -> str:
    """Return "205 g less", "205 g more" or "no change"."""
    if not round(grams):
        return "no change"
    return f"{scale.text(abs(grams))} {'less' if grams < 0 else 'more'}"


def load(grams: float, display: Display) -> str:
    """Return "1.85 kg less", "256 g more" or "no change"."""
    if not round(grams):
        return "no change"
    return f"{mass(round(abs(grams)), display)} {'less' if grams < 0 else 'more'}"


def ends(of: Estimate, scale: Scale) -> str:
    """Return the interval of a change in words; of a sign it is told once."""
    low, high = scale.number(abs(of.low)), scale.number(abs(of.high))
    if not round(of.low) and not round(of.high):
        return "very likely no change"
    if (of.low < 0) == (of.high < 0) and round(of.low) and round(of.high):
        way = "less" if of.low < 0 else "more"
        if low == high:
            return f"very likely {scale.text(abs(of.low))} {way}"
        near, far = sorted((abs(of.low), abs(of.high)))
        return f"very likely {scale.number(near)} to {scale.text(far)} {way}"
    return f"very likely {step(of.low, scale)} to {step(of.high, scale)}"


def sign(of: Estimate | None) -> str:
    """Return down or up where the interval leaves out nought, else unclear; none without one."""
    if of is None:
        return "none"
    if of.high < 0:
        return "down"
    return "up" if of.low > 0 else "unclear"


def one_step(of: WeightStep, display: Display) -> str:
    """Return "one step of −900 g in June 2024, level since"."""
    return f"one step of {mass(of.change.value, display, signed=True)}{at(of, ' in ')}, level since"


def at(of: WeightStep, before: str = "") -> str:
    """The month of a step, with what comes before it; blank where no calendar has it."""
    when = day_of(of.first)
    return f"{before}{month(when)}" if when else ""


def over_the_log(trends: BaseWeightTrends, fit: LikeForLike) -> tuple[str, Estimate]:
    """The length of the log in words, and what the slope comes to over it, in g."""
    span = trends.in_fit[-1].years - trends.in_fit[0].years
    change = fit.slope.times(span)
    if span < 1:
        return f"{round(span * 12)} months", change
    return f"{words.number(span, 1)} years", change


def cold(trends: BaseWeightTrends, fit: LikeForLike, display: Display) -> str:
    """How much a degree weighs, and whether the trips grew colder."""
    per = fit.per_degree
    degree = words.temperature_step(display, 0).factor
    one = per.times(-1 / degree)
    unit = "°C" if display.temperature == "c" else "°F"
    scale = small_mass(display)
    if sign(one) == "unclear":
        weighs = f"What a degree colder adds is not clear ({ends(one, scale)} per {unit})."
    else:
        way = "more" if one.value > 0 else "less"
        weighs = (
            f"For each {unit} colder, about {scale.text(abs(one.value))} {way} is carried "
            f"({ends(one, scale)})."
        )
    colder = colder_each_year(trends, fit)
    if colder is None:
        return weighs
    by = words.temperature_difference(abs(colder), display)
    return f"{weighs} The trips grew {'colder' if colder > 0 else 'milder'} by {by} each year."


def colder_each_year(trends: BaseWeightTrends, fit: LikeForLike) -> float | None:
    """By how many °C a year the trips grew colder, negative where milder; None where by hardly."""
    lows = [t.low_c(fit.measure) or 0.0 for t in trends.in_fit]
    drift = theil_sen([t.years for t in trends.in_fit], lows)
    return None if drift is None or abs(drift.value) < 0.1 else -drift.value


def usual(counted: Sequence[TripWeight], display: Display) -> str:
    """The median base weight of each way of travelling, the most frequent first.

    Walking, bike and boat are no one usual base weight; where modes are not noted, it says so.
    """
    blank = sum(t.mode is None for t in counted)
    if blank:
        return (
            f"{count(blank, 'trip')} of {len(counted)} {'does' if blank == 1 else 'do'} not say "
            "how you travelled, and walking, bike and boat are no one usual weight."
        )
    weights: dict[str, list[float]] = {}
    for trip in counted:
        weights.setdefault(trip.mode or "", []).append(trip.base_g or 0.0)
    often = sorted(weights, key=lambda mode: (-len(weights[mode]), mode))
    parts = [
        f"{by_mode(mode)} {mass(median(weights[mode]), display)} "
        f"({'median of ' if len(weights[mode]) > 1 else ''}{count(len(weights[mode]), 'trip')})"
        for mode in often
    ]
    return words.sentence(", ".join(parts))


def moved(series: Trends) -> tuple[float, str] | None:
    """What a series lost or gained, in g, and since when; None where that cannot be told."""
    if series.step is not None:
        grams, since = series.step.change.value, at(series.step, " since ")
    elif series.line is not None and series.steady:
        years = (series.days[-1] - series.days[0]).days / 365.25
        grams, since = series.line.slope.value * years, " little by little"
    else:
        return None
    return (grams, since) if abs(grams) >= _LEAST_G else None


def systems_words(series: Sequence[Trends], display: Display) -> str:
    """What the systems lost and gained, two of each, and how many others did or did not.

    Empty where nothing can be told.
    """
    changes = [(label(s.name).lower(), *by) for s in series if (by := moved(s)) is not None]
    parts = []
    for way, side in (("lighter", -1), ("heavier", 1)):
        those = sorted((c for c in changes if c[1] * side > 0), key=lambda each: -abs(each[1]))
        most, others = those[:_NAMED_SYSTEMS], len(those[_NAMED_SYSTEMS:])
        amounts = [
            f"{system} {mass(round(abs(grams)), display)}{'' if place else f' {way}'}{since}"
            for place, (system, grams, since) in enumerate(most)
        ]
        if others:
            amounts.append(f"{words.number(others)} more by less")
        if amounts:
            parts.append(words.listing(amounts))
    if not parts:
        return ""
    told, rest = words.sentence("; ".join(parts)), len(series) - len(changes)
    shows = "shows" if rest == 1 else "show"
    return f"{told} The other {words.number(rest)} {shows} no clear change." if rest else told
