"""What several commands take, and what they do before they answer."""

from pathlib import Path
from typing import Annotated

import typer

Logbook = Annotated[
    Path,
    typer.Argument(
        metavar="LOGBOOK",
        help="The logbook's folder; default: $TAREBOOK_LOGBOOK, else the current folder.",
        envvar="TAREBOOK_LOGBOOK",
        show_default=False,
        file_okay=False,
        exists=True,
    ),
]


def bring_up_to_date(logbook: Path) -> None:
    """Load what changed since the last time, and say what was set aside."""
    from ..tripdata.store import ensure_current
    from . import printing

    printing.mended(logbook)
    with printing.progress() as step:
        findings = ensure_current(logbook, step)
    printing.aside_line(logbook, findings)
