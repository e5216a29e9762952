"""What changed in base weight since the previous comparable trip, in whole milligrams.

Every item that is base on either trip has one cause, or two where both its pieces and its weight
changed; the parts sum exactly to the difference of the two base weights.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from ..base_weight.change_parts import ChangePart
from ..stats.bennet_split import bennet_split
from ..stats.connected import components
from ..store.rows import Record, Store, ask

_CAUSES = ("added", "dropped", "swapped", "picked_up", "carried_otherwise", "quantity", "reweighed")


@dataclass(frozen=True, slots=True)
class Load:
    """One item on one trip: what stands in its rows that are base and on me at the start.

    ``pieces`` and ``mg`` are of the rows that are weighed; ``base`` says that there are such rows,
    ``blank`` that one of them is not weighed; ``along`` that the item came along in any way;
    ``later`` that it would have been base, but came along from a later day only.
    """

    pieces: int = 0
    mg: int = 0
    base: bool = False
    blank: bool = False
    along: bool = False
    later: bool = False


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
    """Carried rows of one trip, added up by item.

    A row has item, base, later, quantity and row_mg.
    """
    by_item: dict[str, Load] = {}
    for row in rows:
        load = by_item.get(row["item"], Load())
        weighed = row["base"] and row["row_mg"] is not None
        by_item[row["item"]] = Load(
            pieces=load.pieces + (row["quantity"] if weighed else 0),
            mg=load.mg + (row["row_mg"] if weighed else 0),
            base=load.base or row["base"],
            blank=load.blank or (row["base"] and row["row_mg"] is None),
            along=True,
            later=load.later or row["later"],
        )
    return by_item


def change_parts(
    before: Mapping[str, Load], after: Mapping[str, Load], replaced: Iterable[tuple[str, str]]
) -> list[ChangePart]:
    """Every part of the change that is not nothing; they sum to the difference of the ``mg``.

    ``replaced`` pairs an item with one that it took over from. Items dropped and items added that
    are connected through such pairs, by way of any others, are swapped for each other.
    """
    dropped = {i for i, load in before.items() if load.base and not after.get(i, Load()).along}
    added = {i for i, load in after.items() if load.base and not before.get(i, Load()).along}
    chains = components(sorted(dropped | added), replaced)
    swapped = [chain for chain in chains if dropped & set(chain) and added & set(chain)]
    swaps = {item: number for number, chain in enumerate(swapped, start=1) for item in chain}
    changes: list[ChangePart] = []
    for item in sorted(before.keys() | after.keys()):
        old, now = before.get(item, Load()), after.get(item, Load())
        if item in swaps:
            mg = Fraction(now.mg - old.mg)
            changes.append(ChangePart(item, "swapped", mg, swaps[item]))
        else:
            changes += [ChangePart(item, cause, mg) for cause, mg in _split(old, now)]
    return [part for part in changes if part.mg]


def _split(old: Load, now: Load) -> list[tuple[str, Fraction]]:
    """The causes of what was not swapped; pieces and weight, where both may have changed, apart.

    By Bennet's split (`bennet_split`), the pieces' part rounded to a whole milligram.
    """
    delta = Fraction(now.mg - old.mg)
    if not (old.base and now.base):
        # Not weighed at the start, since it was not there yet: no other way of carrying it.
        if (old.base and now.later) or (now.base and old.later):
            return [("picked_up", delta)]
        otherwise = (old.base and now.along) or (now.base and old.along)
        return [("carried_otherwise" if otherwise else "added" if now.base else "dropped", delta)]
    if not (old.pieces and now.pieces) or old.blank or now.blank:
        return [("reweighed", delta)]
    sides = ((Fraction(x.pieces), Fraction(x.mg, x.pieces)) for x in (old, now))
    quantity = Fraction(round(bennet_split(*sides)[0]))
    return [("quantity", quantity), ("reweighed", delta - quantity)]


def changes_since_previous(store: Store, trip: str, laden: bool) -> Changes | None:
    """The changes since the latest earlier trip of the same mode that is no plan.

    None where there is no such trip, or nothing weighed on me on this one (``laden`` is false).
    """
    previous = ask(store, "debrief/previous_trip", trip=trip) if laden else []
    if not previous:
        return None
    rows = ask(store, "debrief/loads", before=previous[0]["trip"], after=trip)
    before = loads(r for r in rows if r["trip"] == previous[0]["trip"])
    after = loads(r for r in rows if r["trip"] == trip)
    names = {r["item"]: r["name"] for r in rows}
    blank = {i for side in (before, after) for i, load in side.items() if load.blank}
    known = _weight_known(before) and _weight_known(after)
    pairs = [(r["item"], r["replaced"]) for r in ask(store, "store/replaced")]
    changes = change_parts(before, after, pairs) if known else []
    changes.sort(key=lambda p: (-abs(p.mg), p.item, p.cause))
    causes = [cause for cause in _CAUSES if any(p.cause == cause for p in changes)]
    return Changes(
        **previous[0],
        difference_g=_grams(changes) if known else None,
        parts=[_part_row(p, before, after, names[p.item]) for p in changes],
        by_cause={cause: _grams(p for p in changes if p.cause == cause) for cause in causes},
        unweighed=tuple(names[i] for i in sorted(blank)),
    )


def _weight_known(side: Mapping[str, Load]) -> bool:
    """By the same rule as the analysis tables: not known where none of what is base is weighed."""
    base = [load for load in side.values() if load.base]
    return not base or any(load.mg for load in base)


def _grams(changes: Iterable[ChangePart]) -> float:
    return int(sum(p.mg for p in changes)) / 1000


def _part_row(
    part: ChangePart, before: Mapping[str, Load], after: Mapping[str, Load], name: str
) -> Record:
    old, now = (side.get(part.item, Load()) for side in (before, after))
    return {
        "item": part.item,
        "name": name,
        "cause": part.cause,
        "pieces_before": old.pieces,
        "pieces_after": now.pieces,
        "before_g": old.mg / 1000,
        "after_g": now.mg / 1000,
        "delta_g": _grams([part]),
    }
