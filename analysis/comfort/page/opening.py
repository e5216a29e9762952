"""What the comfort page says first."""

from collections.abc import Sequence

from ...cold import sections as cold_sections
from ...cold import words as cold_words
from ...cold.limit import ColdLimits
from ...cold.trips import ColdAhead
from ...display.sections import Point
from ...display.words import Display, count, days, listing, percent, sentence, temperature_scale
from ...store.set_aside import set_aside_notice
from .. import words as said
from ..gain import AspectGains
from ..next_swap import Swap

TITLE = "What a point of comfort weighed"


def lines(aspects: Sequence[AspectGains], limits: ColdLimits) -> tuple[str, ...]:
    """How much is scored."""
    found = []
    if aspects:
        every = [day for aspect in aspects for _, day in aspect.days.rows]
        found.append(days(min(every), max(every)))
        found.append(f"Scored: {said.scored(aspects)}")
    if limits.nights:
        found.append(f"Judged for warmth: {count(len(limits.nights), 'night')}")
    return tuple(found)


def notices(aspects: Sequence[AspectGains], limits: ColdLimits, set_aside: int) -> tuple[str, ...]:
    """What the reader must know of the data."""
    found = [*set_aside_notice(set_aside)]
    if not aspects:
        found.append(
            "No comfort score is noted yet. Write one for each night and day into comfort.csv, "
            "from 1 to 5, and how warm the night was, from −3 to +3: from some twenty on there is "
            "something to say."
        )
    elif max(len(aspect.days.rows) for aspect in aspects) < said.FEW_DAYS:
        found.append(
            f"Only {said.scored(aspects)} are scored: too few to tell; what follows is mostly what "
            "was assumed beforehand."
        )
    nights = len({(night.trip, night.night) for night in limits.apart})
    if nights:
        found.append(
            f"Sleep scores of {count(nights, 'night')} do not count, because sleep or shelter gear "
            "had failed; the nights are named with your cold limit."
        )
    unweighed = sorted(
        {
            n
            for a in aspects
            for g in a.comforts
            if g.bundle.weight_g is None
            for n in g.bundle.names
        }
    )
    if unweighed:
        found.append(f"Not weighed: {listing(unweighed, at_most=6)}.")
    return tuple(found)


def points(
    aspects: Sequence[AspectGains],
    swaps: Sequence[Swap],
    limits: ColdLimits,
    trips: Sequence[ColdAhead],
    display: Display,
) -> tuple[Point, ...]:
    """The answer in short."""
    return (
        *_worth(aspects, display),
        *_cold(limits, display),
        *_ahead(trips),
        *(
            Point("To try next", f"{said.swap_title(s)} once", "Of all changes, that teaches most.")
            for s in swaps[:1]
        ),
    )


def _worth(aspects: Sequence[AspectGains], display: Display) -> list[Point]:
    gains = said.comforts_of(aspects)
    if not gains:
        return []
    earned, probably = (said.by_verdict(gains, v) for v in ("earned", "probably"))
    if earned:
        more = sentence("; ".join(said.gain_words(g, display) for g in earned[:2]))
        found = [Point("Earned its grams", said.with_aspects(earned), more, leads=True)]
    else:
        found = [Point("Earned its grams", "Nothing beyond doubt yet", leads=True)]
    if probably:
        chance = percent(min(g.p_helps for g in probably))
        found.append(
            Point(
                "Probably did", said.with_aspects(probably), f"Chance of help {chance} or better."
            )
        )
    open_ones = said.undecided_names(gains)
    if open_ones:
        found.append(
            Point(
                "Too early to say",
                listing(open_ones, at_most=4),
                "They may help or hinder; the log cannot say yet.",
            )
        )
    tied = said.not_apart_names(gains)
    if tied:
        found.append(
            Point(
                "Goes with better days",
                listing(tied, at_most=4),
                "Its gain cannot be told apart from easy trips or time.",
            )
        )
    return found


def _cold(limits: ColdLimits, display: Display) -> list[Point]:
    judged = sorted((limit for limit in limits.limits if limit.nights), key=lambda x: -x.nights)[:2]
    scale = temperature_scale(display, 0)
    found = []
    for limit in judged:
        name = cold_sections.system_name(limit, limits.limits)
        span = f"{scale.number(limit.own_limit_low_c)} to {scale.text(limit.own_limit_high_c)}"
        nights = count(limit.nights, "night")
        told = cold_sections.is_told(limit)
        where = f"down to {scale.text(limit.own_limit_c)}" if told else "too few nights to tell"
        found.append(
            Point(
                "How cold",
                f"{name}: {where}",
                f"One night in five is too cold {'there' if told else 'somewhere from'} "
                f"{f'({span}, {nights})' if told else f'{span} ({nights})'}; rated "
                f"{scale.text(limit.system.rated_low_c)}.",
                leads=told,
            )
        )
    return found


def _ahead(trips: Sequence[ColdAhead]) -> list[Point]:
    return [
        Point(
            "A cold night ahead",
            f"{trip.trip.title}: {cold_words.chance_in_short(trip)}",
            f"The range is {said.small_percent(trip.chance.p_any_low)} to "
            f"{said.small_percent(trip.chance.p_any_high)}; look at the forecast.",
        )
        for trip in trips[:2]
        if trip.chance is not None
    ]
