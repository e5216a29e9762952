"""Options that ask a table or report about some trips only, and more of what it takes."""

import re
from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING, Annotated, Any

import typer

from ..tripdata.contract import MODES
from ..tripdata.names import squeezed

if TYPE_CHECKING:
    from ..analysis.cull.outputs import Question

_SCOPE = ("since", "until", "mode", "season")
_LOOK = (*_SCOPE, "coming")
_WISH = ("target_g", "save_g", "undecided")
_TRIPS = ("since", "until", "mode", "system")
TAKES: Mapping[str, tuple[str, ...]] = {
    "usage": _LOOK,
    "cull": (*_LOOK, *_WISH),
    "cull_frontier": (*_LOOK, *_WISH),
    "base_weight": _TRIPS,
    "base_weight_trend": _TRIPS,
    "base_weight_change": (*_TRIPS, "from_season", "to_season"),
}
"""The options of each table that takes any. Kept here so that a wrong one costs no import."""

_FLAGS = {"from_season": "--from", "to_season": "--to"}


def _day(text: str | None) -> str | None:
    if text is None:
        return None
    try:
        if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text):
            return date.fromisoformat(text).isoformat()
    except ValueError:
        raise typer.BadParameter(f"there is no such day as {text}") from None
    raise typer.BadParameter(f'expected a day as YYYY-MM-DD, got "{text}"')


def _mode(text: str | None) -> str | None:
    found = next((m for m in MODES if text is not None and squeezed(m) == squeezed(text)), None)
    if text is not None and found is None:
        raise typer.BadParameter(f'expected one of {", ".join(MODES)}, got "{text}"')
    return found


def _grams(grams: float | None) -> float | None:
    if grams is not None and not 0 < grams <= 100_000:
        raise typer.BadParameter(f"expected grams above 0 to 100000, got {grams:g}")
    return grams


Since = Annotated[
    str | None,
    typer.Option(metavar="DAY", callback=_day, help="Only trips that start on this day or later."),
]
Until = Annotated[
    str | None,
    typer.Option(metavar="DAY", callback=_day, help="Only trips that start on this day or before."),
]
Mode = Annotated[
    str | None,
    typer.Option(metavar="MODE", callback=_mode, help=f"Only trips by {', '.join(MODES)}."),
]
Season = Annotated[
    str | None, typer.Option(metavar="SEASON", help='Only trips of a season, e.g. "2026 summer".')
]
TargetG = Annotated[
    float | None,
    typer.Option("--target-g", metavar="GRAMS", callback=_grams, help="The base weight to reach."),
]
SaveG = Annotated[
    float | None,
    typer.Option(
        "--save-g",
        metavar="GRAMS",
        callback=_grams,
        help="How much base weight to save; default: everything that the verdicts leave at home.",
    ),
]
Undecided = Annotated[
    bool, typer.Option("--undecided", help="Also consider what had too few occasions yet, or none.")
]
Coming = Annotated[
    str | None,
    typer.Option(
        metavar="TRIPS",
        help="Planned trips, separated by commas. What they ask beyond "
        "your record is not advised against; their climate normals set the odds of cold "
        "nights, otherwise your own log does.",
    ),
]
Candidate = Annotated[
    str | None,
    typer.Option(metavar="NAME", help="buying_case: one of candidates.csv; default: all."),
]

System = Annotated[
    str | None, typer.Option(metavar="SYSTEM", help="Only what is of this system, e.g. sleep.")
]
FromSeason = Annotated[
    str | None,
    typer.Option(
        "--from",
        metavar="SEASON",
        help='The season or year before, e.g. "2025 summer" '
        "or 2025; default: of the last two seasons of one name with trips, the earlier.",
    ),
]
ToSeason = Annotated[
    str | None, typer.Option("--to", metavar="SEASON", help="The season or year after.")
]


def given(**options: Any) -> dict[str, Any]:
    """The options that were given. Two that exclude each other end as a wrong command line."""
    found = {name: value for name, value in options.items() if value is not None}
    if "target_g" in found and "save_g" in found:
        raise typer.BadParameter("one of --target-g and --save-g, not both")
    if found.get("since", "") > found.get("until", "9"):
        raise typer.BadParameter("--until lies before --since")
    return found


def flag(option: str) -> str:
    """The option as it is typed."""
    return _FLAGS.get(option, f"--{option.replace('_', '-')}")


def check_table(name: str, options: Mapping[str, Any]) -> None:
    """Refuse options that a table does not take: a wrong command line."""
    for option in options:
        if option not in TAKES.get(name, ()):
            takers = [table for table, takes in TAKES.items() if option in takes]
            noun = "tables" if len(takers) > 1 else "table"
            raise typer.BadParameter(
                f"{flag(option)} goes with the {noun} {', '.join(takers)}, not {name}"
            )


def question(options: dict[str, Any]) -> "Question":
    """What is asked of a table, as of the day that reports carry."""
    from ..analysis.cull.outputs import Question
    from ..analysis.cull.results import Wish
    from ..analysis.store.scope import Scope
    from .page import made_on

    return Question(
        made_on(),
        Scope.of(**{key: value for key, value in options.items() if key in _SCOPE}),
        Wish(**{key: value for key, value in options.items() if key in _WISH}),
        options.get("coming", ""),
    )
