"""The sections of the page on buying: all candidates side by side, then each with its case."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ...cold import words as cold_words
from ...display import tables
from ...display.figure import Figure
from ...display.markup import slug
from ...display.sections import Section
from ...display.tables import Column, Table
from ...display.words import (
    Display,
    count,
    listing,
    mass,
    money,
    number,
    one_in,
    quoted,
    sentence,
    temperature,
    temperature_scale,
    wanted,
)
from ...wear.rates import TOO_FEW_NIGHTS
from .. import words as said
from ..cautions import caution
from ..cold import Swap
from ..results import Case, ColdReplay
from ..verdict import verdict
from . import charts

_MOST_REASONS = 3
_RANGE = "its 90 % interval"


@dataclass(frozen=True)
class Sections:
    """Several sections that one cell shows."""

    parts: tuple[Section, ...]

    def _repr_mimebundle_(self, **_: Any) -> dict[str, str]:
        return {
            "text/html": "".join(part.html() for part in self.parts),
            "text/plain": "\n\n".join(part.text() for part in self.parts),
        }


def side_by_side(cases: Sequence[Case], display: Display) -> Section:
    """Price against grams against cold nights, and the same as a table."""
    heading = "Price, weight and cold nights"
    if not cases:
        return Section.empty(heading, "candidates.csv names nothing that might be bought")
    if len(cases) == 1:
        return Section.empty(heading, "one candidate has nothing to stand beside")
    placed = [
        c
        for c in cases
        if c.candidate.price is not None
        and c.saved_g is not None
        and verdict(c) != "beyond_numbers"
    ]
    lighter = [
        c
        for c in cases
        if c.saved_g is not None and c.saved_g > 0 and verdict(c) != "beyond_numbers"
    ]
    free = max((c.alternative for c in cases), key=lambda a: a.let_go_g)
    every = "Both" if len(cases) == 2 else f"All {len(cases)}"
    many = f"{number(len(lighter)) if lighter else 'None'} of the {len(cases)}"
    first = f"{every if len(lighter) == len(cases) else many} candidates would save weight"
    if lighter:
        most = max(c.saved_g or 0.0 for c in lighter)
        first += f", {mass(most, display)} at most"
    told = [sentence(first)]
    if free.let_go_g:
        price = sentence(f"The price: {wanted(free.let_go_misses, len(free.let_go_names))}")
        grams = mass(free.let_go_g, display)
        told[0] = f"{first}. {grams} could stay at home without spending anything. {price}"
    for one in cases:
        if one.replay and one.replay.avoided:
            verb = "would" if one.replay.avoided_least else "may"
            told.append(
                f"\u201c{one.candidate.name}\u201d {verb} have spared about "
                f"{said.spared(one.replay)}."
            )
    told += [
        f"\u201c{c.candidate.name}\u201d is not decided by numbers."
        for c in cases
        if verdict(c) == "beyond_numbers"
    ]
    figure = Figure(
        "price-against-grams",
        f"{told[0]} Dots: price upward, weight saved to the right.",
        charts.price_against_grams(placed, display),
        "Each dot is a candidate. Right of the dashed line for the same weight it is lighter than "
        "what it replaces; the other line is what could stay at home without spending anything.",
    )
    notes = ["Prices are in their currencies as given; nothing is converted or added up."]
    return Section(
        heading,
        tuple(told),
        figure if placed else None,
        _table(cases, display),
        tuple(notes),
    )


def _table(cases: Sequence[Case], display: Display) -> Table:
    rows = []
    for case in cases:
        own = case.candidate
        rows.append(
            {
                "name": own.name,
                "price": None if own.price is None else money(own.price, own.currency),
                "saves": _saves(case, display),
                "per_g": None if verdict(case) == "beyond_numbers" else said.each(case, display),
                "per_night": None
                if case.price_per_night is None
                else money(case.price_per_night, own.currency, 2),
                "spared": None
                if case.replay is None
                else f"{case.replay.avoided}{said.spread(case.replay)}",
            }
        )
    columns = [
        tables.text("name", "Candidate"),
        Column("price", "Price", align="right"),
        Column("saves", "Saves", align="right"),
        Column("per_g", f"Price per {said.unit(display)} saved", align="right"),
        Column("per_night", "Price per expected night", align="right"),
    ]
    if any(row["spared"] is not None for row in rows):
        columns.append(Column("spared", "Cold nights spared", align="right"))
    return Table.of(columns, rows, "candidate", caption="Candidates side by side")


def _saves(case: Case, display: Display) -> str | None:
    if case.saved_g is None:
        return None
    if case.saved_g < 0:
        return f"heavier by {mass(-case.saved_g, display)}"
    return mass(case.saved_g, display) if case.saved_g else "nothing"


def one_case(case: Case, swap: Swap | None, display: Display) -> Section:
    """One candidate: the verdict, the strongest reasons, what would change it, now and then."""
    own = case.candidate
    replaced = quoted([r.name for r in case.replaced])
    instead = f"in the place of {replaced}" if replaced else "beside what you have"
    told = [
        f"{said.heading(case, display)}.",
        f"\u201c{own.name}\u201d, {instead}. For it: {_for(case, display)}",
        f"Against it: {_reasons(said.reasons_against(case, display))}",
        f"What would change this: {said.reversal(case, display)}",
    ]
    told[1:1] = _at_home(case)
    figure = None
    if case.replay is not None and swap is not None and case.replay.votes:
        figure = Figure(
            f"nights-{slug(own.candidate)}",
            f"{told[0]} Dots: your nights by their low, those that felt too cold apart, with the "
            "limits now and with it.",
            charts.nights_again(swap, case.replay, display),
            "A limit is the low at which one night in five is too cold. Shaded: 90 % interval of "
            "the limit with it; it rests on its rating and on how you slept in others. Nights on "
            "which sleep or shelter gear had failed are left out.",
        )
    return Section(
        own.name,
        tuple(told),
        figure,
        _now_and_then(case, display),
        _notes(case, display),
        caution=caution(case, display),
    )


def _at_home(case: Case) -> list[str]:
    """The sleep set that is owned and would have spared cold nights, too: it comes first."""
    replay = case.replay
    home = replay.at_home if replay is not None else None
    if replay is None or home is None:
        return []
    cold = count(replay.cold_votes, "cold night")
    told = f"about {home.avoided} of the {cold}{said.spread(home)}"
    by = "" if home.basis == "own" else ", going by its rating: you have judged no night in it"
    return [f"“{home.rated_name}”, which you own, would have spared {told}{by}. Try that first."]


def _for(case: Case, display: Display) -> str:
    found = said.reasons_for(case, display)
    return " ".join(found[:_MOST_REASONS]) or said.reason_for(case, display)


def _reasons(found: Sequence[str]) -> str:
    return " ".join(found[:_MOST_REASONS]) or sentence(said.NOTHING_FOR)


def _now_and_then(case: Case, display: Display) -> Table:
    rows = [{"what": what, "now": now, "then": then} for what, now, then in _lines(case, display)]
    columns = (
        tables.text("what", "What"),
        Column("now", "As it is", align="right"),
        Column("then", "With it", align="right"),
    )
    return Table.of(
        columns, rows, "line", caption=f"{case.candidate.name}: now and then", fold_after=20
    )


def _lines(case: Case, display: Display) -> list[tuple[str, str | None, str | None]]:
    own, base, replay, year = case.candidate, case.base, case.replay, case.year
    weights = [r.weight_g for r in case.replaced]
    known = [w for w in weights if w is not None]
    before = mass(sum(known), display) if known and len(known) == len(weights) else None
    found: list[tuple[str, str | None, str | None]] = [
        ("Weight", before, mass(own.weight_g, display))
    ]
    if base is not None:
        now, then = (mass(g, display, at_least=base.at_least) for g in (base.now_g, base.after_g))
        found.append(("Base weight", now, then))
        if base.class_now != base.class_after:
            found.append(("Its class", base.class_now, base.class_after))
    if replay is not None:
        found += [
            (
                "Nights no colder than the rating, as a limit",
                None if replay.inside_now is None else f"{replay.inside_now} of {replay.nights}",
                f"{replay.inside_then} of {replay.nights}",
            ),
            (
                "Nights that felt, or would feel, too cold",
                f"{replay.cold_votes} of {replay.votes}",
                _still_cold(replay),
            ),
            (
                "Your limit: one night in five too cold",
                None if replay.limit_now_c is None else temperature(replay.limit_now_c, display, 1),
                temperature(replay.own_limit_c, display, 1),
            ),
            (
                _RANGE,
                None,
                f"{temperature_scale(display, 0).number(replay.own_limit_low_c)} to "
                f"{temperature(replay.own_limit_high_c, display)}",
            ),
        ]
    if year is not None:
        found.append(
            ("A too cold night in a year like the last", one_in(year.now), one_in(year.then))
        )
    if case.comfort is not None:
        gain = case.comfort
        found += [
            ("Sleep score, points a night", None, number(gain.gain, 1, signed=True)),
            (
                _RANGE,
                None,
                f"{number(gain.low, 1, signed=True)} to {number(gain.high, 1, signed=True)}",
            ),
        ]
    insulation = [r.r_value for r in case.replaced if r.r_value is not None]
    if own.r_value is not None or insulation:
        found.append(
            (
                "R-value",
                number(sum(insulation), 1) if insulation else None,
                None if own.r_value is None else number(own.r_value, 1),
            )
        )
    if own.capacity_wh is not None:
        holds = [r.capacity_wh for r in case.replaced if r.capacity_wh is not None]
        found.append(
            (
                "Holds",
                f"{number(sum(holds))} Wh" if holds else None,
                f"{number(own.capacity_wh)} Wh",
            )
        )
    expected = case.failures
    if expected.nights:
        what = f"Failures expected in {count(expected.nights, 'night')}"
        now, then = (_few(n) or TOO_FEW_NIGHTS for n in (expected.now, expected.then))
        found.append((what, now if case.replaced else None, then))
    costs = [r for r in case.replaced if r.cost_per_night is not None]
    if costs or case.price_per_night is not None:
        so_far = ", ".join(f"{money(r.cost_per_night or 0.0, r.currency, 2)}" for r in costs)
        each = case.price_per_night
        found.append(
            (
                "Price per night, so far and expected",
                so_far or None,
                None if each is None else money(each, own.currency, 2),
            )
        )
    return found


def _still_cold(replay: ColdReplay) -> str:
    """Nights that would still be too cold, from the most to the fewest spared."""
    least, most = (replay.cold_votes - n for n in (replay.avoided_most, replay.avoided_least))
    told = f"{replay.cold_votes - replay.avoided} of {replay.votes}"
    return told if least == most else f"{told} ({least} to {most})"


def _few(expected: float | None) -> str | None:
    if expected is None:
        return None
    return "under 0.1" if expected < 0.05 else number(expected, 1)


def _notes(case: Case, display: Display) -> tuple[str, ...]:
    found = []
    own, effort = case.candidate, case.effort
    if effort is not None and case.saved_g:
        parts = []
        for kj, where in ((effort.foot_kj, "on foot"), (effort.bike_kj, "at the pedals")):
            if kj is not None:
                parts.append(f"{number(abs(kj))} kJ {where}")
        if effort.ebike_wh is not None:
            parts.append(f"{number(abs(effort.ebike_wh), 1)} Wh from the e-bike's battery")
        word = "have spared" if case.saved_g > 0 else "have cost"
        found.append(
            f"Over the {count(effort.trips, 'trip')} of the last twelve months that have a cost, "
            f"its weight would {word} {listing(parts)}."
        )
    if case.base is not None:
        when = "of the last twelve months" if case.base.recent else "on record"
        found.append(
            f"Base weight is the median of the {count(case.base.trips, 'trip')} {when} on which "
            "it would have come along."
        )
    if case.replay is not None and case.replay.set_apart:
        many = case.replay.set_apart
        found.append(
            f"{count(many, 'night')[:1].upper()}{count(many, 'night')[1:]} "
            f"{'is' if many == 1 else 'are'} set apart, because sleep or shelter gear had failed."
        )
    if case.replay is not None:
        found += cold_words.rating_notes(sorted({own.rated_as, *case.replay.rated_as}), display)
    if case.year is not None:
        left = f"; {case.year.left_out} left out for want of them" if case.year.left_out else ""
        found.append(
            f"A year like the last: {count(case.year.trips, 'trip')}, "
            f"{count(case.year.nights, 'night')}, with the normals of their places{left}."
        )
    other = case.alternative
    if other.same_g is not None and other.names:
        found.append(
            f"Without spending anything {said.names_of(other.names)} could stay at home, "
            f"{mass(other.same_g, display)}. "
            f"{sentence(f'The price: {wanted(other.misses, len(other.names))}')} "
            "The report “What to leave at home” has the rest."
        )
    found.append(
        "Failures of a new thing are those of its system; whether this make is better, the record "
        "cannot know."
    )
    return tuple(found)
