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
BODY_KG = (30.0, 200.0)
PANDOLF_SPEED_MS = 2.2
PANDOLF_LOAD_KG = 70.0
WALKING_SPEED_MS = 1.96
WALKING_GRADE = (-40.0, 45.0)
BACKPACKING_SPEED_MS = (0.45, 1.97)
BACKPACKING_LOAD = 0.66
"""Share of body mass up to which loads were tried."""
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
        _outside("body mass", body_kg, *BODY_KG, "kg")
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


def lcda_walking(speed_ms: float, grade_percent: float) -> Power:
    """Metabolic watts per kilogram of walking without a load, level, up and down.

    Load Carriage Decision Aid, graded walking: Looney et al. 2019, Med Sci Sports Exerc 51(9): 1954
    (from memory): 1.44 + 1.94 S^.43 + .24 S^4 + .34 S G (1 - 1.05^(1 - 1.1^(G + 32))). S in m/s, to
    1.96; G in per cent, -40 to 45.
    """
    fault = _outside("speed", speed_ms, 0, WALKING_SPEED_MS, "m/s") or _outside(
        "grade", grade_percent, *WALKING_GRADE, "%"
    )
    if fault:
        return Power(None, f"LCDA walking: {fault}")
    level = 1.94 * math.pow(speed_ms, 0.43) + 0.24 * speed_ms**4
    return Power(1.44 + level + _climb(speed_ms, grade_percent))


def lcda_backpacking(
    body_kg: float, load_kg: float, speed_ms: float, grade_percent: float, terrain: float = 1.0
) -> Power:
    """Metabolic watts above rest of walking with a load on one's back.

    Load Carriage Decision Aid, backpacking: Looney et al. 2022, Med Sci Sports Exerc 54(4): 646
    (PMC8919998), per kilogram of body, level:
    (.19 + eta (1.78 S^.58 + .27 S^4)) (1 + 1.96 (L / W)^1.36). W body and L load in kg, S in m/s,
    eta the terrain as for `pandolf`. Range: .45 to 1.97 m/s, loads to 66 % of body mass. It knows
    no slope: up and down hill the term of `lcda_walking` for the grade is added for each kilogram
    of body and load (no published source for a load).
    """
    fault = _backpacking_fault(body_kg, load_kg, speed_ms, grade_percent)
    if fault:
        return Power(None, f"LCDA: {fault}")
    level = _on_the_flat(speed_ms, terrain) * (1 + 1.96 * math.pow(load_kg / body_kg, 1.36))
    return Power(body_kg * level + (body_kg + load_kg) * _climb(speed_ms, grade_percent))


def _backpacking_fault(body_kg: float, load_kg: float, speed_ms: float, grade: float) -> str:
    most = BACKPACKING_LOAD * body_kg
    return (
        _outside("body mass", body_kg, *BODY_KG, "kg")
        or _outside("load", load_kg, 0, round(most, 1), "kg")
        or _outside("speed", speed_ms, *BACKPACKING_SPEED_MS, "m/s")
        or _outside("grade", grade, *WALKING_GRADE, "%")
    )


def _on_the_flat(speed_ms: float, terrain: float) -> float:
    """Watts above rest for each kilogram of body, unladen."""
    return 0.19 + terrain * (1.78 * math.pow(speed_ms, 0.58) + 0.27 * speed_ms**4)


def _climb(speed_ms: float, grade_percent: float) -> float:
    """Watts that the slope adds for each kilogram; below 0 downhill."""
    slope = 1 - math.pow(1.05, 1 - math.pow(1.1, grade_percent + 32))
    return 0.34 * speed_ms * grade_percent * slope


def kilogram_by_pandolf(
    body_kg: float, load_kg: float, speed_ms: float, grade_percent: float, terrain: float = 1.0
) -> Power:
    """Metabolic watts that one kilogram more or less of the load makes: the slope of `pandolf`."""
    whole = pandolf(body_kg, load_kg, speed_ms, grade_percent, terrain)
    if whole.watts is None or load_kg <= 0:
        return whole if whole.watts is None else Power(None, "Pandolf: nothing is carried")
    share = load_kg / body_kg
    standing = 2 * share**2 + 4 * (1 + share) * share
    return Power(standing + terrain * (1.5 * speed_ms**2 + 0.35 * speed_ms * grade_percent))


def kilogram_by_lcda(
    body_kg: float, load_kg: float, speed_ms: float, grade_percent: float, terrain: float = 1.0
) -> Power:
    """Metabolic watts that one kilogram more or less makes: the slope of `lcda_backpacking`."""
    whole = lcda_backpacking(body_kg, load_kg, speed_ms, grade_percent, terrain)
    if whole.watts is None or load_kg <= 0:
        return whole if whole.watts is None else Power(None, "LCDA: nothing is carried")
    steeper = 1.96 * 1.36 * math.pow(load_kg / body_kg, 0.36)
    return Power(_on_the_flat(speed_ms, terrain) * steeper + _climb(speed_ms, grade_percent))


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
