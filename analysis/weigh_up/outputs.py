"""The table of the weigh-up."""

from datetime import date
from typing import TYPE_CHECKING

from ..catalogue.entry import Entry, Remarked
from ..display.words import Display

if TYPE_CHECKING:
    from ..store.rows import Store

_GRAMS = ("base", "worn", "consumable", "vehicle", "carried", "base_without")


def weigh_up_rows(
    store: "Store",
    today: date,
    trip: str = "",
    without: str = "",
    with_: str = "",
    as_carried: str = "",
) -> Remarked:
    """A row a group and name, sorted by both, and what to know of the list and the wishes."""
    from .weighing import weigh_up
    from .words import borrowed, not_weighed, nothing

    weighed = weigh_up(
        store, trip, without=without, added=with_, as_carried=as_carried, today=today
    )
    rows = [
        {
            "group": each.group,
            "name": each.name,
            "items": each.items,
            **{f"{kind}_g": getattr(each, f"{kind}_mg") / 1000 for kind in _GRAMS},
            "share": each.share,
            "class_without": each.class_without,
            "unweighed": each.unweighed,
        }
        for each in sorted(weighed.groups, key=lambda each: (each.group, each.name))
    ]
    lacking = not_weighed(weighed) if rows else (nothing(weighed),)
    return Remarked(rows, (*weighed.remarks, *lacking, *borrowed(weighed, Display())))


ENTRIES = (
    Entry(
        "weigh_up",
        room="weigh_up",
        grain="group and name: of each system, kit, bag, way of carrying and item on a list",
        sorted_by=2,
        rows=weigh_up_rows,
        options=("trip", "without", "with_", "as_carried", "today"),
    ),
)
