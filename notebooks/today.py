"""The day that a report speaks from."""

from datetime import date

from ..analysis.store.typed import read_day
from ..tripdata.errors import QuestionError
from ..tripdata.today import made_on


def report_day(text: str = "") -> date:
    """Return the day a report speaks from: the one given, else the one the report carries.

    Raises QuestionError where the text is not a date.
    """
    if not text.strip():
        return made_on()
    try:
        return read_day(text)
    except QuestionError as error:
        raise QuestionError(f"today: {error}; correct it or leave it out") from None
