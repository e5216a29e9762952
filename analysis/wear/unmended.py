"""What failed and is not mended: it is named with that wherever a list relies on it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from ..store.rows import Store, ask


@dataclass(frozen=True, slots=True)
class Unmended:
    """A thing's worst failure of which no repair is noted."""

    item: str
    name: str
    system: str
    severity: str
    what: str | None
    day: date


def unmended_by(store: Store, day: date, *, nuisances: bool = False) -> Mapping[str, Unmended]:
    """Such things by item, from trips over by that day; ``nuisances``: those, too."""
    found: dict[str, Unmended] = {}
    for row in ask(store, "wear/unmended", day=day):
        if nuisances or row["severity"] != "nuisance":
            found.setdefault(row["item"], Unmended(**row))
    return found
