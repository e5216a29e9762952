"""Options that ask a table or report about some trips only, and say how much is to be saved."""

import re
from datetime import date
from typing import TYPE_CHECKING, Annotated, Any

import typer
from tarebook.tripdata.contract import MODES
from tarebook.tripdata.names import squeezed

if TYPE_CHECKING:
    from tarebook.analysis.reckoned import Question

_SCOPE = ("since", "until", "mode", "season")
_LOOK = (*_SCOPE, "coming")
_WISH = ("target_g", "save_g", "undecided")


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
    typer.Option("--save-g", metavar="GRAMS", callback=_grams,
                 help="How much base weight to save; default: all that the verdicts let go."),
]  # fmt: skip
Undecided = Annotated[
    bool, typer.Option("--undecided", help="Also consider what had too few chances yet, or none.")
]


Coming = Annotated[
    str | None,
    typer.Option(metavar="TRIPS", help="Trips to come, by name, apart by \",\": normals of their "
                 "places, where known, say how likely cold nights are; default: the log does."),
]  # fmt: skip


def given(**options: Any) -> dict[str, Any]:
    """The options that were given. Two that exclude each other end as a wrong command line."""
    found = {name: value for name, value in options.items() if value is not None}
    if "target_g" in found and "save_g" in found:
        raise typer.BadParameter("one of --target-g and --save-g, not both")
    if found.get("since", "") > found.get("until", "9"):
        raise typer.BadParameter("--until lies before --since")
    return found


def check_table(name: str, options: dict[str, Any]) -> None:
    """Refuse options that a table does not take: a wrong command line."""
    from tarebook.notebooks.writing import RECKONED, WISHED

    takes = {*(_LOOK if name in RECKONED else ()), *(_WISH if name in WISHED else ())}
    for option in options:
        if option not in takes:
            which = RECKONED if option in _LOOK else WISHED
            raise typer.BadParameter(
                f"--{option.replace('_', '-')} goes with the tables {', '.join(which)}, not {name}"
            )


def question(options: dict[str, Any]) -> "Question":
    """What is asked of a table, as of the day that reports carry."""
    from tarebook.analysis.cull_results import Wish
    from tarebook.analysis.reckoned import Question
    from tarebook.analysis.scope import Scope
    from tarebook.notebooks.page import made_on

    return Question(
        made_on(),
        Scope.of(**{key: value for key, value in options.items() if key in _SCOPE}),
        Wish(**{key: value for key, value in options.items() if key in _WISH}),
        options.get("coming", ""),
    )
