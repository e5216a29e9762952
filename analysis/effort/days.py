"""What one kilogram took on one day of travel, as a range over formulas and what is not known.

Descent is not noted: a day is taken to climb on half its way and to go down on the other half, so
that it ends as high as it began.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from ..stats.estimate import Estimate
from .formulas import (
    CYCLING_SPEED_MS,
    ROLLING,
    ROLLING_HIGH,
    ROLLING_LOW,
    Power,
    kilogram_by_lcda,
    kilogram_by_pandolf,
    kilogram_cycling,
    lcda_backpacking,
    pandolf,
)

TERRAIN_LOW, TERRAIN, TERRAIN_HIGH = 1.0, 1.1, 1.2
"""Road, dirt road, light brush (Soule & Goldman 1972, from memory)."""
GIVEN_BACK = 0.5
"""Share of what a descent gives by bike that the low end takes to be of use."""
_KJ_PER_WATT_HOUR = 3.6
_Formula = Callable[[float, float, float, float, float], Power]
_LEVEL_TAKEN = "climbing is not noted: taken as level, so this is the least"


@dataclass(frozen=True, slots=True)
class Move:
    """One day's travel by one mode: km, m of climbing, hours, Wh from a battery; None not noted."""

    trip: str
    day: date
    mode: str | None
    distance_km: float | None
    ascent_m: float | None
    hours: float | None
    battery_wh: float | None


@dataclass(frozen=True, slots=True)
class DayCost:
    """What a kilogram took on a day, in kJ, or the reason why it is not known.

    On foot metabolic, by bike at the pedals. ``per_kg_kj``: of one kilogram more or less;
    ``load_kj``: of all of the load, which on foot is less than so many times that, since the last
    kilogram costs most; missing where the load is not weighed. A reason beside a cost says what
    narrows it.
    """

    move: Move
    per_kg_kj: Estimate | None
    reasons: tuple[str, ...] = ()
    load_kj: Estimate | None = None


def day_cost(move: Move, body_kg: float | None, load_kg: float | None) -> DayCost:
    """The cost of a kilogram on that day with that load, for a person of that mass."""
    if move.mode == "foot":
        return _walked(move, body_kg, load_kg)
    if move.mode in ("bike", "ebike"):
        return _cycled(move, load_kg)
    known = {
        None: "how you travelled is not noted",
        "paddle": "there is no formula for paddling",
        "mixed": "what part was on foot and what by bike is not noted",
    }
    return DayCost(move, None, (known.get(move.mode, f"no formula for {move.mode}"),))


def grade_percent(move: Move) -> float:
    """The grade of the climbing half, in per cent; 0 where climbing is not noted."""
    if not move.ascent_m or not move.distance_km:
        return 0.0
    return 100 * move.ascent_m / (move.distance_km * 1000 / 2)


def _walked(move: Move, body_kg: float | None, load_kg: float | None) -> DayCost:
    lacking = [
        reason
        for value, reason in (
            (body_kg, "body_kg is not in tarebook.toml"),
            (move.distance_km, "distance is not noted"),
            (move.hours, "hours are not noted"),
            (load_kg, "the load is not weighed"),
        )
        if not value
    ]
    if lacking or not body_kg or not move.distance_km or not move.hours or not load_kg:
        return DayCost(move, None, tuple(lacking))
    speed, grade = move.distance_km / move.hours / _KJ_PER_WATT_HOUR, grade_percent(move)
    walk = (body_kg, load_kg, speed)
    # Pandolf's was not made for walking downhill: the way down counts as level.
    by_pandolf = _watts(pandolf, kilogram_by_pandolf, walk, (grade, 0.0))
    by_lcda = _watts(lcda_backpacking, kilogram_by_lcda, walk, (grade, -grade))
    ways = [way for way in (by_lcda, by_pandolf) if not isinstance(way, str)]
    reasons = [way for way in (by_pandolf, by_lcda) if isinstance(way, str)]
    if not ways:
        return DayCost(move, None, tuple(reasons))
    if move.ascent_m is None:
        reasons.append(_LEVEL_TAKEN)
    kj = move.hours * _KJ_PER_WATT_HOUR
    kilogram, load = (
        Estimate(
            ways[0][part][1], min(w[part][0] for w in ways), max(w[part][2] for w in ways)
        ).times(kj)
        for part in (0, 1)
    )
    return DayCost(move, kilogram, tuple(reasons), load)


def _watts(
    whole: _Formula,
    kilogram: _Formula,
    walk: tuple[float, float, float],
    slopes: tuple[float, float],
) -> tuple[list[float], list[float]] | str:
    """Watts by one formula on the easiest, middle and hardest ground, or why there are none.

    First of one kilogram more or less, then of all of the load, half of the way up and half down.
    ``walk``: kg of body and load, and m/s; ``slopes``: the grades of both halves, in per cent.
    """
    body_kg, load_kg, speed_ms = walk
    for slope in slopes:
        power = kilogram(body_kg, load_kg, speed_ms, slope, TERRAIN)
        if power.watts is None:
            return power.reason

    def halves(formula: _Formula, load_kg: float, terrain: float) -> float:
        both = [formula(body_kg, load_kg, speed_ms, slope, terrain) for slope in slopes]
        return sum(power.watts or 0.0 for power in both) / 2

    ground = (TERRAIN_LOW, TERRAIN, TERRAIN_HIGH)
    return (
        [halves(kilogram, load_kg, t) for t in ground],
        [halves(whole, load_kg, t) - halves(whole, 0.0, t) for t in ground],
    )


def _cycled(move: Move, load_kg: float | None) -> DayCost:
    if not move.distance_km:
        return DayCost(move, None, ("distance is not noted",))
    if move.hours and move.distance_km / move.hours / _KJ_PER_WATT_HOUR > CYCLING_SPEED_MS:
        speed = move.distance_km / move.hours / _KJ_PER_WATT_HOUR
        return DayCost(move, None, (kilogram_cycling(speed, 0).reason,))
    grade = grade_percent(move)
    parts = [
        _up_and_down(move.distance_km, grade, rolling, back)
        for rolling, back in ((ROLLING, 0.0), (ROLLING_LOW, GIVEN_BACK), (ROLLING_HIGH, 0.0))
    ]
    value, low, high = parts
    if value is None or low is None or high is None:
        return DayCost(move, None, (kilogram_cycling(1.0, grade).reason,))
    reasons = (_LEVEL_TAKEN,) if move.ascent_m is None else ()
    each = Estimate(value, low, high)
    return DayCost(move, each, reasons, each.times(load_kg) if load_kg else None)


def _up_and_down(
    distance_km: float, grade: float, rolling: float, given_back: float
) -> float | None:
    """kJ a kilogram: one half up, one half down, of whose surplus so much is of use."""
    # Watts at 1 m/s are joules a metre: mass terms do not depend on speed.
    up, down = kilogram_cycling(1.0, grade, rolling), kilogram_cycling(1.0, -grade, rolling)
    if up.watts is None or down.watts is None:
        return None
    way_down = down.watts if down.watts > 0 else given_back * down.watts
    return max(0.0, distance_km / 2 * (up.watts + way_down))


def summed(costs: Sequence[Estimate]) -> Estimate | None:
    """The sum; None of nothing. Its ends are those of all formulas and grounds at once."""
    if not costs:
        return None
    return Estimate(
        sum(c.value for c in costs), sum(c.low for c in costs), sum(c.high for c in costs)
    )
