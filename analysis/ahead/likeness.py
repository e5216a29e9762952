"""Past trips that are like the one ahead: same way of travelling, time of year, length."""

import math
from datetime import date

from ..store.rows import Record, Store, ask
from ..store.trip_choice import TripChoice
from .results import LikeTrip

SEASON_DAYS = 120
"""So far apart in the year trips are no longer alike: a season and a month."""
USUAL_LOW_C = 12.0
"""So far apart in their usual low trips are no longer alike."""
LENGTH_TIMES = 8.0
"""So many times as long, and trips are no longer alike."""
LONG_NIGHTS = 14
"""From here on a list grows no longer: what is eaten is bought on the way, clothes are washed."""
MODE_IN_PART = 0.5
"""Likeness of a trip by several means, or of one of which the way of travelling is not noted."""
LEAST = 0.05
"""What is less alike is left out."""
_YEAR = 365.25


def like_trips(store: Store, choice: TripChoice) -> tuple[LikeTrip, ...]:
    """Trips over before the one chosen begins that are like it, the latest last.

    Likeness is a product of three, each 1 where there is no difference:

    - way of travelling: 1 the same (or both not noted), .5 where one of the two is by several means
      or not noted, else 0;
    - the time of year of their middle days, half a year off where one is south of the equator: a
      tricube of the difference less the days that the longer one covers beyond the other on either
      side, 0 from 120 days on; another season's middle, 91 days, has .18.
      Where the usual low (`trip_usual_lows`) is known of both, a tricube of its difference, 0 from
      12 °C on, stands in its place: the time of year then takes away half of it at most, since
      sun, insects and short days keep to the season, whatever the cold;
    - nights: none is like none only; else a tricube of the ratio on the log scale, 0 from eight
      times on, more than 14 counted as 14; twice as long has .89, four times .35.

    Tricube: (1 - u³)³ of the difference u as a share of its reach, flat where trips are much alike
    and 0 at the end (Cleveland 1979, JASA 74: 829, from memory). The reaches are common practice,
    no published source. What comes out under .05 is no like trip. Nothing that ended after the
    first day of the chosen trip is looked at, nor are plans.
    """
    rows = ask(store, "ahead/trips_until", trip=choice.trip, start_on=choice.start_on)
    ahead = next(row for row in rows if row["trip"] == choice.trip)
    rated = [(row, likeness(ahead, row)) for row in rows if row is not ahead]
    return tuple(
        LikeTrip(**{k: v for k, v in row.items() if k != "south"}, likeness=round(alike, 6))
        for row, alike in rated
        if alike >= LEAST
    )


def likeness(ahead: Record, past: Record) -> float:
    """How like two trips are, 0 to 1, as `like_trips` has it; rows of ``ahead/trips_until``."""
    return _by_mode(ahead, past) * _by_cold(ahead, past) * _by_length(ahead, past)


def _tricube(share: float) -> float:
    return (1 - min(1.0, abs(share)) ** 3) ** 3


def _by_mode(one: Record, other: Record) -> float:
    if one["mode"] == other["mode"]:
        return 1.0
    return MODE_IN_PART if {one["mode"], other["mode"]} & {None, "mixed"} else 0.0


def _by_cold(one: Record, other: Record) -> float:
    apart = abs(_time_of_year(one) - _time_of_year(other))
    covered = abs(one["nights"] - other["nights"]) / 2
    by_season = _tricube(max(0.0, min(apart, _YEAR - apart) - covered) / SEASON_DAYS)
    lows = one["usual_low_c"], other["usual_low_c"]
    if None in lows:
        return by_season
    return _tricube((lows[0] - lows[1]) / USUAL_LOW_C) * (1 + by_season) / 2


def _time_of_year(trip: Record) -> float:
    """Days since the beginning of the year of its middle; half a year later in the south."""
    start_on: date = trip["start_on"]
    middle = start_on.timetuple().tm_yday + trip["nights"] / 2
    return float((middle + (_YEAR / 2 if trip["south"] else 0.0)) % _YEAR)


def _by_length(one: Record, other: Record) -> float:
    nights = [min(trip["nights"], LONG_NIGHTS) for trip in (one, other)]
    if 0 in nights:
        return float(nights[0] == nights[1])
    return _tricube(math.log(nights[0] / nights[1]) / math.log(LENGTH_TIMES))
