"""What the invented camper owns and borrows: `data/gear.csv`, as packing and life ask of it."""

from dataclasses import dataclass
from datetime import date
from functools import cache

from .tables import table_rows


@dataclass(frozen=True, slots=True)
class Gear:
    """What counts of a row of gear.csv; ``weight_g`` is of one piece.

    ``meant`` are the conditions it is meant for (empty for any); ``bought_on`` and ``retired_on``
    ISO dates or empty.
    """

    item: str
    system: str
    kit: str
    carried_as: str
    weight_g: float
    meant: tuple[str, ...]
    cold_below_c: float
    bought_on: str
    retired_on: str

    def owned_on(self, day: date) -> bool:
        """Whether it was there to be packed on that day."""
        text = day.isoformat()
        return self.bought_on <= text and not (self.retired_on and self.retired_on <= text)


@cache
def inventory() -> dict[str, Gear]:
    """Everything owned or borrowed, by item, in the order of gear.csv."""
    return {
        row["item"]: Gear(
            weight_g=float(row["weight_g"]),
            meant=tuple(word.strip() for word in row["meant_for"].split(";") if word.strip()),
            cold_below_c=float(row["cold_below_c"] or "nan"),
            **{name: row[name] for name in _TEXTS},
        )
        for row in table_rows("gear")
    }


_TEXTS = ("item", "system", "kit", "carried_as", "bought_on", "retired_on")
