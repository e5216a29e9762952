"""What is said of base weight over time: rates, the verdict, what would reverse it."""

from collections.abc import Sequence
from datetime import date

from tarebook.analysis import words
from tarebook.analysis.base_weight import TripWeight, day_of
from tarebook.analysis.base_weight_trends import BaseWeightTrends, Trends
from tarebook.analysis.like_for_like import LikeForLike, NoFit
from tarebook.analysis.lines import Estimate
from tarebook.analysis.target import Target
from tarebook.analysis.trend import Slope
from tarebook.analysis.words import (
    Display,
    Scale,
    count,
    label,
    large_mass,
    listing,
    mass,
    small_mass,
)
from tarebook.tripdata.units import LB_G

HORIZON_YEARS = 50
LEFT_OUT = {
    "plan": "a plan",
    "day_trip": "a day trip",
    "nothing_carried": "nothing carried as base is noted",
    "not_weighed": "not all weighed",
}
_LEAST_G = 20.0
_MANY_G = 10_000.0
_MANY_OZ_G = 4 * LB_G
_YEAR_DAYS = 365
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


def period(name: str) -> str:
    """Return "autumn 2025" for "2025 autumn"; a year stays as it is."""
    return " ".join(reversed(name.split()))


def month(when: date) -> str:
    """Return "October 2026"."""
    return f"{MONTHS[when.month - 1]} {when.year}"


def rate(of: Slope | Estimate, display: Display) -> str:
    """Return "205 g less a year (90 %: 35 to 374 g less)"; one unit for all of it."""
    scale = _scale(of, display)
    return f"{step(of.value, scale)} a year ({ends(of, scale)})"


def _scale(of: Slope | Estimate, display: Display) -> Scale:
    """The unit of small weights, unless the rate is so large that nobody would count in it."""
    most = max(abs(of.low), abs(of.value), abs(of.high))
    many = _MANY_G if display.mass == "g" else _MANY_OZ_G
    return large_mass(display) if most >= many else small_mass(display)


def step(grams: float, scale: Scale) -> str:
    """Return "205 g less", "205 g more" or "no change"."""
    if not round(grams):
        return "no change"
    return f"{scale.text(abs(grams))} {'less' if grams < 0 else 'more'}"


def ends(of: Slope | Estimate, scale: Scale) -> str:
    """Return the interval of a rate in words."""
    if not round(of.low) and not round(of.high):
        return "90\u202f%: no change"
    if (of.low < 0) == (of.high < 0) and round(of.low) and round(of.high):
        near, far = sorted((abs(of.low), abs(of.high)))
        way = "less" if of.low < 0 else "more"
        return f"90\u202f%: {scale.number(near)} to {scale.text(far)} {way}"
    return f"90\u202f%: {step(of.low, scale)} to {step(of.high, scale)}"


def sign(of: Slope | Estimate | None) -> str:
    """Return down or up where the interval leaves out nought, else unclear; none without one."""
    if of is None:
        return "none"
    if of.high < 0:
        return "down"
    return "up" if of.low > 0 else "unclear"


def verdict(trends: BaseWeightTrends, display: Display) -> str:
    """The answer in one sentence: really lighter, or only warmer?"""
    raw, fit = trends.whole.slope, trends.fit
    if raw is None:
        return f"Too few trips to tell: {count(trends.whole.trips, 'trip')}; a trend needs four."
    if fit is None:
        return _without_cold(raw, display)
    way, seen = sign(fit.slope), sign(raw)
    rate_ = rate(fit.slope, display)
    if way in ("down", "up"):
        sure = fit.influence is None or sign(fit.influence.without) == way
        sure = sure and _span_days(trends) >= _YEAR_DAYS
        really = f"{'Really' if sure else 'Probably'} {'lighter' if way == 'down' else 'heavier'}"
        hidden = {
            "unclear": ", though the scale alone does not show it",
            way: "",
        }.get(seen, ", although the scale alone says the opposite")
        return f"{really}{hidden}: like for like, {rate_}."
    if seen in ("down", "up"):
        word = "Lighter" if seen == "down" else "Heavier"
        return (
            f"{word} on the scale, {step(raw.value, _scale(raw, display))} a year, but at equal "
            f"cold it cannot be told from no change: {rate_}."
        )
    return f"No trend can be told: like for like, {rate_}."


def _without_cold(raw: Slope, display: Display) -> str:
    seen = {"down": "Lighter on the scale", "up": "Heavier on the scale"}.get(sign(raw))
    if seen is None:
        return f"No trend can be told: {rate(raw, display)}."
    return f"{seen}: {rate(raw, display)}. Whether only the season changed cannot be told."


def why_no_fit(found: NoFit) -> str:
    """Why there is no trend at equal cold."""
    if found.reason == "alike":
        return (
            "Date, cold and way of travelling go so closely together in these trips that their "
            "parts cannot be told from each other."
        )
    if not found.trips:
        return (
            "No night low is known, so cold cannot be set apart from time; it takes six trips with "
            "one, more where ways of travelling differ."
        )
    return (
        f"{count(found.trips, 'trip')} with a known night low "
        f"{'is' if found.trips == 1 else 'are'} too few to set cold apart from time; it takes six, "
        "more where ways of travelling differ."
    ).capitalize()


def reversal(fit: LikeForLike, titles: dict[str, str], display: Display) -> str:
    """Which trip moves the slope most, and whether the verdict stands without it."""
    moved = fit.influence
    if moved is None:
        return ""
    same = sign(moved.without) == sign(fit.slope)
    end = "which changes nothing in the answer" if same else "so the answer rests on that one trip"
    return (
        f"The trip that moves it most is “{titles[moved.trip]}”: without it, "
        f"{rate(moved.without, display)}, {end}."
    )


def cold(trends: BaseWeightTrends, fit: LikeForLike, display: Display) -> str:
    """How much a degree weighs, and whether the trips grew colder."""
    per = fit.per_degree
    degree = words.temperature_step(display, 0).factor
    one = Estimate(per.value / degree, per.low / degree, per.high / degree)
    unit = "°C" if display.temperature == "c" else "°F"
    scale = small_mass(display)
    if sign(one) == "unclear":
        told = f"What a degree colder adds cannot be told ({ends(_turned(one), scale)} per {unit})."
    else:
        told = (
            f"A night low one {unit} colder means {step(-one.value, scale)} "
            f"({ends(_turned(one), scale)})."
        )
    drift = cold_drift(trends, fit)
    if drift is None or abs(drift) < 0.1:
        return told
    shown = words.temperature_difference(abs(drift), display)
    return f"{told} The trips grew {'colder' if drift < 0 else 'milder'} by {shown} a year."


def _turned(of: Estimate) -> Estimate:
    return Estimate(-of.value, -of.high, -of.low)


def cold_drift(trends: BaseWeightTrends, fit: LikeForLike) -> float | None:
    """Median change of the trips' lows a year, in °C."""
    from tarebook.analysis.trend import theil_sen

    trips = [t for t in trends.weights.kept if t.trip in set(fit.trips)]
    lows = [low_c(t, fit) or 0.0 for t in trips]
    found = theil_sen([t.years for t in trips], lows)
    return None if found is None else found.value


def low_c(trip: TripWeight, fit: LikeForLike) -> float | None:
    """The low by which a trip is compared."""
    return trip.normal_low_c if fit.measure == "normal" else trip.measured_low_c


def moved(series: Trends) -> float | None:
    """What a series lost or gained from first trip to last, in g, where that can be told."""
    of = series.fit.slope if isinstance(series.fit, LikeForLike) else series.slope
    if of is None or sign(of) == "unclear":
        return None
    span = (series.days[-1] - series.days[0]).days / 365.25
    return of.value * span if abs(of.value * span) >= _LEAST_G else None


def systems(series: Sequence[Trends], display: Display) -> str:
    """What the systems lost and gained, the largest first; empty where nothing can be told."""
    told = [(s, grams) for s in series if (grams := moved(s)) is not None]
    lost = sorted((each for each in told if each[1] < 0), key=lambda each: each[1])
    gained = sorted((each for each in told if each[1] > 0), key=lambda each: -each[1])
    parts = []
    for word, found in (("lost", lost), ("gained", gained)):
        amounts = [mass(round(abs(g)), display) for _, g in found[:2]]
        names = [name(s).lower() for s, _ in found[:2]]
        if found:
            first = f"{names[0]} {word} {amounts[0]}"
            rest = [f"{n} {g}" for n, g in zip(names[1:], amounts[1:], strict=True)]
            parts.append(", ".join([first, *rest]))
    return words.sentence("; ".join(parts)) if parts else ""


def agreement(whole: Trends) -> str:
    """Whether the estimators agree in direction, and which of them can be told from none."""
    found: list[tuple[str, Slope | Estimate]] = []
    if whole.slope is not None:
        found.append(("Theil–Sen", whole.slope))
    if whole.seasonal is not None:
        of = whole.seasonal
        found.append(("seasonal Kendall", Estimate(of.slope, of.low, of.high)))
    if isinstance(whole.fit, LikeForLike):
        found.append(("the line at equal cold", whole.fit.slope))
    if len(found) == 1:
        return "Too few trips for any other estimator than the headline."
    down = sum(of.value < 0 for _, of in found)
    way = {len(found): "all say lighter", 0: "none says lighter"}.get(down, "do not all agree")
    sure = [each for each, of in found if sign(of) != "unclear"]
    told = {0: "none", len(found): "each"}.get(len(sure), f"only {listing(sure)}")
    return f"The {len(found)} estimators {way}; {told} can be told from no change."


def name(series: Trends) -> str:
    """The system or way of travelling as people write it."""
    return label(series.name)


def short_span(trends: BaseWeightTrends, display: Display) -> str:
    """What a rate a year is worth where the trips span less than one; empty where they do not."""
    of = trends.fit.slope if trends.fit else trends.whole.slope
    span = _span_days(trends)
    if of is None or not 0 < span < _YEAR_DAYS:
        return ""
    over = step(of.value * span / 365.25, small_mass(display))
    return (
        f"The trips span {count(span, 'day')} only, over which it is {over}: a rate a year from so "
        "little is a guess."
    )


def _span_days(trends: BaseWeightTrends) -> int:
    kept = trends.weights.kept
    return (kept[-1].start_on - kept[0].start_on).days if kept else 0


def target(
    found: Target | None, goal_g: float | None, latest_g: float | None, display: Display
) -> tuple[str, str]:
    """When the target is reached, and what goes with it; ``latest_g`` is the last trip's weight."""
    if goal_g is None:
        how = "Put base_weight_g = 6000, or what you aim for in g, under [goals] in tarebook.toml."
        return "No target is set.", how
    aim = mass(goal_g, display)
    if found is None:
        answer = f"Too few trips to tell when {aim} is reached."
        if latest_g is None:
            return answer, ""
        way = "below" if latest_g <= goal_g else "above"
        return answer, f"The latest weighed {mass(latest_g, display)}, {way} it."
    apart = mass(abs(found.now_g - goal_g), display)
    if found.state == "reached":
        return f"{aim} is reached: the line stands {apart} below it.", ""
    stands = f"The line stands {apart} above {aim} at the last trip."
    if found.state == "not_at_this_rate" or found.when is None:
        return f"{aim}: not at this rate.", f"{stands} It does not surely fall."
    return _dated(found, aim, stands)


def _dated(found: Target, aim: str, stands: str) -> tuple[str, str]:
    when, first, last = (day_of(v or 0.0) for v in (found.when, found.earliest, found.latest))
    horizon = (found.latest or 0.0) - (found.earliest or 0.0) > HORIZON_YEARS
    if when is None or first is None:
        return f"{aim}: not within a lifetime at this rate.", stands
    until = f"to {month(last)}" if last and not horizon else "on, with no end in sight"
    return (
        f"{aim} around {month(when)} at this rate (90\u202f%: {month(first)} {until}).",
        f"{stands} A straight line does not know that the easy grams go first.",
    )
