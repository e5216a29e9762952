"""What may be told of a series: lighter or heavier a year, one step, no trend, or nothing."""

from typing import Literal

from .like_for_like import LikeForLike
from .trip_design import NoFit, Reason

Headline = Literal["lighter", "heavier", "step", "no_trend", "cannot_tell"]
WhyNot = Reason | Literal["no_lows", "wide"]

_WIDE = 0.25
"""Change a year, as a share of the load: where it fits the trips both ways, nothing is told."""


def headline_of(fit: LikeForLike | NoFit, load_g: float) -> Headline:
    """The headline; load_g is the median base weight of the trips."""
    if isinstance(fit, NoFit):
        return "cannot_tell"
    if fit.step is not None:
        return "step"
    if fit.slope.sign_known:
        return "lighter" if fit.slope.high < 0 else "heavier"
    wide = min(fit.slope.high, -fit.slope.low) > _WIDE * load_g
    return "cannot_tell" if wide else "no_trend"


def reason_of(fit: LikeForLike | NoFit, load_g: float) -> WhyNot | None:
    """Why nothing can be told: that of the missing fit, no_lows, or an interval that is too wide.

    None where something can be told.
    """
    if headline_of(fit, load_g) != "cannot_tell":
        return None
    if not isinstance(fit, NoFit):
        return "wide"
    return "no_lows" if fit.reason == "too_few" and fit.of and not fit.trips else fit.reason
