"""A value that is not known exactly, with the ends between which it lies."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value and the ends of its interval, all in one unit.

    ``level`` is the chance with which the interval holds the true value, missing where the ends are
    what a few assumptions give. ``n`` counts the observations behind it, missing where none are.
    """

    value: float
    low: float
    high: float
    level: float | None = None
    n: int | None = None

    @property
    def sign_known(self) -> bool:
        """Whether the interval leaves out nought."""
        return self.low > 0 or self.high < 0

    def times(self, factor: float) -> "Estimate":
        """So many times as much; below 0 the ends change places."""
        low, high = sorted((self.low * factor, self.high * factor))
        return Estimate(self.value * factor, low, high, self.level, self.n)
