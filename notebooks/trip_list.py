"""The parts of the logbook's first page that are about its trips, as HTML."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from ..analysis.display.markup import escape, fold, isolate, slug
from ..analysis.display.words import DASH, NOT_KNOWN, count, day, mass, temperature

if TYPE_CHECKING:
    from ..analysis.display.words import Display
    from ..analysis.home.first_page import FirstPage
    from ..analysis.home.logbook import TripBack
    from .album import Album
    from .runner import Report

_SCALE_PX, _TICK_PX = 48, 18
_WITH_NOTES, _IN_ROWS, _NAMED = 12, 24, 300
"""From how many trips on whole seasons have no notes, no rows of their own, or are folded."""
_Season = tuple[str, tuple["TripBack", ...]]
_Seasons = list[_Season]


def section(heading: str, body: str) -> str:
    """Return a part of the page under its heading; nothing where it has no body."""
    if not body:
        return ""
    return (
        f'<section class="tarebook-section" id="{slug(heading)}"><h2>{escape(heading)}</h2>'
        f"{body}</section>"
    )


def opening(facts: "FirstPage | None", title: str) -> str:
    """The title and the totals."""
    lines: list[str] = []
    notices: tuple[str, ...] = ()
    if facts is not None:
        from ..analysis.home.words import total_line
        from ..analysis.store.set_aside import set_aside_notice

        lines.append(total_line(facts.totals, facts.display))
        notices = set_aside_notice(facts.set_aside)
    below = "".join(f'<p class="subtitle">{escape(line)}</p>' for line in lines)
    listed = "".join(f"<li>{escape(notice)}</li>" for notice in notices)
    told = f'<ul class="notices">{listed}</ul>' if listed else ""
    return f'<header class="tarebook-opening"><h1>{escape(title)}</h1>{below}{told}</header>'


def latest(facts: "FirstPage", files: Mapping[str, str], said: str) -> str:
    """The latest trip with its note in the owner's words, and what its debrief found."""
    from ..analysis.home.words import NO_TRIPS, trip_line

    trip = facts.latest
    if trip is None:
        return section("The latest trip", f"<p>{escape(NO_TRIPS)}</p>")
    note = f"<blockquote><p>{isolate(trip.note)}</p></blockquote>" if trip.note else ""
    return section(
        "The latest trip",
        f'<p class="answer">{_titled(trip.title, files.get(trip.trip, ""))}</p>'
        f'<p class="subtitle">{escape(trip_line(trip))}</p>{note}'
        + (f"<p>{escape(said)}</p>" if said else ""),
    )


def next_plan(
    facts: "FirstPage", report: "Report | None", files: Mapping[str, str] | None = None
) -> str:
    """The plan that comes first with its odds, and those after it, each with the page on it."""
    from ..analysis.ahead.page.packing_section import PACK
    from ..analysis.display.cautions import COLD_CARE
    from ..analysis.home.words import later_plans, odds, plan_line

    plan = facts.plan
    if plan is None:
        return ""
    known = files or {}
    file = known.get(plan.plan.trip) or (report.html.name if report is not None else "")
    told, later = odds(plan.cold), later_plans(plan.later)
    tells_of_cold = any(
        cold.chance is not None or cold.lacking or cold.unmended
        for cold in (plan.cold, *plan.later)
    )
    # The link is to the page on this plan, so it stands before another is named.
    first = [escape(told)] if told else []
    if file:
        first.append(f'<a href="{escape(file)}">{PACK}</a>')
    return section(
        "The next plan",
        f'<p class="answer">{_titled(plan.plan.title, file)}</p>'
        f'<p class="subtitle">{escape(plan_line(plan))}</p>'
        + (f"<p>{' '.join(first)}</p>" if first else "")
        + (_caution(COLD_CARE) if tells_of_cold else "")
        + "".join(
            f"<p>Planned after it: {_titled(trip.title, known.get(trip.trip, ''))} "
            f"{escape(line)}{_to_pack(known.get(trip.trip, ''))}</p>"
            for trip, line in later
        ),
    )


def _to_pack(file: str) -> str:
    """The link to what a later plan takes; nothing where it has no page."""
    return f' <a href="{escape(file)}">What to pack on it</a>' if file else ""


def things_to_do(facts: "FirstPage", report: "Report | None") -> str:
    """At most five things to do, and where all of them stand."""
    from ..analysis.home.to_do import first_of
    from ..analysis.home.words import more_to_do, to_do_sentence
    from ..analysis.wear.chores import TO_DO_NEXT, chore_cautions

    shown = first_of(facts.to_do)
    if not shown:
        return ""
    lines = "".join(f"<li>{escape(to_do_sentence(each))}</li>" for each in shown)
    care = " ".join(chore_cautions([chore for each in shown for chore in each.chores]))
    place = f"{report.html.name}#{slug(TO_DO_NEXT)}" if report is not None else ""
    link = f'<a href="{escape(place)}">All there is to do, as a list to tick off</a>'
    below = " ".join(filter(None, (escape(more_to_do(shown, facts.to_do)), link if place else "")))
    return section(
        TO_DO_NEXT,
        f'<ul class="to-do">{lines}</ul>{_caution(care) if care else ""}'
        + (f"<p>{below}</p>" if below else ""),
    )


def all_trips(facts: "FirstPage", files: Mapping[str, str], album: "Album | None" = None) -> str:
    """All trips by season, the latest first: rows of the latest seasons, then titles in lines."""
    from ..analysis.home.logbook import by_season

    if not facts.trips:
        return ""
    scale = _Scale.of(facts.trips, facts.display)
    noted, rest = _whole_seasons(by_season(facts.trips), _WITH_NOTES)
    plain, older = _whole_seasons(rest, _IN_ROWS - _trips(noted))
    named, folded = _whole_seasons(older, _NAMED)
    shown = _Shown([trip for _, trips in (*noted, *plain) for trip in trips], scale, album)
    bodies = [_rows(each, files, facts.display, shown, notes=True) for each in noted]
    bodies += [_rows(each, files, facts.display, shown, notes=False) for each in plain]
    table = f'<table class="trips"><thead>{_head(shown)}</thead>{"".join(bodies)}</table>'
    below = fold(f"Still earlier: {count(_trips(folded), 'trip')}", _lines(folded, files))
    return section(
        "All trips",
        table + _explained(scale) + _lines(named, files) + (below if folded else ""),
    )


def _rows(
    of: _Season, files: Mapping[str, str], display: "Display", shown: "_Shown", *, notes: bool
) -> str:
    """A season's trips under its name, a row each."""
    season, trips = of
    return (
        f'<tbody><tr class="season"><th colspan="{shown.columns}" scope="rowgroup">'
        f"{escape(_season_name(season))}</th></tr>"
        f"{''.join(_row(each, files, display, shown, notes=notes) for each in trips)}</tbody>"
    )


def _lines(seasons: _Seasons, files: Mapping[str, str]) -> str:
    """A line a season, with its trips' titles; nothing where there are none."""
    lines = (
        f"<div><dt>{escape(_season_name(season))}</dt><dd>"
        + " ".join(
            f"<span>{_titled(each.title, files.get(each.trip, ''))}, {escape(_date(each))}</span>"
            for each in trips
        )
        + "</dd></div>"
        for season, trips in seasons
    )
    return f'<dl class="older">{"".join(lines)}</dl>' if seasons else ""


def _explained(scale: "_Scale | None") -> str:
    """What the marks of the lows are, below the list; nothing where there are none."""
    if scale is None:
        return ""
    dotted = f" Dotted: {temperature(0, scale.display)}." if scale.freezes else ""
    return (
        '<p class="subtitle lows">Marks of the coldest lows: where each lies from '
        f"{escape(scale.ends())}.{escape(dotted)}</p>"
    )


def _whole_seasons(seasons: _Seasons, trips: int) -> tuple[_Seasons, _Seasons]:
    """The latest seasons, whole ones until there are so many trips, and those before."""
    at = 0
    while at < len(seasons) and _trips(seasons[:at]) < trips:
        at += 1
    return seasons[:at], seasons[at:]


def _trips(seasons: _Seasons) -> int:
    return sum(len(trips) for _, trips in seasons)


class _Scale:
    """The one scale of all lows, in degrees Celsius."""

    def __init__(self, low: float, high: float, display: "Display") -> None:
        self.low, self.high, self.display = low, high, display

    @classmethod
    def of(cls, trips: "Sequence[TripBack]", display: "Display") -> "_Scale | None":
        """The scale; None where lows do not differ: there is nothing to compare."""
        lows = [trip.low_c for trip in trips if trip.low_c is not None]
        return cls(min(lows), max(lows), display) if len({*lows}) > 1 else None

    def ends(self) -> str:
        return " to ".join(temperature(each, self.display) for each in (self.low, self.high))

    @property
    def freezes(self) -> bool:
        """Whether the point where water freezes is within the scale, and drawn on it."""
        return self.low < 0 < self.high

    def tick(self, low_c: float) -> str:
        """One low on the scale; a fine line where water freezes, if that is within it."""
        freezing = f'<path class="freezing" d="M{self._at(0)} 0v{_TICK_PX}"/>'
        middle = _TICK_PX // 2
        return (
            f'<svg class="low" width="{_SCALE_PX}" height="{_TICK_PX}" aria-hidden="true">'
            f'<path class="scale" d="M0 {middle}h{_SCALE_PX}"/>{freezing if self.freezes else ""}'
            f'<path class="tick" d="M{self._at(low_c)} 2v{_TICK_PX - 4}"/></svg>'
        )

    def _at(self, low_c: float) -> str:
        inside = _SCALE_PX - 4
        return f"{2 + inside * (low_c - self.low) / (self.high - self.low):.1f}"


class _Shown:
    """Which columns have anything in them."""

    def __init__(
        self, trips: "Sequence[TripBack]", scale: _Scale | None, album: "Album | None"
    ) -> None:
        from ..analysis.store.scope import BY_MODE

        self.scale, self.ways = scale, BY_MODE
        self.way = any(trip.mode in BY_MODE for trip in trips)
        self.nights = any(trip.nights for trip in trips)
        self.low = any(trip.low_c is not None for trip in trips)
        self.base = any(trip.base_g is not None for trip in trips)
        found = {each.trip: album.small(each.trip, each.title) for each in trips} if album else {}
        self.photographs = {trip: photograph for trip, photograph in found.items() if photograph}

    @property
    def columns(self) -> int:
        return 2 + self.way + self.nights + self.low + self.base


def _head(shown: _Shown) -> str:
    headers = [
        ("date", "Date", True),
        ("title", "Trip", True),
        ("way", "Way", shown.way),
        ("nights", "Nights", shown.nights),
        ("cold", "Coldest low", shown.low),
        ("base", "Base weight", shown.base),
    ]
    cells = (
        f'<th scope="col" class="{name}">{text}</th>' for name, text, there in headers if there
    )
    return f"<tr>{''.join(cells)}</tr>"


def _row(
    trip: "TripBack", files: Mapping[str, str], display: "Display", shown: _Shown, *, notes: bool
) -> str:
    from ..analysis.home.words import said_of_trip

    low = _missing() if trip.low_c is None else escape(temperature(trip.low_c, display))
    if trip.low_c is not None and shown.scale is not None:
        low = f"{shown.scale.tick(trip.low_c)}<span>{low}</span>"
    # On a phone the row has no head above it, so its figures say what they are.
    low = f'<span class="phone">Coldest </span>{low}'
    base = _missing()
    if trip.base_g is not None:
        base = escape(mass(trip.base_g, display, at_least=trip.at_least))
    base = f'<span class="phone">Base weight </span>{base}'
    nights = f'{trip.nights}<span class="phone"> {"night" if trip.nights == 1 else "nights"}</span>'
    way = escape(shown.ways.get(trip.mode or "", "")) or _missing()
    note = said_of_trip(trip.note) if notes else ""
    said = f' – <span class="said">{isolate(note)}</span>' if note else ""
    # Within the cell, so that a trip without a photograph leaves no gap beside its title.
    title = shown.photographs.get(trip.trip, "") + _titled(trip.title, files.get(trip.trip, ""))
    cells = [
        f'<td class="date" data-sort="{trip.start_on}">{escape(_date(trip))}</td>',
        f'<th scope="row" class="title">{title}{said}</th>',
        f'<td class="way">{way}</td>' if shown.way else "",
        f'<td class="nights">{nights}</td>' if shown.nights else "",
        f'<td class="cold">{low}</td>' if shown.low else "",
        f'<td class="base">{base}</td>' if shown.base else "",
    ]
    return f"<tr>{''.join(cells)}</tr>"


def _date(trip: "TripBack") -> str:
    """The day it began; with its year where that is not the season's, as of a winter's December."""
    year = not trip.season.startswith(f"{trip.start_on.year} ")
    return day(trip.start_on, weekday=False, year=year)


def _missing() -> str:
    return f'<span class="missing" aria-label="{NOT_KNOWN}" role="img">{DASH}</span>'


def _season_name(season: str) -> str:
    year, _, name = season.partition(" ")
    return f"{name.capitalize()} {year}"


def _titled(title: str, file: str) -> str:
    text = isolate(title)
    return f'<a href="{escape(file)}">{text}</a>' if file else text


def _caution(text: str) -> str:
    return f'<aside class="caution" role="note"><strong>Take care.</strong> {escape(text)}</aside>'
