"""What going without a thing costs, and how seldom it must be needed to be left."""

from collections.abc import Mapping

from .items import Item

SYSTEM_COST: Mapping[str, float] = {
    **dict.fromkeys(("first_aid", "safety", "navigation", "fire"), 10.0),
    **dict.fromkeys(
        ("shelter", "sleep", "water", "rain", "clothing", "light", "power", "repair", "hygiene"),
        3.0,
    ),
}
"""How bad it is to miss a thing of the system: 1 an annoyance, 3 a spoilt night, 10 danger."""
REST_COST = 1.0


def cost_of(item: Item, regret: Mapping[str, float]) -> float:
    """What missing an item once costs, 0 to 10. ``regret``: the owner's figures by system."""
    if item.going_without is not None:
        return item.going_without
    return regret.get(item.system, SYSTEM_COST.get(item.system, REST_COST))


def limit_of(cost: float) -> float:
    """The rate under which an item of that cost may be left; 1 where it costs nothing."""
    return min(1.0, 1 / (3 * cost)) if cost > 0 else 1.0
