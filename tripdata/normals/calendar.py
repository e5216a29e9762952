"""The days of a year by which normals are kept: `MM-DD`, 29 February among them."""

from collections.abc import Mapping

MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
LEAP_DAY = "02-29"

DAYS = tuple(
    f"{month:02d}-{day:02d}"
    for month, length in enumerate(MONTH_DAYS, start=1)
    for day in range(1, length + 1)
)
"""The 365 days of a common year, in order."""

LEAP_DAYS = (*DAYS[:59], LEAP_DAY, *DAYS[59:])
"""The 366 days of a leap year, in order."""

Low = tuple[float, float | None]
"""Normal of the low and the standard deviation of single lows around it, None where not known."""


def with_leap_day(lows: Mapping[str, Low]) -> dict[str, Low]:
    """The lows by day, in order; a 29 February that is missing is the mean of its neighbours."""
    year = dict(lows)
    before, after = year.get("02-28"), year.get("03-01")
    if LEAP_DAY not in year and before and after:
        spreads = [spread for _, spread in (before, after) if spread is not None]
        spread = sum(spreads) / 2 if len(spreads) == 2 else None
        year[LEAP_DAY] = ((before[0] + after[0]) / 2, spread)
    return {day: year[day] for day in LEAP_DAYS if day in year}
