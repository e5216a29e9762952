"""What a trip weighed, by kind and bag, and what of it was never taken out."""

import unicodedata
from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass
from types import MappingProxyType

from ...tripdata.contract import ESSENTIAL_SYSTEMS
from ..store.rows import Record
from ..usage.guard_words import may_protect

RELIED_ON = (
    *ESSENTIAL_SYSTEMS,
    "clothing",
    "light",
    "first_aid",
    "safety",
    "navigation",
    "fire",
    "repair",
)
"""Systems of which one trip never says that a thing could have stayed at home."""
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
    def kinds(self) -> dict[str, float | None]:
        """Its ways of carrying, each in g."""
        return {kind: getattr(self, f"{kind}_g") for kind in _KINDS}

    @property
    def at_least(self) -> bool:
        """Whether the sums are lower bounds."""
        return bool(self.unweighed) or self.carried_set_aside > 0


@dataclass(frozen=True, slots=True)
class NeverOut:
    """What came along, insurance apart, and is known not to have been used.

    ``items`` are rows of `trip_gear`. Every one stands in one of the groups, too. ``could_stay``:
    what today's verdict leaves at home, that is for any weather and of no system one relies on;
    ``no_weather``: its weather is known not to have come; ``stays_listed``: what stays on the list,
    each with a sentence ``why``; ``given_up``: what was given up since, with ``why``;
    ``not_needed``: the rest, of which one trip says nothing, with ``why`` where it is too early to
    say, and else ``weather``: whether that for which it is came (True, None where not known), False
    where it is for any.

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
    given_up: Sequence[Record] = ()
    not_needed: Sequence[Record] = ()


def never_out(
    gear: Sequence[Record],
    lost: int = 0,
    came: Mapping[str, bool | None] = MappingProxyType({}),
    stays: Mapping[str, str] = MappingProxyType({}),
    early: Set[str] = frozenset(),
    given_up: Set[str] = frozenset(),
) -> NeverOut | None:
    """What was never taken out, by the answer to `trip_gear`; None where no use is known.

    ``lost`` counts carried records that could not be loaded and may have been left packed, too.
    ``came``: by item that is meant for some weather, whether that came about; missing where it is
    not known. ``stays`` and ``early``: what stays on the list as of today, and of what of it only
    too few trips speak, and what was given up (`usage.standing`).
    """
    if not any(g["known"] for g in gear):
        return None
    unused = [g for g in gear if g["used"] is False and not g["insurance"]]
    on_me = [g for g in unused if g["on_me"]]
    there = [g for g in unused if g["item"] not in given_up]
    met = [g for g in there if came.get(g["item"]) is not False]
    # What one relies on comes along again, however few trips speak of it.
    too_early = {g["item"] for g in unused if g["item"] in early and not _relied_on(g)}
    listed = stays.keys() - too_early
    could_stay = [
        g for g in met
        if g["item"] not in stays and g["item"] not in came and not _relied_on(g)
    ]  # fmt: skip
    return NeverOut(
        items=unused,
        weight_g=_sum_g(g["start_mg"] for g in on_me),
        at_least=lost > 0 or any(g["unweighed"] for g in on_me),
        complete=all(g["known"] for g in gear),
        could_stay=could_stay,
        no_weather=[g for g in there if came.get(g["item"]) is False],
        stays_listed=[{**g, "why": stays[g["item"]]} for g in met if g["item"] in listed],
        given_up=[{**g, "why": stays.get(g["item"])} for g in unused if g["item"] in given_up],
        not_needed=[
            {**g, "why": stays.get(g["item"]), "weather": came.get(g["item"], False)}
            for g in met
            if g["item"] not in listed and g not in could_stay
        ],
    )


def _relied_on(row: Record) -> bool:
    return row["system"] in RELIED_ON or may_protect(row["item"], row.get("name") or "")


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
