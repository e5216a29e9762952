"""The sections on cold: own limits, and the chance of a cold night on trips to come."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

from ..climate import station_words
from ..climate import words as context_words
from ..climate.outlook import Outlook
from ..climate.station_choice import NoStation
from ..display.cautions import AHEAD_CARE, LIMIT_CARE
from ..display.figure import Figure
from ..display.sections import Section
from ..display.words import (
    Display,
    count,
    day,
    days,
    listing,
    own_limit,
    percent,
    quoted,
    temperature,
    temperature_scale,
    temperature_step,
)
from . import note_words
from . import words as cold_words
from .chart import MOST_CURVES, Curve, cold_chart
from .limit import ColdLimit, ColdLimits, NightApart
from .mild_words import goes_by_rating
from .page_tables import limit_table, sets_table
from .ratings import several
from .trips import ColdAhead

LIMITS, AHEAD = "How cold can I sleep", "Cold nights ahead"
_EACH = "Ratings, limits and nights of each"
_WHY_NOT = {
    "no_nights": "it has no night",
    "no_bedding": "its list has no sleep gear with a rating",
    "no_spread": "the normals there do not say how much single nights differ",
}
_FAILED = {
    "impaired": "worked badly",
    "lost_use": "could no longer be used",
    "unsafe": "was unsafe",
}
_MOST_APART = 20


def limits_section(limits: ColdLimits, display: Display) -> Section:
    """The own limit of every sleep system, and the curves behind them."""
    if not limits.limits:
        return Section.empty(LIMITS, "a night in sleep gear that has a rating")
    judged = sorted(limits.limits, key=lambda limit: (-limit.nights, limit.system.names))
    sentences = [limit_sentence(limit, display) for limit in judged if limit.nights]
    if not sentences:
        sentences = [
            "No night has both a low and a warmth vote yet: what is shown is what is assumed of "
            "any sleeper and any rating.",
            *(limit_sentence(limit, display) for limit in judged),
        ]
    first = sentences[0]
    curves = _curves(limits, [limit for limit in judged if limit.nights] or judged, display)
    return Section(
        LIMITS,
        (*sentences, *note_words.votes(limits, display)),
        Figure(
            "cold-limits",
            f"{first} Curves fall from left to right: the milder the night, the fewer too cold.",
            cold_chart(limits, curves, display),
            "Lines: the share of nights that would be too cold; bands: where it very likely lies. "
            "The large marks on the dashed line, one night in five, are your own limits. Small "
            "marks: your nights, above those voted −2 or −3, below the others."
            f"{_coldest(limits, display)}",
        ),
        replace(limit_table(limits.limits, display), caption=_EACH, fold_after=0),
        _limit_notes(limits, display),
        caution=LIMIT_CARE,
    )


def _coldest(limits: ColdLimits, display: Display) -> str:
    """How far down nights reach: below that a curve is no more than a guess."""
    coldest = [limit.coldest_c for limit in limits.limits if limit.coldest_c is not None]
    if not coldest:
        return ""
    return (
        f" The coldest judged night fell to {temperature(min(coldest), display)}: what the curves "
        "say of colder ones is a guess."
    )


def system_name(limit: ColdLimit, among: Sequence[ColdLimit]) -> str:
    """A sleep system by what is rated in it, by all of it where that would be two of them."""
    alike = [one for one in among if one.system.rated_name == limit.system.rated_name]
    return limit.system.rated_name if len(alike) == 1 else listing(limit.system.names, at_most=4)


def is_told(limit: ColdLimit) -> bool:
    """Whether its nights, more than the rating, say where the limit lies."""
    return limit.nights >= cold_words.FEW_JUDGED and limit.prior_share < 0.5


def limit_sentence(limit: ColdLimit, display: Display) -> str:
    """The limit, what it is rated, and the nights behind it."""
    system, scale = limit.system, temperature_scale(display, 0)
    between = f"{scale.number(limit.own_limit_c.low)} and {scale.text(limit.own_limit_c.high)}"
    return (
        f"In {quoted(system.names, at_most=4)}, one night in five is too cold for you at "
        f"{own_limit(limit.own_limit_c.value, display)} (very likely between {between}). "
        f"“{system.rated_name}” has a {cold_words.rating(system, display)}. {_of_nights(limit)}. "
        f"{goes_by_rating(limit, display)}"
    ).strip()


def _of_nights(limit: ColdLimit) -> str:
    if not limit.nights:
        return "No night is behind it"
    return f"{limit.cold_nights} of {count(limit.nights, 'judged night')} were too cold"


def _curves(limits: ColdLimits, shown: Sequence[ColdLimit], display: Display) -> list[Curve]:
    own, scale = temperature_scale(display), temperature_scale(display, 0)
    curves = [
        Curve(
            limits.places.get(limit.system.items, -1),
            limit,
            f"{system_name(limit, limits.limits)}: {own.number(limit.own_limit_c.value)} "
            f"({cold_words.span(scale, limit.own_limit_c)})",
        )
        for limit in shown[:MOST_CURVES]
    ]
    return sorted(curves, key=lambda c: (c.limit.own_limit_c.value, c.label))


def _limit_notes(limits: ColdLimits, display: Display) -> tuple[str, ...]:
    left = sorted(1 - limit.prior_share for limit in limits.limits)
    share = percent(left[0])
    share = share if len(left) == 1 else f"{share} to {percent(left[-1])}"
    learned = "Your nights say nothing of it yet."
    if limits.nights:
        learned = f"Your own nights removed {share} of that uncertainty."
    step = temperature_step(display, 0)
    notes = [
        "Before any night, your limit is assumed to lie within about "
        f"{step.text(9)} of the limit rating plus {step.text(3)}. {learned}",
        "Sleep systems learn from each other: whoever is cold in one is assumed to be rather cold "
        "in the next.",
    ]
    rated_as = sorted({limit.system.rated_as for limit in limits.limits})
    if several([*rated_as, "limit"]):
        notes += note_words.rating_notes(rated_as, display)
    if limits.unjudged:
        notes.append(f"{count(limits.unjudged, 'night')} had no low or no warmth vote.")
    if limits.unrated:
        notes.append(f"{count(limits.unrated, 'night')} had sleep gear without a rating.")
    return (*notes, *apart(limits.apart))


def apart(nights_apart: Sequence[NightApart]) -> tuple[str, ...]:
    """The nights that are left out because sleep or shelter gear had failed, each named."""
    if not nights_apart:
        return ()
    many = len({(night.trip, night.night) for night in nights_apart})
    by_thing: dict[tuple[str, str, str, str], list[NightApart]] = defaultdict(list)
    for night in nights_apart:
        by_thing[night.trip, night.title, night.name, night.why].append(night)
    failures = [
        f"“{name}” {_FAILED[why]} on {_nights(nights)} (“{title}”)"
        for (_, title, name, why), nights in list(by_thing.items())[:_MOST_APART]
    ]
    if len(by_thing) > _MOST_APART:
        failures.append(f"{len(by_thing) - _MOST_APART} more failures")
    verb = "is" if many == 1 else "are"
    return (
        f"{count(many, 'night')[:1].upper()}{count(many, 'night')[1:]} {verb} left out, because "
        f"sleep or shelter gear had failed: {'; '.join(failures)}. They say nothing of gear "
        "that is whole.",
    )


def _nights(nights: Sequence[NightApart]) -> str:
    first, last = nights[0].night, nights[-1].night
    if len(nights) == 1:
        return f"the night of {day(first, weekday=False)}"
    return f"{count(len(nights), 'night')}, {days(first, last)}"


def cold_ahead_section(trips: Sequence[ColdAhead], display: Display) -> Section:
    """The chance of a too cold night on each trip to come, and every sleep set that is owned."""
    if not trips:
        return Section.empty(AHEAD, "a planned trip")
    if not any(trip.chance is not None or cold_words.barred_sentences(trip) for trip in trips):
        # A section that only says that it cannot tell is one line of what the log cannot say.
        return Section.empty(AHEAD, wanting(trips) or "a planned trip with a night")
    sentences = [line for trip in trips for line in ahead_sentences(trip, display)]
    known = [trip for trip in trips if trip.chance is not None]
    with_sets = [trip for trip in trips if trip.sets or trip.limit is not None]
    return Section(
        AHEAD,
        tuple(sentences),
        table=replace(sets_table(with_sets, display), fold_after=0) if with_sets else None,
        notes=ahead_notes(known, display),
        caution=AHEAD_CARE,
    )


def wanting(trips: Sequence[ColdAhead]) -> str:
    """What is missing for the chances of trips to come, as what a logbook wants."""
    reasons = []
    for trip in trips:
        title, outlook = f"“{trip.trip.title}”", trip.outlook
        no_place = isinstance(outlook, NoStation) and outlook.reason == "no_place"
        where = f"the place of {title}" if no_place else f"climate normals near {title}"
        reasons.append(
            {
                "no_bedding": f"sleep gear with a rating on the list of {title}",
                "no_station": where,
                "no_spread": f"normals of how much single nights differ near {title}",
            }.get(trip.why_not or "", "")
        )
    return listing(list(dict.fromkeys(filter(None, reasons))))


def ahead_sentences(ahead: ColdAhead, display: Display) -> tuple[str, ...]:
    """The chance in words, or why it cannot be told; then what the list lacks."""
    title = f"“{ahead.trip.title}”, {days(ahead.trip.start_on, ahead.trip.end_on)}"
    lacks = cold_words.barred_sentences(ahead)
    if ahead.told is not None:
        chance, *more = cold_words.chance_sentences(ahead, display)
        return (f"{title}: {chance[:1].lower()}{chance[1:]}", *more)
    if ahead.chance is not None:
        first, *more = lacks
        return (f"{title}: {first[:1].lower()}{first[1:]}", *more)
    if isinstance(ahead.outlook, NoStation) and ahead.why_not == "no_station":
        return (f"{title}: {station_words.no_station(ahead.outlook, display)}", *lacks)
    why = _WHY_NOT[ahead.why_not or ""]
    return (f"{title}: the chance of a cold night is not known, as {why}.", *lacks)


def ahead_notes(known: Sequence[ColdAhead], display: Display) -> tuple[str, ...]:
    """How the chances come about, and from which normals."""
    if not known:
        return ()
    notes = [
        "Worked out from your own limit and the climate normals, brought to the height of the "
        "camp. Where you have judged no night in a sleep set, its limit comes from its rating and "
        "from how you slept in other gear. The nights are assumed to be alike from one to the next "
        f"({context_words.ALIKE}) and share one effect of the trip. The range allows for what is "
        f"not known of your limit, {context_words.RANGE_HOLDS}.",
    ]
    notes += (note for trip in known for note in cold_words.lacking_notes(trip.lacking))
    camps = (note_words.camps_note(trip.camps, display) for trip in known if trip.camps is not None)
    notes += dict.fromkeys(camps)
    stations = {
        station_words.normals_source(trip.outlook.station): trip.outlook.station
        for trip in known
        if isinstance(trip.outlook, Outlook)
    }
    for source, station in stations.items():
        notes.append(f"Normals: {source}.")
        notes += station_words.normals_in_short(station, display)
    shown = [one.limit.system for trip in known for one in trip.sets]
    shown += [trip.bedding for trip in known if trip.bedding is not None]
    notes += note_words.rating_notes(sorted({system.rated_as for system in shown}), display)
    for trip in known:
        if trip.varies:
            notes.append(f"“{trip.trip.title}”: worked out with the sleep gear of most nights.")
    return tuple(dict.fromkeys(notes))
