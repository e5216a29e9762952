"""What no list is to lack altogether: to sleep in, rain, light, fire, food, clothing and the like.

A safety check that gear.csv alone answers, with its required columns: it needs no trip before.
"""

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from ..cold.kinds import sleep_kinds, untold_things
from ..store.rows import Record
from .along import OWN_HABIT, LikeLists
from .results import MayBeMissing
from .warm_things import names_of, warmth

BY_NIGHT = ("shelter", "ground", "bedding", "sleep")
"""Nobody needs these on a day out."""
WHOLE_SYSTEMS = ("clothing", "fire", "food", "navigation", "safety")
LIFELINES = (*BY_NIGHT, "rain", "light", "water", "first_aid", *WHOLE_SYSTEMS)
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
    it is of the kind, and nothing on the list is known to be.
    """

    kind: str
    item: str
    others: tuple[str, ...]
    had: int
    trips: int
    asks: bool = False


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
) -> dict[str, Lifeline]:
    """The kinds of which nothing ``listed`` is, by the thing that stands for it.

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
    for kind in (k for k in LIFELINES if k != "sleep" and (nights or k not in BY_NIGHT)):
        every = [item for item, of in kind_of.items() if of == kind]
        things = [item for item in among if item in every]
        asks = kind == "ground" and not things
        if asks:
            things = [item for item in among if item in untold]
        if kind in there or not things:
            continue
        if kind == "fire" and _fire_is_idle(gear, listed, every, known):
            continue
        had, share = known.with_any(every)
        habit = share < _HALF and known.is_habit
        if kind == "ground" and "bedding" in there:
            trips, share = known.share_beside(every, covers)
            habit = share < _HALF and trips >= OWN_HABIT and known.is_habit
        if habit and not (silent and kind in ("ground", "bedding")):
            continue
        first, *others = sorted(things, key=order)
        lacking[first] = Lifeline(kind, first, tuple(others), had, len(known.like), asks)
    asleep = [item for item in among if gear[item]["system"] == "sleep"]
    told = any(one.kind in ("ground", "bedding") for one in lacking.values())
    whole = known.system_share("sleep")
    habit = bool(known.had_system("sleep")) and known.is_habit and whole < _HALF
    if nights and nothing_of_sleep and asleep and not told and not habit:
        first, *others = sorted(asleep, key=order)
        had, _ = known.with_any([i for i, row in gear.items() if row["system"] == "sleep"])
        lacking[first] = Lifeline("sleep", first, tuple(others), had, len(known.like))
    return lacking
