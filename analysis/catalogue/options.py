"""Every option of a table or report: how it is typed, what it means, and how it is read. Once."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Literal

from ...tripdata.contract import CARRIED_AS, MODES, SYSTEMS
from ...tripdata.errors import QuestionError
from ...tripdata.names import shown
from ...tripdata.today import made_on
from ..display.words import listing
from ..store.typed import (
    A_DAY,
    check_period,
    read_day,
    read_grams,
    read_mode,
    read_season,
    read_system,
    read_ways,
)

OptionKind = Literal["text", "number", "flag", "day"]


def _as_it_is(value: Any) -> Any:
    return value


@dataclass(frozen=True, slots=True)
class Option:
    """One option. ``flag`` is how it is typed, empty where it is not; ``help`` says what it does.

    ``check`` turns text or a number into the value asked with, or raises QuestionError. ``choices``
    are the texts there are, where they are few; ``default`` makes the value where none is given.
    """

    name: str
    flag: str
    kind: OptionKind
    metavar: str
    help: str
    check: Callable[[Any], Any] = _as_it_is
    choices: tuple[str, ...] = ()
    default: Callable[[], Any] | None = None

    def read(self, value: Any) -> Any:
        """The value asked with; None where it is left out or blank. Raises QuestionError."""
        if value is None or (isinstance(value, str) and not value.strip()):
            return None
        if self.kind == "flag":
            return self._expect(value, bool, "True or False")
        if self.kind == "number":
            return self.check(_number(value))
        if self.kind == "day":
            return _day(value)
        return self.check(self._expect(value, str, "text"))

    def _expect(self, value: Any, kind: type, noun: str) -> Any:
        if not isinstance(value, kind) or (isinstance(value, str) and _no_text(value)):
            raise QuestionError(f"expected {noun}, got {_shown(value)}")
        return value


def _no_text(value: str) -> bool:
    """Whether it holds bytes of a command line that are no letters."""
    return any("\ud800" <= letter <= "\udfff" for letter in value)


def _day(value: Any) -> date:
    if isinstance(value, str):
        return read_day(value)
    if isinstance(value, date) and value == value:  # pandas' NaT is a moment that equals nothing
        return value.date() if isinstance(value, datetime) else value
    raise QuestionError(f"expected {A_DAY}, got {_shown(value)}")


def _number(value: Any) -> float:
    try:
        number = math.nan if isinstance(value, bool | str) else float(value)
    except (TypeError, ValueError):
        number = math.nan
    if not math.isfinite(number):
        raise QuestionError(f"expected a number, got {_shown(value)}")
    return number


def _shown(value: Any) -> str:
    return shown(value) if isinstance(value, str) else repr(value)


_DECLARED = (
    Option(
        "trip",
        "--trip",
        "text",
        "TRIP",
        "Which trip or plan. By default the latest trip; every plan where a report looks ahead; "
        "everything you own where it is weighed up.",
    ),
    Option("against", "--against", "text", "TRIP", "A trip or plan to compare it with."),
    Option(
        "without",
        "--without",
        "text",
        "NAMES",
        "What not to count: items, kits, systems or bags, separated by semicolons; write kit:boat "
        "where a thing has the same name as the kit.",
    ),
    Option(
        "with_",
        "--with",
        "text",
        "NAMES",
        "What else to count: items, kits or systems, separated by semicolons.",
    ),
    Option(
        "as_carried",
        "--as-carried",
        "text",
        "NAME=WAY",
        f"What to count as {listing(CARRIED_AS, last='or')}, e.g. boat=base; several are separated "
        "by semicolons.",
        read_ways,
    ),
    Option(
        "latitude",
        "--latitude",
        "number",
        "DEGREES",
        "Degrees north. You can give a place, its dates and a low instead of a trip.",
    ),
    Option("longitude", "--longitude", "number", "DEGREES", "Degrees east."),
    Option("elevation_m", "--elevation-m", "number", "METRES", "Height of the place."),
    Option("start_on", "--start-on", "day", "DAY", "First day."),
    Option("end_on", "--end-on", "day", "DAY", "Last day."),
    Option(
        "below_c",
        "--below-c",
        "number",
        "CELSIUS",
        "The low that matters to you; for a trip by default your limit in the sleep gear that "
        "comes along.",
    ),
    Option("since", "--since", "day", "DAY", "Only trips that start on this day or later."),
    Option("until", "--until", "day", "DAY", "Only trips that start on this day or before."),
    Option(
        "mode",
        "--mode",
        "text",
        "MODE",
        f"Only trips travelled this way: {listing(MODES, last='or')}.",
        read_mode,
        MODES,
    ),
    Option(
        "season",
        "--season",
        "text",
        "SEASON",
        'Only trips of a season, e.g. "2026 summer".',
        read_season,
    ),
    Option(
        "system",
        "--system",
        "text",
        "SYSTEM",
        "Only what is of this system, e.g. sleep.",
        read_system,
        SYSTEMS,
    ),
    Option(
        "from_season",
        "--from",
        "text",
        "SEASON",
        'The season or year before, e.g. "2025 summer" or 2025; default: the earlier of '
        "the last two seasons of the same name that have trips.",
        read_season,
    ),
    Option(
        "to_season",
        "--to",
        "text",
        "SEASON",
        "The season or year after; default: the later of those two.",
        read_season,
    ),
    Option(
        "target_g",
        "--target-g",
        "number",
        "GRAMS",
        "The base weight to reach; or say with --save-g how much to save.",
        read_grams,
    ),
    Option(
        "save_g",
        "--save-g",
        "number",
        "GRAMS",
        "How much base weight to save; or say with --target-g what to reach; default: everything "
        "that the verdicts leave at home.",
        read_grams,
    ),
    Option(
        "undecided",
        "--undecided",
        "flag",
        "",
        "Also consider what had too few occasions yet, or none.",
    ),
    Option(
        "coming",
        "--coming",
        "text",
        "TRIPS",
        "Planned trips, separated by commas. What they ask beyond your record is not advised "
        "against; their climate normals set the odds of cold nights, otherwise your own log does.",
    ),
    Option("candidate", "--candidate", "text", "NAME", "One of candidates.csv; default: all."),
    Option(
        "today",
        "",
        "day",
        "DAY",
        "The day to speak from, in Python and notebooks only; default: today.",
        default=made_on,
    ),
)
OPTIONS: Mapping[str, Option] = {option.name: option for option in _DECLARED}
"""The options by name, in the order in which help lists them."""

SCOPE = ("since", "until", "mode", "season")


def by_name(name: str) -> str:
    """How an option is called in Python and in a notebook."""
    return name


def by_flag(name: str) -> str:
    """How an option is typed on the command line."""
    return OPTIONS[name].flag or name


def check_together(values: Mapping[str, Any], spelled: Callable[[str], str] = by_name) -> None:
    """Raise QuestionError where two of the values that were read exclude each other."""
    if values.get("target_g") is not None and values.get("save_g") is not None:
        raise QuestionError(f"one of {spelled('target_g')} and {spelled('save_g')}, not both")
    check_period(values.get("since"), values.get("until"), spelled("until"))
