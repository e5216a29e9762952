"""Numbers rounded for display so that they still add up."""

import math
from collections.abc import Sequence
from fractions import Fraction


def apportioned(values: Sequence[float], decimals: int = 0) -> list[float]:
    """Return the values rounded so that they sum to their rounded sum.

    No value moves by a whole unit of the last decimal.
    """
    unit = 10**decimals
    scaled = [round(value * unit, 6) for value in values]
    return [n / unit for n in shared_out(scaled, round(round(math.fsum(scaled), 6)))]


def shared_out(parts: Sequence[float] | Sequence[Fraction], total: int) -> list[int]:
    """Whole numbers near the parts that sum to a total less than one away from the parts' sum.

    Each part is rounded down or up; those with the largest remainders go up (largest remainder
    method, common practice), the earlier first where remainders are alike.
    """
    down = [math.floor(part) for part in parts]
    order = sorted(range(len(parts)), key=lambda i: (down[i] - parts[i], i))
    for place in order[: total - sum(down)]:
        down[place] += 1
    return down


def rounded(value: Fraction) -> int:
    """The nearest whole number, halves up, so that equal remainders round alike."""
    return math.floor(value + Fraction(1, 2))
