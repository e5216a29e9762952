"""The day that is spoken from: by a report or table, and of what is still to come."""

import os
from collections.abc import Mapping
from datetime import UTC, date, datetime

from .errors import QuestionError


def made_on(environment: Mapping[str, str] | None = None) -> date:
    """Return the date a report carries: today, or that of SOURCE_DATE_EPOCH (in UTC).

    Raises QuestionError where SOURCE_DATE_EPOCH is not a number of seconds.
    Source: reproducible-builds.org, SOURCE_DATE_EPOCH specification.
    """
    given = (os.environ if environment is None else environment).get("SOURCE_DATE_EPOCH", "")
    if not given:
        return datetime.now().astimezone().date()
    try:
        return datetime.fromtimestamp(int(given), UTC).date()
    except (ValueError, OverflowError, OSError):
        raise QuestionError(
            f'SOURCE_DATE_EPOCH: expected whole seconds since 1970, got "{given}"; '
            "correct or unset it"
        ) from None
