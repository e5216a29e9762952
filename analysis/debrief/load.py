"""What a trip weighed, by kind, system and bag, and what of it was never taken out."""

import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ..catalogue.frames import typed_frame
from .glossary import BY_BAG, NEVER_OUT

if TYPE_CHECKING:
    import pandas as pd

KINDS = ("base", "worn", "consumable", "vehicle")


@dataclass(frozen=True, slots=True)
class Weight:
    """Grams on me at the start, by kind; a sum is missing where nothing of it is known.

    ``unweighed`` names the items without a weight, ``carried_set_aside`` counts carried records
    that could not be loaded: where there are any, sums read "at least" and no class is told.
    ``unused_g`` includes ``unused_insurance_g``; both are missing unless the use
    record is full.
    """

    base_g: float | None
    worn_g: float | None
    consumable_g: float | None
    vehicle_g: float | None
    skin_out_g: float | None
    weight_class: str | None
    unused_g: float | None
    unused_insurance_g: float | None
    unweighed: tuple[str, ...]
    carried_set_aside: int = 0

    @property
    def at_least(self) -> bool:
        """Whether the sums are lower bounds."""
        return bool(self.unweighed) or self.carried_set_aside > 0


@dataclass(frozen=True, slots=True, eq=False)
class NeverOut:
    """What came along, insurance apart, and is known not to have been used.

    ``weight_g`` sums what was on me at the start, of what is weighed; missing where none of it is.
    ``at_least`` says that something of it is not weighed; ``complete`` that the use of everything
    is known, so that nothing is missing from the list.
    """

    items: "pd.DataFrame"
    weight_g: float | None
    at_least: bool
    complete: bool


def never_out(gear: Sequence[Mapping[str, Any]], lost: int = 0) -> NeverOut | None:
    """What was never taken out, by the answer to `trip_gear`; None where no use is known.

    ``lost`` counts carried records that could not be loaded and may have been left packed, too.
    """
    if not any(g["known"] for g in gear):
        return None
    left = [g for g in gear if g["used"] is False and not g["insurance"]]
    mine = [g for g in left if g["on_me"]]
    weighed = [g["start_mg"] for g in mine if g["start_mg"] is not None]
    return NeverOut(
        items=typed_frame(left, NEVER_OUT.terms),
        weight_g=sum(weighed) / 1000 if weighed or not mine else None,
        at_least=lost > 0 or any(g["unweighed"] for g in mine),
        complete=all(g["known"] for g in gear),
    )


def by_bag(rows: Iterable[Mapping[str, Any]]) -> "pd.DataFrame":
    """Weight by bag and kind, by the answer to `bag_rows`, heaviest first, no bag last.

    Bags group without regard to case and are shown in the first spelling by the alphabet. A kind
    is 0 where a bag holds none of it and missing where none of it is weighed.
    """
    bags: dict[str | None, list[Mapping[str, Any]]] = {}
    for row in rows:
        bags.setdefault(_folded(row["bag"]), []).append(row)
    found: list[dict[str, Any]] = [
        {
            "bag": None if key is None else min(row["bag"] for row in held),
            **{f"{kind}_g": _kind_g(held, kind) for kind in KINDS},
            "items": len({row["item"] for row in held}),
            "mg": sum(row["row_mg"] or 0 for row in held),
        }
        for key, held in bags.items()
    ]
    found.sort(key=lambda b: (b["bag"] is None, -b["mg"], b["bag"] or ""))
    return typed_frame(found, BY_BAG.terms)


def _folded(bag: str | None) -> str | None:
    return None if bag is None else unicodedata.normalize("NFC", bag).casefold()


def _kind_g(rows: Iterable[Mapping[str, Any]], kind: str) -> float | None:
    mine = [row["row_mg"] for row in rows if row["carried_as"] == kind]
    weighed = [mg for mg in mine if mg is not None]
    return sum(weighed) / 1000 if weighed or not mine else None
