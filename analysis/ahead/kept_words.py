"""How chances of a too cold night held so far, in sentences."""

from ..display.words import count, number
from .scores import ColdScore

LEAST_TRIPS = 5
"""With fewer trips nothing is said of how forecasts held."""
_SURELY_OFF = 1.645
"""So many standard deviations from what chances promise: one in twenty, on either side."""


def cold_kept(score: ColdScore | None) -> str:
    """How chances of a too cold night held; empty where too few trips say."""
    if score is None or score.trips < LEAST_TRIPS:
        return ""
    said = (
        f"Of {_trips(score)} about {number(score.expected)} would have had a too cold night by "
        f"forecasts made beforehand, and {number(score.came)} had one"
    )
    if _off(score) > _SURELY_OFF:
        return f"{said}: nights are too cold oftener than forecast."
    return f"{said}: seldomer than forecast." if _off(score) < -_SURELY_OFF else f"{said}."


def take_as_too_low(score: ColdScore | None) -> str:
    """Beside a chance: that such chances were too low so far; blank where that is not sure.

    That they were too high is not said there: to be wrong about that costs warmth.
    """
    if score is None or score.trips < LEAST_TRIPS or _off(score) <= _SURELY_OFF:
        return ""
    return "Your nights were too cold oftener than forecast so far: take this chance as too low."


def too_low_so_far(score: ColdScore | None) -> str:
    """The same of all chances of a section, with the figures behind it."""
    if score is None or not take_as_too_low(score):
        return ""
    return (
        "Your nights were too cold oftener than forecast so far, so take the chances here as too "
        f"low: of {_trips(score)}, about {number(score.expected)} would have had a too cold night "
        f"by forecasts made beforehand, and {number(score.came)} had one."
    )


def _trips(score: ColdScore) -> str:
    trips = count(score.trips, "trip")
    return f"the latest {trips} that tell" if score.latest_alone else trips


def _off(score: ColdScore) -> float:
    """How many more trips had one than forecast, in standard deviations of that number."""
    return (score.came - score.expected) / score.sd if score.sd else 0.0
