"""`tarebook table outlook`: what is asked about the nights to come, and its answer printed."""

from dataclasses import dataclass, fields
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from ..tripdata.errors import QuestionError

if TYPE_CHECKING:
    import duckdb

    from ..analysis.display.words import Display

_PLACE = ("latitude", "longitude", "start_on", "end_on", "below_c")


@dataclass(frozen=True)
class OutlookOptions:
    """The options of the outlook as given on the command line; None where left out."""

    trip: str | None = None
    latitude: float | None = None
    longitude: float | None = None
    elevation_m: float | None = None
    start_on: datetime | None = None
    end_on: datetime | None = None
    below_c: float | None = None

    @property
    def given(self) -> list[str]:
        """The options that were given, as they are typed."""
        return [_typed(f.name) for f in fields(self) if getattr(self, f.name) is not None]

    @property
    def fault(self) -> str:
        """What is wrong with them together, in words; empty where nothing is."""
        if self.trip is not None:
            extra = [name for name in self.given if name not in ("--trip", "--below-c")]
            return f"{extra[0]} does not go with --trip" if extra else ""
        missing = [_typed(name) for name in _PLACE if getattr(self, name) is None]
        if missing:
            return f"expected --trip, or a place and dates; {', '.join(missing)} missing"
        return ""


def _typed(name: str) -> str:
    return "--" + name.replace("_", "-")


def write_outlook(
    options: OutlookOptions, logbook: Path, form: str, out: Path | None
) -> tuple[str, ...]:
    """Print the outlook of a logbook whose store is current; returns what to know of it.

    Raises QuestionError where no station serves the place, the trip has no night, or a value is
    out of range.
    """
    from ..analysis.catalogue.terms import OUTLOOK
    from ..analysis.climate import words
    from ..analysis.climate.outlook import outlook, outlook_of_trip, outlook_rows
    from ..analysis.climate.station_choice import NoStation, Place
    from ..analysis.display.words import Display, sentence
    from ..analysis.store.opening import open_store
    from ..tripdata.store import store_path
    from .writing import write_rows

    with open_store(store_path(logbook)) as store:
        display = Display.of(dict(store.table("settings").fetchall()))
        answer: tuple[str, ...] = ()
        if options.trip is not None:
            below_c = options.below_c
            if below_c is None:
                answer, below_c = _will_i_be_cold(store, options.trip, display)
            found = outlook_of_trip(store, options.trip, below_c)
        else:
            assert options.latitude is not None
            assert options.longitude is not None
            assert options.start_on is not None
            assert options.end_on is not None
            assert options.below_c is not None
            place = Place(options.latitude, options.longitude, options.elevation_m)
            dates = options.start_on.date(), options.end_on.date()
            found = outlook(store, place, *dates, options.below_c)
        if isinstance(found, NoStation):
            raise QuestionError(f"outlook: {words.no_station(found, display)} {words.WHERE_FROM}")
        if not found.nights:
            raise QuestionError("outlook: expected a trip with a night, got a day out")
        write_rows(outlook_rows(store, found), OUTLOOK, form, out)
        where = words.whereabouts(found.station, display)
        source = sentence(f"{words.normals_source(found.station)}{f', {where}' if where else ''}")
        said = answer or words.outlook_sentences(found, display)
        return (*said, source, *words.normals_in_short(found.station, display), words.NORMALS_CARE)


def _will_i_be_cold(
    store: "duckdb.DuckDBPyConnection", trip: str, display: "Display"
) -> tuple[tuple[str, ...], float | None]:
    """The answer that the reports give for a trip, and the limit in what comes along.

    No sentence where no chance is known; no limit where no rated sleep gear comes along.
    """
    from ..analysis.cold import words as cold_words
    from ..analysis.cold.limit import cold_limits
    from ..analysis.cold.trips import cold_ahead
    from ..analysis.store.trip_choice import choose_trip

    ahead = cold_ahead(store, cold_limits(store), choose_trip(store, trip))
    if ahead.limit is None:
        return (), None
    limit_c = round(ahead.limit.own_limit_c, 1)
    if ahead.chance is None:
        return (), limit_c
    below = cold_words.degrees(limit_c, display)
    table = f"The table has the chance of a night below {below}, where one in five is too cold."
    return (cold_words.chance(ahead, display), *cold_words.lacking_sentences(ahead.lacking), table), limit_c
