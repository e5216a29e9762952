"""How a trip to come lies outside of all trips before it, or hardly like any: what they cannot say.

A record speaks of what it has seen: the bounds are those of `usage.trip_range`, as the verdicts
have them.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

from ..display.words import Display, count
from ..store.rows import Store, ask
from ..store.trip_choice import TripChoice
from ..usage.held_words import beyond
from ..usage.trip_range import Outside, Range, TripToCome, months_of, outside, with_gaps
from ..usage.verdict_words import seen
from .results import LikeTrip, TripAhead

ENOUGH_ALIKE = 5.0
"""Like trips, each by its likeness, that speak with confidence (common practice, no published
source)."""
ALIKE_ON_AVERAGE = 0.5
"""From so high a mean likeness on like trips are told as such."""
_SHARE = re.compile(r"such trips? in (ten|\d+)")
_CERTAIN = re.compile(r"almost certainly enough(?: \(([^)]*) such trips\))?")
_SUCH = re.compile(r"such (trips?)")


@dataclass(frozen=True, slots=True)
class Unlike:
    """How a trip lies outside of the ``trips`` before it, and what bounds these.

    ``seasons``: their months as they are on the trip's side of the equator.
    """

    how: Outside
    range: Range
    trips: int
    seasons: frozenset[int]


def unlike_of(store: Store, choice: TripChoice) -> Unlike | None:
    """None where it lies inside, or where no trip was over before.

    That neither it nor they say how one travelled is no difference. Nor is a month of which no trip
    was, between two of which some were: July between June and August, January between December and
    February. Its usual low, where that and lows of trips before are known, must still be covered.
    What may be advised against asks for the month itself where the lows are not known
    (`usage.trip_range`), so that nothing more is left at home for that.
    """
    (row,) = ask(store, "ahead/range_before", trip=choice.trip, start_on=choice.start_on)
    if not row["trips"]:
        return None
    before = Range(
        months_of(row["seen_months"]),
        frozenset(row["seen_modes"]),
        row["most_nights"],
        row["lowest_c"],
    )
    trip = TripToCome(
        choice.trip,
        choice.title,
        months_of(row["months"]),
        row["mode"],
        row["nights"],
        row["usual_low_c"],
    )
    seasons = months_of(row["seen_seasons"])
    how = outside(replace(before, months=with_gaps(seasons)), trip)
    return None if how in (None, "mode_not_noted") else Unlike(how, before, row["trips"], seasons)


def weight_of(like: Sequence[LikeTrip]) -> float:
    """How many whole trips like the one ahead the listed ones count for: the sum of likeness.

    Kish's effective number would be ten for ten trips that are each like it by a tenth: it says how
    evenly weights are spread, not how much is like.
    """
    return sum(trip.likeness for trip in like if trip.listed)


def are_alike(like: Sequence[LikeTrip], unlike: Unlike | None) -> bool:
    """Whether like trips may be told as such: the trip lies inside, and they are more than half."""
    listed = [trip for trip in like if trip.listed]
    return unlike is None and weight_of(like) >= ALIKE_ON_AVERAGE * len(listed)


def of_trips_before(text: str, unlike: Unlike | None) -> str:
    """A sentence with shares of "such trips", told of the trips before where none was such."""
    if unlike is None:
        return text
    # What lies outside of a record it makes nobody certain of.
    text = _CERTAIN.sub(lambda m: f"enough on {m[1] or 'more than 99 in 100'} such trips", text)
    return _SUCH.sub(r"\1 like those before", _SHARE.sub(r"in \1 trips like those before", text))


def months_on(ahead: TripAhead) -> frozenset[int]:
    """The months of its days."""
    first, last = ahead.trip.start_on, ahead.trip.end_on
    return frozenset((first + timedelta(day)).month for day in range((last - first).days + 1))


def may_be_colder(ahead: TripAhead) -> bool:
    """Whether it lies outside of all trips before by its time of year or by how cold it is."""
    if ahead.unlike is None:
        return False
    by_cold = ahead.unlike.how in ("low", "low_not_known")
    return by_cold or not months_on(ahead) <= with_gaps(ahead.unlike.seasons)


def nearest_not_like(text: str) -> str:
    """A sentence on "like trips", of trips that are hardly like it."""
    return text.replace("like trips", "trips nearest to it").replace(
        "like trip", "trip nearest to it"
    )


def unlike_sentence(unlike: Unlike, display: Display) -> str:
    """That no trip before was like it, how so, what bounds them, and what that means."""
    one = unlike.trips == 1
    were = (
        f"The one before was {seen(unlike.range, display)}"
        if one
        else (f"Your {count(unlike.trips, 'trip')} were {seen(unlike.range, display)}")
    )
    if unlike.seasons != unlike.range.months:
        were = f"{were}. Across the equator the season is another one"
    return (
        f"No trip before was like this one: it {beyond(unlike.how, 'your')}. {were}. What such a "
        "trip takes beyond that they cannot say; amounts and habits here are theirs."
    )
