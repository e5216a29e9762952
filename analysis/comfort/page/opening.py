"""What the comfort page says first."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from ...cold import sections as cold_sections
from ...cold import words as cold_words
from ...cold.limit import ColdLimits
from ...cold.trips import ColdAhead
from ...display.cautions import NEW_BEDDING_CARE
from ...display.sections import Opening, Point
from ...display.words import (
    Display,
    count,
    days,
    own_limit,
    percent,
    quoted,
    sentence,
    temperature_scale,
)
from ...store.set_aside import set_aside_notice
from .. import words as comfort_words
from ..gain import AspectGains
from ..next_swap import Swap

if TYPE_CHECKING:
    from .page import ComfortPage

_TITLE = "What a point of comfort weighed"
_COLD_AHEAD, _IN_SET = "A cold night on", "In “"


def comfort_opening(page: "ComfortPage") -> Opening:
    """How much is scored, what the reader must know of the data, and the answer in short."""
    aspects, limits = page.aspects, page.limits
    every = [day for aspect in aspects for _, day in aspect.days.rows]
    lines = (days(min(every), max(every)),) if every else ()
    notices = (*set_aside_notice(page.set_aside), *_notices(aspects, limits))
    points = comfort_points(aspects, page.swaps, limits, page.trips, page.display)
    cold = any(limit.nights for limit in limits.limits)
    ahead = [at for at, point in enumerate(points, 1) if point.about.startswith(_COLD_AHEAD)]
    care = NEW_BEDDING_CARE if cold or ahead else ""
    # What can hurt is in sight on a telephone: the rest comes after it.
    limit = [at for at, point in enumerate(points, 1) if point.about.startswith(_IN_SET)]
    after = ahead[-1] if ahead else limit[-1] if limit else None
    says = _in_one(aspects, page.display)
    return Opening(_TITLE, lines, notices, points, says, caution=care, care_after=after)


def _in_one(aspects: Sequence[AspectGains], display: Display) -> str:
    """The answer on comforts in one sentence."""
    gains = comfort_words.comforts_of(aspects)
    if not gains:
        return "No comfort has been scored often enough to say what it brings."
    earned = comfort_words.by_verdict(gains, "earned")
    if not earned:
        return "No comfort has earned its weight beyond doubt yet."
    what = "; ".join(comfort_words.gain_words(gain, display) for gain in earned[:2])
    names = comfort_words.with_aspects(earned)
    its = "its" if len(earned) == 1 else "their"
    return sentence(f"{names} earned {its} weight: {what}")


def _notices(aspects: Sequence[AspectGains], limits: ColdLimits) -> Iterator[str]:
    if not aspects:
        yield (
            "No comfort score is noted yet. Write one for each night and day into comfort.csv, "
            "from 1 to 5, and how warm the night was, from −3 to +3. After some twenty there is "
            "something to say."
        )
    elif max(len(aspect.days.rows) for aspect in aspects) < comfort_words.FEW_DAYS:
        yield (
            f"Only {comfort_words.scored(aspects)} are scored: too few to tell. What follows is "
            "mostly what was assumed beforehand."
        )
    else:
        yield f"Scored: {comfort_words.scored(aspects)}."
    nights = len({(night.trip, night.night) for night in limits.apart})
    if nights:
        named = "The nights are named under “How cold can I sleep”."
        if not limits.limits:
            (named,) = cold_sections.apart(limits.apart)
        yield (
            f"Sleep scores of {count(nights, 'night')} do not count, because sleep or shelter gear "
            f"had failed. {named}"
        )
    gains = comfort_words.comforts_of(aspects)
    unweighed = {n for g in gains if g.bundle.weight_g is None for n in g.bundle.names}
    if unweighed:
        yield f"Not weighed: {quoted(sorted(unweighed), at_most=6)}."


def comfort_points(
    aspects: Sequence[AspectGains],
    swaps: Sequence[Swap],
    limits: ColdLimits,
    trips: Sequence[ColdAhead],
    display: Display,
) -> tuple[Point, ...]:
    """The answer in short."""
    swap = "Of all changes, this one would tell you most."
    worth = _worth(aspects, display)
    return (
        *worth[:1],
        *_ahead(trips),
        *_cold(limits, display),
        *worth[1:],
        *(Point("To try next", f"{comfort_words.swap_title(s)} once.", swap) for s in swaps[:1]),
    )


def _worth(aspects: Sequence[AspectGains], display: Display) -> list[Point]:
    """What comforts brought: what earned its weight, then what is less sure."""
    gains = comfort_words.comforts_of(aspects)
    if not gains:
        return []
    earned, probably = (comfort_words.by_verdict(gains, v) for v in ("earned", "probably"))
    answer, more = "Nothing beyond doubt yet.", ""
    if earned:
        answer = sentence(comfort_words.with_aspects(earned))
        more = sentence("; ".join(comfort_words.gain_words(g, display) for g in earned[:2]))
        if len(gains) > 1:
            more += f" But {comfort_words.by_chance(gains)}."
    points = [Point(comfort_words.VERDICTS["earned"], answer, more, leads=True)]
    if probably:
        chance = f"Chance of help {percent(min(g.p_helps for g in probably))} or better."
        names = sentence(comfort_words.with_aspects(probably))
        points.append(Point(comfort_words.VERDICTS["probably"], names, chance))
    if names := quoted(comfort_words.undecided_names(gains), at_most=4):
        why = "They may help or hinder; the log cannot say yet."
        points.append(Point(comfort_words.VERDICTS["not_known"], sentence(names), why))
    if names := quoted(comfort_words.not_apart_names(gains), at_most=4):
        why = "What they add cannot be told apart from easy trips or time."
        points.append(Point(comfort_words.VERDICTS["goes_with_better_days"], sentence(names), why))
    return points


def _cold(limits: ColdLimits, display: Display) -> Iterator[Point]:
    judged = sorted((limit for limit in limits.limits if limit.nights), key=lambda x: -x.nights)[:2]
    scale = temperature_scale(display, 0)
    for limit in judged:
        name = cold_sections.system_name(limit, limits.limits)
        span = cold_words.span(scale, limit.own_limit_c)
        nights, sure = count(limit.nights, "night"), cold_sections.is_told(limit)
        where, reach = (
            "Too early to say",
            f"One night in five is too cold somewhere within {span}",
        )
        if sure:
            # A limit said as a depth to go down to would read as leave to go there.
            own = own_limit(limit.own_limit_c.value, display)
            where, reach = f"At {own} one night in five is too cold", f"Very likely {span}"
        yield Point(
            f"{_IN_SET}{name}”",
            f"{where}.",
            f"{reach}, from {nights}. Rated {scale.text(limit.system.rated_low_c)}.",
            leads=sure,
        )


def _ahead(trips: Sequence[ColdAhead]) -> list[Point]:
    """How likely a too cold night is on the next two trips, or why that is not told."""
    points = []
    for trip in trips[:2]:
        about = f"{_COLD_AHEAD} “{trip.trip.title}”"
        if barred := cold_words.barred_sentences(trip):
            why = " ".join(barred[:-1])
            points.append(Point(about, why, barred[-1]))
        elif trip.told is not None and trip.limit is not None:
            chance = cold_words.chance_that(trip.told, trip.limit)
            more = "Look at the forecast."
            if rests := cold_words.rests_on_little(trip):
                more = f"{rests} {more}"
            points.append(Point(about, sentence(f"{chance}{_warmer(trip)}"), more))
    return points


def _warmer(trip: ColdAhead) -> str:
    """ "; in “Winter bag” about 1 in 30": the warmest set that is owned, where it is warmer."""
    best = cold_words.warmer_set(trip)
    return "" if best is None else f"; in {best[0]} {best[1]}"
