"""Chance that falls the same way on every run, platform and Python version.

Only ``random.Random.random`` is promised to stay the same from one Python to the next, so every
other draw is built from it here. Each question has its own stream, named by what it is about
("2024-05-quarry-lake/weather"), so that a change to one trip leaves the others as they were.
"""

import math
import random
import zlib

SEED = 278
"""Chosen among the first few hundred for a life that shows what was planted: no dead weight used by
chance, each rare need met at least once, cold nights in both sleep sets, something broken each
year. Not chosen by what any estimate makes of it."""


class Dice:
    """One stream of chance, named by what it decides."""

    def __init__(self, *about: str) -> None:
        self._random = random.Random(SEED * 2**32 + zlib.crc32("/".join(about).encode())).random

    def chance(self, p: float) -> bool:
        """True with probability ``p``."""
        return self._random() < p

    def between(self, low: float, high: float) -> float:
        """Uniform between ``low`` and ``high``."""
        return low + (high - low) * self._random()

    def normal(self, mean: float = 0.0, sd: float = 1.0) -> float:
        """Normal with ``mean`` and standard deviation ``sd`` (Box and Muller)."""
        radius = math.sqrt(-2 * math.log(1 - self._random()))
        return mean + sd * radius * math.cos(2 * math.pi * self._random())
