"""What to mend, try, check, charge and buy before leaving, of what comes along."""

from datetime import date

from ..store.rows import Store, ask
from ..wear.chores import Chore, is_check_due
from .packing import PackedThing, Packing
from .results import TripAhead

_SHOWN = ("item", "name", "system", "trip", "day", "severity", "what", "fixed_with")


def ready_for(store: Store, ahead: TripAhead, packing: Packing, today: date) -> tuple[Chore, ...]:
    """The chores for what is on the list, by kind in the order of `Chore`.

    What broke and is not mended, whenever that was; what broke the last time that it came along and
    is mended since, nuisances apart; first aid that was opened and not looked over since; what was
    not looked over in the year before the trip; batteries; consumables that were used up last time.
    What others carry is theirs to see to. A trip that lies behind is asked as on the day it began.
    """
    mine = [each for each in packing.things if each.is_own_load and each.given_up is None]
    items = sorted({each.thing.item for each in mine})
    trip, start = ahead.trip.trip, ahead.trip.start_on
    day = min(today, start)
    failed = ask(store, "ahead/failed_before", trip=trip, items=items, day=day)
    broken = {row["item"] for row in failed if not row["fixed"]}
    by_item = {each.thing.item: each for each in mine}
    return (
        *(
            Chore("mend", **{name: row[name] for name in _SHOWN})
            for row in failed
            if not row["fixed"]
        ),
        *(
            Chore("try_out", **{name: row[name] for name in _SHOWN})
            for row in failed
            if row["fixed"] and row["last_time"] and row["severity"] != "nuisance"
            if row["item"] not in broken
        ),
        *(
            Chore("replenish", **row)
            for row in ask(store, "ahead/aid_opened", trip=trip, items=items)
        ),
        *(
            Chore("check", item, each.thing.name, each.thing.system, day=_checked_on(each, start))
            for item, each in by_item.items()
            if is_check_due(each.thing.system, each.insurance, _checked_on(each, start), start)
        ),
        *(
            Chore("charge", item, each.thing.name, each.thing.system)
            for item, each in by_item.items()
            if each.capacity_wh
        ),
        *(Chore("restock", **row) for row in ask(store, "ahead/used_up", trip=trip, items=items)),
    )


def _checked_on(each: PackedThing, start: date) -> date | None:
    """Its last check; one made after the trip began is not known of it."""
    return each.checked_on if each.checked_on is not None and each.checked_on <= start else None
