"""The class of a base weight, as walkers draw the lines: at 5, 10 and 20 lb.

Common practice, no published source.
"""

from ...tripdata.contract import WEIGHT_CLASSES_LB
from ...tripdata.units import LB_G


def weight_class(base_g: float) -> str:
    """The class of a base weight; one on a line belongs to the heavier side."""
    return next((name for lb, name in WEIGHT_CLASSES_LB if base_g < lb * LB_G), "traditional")
