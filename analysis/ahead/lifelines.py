"""What no list is to lack altogether: what keeps afloat, to sleep in, rain, light, fire, food, ...

A safety check that gear.csv alone answers, with its required columns: it needs no trip before.
"""

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from ..cold.kinds import sleep_kinds, untold_things
from ..store.rows import Record
from ..usage.guard_words import is_buoyancy_aid, is_helmet, is_upper_shell, sees_to_wounds
from .along import OWN_HABIT, LikeLists
from .results import MayBeMissing
from .warm_things import names_of, warmth

BY_NIGHT = ("shelter", "ground", "bedding", "sleep")
"""Nobody needs these on a day out."""
WORN_TO_TRAVEL = ("afloat", "helmet")
"""What a boat or a bike asks for, whatever else the list has of its system."""
IN_WEATHER = ("warm", "dry")
"""What likely weather calls for (`called_for`)."""
WHOLE_SYSTEMS = ("clothing", "fire", "food", "navigation", "safety")
LIFELINES = (
    *WORN_TO_TRAVEL,
    *BY_NIGHT,
    *("rain", *IN_WEATHER, "light", "water", "first_aid"),
    *WHOLE_SYSTEMS,
)
"""The order in which they are named."""
_LIGHTS = re.compile(r"\bmatch(es)?\b|lighter|fire.?(steel|start|striker)|ferro|\bflint\b")
_COOKS_NOTHING = re.compile(
    r"\b(mug|cup|spoon|spork|fork|knife|bowl|plate|bottle|coffee|tea|sponge|cloth|towel|bag|board)\b"
)
"""Words of names (common practice, no published source). What of cook gear has none of these may
need to be lit."""
_NEARLY_ALL = 0.9
_FEWEST_HAD = 2
_HALF = 0.5


@dataclass(frozen=True, slots=True)
class Lifeline:
    """A kind of thing of which the list has nothing: ``item`` stands for it, ``others`` beside.

    ``had`` of ``trips`` like trips with a list had something of it. ``asks``: nothing tells that
    it is of the kind, and nothing on the list is known to be. ``partly``: the list has something of
    the kind that does not do alone, as trousers do not for rain.
    """

    kind: str
    item: str
    others: tuple[str, ...]
    had: int
    trips: int
    asks: bool = False
    partly: bool = False


def lifelines_first(missing: Iterable[MayBeMissing]) -> list[MayBeMissing]:
    """What may be missing, what no list is to lack at its head in the order of LIFELINES."""
    order = {kind: place for place, kind in enumerate(LIFELINES)}
    return sorted(missing, key=lambda each: order.get(each.lifeline or "", len(order)))


def lifeline_of(rows: Iterable[Record]) -> dict[str, str]:
    """By item the kind that it is of, of all gear; rows of ``ahead/gear_then``."""
    rows = list(rows)
    kinds: dict[str, str] = dict(sleep_kinds(*_asleep(rows)))
    others = (row for row in rows if row["system"] in LIFELINES and row["system"] != "sleep")
    lights = (row for row in rows if row["system"] == "cook" and _LIGHTS.search(names_of(row)))
    kinds |= {row["item"]: row["system"] for row in others}
    return kinds | {row["item"]: "fire" for row in lights}


def worn_to_travel(rows: Iterable[Record]) -> dict[str, str]:
    """By item "afloat" or "helmet", of all gear; rows of ``ahead/gear_then``."""
    rows = list(rows)
    aids = [r for r in rows if is_buoyancy_aid(r["item"], r["name"], r["system"])]
    helmets = (row for row in rows if is_helmet(row["item"], row["name"]))
    return {r["item"]: "helmet" for r in helmets} | {r["item"]: "afloat" for r in aids}


def _does_alone(row: Record) -> bool:
    """Whether a thing of its kind is enough: of rain a shell, of first aid a kit or dressing."""
    if row["system"] == "rain":
        return is_upper_shell(row["item"], row["name"])
    return row["system"] != "first_aid" or sees_to_wounds(row["item"], row["name"])


def _travelled_by(
    gear: Mapping[str, Record], listed: Collection[str], mode: str | None
) -> frozenset[str]:
    """Of `WORN_TO_TRAVEL`, what the way of travelling or what is listed asks for."""
    systems = {gear[item]["system"] for item in listed}
    afloat = mode == "paddle" or "boat" in systems
    ridden = mode in ("bike", "ebike") or "bike" in systems
    return frozenset(k for k, asks in zip(WORN_TO_TRAVEL, (afloat, ridden), strict=True) if asks)


def _is_lit(row: Record) -> bool:
    """Whether a thing cooks or burns, as far as nothing in its name says that it does not."""
    return row["system"] == "cook" and not _COOKS_NOTHING.search(names_of(row))


def _fire_is_idle(
    gear: Mapping[str, Record], listed: Collection[str], every: Collection[str], known: LikeLists
) -> bool:
    """Whether nothing on the list is lit, and fire was not nearly always along."""
    if any(_is_lit(gear[item]) for item in listed):
        return False
    had, share = known.with_any(every)
    if had >= _FEWEST_HAD and share >= _NEARLY_ALL:
        return False
    counts = (known.on_record(item) for item in every if item in known.at_hand)
    return not any(k >= _FEWEST_HAD and k >= _NEARLY_ALL * n for k, n, _ in counts)


def _asleep(
    rows: Iterable[Record],
) -> tuple[list[tuple[str, str, float | None, float | None]], dict[str, float | None]]:
    """What `sleep_kinds` takes, of all gear."""
    of_sleep = [row for row in rows if row["system"] == "sleep"]
    things = [(r["item"], r["name"], r["r_value"], r["rated_low_c"]) for r in of_sleep]
    weights = {r["item"]: r["weight_mg"] and r["weight_mg"] / 1000 for r in of_sleep}
    return things, weights


def lacking_lifelines(
    gear: Mapping[str, Record],
    listed: Collection[str],
    among: Collection[str],
    known: LikeLists,
    nights: int,
    mode: str | None = None,
) -> dict[str, Lifeline]:
    """The kinds of which nothing ``listed`` is, by the thing that stands for it.

    A buoyancy aid wherever one goes by boat, by ``mode`` or by what is listed, and by bike a
    helmet, whatever such trips had. Of rain and first aid what does alone (`_does_alone`), where
    such a thing is at hand.
    Of fire only where something on the list is lit or cooks, or where it was nearly always along.
    Of ``among``, what may be named, it is the likeliest on like trips; of several alike the one
    that is essential, then the heaviest. Two like trips or more (`LikeLists.is_habit`) of which,
    each by its likeness, fewer than half had any of it say that such a trip does without: of a mat
    those alone that had bedding, and lists that never name anything of sleep say nothing of it.
    What neither column nor name tells is asked about where no mat is known.
    """
    kind_of = lifeline_of(gear.values())
    untold = untold_things(*_asleep(gear.values()))
    there = {kind_of.get(item) for item in listed}
    nothing_of_sleep = not any(gear[item]["system"] == "sleep" for item in listed)
    # Lists that never name any of it are no habit.
    silent = nothing_of_sleep and not known.had_system("sleep")
    covers = [item for item, of in kind_of.items() if of == "bedding"]

    def order(item: str) -> tuple[float, int, bool, int, str]:
        row = gear[item]
        first = -known.of[item].chance, -warmth(row), not row["essential_stated"]
        return *first, -(row["weight_mg"] or 0), item

    lacking: dict[str, Lifeline] = {}
    worn = worn_to_travel(gear.values())
    for kind in (k for k in WORN_TO_TRAVEL if k in _travelled_by(gear, listed, mode)):
        every = [item for item, of in worn.items() if of == kind]
        things = sorted((item for item in among if item in every), key=order)
        if things and not any(item in every for item in listed):
            had, _ = known.with_any(every)
            lacking[things[0]] = Lifeline(kind, things[0], tuple(things[1:]), had, len(known.like))
    apart = ("sleep", *WORN_TO_TRAVEL, *IN_WEATHER)
    wanted = (k for k in LIFELINES if k not in apart)
    for kind in (k for k in wanted if nights or k not in BY_NIGHT):
        every = [item for item, of in kind_of.items() if of == kind]
        alone = [item for item in every if _does_alone(gear[item])]
        partly = kind in there and not known.at_hand.isdisjoint(alone)
        if partly and any(item in alone for item in listed):
            continue
        things = [i for i in among if i in (alone if partly else every) and i not in lacking]
        asks = kind == "ground" and not things
        if asks:
            things = [item for item in among if item in untold]
        if (kind in there and not partly) or not things:
            continue
        if kind == "fire" and _fire_is_idle(gear, listed, every, known):
            continue
        had, share = known.with_any(alone if partly else every)
        habit = share < _HALF and known.is_habit
        if kind == "ground" and "bedding" in there:
            trips, share = known.share_beside(every, covers)
            habit = share < _HALF and trips >= OWN_HABIT and known.is_habit
        if habit and not (silent and kind in ("ground", "bedding")):
            continue
        first, *others = sorted(things, key=lambda item: (item not in alone, *order(item)))
        lacking[first] = Lifeline(
            kind, first, tuple(others), had, len(known.like), asks=asks, partly=partly
        )
    asleep = [item for item in among if gear[item]["system"] == "sleep"]
    told = any(one.kind in ("ground", "bedding") for one in lacking.values())
    whole = known.system_share("sleep")
    habit = bool(known.had_system("sleep")) and known.is_habit and whole < _HALF
    if nights and nothing_of_sleep and asleep and not told and not habit:
        first, *others = sorted(asleep, key=order)
        had, _ = known.with_any([i for i, row in gear.items() if row["system"] == "sleep"])
        lacking[first] = Lifeline("sleep", first, tuple(others), had, len(known.like))
    return lacking
