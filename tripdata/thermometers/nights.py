"""The lows of a file by night: from noon to noon, under the date on which the night began."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time

from .readings import Reading

_MORNING = time(8)


@dataclass(frozen=True, slots=True)
class NightLow:
    """The lowest of a night's readings, in °C.

    ``part``: no reading between 00:00 and 08:00, so that the night may have been colder.
    """

    night: date
    low_c: float
    readings: int
    part: bool


def lows_by_night(readings: Iterable[Reading]) -> tuple[NightLow, ...]:
    """The low of every night of which there is a reading, in order."""
    nights: dict[date, list[Reading]] = defaultdict(list)
    for reading in readings:
        nights[_night(reading.at)].append(reading)
    return tuple(
        NightLow(
            night,
            min(each.temperature_c for each in its),
            len(its),
            not any(each.at.time() <= _MORNING for each in its),
        )
        for night, its in sorted(nights.items())
    )


def _night(at: datetime) -> date:
    return date.fromordinal(max(at.toordinal() - (at.hour < 12), 1))
