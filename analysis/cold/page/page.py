"""Nights in context as a page: those of a trip that was, and those of one to come."""

from dataclasses import dataclass, replace
from datetime import date, timedelta

from ...climate import words as context_words
from ...climate.chart import Limit, outlook_chart, past_chart
from ...climate.normals import BandNight, TripContext, normal_band, trip_context
from ...climate.outlook import Outlook, outlook_of_trip
from ...climate.station_choice import NoStation, StationChoice
from ...climate.tables import night_table, outlook_table, station_table, too_cold_table
from ...display import words
from ...display.figure import Figure
from ...display.sections import Opening, Section
from ...display.tables import Table
from ...display.words import Display
from ...store.rows import Store, ask
from ...store.set_aside import records_set_aside, set_aside_notice
from ...store.trip_choice import TripChoice, choose_trip
from .. import sections as cold_sections
from .. import words as cold_words
from ..limit import cold_limits
from ..tables import sets_table
from ..trips import ColdAhead, cold_ahead, with_sets

AROUND_DAYS = 5
"""The band is shown so many days before and after the nights."""
_OF_100 = "As cold: how many of 100 such nights are as cold or colder."


@dataclass(frozen=True)
class Plan:
    """A trip to come, its outlook, the band around its nights, and whether one will be cold.

    ``asked``: the outlook is that of a temperature that somebody asked for.
    """

    trip: TripChoice
    outlook: Outlook | NoStation
    band: tuple[BandNight, ...]
    cold: ColdAhead
    asked: bool


@dataclass(frozen=True)
class ContextPage:
    """A past trip, a plan or both, and the units in which they are told.

    ``set_aside``: records of the logbook that are missing.
    """

    past: TripContext | None
    band: tuple[BandNight, ...]
    plan: Plan | None
    display: Display
    set_aside: int

    def opening(self) -> Opening:
        """Which trips, and what the reader must know of the normals."""
        trips = [self.past.trip] if self.past else []
        trips += [self.plan.trip] if self.plan else []
        lines = [f"{trip.title} · {words.days(trip.start_on, trip.end_on)}" for trip in trips]
        packaged = next((station for _, station in self._served() if station.packaged), None)
        notices = set_aside_notice(self.set_aside)
        if packaged is not None:
            stopgap = (
                f"Set beside {context_words.normals_source(packaged)} for a first try. What to know of "
                "them stands at the end."
            )
            notices = (*notices, stopgap)
        return Opening("Cold for the time of year?", tuple(lines), notices)

    def nights(self) -> Section:
        """The nights of the past trip on the band of what is usual."""
        heading = "The nights that were"
        if self.past is None:
            return Section.empty(heading, "nights that were")
        heading = f"{self.past.trip.title}: the nights"
        if isinstance(self.past.station, NoStation):
            return Section(heading, (context_words.no_station(self.past.station, self.display),))
        said = context_words.trip_sentence(self.past, self.display)
        if not said:
            return Section(
                heading,
                (
                    "No low is noted of this trip, so that there is nothing to "
                    "set beside what is usual.",
                ),
            )
        past, band, display = self.past, self.band, self.display
        return Section(
            heading,
            (said,),
            Figure(
                "nights-in-context",
                f"Night lows on the band of what is usual. {said}",
                lambda layout: past_chart(band, past.nights, display, layout),
                "Dots: the lows of the nights. Band and line: what is usual there and then.",
            ),
            night_table(past.nights, display),
            self._night_notes(past),
        )

    def to_come(self) -> Section:
        """The nights of the plan on the band, and how likely one of them is too cold."""
        if self.plan is None:
            return Section.empty("The nights to come", "a planned trip")
        plan, display = self.plan, self.display
        heading = f"{plan.trip.title}: the nights to come"
        found, lacks = plan.outlook, cold_words.lacking_sentences(plan.cold.lacking)
        if isinstance(found, NoStation):
            return Section(heading, (context_words.no_station(found, display), *lacks))
        said = (*self._answer(plan, found), *lacks)
        if not found.nights:
            return Section(heading, said)
        band, limit = plan.band, self._limit(plan, found)
        sets = sets_table([plan.cold], display)
        return Section(
            heading,
            said,
            Figure(
                "nights-to-come",
                f"The nights to come on the band of what is usual. {' '.join(said)}",
                lambda layout: outlook_chart(band, found.nights, limit, display, layout),
                "Columns: nine in ten of such nights; the bar in them is the usual low.",
            ),
            self._night_table(plan, found),
            self._outlook_notes(plan, found),
            caution=context_words.NORMALS_CARE,
            more=(sets,) if sets.rows else (),
        )

    def _answer(self, plan: Plan, found: Outlook) -> tuple[str, ...]:
        """The chance of a too cold night first, then what was asked for, if anything was."""
        asked = context_words.outlook_sentences(found, self.display)
        if not found.nights or plan.cold.why_not == "no_bedding":
            return asked
        usual = f"Usual there and then: {context_words.lows(found, self.display)}."
        if plan.cold.chance is None:
            why = (
                "How likely a too cold night is cannot be told: how far single nights stray is "
                "not known there."
            )
            return (usual, why)
        chance = cold_words.chance(plan.cold, self.display)
        if not plan.asked:
            return chance, usual
        below = context_words.threshold(found, self.display)
        return chance, f"You asked about {below}, which is another question.", *asked

    def _night_table(self, plan: Plan, found: Outlook) -> Table:
        if plan.asked or plan.cold.chance is None:
            below = context_words.threshold(found, self.display)
            return outlook_table(found.nights, below, self.display)
        return too_cold_table(found.nights, plan.cold.chance.p_each, self.display)

    def sources(self) -> Section:
        """Whose normals these are, and what to know of them."""
        heading = "Where the normals come from"
        served = self._served()
        if not served:
            return Section("Where to get normals", (context_words.WHERE_FROM,))
        sources = dict.fromkeys(context_words.normals_source(station) for _, station in served)
        known = dict.fromkeys(
            limit
            for _, station in served
            for limit in context_words.normals_caveats(station, self.display)
        )
        cared = self.plan is not None and isinstance(self.plan.outlook, Outlook)
        return Section(
            heading,
            tuple(words.sentence(source) for source in sources),
            table=station_table(served, self.display),
            notes=tuple(known),
            caution=None if cared else context_words.NORMALS_CARE,
        )

    def _served(self) -> list[tuple[str, StationChoice]]:
        """The trips that a station serves, by title."""
        found: list[tuple[str, StationChoice | NoStation]] = []
        if self.past is not None:
            found.append((self.past.trip.title, self.past.station))
        if self.plan is not None and isinstance(self.plan.outlook, Outlook):
            found.append((self.plan.trip.title, self.plan.outlook.station))
        return [(title, s) for title, s in found if isinstance(s, StationChoice)]

    def _night_notes(self, past: TripContext) -> tuple[str, ...]:
        notes = []
        if past.judged < len(past.nights):
            unknown = words.count(len(past.nights) - past.judged, "night")
            notes.append(f"Of {unknown} no low is known.")
        if any(night.percentile is not None for night in past.nights):
            notes.append(_OF_100)
        if past.judged > 1 and past.p_as_cold is not None:
            notes.append(
                "A cold night is mostly followed by another, so that the nights of a trip count "
                "for fewer than they are; that is allowed for (n = "
                f"{words.count(past.judged, 'night')})."
            )
        if "weather" in {night.low_source for night in past.nights}:
            notes.append("Some lows are those of the weather notes, not of a thermometer in camp.")
        return tuple(notes)

    def _outlook_notes(self, plan: Plan, found: Outlook) -> tuple[str, ...]:
        notes = []
        if plan.asked and found.p_any is not None:
            notes.append(
                "The chance takes lows to stray from what is usual as the season has it, and "
                "neighbouring nights as alike (correlation 0.68). At the stations it was tried on "
                "it was mostly good to a third of itself; in summer and autumn it told up to twice "
                "the cold nights that came, in March it told two of three. The range holds nights "
                "alike by 0.6 to 0.75 and normals off by 0.3 standard deviations. Far from what is "
                "usual it says no more than “rare”."
            )
        if plan.cold.chance is not None:
            notes.append("Ratings compare bags; they promise nothing, and neither does a limit.")
            notes += cold_sections.ahead_notes([plan.cold], self.display)
        return tuple(notes)

    def _limit(self, plan: Plan, found: Outlook) -> Limit | None:
        display, limit = self.display, plan.cold.limit
        if plan.asked and found.below_c is not None:
            return Limit(found.below_c, f"asked for {context_words.threshold(found, display)}")
        if limit is None:
            return None
        whose = "your limit" if limit.basis == "own" else "limit by its rating"
        shown = cold_words.degrees(limit.own_limit_c, display)
        return Limit(limit.own_limit_c, f"{whose} {shown}")


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
    if not trip.strip():
        planned = _next_plan(store)
    past = None if chosen.plan else trip_context(store, chosen.trip)
    band: tuple[BandNight, ...] = ()
    if past is not None and isinstance(past.station, StationChoice):
        band = _band(store, past.station, chosen.start_on, chosen.end_on)
    plan = _plan(store, planned, below_c) if planned else None
    return ContextPage(past, band, plan, display, records_set_aside(store))


def _next_plan(store: Store) -> TripChoice | None:
    trips = [TripChoice(**row) for row in ask(store, "store/trips_by_start")]
    return next((trip for trip in trips if trip.plan), None)


def _plan(store: Store, trip: TripChoice, below_c: float | None) -> Plan:
    limits = cold_limits(store)
    cold = with_sets(store, limits, cold_ahead(store, limits, trip))
    found = outlook_of_trip(store, trip.trip, below_c)
    asked = below_c is not None
    if isinstance(found, Outlook) and not asked:
        # The chance of a night below a rating is no answer: one's own limit lies elsewhere.
        found = replace(
            found,
            below_c=None,
            p_any=None,
            p_any_low=None,
            p_any_high=None,
            rare=False,
            rating=None,
        )
    band: tuple[BandNight, ...] = ()
    if isinstance(found, Outlook):
        band = _band(store, found.station, trip.start_on, trip.end_on)
    return Plan(trip, found, band, cold, asked)


def _band(
    store: Store, station: StationChoice, start_on: date, end_on: date
) -> tuple[BandNight, ...]:
    around = timedelta(days=AROUND_DAYS)
    return normal_band(store, station, start_on - around, end_on - timedelta(days=1) + around)
