"""Links inside a page: titles of trips lead to their debriefs, and a long page has its contents.

A title is a person's own words, and may be anything: "Rain". So it is a link only where a page
names a trip as such: in a table's column of trips, and between the quotation marks in which
sentences put names, unless a thing has that name, too. Where trips share a title, the day beside it
tells which is meant; where it does not, nothing is linked.
"""

import html
import re
from collections import defaultdict
from collections.abc import Iterator, Sequence

from ..analysis.display.markup import clean, escape
from ..analysis.display.words import day
from .site import Site, TripPage

LONG = 6
"""Sections from which a page begins with its contents."""
_NEAR = 60
"""Letters behind a title in which its day tells which trip is meant."""
_WHOLE = re.compile(
    r"(<(?P<t>svg|script|style|h1|h2|a|summary|label|nav|button)\b.*?</(?P=t)>)", re.DOTALL
)
_TABLE = re.compile(r"<table\b.*?</table>", re.DOTALL)
_ROW = re.compile(r"<tr>.*?</tr>", re.DOTALL)
_CELL = re.compile(r"(<(t[hd])\b[^>]*>)(.*?)(</\2>)", re.DOTALL)
_TAG = re.compile(r"<[^>]*>")
_QUOTED = re.compile("“([^“”<>]+)”")
_HEADING = re.compile(
    r'<section class="tarebook-section[^"]*" id="([^"]+)"><h2>(.*?)</h2>'
    r'|<h2 id="([^"]+)">(.*?)<',
    re.DOTALL,
)
_COLUMN = "Trip"
"""The header of a column that names trips."""


def linked(main: str, site: Site, own: str = "") -> str:
    """Return the HTML of a page with its trips linked; own: the trip that it is about itself."""
    by_title: dict[str, list[TripPage]] = defaultdict(list)
    for trip in (*site.trips, *site.plans):
        by_title[clean(trip.title)].append(trip)
    if not any(trip.file for trip in (*site.trips, *site.plans)):
        return main
    pieces = []
    for whole, text in _pieces(main, _TABLE):
        if whole:
            pieces.append(_table(text, by_title, own))
        else:
            pieces += [t if apart else _quoted(t, by_title, site, own) for apart, t in _apart(text)]
    return "".join(pieces)


def contents(main: str) -> str:
    """Return the HTML of a page; where it is long, its opening ends with a list of its sections."""
    found = [(m[1] or m[3], m[2] or m[4]) for m in _HEADING.finditer(main)]
    opening = "</header>"
    if len(found) < LONG or opening not in main:
        return main
    listed = "".join(f'<li><a href="#{name}">{heading}</a></li>' for name, heading in found)
    head, _, rest = main.partition(opening)
    return (
        f'{head}{opening}<nav class="contents" aria-label="On this page"><p>On this page</p>'
        f"<ul>{listed}</ul></nav>{rest}"
    )


def _pieces(text: str, wanted: re.Pattern[str]) -> Iterator[tuple[bool, str]]:
    """A text in order: what matches, and what stands between."""
    at = 0
    for match in wanted.finditer(text):
        yield False, text[at : match.start()]
        yield True, match[0]
        at = match.end()
    yield False, text[at:]


def _apart(text: str) -> Iterator[tuple[bool, str]]:
    """A text in order: what must stay as it is, and running text, its tags apart."""
    for whole, piece in _pieces(text, _WHOLE):
        if whole:
            yield True, piece
        else:
            yield from _pieces(piece, _TAG)


def _which(found: Sequence[TripPage], beside: str) -> TripPage | None:
    if len(found) > 1:
        found = [each for each in found if day(each.start_on, weekday=False) in beside]
    return found[0] if len(found) == 1 and found[0].file else None


def _link(trip: TripPage, text: str) -> str:
    return f'<a href="{escape(trip.file)}">{text}</a>'


def _quoted(text: str, by_title: dict[str, list[TripPage]], site: Site, own: str) -> str:
    def link(match: re.Match[str]) -> str:
        title = html.unescape(match[1])
        beside = text[match.end() : match.end() + _NEAR]
        trip = _which(by_title.get(title, ()), html.unescape(beside))
        if trip is None or trip.trip == own or title in site.things:
            return match[0]
        return f"“{_link(trip, match[1])}”"

    return _QUOTED.sub(link, text)


def _table(text: str, by_title: dict[str, list[TripPage]], own: str) -> str:
    first = _ROW.search(text)
    headers = [_TAG.sub("", cell[3]) for cell in _CELL.finditer(first[0])] if first else []
    if _COLUMN not in headers:
        return text
    place = headers.index(_COLUMN)

    def row(match: re.Match[str]) -> str:
        cells = list(_CELL.finditer(match[0]))
        if len(cells) <= place:
            return match[0]
        cell = cells[place]
        title = html.unescape(_TAG.sub("", cell[3]))
        beside = html.unescape(_TAG.sub(" ", match[0]))
        trip = _which(by_title.get(title, ()), beside)
        # The list of all trips has its links already, and no link stands within another.
        if trip is None or trip.trip == own or "<a " in cell[3]:
            return match[0]
        at, end = cell.start(3), cell.end(3)
        return f"{match[0][:at]}{_link(trip, cell[3])}{match[0][end:]}"

    return _ROW.sub(row, text)
