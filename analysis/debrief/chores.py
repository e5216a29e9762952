"""What to mend, check, charge and restock after a trip."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from ..store.rows import Record, Store, ask
from ..wear.checks import a_year_before

_CHECKED_SYSTEMS = ("first_aid", "safety")


@dataclass(frozen=True, slots=True)
class Chore:
    """One thing to do for one item.

    ``kind``: mend (failed, not fixed), replenish (first aid that was opened: check and restock),
    check (insurance, first aid or safety gear not looked over for a year, or never), charge (a
    battery), restock (a consumable of which nothing came home). ``trip`` and ``day`` tell where and
    when it failed or was opened; ``day`` of a check is the last one, None where there was none.
    """

    kind: Literal["mend", "replenish", "check", "charge", "restock"]
    item: str
    name: str
    system: str
    trip: str | None = None
    day: date | None = None
    severity: str | None = None
    what: str | None = None
    fixed_with: str | None = None


def chores(
    store: Store,
    trip: str,
    gear: Sequence[Record],
    brought_home: Sequence[Record],
    today: date,
) -> tuple[Chore, ...]:
    """The list for one trip, as of ``today``, by kind in the order of `Chore`.

    ``gear`` and ``brought_home`` are the answers to the questions of those names. Gear given up by
    ``today`` is left out.
    """
    owned = [g for g in gear if g["retired_on"] is None or g["retired_on"] > today]
    return (
        *(
            Chore("mend", **row)
            for row in ask(store, "debrief/open_failures", trip=trip, today=today)
        ),
        *(
            Chore("replenish", trip=trip, **row)
            for row in ask(store, "debrief/first_aid_used", trip=trip)
        ),
        *(
            Chore("check", g["item"], g["name"], g["system"], day=g["checked_on"])
            for g in owned
            if (g["insurance"] or g["system"] in _CHECKED_SYSTEMS)
            and (g["checked_on"] is None or g["checked_on"] < a_year_before(today))
        ),
        *(Chore("charge", g["item"], g["name"], g["system"]) for g in owned if g["capacity_wh"]),
        *(
            Chore("restock", g["item"], g["name"], g["system"], trip=trip)
            for g in owned
            if _used_up(g, brought_home)
        ),
    )


def _used_up(item: Record, brought_home: Sequence[Record]) -> bool:
    """Whether it is noted of every consumable row of the item that nothing was left."""
    left = next((b["brought_home_g"] for b in brought_home if b["item"] == item["item"]), None)
    return left == 0 and item["weighed_home_rows"] == item["consumable_rows"]
