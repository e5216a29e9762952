"""Names for days along a time line: as many as fit, the month where it begins or changes."""

from collections.abc import Mapping, Sequence
from datetime import date

from . import words
from .theme import Layout


def day_names(days: Sequence[date], layout: Layout) -> dict[int, str]:
    """Return what is written under some days, by their place: "Thu 14", or "1 Jun" and "8"."""
    roomy, most = (5, 8) if layout.narrow else (10, 16)
    if len(days) <= roomy:
        return {n: words.day(when, year=False).rsplit(" ", 1)[0] for n, when in enumerate(days)}
    every = -(-len(days) // most)
    named: dict[int, str] = {}
    month = 0
    for place in range(0, len(days), every):
        when = days[place]
        short = words.day(when, weekday=False, year=False).split(" ")[1][:3]
        named[place] = f"{when.day}" if when.month == month else f"{when.day} {short}"
        month = when.month
    return named


def label_expression(names: Mapping[int, str] | Mapping[float, str]) -> str:
    """Return the expression that writes these names at these values of an axis, nothing elsewhere.

    The names must be of our own making: an expression is code.
    """
    return "".join(f"datum.value == {at:g} ? '{name}' : " for at, name in names.items()) + "''"
