"""The logbook's first page: the latest trip, the next plan, what to do, what the seasons say.

From it every report and every trip is one step away.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import astuple, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..analysis.display.markup import escape
from ..analysis.display.sections import FINDINGS, OVER_ALL
from . import cleaning, drawn_from, page, trip_list
from .album import Album
from .jobs import AHEAD, DEBRIEF
from .site import FIRST, Site

if TYPE_CHECKING:
    from ..analysis.home.first_page import FirstPage
    from .runner import Report

TITLE = "Your logbook"
ANSWERS: Mapping[str, str] = {
    "weigh_up": "On the first evening, and of any trip or plan: what it all weighs by system, kit "
    "and bag, with and without what you name.",
    "before_trip": "Before a trip: what to pack, what may be forgotten, how much food and fuel, "
    "how cold it may be, what to do before leaving.",
    "debrief": "After a trip: how the nights were, what failed, what came along and was never "
    "taken out, what to mend before the next.",
    "season_cull": "Over a season: what to leave at home, what that would cost and save, and how "
    "sure that is.",
    "base_weight_trend": "Over the years: whether base weight falls, or only the season changed, "
    "and where the change went.",
    "comfort_value": "Over all trips: which comforts earned their weight, and how cold you can "
    "sleep in what you have.",
    "temperature_context": "A trip's nights beside what is usual there, and how likely a cold "
    "night is on a trip to come.",
    "buying_case": "Before buying: whether a new thing is worth its price, what would be lost with "
    "the old one, and what could stay at home instead; what broke, and what weight costs on the "
    "move.",
}
"""What each report answers, in the order in which the page lists them."""


LINKS: Mapping[str, str] = {
    "season_cull": "What to leave at home",
    "base_weight_trend": "Base weight over the seasons",
    "comfort_value": "What a point of comfort weighed",
    "temperature_context": "Cold for the time of year",
    "buying_case": "The case for buying",
    "weigh_up": "What it all weighs",
}
"""The reports of which the seasons' part has a sentence each, in its order, and their links."""
_ELSEWHERE = (AHEAD, DEBRIEF)


def write(
    reports: Sequence["Report"],
    folder: Path,
    on: date,
    *,
    logbook: Path | None = None,
    site: Site | None = None,
) -> Path:
    """Write the first page beside its reports, and return its path; a former one is replaced.

    logbook: whose page it is, its store being current; without one it has the reports alone. site:
    the pages that stand beside it; default: those of the reports. An unchanged page is left alone.
    """
    from .executing import write_whole

    plain = _one_each(reports)
    known = site or Site(True, tuple(each.name for each in plain))
    album = Album(logbook) if logbook is not None else None
    pages, asked = drawn_from.Pages.of(folder), _digest(plain, known, on, logbook, album)
    kept, stem = pages.known.get(Path(FIRST).stem), Path(FIRST).stem
    if logbook is not None and kept is not None and kept.drawn_from == asked:
        return folder / FIRST
    facts = _facts(logbook, on) if logbook is not None else None
    title = _title(facts)
    text = page.render(
        _notebook(html(plain, facts, known, album), title), on=on, name="", site=known
    )
    write_whole(folder / FIRST, text)
    if logbook is not None:
        pages.known[stem] = drawn_from.Kept(
            "", "", asked, known.digest(), drawn_from.digest(text), notebook=""
        )
        write_whole(folder / drawn_from.FILE, pages.text())
    return folder / FIRST


def _one_each(reports: Sequence["Report"]) -> list["Report"]:
    """The report of each name: the one under its plain name, else the first."""
    one: dict[str, Report] = {}
    for each in sorted(reports, key=lambda report: not report.plain):
        one.setdefault(each.name, each)
    return list(one.values())


def _digest(
    reports: Sequence["Report"], site: Site, on: date, logbook: Path | None, album: Album | None
) -> str:
    if logbook is None or album is None:
        return ""
    said = [
        [each.name, each.title, each.sentence, [astuple(p) for p in each.findings], each.for_index]
        for each in reports
    ]
    base = drawn_from.base_digest(logbook, on)
    photographs = [album.digest(each.trip) for each in site.trips]
    return drawn_from.digest("\0".join((base, site.digest(), json.dumps(said), *photographs)))


def _facts(logbook: Path, on: date) -> "FirstPage":
    from ..analysis.home.first_page import first_page
    from ..analysis.store.opening import open_store
    from ..tripdata.store import store_path

    with open_store(store_path(logbook)) as store:
        return first_page(store, on)


def _title(facts: "FirstPage | None") -> str:
    return (facts and facts.title) or TITLE


def _notebook(text: str, title: str) -> Any:
    shown = {"text/html": text, FINDINGS: {"title": title, "points": []}}
    output = {"output_type": "display_data", "data": shown, "metadata": {}}
    cell = {"cell_type": "code", "id": "cell-01", "metadata": {}, "outputs": [output], "source": ""}
    notebook = {"cells": [cell | {"execution_count": None}], "metadata": cleaning.metadata()}
    return cleaning.node(notebook | {"nbformat": 4, "nbformat_minor": 5})


def html(
    reports: Sequence["Report"],
    facts: "FirstPage | None",
    site: Site,
    album: Album | None = None,
) -> str:
    """The body of the page; what there is nothing of is left out."""
    made = {each.name: each for each in reports}
    files = {each.trip: each.file for each in (*site.trips, *site.plans) if each.file}
    parts = [trip_list.opening(facts, _title(facts))]
    if facts is not None:
        parts += [
            trip_list.latest(facts, files, said_of_latest(made.get(DEBRIEF))),
            trip_list.next_plan(facts, made.get(AHEAD), files),
            trip_list.things_to_do(facts, made.get(DEBRIEF)),
        ]
    parts.append(_seasons([each for each in reports if facts is None or _of_seasons(each)], made))
    if facts is not None:
        parts.append(trip_list.all_trips(facts, files, album))
    return "".join(parts)


def said_of_latest(report: "Report | None") -> str:
    """What the debrief of the latest trip found, in a sentence; empty where there is none."""
    return sentence(report) if report is not None else ""


def _of_seasons(report: "Report") -> bool:
    return report.name not in _ELSEWHERE


def sentence(report: "Report") -> str:
    """What a report found, in one whole sentence, as far as it says one itself."""
    return report.sentence or finding(report)


def finding(report: "Report") -> str:
    """The answer to the first thing that a report found, in short; empty where it found none.

    What goes with an answer is told where the answer is no sentence of its own. What it is about is
    told unless the answer begins with it.
    """
    if not report.findings:
        return ""
    point = report.findings[0]
    if point.answer.endswith((".", "!", "?")):
        point = replace(point, more="")
    if point.answer.split()[:1] == point.about.split()[:1]:
        point = replace(point, about="")
    return point.text()


def _seasons(reports: Sequence["Report"], made: Mapping[str, "Report"]) -> str:
    """A sentence a report, with its link, and what holds over all trips."""
    order = [*LINKS, *ANSWERS]
    places = {name: order.index(name) for name in order}
    lines = []
    for each in sorted(reports, key=lambda report: (places.get(report.name, 99), report.name)):
        told = sentence(each) or ANSWERS.get(each.name, "")
        lines.append(_line(told, each.html.name, LINKS.get(each.name) or each.title or each.name))
    debrief = made.get(DEBRIEF)
    if debrief is not None:
        there = f"{debrief.html.name}#{OVER_ALL}"
        lines += [_line(told, there, "What was expected") for told in debrief.for_index]
    if not lines:
        return ""
    return trip_list.section("What the seasons say", f'<ul class="seasons">{"".join(lines)}</ul>')


def _line(told: str, file: str, label: str) -> str:
    return f'<li><p>{escape(told)} <a href="{escape(file)}">{escape(label)}</a></p></li>'
