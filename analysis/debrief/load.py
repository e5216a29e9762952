"""What a trip weighed, by kind and bag, and what of it was never taken out."""

import unicodedata
from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass
from types import MappingProxyType

from ...tripdata.contract import ESSENTIAL_SYSTEMS
from ..store.rows import Record

_RELIED_ON = (*ESSENTIAL_SYSTEMS, "light")
_LAST = "Nothing else of its kind came along."
_KINDS = ("base", "worn", "consumable", "vehicle")


@dataclass(frozen=True, slots=True)
class Weight:
    """Grams on me at the start, by kind; a sum is missing where nothing of it is known.

    ``unweighed`` names the items without a weight, ``carried_set_aside`` counts carried records
    that could not be loaded: where there are any, sums read "at least" and no class is told.
    """

    base_g: float | None
    worn_g: float | None
    consumable_g: float | None
    vehicle_g: float | None
    skin_out_g: float | None
    weight_class: str | None
    unweighed: tuple[str, ...]
    carried_set_aside: int = 0

    @property
    def at_least(self) -> bool:
        """Whether the sums are lower bounds."""
        return bool(self.unweighed) or self.carried_set_aside > 0


@dataclass(frozen=True, slots=True)
class NeverOut:
    """What came along, insurance apart, and is known not to have been used.

    ``items`` are rows of `trip_gear`. Every one stands in one of the groups, too: ``could_stay``
    could have been left at home, the weather of ``no_weather`` is known not to have come, and
    ``stays_listed`` must not be advised against, each with a sentence ``why``.

    ``weight_g`` sums what was on me at the start, of what is
    weighed; missing where none of it is. ``at_least`` says that something of it is not weighed;
    ``complete`` that the use of everything is known, so that nothing is missing from the list.
    """

    items: Sequence[Record]
    weight_g: float | None
    at_least: bool
    complete: bool
    could_stay: Sequence[Record] = ()
    no_weather: Sequence[Record] = ()
    stays_listed: Sequence[Record] = ()


def never_out(
    gear: Sequence[Record],
    lost: int = 0,
    came: Mapping[str, bool | None] = MappingProxyType({}),
    held: Mapping[str, str] = MappingProxyType({}),
) -> NeverOut | None:
    """What was never taken out, by the answer to `trip_gear`; None where no use is known.

    ``lost`` counts carried records that could not be loaded and may have been left packed, too.
    ``came``: by item, whether what it is meant for came about. ``held``: by item, why it must not
    be advised against (`usage.leaving.held_back`). Of shelter, sleep, water, rain and light
    something must stay of what came along.
    """
    if not any(g["known"] for g in gear):
        return None
    unused = [g for g in gear if g["used"] is False and not g["insurance"]]
    on_me = [g for g in unused if g["on_me"]]
    met = [g for g in unused if came.get(g["item"]) is not False]
    could_stay = [g for g in met if g["item"] not in held]
    last = _last_of_kind(gear, {g["item"] for g in could_stay})
    reasons = {**held, **{item: _LAST for item in last}}
    return NeverOut(
        items=unused,
        weight_g=_sum_g(g["start_mg"] for g in on_me),
        at_least=lost > 0 or any(g["unweighed"] for g in on_me),
        complete=all(g["known"] for g in gear),
        could_stay=[g for g in could_stay if g["item"] not in last],
        no_weather=[g for g in unused if came.get(g["item"]) is False],
        stays_listed=[{**g, "why": reasons[g["item"]]} for g in met if g["item"] in reasons],
    )


def _last_of_kind(gear: Sequence[Record], gone: Set[str]) -> set[str]:
    """What of ``gone`` would leave a system one relies on with nothing of what came along."""
    relied_on = [
        g for g in gear
        if g["system"] in _RELIED_ON and not g["insurance"] and not g["consumable_rows"]
    ]  # fmt: skip
    left = {g["system"] for g in relied_on if g["item"] not in gone}
    return {g["item"] for g in relied_on if g["item"] in gone and g["system"] not in left}


def by_bag(rows: Iterable[Record]) -> list[Record]:
    """Weight by bag and kind, by the answer to `bag_rows`, heaviest first, no bag last.

    A row has bag, base_g, worn_g, consumable_g, vehicle_g and items. Bags group without regard to
    case and are shown in the first spelling by the alphabet. A kind is 0 where a bag holds none of
    it and missing where none of it is weighed.
    """
    bags: dict[str | None, list[Record]] = {}
    for row in rows:
        bags.setdefault(_folded(row["bag"]), []).append(row)
    heaviest_first = sorted(
        bags.values(),
        key=lambda held: (
            held[0]["bag"] is None,
            -sum(row["row_mg"] or 0 for row in held),
            _spelling(held) or "",
        ),
    )
    return [
        {
            "bag": _spelling(held),
            **{
                f"{kind}_g": _sum_g(row["row_mg"] for row in held if row["carried_as"] == kind)
                for kind in _KINDS
            },
            "items": len({row["item"] for row in held}),
        }
        for held in heaviest_first
    ]


def _spelling(rows: Iterable[Record]) -> str | None:
    return min((row["bag"] for row in rows if row["bag"] is not None), default=None)


def _folded(bag: str | None) -> str | None:
    return None if bag is None else unicodedata.normalize("NFC", bag).casefold()


def _sum_g(weights_mg: Iterable[int | None]) -> float | None:
    """The sum of what is weighed; 0 where there is nothing, missing where nothing is weighed."""
    rows = list(weights_mg)
    weighed = [mg for mg in rows if mg is not None]
    return sum(weighed) / 1000 if weighed or not rows else None
