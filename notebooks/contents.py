"""The page from which all reports are found: what each answers, and what it found."""

import json
import re
from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

from ..analysis.display.markup import escape, slug
from ..analysis.display.words import count
from . import page

if TYPE_CHECKING:
    from .runner import Report

FILE = "index.html"
TITLE = "What your logbook says"
ANSWERS: Mapping[str, str] = MappingProxyType(
    {
        "debrief": "After a trip: what came along and was never taken out, what failed, how the "
        "nights were, what to mend before the next.",
        "season_cull": "Over a season: what to leave at home, what that would cost and save, and "
        "how sure that is.",
        "base_weight_trend": "Over the years: whether base weight falls, or only the season "
        "changed, and where the change went.",
        "comfort_value": "Over all trips: which comforts earned their grams, and how cold you can "
        "sleep in what you have.",
        "temperature_context": "A trip's nights beside what is usual there, and how likely a cold "
        "night is on a trip to come.",
        "buying_case": "Before buying: whether a new thing is worth its price, what would be lost "
        "with the old one, and what could stay at home instead; what broke, and what weight costs "
        "on the move.",
    }
)
"""What each report answers, in the order in which the page lists them."""

_FIRST_SENTENCE = re.compile(r"^.*?[.!?](?=\s|$)", re.DOTALL)


def write(made: Sequence["Report"], folder: Path, on: date) -> Path:
    """Write the page of some reports beside them, and return it; a former one is replaced."""
    from .cleaning import parse
    from .runner import write_whole

    output = {"output_type": "display_data", "data": {"text/html": html(made)}, "metadata": {}}
    cell: dict[str, object] = {
        "cell_type": "code",
        "execution_count": None,
        "id": "cell-01",
        "metadata": {},
        "outputs": [output],
        "source": "",
    }
    notebook = {"cells": [cell], "metadata": {}, "nbformat": 4, "nbformat_minor": 5}
    place = folder / FILE
    write_whole(place, page.render(parse(json.dumps(notebook)), on=on, name=TITLE))
    return place


def html(made: Sequence["Report"]) -> str:
    """The heading, and a section a report: link, finding, what it answers."""
    places = {name: place for place, name in enumerate(ANSWERS)}
    ordered = sorted(made, key=lambda report: (places.get(report.name, len(places)), report.name))
    sections = "".join(map(_section, ordered))
    return (
        f'<header class="tarebook-opening"><h1>{TITLE}</h1>'
        f'<p class="subtitle">{count(len(made), "report")}, each with what it found first</p>'
        f"</header>{sections}"
    )


def finding(report: "Report") -> str:
    """The first sentence of the most telling thing a report found; empty where it found none."""
    if not report.findings:
        return ""
    told = report.findings[0]
    first = _FIRST_SENTENCE.match(told)
    sentence = first[0] if first else told
    about, _, answer = sentence.partition(": ")
    # What it is about need not be said twice.
    again = answer and about.split()[:1] == answer.split()[:1]
    return answer if again else sentence


def _section(report: "Report") -> str:
    name, told = report.title or report.name, finding(report)
    answer = f'<p class="answer">{escape(told)}</p>' if told else ""
    about = ANSWERS.get(report.name, "")
    more = f"<p>{escape(about)}</p>" if about else ""
    return (
        f'<section class="tarebook-section" id="{slug(report.name)}">'
        f'<h2><a href="{escape(report.html.name)}">{escape(name)}</a></h2>{answer}{more}</section>'
    )
