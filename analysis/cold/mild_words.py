"""That nights were too mild to tell a limit, in plain words."""

from ..display.words import Display, degrees
from .limit import ColdLimit


def milder(limit: ColdLimit, display: Display) -> str:
    """ "the coldest of the 30 nights that you judged in it fell to 9 °C, and of colder ones ...".

    Of a limit that is ``mild``. Raises ValueError where no night in it is judged.
    """
    if limit.coldest_c is None:
        raise ValueError("limit: expected one with a judged night, got one without")
    many = f"the coldest of the {limit.nights} nights" if limit.nights > 1 else "the one night"
    low = degrees(limit.coldest_c, display)
    return f"{many} that you judged in it fell to {low}, and of colder ones nothing is known"


def goes_by_rating(limit: ColdLimit, display: Display) -> str:
    """That the own limit is not known below the coldest night; blank where nights tell it."""
    if not limit.mild or limit.coldest_c is None:
        return ""
    coldest = degrees(limit.coldest_c, display)
    return (
        f"None was colder than {coldest}, so your own limit is not known below that: this one goes "
        "by the rating."
    )
