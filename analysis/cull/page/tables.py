"""The tables of a season's page."""

import math
from collections.abc import Mapping, Sequence
from typing import Any

from ...display import tables, words
from ...display.tables import Column, Table
from ...display.thing_names import listed
from ...display.words import DASH, Display, label, number, percent, small_mass
from ...usage.held_words import question, typing
from ...usage.verdict_words import LABELS, reason, reversal
from ...usage.verdicts import Judged
from ..results import Cull, FrontierPoint, LeftItem
from .words import weight_g

_THING = tables.text("name", "Thing")
_RECORD = Column("record", "Used", align="right")


def _weight(display: Display) -> Column:
    return tables.measured("weight_g", "Weight", small_mass(display))


def _share(key: str, header: str) -> Column:
    return Column(key, header, align="right", write=percent)


def left(cull: Cull, items: Sequence[LeftItem], display: Display, caption: str) -> Table:
    """What to leave: what it saves, its record, P(needed), in how many answers it is."""
    by_item = {j.about.item: j for j in cull.judged}
    rows = [
        {
            "name": item.name,
            "weight_g": item.weight_g,
            "record": record(by_item[item.item]),
            "p": item.p_needed,
            "cost": item.cost,
            "regret": item.regret,
            "inclusion": item.inclusion,
        }
        for item in sorted(items, key=lambda item: (-item.weight_g, item.item))
    ]
    return Table.of(
        (
            _THING,
            tables.measured("weight_g", "Saves", small_mass(display)),
            _RECORD,
            _share("p", "Needed next trip"),
            tables.decimal("cost", "Cost if missed", decimals=1),
            tables.decimal("regret", "Regret", decimals=3),
            _share("inclusion", "In the variations"),
        ),
        rows,
        "thing",
        caption=caption,
    )


def record(judged: Judged) -> str:
    """Return uses and occasions: "1 of 25"."""
    rate = judged.usage.rate
    return f"{rate.used} of {rate.n}" if rate.n else "no occasion"


def frontier(points: Sequence[FrontierPoint], cull: Cull, display: Display) -> Table:
    """The frontier, and what each step changes."""
    by_item = {j.about.item: j.about.name for j in cull.judged}
    rows = []
    before: frozenset[str] = frozenset()
    for point in points:
        now = frozenset(point.items)
        rows.append(
            {
                "saved_g": point.saved_g,
                "misses": point.expected_misses,
                "regret": point.expected_regret,
                "left": len(now),
                "more": listed([by_item[i] for i in sorted(now - before)]),
                "less": listed([by_item[i] for i in sorted(before - now)]),
            }
        )
        before = now
    return Table.of(
        (
            tables.measured("saved_g", "Saved", small_mass(display)),
            tables.decimal("misses", "Missed per trip", decimals=2),
            tables.decimal("regret", "Regret per trip", decimals=2),
            tables.whole("left", "Left at home (number)"),
            tables.text("more", "Also leave"),
            tables.text("less", "Take after all"),
        ),
        rows,
        "step",
        caption="The whole frontier",
        fold_after=0,
    )


def never_used(judged: Sequence[Judged], cull: Cull, display: Display, caption: str) -> Table:
    """What was carried and never used."""
    rows = [
        {
            "name": j.about.name,
            "system": j.about.system,
            "weight_g": weight_g(cull, j),
            "carried": j.counts.carried,
            "chances": j.counts.chances - j.counts.wished,
            "hauled": j.usage.hauled_kg_km,
            "verdict": verdict(j),
            "why": reason(j, display),
        }
        for j in judged
    ]
    unit = words.distance_scale(display)
    heavy = words.large_mass(display)
    return Table.of(
        (
            _THING,
            tables.words("system", "System"),
            _weight(display),
            tables.whole("carried", "Trips"),
            tables.whole("chances", "Occasions"),
            Column(
                "hauled",
                "Hauled",
                f"{heavy.unit}·{unit.unit}",
                "right",
                lambda v: number(v * 1000 * heavy.factor * unit.factor, 1),
            ),
            tables.text("verdict", "Verdict"),
            tables.text("why", "Why"),
        ),
        rows,
        "thing",
        caption=caption,
        fold_after=len(rows),
    )


def verdict(judged: Judged) -> str:
    """Return a verdict in words; an en dash for what is given up."""
    return LABELS[judged.verdict] if judged.verdict else "Given up"


def insurance(judged: Sequence[Judged], cull: Cull, display: Display) -> Table:
    """The insurance shelf: weight, how often it was needed, when it was last looked over."""
    rows = [
        {
            "name": j.about.name,
            "system": j.about.system,
            "weight_g": weight_g(cull, j),
            "needed": f"{j.counts.used} of {j.counts.logged}" if j.counts.logged else "not noted",
            "checked": "never"
            if j.about.checked_on is None
            else words.day(j.about.checked_on, weekday=False),
        }
        for j in judged
    ]
    return Table.of(
        (
            _THING,
            tables.words("system", "System"),
            _weight(display),
            Column("needed", "Used on trips", align="right"),
            tables.text("checked", "Last looked over"),
        ),
        rows,
        "thing",
        caption="The whole shelf",
        fold_after=0,
    )


def undecided(judged: Sequence[Judged], cull: Cull, display: Display) -> Table:
    """What it is too early to judge, and what would decide it."""
    rows = [
        {
            "name": j.about.name,
            "weight_g": weight_g(cull, j),
            "record": record(j),
            "bound": j.bound if j.usage.rate.n else None,
            "limit": j.limit,
            "more": None if j.held else j.more,
            "trips": trips_to_tell(j),
        }
        for j in judged
    ]
    return Table.of(
        (
            _THING,
            _weight(display),
            _RECORD,
            _share("bound", "May be needed on up to"),
            _share("limit", "Threshold"),
            tables.whole("more", "Unused occasions that would tell"),
            tables.whole("trips", "Trips that takes"),
        ),
        rows,
        "thing",
        caption="Too early to say",
    )


def to_say(judged: Sequence[Judged], cull: Cull, display: Display) -> Table:
    """What its owner has not said the purpose of: the question, and what to type."""
    rows = [
        {
            "name": j.about.name,
            "item": j.about.item,
            "weight_g": weight_g(cull, j),
            "record": record(j),
            "ask": question(j.about),
            "type": typing(j.about, display),
        }
        for j in judged
    ]
    return Table.of(
        (
            _THING,
            tables.text("item", "Row of gear.csv"),
            _weight(display),
            _RECORD,
            tables.text("ask", "The question"),
            tables.text("type", "What to type there"),
        ),
        rows,
        "thing",
        caption="For you to say",
    )


def trips_to_tell(judged: Judged) -> int | None:
    """Return the trips it takes for so many occasions, as often as they come about; at least."""
    if judged.held is not None or judged.more is None or not judged.usage.p_condition:
        return None
    return math.ceil(judged.more / judged.usage.p_condition)


_ORDER = (
    "leave",
    "owner_to_say",
    "too_few_trips",
    "no_chance_yet",
    "keep",
    "kept_on_purpose",
    "given_up",
)


_SHORT = {
    "leave": "Leave",
    "too_few_trips": "Too early",
    "no_chance_yet": "No occasion",
    "owner_to_say": "You to say",
    "keep": "Keep",
    "kept_on_purpose": "Insurance",
    "given_up": "Given up",
}


def _in_order(shelves: Mapping[str, Sequence[Judged]]) -> list[Judged]:
    return [j for v in _ORDER for j in shelves.get(v, ())]


def figures(shelves: Mapping[str, Sequence[Judged]], cull: Cull, display: Display) -> Table:
    """Every thing with its verdict and the figures behind it."""
    rows = [_line(j, cull) for j in _in_order(shelves)]
    kg_km = f"{words.large_mass(display).unit}·{words.distance_scale(display).unit}"
    factor = 1000 * words.large_mass(display).factor * words.distance_scale(display).factor
    return Table.of(
        (
            _THING,
            tables.text("verdict", "Verdict"),
            _weight(display),
            _RECORD,
            Column("interval", "Rate and interval", "%", "right"),
            _share("next", "Next trip"),
            Column("per_use", "Carried per use", kg_km, "right", lambda v: number(v * factor, 1)),
            Column("last", "Last used", align="right", write=lambda v: f"{v:%Y-%m}"),
        ),
        rows,
        "thing",
        caption="All verdicts and their figures",
        fold_after=0,
    )


def reasons(shelves: Mapping[str, Sequence[Judged]], display: Display) -> Table:
    """Why every verdict is what it is, and what would reverse it."""
    rows = [
        {
            "name": j.about.name,
            "verdict": verdict(j),
            "cost": j.cost,
            "why": reason(j, display),
            "reversal": reversal(j, display),
        }
        for j in _in_order(shelves)
    ]
    return Table.of(
        (
            _THING,
            tables.text("verdict", "Verdict"),
            tables.decimal("cost", "Cost if missed", decimals=1),
            tables.text("why", "Why"),
            tables.text("reversal", "What would reverse it"),
        ),
        rows,
        "thing",
        caption="Why, and what would reverse it",
        fold_after=0,
    )


def _line(j: Judged, cull: Cull) -> dict[str, Any]:
    rate = j.usage.rate if j.usage.rate.n else None
    return {
        "name": j.about.name,
        "verdict": _SHORT[j.verdict or "given_up"],
        "weight_g": weight_g(cull, j),
        "record": record(j),
        "interval": rate
        and f"{_percent(rate.value)} ({_percent(rate.low)}{DASH}{_percent(rate.high)})",
        "next": j.usage.need() if rate else None,
        "per_use": j.usage.kg_km_per_use,
        "last": j.usage.last_used_on,
    }


def _percent(share: float) -> str:
    return number(100 * share)


def by_kind(rows: Sequence[Mapping[str, Any]], display: Display) -> Table:
    """What may be left on each kind of trip."""
    return Table.of(
        (
            tables.text("kind", "Trip"),
            tables.measured("saved_g", "Could stay at home", small_mass(display)),
            tables.decimal("misses", "Missed per trip", decimals=2),
            tables.text("more", "Also leave, beyond the list above"),
            tables.text("less", "Take after all"),
        ),
        rows,
        "kind",
    )


def system_names(judged: Sequence[Judged]) -> dict[str, list[str]]:
    """Return names by system in words."""
    found: dict[str, list[str]] = {}
    for j in judged:
        found.setdefault(label(j.about.system), []).append(j.about.name)
    return found
