"""What must not be advised against, whatever the counts say.

A verdict speaks only of what the record has seen and the owner has said. Insurance; what is
essential, borrowed, bound to a vehicle that is travelled by, needed by what stays, or its bag;
what its owner has not said the purpose of, in systems where being unused proves nothing, or has
called not essential while the record has hardly seen its occasion; what the trips to come may ask
of it beyond the trips seen; and what keeps warm while nights were too cold.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from types import MappingProxyType
from typing import Literal

from ...tripdata.contract import ESSENTIAL_SYSTEMS
from ..stats.beta_binomial import chances_to_tell
from .costs import cost_of, limit_of
from .guard_words import may_protect
from .items import Item, ItemUsage, Usage
from .trip_range import Outside, TripToCome, outside

HoldWhy = Literal[
    "given_up",
    "insurance",
    "essential",
    "borrowed",
    "bound",
    "not_stated",
    "occasion_unseen",
    "outside",
    "too_cold_before",
    "too_cold_ahead",
    "bed_wanting",
    "few_nights_judged",
    "needed",
    "packed",
]

SILENT_SYSTEMS = (
    "clothing",
    "light",
    "power",
    "cook",
    "food",
    "hygiene",
    "first_aid",
    "safety",
    "navigation",
    "fire",
    "repair",
)
"""Being unused proves nothing here: a condition in ``meant_for``, or ``essential`` = no, says more.

With `OPEN_SYSTEMS`, and those whose things are essential unless their owner says no, that is
every system but leisure, of which only what means safety, or may protect, by its name waits for its
owner's word, and goes beyond the trips seen no more than the rest.
"""
OPEN_SYSTEMS = ("bags", "bike", "boat", "other")
"""Here, too; but what going without costs says enough as well."""
_MODES_OF = MappingProxyType({"bike": ("bike", "ebike", "mixed"), "boat": ("paddle", "mixed")})
_VEHICLE_MODES = ("bike", "ebike", "paddle", "mixed")
TOO_MANY_COLD = 0.1
"""Of the nights judged, or of the chance ahead: from here on nothing that keeps warm goes."""
FEWEST_JUDGED = 5


@dataclass(frozen=True, slots=True)
class Circumstances:
    """What bears on leaving things at home beside how often they were used.

    ``bags``: by item that served as a bag, the items it held. ``judged`` nights of the trips looked
    back on have a vote of warmth, ``too_cold`` of them one of -2 or -3. ``to_come``: the trips that
    are named as lying ahead, and ``p_too_cold`` the highest chance of a too cold night on one of
    them, by its title, missing where it cannot be told. ``bed_wanting``: the title of one whose
    list lacks a mat or relies on sleep gear that is not mended. ``relied_on``: sets of items, of
    each of which one must stay on the list of such a trip.
    """

    bags: Mapping[str, frozenset[str]] = field(default_factory=dict)
    judged: int = 0
    too_cold: int = 0
    to_come: tuple[TripToCome, ...] = ()
    p_too_cold: tuple[float, str] | None = None
    bed_wanting: str | None = None
    relied_on: tuple[frozenset[str], ...] = ()


NOTHING_KNOWN = Circumstances()


@dataclass(frozen=True, slots=True)
class Hold:
    """Why a thing is held back; ``by``: names of the things or the title of the trip behind it.

    ``how``: how that trip lies outside of what was seen.
    """

    why: HoldWhy
    by: tuple[str, ...] = ()
    how: Outside | None = None


def is_stated(item: Item) -> bool:
    """Whether its owner has said what it is for, or its system needs no such word."""
    if item.system in SILENT_SYSTEMS:
        return bool(item.meaning.words) or item.essential_stated is False
    if item.system in OPEN_SYSTEMS:
        stated = item.essential_stated is not None or item.going_without is not None
        return stated or bool(item.meaning.words)
    if item.system in ESSENTIAL_SYSTEMS or not may_protect(item.item, item.name):
        return True
    return bool(item.meaning.words) or item.essential_stated is False


def keeps_warm(item: Item) -> bool:
    """Whether leaving it could make one cold."""
    return may_keep_warm(item.system, for_cold="cold" in item.meaning.words)


def may_keep_warm(system: str, *, for_cold: bool = False) -> bool:
    """Whether a thing may keep warm: clothing, sleep gear, what is meant for cold."""
    return for_cold or system in ("clothing", "sleep")


def is_spare_battery(item: Item, others: Iterable[Item]) -> bool:
    """Whether it is a second battery of a bike or boat: beside a heavier one, or one it needs.

    Once its owner has said what it is for, its record may speak though the bike or boat is used.
    """
    if item.system not in _MODES_OF or not item.capacity_wh:
        return False
    rest = [o for o in others if o.item != item.item and o.system == item.system and o.capacity_wh]
    return any(
        o.item in item.needs
        or (o.weight_g is not None and item.weight_g is not None and o.weight_g > item.weight_g)
        for o in rest
    )


def holds_on(usage: Usage, today: date, around: Circumstances) -> dict[str, Hold]:
    """What of a usage must not be advised against, and why; a thing without an entry may be."""
    here = {u.about.item: u for u in usage.items}
    rules = _Rules(usage, today, around)
    holds = {item: held for item, used in here.items() if (held := rules.of(used)) is not None}
    _close(holds, here, around)
    return holds


class _Rules:
    def __init__(self, usage: Usage, today: date, around: Circumstances) -> None:
        self._today, self._around = today, around
        self._items = [u.about for u in usage.items]
        self._modes = {trip.mode for trip in usage.scoped.trips}

    def of(self, used: ItemUsage) -> Hold | None:
        about = used.about
        steps: tuple[Callable[[], Hold | None], ...] = (
            lambda: Hold("insurance") if about.insurance else None,
            lambda: Hold("essential") if about.essential else None,
            lambda: Hold("borrowed") if about.owner is not None else None,
            lambda: self._purpose(about),
            lambda: _occasion(used),
            lambda: self._range(used),
            lambda: self._cold(about),
        )
        if about.retired_on is not None and about.retired_on <= self._today:
            return Hold("given_up")
        return next((held for step in steps if (held := step()) is not None), None)

    def _purpose(self, about: Item) -> Hold | None:
        if self._bound(about) and not is_spare_battery(about, self._items):
            return Hold("bound")
        return None if is_stated(about) else Hold("not_stated")

    def _bound(self, about: Item) -> bool:
        """Whether it belongs to a vehicle that was travelled by, or may have been."""
        own = _MODES_OF.get(about.system, ())
        modes = {*own, *(_VEHICLE_MODES if about.carried_as == "vehicle" else ())}
        return bool(modes) and (None in self._modes or bool(modes & self._modes))

    def _range(self, used: ItemUsage) -> Hold | None:
        about = used.about
        if about.system == "leisure" and not may_protect(about.item, about.name):
            return None
        for trip in self._around.to_come:
            how = outside(used.seen, trip)
            if how is not None:
                return Hold("outside", (trip.title,), how)
        return None

    def _cold(self, about: Item) -> Hold | None:
        around, for_cold = self._around, "cold" in about.meaning.words
        warm = keeps_warm(about)
        if warm and around.too_cold and around.too_cold >= TOO_MANY_COLD * around.judged:
            return Hold("too_cold_before")
        if warm and around.p_too_cold is not None and around.p_too_cold[0] > TOO_MANY_COLD:
            return Hold("too_cold_ahead", (around.p_too_cold[1],))
        if warm and around.bed_wanting is not None:
            return Hold("bed_wanting", (around.bed_wanting,))
        return Hold("few_nights_judged") if for_cold and around.judged < FEWEST_JUDGED else None


def _occasion(used: ItemUsage) -> Hold | None:
    """That essential = no says too little of shelter, sleep, water and rain by itself.

    Without a condition in ``meant_for`` the record must have seen what the system is there for as
    often as a thing of that cost must go unused to be left.
    """
    about = used.about
    if about.system not in ESSENTIAL_SYSTEMS or about.meaning.words:
        return None
    fewest = chances_to_tell(limit_of(cost_of(about, {})))
    return Hold("occasion_unseen") if used.occasions < fewest else None


def users_of(items: Iterable[Item]) -> dict[str, list[str]]:
    """By item, which of the things need it."""
    users: dict[str, list[str]] = {}
    for about in items:
        for needed in about.needs:
            users.setdefault(needed, []).append(about.item)
    return users


def _close(holds: dict[str, Hold], here: Mapping[str, ItemUsage], around: Circumstances) -> None:
    """What something that is held back needs, or travels in, is held back with it."""
    gone = {item for item, held in holds.items() if held.why == "given_up"}
    users = users_of(used.about for used in here.values())
    while True:
        stays = holds.keys() - gone
        more: dict[str, Hold] = {}
        for item in sorted(here.keys() - holds.keys()):
            by = [i for i in users.get(item, ()) if i in stays]
            held = [i for i in sorted(around.bags.get(item, ())) if i in stays or i not in here]
            if by:
                more[item] = Hold("needed", tuple(here[i].about.name for i in by))
            elif held:
                more[item] = Hold("packed", tuple(here[i].about.name for i in held if i in here))
        if not more:
            return
        holds |= more
