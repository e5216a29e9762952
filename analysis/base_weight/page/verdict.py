"""What is said first of base weight over time: the verdict, its reason, what reverses it."""

from ...display import words
from ...display.words import Display, count, listing, mass, sentence
from ...store.scope import by_mode
from ..like_for_like import LikeForLike
from ..target import Target
from ..trends import BaseWeightTrends, Trends
from ..trip_design import MOST_BLANK, NoFit
from ..trip_weights import day_of
from .words import colder_each_year, ends, load, month, one_step, over_the_log, rate, scale_of, sign

_FOR_SURE_YEARS = 1.0
_FOR_SURE_P = 0.05
_METHOD = {
    "theil_sen": "Theil–Sen",
    "seasonal_kendall": "seasonal Kendall",
    "like_for_like": "the line at equal cold",
}


def trend_verdict(trends: BaseWeightTrends, display: Display) -> str:
    """The answer in one sentence or two: really lighter, or only warmer?"""
    whole, fit = trends.whole, trends.fit
    if fit is None or whole.headline == "cannot_tell":
        return f"{why_not(whole)}{_on_the_scale(whole)}"
    if fit.step is not None:
        return _step(fit, display)
    on_scale = sign(whole.slope)
    if whole.headline == "no_trend":
        return _no_trend(trends, fit, on_scale, display)
    way = "down" if whole.headline == "lighter" else "up"
    sure = (
        (fit.influence is None or sign(fit.influence.without) == way)
        and trends.weights.years >= _FOR_SURE_YEARS
        and fit.p_value < _FOR_SURE_P
    )
    really = f"{'Really' if sure else 'Probably'} {whole.headline}"
    hidden = {"unclear": ", though the scale alone does not show it", "none": "", way: ""}.get(
        on_scale, ", although the scale alone says the opposite"
    )
    return f"{really}{hidden}: like for like, {rate(fit.slope, display)}."


def _step(fit: LikeForLike, display: Display) -> str:
    assert fit.step is not None
    one = sentence(one_step(fit.step, display))
    if fit.step.alone:
        return one
    fall = "fall" if fit.step.change.value < 0 else "rise"
    return (
        f"{one.removesuffix('.')}, explains these trips as well as a steady {fall}, so no rate is "
        "given."
    )


def _no_trend(trends: BaseWeightTrends, fit: LikeForLike, on_scale: str, display: Display) -> str:
    length, change = over_the_log(trends, fit)
    fits = f"anything from {load(change.low, display)} to {load(change.high, display)}"
    if not round(change.low) and not round(change.high):
        return f"No change: at equal cold it weighs the same over {length}."
    if fit.kit is not None and fit.kit.sure:
        scale = scale_of(fit.kit.change, display)
        grams = abs(fit.kit.change.value)
        # About so much: the range beside it spans far more than ten grams.
        amount = scale.text(round(grams, -1) if display.mass == "g" and grams >= 100 else grams)
        sure = "Yes" if fit.kit.change.value < 0 else "No"
        way = "lighter" if sure == "Yes" else "heavier"
        return (
            f"{sure}, at equal cold: about {amount} {way} than {length} ago "
            f"({ends(fit.kit.change, scale)}).{_beside(trends, fit, on_scale, way)} It is too "
            "early to say whether that goes on."
        )
    if on_scale in ("down", "up"):
        word = "Lighter" if on_scale == "down" else "Heavier"
        return (
            f"{word} on the scale, but at equal cold that may be no change at all: over {length}, "
            f"{fits} is possible."
        )
    return f"No trend shows: over {length} at equal cold, {fits} is possible."


def _beside(trends: BaseWeightTrends, fit: LikeForLike, on_scale: str, way: str) -> str:
    """Why the scale does not show what shows at equal cold; empty where it does."""
    by = colder_each_year(trends, fit)
    hides = (by is not None and by > 0) if way == "lighter" else (by is not None and by < 0)
    shows = on_scale == ("down" if way == "lighter" else "up")
    if shows or on_scale == "none" or not hides:
        return ""
    grew = "colder" if way == "lighter" else "milder"
    return f" On the scale it hardly shows, because the trips grew {grew}."


def _on_the_scale(whole: Trends) -> str:
    """What the scale says where cold is not known; it is no answer, and says so."""
    plain = whole.plain
    if plain is None or not (plain.slope.sign_known or plain.step is not None):
        return ""
    change = plain.slope.value if plain.step is None else plain.step.change.value
    way = "lighter" if change < 0 else "heavier"
    return f" On the scale it got {way}, but that may be the season alone."


def why_not(whole: Trends) -> str:
    """Why nothing can be told; empty where something can."""
    fit, reason = whole.fit, whole.reason
    entered, of = (
        (fit.trips, fit.of) if isinstance(fit, NoFit) else (len(fit.trips), len(fit.trips))
    )
    ways = f" {listing([by_mode(way) for way in whole.ways])}" if len(whole.ways) > 1 else ""
    if reason is None:
        return ""
    if reason == "modes":
        blank = of - entered
        return (
            f"The log cannot say whether the kit changed: {blank} of {count(of, 'trip')} "
            f"{'does' if blank == 1 else 'do'} not say how you travelled, and more than one in "
            f"{round(1 / MOST_BLANK)} is too many, since walking, bike and boat kits differ. "
            "Fill in “mode” in trip.csv."
        )
    enough = "it takes six with a known night low, more where ways of travelling differ"
    return {
        "too_few": f"Too early to say: {count(entered, 'trip')}{ways}; {enough}.",
        "no_lows": "The log cannot say: no night low is known, so what cold adds cannot be "
        f"separated from what time changed. {sentence(enough)}",
        "short": "Too early to say: these trips span less than ten months, so a change of kit "
        "cannot be separated from a change of season.",
        "lengths": "The log cannot say: the trips grew shorter or longer, which changes what is "
        "carried, and there are too few of them to allow for that.",
        "alike": "The log cannot say: date, cold and way of travelling go so closely together in "
        "these trips that their effects cannot be separated.",
        "wide": f"Too early to say: {count(of, 'trip')}{ways} fit a fall and a rise of a quarter "
        "of the load within a year alike.",
    }[reason]


def what_moves_it(fit: LikeForLike, titles: dict[str, str], display: Display) -> str:
    """What goes with the verdict: a step's size and place, or the trip that moves a line."""
    if fit.step is not None:
        since, until = (day_of(at) for at in (fit.step.since, fit.step.until))
        size = sentence(f"it is {ends(fit.step.change, scale_of(fit.step.change, display))}")
        if since is None or until is None or month(since) == month(until):
            return size
        return f"{size} It lies between {month(since)} and {month(until)}."
    trip = fit.influence
    if trip is None:
        return ""
    title = f"“{titles[trip.trip]}”"
    if sign(trip.without) == sign(fit.slope):
        return f"Without {title}, the trip that moves it most, the answer is the same."
    if fit.slope.sign_known:
        return f"The answer rests on one trip: without {title} no trend would show."
    return f"Without {title}, the trip that moves it most, it would be another."


def agreement(whole: Trends) -> str:
    """Whether the estimators agree in direction, and which of them can be told from none."""
    n = len(whole.rates)
    if n == 1:
        return "Too few trips for any other estimator."
    down = sum(of.value < 0 for of, _ in whole.rates.values())
    who = f"The {n} estimators {'all say lighter' if down == n else 'do not all agree'}"
    if not down:
        who = f"Of the {n} estimators not one says lighter"
    sure = [_METHOD[method] for method, (of, _) in whole.rates.items() if of.sign_known]
    clear = {0: "none", n: "each"}.get(len(sure), f"only {listing(sure)}")
    verb = "differ" if 1 < len(sure) < n else "differs"
    return f"{who}; {clear} clearly {verb} from no change."


def target_words(
    trends: BaseWeightTrends, goal_g: float | None, display: Display
) -> tuple[str, str]:
    """When the target is reached, and what goes with it."""
    if goal_g is None:
        how = "Set it as base_weight_g, in grams, under [goals] in tarebook.toml."
        return "No target is set.", how
    aim = mass(goal_g, display)
    counted = trends.weights.counted
    latest = f"The latest weighed {mass(counted[-1].base_g, display)}." if counted else ""
    if not trends.targets:
        return _no_date(trends, aim), latest
    parts = [_reached(mode, at, aim, display) for mode, at in trends.targets]
    dated = any(at.state == "on_the_way" for _, at in trends.targets)
    more = "A straight line does not know that the easy grams go first." if dated else ""
    return " ".join(parts), more


def _no_date(trends: BaseWeightTrends, aim: str) -> str:
    reasons = {
        "step": "one step explains the weights, and a step sets no pace",
        "no_trend": "no steady fall shows",
        "heavier": "it gets heavier",
        "cannot_tell": "the log cannot say whether the kit gets lighter",
    }
    why = reasons.get(trends.whole.headline, "no way of travelling has three trips")
    return f"No date for {aim}: {why}."


def _reached(mode: str, at: Target, aim: str, display: Display) -> str:
    how = f"{sentence(by_mode(mode)).removesuffix('.')}, " if mode else ""
    apart = mass(abs(at.now_g - at.target_g), display)
    if at.state == "reached":
        return sentence(f"{how}{aim} is reached: the line stands {apart} below it")
    above = f"the line stands {apart} above {aim}"
    if at.state == "beyond":
        return sentence(f"{how}{above}, further off than the log is long, so there is no date")
    when, first = day_of(at.when or 0.0), day_of(at.earliest or 0.0)
    last = None if at.latest is None else day_of(at.latest)
    if at.state == "not_at_this_rate" or when is None or first is None:
        return sentence(f"{how}{above}, and does not surely fall")
    until = f"to {month(last)}" if last else "or later, beyond what this log can show"
    return sentence(
        f"{how}{aim} around {month(when)} at this rate (very likely {month(first)} {until})"
    )


def scale_note(trends: BaseWeightTrends, display: Display) -> str:
    """The trend as the scale shows it, in one sentence, each way of travelling with itself.

    A rate is told only beside one that can be told at equal cold.
    """
    slope = trends.whole.slope
    alike = ", each way of travelling with itself" if len(trends.whole.ways) > 1 else ""
    if slope is None:
        return ""
    if trends.whole.steady:
        return words.sentence(f"{rate(slope, display)}{alike}")
    way = {"down": "it got lighter", "up": "it got heavier"}.get(sign(slope), "no change shows")
    return f"On the scale{alike}, {way}; no rate is given."
