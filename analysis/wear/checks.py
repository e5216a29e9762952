"""When gear that nobody hopes to need was looked over last, and when that is too long ago."""

from datetime import date


def a_year_before(day: date) -> date:
    """The same date a year earlier; 28 February for 29 February."""
    if (day.month, day.day) == (2, 29):
        return date(day.year - 1, 2, 28)
    return day.replace(year=day.year - 1)
