"""Nights in bedding without a rating, in plain words."""

from ...tripdata.contract import TOO_COLD_VOTE
from ..display.words import Display, count, degrees, months, number, quoted
from .unrated import UnratedNights


def unrated_sentences(unrated: UnratedNights, display: Display) -> tuple[str, ...]:
    """That bedding has no rating, and how cold the nights were that had it along.

    Nothing is said of colder ones, nor that it was slept in, which no column need tell.
    """
    bag = quoted([unrated.name])
    first = f"{bag} has no rating, so the chance of a too cold night is not known."
    if unrated.not_read is not None:
        first = (
            f"{bag} has no rating that could be read ({quoted([unrated.not_read])} in the column "
            "rated_low of gear.csv), so the chance of a too cold night is not known: correct it."
        )
    if not unrated.nights:
        return (first, "No night in it is noted.")
    slept = f"{count(unrated.nights, 'night')} with it along (in {months(unrated.months)})"
    slept = f"the {slept}" if unrated.nights > 1 else slept
    if unrated.coldest_c is None:
        return (first, f"Of {slept} no low is noted.")
    coldest = f"The coldest of {slept}"
    if unrated.lows < unrated.nights:
        coldest = f"Of {slept} {number(unrated.lows)} have a low: the coldest"
    felt = "how warm it felt is not noted"
    if unrated.warmth is not None:
        felt = "it felt too cold" if unrated.warmth <= TOO_COLD_VOTE else "it did not feel too cold"
    low = degrees(unrated.coldest_c, display)
    return (first, f"{coldest} fell to {low}, and {felt}.", "Of colder nights nothing is known.")
