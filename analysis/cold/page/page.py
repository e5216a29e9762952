"""Nights in context as a page: those of a trip that was, and those of one to come."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

from ...climate import station_words
from ...climate import words as climate_words
from ...climate.normals import BandNight, TripContext, normal_band, trip_context
from ...climate.outlook import Outlook, outlook_of_trip
from ...climate.station_choice import NoStation, StationChoice
from ...display import words
from ...display.cautions import AHEAD_CARE, NORMALS_CARE
from ...display.sections import Opening, Point
from ...display.words import Display
from ...store.rows import Store, ask
from ...store.set_aside import records_set_aside, set_aside_notice
from ...store.trip_choice import TripChoice, choose_trip
from .. import note_words
from .. import words as cold_words
from ..camps import camps_colder_c
from ..trips import ColdAhead, cold_forecasts
from . import sections

AROUND_DAYS = 5
"""The band is shown so many days before and after the nights."""


@dataclass(frozen=True)
class Plan:
    """A trip to come, its outlook, the band around its nights, and whether one will be cold.

    The outlook is that of a temperature where somebody asked for one.
    """

    trip: TripChoice
    outlook: Outlook | NoStation
    band: tuple[BandNight, ...]
    cold: ColdAhead


@dataclass(frozen=True)
class ContextPage:
    """A past trip, a plan or both, and the units in which they are told: a section a method.

    ``set_aside``: records of the logbook that are missing. ``camps_colder_c``: how much colder than
    the normals camps before the past trip were, where that is worth a sentence. ``later``: plans
    after the one told of.
    """

    past: TripContext | None
    band: tuple[BandNight, ...]
    plan: Plan | None
    display: Display
    set_aside: int
    camps_colder_c: float | None = None
    later: tuple[TripChoice, ...] = ()

    def opening(self) -> Opening:
        """Which trips, how cold they were and may be, and what to know of the normals."""
        trips = [each.trip for each in (self.past, self.plan) if each is not None]
        lines = [f"{trip.title} · {words.days(trip.start_on, trip.end_on)}" for trip in trips]
        packaged = next((station for _, station in self.served if station.packaged), None)
        notices = (*set_aside_notice(self.set_aside), *self._wanting())
        if packaged is not None:
            stopgap = (
                "The normals that come with Tarebook are a stopgap. Their limits stand at the end."
            )
            notices = (*notices, stopgap)
        points = (*self._points(), *self._points_later())
        plan = self.plan
        barred = plan is not None and bool(plan.cold.lacking or plan.cold.unmended)
        told = plan is not None and (plan.cold.chance is not None or barred)
        care = AHEAD_CARE if told else NORMALS_CARE if points else ""
        says = self._says()
        return Opening(
            "Cold for the time of year?", tuple(lines), notices, points, says, caution=care
        )

    def _points(self) -> Iterator[Point]:
        """How the nights of the trip that was were, and what those to come may bring."""
        past, plan, display = self.past, self.plan, self.display
        if past is not None and (short := self._in_short(past)):
            yield Point("Nights that were", short, leads=True)
        if plan is None or plan.trip.end_on <= plan.trip.start_on:
            return
        outlook, cold = plan.outlook, plan.cold
        usual = ""
        if isinstance(outlook, Outlook) and outlook.nights:
            usual = words.sentence(note_words.usual_lows(outlook, cold.camps, display))
        if barred := cold_words.barred_sentences(cold):
            usual = usual and f" Usual there and then: {usual[:1].lower()}{usual[1:]}"
            first, more = " ".join(barred[:-1]), f"{barred[-1]}{usual}"
            yield Point("Nights to come", first, more, leads=True)
        elif usual:
            chance = f"{cold_words.chance_of_trip(cold)}." if cold.told is not None else ""
            chance += cold_words.in_warmer_set(cold)
            yield Point("Nights to come", usual, chance, leads=True)

    def _points_later(self) -> Iterator[Point]:
        """The plans after the one told of, by name: each has a page of its own."""
        if self.later:
            names = [
                f"“{each.title}” ({words.days(each.start_on, each.end_on)})" for each in self.later
            ]
            page = "its own page" if len(names) == 1 else "the page of each"
            told = f"{words.listing(names, at_most=4)}: how cold it may be there, {page} says."
            yield Point("Planned after it", told)

    def _in_short(self, past: TripContext) -> str:
        return climate_words.trip_in_short(past, self.display, self.camps_colder_c)

    def _wanting(self) -> Iterator[str]:
        """Why nights are set beside nothing, a sentence each: there is no section that says so."""
        reasons = []
        past, display = self.past, self.display
        if past is not None and not isinstance(past.station, NoStation) and past.anomaly_c is None:
            reasons.append(
                f"Of “{past.trip.title}” no night low is noted, so there is nothing to set beside "
                "what is usual."
            )
        reasons += [station_words.no_station(none, display) for none in self.unserved]
        yield from dict.fromkeys(reasons)

    def _says(self) -> str:
        """How the nights of the past trip were, in one sentence that names it."""
        if self.past is None or isinstance(self.past.station, NoStation):
            return ""
        told = climate_words.trip_sentence(self.past, self.display, self.camps_colder_c)
        return f"On “{self.past.trip.title}” {told[:1].lower()}{told[1:]}" if told else ""

    nights = sections.nights_section
    to_come = sections.to_come_section
    sources = sections.sources_section

    @property
    def unserved(self) -> tuple[NoStation, ...]:
        """Why no station serves a trip, for each that none does."""
        past = None if self.past is None else self.past.station
        plan = None if self.plan is None else self.plan.outlook
        return tuple(each for each in (past, plan) if isinstance(each, NoStation))

    @property
    def served(self) -> list[tuple[str, StationChoice]]:
        """The trips that a station serves, by title."""
        trips = []
        if self.past is not None:
            trips.append((self.past.trip.title, self.past.station))
        if self.plan is not None and isinstance(self.plan.outlook, Outlook):
            trips.append((self.plan.trip.title, self.plan.outlook.station))
        return [(title, s) for title, s in trips if isinstance(s, StationChoice)]


def read_nights(
    store: Store, trip: str, *, below_c: float | None = None, display: Display
) -> ContextPage:
    """Return the page of a trip that was or of a plan; of a blank name, the latest and the next.

    ``below_c`` is a temperature of interest; without one the page tells how likely a too cold night
    is in the sleep gear that comes along. Raises QuestionError where there is no such trip, or none
    at all.
    """
    chosen = choose_trip(store, trip or None)
    planned = chosen if chosen.plan else None
    later: tuple[TripChoice, ...] = ()
    if not trip.strip():
        every = [TripChoice(**row) for row in ask(store, "store/trips_by_start")]
        plans = [each for each in every if each.plan]
        planned, later = (plans[0] if plans else None), tuple(plans[1:])
    past = None if chosen.plan else trip_context(store, chosen.trip)
    band = _band(store, past.station, chosen) if past is not None else ()
    plan = _plan(store, planned, below_c) if planned else None
    colder = camps_colder_c(store, past.trip.start_on) if past is not None else None
    return ContextPage(past, band, plan, display, records_set_aside(store), colder, later)


def _plan(store: Store, trip: TripChoice, below_c: float | None) -> Plan:
    (cold,) = cold_forecasts(store, [trip])
    outlook = outlook_of_trip(store, trip.trip, below_c)
    station = outlook if isinstance(outlook, NoStation) else outlook.station
    return Plan(trip, outlook, _band(store, station, trip), cold)


def _band(
    store: Store, station: StationChoice | NoStation, trip: TripChoice
) -> tuple[BandNight, ...]:
    if isinstance(station, NoStation):
        return ()
    around, night = timedelta(days=AROUND_DAYS), timedelta(days=1)
    return normal_band(store, station, trip.start_on - around, trip.end_on - night + around)
