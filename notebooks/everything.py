"""All reports of a logbook, a debrief of every trip, and the first page that leads to them."""

from collections.abc import Mapping
from pathlib import Path

from ..tripdata.today import made_on
from . import index, runner
from .parameters import Value


def make(
    parameters: Mapping[str, Value], logbook: Path, told: runner.Told | None = None
) -> runner.Made:
    """Make what changed of a logbook whose store is current, into its folder of reports.

    The first page names what could be made; what could not is in the result. told: as of
    `runner.make`.
    """
    folder = logbook / "reports"
    made = runner.make(
        runner.available(), parameters, folder, logbook=logbook, whole=True, told=told
    )
    index.write(made.reports, folder, made_on(), logbook=logbook, site=made.site)
    return made
