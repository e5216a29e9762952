"""The section that sets all candidates side by side."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ...display import tables
from ...display.figure import Figure
from ...display.sections import Section
from ...display.tables import Table
from ...display.words import Display, mass, number, sentence
from .. import words as case_words
from ..results import Case
from ..verdict import verdict
from ..words import cost
from . import charts

if TYPE_CHECKING:
    from .page import BuyingPage


def comparison_section(page: "BuyingPage") -> Section:
    """Price against grams against cold nights, and the same as a table."""
    cases, display = page.cases, page.display
    heading = "Price, weight and cold nights"
    if not cases:
        return Section.empty(heading, "candidates.csv names nothing that might be bought")
    if len(cases) == 1:
        return Section.empty(heading, "one candidate has nothing to stand beside")
    beyond = [c for c in cases if verdict(c) == "beyond_numbers"]
    weighed = [c for c in cases if c.saved_g is not None and c not in beyond]
    placed = [c for c in weighed if c.candidate.price is not None]
    answer = [
        _first(cases, [c.saved_g for c in weighed if c.saved_g and c.saved_g > 0], display),
        *(
            f"\u201c{c.candidate.name}\u201d {case_words.would_or_may(c.replay)} have spared "
            f"{case_words.spared_words(c, c.replay, 'about ')}."
            for c in cases
            if c.replay and c.replay.avoided
        ),
        *(f"\u201c{c.candidate.name}\u201d is not decided by numbers." for c in beyond),
    ]
    figure = Figure(
        "price-against-grams",
        f"{answer[0]} Dots: price upward, weight saved to the right.",
        charts.price_against_grams(placed, display),
        "Each dot is a candidate. Right of the dashed line for the same weight it is lighter than "
        "what it replaces; the other line is what could stay at home without spending anything.",
    )
    notes = ("Prices are in their currencies as given; nothing is converted or added up.",)
    table = _comparison_table(cases, display)
    return Section(heading, tuple(answer), figure if len(placed) > 1 else None, table, notes)


def _first(cases: Sequence[Case], saved_g: Sequence[float], display: Display) -> str:
    """How many would save weight, and what could be saved without spending anything."""
    who = f"{number(len(saved_g)) if saved_g else 'None'} of the {len(cases)}"
    if len(saved_g) == len(cases):
        who = "Both" if len(cases) == 2 else f"All {len(cases)}"
    first = f"{who} candidates would save weight"
    if saved_g:
        first += f", {mass(max(saved_g), display)} at most"
    free = max((c.alternative for c in cases), key=lambda a: a.let_go_g)
    if not free.let_go_g:
        return sentence(first)
    price = case_words.price_of_leaving(free.let_go_names, free.let_go_misses, free)
    grams = mass(free.let_go_g, display)
    return f"{first}. {grams} of your gear could stay at home without spending anything. {price}"


def _comparison_table(cases: Sequence[Case], display: Display) -> Table:
    def per_g(case: Case) -> str | None:
        return None if verdict(case) == "beyond_numbers" else case_words.price_each(case, display)

    def per_night(case: Case) -> str | None:
        return cost(case.price_per_night, case.candidate.currency, 2)

    def spared(case: Case) -> str | None:
        replay = case.replay
        if replay is None:
            return "not known" if case.losses.warmth else None
        return f"{replay.avoided}{case_words.spread(replay)}"

    columns = (
        tables.text("name", "Candidate", lambda case: case.candidate.name),
        tables.right("price", "Price", of=lambda c: cost(c.candidate.price, c.candidate.currency)),
        tables.right("saves", "Saves", of=lambda case: _saves(case, display)),
        tables.right("per_g", f"Price per {case_words.unit(display)} saved", of=per_g),
        tables.right("per_night", "Price per expected night", of=per_night),
        tables.right("spared", "Cold nights spared", of=spared),
    )
    table = Table.of(columns, cases, "candidate", caption="Side by side", fold_after=0)
    return table.without_blank("spared")


def _saves(case: Case, display: Display) -> str | None:
    if case.saved_g is None:
        return None
    if case.saved_g < 0:
        return f"heavier by {mass(-case.saved_g, display)}"
    return mass(case.saved_g, display) if case.saved_g else "nothing"
