"""What changed in base weight since the previous comparable trip, in whole milligrams.

Every item that is base on either trip has one cause, or two where both its pieces and its weight
changed; the parts sum exactly to the difference of the two base weights.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

import duckdb

from ..store.rows import Record, ask

CAUSES = ("added", "left", "swapped", "carried_otherwise", "quantity", "reweighed")


@dataclass(frozen=True, slots=True)
class Load:
    """One item on one trip: what stands in its rows that are base and on me at the start.

    ``pieces`` and ``mg`` are of the rows that are weighed; ``base`` says that there are such rows,
    ``blank`` that one of them is not weighed; ``along`` that the item came along in any way.
    """

    pieces: int = 0
    mg: int = 0
    base: bool = False
    blank: bool = False
    along: bool = False


@dataclass(frozen=True, slots=True)
class Part:
    """One item's share of the difference under one cause. ``swap`` numbers what was exchanged."""

    item: str
    cause: str
    before: Load
    after: Load
    delta_mg: int
    swap: int | None = None


@dataclass(frozen=True, slots=True)
class Changes:
    """The difference of base weight to the previous comparable trip, the latter by name and day.

    ``difference_g`` is after less before; missing, and ``parts`` empty, where either base weight is
    not known. A row of ``parts`` is one item and cause, the largest change first: item, name,
    cause, pieces_before and pieces_after (weighed pieces carried as base), before_g, after_g,
    delta_g. ``by_cause`` has the grams that each cause comes to. ``unweighed`` names items that are
    base on either trip and have no weight there, so that the difference is that of what is weighed.
    """

    trip: str
    title: str
    start_on: date
    difference_g: float | None
    parts: Sequence[Record]
    by_cause: Mapping[str, float]
    unweighed: tuple[str, ...]


def loads(rows: Iterable[Record]) -> dict[str, Load]:
    """Carried rows of one trip, added up by item. A row has item, base, quantity and row_mg."""
    found: dict[str, Load] = {}
    for row in rows:
        old = found.get(row["item"], Load())
        weighed = row["base"] and row["row_mg"] is not None
        found[row["item"]] = Load(
            pieces=old.pieces + (row["quantity"] if weighed else 0),
            mg=old.mg + (row["row_mg"] if weighed else 0),
            base=old.base or row["base"],
            blank=old.blank or (row["base"] and row["row_mg"] is None),
            along=True,
        )
    return found


def parts(
    before: Mapping[str, Load], after: Mapping[str, Load], replaced: Iterable[tuple[str, str]]
) -> list[Part]:
    """Every part of the change that is not nothing; they sum to the difference of the ``mg``.

    ``replaced`` pairs an item with one that it took over from. Items left and items added that are
    connected through such pairs, by way of any others, are swapped for each other.
    """
    gone = {i for i, load in before.items() if load.base and not after.get(i, Load()).along}
    new = {i for i, load in after.items() if load.base and not before.get(i, Load()).along}
    swaps = _swaps(gone, new, replaced)
    found: list[Part] = []
    for item in sorted(before.keys() | after.keys()):
        old, now = before.get(item, Load()), after.get(item, Load())
        if item in swaps:
            found.append(Part(item, "swapped", old, now, now.mg - old.mg, swaps[item]))
        else:
            cause = _cause(old, now)
            found.extend(Part(item, c, old, now, mg) for c, mg in _split(cause, old, now))
    return [p for p in found if p.delta_mg]


def _cause(old: Load, now: Load) -> str:
    if old.base and now.base:
        return "reweighed"
    if (old.base and now.along) or (now.base and old.along):
        return "carried_otherwise"
    return "added" if now.base else "left"


def _split(cause: str, old: Load, now: Load) -> list[tuple[str, int]]:
    """A part as it is or, where pieces and weight may both have changed, the two of them apart.

    Bennet's symmetric split: the change of pieces at the mean weight of a piece is the quantity,
    rounded to a whole milligram; what is left is the weighing (T. L. Bennet 1920, J. R. Stat. Soc.
    83: 455, from memory).
    """
    delta = now.mg - old.mg
    known = cause == "reweighed" and old.pieces and now.pieces and not (old.blank or now.blank)
    if not known:
        return [(cause, delta)]
    mean = (Fraction(old.mg, old.pieces) + Fraction(now.mg, now.pieces)) / 2
    quantity = round((now.pieces - old.pieces) * mean)
    return [("quantity", quantity), ("reweighed", delta - quantity)]


def _swaps(gone: set[str], new: set[str], replaced: Iterable[tuple[str, str]]) -> dict[str, int]:
    """Number the groups of connected items in which something left and something came."""
    group: dict[str, str] = {}

    def root(item: str) -> str:
        while group.setdefault(item, item) != item:
            group[item] = group[group[item]]
            item = group[item]
        return item

    for one, other in replaced:
        group[root(one)] = root(other)
    both = {root(i) for i in gone} & {root(i) for i in new}
    numbers: dict[str, int] = {}
    swapped = sorted(i for i in gone | new if root(i) in both)
    return {i: numbers.setdefault(root(i), len(numbers) + 1) for i in swapped}


def changes_since_previous(
    connection: duckdb.DuckDBPyConnection, trip: str, laden: bool
) -> Changes | None:
    """The changes since the latest earlier trip of the same mode that is no plan.

    None where there is no such trip, or nothing weighed on me on this one (``laden`` is false).
    """
    previous = ask(connection, "debrief/previous_trip", trip=trip) if laden else []
    if not previous:
        return None
    rows = ask(connection, "debrief/loads", before=previous[0]["trip"], after=trip)
    before = loads(r for r in rows if r["trip"] == previous[0]["trip"])
    after = loads(r for r in rows if r["trip"] == trip)
    names = {r["item"]: r["name"] for r in rows}
    blank = {i for side in (before, after) for i, load in side.items() if load.blank}
    known = _weight_known(before) and _weight_known(after)
    pairs = [(r["item"], r["replaced"]) for r in ask(connection, "store/replaced")]
    changed = parts(before, after, pairs) if known else []
    changed.sort(key=lambda p: (-abs(p.delta_mg), p.item, p.cause))
    by_cause_mg = {c: sum(p.delta_mg for p in changed if p.cause == c) for c in CAUSES}
    present = {p.cause for p in changed}
    return Changes(
        **previous[0],
        difference_g=sum(p.delta_mg for p in changed) / 1000 if known else None,
        parts=[_part_row(p, names[p.item]) for p in changed],
        by_cause={c: mg / 1000 for c, mg in by_cause_mg.items() if c in present},
        unweighed=tuple(names[i] for i in sorted(blank)),
    )


def _weight_known(side: Mapping[str, Load]) -> bool:
    """By the same rule as the analysis tables: not known where none of what is base is weighed."""
    base = [load for load in side.values() if load.base]
    return not base or any(load.mg for load in base)


def _part_row(part: Part, name: str) -> Record:
    return {
        "item": part.item,
        "name": name,
        "cause": part.cause,
        "pieces_before": part.before.pieces,
        "pieces_after": part.after.pieces,
        "before_g": part.before.mg / 1000,
        "after_g": part.after.mg / 1000,
        "delta_g": part.delta_mg / 1000,
    }
