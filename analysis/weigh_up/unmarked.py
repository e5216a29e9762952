"""What of a list is eaten, burnt or worn and nowhere marked so, and thus counts as base weight.

A blank carried_as is read as base. That says nothing of what a thing is: where no row is marked
otherwise, or food or fuel is not, the sum is no base weight that has a class. The mart
`trip_unmarked` says the same of whole trips, for `trips`, the trend and candidates.
"""

import re
from collections.abc import Iterable
from typing import Protocol

from ..display.thing_names import named

_MARKED = ("worn", "consumable")
_IS_FUEL = re.compile(
    r"\b(gas|fuel|alcohol|ethanol|spirits?|petrol|paraffin|kerosene|canisters?|cartridges?)\b"
)
_HOLDS = re.compile(
    r"\b(stove|burner|cooker|stand|adapter|valve|hose|pump|bottles?|bags?|sacks?|pouch|box|tins?"
    r"|jars?|tubs?|hooks?|cord|rope|net|cosy|cozy|scales?)\b|\b(food|bear) canisters?\b"
)
"""Words of what holds or burns food and fuel, and is carried home as it went (from memory)."""
_COLUMN = "mark them in the column carried_as"
NONE_MARKED = (
    f"Nothing is marked worn or consumable, so food, fuel and clothes worn are in it: {_COLUMN}."
)


class ListRow(Protocol):
    """A row of a list, as far as this asks."""

    @property
    def item(self) -> str:
        """Its short name."""

    @property
    def name(self) -> str:
        """Its name."""

    @property
    def system(self) -> str:
        """The system it belongs to."""

    @property
    def carried_as(self) -> str:
        """How it is carried: base, worn, consumable or vehicle."""


def _is_used_up(row: ListRow) -> bool:
    """Whether a thing is food or fuel, by its system and names."""
    names = f"{row.item} {row.name}".lower().replace("_", " ").replace("-", " ")
    if _HOLDS.search(names):
        return False
    return row.system == "food" or (row.system == "cook" and _IS_FUEL.search(names) is not None)


def unmarked_words(rows: Iterable[ListRow]) -> str:
    """That food, fuel or worn clothes count as base weight, in a sentence; blank where not."""
    every = list(rows)
    base = [row for row in every if row.carried_as == "base"]
    if base and not any(row.carried_as in _MARKED for row in every):
        return NONE_MARKED
    used = list(dict.fromkeys(row.name for row in base if _is_used_up(row)))
    if not used:
        return ""
    verb, it = ("is", "it is") if len(used) == 1 else ("are", "they are")
    column = _COLUMN if len(used) > 1 else _COLUMN.replace("them", "it")
    return f"{named(used)} {verb} not marked consumable, so {it} in the base weight: {column}."
