"""The sections on how base weight moved: as carried, at equal cold, by other estimators."""

from collections.abc import Sequence
from datetime import timedelta
from typing import TYPE_CHECKING

from ...display import words
from ...display.figure import Figure
from ...display.sections import Section
from ...display.words import Display, count, large_mass, mass
from ...stats.rank_trend import Slope
from ...store.scope import by_mode, way_label
from ..like_for_like import Course, LikeForLike
from ..trends import BaseWeightTrends
from ..trip_design import NoFit
from ..trip_weights import TripWeight, years_of
from . import tables, verdict
from . import words as trend_words
from .charts import Band, Picture, TripMark, domain, over_time

if TYPE_CHECKING:
    from .page import TrendPage

_CURVE = 24
_NOT_WEIGHED = "no trip with a night is weighed in full"


def as_carried_section(page: "TrendPage") -> Section:
    """The trend as the scale shows it, with every trip."""
    trends, display = page.trends, page.display
    heading, whole, counted = "As carried", trends.whole, trends.weights.counted
    if not counted:
        return Section.empty(heading, _NOT_WEIGHED)
    first = verdict.scale_note(trends, display)
    if not first:
        first = f"{count(len(counted), 'trip')}: too few to show a trend on the scale."
    answer = [first, _lightest_and_heaviest(counted, display)]
    if whole.test is not None and whole.steady:
        answer.append(_tested(whole.test.p))
    line = _fan(whole.slope, counted) if whole.steady and len(whole.ways) == 1 else ()
    picture = Picture(
        tuple(_mark(t, display) for t in counted),
        line,
        _room(trends),
        tuple(_mark(t, display) for t in trends.weights.trips if t.left_out and t.base_g),
        trends.weights.selection.system is None and not any(t.unmarked for t in counted),
    )
    # One mark says no more than its sentence.
    several = len(picture.marks) + len(picture.left_out) > 1
    several_seasons = len({trip.season for trip in counted}) > 1
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
    return Section(
        heading,
        tuple(answer),
        _figure("as-carried", answer, picture, caption, display) if several else None,
        tables.trips_table(trends, display),
        more=(tables.seasons_table(counted, display),) if several_seasons else (),
    )


def _lightest_and_heaviest(counted: Sequence[TripWeight], display: Display) -> str:
    def weighs(trip: TripWeight) -> str:
        return f"{mass(trip.base_g, display)}{_cold_and_way(trip, display)}"

    light = min(counted, key=lambda t: t.base_g or 0.0)
    heavy = max(counted, key=lambda t: t.base_g or 0.0)
    if len(counted) > 1 and mass(light.base_g, display) == mass(heavy.base_g, display):
        return f"All of them weighed {mass(light.base_g, display)}."
    if len(counted) == 1:
        return f"“{light.title}”: {weighs(light)}."
    return (
        f"The lightest was “{light.title}” with {weighs(light)}, the heaviest “{heavy.title}” with "
        f"{weighs(heavy)}."
    )


def _cold_and_way(trip: TripWeight, display: Display) -> str:
    """What a trip's weight is never told without: how cold its nights were, and how it went."""
    cold = "lowest night not known"
    if trip.known_low_c is not None:
        usual = "usual low " if trip.measured_low_c is None else "lowest night "
        cold = f"{usual}{words.temperature(trip.known_low_c, display)}"
    way = "way not noted" if trip.mode is None else by_mode(trip.mode)
    return f" ({way}, {cold})"


def _tested(p: float) -> str:
    chance = "Chance alone would show such a rise or fall"
    if p > 0.95:
        return f"{chance} almost always (Mann–Kendall)."
    return f"{chance} {words.one_in(p)} times (Mann–Kendall, p {tables.p_text(p)})."


def _mark(trip: TripWeight, display: Display, grams: float | None = None) -> TripMark:
    """A trip as a mark of a picture, at its own weight or at another."""
    low = trip.known_low_c
    about = [
        words.day(trip.start_on, weekday=False),
        way_label(trip.mode) if trip.mode else "",
        f"lowest night {words.temperature(low, display)}" if low is not None else "",
        trend_words.WHY_LEFT_OUT[trip.left_out] if trip.left_out else "",
    ]
    weight = trip.base_g or 0.0 if grams is None else grams
    how_it_was = ", ".join(filter(None, about))
    return TripMark(trip.start_on, weight, trip.season_name, trip.title, how_it_was)


def _room(trends: BaseWeightTrends) -> tuple[float, float]:
    return domain([*trends.whole.grams, *(trends.fit.moved_g if trends.fit else ())])


def _fan(slope: Slope | None, counted: Sequence[TripWeight]) -> tuple[Band, ...]:
    """The Theil-Sen line, at its two ends and at the middle, where all its lines meet."""
    if slope is None:
        return ()
    first, last = counted[0].start_on, counted[-1].start_on
    middle = first + timedelta(days=round((slope.centre_x - counted[0].years) * 365.25))
    return tuple(Band(day, *slope.at(years_of(day))) for day in (first, middle, last))


def like_for_like_section(page: "TrendPage") -> Section:
    """The trend at equal cold, with every trip moved to it."""
    trends, display = page.trends, page.display
    heading, fit, counted = "Like for like", trends.whole.fit, trends.weights.counted
    if not counted:
        return Section.empty(heading, _NOT_WEIGHED)
    if isinstance(fit, NoFit):
        why = verdict.why_not(trends.whole).removesuffix(".")
        return Section.empty(heading, why[:1].lower() + why[1:])
    titles = {t.trip: t.title for t in counted}
    first = verdict.trend_verdict(trends, display)
    if trends.whole.steady:
        first = words.sentence(f"{trend_words.rate(fit.slope, display)} at equal cold")
    turn = verdict.what_moves_it(fit, titles, display)
    answer = tuple(filter(None, (first, trend_words.cold(trends, fit, display), turn)))
    pairs = zip(trends.in_fit, fit.moved_g, strict=True)
    line = curve(fit.course, trends.in_fit) if fit.step is None else ()
    marks = tuple(_mark(t, display, g) for t, g in pairs)
    picture = Picture(marks, line, _room(trends), classes=False)
    moved = [f"to a lowest night of {words.temperature(fit.median_low_c, display, 1)}"]
    if fit.nights is not None:
        moved.append(f"a length of {words.number(fit.nights)} nights")
    if fit.modes:
        moved.append(f"a trip {by_mode(fit.modes[0])}")
    drawn = "; the line with its very likely band" if line else ""
    caption = (
        f"Each trip’s weight, moved along the fit {words.listing(moved)}{drawn}. The scale is that "
        "of the picture above."
    )
    figure = _figure("like-for-like", answer, picture, caption, display)
    return Section(heading, answer, figure, notes=_fit_notes(fit, titles, display))


def _figure(
    name: str, answer: Sequence[str], picture: Picture, caption: str, display: Display
) -> Figure:
    scale = large_mass(display)
    return Figure(name, " ".join(answer), lambda layout: over_time(picture, scale, layout), caption)


def _fit_notes(fit: LikeForLike, titles: dict[str, str], display: Display) -> tuple[str, ...]:
    normal = fit.measure == "normal"
    notes = [
        f"{count(len(fit.trips), 'trip')}; cold is the trip's lowest "
        f"{'usual' if normal else 'measured'} night low, the same kind for all."
    ]
    if not normal:
        notes.append(
            "You pack for the cold that you expect. Measured lows differ from it by chance, so a "
            "part of the season’s effect may be left in the slope. Usual lows, where a station "
            "serves all trips, do better."
        )
    if fit.other is not None and fit.slope.sign_known and fit.step is None:
        kind = "measured" if normal else "usual"
        notes.append(f"With {kind} lows instead: {trend_words.rate(fit.other, display)}.")
    if fit.left_out:
        names = words.quoted([titles[t] for t in fit.left_out], at_most=4)
        notes.append(f"Without a known night low, and so not in the fit: {names}.")
    if fit.modes:
        ways = words.listing([by_mode(m) for m in fit.modes])
        notes.append(f"Ways of travelling are compared each with itself: {ways}.")
    if fit.without_mode:
        names = words.quoted([titles[t] for t in fit.without_mode], at_most=4)
        notes.append(f"Without a way of travelling, and so not in the fit: {names}.")
    if fit.nights is not None:
        notes.append("Longer trips carry more; the number of nights is allowed for.")
    notes.append(
        "Gear stays from trip to trip, and a kit may drift without getting lighter for good; the "
        "very likely range allows for both (chance that the kit drifts: "
        f"{words.percent(fit.course.line.walk)})."
    )
    return tuple(notes)


def curve(course: Course, trips: Sequence[TripWeight]) -> tuple[Band, ...]:
    """The fitted line with its band, from the first trip to the last."""
    first, last = trips[0].start_on, trips[-1].start_on
    days = [first + (last - first) * i / _CURVE for i in range(_CURVE + 1)]
    line = [(day, course.at(years_of(day))) for day in days]
    return tuple(Band(day, at.value, at.low, at.high) for day, at in line)


def left_out_section(page: "TrendPage") -> Section:
    """Which trips do not count, and why."""
    heading, trips = "Left out", page.trends.weights.trips
    left_out = [t for t in trips if t.left_out]
    if not left_out:
        return Section.empty(heading, "every trip counts")
    answer = f"{count(len(left_out), 'trip')} of {len(trips)} do not count."
    if len(left_out) == 1:
        of = f"One trip of {len(trips)} does not count."
        answer = of if len(trips) > 1 else "The one trip there is."
    days = any(t.left_out == "day_trip" for t in left_out)
    notes = ("Base weight is compared between trips with a night.",) if days else ()
    table = tables.left_out_table(left_out, page.display)
    return Section(heading, (answer,), table=table, notes=notes, fold="Which trips, and why")


def estimators_section(page: "TrendPage") -> Section:
    """The headline beside the other estimators."""
    heading, whole = "The other estimators", page.trends.whole
    if whole.step is not None:
        return Section.empty(
            heading, "one step explains the weights, so a rate by any of them would mislead"
        )
    if whole.slope is None:
        return Section.empty(heading, "too few trips, or ways of travelling not noted")
    if whole.line is None:
        return Section.empty(heading, "no rate is given while cold is not known")
    return Section(
        heading,
        (verdict.agreement(whole),),
        table=tables.estimators_table(whole, page.display),
        notes=(
            *_two_figures(page),
            "The p of Mann–Kendall and seasonal Kendall take the trips as independent of each "
            "other once the trend is known. Gear persists from trip to trip, so they are somewhat "
            "too small.",
            "Seasonal Kendall compares each season of each way of travelling with itself only: one "
            "median per year.",
        ),
        fold="All estimators",
    )


def _two_figures(page: "TrendPage") -> tuple[str, ...]:
    """Why the line may show nothing where the answer tells a change."""
    fit = page.trends.fit
    if page.trends.whole.headline != "no_trend" or fit is None:
        return ()
    if fit.kit is None or not fit.kit.sure:
        return ()
    return (
        "The answer says how much the kit changed from the first trip to the last, whatever it "
        "did between. The line at equal cold says whether it changes by as much each year, which "
        "would go on. The first can be clear where the second is not.",
    )
