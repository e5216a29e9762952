"""Numbers rounded for display so that they still add up.

One rule for every figure: halves go away from zero, and what float sums leave behind their last
digits counts for nothing, so that a quantity is shown alike however it was added up.
"""

import math
from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

_NOISE = 6
"""Decimals beyond those shown at which a float is taken to be exact."""
_WHOLE_FLOATS = 1e15
"""From here on a float has no decimals worth the name."""


def as_shown(value: float, decimals: int = 0) -> Decimal:
    """A finite number as it is shown: so many decimals, halves away from zero."""
    if abs(value) >= _WHOLE_FLOATS:
        return Decimal(round(value))
    exact = Decimal(repr(round(float(value), decimals + _NOISE)))
    return exact.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)


def apportioned(values: Sequence[float], decimals: int = 0) -> list[float]:
    """Return the values rounded so that they sum to their sum as it is shown.

    No value moves by a whole unit of the last decimal.
    """
    unit = 10**decimals
    scaled = [round(value * unit, _NOISE) for value in values]
    total = as_shown(math.fsum(scaled))
    return [n / unit for n in shared_out(scaled, int(total))]


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
