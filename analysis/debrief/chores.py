"""What to mend, check, charge and restock after a trip."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal

import duckdb

from ..store.rows import ask
from ..wear.checks import a_year_before

CHECKED_SYSTEMS = ("first_aid", "safety")


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
    capacity_wh: float | None = None


def chores(
    connection: duckdb.DuckDBPyConnection,
    trip: str,
    gear: Sequence[Mapping[str, Any]],
    brought_home: Sequence[Mapping[str, Any]],
    today: date,
) -> tuple[Chore, ...]:
    """The list for one trip, as of ``today``, by kind in the order of `Chore`.

    ``gear`` and ``brought_home`` are the answers to the questions of those names. Gear given up by
    ``today`` is left out.
    """
    kept = [g for g in gear if g["retired_on"] is None or g["retired_on"] > today]
    return (
        *(
            Chore("mend", **row)
            for row in ask(connection, "debrief/open_failures", trip=trip, today=today)
        ),
        *(
            Chore("replenish", trip=trip, **row)
            for row in ask(connection, "debrief/first_aid_used", trip=trip)
        ),
        *(
            Chore("check", g["item"], g["name"], g["system"], day=g["checked_on"])
            for g in kept
            if (g["insurance"] or g["system"] in CHECKED_SYSTEMS)
            and (g["checked_on"] is None or g["checked_on"] < a_year_before(today))
        ),
        *(
            Chore("charge", g["item"], g["name"], g["system"], capacity_wh=g["capacity_wh"])
            for g in kept
            if g["capacity_wh"]
        ),
        *(
            Chore("restock", g["item"], g["name"], g["system"], trip=trip)
            for g in kept
            if _used_up(g, brought_home)
        ),
    )


def _used_up(item: Mapping[str, Any], brought_home: Sequence[Mapping[str, Any]]) -> bool:
    """Whether it is noted of every consumable row of the item that nothing was left."""
    left = next((b["brought_home_g"] for b in brought_home if b["item"] == item["item"]), None)
    return left == 0 and item["weighed_home_rows"] == item["consumable_rows"]
