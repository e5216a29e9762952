"""Which things keep safe, dry, warm, lit or afloat: they are named first among what is left out."""

from ..usage.guard_words import keeps_afloat
from .results import LoadRow

_SYSTEMS = frozenset(
    ("safety", "first_aid", "navigation", "light", "fire", "rain", "water", "sleep", "shelter")
)


def guards(row: LoadRow) -> bool:
    """Whether it is of such a system, is marked as insurance or essential, or keeps afloat."""
    return row.marked or row.system in _SYSTEMS or keeps_afloat(row.item, row.name)


def guarding_first(rows: tuple[LoadRow, ...]) -> tuple[list[str], list[str]]:
    """Names of the rows, each once: of what guards, and of all else."""
    first = dict.fromkeys(row.name for row in rows if guards(row))
    return list(first), list(dict.fromkeys(row.name for row in rows if row.name not in first))
