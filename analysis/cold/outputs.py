"""The tables cold_limits, cold_by_set and outlook: what is too cold, and how likely that is."""

from collections.abc import Callable, Mapping
from datetime import date
from typing import TYPE_CHECKING, Any

from ...tripdata.errors import QuestionError
from ..catalogue.entry import Entry, Remarked, Rows, fields_of, interval_columns
from ..display.cautions import AHEAD_CARE

if TYPE_CHECKING:
    from ..display.words import Display
    from ..store.rows import Store
    from .limit import ColdLimits


def limits(store: "Store") -> Rows:
    """A row a rated sleep system, sorted by its names."""
    from .limit import cold_limits

    return limit_rows(cold_limits(store))


def limit_rows(limits: "ColdLimits") -> Rows:
    """The rows of cold_limits."""
    return [
        {
            "sleep_system": ";".join(limit.system.names),
            **fields_of(limit.system, "rated_low_c", "rated_as"),
            "own_limit_c": limit.own_limit_c.value,
            "own_limit_low_c": limit.own_limit_c.low,
            "own_limit_high_c": limit.own_limit_c.high,
            **fields_of(limit, "nights", "cold_nights", "prior_share"),
        }
        for limit in limits.limits
    ]


def nights_to_come(
    store: "Store",
    *,
    trip: str | None = None,
    latitude: float = 0.0,
    longitude: float = 0.0,
    elevation_m: float | None = None,
    start_on: date = date.min,
    end_on: date = date.min,
    below_c: float | None = None,
) -> Remarked:
    """A row a night of a trip, or of a place and dates, and the answer that the reports give.

    Without ``below_c`` it is a trip's: the limit in the sleep gear that comes along. Raises
    QuestionError where no station serves the place, the trip has no night, or a value is out of
    range.
    """
    from ..climate import station_words, words
    from ..climate.outlook import outlook, outlook_of_trip, outlook_rows
    from ..climate.station_choice import NoStation, Place
    from ..display.cautions import NORMALS_CARE
    from ..display.words import sentence
    from ..store.settings import settings_of

    display = settings_of(store).display
    answer: tuple[str, ...] = ()
    if trip is not None:
        if below_c is None:
            answer, below_c = _will_i_be_cold(store, trip, display)
        ahead = outlook_of_trip(store, trip, below_c)
    else:
        assert below_c is not None
        place = Place(latitude, longitude, elevation_m)
        ahead = outlook(store, place, start_on, end_on, below_c)
    if isinstance(ahead, NoStation):
        why = station_words.no_station(ahead, display)
        raise QuestionError(f"outlook: {why} {station_words.WHERE_FROM}")
    if not ahead.nights:
        raise QuestionError("outlook: expected a trip with a night, got a day out")
    source = sentence(station_words.source_and_place(ahead.station, display))
    short = station_words.normals_in_short(ahead.station, display)
    sentences = answer or words.outlook_sentences(ahead, display)
    return Remarked(outlook_rows(ahead), (*sentences, source, *short, NORMALS_CARE))


def sets_to_come(store: "Store", *, today: date, trip: str = "") -> Remarked:
    """A row a trip and sleep set that is owned when it begins, the trip's nights in it.

    Without a trip, of every plan not over by ``today``. Only trips that were over before it begins
    tell of cold. Raises QuestionError where there is no such trip.
    """
    from ..store.trip_choice import choose_ahead
    from .trips import cold_forecasts

    chosen = choose_ahead(store, trip, today)
    rows = [
        {
            "trip": ahead.trip.trip,
            "sleep_system": ";".join(one.limit.system.names),
            **fields_of(one, "weight_g", "on_list"),
            **fields_of(one.limit, "basis", "nights"),
            "own_limit_c": None if barred else one.limit.own_limit_c.value,
            **interval_columns("p_cold", one.told.p_any if one.told is not None else None),
            "p_cold_by_normals": None if barred else one.by_normals,
            "camps_off_c": ahead.camps and ahead.camps.taken_c,
            "camp_trips": ahead.camps.offset_c.n if ahead.camps is not None else 0,
        }
        for ahead in cold_forecasts(store, chosen)
        for one in ahead.sets
        for barred in [bool(one.lacking or one.unmended)]
    ]
    rows.sort(key=lambda row: (row["trip"], row["sleep_system"]))
    none = "No plan lies ahead: name a trip, or give one in trip.csv plan = yes."
    return Remarked(rows, () if chosen else (none,))


def _will_i_be_cold(
    store: "Store", trip: str, display: "Display"
) -> tuple[tuple[str, ...], float | None]:
    """The answer that the reports give for a trip, and the limit in what comes along.

    No sentence where no chance is known; no limit where no rated sleep gear comes along.
    """
    from ..display.words import degrees
    from ..store.trip_choice import choose_trip
    from . import words
    from .trips import cold_forecasts

    (ahead,) = cold_forecasts(store, [choose_trip(store, trip)], sets=False)
    if ahead.limit is None:
        return (), None
    limit_c = round(ahead.limit.own_limit_c.value, 1)
    if ahead.chance is None:
        return (), limit_c
    below = degrees(limit_c, display)
    table = f"The table has the chance of a night below {below}, where one in five is too cold."
    if ahead.told is None:
        return words.barred_sentences(ahead), limit_c
    return (*words.chance_sentences(ahead, display), table), limit_c


def _trip_or_place(options: Mapping[str, Any], spelled: Callable[[str], str]) -> str:
    if "trip" in options:
        extra = [name for name in options if name not in ("trip", "below_c")]
        return f"{spelled(extra[0])} does not go with {spelled('trip')}" if extra else ""
    place = ("latitude", "longitude", "start_on", "end_on", "below_c")
    missing = [spelled(name) for name in place if name not in options]
    if missing:
        return f"expected {spelled('trip')}, or a place and dates; {', '.join(missing)} missing"
    return ""


ENTRIES = (
    Entry(
        "outlook",
        room="cold",
        grain="night to come at a place, or of a trip",
        sorted_by=1,
        rows=nights_to_come,
        options=("trip", "latitude", "longitude", "elevation_m", "start_on", "end_on", "below_c"),
        fault=_trip_or_place,
    ),
    Entry(
        "cold_limits",
        room="cold",
        grain="rated sleep system that was slept in",
        sorted_by=1,
        rows=limits,
    ),
    Entry(
        "cold_by_set",
        room="cold",
        grain="trip to come and sleep set that is owned",
        sorted_by=2,
        rows=sets_to_come,
        options=("trip", "today"),
        caution=AHEAD_CARE,
    ),
)
