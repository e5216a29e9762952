"""The sections of the page on buying: all candidates side by side, then each with its case."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from tarebook.analysis import buying_page_charts as charts
from tarebook.analysis import buying_words as said
from tarebook.analysis import cold_words, tables
from tarebook.analysis.buying_cold import Swap
from tarebook.analysis.buying_results import Case, ColdReplay
from tarebook.analysis.buying_verdict import SAFETY
from tarebook.analysis.figure import Figure
from tarebook.analysis.markup import slug
from tarebook.analysis.section import Section
from tarebook.analysis.tables import Column, Table
from tarebook.analysis.words import (
    Display,
    count,
    listing,
    mass,
    number,
    one_in,
    temperature,
    temperature_scale,
)

COLD_CARE = (
    "Ratings compare bags; they promise no one a warm night. Cold can injure and kill. Try new "
    "limits near home, with something warmer within reach."
)
BATTERY_CARE = (
    "Keep batteries to their maker's charger and limits, dry and unhurt; plan light and phone for "
    "an emergency before comfort."
)
SAFETY_CARE = (
    "What is carried for an emergency is chosen with those who know the danger, by local rules and "
    "current standards, never by grams or money alone."
)
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
    heading = "Price, grams and cold nights"
    if not cases:
        return Section.empty(heading, "candidates.csv names nothing that might be bought")
    if len(cases) == 1:
        return Section.empty(heading, "one candidate has nothing to stand beside")
    placed = [c for c in cases if c.candidate.price is not None and c.saved_g is not None]
    lighter = [c for c in cases if c.saved_g is not None and c.saved_g > 0]
    free = cases[0].alternative.let_go_g
    many = number(len(lighter)) if lighter else "None"
    first = f"{many} of the {len(cases)} candidates would save weight"
    if lighter:
        most = max(c.saved_g or 0.0 for c in lighter)
        first += f", {mass(most, display)} at most"
    told = [f"{first}; {mass(free, display)} may stay at home for nothing."]
    spared = [c for c in cases if c.replay and c.replay.avoided]
    if spared:
        nights = listing(
            [f"“{c.candidate.name}” ({_spared(c.replay)})" for c in spared if c.replay]
        )
        told.append(f"Cold nights that would have been spared: {nights}.")
    figure = Figure(
        "price-against-grams",
        f"{told[0]} Dots: price upward, weight saved to the right.",
        charts.price_against_grams(placed, display),
        "Each dot is a candidate. Right of the dashed line for the same weight it is lighter than "
        "what it replaces; the other line is what may stay at home for nothing.",
    )  # fmt: skip
    notes = ["Prices are in their currencies as given; nothing is converted or added up."]
    return Section(
        heading, tuple(told), figure if placed else None, _table(cases, display),
        tuple(notes),
    )  # fmt: skip


def _spared(replay: ColdReplay) -> str:
    """ "about 5, very likely 3 to 8"."""
    return f"about {replay.avoided}, very likely {replay.avoided_least} to {replay.avoided_most}"


def _table(cases: Sequence[Case], display: Display) -> Table:
    rows = []
    for case in cases:
        own = case.candidate
        rows.append({
            "name": own.name,
            "price": None if own.price is None else said.money(own.price, own.currency),
            "saves": _saves(case, display),
            "per_g": None if case.price_per_g is None
            else said.money(case.price_per_g, own.currency, 2),
            "per_night": None if case.price_per_night is None
            else said.money(case.price_per_night, own.currency, 2),
            "spared": case.replay and case.replay.avoided,
        })  # fmt: skip
    columns = [
        tables.text("name", "Candidate"), Column("price", "Price", align="right"),
        Column("saves", "Saves", align="right"), Column("per_g", "A gram saved", align="right"),
        Column("per_night", "An expected night", align="right"),
    ]  # fmt: skip
    if any(row["spared"] is not None for row in rows):
        columns.append(tables.whole("spared", "Cold nights spared"))
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
    replaced = listing([r.name for r in case.replaced])
    instead = f"in the place of {replaced}" if replaced else "beside what you have"
    told = [
        f"{said.heading(case, display)}.",
        f"{own.name}, {instead}. For it: {_reasons(said.reasons_for(case, display))}",
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
        own.name, tuple(told), figure, _now_and_then(case, display), _notes(case, display),
        caution=_care(case),
    )  # fmt: skip


def _at_home(case: Case) -> list[str]:
    """The sleep set that is owned and would have spared cold nights, too: it comes first."""
    replay = case.replay
    home = replay.at_home if replay is not None else None
    if replay is None or home is None:
        return []
    told = f"about {home.avoided} of the {count(replay.cold_votes, 'cold night')}"
    by = "" if home.basis == "own" else ", going by its rating: you have judged no night in it"
    return [f"“{home.rated_name}”, which you own, would have spared {told}{by}. Try that first."]


def _reasons(found: Sequence[str]) -> str:
    return (
        " ".join(found[:_MOST_REASONS]) or f"{said.NOTHING_FOR[:1].upper()}{said.NOTHING_FOR[1:]}."
    )


def _now_and_then(case: Case, display: Display) -> Table:
    rows = [{"what": what, "now": now, "then": then} for what, now, then in _lines(case, display)]
    columns = (
        tables.text("what", "What"), Column("now", "As it is", align="right"),
        Column("then", "With it", align="right"),
    )  # fmt: skip
    return Table.of(columns, rows, "line", caption=f"{case.candidate.name}: now and then",
                    fold_after=20)  # fmt: skip


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
            ("Nights no colder than the rating, as a limit",
             None if replay.inside_now is None else f"{replay.inside_now} of {replay.nights}",
             f"{replay.inside_then} of {replay.nights}"),
            ("Nights that felt, or would feel, too cold", f"{replay.cold_votes} of {replay.votes}",
             f"about {replay.cold_votes - replay.avoided} of {replay.votes}"),
            ("Your limit: one night in five too cold",
             None if replay.limit_now_c is None else temperature(replay.limit_now_c, display, 1),
             temperature(replay.own_limit_c, display, 1)),
            (_RANGE, None, f"{temperature_scale(display, 0).number(replay.own_limit_low_c)} to "
             f"{temperature(replay.own_limit_high_c, display)}"),
        ]  # fmt: skip
    if year is not None:
        found.append(("A too cold night in a year like the last", one_in(year.now),
                      one_in(year.then)))  # fmt: skip
    if case.comfort is not None:
        gain = case.comfort
        found += [
            ("Sleep score, points a night", None, number(gain.gain, 1, signed=True)),
            (_RANGE, None, f"{number(gain.low, 1, signed=True)} to "
             f"{number(gain.high, 1, signed=True)}"),
        ]  # fmt: skip
    if own.capacity_wh is not None:
        holds = [r.capacity_wh for r in case.replaced if r.capacity_wh is not None]
        found.append(("Holds", f"{number(sum(holds))} Wh" if holds else None,
                      f"{number(own.capacity_wh)} Wh"))  # fmt: skip
    expected = case.failures
    if expected.nights:
        before = None if expected.now is None else _few(expected.now)
        what = f"Failures expected in {number(expected.nights)} nights"
        found.append((what, before, _few(expected.then)))
    costs = [r for r in case.replaced if r.cost_per_night is not None]
    if costs or case.price_per_night is not None:
        so_far = ", ".join(f"{said.money(r.cost_per_night or 0.0, r.currency, 2)}" for r in costs)
        each = case.price_per_night
        found.append(("Cost of a night, so far and expected", so_far or None,
                      None if each is None else said.money(each, own.currency, 2)))  # fmt: skip
    return found


def _few(expected: float) -> str:
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
        word = "spare" if case.saved_g > 0 else "cost"
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
        found += cold_words.kinds(sorted({own.rated_as, *case.replay.rated_as}), display)
    if case.year is not None:
        left = f"; {case.year.left_out} left out for want of them" if case.year.left_out else ""
        found.append(
            f"A year like the last: {count(case.year.trips, 'trip')}, "
            f"{count(case.year.nights, 'night')}, with the normals of their places{left}."
        )
    if case.alternative.same_g is not None and case.alternative.names:
        found.append(
            f"At least the same for nothing: {said.named(case.alternative.names)}, "
            f"{mass(case.alternative.same_g, display)}; "
            "the report “What to leave at home” has the rest."
        )
    found.append(
        "Failures of a new thing are those of its system; whether this make is better, the record "
        "cannot know."
    )
    return tuple(found)


def _care(case: Case) -> str | None:
    own = case.candidate
    if own.system in SAFETY:
        return SAFETY_CARE
    if own.rated_sleep_gear:
        return COLD_CARE
    return BATTERY_CARE if own.capacity_wh is not None else None
