"""What no list is to lack altogether: shelter, mat, bedding, rain, light, water, first aid.

A safety check that gear.csv alone answers, with its required columns: it needs no trip before.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from ..cold.kinds import sleep_kinds
from ..store.rows import Record
from .along import LikeLists
from .results import MayBeMissing

BY_NIGHT = ("shelter", "ground", "bedding")
"""Nobody needs these on a day out."""
LIFELINES = (*BY_NIGHT, "rain", "light", "water", "first_aid")
"""The order in which they are named."""
_OWN_HABIT = 2
"""From so many like trips on the owner's habit speaks, too: huts have beds."""
_HALF = 0.5


@dataclass(frozen=True, slots=True)
class Lifeline:
    """A kind of thing of which the list has nothing: ``item`` stands for it, ``others`` beside.

    ``had`` of ``trips`` like trips with a list had something of it.
    """

    kind: str
    item: str
    others: tuple[str, ...]
    had: int
    trips: int


def lifelines_first(missing: Iterable[MayBeMissing]) -> list[MayBeMissing]:
    """What may be missing, what no list is to lack at its head in the order of LIFELINES."""
    order = {kind: place for place, kind in enumerate(LIFELINES)}
    return sorted(missing, key=lambda each: order.get(each.lifeline or "", len(order)))


def lifeline_of(rows: Iterable[Record]) -> dict[str, str]:
    """By item the kind that it is of, of all gear; rows of ``ahead/gear_then``."""
    rows = list(rows)
    asleep = [row for row in rows if row["system"] == "sleep"]
    kinds: dict[str, str] = dict(
        sleep_kinds((r["item"], r["name"], r["r_value"], r["rated_low_c"]) for r in asleep)
    )
    kinds |= {row["item"]: row["system"] for row in rows if row["system"] in LIFELINES}
    return kinds


def lacking_lifelines(
    gear: Mapping[str, Record],
    listed: Collection[str],
    among: Collection[str],
    known: LikeLists,
    nights: int,
) -> dict[str, Lifeline]:
    """The kinds of which nothing ``listed`` is, by the thing that stands for it.

    Of ``among``, what may be named, it is the likeliest on like trips; of several alike the one
    that is essential, then the heaviest. Two like trips or more of which, each by its likeness,
    fewer than half had any of it say that such a trip does without.
    """
    kind_of = lifeline_of(gear.values())
    there = {kind_of.get(item) for item in listed}
    lacking: dict[str, Lifeline] = {}
    for kind in LIFELINES if nights else LIFELINES[len(BY_NIGHT) :]:
        things = [item for item in among if kind_of.get(item) == kind]
        if kind in there or not things:
            continue
        every = [item for item, of in kind_of.items() if of == kind]
        had, share = known.with_any(every)
        if len(known.like) >= _OWN_HABIT and share < _HALF:
            continue

        def order(item: str) -> tuple[float, bool, int, str]:
            row = gear[item]
            mg = row["weight_mg"] or 0
            return -known.of[item].chance, not row["essential_stated"], -mg, item

        first, *others = sorted(things, key=order)
        lacking[first] = Lifeline(kind, first, tuple(others), had, len(known.like))
    return lacking
