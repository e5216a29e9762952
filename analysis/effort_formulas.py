"""What moving a mass takes: walking in metabolic watts, cycling in watts at the pedals.

Outside the range a formula was made for there is no number but a reason.
"""

import math
from dataclasses import dataclass

GRAVITY = 9.81
DRIVETRAIN = 0.976
"""Share of the work at the pedals that reaches the wheel (Martin et al. 1998)."""
ROLLING_LOW, ROLLING, ROLLING_HIGH = 0.0032, 0.0065, 0.012
"""Rolling resistance: good tyres on asphalt (Martin et al. 1998), a loaded bike on mixed roads,
loose gravel (the latter two common practice, no published source)."""
PANDOLF_SPEED_MS = 2.2
PANDOLF_LOAD_KG = 70.0
LCDA_SPEED_MS = 1.97
LCDA_GRADE = (-40.0, 45.0)
PANDOLF_GRADE = (0.0, 25.0)
CYCLING_SPEED_MS = 25.0
CYCLING_GRADE = (-25.0, 25.0)


@dataclass(frozen=True, slots=True)
class Power:
    """Watts by a formula, or why there are none."""

    watts: float | None
    reason: str = ""


def pandolf(
    body_kg: float, load_kg: float, speed_ms: float, grade_percent: float, terrain: float = 1.0
) -> Power:
    """Metabolic watts of standing or walking with a load, level or uphill.

    Pandolf, Givoni & Goldman 1977, J Appl Physiol 43(4): 577 (from memory):
    1.5 W + 2 (W + L)(L / W)^2 + eta (W + L)(1.5 V^2 + .35 V G). W body and L load in kg, V in m/s,
    G in per cent, eta the terrain: 1.0 treadmill or road, 1.1 dirt road, 1.2 light brush (Soule &
    Goldman 1972, J Appl Physiol 32: 706, from memory). Range: 0 to 2.2 m/s, loads to 70 kg and to
    body mass, 0 to 25 % (from memory); it was not made for walking downhill.
    """
    fault = (
        _outside("body mass", body_kg, 30, 200, "kg")
        or _outside("load", load_kg, 0, min(PANDOLF_LOAD_KG, body_kg), "kg")
        or _outside("speed", speed_ms, 0, PANDOLF_SPEED_MS, "m/s")
        or _outside("grade", grade_percent, *PANDOLF_GRADE, "%")
    )
    if fault:
        return Power(None, f"Pandolf: {fault}")
    both = body_kg + load_kg
    standing = 1.5 * body_kg + 2 * both * (load_kg / body_kg) ** 2
    moving = 1.5 * speed_ms**2 + 0.35 * speed_ms * grade_percent
    return Power(standing + terrain * both * moving)


def lcda_graded(speed_ms: float, grade_percent: float) -> Power:
    """Metabolic watts per kilogram of walking level, up and down.

    Load Carriage Decision Aid, graded: Looney et al. 2019, Med Sci Sports Exerc 51(9): 1954 (from
    memory): 1.44 + 1.94 S^.43 + .24 S^4 + .34 S G (1 - 1.05^(1 - 1.1^(G + 32))). S in m/s, to 1.97;
    G in per cent, -40 to 45.
    """
    fault = _outside("speed", speed_ms, 0, LCDA_SPEED_MS, "m/s") or _outside(
        "grade", grade_percent, *LCDA_GRADE, "%"
    )
    if fault:
        return Power(None, f"LCDA: {fault}")
    return Power(1.44 + _lcda_moving(speed_ms, grade_percent))


def _lcda_moving(speed_ms: float, grade_percent: float) -> float:
    slope = 1 - math.pow(1.05, 1 - math.pow(1.1, grade_percent + 32))
    level = 1.94 * math.pow(speed_ms, 0.43) + 0.24 * speed_ms**4
    return level + 0.34 * speed_ms * grade_percent * slope


def kilogram_by_pandolf(
    body_kg: float, load_kg: float, speed_ms: float, grade_percent: float, terrain: float = 1.0
) -> Power:
    """Metabolic watts that the last kilogram of a load takes, by `pandolf`."""
    last = min(1.0, load_kg)
    full = pandolf(body_kg, load_kg, speed_ms, grade_percent, terrain)
    if full.watts is None or last <= 0:
        return full if full.watts is None else Power(None, "Pandolf: nothing is carried")
    less = pandolf(body_kg, load_kg - last, speed_ms, grade_percent, terrain)
    assert less.watts is not None
    return Power((full.watts - less.watts) / last)


def kilogram_by_lcda(speed_ms: float, grade_percent: float) -> Power:
    """Metabolic watts that a kilogram takes, by `lcda_graded` without the part for standing.

    A kilogram in the pack is taken to cost what a kilogram of body does (common practice for loads
    near the trunk; on the feet it costs several times that).
    """
    found = lcda_graded(speed_ms, grade_percent)
    return found if found.watts is None else Power(_lcda_moving(speed_ms, grade_percent))


def kilogram_cycling(speed_ms: float, grade_percent: float, rolling: float = ROLLING) -> Power:
    """Watts at the pedals that a kilogram takes: rolling and climbing over drivetrain efficiency.

    The mass terms of Martin et al. 1998, J Appl Biomech 14: 276 (from memory); air and bearings do
    not depend on mass. Negative where the slope gives more than rolling takes. Range: to 25 m/s,
    -25 to 25 %.
    """
    fault = _outside("speed", speed_ms, 0, CYCLING_SPEED_MS, "m/s") or _outside(
        "grade", grade_percent, *CYCLING_GRADE, "%"
    )
    if fault:
        return Power(None, f"Cycling: {fault}")
    angle = math.atan(grade_percent / 100)
    force = GRAVITY * (rolling * math.cos(angle) + math.sin(angle))
    return Power(force * speed_ms / DRIVETRAIN)


def _outside(what: str, value: float, low: float, high: float, unit: str) -> str:
    if low <= value <= high:
        return ""
    return f"{what} {value:.3g} {unit} is outside {low:g} to {high:g} {unit}"
