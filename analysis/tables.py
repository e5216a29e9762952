"""Every table that comes out. Command line, help, completion, reference and Python draw on it."""

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from ..tripdata.errors import QuestionError
from ..tripdata.names import guess, normalised, shown
from .ahead import outputs as ahead
from .base_weight import outputs as base_weight
from .buying import outputs as buying
from .catalogue import views
from .catalogue.entry import Entry
from .catalogue.options import OPTIONS
from .cold import outputs as cold
from .comfort import outputs as comfort
from .cull import outputs as cull
from .effort import outputs as effort
from .usage import outputs as usage
from .wear import outputs as wear
from .weigh_up import outputs as weigh_up

_ROOMS = (views, weigh_up, ahead, cold, usage, cull, base_weight, comfort, wear, effort, buying)


def _gathered() -> dict[str, Entry]:
    entries = [entry for room in _ROOMS for entry in room.ENTRIES]
    takers = {
        option: tuple(entry.name for entry in entries if option in entry.options)
        for option in OPTIONS
    }
    return {entry.name: replace(entry, takers=takers) for entry in entries}


TABLES: Mapping[str, Entry] = MappingProxyType(_gathered())
"""The tables by name, in the order in which help lists them."""


def entry(name: str) -> Entry:
    """The table of that name, however it is written. Raises QuestionError with those there are."""
    if not isinstance(name, str):
        raise QuestionError(f"expected the name of a table as text, got {type(name).__name__}")
    if normalised(name) in TABLES:
        return TABLES[normalised(name)]
    near = guess(name, TABLES)
    advice = near and f"; {near}"
    raise QuestionError(f"expected one of {', '.join(TABLES)}, got {shown(name)}{advice}")
