"""How warm clothing is by its name: the warmest that a list lacks, for a trip like none before."""

import re
from collections.abc import Collection, Mapping

from ...tripdata.names import folded
from ..store.rows import Record

_INSULATED = re.compile(r"insulat|\bdown\b|puff|padded|quilted|parka|anorak")
_WARM = re.compile(
    r"fleece|wool|merino|thermal|warm|winter|sweater|jumper|pullover|glove|mitt|beanie|balaclava"
    r"|\bhat\b|long.?john|base.?layer"
)
_FOR_SUN = re.compile(r"\b(sun|summer|cooling|fingerless)\b")
"""Words of names (common practice, no published source): gear.csv has no column for warmth."""


def names_of(row: Record) -> str:
    """Its item and its name, folded, as words apart."""
    return f"{folded(row['item'])} {folded(row['name'])}".replace("-", " ")


def warmth(row: Record) -> int:
    """2 insulated or meant for cold, 1 warm, 0 not known to be; of clothing by its names."""
    if row["system"] != "clothing":
        return 0
    name = names_of(row)
    if "cold" in (row["meant_for"] or ()) or _INSULATED.search(name):
        return 2
    return int(bool(_WARM.search(name)) and not _FOR_SUN.search(name))


def warmest_missing(
    gear: Mapping[str, Record], listed: Collection[str], among: Collection[str]
) -> str | None:
    """The warmest, then heaviest thing ``among`` that may be named, if no ``listed`` is as warm."""
    there = max((warmth(gear[item]) for item in listed), default=0)
    warm = [item for item in among if warmth(gear[item]) > there]
    by_warmth = sorted(warm, key=lambda i: (-warmth(gear[i]), -(gear[i]["weight_mg"] or 0), i))
    return by_warmth[0] if by_warmth else None
