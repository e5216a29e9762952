"""Climbing out of recorded heights, which waver by some metres where one walks on the level."""

from collections.abc import Sequence

STEPS_M = (3.0, 5.0, 10.0)
"""Only a climb of at least so much counts: the first gives the highest figure, the last the lowest.

Common practice, no published source: no step is the right one, and between 3 and 10 m the sum of
one walk differs by a sixth and more.
"""


def climbed_m(profile_m: Sequence[float], step_m: float) -> float:
    """Sum of the climbs of a profile, each from a low to the next high, of at least ``step_m``.

    What goes down by less than the step on the way up does not end a climb.
    """
    if not profile_m:
        return 0.0
    low = high = profile_m[0]
    climbing = False
    total = 0.0
    for height in profile_m:
        if climbing:
            high = max(high, height)
            if high - height >= step_m:
                total += high - low
                climbing, low = False, height
        else:
            low = min(low, height)
            if height - low >= step_m:
                climbing, high = True, height
    return total + (high - low if climbing else 0.0)
