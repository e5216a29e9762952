"""Numbers rounded for display so that they still add up."""

import math
from collections.abc import Sequence


def apportioned(values: Sequence[float], decimals: int = 0) -> list[float]:
    """Return the values rounded so that they sum to their rounded sum.

    Each is rounded down or up; those with the largest remainders go up (largest remainder method,
    common practice). No value moves by a whole unit of the last decimal.
    """
    unit = 10**decimals
    scaled = [round(value * unit, 6) for value in values]
    down = [math.floor(value) for value in scaled]
    missing = round(math.fsum(scaled)) - sum(down)
    by_remainder = sorted(range(len(scaled)), key=lambda i: (down[i] - scaled[i], i))
    for place in by_remainder[:missing]:
        down[place] += 1
    return [value / unit for value in down]
