"""What to mend, check, charge and restock after a trip."""

from collections.abc import Sequence
from datetime import date

from ..store.rows import Record, Store, ask
from ..wear.chores import Chore, is_check_due


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
            if is_check_due(g["system"], g["insurance"], g["checked_on"], today)
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
