"""The cautions that stand beside a candidate: what would be lost with it, and the usual ones."""

from collections.abc import Iterable

from ...tripdata.contract import INSURANCE_SYSTEMS
from ..display.cautions import (
    FAILED_CARE,
    FIRE_CARE,
    HEAVIER_CARE,
    NEW_BATTERY_CARE,
    NEW_BEDDING_CARE,
    RIDE_CARE,
    SAFETY_GEAR_CARE,
)
from ..display.words import Display, listing, number, quoted, temperature
from . import verdict as rules
from .losses import GRAVE, LESS_GRAVE
from .results import Case


def caution(case: Case, display: Display) -> str | None:
    """Everything to be careful about; None where there is nothing."""
    return (
        " ".join([*lost(case, display), *warmth_unknown(case), *_alone(case), *_usual(case)])
        or None
    )


def own_caution(case: Case, display: Display) -> str | None:
    """What to be careful about with this one alone; None where there is nothing."""
    return " ".join([*lost(case, display), *warmth_unknown(case), *_alone(case)]) or None


def usual_cautions(cases: Iterable[Case]) -> list[str]:
    """The usual cautions of all cases, each once."""
    return list(dict.fromkeys(care for case in cases for care in _usual(case)))


def lost(case: Case, display: Display) -> list[str]:
    """What would be lost, or be less than before, the worst first."""
    gone, name = case.losses, f"\u201c{case.candidate.name}\u201d"
    cautions = [
        f"With it you would own nothing for {GRAVE[system]}, since it takes the place of "
        f"{quoted([r.name for r in case.replaced if r.system == system])}."
        for system in gone.emptied
    ]
    if gone.insured:
        verb = "is" if len(gone.insured) == 1 else "are"
        cautions.append(
            f"{quoted(gone.insured)} {verb} carried for an emergency: make sure that {name} does "
            "the same work before you replace it."
        )
    for thing, system in gone.lost:
        if thing not in gone.insured and system not in gone.emptied:
            purpose = GRAVE.get(system) or LESS_GRAVE[system]
            cautions.append(f"“{thing}” is for {purpose}: check that {name} does that, too.")
    if gone.merged:
        cautions.append(f"It would do alone what {quoted(gone.merged)} do together.")
    if gone.blank:
        cautions.append(f"Its {listing(gone.blank)} is not noted, while what it replaces has one.")
    return [*cautions, *_less(case, display)]


def warmth_unknown(case: Case) -> list[str]:
    """That nothing says whether it is as warm as what it replaces; empty where something does."""
    warm = case.losses.warmth
    if not warm:
        return []
    return [
        f"Whether “{case.candidate.name}” is as warm as {quoted(warm)}, the record cannot say: try "
        "it near home, in the cold, before you rely on it."
    ]


def _alone(case: Case) -> list[str]:
    if not case.losses.alone:
        return []
    purpose = GRAVE[case.candidate.system]
    return [f"It would be all that you own for {purpose}: try it near home before you rely on it."]


def _less(case: Case, display: Display) -> list[str]:
    """Figures that are worse than before."""
    cautions = []
    held, insulates, rated = rules.capacities(case), rules.r_values(case), rules.warmer_rating(case)
    if held is not None and held[1] < held[0]:
        cautions.append(f"It holds {number(held[1])} Wh instead of {number(held[0])} Wh.")
    if insulates is not None and insulates[1] < insulates[0]:
        cautions.append(
            f"Its R-value is {number(insulates[1], 1)} instead of {number(insulates[0], 1)}: the "
            "ground takes more warmth."
        )
    if rated is not None:
        cautions.append(
            f"It is rated to {temperature(rated[1], display)}, what it replaces to "
            f"{temperature(rated[0], display)}: it is made for warmer nights."
        )
    return cautions


def _usual(case: Case) -> list[str]:
    own = case.candidate
    systems = {own.system, *(r.system for r in case.replaced)}
    batteries = own.capacity_wh is not None or any(r.capacity_wh for r in case.replaced)
    cares = (
        (own.system in INSURANCE_SYSTEMS or case.losses.grave, SAFETY_GEAR_CARE),
        (rules.failed_unsafely(case), FAILED_CARE),
        (systems & {"cook", "fire"}, FIRE_CARE),
        (systems & {"bike", "boat"}, RIDE_CARE),
        ("sleep" in systems, NEW_BEDDING_CARE),
        (case.saved_g is not None and case.saved_g < 0, HEAVIER_CARE),
        (batteries or systems & {"power", "light"}, NEW_BATTERY_CARE),
    )
    return [care for applies, care in cares if applies]
