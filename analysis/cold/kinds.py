"""What of the sleep gear lies under the sleeper and what goes over, also where no column says so.

Going by the columns that only one kind has, else by words of the name (common practice, no
published source): gear.csv has no column for it, and a list without either is dangerous.
"""

import re
from collections.abc import Iterable
from typing import Literal

from ...tripdata.names import folded

SleepKind = Literal["ground", "bedding"]
_GROUND = re.compile(r"\b(mats?|mattress|pad|air.?bed|underquilt|hammock|cot|camp.?bed)\b")
_BEDDING = re.compile(r"\b(quilt|bag|blanket|duvet|comforter)\b")
_NEITHER = re.compile(
    r"\b(liner|pillow|cover|stuff|sack|pump|repair|patch|clothes|compression|straps?)\b"
)


def sleep_kinds(
    things: Iterable[tuple[str, str, float | None, float | None]],
) -> dict[str, SleepKind]:
    """By item what lies below or goes over; what is told of neither is left out.

    ``things`` are item, name, r_value and rated_low of all the sleep gear that is asked of. Where
    none of them is told to go over, what is told of nothing is taken to; else, where none is told
    to lie below, it is taken to do that.
    """
    told: dict[str, SleepKind] = {}
    untold = []
    for item, name, r_value, rated_low in things:
        words = f"{folded(item).replace('_', ' ')} {folded(name).replace('_', ' ')}"
        if r_value is not None:
            told[item] = "ground"
        elif rated_low is not None:
            told[item] = "bedding"
        elif _NEITHER.search(words):
            continue
        elif _GROUND.search(words):
            told[item] = "ground"
        elif _BEDDING.search(words):
            told[item] = "bedding"
        else:
            untold.append(item)
    for kind in ("bedding", "ground"):
        if kind not in told.values():
            told.update(dict.fromkeys(untold, kind))
            break
    return told
