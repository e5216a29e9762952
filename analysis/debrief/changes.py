"""What changed in base weight since the previous comparable trip, in whole milligrams.

Every item that is base on either trip has one cause, or two where both its pieces and its weight
changed; the parts sum exactly to the difference of the two base weights.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING, Any

import duckdb

from ..catalogue.frames import typed_frame
from ..stats.bennet_split import ChangePart, pieces_and_weight
from ..stats.connected import components
from ..store.rows import ask
from .glossary import CHANGE_CAUSES, CHANGE_PARTS

if TYPE_CHECKING:
    import pandas as pd

_CAUSES = ("added", "dropped", "swapped", "carried_otherwise", "quantity", "reweighed")


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


@dataclass(frozen=True, slots=True, eq=False)
class Changes:
    """The difference of base weight to the previous comparable trip.

    ``difference_g`` is after less before; missing, and ``parts`` empty, where either base weight is
    not known. ``parts`` and ``causes`` have the columns of ``debrief_glossary``; ``unweighed``
    names items that are base on either trip and have no weight there, so that the difference is
    that of what is weighed.
    """

    trip: str
    title: str
    start_on: date
    before_g: float | None
    after_g: float | None
    difference_g: float | None
    parts: "pd.DataFrame"
    causes: "pd.DataFrame"
    unweighed: tuple[str, ...]


def loads(rows: Iterable[Mapping[str, Any]]) -> dict[str, Load]:
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
        otherwise = (old.base and now.along) or (now.base and old.along)
        return [("carried_otherwise" if otherwise else "added" if now.base else "dropped", delta)]
    if not (old.pieces and now.pieces) or old.blank or now.blank:
        return [("reweighed", delta)]
    sides = ((Fraction(x.pieces), Fraction(x.mg, x.pieces)) for x in (old, now))
    quantity = Fraction(round(pieces_and_weight(*sides)[0]))
    return [("quantity", quantity), ("reweighed", delta - quantity)]


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
    about = {r["item"]: r for r in rows}
    blank = {i for side in (before, after) for i, load in side.items() if load.blank}
    before_mg, after_mg = _base_mg(before), _base_mg(after)
    known = before_mg is not None and after_mg is not None
    pairs = [(r["item"], r["replaced"]) for r in ask(connection, "store/replaced")]
    changes = parts(before, after, pairs) if known else []
    changes.sort(key=lambda p: (-abs(p.mg), p.item, p.cause))
    return Changes(
        **previous[0],
        before_g=_grams(before_mg),
        after_g=_grams(after_mg),
        difference_g=_grams(int(sum(p.mg for p in changes))) if known else None,
        parts=typed_frame(
            [_part_row(p, before, after, about[p.item]) for p in changes], CHANGE_PARTS.terms
        ),
        causes=typed_frame(_cause_rows(changes), CHANGE_CAUSES.terms),
        unweighed=tuple(about[i]["name"] for i in sorted(blank)),
    )


def _base_mg(side: Mapping[str, Load]) -> int | None:
    """Base weight, by the same rule as the analysis tables: missing where none of it is weighed."""
    base = [load for load in side.values() if load.base]
    weighed = sum(load.mg for load in base)
    return weighed if weighed or not base else None


def _grams(mg: int | None) -> float | None:
    return None if mg is None else mg / 1000


def _part_row(
    part: ChangePart,
    before: Mapping[str, Load],
    after: Mapping[str, Load],
    about: Mapping[str, Any],
) -> dict[str, Any]:
    old, now = (side.get(part.item, Load()) for side in (before, after))
    return {
        "item": part.item,
        "name": about["name"],
        "system": about["system"],
        "cause": part.cause,
        "swap": part.swap,
        "pieces_before": old.pieces,
        "pieces_after": now.pieces,
        "before_g": _grams(old.mg),
        "after_g": _grams(now.mg),
        "delta_g": _grams(int(part.mg)),
        "delta_mg": int(part.mg),
    }


def _cause_rows(changes: Sequence[ChangePart]) -> list[dict[str, Any]]:
    rows = []
    for cause in _CAUSES:
        mine = [p for p in changes if p.cause == cause]
        if mine:
            mg = int(sum(p.mg for p in mine))
            rows.append({"cause": cause, "delta_g": _grams(mg), "delta_mg": mg, "items": len(mine)})
    return rows
