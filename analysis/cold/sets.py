"""The sleep sets that are owned, and what a set on a list lacks of the sets that were slept in."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from ..store.rows import Store, ask
from .kinds import SleepKind, is_cover, is_untold, sleep_kinds, warms_nobody
from .limit import ColdLimits, SleepSystem

FEWEST_TURNS = 2
"""So many nights each, at least, of two things that took turns."""
TURNS_SHARE = 0.9
"""On so many of all nights one of the two was along."""
USUAL_SHARE = 2 / 3
"""A thing belongs to a set where it was along on so many of its nights."""


@dataclass(frozen=True, slots=True)
class SleepThing:
    """A piece of sleep gear. ``as_limit_c``: its rating on the limit scale, where it has one.

    ``rating_not_read``: what stands in its place in gear.csv and is none. ``kind``: whether it lies
    under the sleeper or goes over (`kinds`), where that is known.
    """

    item: str
    name: str
    weight_g: float | None
    rated_low_c: float | None
    rated_as: str
    as_limit_c: float | None
    r_value: float | None
    replaces: tuple[str, ...]
    bought_on: date | None
    retired_on: date | None
    borrowed: bool
    kind: SleepKind | None = None
    rating_not_read: str | None = None

    def is_there(self, day: date) -> bool:
        """Whether it was not given up by that day."""
        return self.retired_on is None or self.retired_on > day

    def is_owned(self, day: date) -> bool:
        """Whether it is one's own and at hand on that day."""
        bought = self.bought_on is None or self.bought_on <= day
        return not self.borrowed and bought and self.is_there(day)


@dataclass(frozen=True, slots=True)
class Lacking:
    """A thing of the sets slept in that does not come along, nor anything in its place.

    It was along on ``nights`` of ``of_nights`` nights in the thing named ``rated_name`` (in any,
    where that was never slept in; of a logbook without a night, 0 of 0). ``why``: left_out,
    given_up, or given_up_on_list where the list still names it. ``successor`` is the name of what
    took over from it and is at home. ``apart``: nights in that thing beside these that do not
    count, as sleep or shelter gear had failed. Where nothing on the list is known to lie under the
    sleeper, and no mat is known that could, ``thing`` is missing and ``why`` is not_known.
    """

    thing: SleepThing | None
    nights: int
    of_nights: int
    rated_name: str | None
    why: Literal["left_out", "given_up", "given_up_on_list", "not_known"]
    successor: str | None
    apart: int = 0

    @property
    def is_mat(self) -> bool:
        """Whether it insulates from the ground."""
        return self.thing is None or self.thing.kind == "ground"


def sleep_things(store: Store, day: date | None = None) -> dict[str, SleepThing]:
    """Every piece of sleep gear, by item, as it weighs on a day, by default today."""
    rows = ask(store, "cold/sleep_things", day=day)
    kinds = sleep_kinds(
        ((r["item"], r["name"], r["r_value"], r["rated_low_c"]) for r in rows),
        {r["item"]: r["weight_g"] for r in rows},
    )
    return {
        row["item"]: SleepThing(
            **{**row, "replaces": tuple(row["replaces"])}, kind=kinds.get(row["item"])
        )
        for row in rows
    }


def set_of(items: Iterable[str], things: Mapping[str, SleepThing]) -> SleepSystem | None:
    """These things as a sleep system; None where none of them is rated."""
    members = sorted(set(items))
    rated = [(things[i].as_limit_c or 0.0, i) for i in members if things[i].as_limit_c is not None]
    if not rated:
        return None
    lowest = things[min(rated)[1]]
    return SleepSystem(
        items=tuple(members),
        names=tuple(things[i].name for i in members),
        rated_item=lowest.item,
        rated_name=lowest.name,
        rated_low_c=lowest.rated_low_c or 0.0,
        rated_as=lowest.rated_as,
        as_limit_c=lowest.as_limit_c or 0.0,
    )


def owned_sets(
    limits: ColdLimits, things: Mapping[str, SleepThing], day: date
) -> tuple[SleepSystem, ...]:
    """The sleep sets that one owns on a day, in order of their names.

    Those slept in whose things are all still owned; and each rated thing that is in none of them,
    with what is still owned of the unrated things of the latest set. A bag or quilt with which it
    never went along is another one in its place, and belongs to no set with it.
    """
    owned = {item for item, thing in things.items() if thing.is_owned(day)}
    systems = [limit.system for limit in limits.limits if owned.issuperset(limit.system.items)]
    placed = {item for system in systems for item in system.items}
    latest = limits.slept[-1] if limits.slept else ()
    beside = [i for i in latest if i in owned and things[i].as_limit_c is None]
    things, nights = _with_cover(things, latest), (*limits.slept, *limits.slept_apart)
    for item in sorted(owned - placed):
        if things[item].as_limit_c is not None:
            with_it = (i for i in beside if not _either_or(things[i], things[item], nights))
            alone = set_of([item, *with_it], things)
            assert alone is not None
            systems.append(alone)
    return tuple(sorted(systems, key=lambda system: (system.names, system.items)))


def _either_or(one: SleepThing, other: SleepThing, nights: Iterable[tuple[str, ...]]) -> bool:
    """Whether both are bags or quilts that never went along together: the one or the other."""
    covers = all(is_cover(each.kind, each.name) for each in (one, other))
    return covers and not any(one.item in night and other.item in night for night in nights)


def _with_cover(
    things: Mapping[str, SleepThing], latest: Sequence[str]
) -> Mapping[str, SleepThing]:
    """The same; where of the latest set a mat is told and no cover, the heaviest untold is that."""
    told = {things[item].kind for item in latest}
    untold = [
        one
        for one in (things[item] for item in latest if things[item].kind is None)
        if all(is_untold(name, one.weight_g) for name in (one.name, one.item))
    ]
    if "ground" not in told or "bedding" in told or not untold:
        return things
    cover = min(untold, key=lambda one: (-(one.weight_g or 0.0), one.item))
    return {**things, cover.item: replace(cover, kind="bedding")}


def lacking(
    listed: Sequence[str], limits: ColdLimits, things: Mapping[str, SleepThing], start_on: date
) -> tuple[Lacking, ...]:
    """What a plan's sleep gear lacks of the sets slept in, mats first.

    ``listed`` are the items of sleep gear on its list. A thing is in another's place where it took
    over from it, where both lie on the ground, or where the two took turns; in one only. Where no
    night is known at all, it lacks a mat if nothing on it is known to lie on the ground. What
    neither column nor name tells is a mat where it took turns with one; what by its name makes no
    night warmer, as a pillow, is not lacking.
    """
    along = [i for i in listed if things[i].is_there(start_on)]
    things = _with_turns(things, limits.slept)
    things = _with_cover(things, limits.slept[-1] if limits.slept else ())
    rated = [i for i in along if things[i].as_limit_c is not None]
    nights, within = _nights_with(rated, limits.slept)
    if not nights:
        return _bare_ground(listed, along, things, start_on)
    counts = {item: sum(item in night for night in nights) for night in nights for item in night}
    usual = [
        item
        for item, on in counts.items()
        if item not in along
        and on >= USUAL_SHARE * len(nights)
        and things[item].as_limit_c is None
        and not (things[item].kind is None and warms_nobody(things[item].name))
    ]
    usual.sort(key=lambda item: (things[item].kind != "ground", -counts[item], item))
    free, missing = list(along), []
    for item in usual:
        on = counts[item]
        other = next(
            (i for i in free if _in_place_of(things[item], things[i], things, limits.slept)), None
        )
        if other is not None:
            free.remove(other)
            continue
        missing.append(
            Lacking(
                thing=things[item],
                nights=on,
                of_nights=len(nights),
                rated_name=things[within].name if within is not None else None,
                why=_why(things[item], item in listed, start_on),
                successor=_successor(item, things, start_on),
                apart=sum(within is None or within in night for night in limits.slept_apart),
            )
        )
    return tuple(missing)


def _with_turns(
    things: Mapping[str, SleepThing], slept: Sequence[tuple[str, ...]]
) -> Mapping[str, SleepThing]:
    """The same, what took turns with a mat told as one.

    On two nights or more each, never on one night, and one of the two on nearly every night on
    which anything of sleep was there: a thing that is only at times along does not stand in for it.
    """
    mats = {item for item, thing in things.items() if thing.kind == "ground"}
    with_mat = [not mats.isdisjoint(night) for night in slept]
    turned = {}
    for item, thing in things.items():
        if thing.kind is not None or thing.as_limit_c is not None or warms_nobody(thing.name):
            continue
        with_it = [item in night for night in slept]
        either = [a or b for a, b in zip(with_mat, with_it, strict=True)]
        both = any(a and b for a, b in zip(with_mat, with_it, strict=True))
        often = min(sum(with_mat), sum(with_it)) >= FEWEST_TURNS
        if often and not both and sum(either) >= TURNS_SHARE * len(slept):
            turned[item] = replace(thing, kind="ground")
    return {**things, **turned}


def _bare_ground(
    listed: Sequence[str],
    along: Sequence[str],
    things: Mapping[str, SleepThing],
    start_on: date,
) -> tuple[Lacking, ...]:
    """The warmest mat that is owned, or that none is known, where nothing lies on the ground."""
    mats = [t for t in things.values() if t.kind == "ground" and t.is_owned(start_on)]
    if any(things[item].kind == "ground" for item in along):
        return ()
    if not mats:
        return (Lacking(None, 0, 0, None, "not_known", None),)
    mat = min(mats, key=lambda t: (-(t.r_value or 0.0), -(t.weight_g or 0.0), t.item))
    return (Lacking(mat, 0, 0, None, "left_out", None),)


def _nights_with(
    rated: Sequence[str], slept: Sequence[tuple[str, ...]]
) -> tuple[list[tuple[str, ...]], str | None]:
    """The nights in the rated thing that was slept in most; all nights where none was."""
    counts = {item: sum(item in night for night in slept) for item in rated}
    most = max(sorted(counts), key=counts.__getitem__, default=None)
    if most is None or not counts[most]:
        return list(slept), None
    return [night for night in slept if most in night], most


def _in_place_of(
    missing: SleepThing,
    other: SleepThing,
    things: Mapping[str, SleepThing],
    slept: Sequence[tuple[str, ...]],
) -> bool:
    if missing.item in _predecessors(other.item, things) or _either_or(missing, other, slept):
        return True
    if other.as_limit_c is not None:
        return False
    if missing.kind == other.kind == "ground":
        return True
    nights = [night for night in slept if other.item in night]
    return bool(nights) and not any(missing.item in night for night in nights)


def _predecessors(item: str, things: Mapping[str, SleepThing]) -> set[str]:
    """What a thing took over from, directly or not."""
    before_it: set[str] = set()
    left = [item]
    while left:
        for before in things[left.pop()].replaces:
            if before in things and before not in before_it:
                before_it.add(before)
                left.append(before)
    return before_it


def _successor(item: str, things: Mapping[str, SleepThing], day: date) -> str | None:
    owned = sorted(i for i, thing in things.items() if thing.is_owned(day))
    return next((things[i].name for i in owned if item in _predecessors(i, things)), None)


def _why(
    thing: SleepThing, on_list: bool, start_on: date
) -> Literal["left_out", "given_up", "given_up_on_list"]:
    if thing.is_there(start_on):
        return "left_out"
    return "given_up_on_list" if on_list else "given_up"
