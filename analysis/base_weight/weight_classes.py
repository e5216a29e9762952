"""The classes of a base weight, as walkers draw the lines."""

from ...tripdata.units import LB_G

WEIGHT_CLASSES = (
    (5 * LB_G, "super-ultralight"),
    (10 * LB_G, "ultralight"),
    (20 * LB_G, "lightweight"),
)
"""Base weight under so many g: 5, 10 and 20 lb (common practice, no published source)."""


def weight_class(base_g: float) -> str:
    """The class of a base weight."""
    return next((name for below, name in WEIGHT_CLASSES if base_g < below), "traditional")
