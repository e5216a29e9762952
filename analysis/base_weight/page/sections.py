"""The sections on how base weight moved: as carried, at equal cold, by other estimators."""

from collections.abc import Sequence
from datetime import timedelta

from ...display import words
from ...display.figure import Figure
from ...display.sections import Section
from ...display.words import Display, count, large_mass, mass
from ...stats.rank_trend import Slope
from ...store.scope import by_mode
from ..like_for_like import Course, LikeForLike
from ..trends import BaseWeightTrends
from ..trip_design import NoFit
from ..trip_weights import TripWeight, years_of
from . import charts, tables, verdict
from . import words as said
from .charts import Band, Dot

_CURVE = 24


def as_carried(trends: BaseWeightTrends, display: Display) -> Section:
    """The trend as the scale shows it, with every trip."""
    heading, whole = "As carried", trends.whole
    kept = trends.weights.kept
    if not kept:
        return Section.empty(heading, "no trip with a night is weighed in full")
    first = verdict.scale_note(trends, display)
    if not first:
        first = f"{count(len(kept), 'trip')}: no trend on the scale can be told."
    more = [_weighs(kept, display)]
    told = verdict.rate_counts(trends)
    if whole.test is not None and told:
        more.append(_tested(whole.test.p))
    line = fan(whole.slope, kept) if told and len(whole.ways) == 1 else ()
    picture = charts.Picture(
        tuple(dot(t, display) for t in kept),
        line,
        _room(trends),
        tuple(dot(t, display) for t in trends.weights.trips if t.left_out and t.base_g),
        trends.weights.asked.system is None,
    )
    below = [t for t in picture.left_out if t.grams < picture.domain_g[0]]
    caption = (
        "The line is the median of all slopes between two trips; its band holds the lines "
        "that are very likely."
        if line
        else "One mark a trip."
    )
    if picture.left_out:
        caption += " Hollow grey marks do not count"
        caption += "; a triangle at the lower edge lies below the picture." if below else "."
    answer = (first, *more)
    return Section(
        heading,
        answer,
        Figure(
            "as-carried", " ".join(answer), charts.over_time(picture, large_mass(display)), caption
        ),
        tables.trips(trends, display),
        more=(tables.seasons(kept, display),),
    )


def _weighs(kept: Sequence[TripWeight], display: Display) -> str:
    light = min(kept, key=lambda t: t.base_g or 0.0)
    heavy = max(kept, key=lambda t: t.base_g or 0.0)
    if len(kept) == 1:
        return f"“{light.title}”: {mass(light.base_g, display)}{_cold_and_way(light, display)}."
    return (
        f"The lightest was “{light.title}” with {mass(light.base_g, display)}"
        f"{_cold_and_way(light, display)}, the heaviest “{heavy.title}” with "
        f"{mass(heavy.base_g, display)}{_cold_and_way(heavy, display)}."
    )


def _cold_and_way(trip: TripWeight, display: Display) -> str:
    """What a trip's weight is never told without: how cold its nights were, and how it went."""
    low = trip.normal_low_c if trip.measured_low_c is None else trip.measured_low_c
    cold = "lowest night not known"
    if low is not None:
        usual = "usual low " if trip.measured_low_c is None else "lowest night "
        cold = f"{usual}{words.temperature(low, display)}"
    way = "way not noted" if trip.mode is None else by_mode(trip.mode)
    return f" ({way}, {cold})"


def _tested(p: float) -> str:
    often = words.one_in(p)
    chance = "Chance alone would show such a rise or fall"
    if p > 0.95:
        return f"{chance} almost always (Mann–Kendall)."
    return f"{chance} {often} times (Mann–Kendall, p {tables.p_text(p)})."


def dot(trip: TripWeight, display: Display, grams: float | None = None) -> Dot:
    """A trip as a mark of a picture, at its own weight or at another."""
    low = trip.normal_low_c if trip.measured_low_c is None else trip.measured_low_c
    about = [words.day(trip.start_on, weekday=False), words.label(trip.mode) if trip.mode else ""]
    about.append(f"lowest night {words.temperature(low, display)}" if low is not None else "")
    about.append(said.LEFT_OUT[trip.left_out] if trip.left_out else "")
    weight = trip.base_g or 0.0 if grams is None else grams
    return Dot(trip.start_on, weight, trip.season_name, trip.title, ", ".join(filter(None, about)))


def _room(trends: BaseWeightTrends) -> tuple[float, float]:
    moved = trends.fit.moved_g if trends.fit else ()
    return charts.domain([*trends.whole.grams, *moved])


def fan(slope: Slope | None, kept: Sequence[TripWeight]) -> tuple[Band, ...]:
    """The Theil-Sen line, at its two ends and at the middle, where all its lines meet."""
    if slope is None:
        return ()
    first, last = kept[0].start_on, kept[-1].start_on
    middle = first + timedelta(days=round((slope.centre_x - kept[0].years) * 365.25))
    return tuple(Band(day, *slope.at(years_of(day))) for day in (first, middle, last))


def like_for_like(trends: BaseWeightTrends, display: Display) -> Section:
    """The trend at equal cold, with every trip moved to it; the bare points where there is none."""
    heading, fit = "Like for like", trends.whole.fit
    kept = trends.weights.kept
    if not kept:
        return Section.empty(heading, "no trip with a night is weighed in full")
    if isinstance(fit, NoFit):
        return _bare(heading, trends, display)
    titles = {t.trip: t.title for t in kept}
    low = words.temperature(fit.median_low_c, display, 1)
    first = verdict.verdict(trends, display)
    if trends.whole.headline in ("lighter", "heavier"):
        first = words.sentence(f"{said.rate(fit.slope, display)} at equal cold")
    turn = verdict.reversal(fit, titles, display)
    answer = tuple(filter(None, (first, said.cold(trends, fit, display), turn)))
    trips = [t for t in kept if t.trip in titles and t.trip in set(fit.trips)]
    dots = [dot(t, display, g) for t, g in zip(trips, fit.moved_g, strict=True)]
    line = curve(fit.course, trips) if fit.step is None else ()
    picture = charts.Picture(tuple(dots), line, _room(trends), classes=False)
    moved = [f"to a lowest night of {low}"]
    if fit.nights is not None:
        moved.append(f"a length of {words.number(fit.nights)} nights")
    if fit.modes:
        moved.append(f"a trip {by_mode(fit.modes[0])}")
    drawn = "; the line with its 90\u202f% band" if line else ""
    figure = Figure(
        "like-for-like",
        " ".join(answer),
        charts.over_time(picture, large_mass(display)),
        f"Each trip's weight, moved along the fit {words.listing(moved)}{drawn}. The scale is that "
        "of the picture above.",
    )
    return Section(heading, answer, figure, notes=_fit_notes(fit, titles, display))


def _fit_notes(fit: LikeForLike, titles: dict[str, str], display: Display) -> tuple[str, ...]:
    normal = fit.measure == "normal"
    notes = [
        f"{count(len(fit.trips), 'trip')}; cold is the trip's lowest "
        f"{'normal' if normal else 'measured'} night low, the same kind for all."
    ]
    if not normal:
        notes.append(
            "One packs for the cold that is expected, and measured lows differ from it by chance, "
            "so a part of the season's effect may be left in the slope. Normal lows, where a "
            "station serves all trips, do better."
        )
    if fit.other is not None and fit.slope.sign_known and fit.step is None:
        kind = "measured" if normal else "normal"
        notes.append(f"With {kind} lows instead: {said.rate(fit.other, display)}.")
    if fit.left_out:
        names = words.listing([f"“{titles[t]}”" for t in fit.left_out], at_most=4)
        notes.append(f"Without a known night low, and so not in the fit: {names}.")
    if fit.modes:
        ways = words.listing([words.label(m).lower() for m in fit.modes])
        notes.append(f"Ways of travelling are compared each with itself: {ways}.")
    if fit.without_mode:
        names = words.listing([f"“{titles[t]}”" for t in fit.without_mode], at_most=4)
        notes.append(f"Without a way of travelling, and so not in the fit: {names}.")
    if fit.nights is not None:
        notes.append("Longer trips carry more; the number of nights is allowed for.")
    notes.append(
        "Gear stays from trip to trip, and a kit may drift without getting lighter for good; the "
        "interval allows for both (chance that the kit drifts: "
        f"{words.percent(fit.walk)})."
    )
    return tuple(notes)


def _bare(heading: str, trends: BaseWeightTrends, display: Display) -> Section:
    answer = (verdict.why_not(trends.whole),)
    kept = trends.weights.kept
    picture = charts.Picture(tuple(dot(t, display) for t in kept), (), _room(trends), classes=False)
    figure = Figure(
        "like-for-like",
        answer[0],
        charts.over_time(picture, large_mass(display)),
        "The bare points: one mark a trip, its weight as carried.",
    )
    return Section(heading, answer, figure)


def curve(course: Course, trips: Sequence[TripWeight]) -> tuple[Band, ...]:
    """The fitted line with its band, from the first trip to the last."""
    first, last = trips[0].start_on, trips[-1].start_on
    days = [first + (last - first) * i / _CURVE for i in range(_CURVE + 1)]
    found = [(day, course.at(years_of(day))) for day in days]
    return tuple(Band(day, at.value, at.low, at.high) for day, at in found)


def left_out(trends: BaseWeightTrends, display: Display) -> Section:
    """Which trips do not count, and why."""
    found = [t for t in trends.weights.trips if t.left_out]
    if not found:
        return Section.empty("Left out", "every trip counts")
    answer = f"{count(len(found), 'trip')} of {len(trends.weights.trips)} do not count."
    if len(found) == 1:
        whole = len(trends.weights.trips)
        answer = f"One trip of {whole} does not count." if whole > 1 else "The one trip there is."
    days = any(t.left_out == "day_trip" for t in found)
    notes = ("Base weight is compared between trips with a night.",) if days else ()
    table = tables.left_out(trends.weights.trips, display)
    return Section("Left out", (answer,), table=table, notes=notes)


def estimators(trends: BaseWeightTrends, display: Display) -> Section:
    """The headline beside the other estimators."""
    heading = "The other estimators"
    if trends.fit is not None and trends.fit.step is not None:
        return Section.empty(
            heading, "one step explains the weights, so a rate by any of them would mislead"
        )
    if trends.whole.slope is None:
        return Section.empty(heading, "too few trips, or ways of travelling not noted")
    if trends.fit is None:
        return Section.empty(heading, "no rate can be told while cold is not known")
    notes = (
        "The p of Mann–Kendall and seasonal Kendall take the trips as independent of each other "
        "once the trend is known. Gear persists from trip to trip, so they are somewhat too small.",
        "Seasonal Kendall compares each season of each way of travelling with itself only: one "
        "median per year.",
    )
    return Section(
        heading,
        (verdict.agreement(trends.whole),),
        table=tables.estimators(trends.whole, display),
        notes=notes,
    )
