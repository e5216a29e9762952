"""Which things keep safe, dry, warm, lit or afloat: they are named first among what is left out."""

import re

from ...tripdata.names import folded
from .results import LoadRow

_SYSTEMS = frozenset(
    ("safety", "first_aid", "navigation", "light", "fire", "rain", "water", "sleep", "shelter")
)
_AFLOAT = re.compile(r"buoyan|float|flotation|life.?(jacket|vest)|\bvest\b")
"""Words of what keeps a paddler afloat, of whatever system it is (common practice)."""


def guards(row: LoadRow) -> bool:
    """Whether it is of such a system, is marked as insurance or essential, or keeps afloat."""
    afloat = _AFLOAT.search(f"{folded(row.item)} {folded(row.name)}")
    return row.marked or row.system in _SYSTEMS or afloat is not None


def guarding_first(rows: tuple[LoadRow, ...]) -> tuple[list[str], list[str]]:
    """Names of the rows, each once: of what guards, and of all else."""
    first = dict.fromkeys(row.name for row in rows if guards(row))
    return list(first), list(dict.fromkeys(row.name for row in rows if row.name not in first))
