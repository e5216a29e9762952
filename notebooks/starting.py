"""What `tarebook new` asks: the units and the dates that its owner writes."""

import sys
from pathlib import Path

import typer

from ..tripdata.names import guess, shown
from ..tripdata.settings import SETTINGS, SETTINGS_FILE

UNITS = ("metric", "us")
ISO = "YYYY-MM-DD"
_FORMS = (ISO, *SETTINGS["reading", "dates"].choices)


def _one_of(text: str | None, known: tuple[str, ...]) -> str | None:
    if text is None:
        return None
    for name in known:
        if text.strip().casefold() == name.casefold():
            return name
    near = guess(text, known)
    expected = f"expected one of {', '.join(known)}, got {shown(text)}"
    raise typer.BadParameter(f"{expected}{near and f'; {near}'}")


def read_units(text: str | None) -> str | None:
    """The name of units, however it is written; another is a wrong command line."""
    return _one_of(text, UNITS)


def read_dates(text: str | None) -> str | None:
    """A form of dates, however it is written; another is a wrong command line."""
    return _one_of(text, _FORMS)


def asked(folder: Path, units: str | None, dates: str | None) -> tuple[bool, str]:
    """Whether files come in ounces, °F and miles, and the form of dates to declare, if any.

    What the command line leaves open is asked, unless nobody is there to answer or the settings are
    made already.
    """
    if sys.stdin.isatty() and not (folder / SETTINGS_FILE).exists():
        if units is None:
            question = "Your units: metric (g, °C, km) or us (oz, °F, miles)?"
            units = typer.prompt(question, "metric", value_proc=read_units)
        if dates is None:
            question = f"Dates in your spreadsheet: {', '.join(_FORMS)}?"
            dates = typer.prompt(question, ISO, value_proc=read_dates)
    return units == "us", "" if dates in (None, ISO) else str(dates)
