"""What a person typed, read: days, ways of travelling, systems and grams, each in one wording.

Every reader raises QuestionError with what was expected and what was got; who calls it says where.
"""

import re
from collections.abc import Callable
from datetime import date
from typing import Any

from ...tripdata.contract import CARRIED_AS, MODES, SYSTEMS
from ...tripdata.errors import QuestionError
from ...tripdata.names import guess, normalised, shown, squeezed

MOST_G = 100_000
A_DAY = "a day as YYYY-MM-DD"
_ISO = re.compile(r"\d{4}-\d{2}-\d{2}")


def read_day(text: str) -> date:
    """A day as YYYY-MM-DD."""
    fault = f"expected {A_DAY}, got {shown(text)}"
    if not _ISO.fullmatch(text.strip()):
        raise QuestionError(fault)
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise QuestionError(f"{fault}; there is no such day") from None


def read_mode(text: str) -> str:
    """A way of travelling as the logbook names it."""
    for mode in MODES:
        if squeezed(mode) == squeezed(text):
            return mode
    near = guess(text, MODES)
    advice = near and f"; {near}"
    raise QuestionError(f"expected one of {', '.join(MODES)}, got {shown(text)}{advice}")


def read_system(text: str) -> str:
    """What gear is for, as gear.csv names it."""
    if normalised(text) in SYSTEMS:
        return normalised(text)
    advice = guess(text, SYSTEMS, f"there are {', '.join(SYSTEMS)}")
    raise QuestionError(f"expected a system of gear.csv, got {shown(text)}; {advice}")


def read_grams(grams: float) -> float:
    """A weight that can be saved or reached."""
    if not 0 < grams <= MOST_G:
        raise QuestionError(f"expected grams above 0 to {MOST_G}, got {grams:g}")
    return grams


def read_names(text: str) -> list[str]:
    """Names separated by semicolons, each with single blanks."""
    return [name for each in text.split(";") if (name := " ".join(each.split()))]


def ways_of_carrying(text: str) -> list[tuple[str, str]]:
    """The pairs of "boat=base; paddle=base": a name, and one of the ways of gear.csv."""
    pairs = []
    for each in read_names(text):
        name, equals, way = each.rpartition("=")
        if not equals or not name.strip():
            raise QuestionError(
                f"expected a name, = and a way of carrying, e.g. boat=base, got {shown(each)}"
            )
        if normalised(way) not in CARRIED_AS:
            near = guess(way, CARRIED_AS)
            advice = near and f"; {near}"
            ways = ", ".join(CARRIED_AS)
            raise QuestionError(f"expected one of {ways} after =, got {shown(way)}{advice}")
        pairs.append((name.strip(), normalised(way)))
    return pairs


def read_ways(text: str) -> str:
    """Pairs of names and ways of carrying as typed, once they can be read."""
    ways_of_carrying(text)
    return text


def read_season(text: str) -> str:
    """A season or year, its blanks single; whether the logbook has it, the store knows."""
    return " ".join(text.split())


def where_named(name: str, value: Any, read: Callable[[Any], Any]) -> Any:
    """What ``read`` makes of a value, None of blank text; a complaint begins with the name."""
    if isinstance(value, str) and not value.strip():
        return None
    try:
        return read(value)
    except QuestionError as error:
        raise QuestionError(f"{name}: {error}") from None


def check_period(since: date | None, until: date | None, last: str = "until") -> None:
    """Raise QuestionError where a period ends before it begins. ``last``: how its end is typed."""
    if since and until and until < since:
        raise QuestionError(f"{last}: expected a day from {since} on, got {until}; swap the two")
