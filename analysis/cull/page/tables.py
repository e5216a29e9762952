"""The tables of a season's page: each column with what it shows of a thing."""

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from ...display import tables, words
from ...display.tables import Column, Table, table_of
from ...display.thing_names import listed
from ...display.words import DASH, Display, number, percent, small_mass
from ...usage.held_words import question, typing
from ...usage.verdict_words import LABELS, verdict_reason, verdict_reversal
from ...usage.verdicts import Judged
from ..results import Cull, FrontierPoint
from .words import KIND_WORDS, names_by_weight, weight_g

_Shown = tuple[Column, Callable[[Judged], Any]]


def uses_of(judged: Judged) -> str:
    """Return uses and occasions: "1 of 25"."""
    rate = judged.usage.rate
    return f"{rate.used} of {rate.n}" if rate.n else "no occasion"


def verdict_label(judged: Judged) -> str:
    """Return a verdict in words, of what has none that it is given up."""
    return LABELS[judged.verdict] if judged.verdict else "Given up"


def trips_to_tell(judged: Judged) -> int | None:
    """Return the trips it takes for so many occasions, as often as they come about; at least."""
    if judged.held is not None or judged.more is None or not judged.usage.p_condition:
        return None
    return math.ceil(judged.more / judged.usage.p_condition)


def _share(key: str, header: str) -> Column:
    return Column(key, header, align="right", write=percent)


_THING: _Shown = (tables.text("name", "Thing"), lambda j: j.about.name)
_SYSTEM: _Shown = (tables.words("system", "System"), lambda j: j.about.system)
_VERDICT: _Shown = (tables.text("verdict", "Verdict"), verdict_label)
_COST: _Shown = (tables.decimal("cost", "Cost if missed", decimals=1), lambda j: j.cost)
_RECORD: _Shown = (Column("record", "Used", align="right"), uses_of)

_MISSES = tables.decimal("misses", "Missed per trip", decimals=2)
_LESS = tables.text("less", "Take after all")


def _weight(cull: Cull, display: Display) -> _Shown:
    return tables.measured("weight_g", "Weight", small_mass(display)), lambda j: weight_g(cull, j)


def _why(display: Display) -> _Shown:
    return tables.text("why", "Why"), lambda j: verdict_reason(j, display)


def _hauled(key: str, header: str, display: Display) -> Column:
    """A column of weight times distance, from kg km."""
    heavy, far = words.large_mass(display), words.distance_scale(display)

    def written(kg_km: float) -> str:
        return number(kg_km * 1000 * heavy.factor * far.factor, 1)

    return Column(key, header, f"{heavy.unit}·{far.unit}", "right", written)


def left_table(cull: Cull, display: Display) -> Table:
    """What to leave: what it saves, its record, P(needed), in how many answers it is."""
    by_item = cull.by_item
    return table_of(
        "thing",
        sorted(cull.answer.left, key=lambda item: (-item.weight_g, item.item)),
        (_THING[0], lambda item: item.name),
        (tables.measured("weight_g", "Saves", small_mass(display)), lambda item: item.weight_g),
        (_RECORD[0], lambda item: uses_of(by_item[item.item])),
        (_share("p", "Needed next trip"), lambda item: item.p_needed),
        (_COST[0], lambda item: item.cost),
        (tables.decimal("regret", "Regret", decimals=3), lambda item: item.regret),
        (_share("inclusion", "In the variations"), lambda item: item.inclusion),
        caption="What to leave",
    )


def frontier_table(points: Sequence[FrontierPoint], cull: Cull, display: Display) -> Table:
    """The frontier, and what each step changes."""
    by_item = cull.by_item
    sets = [frozenset[str](), *(frozenset(point.items) for point in points)]

    def names(items: Iterable[str]) -> str:
        return listed([by_item[i].about.name for i in sorted(items)])

    return table_of(
        "step",
        zip(points, sets, sets[1:], strict=False),
        (tables.measured("saved_g", "Saved", small_mass(display)), lambda step: step[0].saved_g),
        (_MISSES, lambda step: step[0].expected_misses),
        (
            tables.decimal("regret", "Regret per trip", decimals=2),
            lambda step: step[0].expected_regret,
        ),
        (tables.whole("left", "Left at home (number)"), lambda step: len(step[2])),
        (tables.text("more", "Also leave"), lambda step: names(step[2] - step[1])),
        (_LESS, lambda step: names(step[1] - step[2])),
        caption="The whole frontier",
        fold_after=0,
    )


def kinds_table(cull: Cull, display: Display) -> Table:
    """What may be left on each kind of trip."""
    answer = set(cull.answer.point.items)

    def names(items: Iterable[str]) -> str:
        return listed(names_by_weight(cull, items))

    return table_of(
        "kind",
        cull.by_kind,
        (tables.text("kind", "Trip"), lambda k: KIND_WORDS[k.kind]),
        (
            tables.measured("saved_g", "Could stay at home", small_mass(display)),
            lambda k: k.answer.saved_g,
        ),
        (_MISSES, lambda k: k.answer.expected_misses),
        (
            tables.text("more", "Also leave, beyond the list above"),
            lambda k: names(set(k.answer.items) - answer),
        ),
        (_LESS, lambda k: names(answer - set(k.answer.items))),
    )


def never_used_table(judged: Sequence[Judged], cull: Cull, display: Display, caption: str) -> Table:
    """What was carried and never used."""
    return table_of(
        "thing",
        judged,
        _THING,
        _SYSTEM,
        _weight(cull, display),
        (tables.whole("carried", "Trips"), lambda j: j.counts.carried),
        (tables.whole("chances", "Occasions"), lambda j: j.counts.chances - j.counts.wished),
        (_hauled("hauled", "Hauled", display), lambda j: j.usage.hauled_kg_km),
        _VERDICT,
        _why(display),
        caption=caption,
        fold_after=len(judged),
    )


def insurance_table(judged: Sequence[Judged], cull: Cull, display: Display) -> Table:
    """The insurance shelf: weight, how often it was needed, when it was last looked over."""

    def needed(j: Judged) -> str:
        return f"{j.counts.used} of {j.counts.logged}" if j.counts.logged else "not noted"

    def checked(j: Judged) -> str:
        on = j.about.checked_on
        return "never" if on is None else words.day(on, weekday=False)

    return table_of(
        "thing",
        judged,
        _THING,
        _SYSTEM,
        _weight(cull, display),
        (Column("needed", "Used on trips", align="right"), needed),
        (tables.text("checked", "Last looked over"), checked),
        caption="The whole shelf",
        fold_after=0,
    )


def undecided_table(judged: Sequence[Judged], cull: Cull, display: Display) -> Table:
    """What it is too early to judge, and what would decide it."""
    more = tables.whole("more", "Unused occasions that would tell")
    return table_of(
        "thing",
        judged,
        _THING,
        _weight(cull, display),
        _RECORD,
        (_share("bound", "May be needed on up to"), lambda j: j.bound if j.usage.rate.n else None),
        (_share("limit", "Threshold"), lambda j: j.limit),
        (more, lambda j: None if j.held else j.more),
        (tables.whole("trips", "Trips that takes"), trips_to_tell),
        caption="Too early to say",
    )


def to_say_table(judged: Sequence[Judged], cull: Cull, display: Display) -> Table:
    """What its owner has not said the purpose of: the question, and what to type."""
    return table_of(
        "thing",
        judged,
        _THING,
        (tables.text("item", "Row of gear.csv"), lambda j: j.about.item),
        _weight(cull, display),
        _RECORD,
        (tables.text("ask", "The question"), lambda j: question(j.about)),
        (tables.text("type", "What to type there"), lambda j: typing(j.about, display)),
        caption="For you to say",
    )


_SHORT = {
    "leave": "Leave",
    "owner_to_say": "You to say",
    "too_few_trips": "Too early",
    "no_chance_yet": "No occasion",
    "keep": "Keep",
    "kept_on_purpose": "Insurance",
    "given_up": "Given up",
}
"""Verdicts in a word or two, in the order of the tables of every thing."""


def _in_order(shelves: Mapping[str, Sequence[Judged]]) -> list[Judged]:
    return [j for v in _SHORT for j in shelves.get(v, ())]


def figures_table(shelves: Mapping[str, Sequence[Judged]], cull: Cull, display: Display) -> Table:
    """Every thing with its verdict and the figures behind it."""

    def interval(j: Judged) -> str | None:
        rate = j.usage.rate
        low, mean, high = (number(100 * share) for share in (rate.low, rate.value, rate.high))
        return f"{mean} ({low}{DASH}{high})" if rate.n else None

    return table_of(
        "thing",
        _in_order(shelves),
        _THING,
        (_VERDICT[0], lambda j: _SHORT[j.verdict or "given_up"]),
        _weight(cull, display),
        _RECORD,
        (Column("interval", "Rate and interval", "%", "right"), interval),
        (_share("next", "Next trip"), lambda j: j.usage.need() if j.usage.rate.n else None),
        (_hauled("per_use", "Carried per use", display), lambda j: j.usage.kg_km_per_use),
        (
            Column("last", "Last used", align="right", write=lambda day: f"{day:%Y-%m}"),
            lambda j: j.usage.last_used_on,
        ),
        caption="All verdicts and their figures",
        fold_after=0,
    )


def reasons_table(shelves: Mapping[str, Sequence[Judged]], display: Display) -> Table:
    """Why every verdict is what it is, and what would reverse it."""
    reversal = tables.text("reversal", "What would reverse it")
    return table_of(
        "thing",
        _in_order(shelves),
        _THING,
        _VERDICT,
        _COST,
        _why(display),
        (reversal, lambda j: verdict_reversal(j, display)),
        caption="Why, and what would reverse it",
        fold_after=0,
    )
