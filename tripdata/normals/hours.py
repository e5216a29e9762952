"""A daily low from hourly normals: the weaker kind.

The lowest of 24 mean temperatures is not the mean of the lows: nights whose low comes at another
hour pull it up, so that it stands too high, in winter by a degree Celsius and more.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from .calendar import Low

NOON = 12
_ENOUGH_HOURS = 18
_TEN_TO_NINETY = 2 * 1.2815515655446004
"""Standard deviations between the 10th and the 90th percentile of a normal distribution."""


@dataclass(frozen=True, slots=True)
class Hour:
    """Normal temperature of one hour and the percentiles around it, None where not known."""

    normal: float | None
    tenth: float | None = None
    ninetieth: float | None = None

    @property
    def spread(self) -> float | None:
        """Standard deviation, from the percentiles."""
        if self.tenth is None or self.ninetieth is None or self.ninetieth <= self.tenth:
            return None
        return (self.ninetieth - self.tenth) / _TEN_TO_NINETY


def nightly_lows(days: Mapping[str, Mapping[int, Hour]]) -> dict[str, Low]:
    """The lows of nights, by the day on which each ends, from the hours (0 to 23) of every day.

    ``days`` stand in the order of the year. A night lasts from noon of the day before to noon; of
    its 24 hours 18 must be known, else it has no low. The spread is that of the coldest hour.
    """
    lows: dict[str, Low] = {}
    names = list(days)
    for place, day in enumerate(names):
        evening = days[names[place - 1]]
        night = [hour for at, hour in evening.items() if at >= NOON]
        night += [hour for at, hour in days[day].items() if at < NOON]
        known = [(hour.normal, hour) for hour in night if hour.normal is not None]
        if len(known) >= _ENOUGH_HOURS:
            low, hour = min(known, key=lambda pair: pair[0])
            lows[day] = (low, hour.spread)
    return lows
