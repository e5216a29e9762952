"""What is to be mended, tried, refilled, checked, charged and restocked: one answer for every list.

A thing is in one state: to mend, else mended and to try, else to refill, else to check. To charge
and to restock are beside that. Every list takes what is in its scope from here: all that is owned,
or what came along on a trip, or what is to come along.
"""

from collections.abc import Collection, Iterable, Iterator
from datetime import date

from ..store.rows import Record, Store, ask
from ..store.trip_choice import TripChoice
from .chores import Chore, is_check_due

_SHOWN = ("item", "name", "system", "trip", "day", "severity", "what", "fixed_with")


def upkeep(
    store: Store,
    today: date,
    *,
    along: Collection[str] | None = None,
    before: TripChoice | None = None,
) -> tuple[Chore, ...]:
    """The chores as of a day, by kind in the order of `Chore`; what is given up has none.

    ``along``: the items of the scope, what is borrowed among them; without it all that is owned,
    and what is borrowed only if it failed. ``before``: a trip that is asked as before it begins: by
    trips over by then, on the day it began if that lies behind; checks that fall due by its start
    are told, too.
    """
    day = today if before is None else min(today, before.start_on)
    until, apart = (None, None) if before is None else (before.start_on, before.trip)
    which = {"day": day, "until": until, "apart": apart}

    def scope(rows: Iterable[Record]) -> list[Record]:
        return [row for row in rows if along is None or row["item"] in along]

    failed = list(_failed(scope(ask(store, "wear/failed", **which))))
    opened = [Chore("replenish", **row) for row in scope(ask(store, "wear/aid_opened", **which))]
    seen_to = {chore.item for chore in (*failed, *opened)}
    things = [
        row
        for row in scope(ask(store, "wear/looked_over", day=day))
        if along is not None or row["owner"] is None
    ]
    used_up = scope(ask(store, "wear/used_up", **which))
    return (
        *failed,
        *opened,
        *_checks([row for row in things if row["item"] not in seen_to], day, until or day),
        *(
            Chore("charge", row["item"], row["name"], row["system"])
            for row in things
            if row["capacity_wh"]
        ),
        *(Chore("restock", **row) for row in used_up),
    )


def _failed(rows: Iterable[Record]) -> Iterator[Chore]:
    """What is not mended, then what is mended and to be tried: each of the latter once.

    To be tried is what failed the last time that it came along, nuisances apart, or more than once,
    until it is looked over after that.
    """
    rows = list(rows)
    broken = {row["item"] for row in rows if not row["fixed"]}
    for row in rows:
        if not row["fixed"]:
            yield Chore("mend", **{name: row[name] for name in _SHOWN}, times=row["times"])
    tried: set[str] = set()
    for row in rows:
        of_late = row["last_time"] and row["severity"] != "nuisance"
        if row["item"] in broken | tried or row["checked_since"]:
            continue
        if of_late or row["times"] > 1:
            tried.add(row["item"])
            shown = {name: row[name] for name in _SHOWN} | {"day": row["last_on"]}
            yield Chore("try_out", **shown, times=row["times"])


def _checks(things: Iterable[Record], day: date, start: date) -> Iterator[Chore]:
    """What is due by a day, then what falls due between that and the start of a trip."""
    later = []
    for row in things:
        # A check of a later day is not known on this one.
        checked = row["checked_on"]
        known = checked if checked is not None and checked <= day else None
        about = (row["item"], row["name"], row["system"])
        if is_check_due(row["system"], row["insurance"], known, day):
            yield Chore("check", *about, day=known)
        elif is_check_due(row["system"], row["insurance"], known, start):
            later.append(Chore("due_then", *about, day=known))
    yield from later
