"""The day that a report speaks from."""

from datetime import date

from ..tripdata.errors import QuestionError
from .page import made_on


def report_day(text: str = "") -> date:
    """Return the day a report speaks from: the one given, else the one the report carries.

    Raises QuestionError where the text is not a date.
    """
    given = text.strip()
    if not given:
        return made_on()
    try:
        day = date.fromisoformat(given)
    except ValueError:
        day = None
    if day is None or day.isoformat() != given:
        raise QuestionError(
            f'today: expected a date like 2026-05-01, got "{given}"; correct it or leave it out'
        )
    return day
