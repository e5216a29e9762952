"""The section of a debrief that tells the trip: one picture along its time, and what was noted."""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from ...cold.words import RATED_AS
from ...display import tables, words
from ...display.figure import Figure
from ...display.sections import Section
from ...display.tables import Table
from ...display.thing_names import in_marks
from ...display.words import Display, label, quoted, sentence
from ...store.rows import Record
from ...wear.words import SEVERITY_WORDS
from ..events import Event, trip_events
from ..facts import Debrief
from ..nights import TripNight
from .night_words import low_and_sleep
from .trip_chart import TripLine, trip_chart
from .weather_panel import has_weather
from .words import by_day_km, longest_day, plain

if TYPE_CHECKING:
    from .page import DebriefPage

_LEGEND = "What the numbers stand for, in your words"
_MARKS = 10
NO_PICTURE = "no two days or nights with a figure of their own"
_ABOUT = {
    "carried_from": "came along from that day on",
    "carried_until": "came along until that day",
    "used": "was used",
    "not_used": "was not used",
}


def timeline_of(debrief: Debrief) -> TripLine:
    """Return what the picture of a trip is drawn from."""
    return TripLine(
        debrief.trip.start_on,
        debrief.trip.end_on,
        debrief.nights,
        debrief.trace,
        debrief.moves,
        trip_events(debrief.failures, debrief.comfort, debrief.thing_notes),
        debrief.weather,
    )


def trip_section(page: "DebriefPage") -> Section:
    """The trip along its time; without a picture there is nothing to it."""
    heading, display, debrief = "The trip, day by day", page.display, page.data
    line = timeline_of(debrief)
    if not line.panels:
        return Section.empty(heading, NO_PICTURE)
    parts = []
    if len(by_day_km(debrief.moves)) > 1:
        parts.append(f"the longest day was {longest_day(debrief.moves, display)}")
    parts += _wettest(debrief.weather, display)
    if debrief.coldest is not None:
        parts.append(f"the coldest night was {low_and_sleep(debrief.coldest, display)}")
    answer = sentence("; ".join(parts)) if parts else "Nights and days, as far as they are noted."
    figure = Figure(
        "trip",
        f"{answer} {_told(line)}",
        lambda layout: trip_chart(line, display, layout),
        " ".join(_marks(line, display)),
    )
    return Section(heading, (answer,), figure, _events_table(line.events) if line.events else None)


def _told(line: TripLine) -> str:
    """What the picture holds, for who cannot see it."""
    names = {
        "distance_km": "distance",
        "ascent_m": "climbing",
        "battery_wh": "battery use",
        "weather": "weather",
        "low_c": "temperature",
        "sleep_score": "sleep scores",
        "warmth": "how warm the nights felt",
        "events": "what was noted, numbered as in the table below",
    }
    return f"Along the days: {words.listing([names[key] for key in line.panels])}."


def _wettest(weather: Sequence[Record], display: Display) -> list[str]:
    """The wettest day, where it rained on more days than one; nothing of days without figures."""
    known = [row for row in weather if row["rain_mm"]]
    if len(known) < 2:
        return []
    most = max(known, key=lambda row: (row["rain_mm"], -row["day"].toordinal()))
    rain = plain(words.rain_scale(display), most["rain_mm"])
    return [f"the wettest day was {words.day(most['day'], year=False)}, {rain}"]


def _marks(line: TripLine, display: Display) -> list[str]:
    """What the lines, colours and shapes of the picture stand for."""
    nights = line.nights
    marks = ["Shaded: 20:00 to 08:00."]
    if "low_c" in line.panels:
        marks += _limit_marks(nights, display)
    marks += _dry(line.weather)
    poor = [
        text
        for key, text in (
            ("low_c", "a low below your limit, or the rated one where that is all there is"),
            ("sleep_score", "a night slept badly"),
            ("warmth", "a night that felt cold"),
        )
        if key in line.panels
    ]
    if poor:
        marks.append(f"Orange: {words.listing(poor, last='or')}.")
    if "low_c" in line.panels and any(
        n.low_c is not None and n.normal_low_sd_c is not None for n in nights
    ):
        marks.append("Blue band: where two in three lows of such nights lie.")
    if line.events:
        marks.append("The numbers are those of the table below.")
    return marks


def _dry(weather: Sequence[Record]) -> list[str]:
    """That it stayed dry, where no row shows it."""
    dry = sum(row["wet"] is not None for row in weather)
    if not dry or has_weather(weather):
        return []
    return [f"No rain on the {words.count(dry, 'day')} of which it is noted."]


def _limit_marks(nights: Sequence[TripNight], display: Display) -> list[str]:
    own = _sets(night for night in nights if night.limit_basis == "own")
    rated = dict.fromkeys(
        _rating_told(n, display)
        for n in nights
        if n.limit_basis == "rated" or n.rated_limit_c is not None
    )
    marks = []
    if own:
        sure = {(n.limit_from_c, n.limit_to_c) for n in nights if n.limit_from_c is not None}
        bar = "; the bar: where it very likely lies" if sure else ""
        if len(sure) == 1:
            bar += ", from {} to {}".format(*(words.own_limit(c, display) for c in sure.pop()))
        marks.append(
            f"Dashed, from a diamond: your own limit in {own}, at which one night in five is too "
            f"cold for you{bar}."
        )
    if rated:
        marks.append(f"Dotted, from a ring: {words.listing(list(rated))}.")
    return marks


def _rating_told(night: TripNight, display: Display) -> str:
    """A rating as given and as a limit, and how far the own limit is from it, where there is one.

    The table has it as given, the picture as a limit.
    """
    of = f"the {RATED_AS[night.rated_as or 'maker']} of {_sets([night])}"
    limit = night.limit_c if night.limit_basis == "rated" else night.rated_limit_c
    as_limit = plain(words.temperature_scale(display), limit)
    given = plain(words.temperature_scale(display), night.rated_low_c)
    told = f"{of}, {given}"
    if night.rated_low_c != limit:
        told = f"{of}, {as_limit} as a limit ({given} as given)"
    if night.limit_basis != "own" or night.limit_c is None or limit is None:
        return f"{told}; how far it is off for you is not known"
    apart = night.limit_c - limit
    if not round(apart, 1):
        return f"{told}; your own limit is the same"
    step = plain(words.temperature_step(display), abs(apart))
    return f"{told}; your own limit lies {step} {'above' if apart > 0 else 'below'} it"


def _sets(nights: Iterable[TripNight]) -> str:
    """The sleep sets of nights by the rated thing in each, as they came."""
    return quoted(list(dict.fromkeys(night.rated_name or "the sleep gear" for night in nights)))


def _events_table(events: Sequence[Event]) -> Table:
    rows = [
        {
            "when": f"{number} · {_when(event)}",
            "what": _what(event),
            "words": f"“{event.words}”" if event.words else None,
        }
        for number, event in enumerate(events, start=1)
    ]
    columns = (
        tables.text("when", "Number and day"),
        tables.text("what", "What"),
        tables.text("words", "In your words"),
    )
    # The line below the picture names it, unless it is folded.
    caption = _LEGEND if len(rows) > _MARKS else ""
    table = Table.of(columns, rows, "mark", caption=caption, fold_after=_MARKS, stacks=True)
    return table.without_blank("words")


def _when(event: Event) -> str:
    first, last = event.days[0], event.days[-1]
    if first == last:
        day = words.day(first, year=False)
        return f"night of {day}" if event.by_night else day
    if len(event.days) == 2:
        return f"{words.day(first, year=False)} and {words.day(last, year=False)}"
    ends = f"{words.day(first, year=False)} to {words.day(last, year=False)}"
    return f"{ends}, on {words.number(len(event.days))} days"


def _what(event: Event) -> str:
    if event.kind == "failure":
        return f"{in_marks(event.name)} failed: {SEVERITY_WORDS[event.severity]}"
    if event.name:
        return f"{in_marks(event.name)} {_ABOUT[event.about]}"
    return f"{label(event.about)} {event.score} out of 5"
