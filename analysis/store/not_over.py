"""Trips that are not over, and yet count as having taken place: nobody marked them as a plan."""

from collections.abc import Sequence

from ..display.words import quoted

_NAMED = 4


def not_over_notice(titles: Sequence[str]) -> str:
    """What every page says of such trips, by their titles, in sentences; empty of none."""
    if not titles:
        return ""
    one = len(titles) == 1
    what, it = ("a trip", "it is") if one else ("trips", "they are")
    verb, out = ("is", "it") if one else ("are", "them")
    return (
        f"{quoted(titles, at_most=_NAMED)} {verb} not over yet, but {'counts' if one else 'count'} "
        f"here as {what} that took place. Until {it} over, plan = yes in trip.csv keeps {out} out "
        "of your record."
    )
