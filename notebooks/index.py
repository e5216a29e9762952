"""The page from which all reports are found: what each answers, and what it found."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from ..analysis.display.markup import escape, slug
from ..analysis.display.words import count
from . import page

if TYPE_CHECKING:
    from .runner import Report

FILE = "index.html"
TITLE = "What your logbook says"
ANSWERS: Mapping[str, str] = {
    "weigh_up": "On the first evening, and of any trip or plan: what it all weighs by system, kit "
    "and bag, with and without what you name.",
    "before_trip": "Before a trip: what to take, what may be forgotten, how much food and fuel, "
    "how cold it may be, what to see to before leaving.",
    "debrief": "After a trip: what came along and was never taken out, what failed, how the nights "
    "were, what to mend before the next.",
    "season_cull": "Over a season: what to leave at home, what that would cost and save, and how "
    "sure that is.",
    "base_weight_trend": "Over the years: whether base weight falls, or only the season changed, "
    "and where the change went.",
    "comfort_value": "Over all trips: which comforts earned their grams, and how cold you can "
    "sleep in what you have.",
    "temperature_context": "A trip's nights beside what is usual there, and how likely a cold "
    "night is on a trip to come.",
    "buying_case": "Before buying: whether a new thing is worth its price, what would be lost with "
    "the old one, and what could stay at home instead; what broke, and what weight costs on the "
    "move.",
}
"""What each report answers, in the order in which the page lists them."""


def write(reports: Sequence["Report"], folder: Path, on: date) -> Path:
    """Write the page of some reports beside them, and return it; a former one is replaced."""
    from . import cleaning
    from .runner import write_whole

    output = {"output_type": "display_data", "data": {"text/html": html(reports)}, "metadata": {}}
    cell = {"cell_type": "code", "id": "cell-01", "metadata": {}, "outputs": [output], "source": ""}
    notebook = {"cells": [cell | {"execution_count": None}], "metadata": cleaning.metadata()}
    whole = cleaning.node(notebook | {"nbformat": 4, "nbformat_minor": 5})
    write_whole(folder / FILE, page.render(whole, on=on, name=TITLE))
    return folder / FILE


def html(reports: Sequence["Report"]) -> str:
    """The heading, and a section a report: link, finding, what holds over all trips, question."""
    places = {name: place for place, name in enumerate(ANSWERS)}
    ordered = sorted(reports, key=lambda each: (places.get(each.name, len(places)), each.name))
    return (
        f'<header class="tarebook-opening"><h1>{TITLE}</h1>'
        f'<p class="subtitle">{count(len(reports), "report")}, each with what it found first</p>'
        f"</header>{''.join(map(_section, ordered))}"
    )


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


def _section(report: "Report") -> str:
    answer, about = finding(report), ANSWERS.get(report.name, "")
    name = report.title or report.name
    if report.title and report.name == "debrief":  # its title is that of the trip
        name = f"Debrief: {report.title}"
    return (
        f'<section class="tarebook-section" id="{slug(report.name)}">'
        f'<h2><a href="{escape(report.html.name)}">{escape(name)}</a></h2>'
        + (f'<p class="answer">{escape(answer)}</p>' if answer else "")
        + "".join(f"<p>{escape(each)}</p>" for each in report.for_index)
        + (f"<p>{escape(about)}</p>" if about else "")
        + "</section>"
    )
