"""The sections of the page of nights in context: nights that were, nights to come, the normals."""

from typing import TYPE_CHECKING

from ...climate import station_words
from ...climate import words as climate_words
from ...climate.chart import Limit, outlook_chart, past_chart
from ...climate.normals import TripContext
from ...climate.outlook import Outlook
from ...climate.page_tables import night_table, outlook_table, station_table, too_cold_table
from ...climate.station_choice import NoStation
from ...display.cautions import AHEAD_CARE, NORMALS_CARE
from ...display.figure import Figure
from ...display.sections import Section
from ...display.tables import Table
from ...display.words import Display, count, degrees, own_limit, quoted, sentence
from .. import note_words
from .. import words as cold_words
from ..page_tables import sets_table
from ..sections import ahead_notes

if TYPE_CHECKING:
    from .page import ContextPage, Plan


def nights_section(page: "ContextPage") -> Section:
    """The nights of the past trip on the band of what is usual."""
    past, band, display = page.past, page.band, page.display
    if past is None:
        return Section.empty("The nights that were", "nights that were")
    heading = f"{past.trip.title}: the nights"
    answer = climate_words.trip_sentence(past, display, page.camps_colder_c)
    if isinstance(past.station, NoStation) or not answer:
        return Section.empty(heading, "the normals of its place" if answer else "a low of a night")
    figure = Figure(
        "nights-in-context",
        f"Night lows on the band of what is usual. {answer}",
        lambda layout: past_chart(band, past.nights, display, layout),
        "Dots: the lows of the nights. Band and line: what is usual there and then.",
    )
    return Section(
        heading,
        (answer,),
        # One dot says no more than its line in the table.
        figure if past.judged > 1 else None,
        night_table(past.nights, display),
        _night_notes(past),
    )


def _night_notes(past: TripContext) -> tuple[str, ...]:
    notes = []
    if past.judged < len(past.nights):
        notes.append(f"Of {count(len(past.nights) - past.judged, 'night')} no low is known.")
    if any(night.percentile is not None for night in past.nights):
        notes.append("Colder nights in 100: of such nights, those as cold or colder.")
    if past.judged > 1 and past.p_as_cold is not None:
        notes.append(
            "A cold night is mostly followed by another, so the nights of a trip count for fewer "
            f"than they are. That is allowed for, from {count(past.judged, 'night')}."
        )
    if "weather" in {night.low_source for night in past.nights}:
        notes.append("Some lows are those of the weather notes, not of a thermometer in camp.")
    return tuple(notes)


def to_come_section(page: "ContextPage") -> Section:
    """The nights of the plan on the band, and how likely one of them is too cold."""
    if page.plan is None:
        return Section.empty("The nights to come", "a planned trip")
    plan, display = page.plan, page.display
    heading, outlook = f"{plan.trip.title}: the nights to come", plan.outlook
    lacks = cold_words.barred_sentences(plan.cold)
    if isinstance(outlook, NoStation):
        if not lacks:
            return Section.empty(heading, "the normals of its place")
        return Section(heading, lacks, caution=AHEAD_CARE)
    answer = (*_answer(plan, outlook, display), *lacks)
    if not outlook.nights:
        return Section.empty(heading, "a night of the trip to come")
    limit = _limit(plan, outlook, display)
    sets = sets_table([plan.cold], display)
    return Section(
        heading,
        answer,
        Figure(
            "nights-to-come",
            f"The nights to come on the band of what is usual. {' '.join(answer)}",
            lambda layout: outlook_chart(plan.band, outlook.nights, limit, display, layout),
            "Columns: nine in ten of such nights; the bar in them is the usual low."
            f"{_whose(plan, limit)}",
        ),
        _night_table(plan, outlook, display),
        _outlook_notes(plan, outlook, display),
        caution=AHEAD_CARE if sets.rows or plan.cold.chance is not None else NORMALS_CARE,
        more=(sets,) if sets.rows else (),
    )


def _answer(plan: "Plan", outlook: Outlook, display: Display) -> tuple[str, ...]:
    """The chance of a too cold night first, then what was asked for, if anything was."""
    of_threshold = climate_words.outlook_sentences(outlook, display)
    if not outlook.nights or plan.cold.why_not == "no_bedding":
        return of_threshold
    lows = note_words.usual_lows(outlook, plan.cold.camps, display)
    usual = f"Usual there and then: {lows}."
    if plan.cold.chance is None:
        why = (
            "The chance of a too cold night is not known: nothing there says how much single "
            "nights differ."
        )
        return (usual, why)
    # Why none is told of a list without a mat stands after this.
    told = plan.cold.told is not None
    chances = cold_words.chance_sentences(plan.cold, display) if told else ()
    if outlook.below_c is None:
        return *chances, usual
    below = degrees(outlook.below_c, display)
    return *chances, f"You asked about {below}, which is another question.", *of_threshold


def _night_table(plan: "Plan", outlook: Outlook, display: Display) -> Table:
    if outlook.below_c is not None or plan.cold.told is None:
        return outlook_table(outlook.nights, degrees(outlook.below_c, display), display)
    return too_cold_table(outlook.nights, plan.cold.told.p_each, display)


def _outlook_notes(plan: "Plan", outlook: Outlook, display: Display) -> tuple[str, ...]:
    notes = []
    if outlook.p_any is not None:
        notes.append(
            "The chance assumes that lows vary as much as is usual for the season, and that "
            f"neighbouring nights are alike ({climate_words.ALIKE}). At the stations where it was "
            "tried, it was mostly right to within a third of itself. In summer and autumn it "
            "promised up to twice as many cold nights as came; in March, two for every three that "
            f"came. The range allows for {climate_words.RANGE_HOLDS}. Far from what is usual it "
            "says only “rare”."
        )
    if plan.cold.chance is not None:
        notes += ahead_notes([plan.cold], display)
    return tuple(notes)


def _whose(plan: "Plan", limit: Limit | None) -> str:
    """What the line across stands for, with the sleep set that is meant."""
    if limit is None or plan.cold.limit is None:
        return ""
    if isinstance(plan.outlook, Outlook) and plan.outlook.below_c is not None:
        return " Dashed: the temperature that you asked about."
    bag = quoted([plan.cold.limit.system.rated_name])
    if plan.cold.limit.basis == "own":
        return f" Dashed: your own limit in {bag}, at which one night in five is too cold for you."
    return f" Dashed: the rating of {bag}, taken as a limit."


def _limit(plan: "Plan", outlook: Outlook, display: Display) -> Limit | None:
    """The temperature to be drawn across: the one that was asked for, else that of the bedding."""
    limit = plan.cold.limit
    if outlook.below_c is not None:
        return Limit(outlook.below_c, f"asked for {degrees(outlook.below_c, display)}")
    if limit is None or plan.cold.lacking or plan.cold.unmended:
        return None
    whose = "your limit" if limit.basis == "own" else "limit by its rating"
    # To a tenth, as the sentences and the table have it.
    limit_c = limit.own_limit_c.value
    return Limit(limit_c, f"{whose} {own_limit(limit_c, display)}")


def sources_section(page: "ContextPage") -> Section:
    """Whose normals these are, and what to know of them."""
    served, display = page.served, page.display
    if not served:
        placed = any(none.reason != "no_place" for none in page.unserved)
        heading = "Where to get normals"
        if not placed:
            return Section.empty(heading, "a trip with a place")
        return Section(heading, (station_words.WHERE_FROM,))
    stations = [station for _, station in served]
    sources = dict.fromkeys(station_words.normals_source(station) for station in stations)
    caveats = dict.fromkeys(
        caveat for s in stations for caveat in station_words.normals_caveats(s, display)
    )
    cautioned = page.plan is not None and isinstance(page.plan.outlook, Outlook)
    return Section(
        "Where the normals come from",
        tuple(sentence(source) for source in sources),
        table=station_table(served, display),
        notes=tuple(caveats),
        caution=None if cautioned else NORMALS_CARE,
    )
