"""What came along, and what of it is carried for comfort alone.

Whatever keeps one dry, warm, found or alive is never among it: nothing that is insurance,
essential, borrowed, clothing, food, part of a bike or boat, or meant for rain, cold or the like;
nothing whose absence would spoil a night.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from ...tripdata.contract import ESSENTIAL_SYSTEMS
from ..store.rows import Store, ask
from ..store.settings import settings_of
from ..usage.costs import REST_COST, SYSTEM_COST

COMFORT_SYSTEMS = ("leisure",)
OPTIONAL_SYSTEMS = ("other", "light", "cook", "power", "hygiene", *ESSENTIAL_SYSTEMS)
"""Systems of which things count as comforts where their owner has left them at home by choice; in
shelter, sleep, water and rain only what is declared not essential."""
BEARABLE = 2.0
"""The most that missing a comfort may cost: 1 is an annoyance, 3 a spoilt night."""


@dataclass(frozen=True, slots=True)
class Thing:
    """One item that came along at least once.

    ``load_g`` is what its pieces weighed on the last trip it came along on, missing where not
    weighed. ``cost`` of missing it, 0 to 10. ``stays_along`` of ``stays_owned`` overnight trips of
    its ways of travelling, while it was owned, had it along; ``only_one``: on some trip it was the
    only one of its system; ``lately_along`` of the last ``lately_stays`` overnight trips had it.
    ``never_used``: on some trip its use is known, and on none was it used.
    """

    item: str
    name: str
    system: str
    carried_as: str
    load_g: float | None
    insurance: bool
    essential: bool
    borrowed: bool
    retired_on: date | None
    meant_for: tuple[str, ...]
    cost: float
    needs: tuple[str, ...]
    stays_owned: int
    stays_along: int
    only_one: bool
    lately_stays: int
    lately_along: int
    never_used: bool = False

    @property
    def usual(self) -> bool:
        """Whether it came along on most of the last overnight trips."""
        return 2 * self.lately_along > self.lately_stays


def things_along(store: Store) -> list[Thing]:
    """Everything that came along on a trip that is no plan, by item."""
    regret = settings_of(store).regret
    return [_thing(row, regret) for row in ask(store, "comfort/comfort_items")]


def carried_for_comfort(thing: Thing) -> bool:
    """Whether a thing is carried for comfort alone, by what it is and what its owner does."""
    if thing.insurance or thing.essential or thing.borrowed or thing.cost > BEARABLE:
        return False
    if thing.carried_as not in ("base", "worn") or set(thing.meant_for) - {"any"}:
        return False
    if thing.system in COMFORT_SYSTEMS:
        return True
    if thing.system in ESSENTIAL_SYSTEMS and thing.only_one:
        return False
    return thing.system in OPTIONAL_SYSTEMS and thing.stays_along < thing.stays_owned


def _thing(row: Mapping[str, Any], regret: Mapping[str, float]) -> Thing:
    known = dict(row)
    own_cost = known.pop("going_without")
    system = str(known["system"])
    cost = regret.get(system, SYSTEM_COST.get(system, REST_COST)) if own_cost is None else own_cost
    lists = {key: tuple(known[key] or ()) for key in ("meant_for", "needs")}
    return Thing(**{**known, **lists, "cost": float(cost)})
