"""The sections on cold: own limits, and the chance of a cold night on trips to come."""

from collections.abc import Sequence

from tarebook.analysis import context_words
from tarebook.analysis.cold_chart import MOST_CURVES, Curve, cold_chart
from tarebook.analysis.cold_limit import ColdLimit, ColdLimits
from tarebook.analysis.cold_trips import ColdAhead
from tarebook.analysis.comfort_page_tables import ahead_table, limit_table
from tarebook.analysis.comfort_words import small_percent
from tarebook.analysis.figure import Figure
from tarebook.analysis.outlook import Outlook
from tarebook.analysis.section import Section
from tarebook.analysis.station_choice import NoStation
from tarebook.analysis.words import (
    Display,
    count,
    days,
    listing,
    one_in,
    percent,
    temperature,
    temperature_difference,
    temperature_scale,
    temperature_step,
)

LIMITS, AHEAD = "How cold can I sleep", "Cold nights ahead"
CARE = (
    "Ratings compare bags; they promise nothing, and neither does this limit: one night in five is "
    "too cold at it. Cold injures, and tired, wet, hungry or ill it does so sooner. Try new limits "
    "near home with warmth in reserve, and let qualified advice and local conditions decide."
)
_FEW_NIGHTS = 5
_RATED_AS = {"comfort": "comfort rating", "limit": "limit rating", "maker": "maker’s rating"}
_WHY_NOT = {
    "no_nights": "it has no night",
    "no_bedding": "no rated sleep gear is noted for it in carried.csv",
    "no_spread": "the normals there do not tell how far single nights stray",
}


def limits(found: ColdLimits, display: Display) -> Section:
    """The own limit of every sleep system, and the curves behind them."""
    if not found.limits:
        return Section.empty(LIMITS, "a night in sleep gear with a rated_low")
    judged = sorted(found.limits, key=lambda limit: (-limit.nights, limit.system.names))
    told = [limit_sentence(limit, display) for limit in judged if limit.nights]
    if not told:
        told = [
            "No night has both a low and a warmth vote yet: what is shown is what is assumed of "
            "any sleeper and any rating.",
            *(limit_sentence(limit, display) for limit in judged),
        ]
    curves = _curves(found, [limit for limit in judged if limit.nights] or judged, display)
    return Section(
        LIMITS,
        tuple(told),
        Figure(
            "cold-limits",
            f"{told[0]} Curves fall from left to right: the milder the night, the fewer too cold.",
            cold_chart(found, curves, display),
            "Lines and bands: the share of nights that would be too cold, with its 90 % band. The "
            "large marks on the dashed line, one night in five, are the own limits. Small marks: "
            "your nights, above those voted −2 or −3, below the others.",
        ),
        limit_table(found.limits, display),
        _limit_notes(found, display),
        caution=CARE,
    )


def name_of(limit: ColdLimit, among: Sequence[ColdLimit]) -> str:
    """A sleep system by what is rated in it, by all of it where that would be two of them."""
    alike = [one for one in among if one.system.rated_name == limit.system.rated_name]
    return limit.system.rated_name if len(alike) == 1 else listing(limit.system.names, at_most=4)


def is_told(limit: ColdLimit) -> bool:
    """Whether its nights, more than the rating, say where the limit lies."""
    return limit.nights >= _FEW_NIGHTS and limit.prior_share < 0.5


def limit_sentence(limit: ColdLimit, display: Display) -> str:
    """The limit against the rating, and the nights behind it."""
    system, scale = limit.system, temperature_scale(display, 0)
    above = limit.own_limit_c - system.rated_low_c
    side = "above" if above >= 0 else "below"
    return (
        f"In {listing(system.names, at_most=4)}, one night in five is too cold at "
        f"{scale.text(limit.own_limit_c)} ({scale.number(limit.own_limit_low_c)} to "
        f"{scale.text(limit.own_limit_high_c)}), {temperature_difference(abs(above), display)} "
        f"{side} the {_RATED_AS[system.rated_as]} of {scale.text(system.rated_low_c)}; "
        f"{_of_nights(limit)}."
    )


def _of_nights(limit: ColdLimit) -> str:
    if not limit.nights:
        return "no night is behind it"
    return f"{limit.cold_nights} of {count(limit.nights, 'judged night')} were too cold"


def _curves(found: ColdLimits, shown: Sequence[ColdLimit], display: Display) -> list[Curve]:
    scale = temperature_scale(display, 0)
    curves = [
        Curve(
            found.limits.index(limit),
            limit,
            f"{name_of(limit, found.limits)}: {scale.number(limit.own_limit_c)} "
            f"({scale.number(limit.own_limit_low_c)} to {scale.text(limit.own_limit_high_c)})",
        )
        for limit in shown[:MOST_CURVES]
    ]
    return sorted(curves, key=lambda c: (c.limit.own_limit_c, c.label))


def _limit_notes(found: ColdLimits, display: Display) -> tuple[str, ...]:
    left = sorted(1 - limit.prior_share for limit in found.limits)
    share = percent(left[0])
    share = share if len(left) == 1 else f"{share} to {percent(left[-1])}"
    told = "Your nights say nothing of it yet."
    if found.nights:
        told = f"Of that doubt your nights took away {share}."
    step = temperature_step(display, 0)
    notes = [
        "The prior’s part: before any night the limit is taken to lie within about "
        f"{step.text(9)} of the rating plus {step.text(3)}. {told}",
        "Sleep systems learn from each other: a sleeper who is cold in one is taken to be rather "
        "cold in the next.",
    ]
    coldest = [limit.coldest_c for limit in found.limits if limit.coldest_c is not None]
    if coldest:
        notes.append(
            f"The coldest judged night fell to {temperature(min(coldest), display)}; what the "
            "curves say of colder ones is a guess."
        )
    if found.unjudged:
        notes.append(f"{count(found.unjudged, 'night')} had no low or no warmth vote.")
    if found.unrated:
        notes.append(f"{count(found.unrated, 'night')} had sleep gear without a rating.")
    return tuple(notes)


def ahead(trips: Sequence[ColdAhead], display: Display) -> Section:
    """The chance of a too cold night on each trip to come."""
    if not trips:
        return Section.empty(AHEAD, "a planned trip")
    told = [ahead_sentence(trip, display) for trip in trips]
    known = [trip for trip in trips if trip.chance is not None]
    return Section(
        AHEAD,
        tuple(told),
        table=ahead_table(known, display) if known else None,
        notes=_ahead_notes(known, display),
        caution=f"Ratings and limits promise nothing. {context_words.CARE}",
    )


def is_few(ahead: ColdAhead) -> bool:
    """Whether the sleep system of the trip has too few judged nights to say much."""
    return ahead.judged_nights < _FEW_NIGHTS


def ahead_sentence(ahead: ColdAhead, display: Display) -> str:
    """The chance in words, or why it cannot be told."""
    title = f"{ahead.trip.title}, {days(ahead.trip.start_on, ahead.trip.end_on)}"
    chance, bedding = ahead.chance, ahead.bedding
    if chance is None or bedding is None:
        if isinstance(ahead.outlook, NoStation) and ahead.why_not == "no_station":
            return f"{title}: {context_words.no_station(ahead.outlook, display)}"
        why = _WHY_NOT[ahead.why_not or ""]
        return f"{title}: the chance of a cold night cannot be told, as {why}."
    nights = len(chance.p_each)
    if is_few(ahead):
        title += f", too few nights in {bedding.rated_name} to tell; as far as they go"
    which = "the night is" if nights == 1 else f"at least one of {nights} nights is"
    return (
        f"{title}: {one_in(chance.p_any)} that {which} too cold in {bedding.rated_name} "
        f"({small_percent(chance.p_any_low)} to {small_percent(chance.p_any_high)})."
    )


def _ahead_notes(known: Sequence[ColdAhead], display: Display) -> tuple[str, ...]:
    if not known:
        return ()
    notes = [
        "Worked from your own limit and the climate normals brought to the height of the camp; the "
        "nights are taken as alike from one to the next (correlation 0.68) and share one effect of "
        "the trip. The range holds what is not known of your limit, nights alike by 0.6 to 0.75 "
        "and normals off by 0.3 standard deviations.",
    ]
    stations = {
        context_words.source(trip.outlook.station): trip.outlook.station
        for trip in known
        if isinstance(trip.outlook, Outlook)
    }
    for source, station in stations.items():
        notes.append(f"Normals: {source}.")
        notes += context_words.in_short(station, display)
    for trip in known:
        if not trip.judged_nights and trip.bedding is not None:
            notes.append(
                f"{listing(trip.bedding.names)} has no judged night of its own: its limit is taken "
                "from its rating and from your other sleep systems."
            )
        if trip.varies:
            notes.append(f"{trip.trip.title}: reckoned with the sleep gear of most nights.")
    return tuple(dict.fromkeys(notes))
