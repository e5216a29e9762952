"""The sums of a weigh-up in g as they are shown, so that rows, columns and totals add up.

Each way of carrying is shared out over the groups that make it up; a group's whole is the sum of
its ways, and what is left without it is the base weight less its own.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from ...display.load_shown import LoadShown, parts_shown
from ...display.words import Display, Scale
from ..results import OF_VEHICLES, WITHOUT_VEHICLES, GroupSum, Total, WeighUp
from ..words import total_scale

WAYS_CARRIED = ("base", "worn", "consumable", "vehicle")


@dataclass(frozen=True, slots=True)
class GroupShown:
    """One group, in g as shown; ``base_without_g`` is the base weight without it."""

    about: GroupSum
    kinds_g: Mapping[str, float]
    base_without_g: float

    @property
    def carried_g(self) -> float:
        """All of it."""
        return sum(self.kinds_g.values())

    @property
    def skin_out_g(self) -> float:
        """All but the vehicle's."""
        return self.carried_g - self.kinds_g["vehicle"]


def whole_load(weighed: WeighUp, display: Display) -> LoadShown:
    """The load by way of carrying as sentences tell it, in kg or lb unless it is very light."""
    return LoadShown.of(_kinds_g(weighed), display)


def total_g(weighed: WeighUp, total: Total, display: Display) -> float:
    """A total in g as it is told: what is without a group, as its line in the table has it."""
    if total.name in (weighed.base.name, weighed.skin_out.name, weighed.carried.name):
        return total.grams
    return totals_shown(weighed, total_scale(display)).get(total.name, total.grams)


def groups_shown(weighed: WeighUp, group: str, scale: Scale) -> tuple[GroupShown, ...]:
    """The groups of one kind, of all rows of the list, as `WeighUp.by` has them."""
    sums = weighed.by(group)
    load = LoadShown.on(scale, _kinds_g(weighed))
    by_kind = {
        kind: parts_shown(scale, [each.kind_mg(kind) / 1000 for each in sums], load.kinds[kind])
        for kind in WAYS_CARRIED
    }
    base = load.grams(load.kinds["base"])
    return tuple(
        GroupShown(
            each,
            kinds := {kind: by_kind[kind][n] or 0.0 for kind in WAYS_CARRIED},
            base - kinds["base"],
        )
        for n, each in enumerate(sums)
    )


def totals_shown(weighed: WeighUp, scale: Scale) -> dict[str, float]:
    """The totals by name, in g as shown, and what a boat's or bike's things are of the base."""
    load = LoadShown.on(scale, _kinds_g(weighed))
    base = load.grams(load.kinds["base"])
    systems = {each.about.name: each for each in groups_shown(weighed, "system", scale)}
    totals = {
        weighed.base.name: base,
        weighed.skin_out.name: load.grams(load.skin_out),
        weighed.carried.name: load.grams(load.carried),
        weighed.without_bags.name: systems["bags"].base_without_g if "bags" in systems else base,
    }
    vehicles_g = sum(systems[name].carried_g for name in OF_VEHICLES if name in systems)
    totals[WITHOUT_VEHICLES] = totals[weighed.carried.name] - vehicles_g
    for system in OF_VEHICLES:
        if without := weighed.without_system(system):
            totals[without.name] = systems[system].base_without_g
            totals[system] = systems[system].kinds_g["base"]
        if counted := weighed.counted(system):
            apart_g = sum(row.row_mg or 0 for row in weighed.crew_safety(system)) / 1000
            own_g = systems[system].kinds_g["vehicle"] - scale.rounded(apart_g)
            totals[counted.name] = base + own_g
    return totals


def _kinds_g(weighed: WeighUp) -> dict[str, float | None]:
    return {
        kind: sum(row.row_mg or 0 for row in weighed.rows if row.carried_as == kind) / 1000
        for kind in WAYS_CARRIED
    }
