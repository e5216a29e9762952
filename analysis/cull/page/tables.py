"""The tables of a season's page: each column with what it shows of a thing."""

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from ...display import tables, words
from ...display.tables import Column, Table, decimal, measured, right, text, whole
from ...display.thing_names import listed
from ...display.words import DASH, Display, number, percent, sentence, small_mass
from ...stats.zero_one import LeftSet
from ...usage.held_words import question, typing
from ...usage.verdict_words import LABELS, only_while, verdict_reason, verdict_reversal
from ...usage.verdicts import Judged
from ..results import Cull, LeftItem
from .words import KIND_WORDS, names_by_weight, weight_g


def uses_of(judged: Judged) -> str:
    """Return uses and occasions: "1 of 25"."""
    rate = judged.usage.rate
    return f"{rate.used} of {rate.n}" if rate.n else "no occasion"


def verdict_label(judged: Judged) -> str:
    """Return a verdict in words, of what has none that it is given up."""
    return LABELS[judged.verdict or "given_up"]


def trips_to_tell(judged: Judged) -> int | None:
    """Return the trips it takes for so many occasions, as often as they come about; at least."""
    if judged.held is not None or judged.more is None or not judged.usage.p_condition:
        return None
    return math.ceil(judged.more / judged.usage.p_condition)


BOUND_NOTE = (
    "Of what was never used, “fewer than” goes by its own record alone (95 % sure). The ranges "
    "in the picture and the tables also use the other things of its system, so they may end lower."
)
"""Beside both: a bound and an interval of one thing differ."""


def _last_used(judged: Judged) -> str | None:
    on = judged.usage.last_used_on
    return None if on is None else f"{words.MONTHS[on.month - 1]} {on.year}"


def _share(key: str, header: str, of: Callable[[Any], float | None] | None = None) -> Column:
    return Column(key, header, align="right", write=percent, of=of)


_THING = text("name", "Thing", lambda j: j.about.name)
_SYSTEM = tables.words("system", "System", lambda j: j.about.system)
_VERDICT = text("verdict", "Verdict", verdict_label)
_COST = decimal("cost", "Cost if missed")
_RECORD = right("record", "Used", of=uses_of)


def _weight(cull: Cull, display: Display) -> Column:
    return measured("weight_g", "Weight", small_mass(display), of=lambda j: weight_g(cull, j))


def _why_of(cull: Cull, display: Display) -> Callable[[Judged], str]:
    """Why a verdict is what it is; of what may be left beside another thing alone, that too."""
    leave = [j.about.item for j in cull.judged if j.verdict == "leave"]
    beside = cull.only_beside(leave)

    def why(judged: Judged) -> str:
        item, reason = judged.about.item, verdict_reason(judged, display)
        return f"{reason} {sentence(only_while(beside[item]))}" if item in beside else reason

    return why


def _hauled(
    key: str, header: str, display: Display, of: Callable[[Judged], float | None]
) -> Column:
    """A column of weight times distance, from kg km."""
    heavy, far = words.large_mass(display), words.distance_scale(display)

    def written(kg_km: float) -> str:
        return number(kg_km * 1000 * heavy.factor * far.factor, 1)

    return Column(key, header, f"{heavy.unit}·{far.unit}", "right", written, of=of)


def left_table(cull: Cull, display: Display) -> Table:
    """What to leave: what it saves, its record, P(needed), in how many answers it is."""
    by_item = cull.by_item
    left = sorted(cull.answer.left, key=lambda item: (-item.weight_g, item.item))
    beside = cull.only_beside(cull.answer.point.items)

    def name(each: LeftItem) -> str:
        return each.name + (f", {only_while(beside[each.item])}" if each.item in beside else "")

    columns = (
        text("name", "Thing", name),
        measured("weight_g", "Saves", small_mass(display)),
        right("record", "Used", of=lambda item: uses_of(by_item[item.item])),
        _share("p_needed", "Needed next trip"),
        _COST,
        decimal("regret", "Expected cost", decimals=3),
        _share("inclusion", "Came up in"),
    )
    return Table.of(
        columns, left, "thing", caption="What to leave, in figures", fold_after=0, all_in="cull"
    )


def frontier_table(points: Sequence[LeftSet], cull: Cull, display: Display) -> Table:
    """The frontier, and what each step changes."""
    by_item = cull.by_item
    before: dict[LeftSet, frozenset[str]] = dict(
        zip(points, [frozenset[str](), *(point.items for point in points)], strict=False)
    )

    def names(items: Iterable[str]) -> str:
        return listed([by_item[i].about.name for i in sorted(items)])

    columns = (
        measured("saved_g", "Saved", small_mass(display)),
        decimal("misses", "Missed per trip", decimals=2),
        decimal("regret", "Expected cost per trip", decimals=2),
        whole("left", "Left at home (number)", lambda point: len(point.items)),
        text("more", "Newly left at home", lambda point: names(point.items - before[point])),
        text("less", "Packed again", lambda point: names(before[point] - point.items)),
    )
    return Table.of(columns, points, "step", caption="The whole frontier", fold_after=0)


def kinds_table(cull: Cull, display: Display) -> Table:
    """What may be left on each kind of trip."""
    answer = cull.answer.point.items

    def names(items: Iterable[str]) -> str:
        return listed(names_by_weight(cull, items))

    columns = (
        text("kind", "Trip", lambda k: KIND_WORDS[k.kind]),
        measured(
            "saved_g", "Could stay at home", small_mass(display), of=lambda k: k.answer.saved_g
        ),
        decimal("misses", "Missed per trip", decimals=2, of=lambda k: k.answer.misses),
        text("more", "At home beyond the list above", lambda k: names(k.answer.items - answer)),
        text("less", "Packed after all", lambda k: names(answer - k.answer.items)),
    )
    return Table.of(columns, cull.by_kind, "kind")


def never_used_table(judged: Sequence[Judged], cull: Cull, display: Display, caption: str) -> Table:
    """What was carried and never used; the reason says the verdict, too."""
    why = _why_of(cull, display)

    def reason(j: Judged) -> str:
        # "No occasion yet" is how its reason begins.
        return why(j) if j.verdict == "no_chance_yet" else f"{verdict_label(j)}. {why(j)}"

    columns = (
        _THING,
        _weight(cull, display),
        whole("carried", "Trips", lambda j: j.counts.carried),
        whole("chances", "Occasions", lambda j: j.counts.chances - j.counts.wished),
        _hauled("hauled", "Hauled", display, lambda j: j.usage.hauled_kg_km),
        text("why", "Why", reason),
    )
    return Table.of(columns, judged, "thing", caption=caption, fold_after=0, all_in="usage")


def insurance_table(judged: Sequence[Judged], cull: Cull, display: Display) -> Table:
    """The insurance shelf: weight, how often it was needed, when it was last looked over."""

    def needed(j: Judged) -> str:
        return f"{j.counts.used} of {j.counts.logged}" if j.counts.logged else "not noted"

    def checked(j: Judged) -> str:
        on = j.about.checked_on
        return "never" if on is None else words.day(on, weekday=False)

    columns = (
        _THING,
        _SYSTEM,
        _weight(cull, display),
        right("needed", "Used on trips", of=needed),
        text("checked", "Last looked over", checked),
    )
    return Table.of(
        columns, judged, "thing", caption="The whole shelf", fold_after=0, all_in="usage"
    )


def undecided_table(judged: Sequence[Judged], cull: Cull, display: Display) -> Table:
    """What it is too early to judge, and what would decide it."""
    columns = (
        _THING,
        _weight(cull, display),
        _RECORD,
        _share("bound", "May be needed on up to", lambda j: j.bound if j.usage.rate.n else None),
        _share("limit", "Threshold"),
        whole("more", "Unused occasions that would tell", lambda j: None if j.held else j.more),
        whole("trips", "Trips that takes", trips_to_tell),
    )
    return Table.of(
        columns,
        judged,
        "thing",
        caption="How many more trips each needs",
        fold_after=0,
        all_in="usage",
    )


def to_say_table(judged: Sequence[Judged], cull: Cull, display: Display) -> Table:
    """What its owner has not said the purpose of: the question, and what to type."""
    columns = (
        _THING,
        text("item", "Row of gear.csv", lambda j: j.about.item),
        _weight(cull, display),
        _RECORD,
        text("ask", "The question", lambda j: question(j.about)),
        text("type", "What to type there", lambda j: typing(j.about, display)),
    )
    return Table.of(columns, judged, "thing", caption="For you to say", all_in="usage")


def _in_order(shelves: Mapping[str, Sequence[Judged]]) -> list[Judged]:
    return [j for v in LABELS for j in shelves.get(v, ())]


def figures_table(shelves: Mapping[str, Sequence[Judged]], cull: Cull, display: Display) -> Table:
    """Every thing with its verdict and the figures behind it."""

    def interval(j: Judged) -> str | None:
        rate = j.usage.rate
        low, mean, high = (number(100 * share) for share in (rate.low, rate.value, rate.high))
        return f"{mean} ({low}{DASH}{high})" if rate.n else None

    columns = (
        _THING,
        _VERDICT,
        _weight(cull, display),
        _RECORD,
        right("interval", "Rate, very likely range", "%", interval),
        _share("next", "Next trip", lambda j: j.usage.need() if j.usage.rate.n else None),
        _hauled("per_use", "Carried per use", display, lambda j: j.usage.kg_km_per_use),
        right("last", "Last used", of=_last_used),
    )
    caption = "All verdicts and their figures"
    return Table.of(
        columns, _in_order(shelves), "thing", caption=caption, fold_after=0, all_in="usage"
    )


def reasons_table(shelves: Mapping[str, Sequence[Judged]], cull: Cull, display: Display) -> Table:
    """Why every verdict is what it is, and what would reverse it."""
    reversal = text("reversal", "What would reverse it", lambda j: verdict_reversal(j, display))
    why = text("why", "Why", _why_of(cull, display))
    columns = (_THING, _VERDICT, _COST, why, reversal)
    caption = "Why, and what would reverse it"
    return Table.of(
        columns, _in_order(shelves), "thing", caption=caption, fold_after=0, all_in="usage"
    )
